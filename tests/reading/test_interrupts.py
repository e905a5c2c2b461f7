"""Signals at awkward moments, in a process of its own: in a library half imported, in a file half written, and where they are ignored."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

import jamcalc
from jamcalc.reading import recipefile

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no such signals here")

HOME = Path(jamcalc.__file__).parent.parent
PATIENCE_S = 60.0
BATCH = ("batch", "3 lb plums", "--sweetener", "honey")
# As a compiled library may: it takes whatever stops it for a library that is not there.
SLOW_LIBRARY = """
import sys, time
print("importing", flush=True)
try:
    time.sleep(600)
except BaseException as error:
    raise ImportError("this library is broken") from error
"""
# Brings the signal on in the middle of a write, and gives it all the time it needs to do harm.
SLOW_DISK = """
import os, sys, time
sync, number = os.fsync, int(sys.argv.pop(1))
def slow(descriptor):
    os.kill(os.getpid(), number)
    time.sleep(0.5)
    sync(descriptor)
os.fsync = slow
from jamcalc.cli.main import main
sys.exit(main())
"""


def not_ignored() -> None:
    """A job in the background, or under nohup, hands on that it ignores these."""
    for number in (signal.SIGINT, signal.SIGHUP, signal.SIGTERM):
        signal.signal(number, signal.SIG_DFL)


def started(*command: str, path: Path = HOME, **more: object) -> subprocess.Popen[str]:
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join((str(path), str(HOME)))}
    return subprocess.Popen(  # type: ignore[call-overload,no-any-return]
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=surroundings, preexec_fn=not_ignored, **more
    )


@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_while_a_library_is_being_imported(tmp_path: Path, number: int, code: int) -> None:
    (tmp_path / "pint.py").write_text(SLOW_LIBRARY, encoding="utf-8")
    with started(sys.executable, "-m", "jamcalc", *BATCH, path=tmp_path) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == "importing\n"
        running.send_signal(number)
        out, err = running.communicate(timeout=PATIENCE_S)
    assert (running.returncode, out, err) == (code, "", "")


@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
@pytest.mark.parametrize("before", [None, "something else\n"])
def test_a_file_that_is_being_written_is_finished(tmp_path: Path, number: int, code: int, before: str | None) -> None:
    kitchen = tmp_path / "kitchen.toml"
    if before:
        kitchen.write_text('altitude = "100 ft"\n', encoding="utf-8")
    words = ("kitchen", "altitude=4300 ft", "--kitchen", str(kitchen))
    with started(sys.executable, "-c", SLOW_DISK, str(int(number)), *words, cwd=tmp_path) as running:
        out, err = running.communicate(timeout=PATIENCE_S)
    assert (running.returncode, out, err) == (code, "", "")
    assert 'altitude = "4300 ft"' in kitchen.read_text(encoding="utf-8")
    assert [path.name for path in tmp_path.iterdir() if path.name.endswith(".new")] == []


def test_what_the_surroundings_ignore_stays_ignored() -> None:
    """As under nohup, or in the background of a script."""
    ignoring = (
        "import os, signal, sys; signal.signal(signal.SIGHUP, signal.SIG_IGN); os.execv(sys.executable, [sys.executable, *sys.argv[1:]])"
    )
    with started(sys.executable, "-c", ignoring, "-m", "jamcalc", "check", "-", stdin=subprocess.PIPE) as running:
        assert running.stdin is not None
        running.stdin.write("#" * recipefile.MOST_BYTES)  # it waits for one byte more, and the pipe takes more once it is being read
        running.stdin.flush()
        assert select.select([], [running.stdin], [], PATIENCE_S)[1]
        running.send_signal(signal.SIGHUP)
        out, err = running.communicate("#", timeout=PATIENCE_S)
    assert running.returncode == 2
    assert out == ""
    assert "standard input: " in err
