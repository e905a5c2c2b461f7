"""The guided entry at a real pseudo-terminal of 80 x 24: typed keys in, a screen out, files and exit codes as they fall.

Each wait ends with the prompt that is expected, or fails after a while with all that was on the screen.
"""

from __future__ import annotations

import os
import re
import select
import signal
import struct
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

import jamcalc
from jamcalc.guide import guide

pytest.importorskip("pty", reason="this platform has no pseudo-terminals")
import fcntl
import termios

ROOT = Path(jamcalc.__file__).parent.parent
PATIENCE_S = 300.0  # against a hang, not against a slow machine; the program itself takes under a second
ESCAPES = re.compile(r"\x1b\[[0-?]*[ -/]*[@-~]|\x07")
NEXT = guide.NEXT
CTRL_C, CTRL_D = "\x03", "\x04"
# Takes the terminal as its own, so that Ctrl-C reaches it as a signal, then runs as `python -m jamcalc` does.
START = "import fcntl, runpy, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); runpy.run_module('jamcalc', run_name='__main__')"


def not_ignored() -> None:
    """A job in the background, or under nohup, hands on that it ignores these."""
    for number in (signal.SIGINT, signal.SIGHUP, signal.SIGQUIT, signal.SIGTERM):
        signal.signal(number, signal.SIG_DFL)


class Terminal:
    """A jamcalc run alone at a terminal, and what has come on its screen so far."""

    def __init__(self, folder: Path, **more: str) -> None:
        try:
            self._ours, theirs = os.openpty()
        except OSError as error:
            pytest.skip(f"no pseudo-terminal to be had: {error}")
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        surroundings = {
            "PATH": os.environ.get("PATH", ""), "PYTHONPATH": str(ROOT), "HOME": str(folder), "TERM": "dumb", "INPUTRC": os.devnull,
            "PYTHONUTF8": "1",
            "PYTHONWARNINGS": "error", "JAMCALC_KITCHEN": str(folder / "kitchen.toml"), **more,
        }  # fmt: skip
        self._process = subprocess.Popen(
            [sys.executable, "-c", START], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder, env=surroundings, start_new_session=True,
            preexec_fn=not_ignored,
        )  # fmt: skip
        self._theirs = theirs  # kept open, to see how it is left behind
        self.before = self.settings()
        self.raw = ""
        self.screen = ""
        self._seen = 0

    def until(self, prompt: str) -> str:
        """What has come since the last wait, once it ends with the prompt."""
        end = time.monotonic() + PATIENCE_S
        while not self.screen[self._seen :].endswith(prompt):
            more = time.monotonic() < end and self._read()
            assert more, f"no {prompt!r} on:\n{self.screen[-2000:]}"
        new = self.screen[self._seen :]
        self._seen = len(self.screen)
        return new

    def type(self, line: str, prompt: str) -> str:
        """Type a line, and what comes on the screen up to the next prompt."""
        self.keys(line + "\r")
        return self.until(prompt)

    def keys(self, keys: str) -> None:
        """Press keys."""
        os.write(self._ours, keys.encode())

    def end(self) -> int:
        """The exit code, once it has ended by itself."""
        code = self._process.wait(PATIENCE_S)
        while select.select([self._ours], [], [], 0)[0] and self._read():
            pass
        return code

    def send(self, number: int) -> None:
        """Send a signal."""
        self._process.send_signal(number)

    def signal(self, number: int) -> int:
        """The exit code after a signal."""
        self.send(number)
        return self.end()

    def settings(self) -> list[object]:
        """How the terminal is set: echo, whole lines, and the rest."""
        return termios.tcgetattr(self._theirs)

    def close(self) -> None:
        """Let go of it, however it stands."""
        if self._process.poll() is None:
            self._process.kill()
        self._process.wait()
        os.close(self._ours)
        os.close(self._theirs)

    def _read(self) -> bool:
        """Whether more has come before the end, within reason."""
        if not select.select([self._ours], [], [], PATIENCE_S)[0]:
            return False
        try:
            piece = os.read(self._ours, 65536)
        except OSError:  # Linux says so where others send nothing: the other end is closed
            return False
        self.raw += piece.decode("utf-8", "replace")
        self.screen += ESCAPES.sub("", piece.decode("utf-8", "replace").replace("\r\n", "\n")).replace("\r", "")
        return bool(piece)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder to work in, with a kitchen file that no one else's settings can reach."""
    (tmp_path / "kitchen.toml").write_text('altitude = "4300 ft"\njars = ["11 half-pints", "5 pints"]\n', encoding="utf-8")
    return tmp_path


@pytest.fixture
def terminal(folder: Path) -> Iterator[Terminal]:
    """A fresh session."""
    session = Terminal(folder)
    yield session
    session.close()


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name != "kitchen.toml")


def to_the_menu(terminal: Terminal) -> str:
    """The first round at its shortest."""
    terminal.until("fruit: ")
    terminal.type("3 lb plums", "more fruit [done]: ")
    terminal.type("", "sweetener [none]: ")
    terminal.type("honey", "firmness [medium]: ")
    terminal.type("", "jars [all]: ")
    terminal.type("", "altitude [4,300 ft]: ")
    return terminal.type("", NEXT)


