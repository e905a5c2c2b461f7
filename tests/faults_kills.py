"""Writers killed at any moment and writers at once, as real commands in processes of their own; also run at length by hostile.py.

`python tests/faults_kills.py` makes 200 kills and 20 x 20 writers, and prints what was met; three numbers make it others.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType

from jamcalc.cli import main
from jamcalc.reading import safefile

# For each kind of file: the commands that write one text and another, and where.
COMMANDS: dict[str, tuple[str, list[list[str]]]] = {
    "recipe": (
        "plum.toml",
        [["batch", "3 lb plums", "--replace", "-o", "plum.toml"], ["batch", "5 lb pears", "--replace", "-o", "plum.toml"]],
    ),
    "card": (
        "card.html",
        [["card", "raspberry-blueberry", "--replace", "-o", "card.html"], ["card", "apricot-plum", "--replace", "-o", "card.html"]],
    ),
    "kitchen": (
        "kitchen.toml",
        [["kitchen", "altitude=4300 ft", "jars="], ["kitchen", "altitude=1300 m", "jars=11 half-pints, 5 pints"]],
    ),
}


def run(words: list[str]) -> int:
    """Run a command in this process, unheard."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return main.main(words)


def in_a_process(words: list[str]) -> int:
    """Start a command in a process forked from this one, which has everything imported by then; returns its number."""
    child = os.fork()
    if not child:
        code = 99
        with contextlib.suppress(BaseException):
            code = run(words)
        os._exit(code)
    return child


def warm() -> None:
    """Import here, once, what the commands need."""
    with tempfile.TemporaryDirectory() as folder, in_folder(Path(folder)):
        assert all(run(words) == 0 for _, both in COMMANDS.values() for words in both)


@contextlib.contextmanager
def in_folder(folder: Path) -> Iterator[None]:
    """Work in a folder, with a kitchen file in it."""
    before, kitchen = Path.cwd(), os.environ.get("JAMCALC_KITCHEN")
    os.chdir(folder)
    os.environ["JAMCALC_KITCHEN"] = "kitchen.toml"
    try:
        yield
    finally:
        os.chdir(before)
        if kitchen is None:
            del os.environ["JAMCALC_KITCHEN"]
        else:
            os.environ["JAMCALC_KITCHEN"] = kitchen


def kills(folder: Path, times: int, seed: int = 1) -> Counter[str]:
    """Kill writers of a recipe, a card and a kitchen file in turn, each somewhere in its work.

    Returns how many kills were met and found the old text, the new one, or came too late; AssertionError where a file was torn, or
    anything was left beside it after the next write.
    """
    warm()
    chosen, met = random.Random(seed), Counter[str]()
    with in_folder(folder):
        for file, commands in COMMANDS.values():
            texts = []
            for words in commands * 2:  # the kitchen file's first writer also makes it
                started = time.monotonic()
                assert finished(in_a_process(words)) == 0
                seconds = time.monotonic() - started
                texts.append(Path(file).read_bytes())
            texts = texts[2:]
            for number in range(times // len(COMMANDS) + 1):
                words, old, new = commands[number % 2], texts[1 - number % 2], texts[number % 2]
                child = in_a_process(words)
                time.sleep(chosen.uniform(0.0, 1.2 * seconds))
                with contextlib.suppress(ProcessLookupError):
                    os.kill(child, signal.SIGKILL)
                late = finished(child) >= 0
                found = Path(file).read_bytes()
                assert found in (old, new), f"{file} is torn"
                met["too late" if late else "new" if found == new else "old"] += 1
                assert finished(in_a_process(words)) == 0
                assert Path(file).read_bytes() == new
                litter = {entry.name for entry in Path().iterdir()} - {each for each, _ in COMMANDS.values()}
                assert not litter, f"left behind: {litter}"
    return met


def finished(child: int) -> int:
    """The exit code of a process, negative where a signal ended it."""
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def racing_writers(folder: Path, processes: int = 20, writes: int = 20) -> int:
    """How many of the changes that so many processes make to one kitchen file at once are made; all of them should be."""

    warm()

    def change() -> int:
        return sum(run(["kitchen", f"lids={number}", f"pectin={number} g"]) == 0 for number in range(1, writes + 1))

    with in_folder(folder):
        made = sum(each_in_a_process(processes, change))
        assert [entry.name for entry in Path().iterdir()] == ["kitchen.toml"]
        assert "lids" in Path("kitchen.toml").read_text(encoding="utf-8")
    return made


def each_in_a_process(processes: int, work: Callable[[], int]) -> list[int]:
    """What the work gives, 0 to 98, in each of so many processes at once."""
    children = []
    for _ in range(processes):
        child = os.fork()
        if not child:
            code = 99
            with contextlib.suppress(BaseException):
                code = work()
            os._exit(code)
        children.append(child)
    return [finished(child) for child in children]


def kill_at(step: int) -> None:
    """Let this process be killed at a step: before or after one of the calls that safefile makes."""
    steps = itertools.count()

    def count(frame: FrameType, event: str, called: object) -> None:
        if event in ("c_call", "c_return") and frame.f_code.co_filename == safefile.__file__ and next(steps) == step:
            os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(count)


if __name__ == "__main__":
    many, processes, writes = (int(word) for word in (sys.argv[1:4] if sys.argv[3:] else ("200", "20", "20")))
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        print(f"{many} kills:", dict(kills(Path(one), many)))
        print(f"{processes} x {writes} writers: {racing_writers(Path(other), processes, writes)} of {processes * writes}")
