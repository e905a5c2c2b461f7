"""Writing a file whole or not at all, and one writer at a time.

Whoever reads the file, or looks at it after a power cut, finds the old text or the new one, never a piece.
Knows nothing of what is written. Called by kitchenfile, printing and guide.
"""

from __future__ import annotations

import contextlib
import errno
import glob
import os
import stat
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from jamcalc.errors import InputError
from jamcalc.interrupts import finish_first
from jamcalc.units import shown

WAIT_S = 5.0  # for another writer to finish; a write takes milliseconds

if sys.platform == "win32":
    import msvcrt

    def _take(lock: int) -> None:
        msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(lock: int) -> None:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)


@finish_first()
def write_whole(path: Path, text: str | bytes) -> None:
    """Put the text, or the bytes as they are, in the place of the file: written beside it, brought to the disk, then renamed over it.

    A link stays a link, and the file keeps its permissions. Two writers at once need `locked`.

    Raises InputError where it cannot be written; the old file then stands as it was.
    """
    try:
        place = Path(os.path.realpath(path))
        beside = place.with_name(f".{place.name}.{os.getpid()}.new")
        if place.exists() and not place.is_file():  # a rename would put a file in the place of a device
            raise InputError(f"{shown(str(path), 100)} is not a file: name another")
        mode = stat.S_IMODE(place.stat().st_mode) if place.exists() else 0o666
        beside.unlink(missing_ok=True)  # left by a writer that was killed and had our number
        descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        try:
            with open(descriptor, "wb") as file:
                file.write(text.encode("utf-8") if isinstance(text, str) else text)
                file.flush()
                os.fsync(descriptor)
            os.replace(beside, place)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
        _sync_folder(place.parent)
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise InputError(f"{shown(str(path), 100)} cannot be written: {why(error)}") from error


@contextlib.contextmanager
def locked(path: Path) -> Iterator[None]:
    """Keep other writers of the file out, until the end of the block or of the process, however it ends.

    The lock is on a small file beside it that stays, because a lock on the file itself would go with the rename.

    Raises InputError where another writer does not finish within 5 seconds, or the folder cannot be written.
    """
    try:
        place = Path(os.path.realpath(path))
        place.parent.mkdir(parents=True, exist_ok=True)
        lock = os.open(place.with_name(f".{place.name}.lock"), os.O_RDWR | os.O_CREAT, 0o666)
    except (OSError, ValueError) as error:
        raise InputError(f"{shown(str(path), 100)} cannot be written: {why(error)}") from error
    try:
        give_up = time.monotonic() + WAIT_S
        while True:
            try:
                _take(lock)
                break
            except OSError as error:
                if error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK, errno.EINTR):
                    raise InputError(f"{shown(str(path), 100)} cannot be locked: {why(error)}") from error
                if time.monotonic() > give_up:
                    raise InputError(f"{shown(str(path), 100)} is being changed by another jamcalc: try again in a moment") from error
                time.sleep(0.01)
        for left_behind in place.parent.glob(f".{glob.escape(place.name)}.*.new"):  # by writers that were killed
            left_behind.unlink(missing_ok=True)
        yield
    finally:
        os.close(lock)


def why(error: Exception) -> str:
    """The system's reason in a few words."""
    return (error.strerror or "no reason given").lower() if isinstance(error, OSError) else "there can be no such name"


def _sync_folder(folder: Path) -> None:
    """Bring the rename itself to the disk, where the platform lets a folder be opened."""
    if sys.platform != "win32":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
