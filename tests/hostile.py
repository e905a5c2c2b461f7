"""What nobody would type and no file should hold, by the thousand; a script, not a test: .venv/bin/python tests/hostile.py

    --lines 10000 --batches 6000 --files 2000 --real 200 --signals 200 --kills 200 --seed 1 --seconds 2 --megabytes 300

Command lines, batches of extremes and mutated files go through the command line in forked children, a few hundred to a child, each with
limits of its own; of all of them a sample runs again as real processes in odd surroundings. Time is processor time, so that a busy
machine fails nothing. What is found wrong is printed with what was typed, then the counts; the exit code is 1 where anything was.
Needs fork and resource limits: Linux, or another Unix. `test_hostile.py` runs a few of each and plants faults to be found.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import math
import os
import random
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import faults_kills
from hostile_cases import CASES, Case

import jamcalc
from jamcalc.cli import main as cli

ROOT = Path(jamcalc.__file__).resolve().parents[1]
CASES_TO_A_CHILD = 250
ROOM_BYTES = 2 << 30  # of address space beyond what a child starts with: a runaway ends in a MemoryError, not in a dead machine
PATIENCE_S = 120  # by the clock, for what waits and does not work
MAY_BE_NEGATIVE = {"altitude_ft", "off_percent"}  # below the sea; a measure that holds less
MAY_NOT_BE_EMPTY = {"title", "item", "name", "measure", "text", "id", "jar", "keeping"}
SURROUNDINGS = (
    {}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}, {"COLUMNS": "1"}, {"COLUMNS": "100000"}, {"TERM": "dumb"},
    {"PYTHONIOENCODING": "ascii"}, {"HOME": "/nowhere"}, {"HOME": ""}, {"NO_COLOR": "1"}, {"FORCE_COLOR": "1", "COLUMNS": "junk"},
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Bounds:
    """What one case may use."""

    seconds: float = 2.0
    megabytes: float = 300.0


@dataclass(kw_only=True)
class Seen:
    """What a case left behind."""

    code: int | None = None  # None: an exception came out, or the process died
    out: str = ""
    err: str = ""
    error: str = ""
    seconds: float = 0.0
    megabytes: float = 0.0
    files: dict[str, bytes] = field(default_factory=dict)


# ---------------------------------------------------------------- what is wrong with it


def problems(case: Case, seen: Seen, bounds: Bounds) -> list[str]:
    """Everything that is wrong with what a case left behind; nothing, as it should be."""
    found = [seen.error] if seen.error else []
    if seen.code not in (0, 1, 2) and not seen.error:
        found.append(f"exit code {seen.code}")
    if "Traceback" in seen.err + seen.out:
        found.append("a traceback")
    if seen.seconds > bounds.seconds:
        found.append(f"{seen.seconds:.1f} s")
    if seen.megabytes > bounds.megabytes:
        found.append(f"{seen.megabytes:.0f} MB")
    if any(not character.isprintable() and character != "\n" for character in seen.out + seen.err):
        found.append("a control character on the screen")
    if seen.code == 2 and seen.out:
        found.append("an answer beside exit code 2")
    if seen.code in (1, 2) and not all(line.startswith("jamcalc: ") for line in seen.err.splitlines() or ["nothing"]):
        found.append("no reason, or one that is not a line of its own")
    asked_for_json = "--json" in case.words and not {"--", "--help", "-h", "help"} & set(case.words)
    if asked_for_json and seen.code in (0, 1):
        found += _wrong_json(seen.out, " ".join(case.words))
    elif re.search(r"\b(nan|inf|None(?! of your))\b", seen.out) and not re.search("nan|inf|None", " ".join(case.words) + str(case.files)):
        found.append("a number that is none")
    for name, content in seen.files.items():
        if name.endswith(".json"):
            found += [f"{name}: {each}" for each in _wrong_json(content.decode(), " ".join(case.words))]
        if name.endswith(".html") and b"<script" in content.lower():
            found.append(f"{name}: a script")
    return found


def _wrong_json(text: str, typed: str) -> list[str]:
    def none_such(constant: str) -> float:
        raise ValueError(f"{constant} in JSON")

    try:
        value = json.loads(text, parse_constant=none_such)
    except ValueError as error:
        return [f"JSON: {error}"]
    is_answer = isinstance(value, dict) and "storage" in value
    return [*_nonsense(value, ""), *(_unsafe(value, "batch pH" in typed) if is_answer else ())]


def _nonsense(value: Any, place: str) -> Iterator[str]:
    """Numbers that cannot be, and ranges that run backwards."""
    if isinstance(value, dict):
        ends = [value[name] for name in ("low", "typical", "expected", "high") if isinstance(value.get(name), int | float)]
        if {"low", "high"} <= set(value) and ends != sorted(ends):
            yield f"{place}: {ends} is no range"
        for name, part in value.items():
            yield from _nonsense(part, f"{place}.{name}")
    elif isinstance(value, list):
        for number, part in enumerate(value):
            yield from _nonsense(part, f"{place}.{number}")
    elif isinstance(value, float | int) and not isinstance(value, bool):
        if not math.isfinite(value) or (value < 0 and place.rsplit(".", 1)[-1] not in MAY_BE_NEGATIVE):
            yield f"{place}: {value}"
    elif isinstance(value, str) and not value.strip() and place.rsplit(".", 1)[-1] in MAY_NOT_BE_EMPTY:
        yield f"{place}: empty"


def _unsafe(answer: dict[str, Any], measured: bool) -> Iterator[str]:
    """What an answer may never say together."""
    high, shelf = answer["acidity"]["ph"]["high"], answer["storage"] == "shelf"
    if shelf and high > (4.3 if measured else 4.0) and answer["standing"] == "calculated":  # a meter's 4.20, and 0.1 to either side
        yield f"on the shelf at pH {high}"
    if shelf != (answer["process"] is not None):
        yield "minutes without the shelf, or the shelf without minutes"
    if not 0.0 <= answer["acidity"]["ph"]["low"] <= high <= 14.0:
        yield f"pH {answer['acidity']['ph']}"
    if not answer["yield"]["jars"]["expected"] > 0.0 or answer["yield"]["jars"]["heat"] < 1:
        yield f"jars {answer['yield']['jars']}"
    if not (0.0 < answer["water_activity"] <= 1.0 and answer["solids_percent"]["high"] <= 100.0):
        yield f"water activity {answer['water_activity']}, solids {answer['solids_percent']}"


# ---------------------------------------------------------------- in forked children


def in_here(case: Case, bounds: Bounds, main: Callable[[Sequence[str]], int] = cli.main) -> Seen:
    """One case in this process, in a folder of its own that is the current one."""
    for name, content in case.files.items():
        Path(name).write_bytes(content)
    before, out, err, seen = sys.stdin, io.StringIO(), io.StringIO(), Seen()
    sys.stdin = io.TextIOWrapper(io.BytesIO(case.stdin))
    _reset_peak()
    start = time.process_time()
    try:
        signal.setitimer(signal.ITIMER_PROF, 10.0 * bounds.seconds)  # the default action ends this child
        signal.alarm(PATIENCE_S)
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            seen.code = main(case.words)
    except BaseException as error:
        at = error.__traceback__
        while at is not None and at.tb_next is not None:
            at = at.tb_next
        place = f"{Path(at.tb_frame.f_code.co_filename).name}:{at.tb_lineno}" if at else ""
        seen.error = f"{type(error).__name__} at {place}: {str(error)[:100]}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.alarm(0)
        sys.stdin = before
    seen.seconds, seen.megabytes = time.process_time() - start, _peak_megabytes()
    seen.out, seen.err = out.getvalue(), err.getvalue()
    for path in list(Path().iterdir()):
        if path.name not in case.files and path.is_file() and path.suffix in (".json", ".html"):
            seen.files[path.name] = path.read_bytes()
        if path.is_file():
            path.unlink()
    return seen


def _reset_peak() -> None:
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5", encoding="ascii")


def _peak_megabytes() -> float:
    """The most memory since the last reset, where the system tells; else since the child began."""
    with contextlib.suppress(OSError):
        if found := re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text(encoding="ascii")):
            return int(found[1]) / 1024.0
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024.0**2 if sys.platform == "darwin" else 1024.0)


@dataclass(frozen=True, kw_only=True)
class Report:
    """How a case ended, and what was wrong with that."""

    code: int | None
    seconds: float
    megabytes: float
    found: list[str]


def report(case: Case, seen: Seen, bounds: Bounds) -> Report:
    """Of what a case left behind."""
    return Report(code=seen.code, seconds=seen.seconds, megabytes=seen.megabytes, found=problems(case, seen, bounds))


def reports(cases: Sequence[Case], bounds: Bounds, main: Callable[[Sequence[str]], int] = cli.main) -> Iterator[tuple[Case, Report]]:
    """The cases, each with its report, from children that take one after another until one of them dies."""
    at = 0
    while at < len(cases):
        some = cases[at : at + CASES_TO_A_CHILD]
        done, status = _child(some, bounds, main)
        yield from zip(some, done, strict=False)
        at += len(done)
        if len(done) < len(some):
            yield some[len(done)], Report(code=None, seconds=0.0, megabytes=0.0, found=[f"the process died: {_death(status)}"])
            at += 1


def _death(status: int) -> str:
    code = os.waitstatus_to_exitcode(status)
    return signal.Signals(-code).name if code < 0 else f"exit code {code}"


def _child(cases: Sequence[Case], bounds: Bounds, main: Callable[[Sequence[str]], int]) -> tuple[list[Report], int]:
    """The report of each case, as far as the child came, and how it ended."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder, "reports")
        child = os.fork()
        if not child:
            work = Path(folder, "work")
            work.mkdir()
            os.chdir(work)
            os.environ.update(JAMCALC_KITCHEN="kitchen.toml", HOME=str(work), XDG_CONFIG_HOME=str(work))
            _limit()
            with place.open("w", encoding="utf-8") as file:
                for case in cases:
                    print(json.dumps(asdict(report(case, in_here(case, bounds, main), bounds))), file=file, flush=True)
            os._exit(0)
        _, status = os.waitpid(child, 0)
        return [Report(**json.loads(line)) for line in place.read_text(encoding="utf-8").splitlines()], status


