"""Writing a file whole or not at all, never over what nobody asked to lose, and one writer at a time.

The new text is written to a file beside it and renamed into place, so that after a kill or a power cut there is the old text or the
new one, never a piece. A lock on the file beside is the writer's turn: it ends with the process, and what a killed writer leaves there
is taken over by the next one in that folder. Knows nothing of what is written.
"""

from __future__ import annotations

import os
import stat
import sys
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import IO

from jamcalc.errors import FileStays, InputError
from jamcalc.reading.interrupts import finish_first
from jamcalc.words.units import visible

BESIDE = ".jamcalc.new"
WAIT_S = 10.0  # for the turns of others; one takes milliseconds

if sys.platform == "win32":
    import msvcrt

    def _take(lock: int) -> None:
        msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(lock: int) -> None:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)


def write_whole(path: Path, text: str | bytes, *, replace: bool = False, never: Iterable[Path] = ()) -> bool:
    """Put the text in the file. A link stays a link, and a file that was there keeps its permissions and its owner.

    Parameters
    ----------
    path : the folder has to be there
    replace : whether other content may be written over
    never : files that are not written over even then, nor by a link to them or another spelling of their path

    Returns
    -------
    bool : False where the file held this very text already, and nothing had to be done

    Raises
    ------
    FileStays : the file stands as it was, because it must not be written over
    InputError : it cannot be written; the old file stands as it was
    """
    return _write(path, lambda: text, replace=replace, never=never)


def rewrite(path: Path, new_text: Callable[[], str]) -> None:
    """Put a new text in the place of the old one, of which no other writer gets in between; the folder is made where there is none.

    Raises FileStays and InputError as `write_whole` does, and whatever `new_text` raises; the old file then stands.
    """
    _write(path, new_text, replace=True, make_folder=True)


def why(error: Exception) -> str:
    """The system's reason in a few words."""
    return (error.strerror or "no reason given").lower() if isinstance(error, OSError) else "there can be no such name"


def _write(
    path: Path, new_text: Callable[[], str | bytes], *, replace: bool, never: Iterable[Path] = (), make_folder: bool = False
) -> bool:
    """Write what `new_text` gives once it is our turn. What the system says against it becomes one line."""
    try:
        place = Path(os.path.realpath(path))  # the file itself, where the path is a link to it
        if any(_same(place, other) for other in never):
            raise FileStays(f"{visible(str(path))} is a file that jamcalc reads here, and stays as it is: name another")
        if make_folder:
            place.parent.mkdir(parents=True, exist_ok=True)
        beside = place.with_name(BESIDE)
        with finish_first(), open(_turn(path, beside), "wb") as file:  # closing it ends the turn
            in_place = False
            try:
                text = new_text()
                content = text.encode("utf-8") if isinstance(text, str) else text
                if _to_be_written(path, place, content, replace):
                    _fill(path, place, file, content)
                    _let_go(file)
                    os.replace(beside, place)
                    in_place = True
            finally:
                if not in_place:
                    with suppress(OSError):  # a full disk says so once more
                        _let_go(file)
                    with suppress(OSError):
                        beside.unlink()
            return in_place
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise InputError(f"{visible(str(path))} cannot be written: {why(error)}") from error


def _same(place: Path, other: Path) -> bool:
    try:
        return os.path.samefile(place, other)  # for a disk that does not tell capitals apart
    except OSError:  # one of them is not there
        return place == Path(os.path.realpath(other))


def _turn(path: Path, beside: Path) -> int:
    """The file beside, open, and locked for this writer alone."""
    give_up = time.monotonic() + WAIT_S
    while True:
        descriptor = os.open(beside, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        with suppress(BlockingIOError, PermissionError, FileNotFoundError):  # another's turn, or one that has just ended with a rename
            _take(descriptor)
            if os.path.samestat(os.fstat(descriptor), os.stat(beside)):
                return descriptor
        os.close(descriptor)
        if time.monotonic() > give_up:
            raise InputError(f"{visible(str(path))} is being changed by another jamcalc: try again in a moment")
        time.sleep(0.005)


def _let_go(file: IO[bytes]) -> None:
    """Before a rename or removal: Windows does neither to an open file, elsewhere the turn lasts until it is done."""
    if sys.platform == "win32":
        file.close()


def _to_be_written(path: Path, place: Path, content: bytes, replace: bool) -> bool:
    """Whether there is anything to do; FileStays or InputError where it must not be done."""
    if not place.exists():
        return True
    if not place.is_file():  # a rename would put a file in the place of a device
        raise InputError(f"{visible(str(path))} is not a file: name another")
    with place.open("rb") as old:
        if old.read(len(content) + 1) == content:
            return False
    if not place.stat().st_mode & 0o222:  # a rename would not mind
        raise FileStays(f"{visible(str(path))} is write-protected, and stays as it is")
    if not replace:
        raise FileStays(f"{visible(str(path))} is there with other content, and stays as it is", replaceable=True)
    return True


def _fill(path: Path, place: Path, file: IO[bytes], content: bytes) -> None:
    """Give the new file the owner and the permissions of the old one, then its content, down to the disk."""
    if place.exists() and hasattr(os, "fchmod"):
        old, new = place.stat(), os.fstat(file.fileno())
        if (old.st_uid, old.st_gid) != (new.st_uid, new.st_gid):
            try:
                os.chown(file.fileno(), old.st_uid, old.st_gid)
            except PermissionError:
                raise FileStays(f"{visible(str(path))} belongs to another user or group, and stays as it is") from None
        os.fchmod(file.fileno(), stat.S_IMODE(old.st_mode))
    file.truncate(0)  # a killed writer may have left more
    file.write(content)
    file.flush()
    os.fsync(file.fileno())  # before the rename, or a power cut keeps the name and not the text
