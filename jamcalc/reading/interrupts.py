"""Ctrl-C, a terminal that closes, a request to end: the program ends at once, whatever it is doing, and leaves nothing half done.

A thread of its own waits for these signals. A handler would not do: Python runs it between two of its own steps, so that a
Ctrl-C is lost where a prompt is just about to wait for a key, and in a library half imported it comes out as a traceback.
Where the platform cannot wait for signals, Ctrl-C stays Python's KeyboardInterrupt. Safefile finishes a file first.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Event, Lock
from typing import Any

SHELL_ADDS = 128  # to the signal's number: 129 hang-up, 130 Ctrl-C, 131 Ctrl-\, 143 a request to end
FINISH_S = 2.0  # for a file that is being written; then the program ends all the same

_writing = Lock()
_called: list[Event] = []  # once a signal has come
_terminal: list[Any] = []  # its settings before the first question
_first: list[str] = []  # what the first Ctrl-C says instead of ending, where something would be lost


def watch() -> None:
    """From here on end at once, with the exit code that a shell reports. What the surroundings ignore, as nohup does, stays ignored."""
    import signal
    import threading

    if sys.platform == "win32":
        return
    names = (signal.SIGHUP, signal.SIGINT, signal.SIGQUIT, signal.SIGTERM)
    ending = {number for number in names if signal.getsignal(number) is not signal.SIG_IGN}
    signal.pthread_sigmask(signal.SIG_BLOCK, ending)
    try:
        threading.Thread(target=_end, args=(ending,), daemon=True).start()
    except RuntimeError:  # no thread to be had
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ending)


def keep_terminal() -> None:
    """Remember how the terminal is set: a line editor sets it otherwise while it waits for keys."""
    with suppress(ImportError, OSError, ValueError):
        import termios

        with suppress(termios.error):
            _terminal[:] = termios.tcgetattr(sys.stdin.fileno())


@contextmanager
def finish_first() -> Iterator[None]:
    """What is begun in here is finished before a signal ends the program."""
    with _writing:
        yield
    if _called:
        _called[0].wait()  # for the end


def ask_first(text: str) -> None:
    """What to say at the next Ctrl-C instead of ending; the one after it ends, and "" lets the next one end."""
    _first[:] = [text] if text else []


def _end(ending: set[Any]) -> None:
    import signal

    number = signal.sigwait(ending)
    while number == signal.SIGINT and _first:
        _say(_first.pop())
        number = signal.sigwait(ending)
    _called.append(Event())
    _writing.acquire(timeout=FINISH_S)
    if _terminal:
        _put_back()
    os._exit(SHELL_ADDS + number)  # not sys.exit: that ends a thread, and the other one may be waiting for a key


def _say(text: str) -> None:
    """A text at the terminal where a prompt waits, and once more what has been typed after it."""
    editor = sys.modules.get("readline")
    typed = editor.get_line_buffer() if editor is not None else ""
    with suppress(OSError, ValueError):
        os.write(sys.stdout.fileno(), f"{text}{typed}".encode(sys.stdout.encoding, "replace"))


def _put_back() -> None:
    """The terminal as it was, and the shell's prompt on a line of its own; unless another program has the terminal by now."""
    import termios

    with suppress(OSError, ValueError, termios.error):  # a terminal that has gone
        terminal = sys.stdin.fileno()
        if os.tcgetpgrp(terminal) == os.getpgrp():
            termios.tcsetattr(terminal, termios.TCSANOW, _terminal)
            os.write(sys.stdout.fileno(), b"\n")