def _limit() -> None:
    """No core files, and so much memory and no more."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with contextlib.suppress(OSError, ValueError):
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
        most = pages * resource.getpagesize() + ROOM_BYTES
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


# ---------------------------------------------------------------- as real processes


def as_process(case: Case, surroundings: dict[str, str], bounds: Bounds) -> Seen:
    """One case as a process of its own, as a shell starts it; what words it cannot be given are left out."""
    words = [os.fsencode(word) for word in case.words if "\0" not in word and len(word) < 100_000]
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        for name, content in case.files.items():
            Path(folder, name).write_bytes(content)
        plain = {"PATH": os.environ.get("PATH", ""), "HOME": folder, "PYTHONPATH": str(ROOT), "JAMCALC_KITCHEN": "kitchen.toml"}
        Path(folder, ".stdin").write_bytes(case.stdin)
        with Path(folder, ".stdin").open("rb") as stdin:
            process = subprocess.Popen([sys.executable, "-m", "jamcalc", *words], stdin=stdin, stdout=out, stderr=err, cwd=folder,
                                       env=plain | surroundings, preexec_fn=_limit)  # fmt: skip
            _, status, used = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        err.seek(0)
        texts = [stream.read().decode("utf-8", "replace") for stream in (out, err)]
        colored = "FORCE_COLOR" in surroundings
    return Seen(code=process.returncode, out=re.sub(r"\x1b\[[\d;]*m", "", texts[0]) if colored else texts[0], err=texts[1],
                seconds=used.ru_utime + used.ru_stime, megabytes=used.ru_maxrss / 1024.0)  # fmt: skip


# ---------------------------------------------------------------- signals


def signalled(chance: random.Random, seconds: float) -> tuple[Case, Report]:
    """A command that is told to end, somewhere in its work of about so many seconds: quietly, and with nothing left behind."""
    number = chance.choice((signal.SIGINT, signal.SIGTERM, signal.SIGHUP))
    case = Case(words=["batch", "3 lb plums", "-o", "out.toml", f"--title={number.name}"])
    with tempfile.TemporaryDirectory() as folder:
        around = {**os.environ, "PYTHONPATH": str(ROOT), "HOME": folder, "JAMCALC_KITCHEN": "kitchen.toml"}
        with subprocess.Popen([sys.executable, "-m", "jamcalc", *case.words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                              cwd=folder, env=around, preexec_fn=_heed) as running:  # fmt: skip
            time.sleep(chance.uniform(0.0, 1.2 * seconds))
            running.send_signal(number)
            _, err = running.communicate()
        left = {path.name: path.read_bytes() for path in Path(folder).iterdir()}
    found = []
    before_us = running.returncode == 1 and re.search("Failed to import the site module|Could not import runpy module", err)
    if not before_us and running.returncode not in (0, 128 + number, -number):  # the last, and 1, before our first line: Python's
        found.append(f"exit code {running.returncode} after {number.name}")
    if "Traceback" in err and "jamcalc/" in err:  # what Python says of its own start is Python's
        found.append(f"a traceback after {number.name}: {err[-300:]}")
    if set(left) - {"out.toml"} or (left and not left["out.toml"].endswith(b"]\n")):
        found.append(f"left behind: {sorted(left)}")
    return case, Report(code=running.returncode, seconds=0.0, megabytes=0.0, found=found)


def _heed() -> None:
    """A job in the background hands on that it ignores these."""
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


# ---------------------------------------------------------------- the run


def main(typed: Sequence[str] | None = None) -> int:
    """Run so many of each, print what is wrong and the counts."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name, count in {"lines": 10_000, "batches": 6_000, "files": 2_000, "real": 200, "signals": 200, "kills": 200, "seed": 1}.items():
        parser.add_argument(f"--{name}", type=int, default=count)
    parser.add_argument("--seconds", type=float, default=Bounds.seconds)
    parser.add_argument("--megabytes", type=float, default=Bounds.megabytes)
    options = parser.parse_args(typed)
    bounds = Bounds(seconds=options.seconds, megabytes=options.megabytes)
    _warm()
    chance, sample, wrong = random.Random(options.seed), list[Case](), 0
    for kind, make in CASES.items():
        cases = [make(chance) for _ in range(getattr(options, kind))]
        sample += cases
        wrong += _counted(kind, reports(cases, bounds))
    real = [(case, chance.choice(SURROUNDINGS)) for case in chance.sample(sample, min(options.real, len(sample)))]
    wrong += _counted("real processes", ((case, report(case, as_process(case, around, bounds), bounds)) for case, around in real))
    start = time.monotonic()
    subprocess.run([sys.executable, "-m", "jamcalc", "batch", "3 lb plums"], check=True, capture_output=True, cwd=ROOT)
    took = time.monotonic() - start
    wrong += _counted("signals", (signalled(chance, took) for _ in range(options.signals)))
    if options.kills:
        wrong += _killed(options.kills, options.seed)
    print(f"{wrong} with something wrong" if wrong else "nothing wrong")
    return 1 if wrong else 0


