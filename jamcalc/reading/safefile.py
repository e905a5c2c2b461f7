"""Writing a file whole or not at all, never over what nobody asked to lose, and one writer at a time.

Whoever reads the file, or looks at it after a kill or a power cut, finds the old text or the new one, never a piece. The new text
is written to a file beside it, whose lock is the writer's turn, and renamed into place: what a killed writer leaves there is taken
over by the next writer of that file. Knows nothing of what is written.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
import time
import zlib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from jamcalc.errors import FileStays, InputError
from jamcalc.reading.interrupts import finish_first
from jamcalc.words.units import visible

WAIT_S = 2.0  # for a writer that does not get on; a turn takes milliseconds

if sys.platform == "win32":
    import msvcrt

    def _take(lock: int) -> None:
        msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(lock: int) -> None:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)


@finish_first()
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
    with _said(path):
        content = text.encode("utf-8") if isinstance(text, str) else text
        place = _place(path)
        if any(_same(place, other) for other in never):
            raise FileStays(f"{visible(str(path))} is a file that jamcalc reads here, and stays as it is: name another")
        if not _to_be_written(path, place, content, replace) and not _beside(place).exists():
            return False
        with _turn(path, place) as put:
            wanted = _to_be_written(path, place, content, replace)  # another writer may have had its turn first
            if wanted:
                put(content)
            return wanted


@finish_first()
def rewrite(path: Path, new_text: Callable[[], str]) -> None:
    """Put a new text in the place of the old one, of which no other writer gets in between; the folder is made where there is none.

    Raises FileStays and InputError as `write_whole` does, and whatever `new_text` raises; the old file then stands.
    """
    with _said(path):
        place = _place(path)
        _check(path, place)
        place.parent.mkdir(parents=True, exist_ok=True)
        with _turn(path, place) as put:
            content = new_text().encode("utf-8")
            if _to_be_written(path, place, content, replace=True):
                put(content)


def why(error: Exception) -> str:
    """The system's reason in a few words."""
    return (error.strerror or "no reason given").lower() if isinstance(error, OSError) else "there can be no such name"


@contextlib.contextmanager
def _said(path: Path) -> Iterator[None]:
    """Turn what the system says into one line; what is ours goes through."""
    try:
        yield
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise InputError(f"{visible(str(path))} cannot be written: {why(error)}") from error


def _place(path: Path) -> Path:
    """The file itself, where the path is a link to it."""
    return Path(os.path.realpath(path))


def _same(place: Path, other: Path) -> bool:
    try:
        return os.path.samefile(place, other)
    except OSError:  # one of them is not there
        return place == _place(other)


def _to_be_written(path: Path, place: Path, content: bytes, replace: bool) -> bool:
    """Whether there is anything to do; FileStays where it must not be done."""
    if not place.exists():
        return True
    if place.is_file():
        with place.open("rb") as file:
            if file.read(len(content) + 1) == content:
                return False
    _check(path, place)
    if not replace:
        raise FileStays(f"{visible(str(path))} is there with other content, and stays as it is", replaceable=True)
    return True


def _check(path: Path, place: Path) -> None:
    """Refuse what must not be written over, whoever wishes it."""
    if not place.exists():
        return
    if not place.is_file():  # a rename would put a file in the place of a device
        raise InputError(f"{visible(str(path))} is not a file: name another")
    if not place.stat().st_mode & 0o222 or not os.access(place, os.W_OK):
        raise FileStays(f"{visible(str(path))} is write-protected, and stays as it is")


# ---------------------------------------------------------------- a writer's turn


def _beside(place: Path) -> Path:
    """Where the new text is written: by a number, since a long name has no room for more; two of one number wait for one another."""
    return place.with_name(f".jamcalc-{zlib.crc32(os.fsencode(place.name)):08x}.new")


@contextlib.contextmanager
def _turn(path: Path, place: Path) -> Iterator[Callable[[bytes], None]]:
    """The turn of one writer, and how it puts the file in place; without that, nothing is left behind."""
    beside = _beside(place)
    descriptor = _taken(path, beside)
    in_place = False

    def put(content: bytes) -> None:
        nonlocal in_place
        os.ftruncate(descriptor, 0)  # a writer was killed here
        with open(descriptor, "wb", closefd=False) as file:
            file.write(content)
        _as_before(path, descriptor, place)
        os.fsync(descriptor)
        if sys.platform == "win32":  # which renames no open file
            os.close(descriptor)
        os.replace(beside, place)
        in_place = True

    try:
        yield put
    finally:
        with contextlib.suppress(OSError):
            if not in_place:
                beside.unlink()
        with contextlib.suppress(OSError):
            os.close(descriptor)


def _taken(path: Path, beside: Path) -> int:
    """The file beside, open and locked, once it is our turn; the turns of others are waited for, as long as they come and go."""
    seen, give_up = None, 0.0
    while True:
        descriptor = os.open(beside, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
        held = os.fstat(descriptor)
        try:
            _take(descriptor)
            if os.path.samestat(held, os.stat(beside)):
                return descriptor
        except OSError as error:
            if error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK, errno.ENOENT):
                os.close(descriptor)
                raise
        os.close(descriptor)  # another's turn, or one that has just ended with a rename
        turn = (held.st_ino, held.st_ctime_ns)
        if turn != seen:
            seen, give_up = turn, time.monotonic() + WAIT_S
        elif time.monotonic() > give_up:
            raise InputError(f"{visible(str(path))} is being changed by another jamcalc: try again in a moment")
        time.sleep(0.005)


def _as_before(path: Path, descriptor: int, place: Path) -> None:
    """Give the new file the permissions and the owner of the old one, or those of any new file."""
    try:
        old = place.stat()
    except FileNotFoundError:
        mask = os.umask(0o077)
        os.umask(mask)
        mode = 0o666 & ~mask
    else:
        mode, new = stat.S_IMODE(old.st_mode), os.fstat(descriptor)
        if (old.st_uid, old.st_gid) != (new.st_uid, new.st_gid):
            try:
                os.chown(descriptor, old.st_uid, old.st_gid)
            except PermissionError:
                raise FileStays(f"{visible(str(path))} belongs to another user or group, and stays as it is") from None
    if hasattr(os, "fchmod"):
        os.fchmod(descriptor, mode)