def test_a_whole_session(terminal: Terminal, folder: Path) -> None:
    """A wrong fruit, an answer taken back, a change of mind, the whole answer, and a recipe that checks back."""
    assert "What fruit is on hand?" in terminal.until("fruit: ")
    assert "Did you mean" in terminal.type("3 lb plumz", "which [write it again]: ")
    assert "Read as: 3 lb plum" in terminal.type("1", "more fruit [done]: ")
    terminal.type("4 cups strawberries", "form [write it again]: ")
    terminal.type("mashed", "more fruit [done]: ")
    terminal.type("2 lb pears", "more fruit [done]: ")
    terminal.type("back", "more fruit [done]: ")
    terminal.type("", "sweetener [none]: ")
    terminal.type("honey", "firmness [medium]: ")
    terminal.type("back", "sweetener [none]: ")
    terminal.type("honey", "firmness [medium]: ")
    terminal.type("soft", "jars [all]: ")
    terminal.type("half-pint", "altitude [4,300 ft]: ")
    first = terminal.type("", NEXT)
    assert "SHELF: 20 minutes in boiling water" in first
    assert "pears" not in first
    moved = terminal.type("sweetener", "sweetener [honey]: ") + terminal.type("1/2 cup agave", NEXT)
    assert "agave syrup" in moved
    assert "minutes" not in moved
    assert "Enter for the next page" in terminal.type("more", "page: ")
    terminal.type("back", NEXT)
    terminal.type("save", "file [plum-and-strawberry-spread.toml]: ")
    assert "Wrote ours.toml." in terminal.type("ours", NEXT)
    terminal.keys("stop\r")
    assert terminal.end() == 0
    assert max(map(len, terminal.screen.splitlines())) <= 80
    assert "Traceback" not in terminal.screen

    assert files(folder) == ["ours.toml"]
    said = jamcalc.batch(["3 lb plum", "4 cups mashed strawberries", "1/2 cup agave"], set="soft", jar="half-pint", altitude="4300 ft")
    back = jamcalc.check(folder / "ours.toml", altitude="4300 ft")
    assert back.refused is None
    assert [each.measure for each in back.ingredients] == [each.measure for each in said.ingredients]
    assert back.acidity.ph == said.acidity.ph
    assert back.yield_.jars == said.yield_.jars
    assert back.process is not None
    assert said.process is not None
    assert back.process.minutes == said.process.minutes


@pytest.mark.parametrize(("keys", "code"), [(CTRL_C, 130), (CTRL_D, 0)])
def test_it_leaves_quietly_in_the_middle_of_saving(terminal: Terminal, folder: Path, keys: str, code: int) -> None:
    to_the_menu(terminal)
    terminal.type("save", "file [plum-spread.toml]: ")
    if keys == CTRL_C:
        terminal.keys("half")  # Ctrl-D ends the input on an empty line only
        terminal.until("half")
    terminal.keys(keys)
    first = terminal.until("half" if keys == CTRL_C else "or book [yes]: ")
    assert "not saved yet" in first
    terminal.keys(keys)
    assert terminal.end() == code
    assert files(folder) == []
    assert terminal.screen.endswith("\n"), "the shell's prompt gets a line of its own"
    assert "Traceback" not in terminal.screen


def test_interrupted_at_the_instant_of_a_prompt(terminal: Terminal, folder: Path) -> None:
    """Once is enough, however soon after the prompt: nothing is lost between it and the wait for a key."""
    terminal.until("fruit: ")
    terminal.keys(CTRL_C)
    assert terminal.end() == 130
    assert files(folder) == []
    assert "Traceback" not in terminal.screen


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129), (signal.SIGINT, 130), (signal.SIGQUIT, 131)])
def test_a_signal_leaves_the_terminal_as_it_was(terminal: Terminal, folder: Path, number: int, code: int) -> None:
    """Editing a line takes echo and whole lines away; whoever ends the guide must not have to type blindly afterwards."""
    to_the_menu(terminal)
    terminal.type("save", "file [plum-spread.toml]: ")
    terminal.keys("half")
    terminal.until("half")
    if number == signal.SIGINT:  # the first is no more than a question
        terminal.send(number)
        assert "Ctrl-C once more" in terminal.until("half")
    assert terminal.signal(number) == code
    assert terminal.settings() == terminal.before
    assert files(folder) == []
    assert terminal.screen.endswith("\n")
    assert "Traceback" not in terminal.screen


def test_lines_pasted_are_answers_and_the_terminal_is_told_nothing_it_must_forget(folder: Path) -> None:
    session = Terminal(folder, TERM="xterm")
    try:
        session.until("fruit: ")
        session.keys("2 lb plums\r1 lb pears\r\r")
        session.until("sweetener [none]: ")
        session.keys(CTRL_C)
        assert session.end() == 130
        assert "[?2004h" not in session.raw
    finally:
        session.close()


def test_a_faulty_kitchen_file_and_an_ascii_terminal(folder: Path) -> None:
    """What is wrong with the file is said, and a terminal without accents or boxes still gets a whole answer."""
    (folder / "kitchen.toml").write_text('altitude = "4300 ft"\njars = "11 half-pints"\nfrogs = 3\n', encoding="utf-8")
    session = Terminal(folder, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0", PYTHONIOENCODING="ascii")
    try:
        shown = to_the_menu(session)
        assert "frogs: no such setting" in session.screen
        assert "SHELF: 20 minutes" in shown
        assert shown.isascii()
        session.keys(CTRL_D)
        session.until("or book [yes]: ")
        session.keys(CTRL_D)
        assert session.end() == 0
    finally:
        session.close()


def test_away_from_a_terminal_it_asks_nothing(folder: Path) -> None:
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "jamcalc"]
    run = subprocess.run(
        command, input="3 lb plums\n", capture_output=True, text=True, cwd=folder, env=surroundings, timeout=PATIENCE_S, check=False
    )
    assert run.returncode == 2
    assert run.stdout == ""
    assert "jamcalc batch" in run.stderr