def _warm() -> None:
    """Import everything once, before the first fork."""
    recipe = "strawberry-rhubarb"
    sources = (["batch", "3 lb plums", "--on-hand", "9 pints"], ["card", recipe], ["scale", recipe, "--times=2"])
    with tempfile.TemporaryDirectory() as folder:
        os.environ["JAMCALC_KITCHEN"] = str(Path(folder, "none.toml"))
        for words in sources:
            with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
                assert cli.main(words) == 0


def _counted(kind: str, done: Iterator[tuple[Case, Report]]) -> int:
    """Print what is wrong with each case, then how many there were, how they ended, and the slowest and the largest of them."""
    codes, seconds, megabytes, wrong = Counter[str](), 0.0, 0.0, 0
    for case, each in done:
        codes[str(each.code)] += 1
        seconds, megabytes = max(seconds, each.seconds), max(megabytes, each.megabytes)
        if each.found:
            wrong += 1
            print(f"{'; '.join(each.found)}\n    {ascii(asdict(case))[:1500]}", flush=True)
    ends = ", ".join(f"{count:,} x {code}" for code, count in sorted(codes.items()))
    print(f"{codes.total():,} {kind}: exit codes {ends or 'none'}; {seconds:.2f} s and {megabytes:.0f} MB at most", flush=True)
    return wrong


def _killed(kills: int, seed: int) -> int:
    """Kill writers at any moment, let twenty at once write a tenth as often, and print what was met."""
    writes = max(1, kills // 10)
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        try:
            met, made = faults_kills.kills(Path(one), kills, seed), faults_kills.racing_writers(Path(other), 20, writes)
        except AssertionError as error:
            print(f"kills: {error}")
            return 1
    found = ", ".join(f"{count} {what}" for what, count in sorted(met.items()))
    print(f"{met.total()} kills: {found}; {made} of {20 * writes} racing writes")
    return made != 20 * writes


if __name__ == "__main__":
    sys.exit(main())
