"""Where the data of a user are kept by the rules of each platform; knows nothing of what is in them.

Called by printing and by the book; small, since every calculation asks whether there is a book.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path


def book_path(environ: Mapping[str, str], platform: str, home: Path, option: str | None = None) -> Path:
    """Where the batch book is: the option, else JAMCALC_BOOK, else the platform's place for a user's data.

    Parameters
    ----------
    environ : os.environ
    platform : sys.platform
    home : the user's home folder
    option : what --book says

    Returns
    -------
    Path : whether or not there is a file
    """
    if chosen := option or environ.get("JAMCALC_BOOK"):
        return home / chosen[2:] if chosen.startswith("~/") else Path(chosen)
    if platform == "win32":
        folder = Path(environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif platform == "darwin":
        folder = home / "Library" / "Application Support"
    else:
        folder = Path(environ.get("XDG_DATA_HOME", ""))
        if not folder.is_absolute():  # the XDG rule: a relative folder is to be ignored
            folder = home / ".local" / "share"
    return folder / "jamcalc" / "book.sqlite"
