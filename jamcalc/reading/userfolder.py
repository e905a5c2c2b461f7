"""Where the files of a user are kept by the rules of each platform; knows nothing of what is in them.

Small, since every calculation asks whether there is a book.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

# By platform: the variable that names the folder, and where it is in the home folder otherwise.
SETTINGS = {
    "win32": ("APPDATA", "AppData/Roaming"), "darwin": ("", "Library/Application Support"), "linux": ("XDG_CONFIG_HOME", ".config"),
}  # fmt: skip
DATA = {
    "win32": ("LOCALAPPDATA", "AppData/Local"), "darwin": ("", "Library/Application Support"), "linux": ("XDG_DATA_HOME", ".local/share"),
}  # fmt: skip


def home_folder() -> Path | None:
    """The user's home folder; None where the system knows none, or HOME says a place that depends on where one stands."""
    home = os.path.expanduser("~")
    return Path(home) if os.path.isabs(home) else None


def book_path(environ: Mapping[str, str], platform: str, home: Path | None, option: str | None = None) -> Path | None:
    """Where the batch book is: the option, else JAMCALC_BOOK, else the platform's place for a user's data.

    Parameters
    ----------
    environ : os.environ
    platform : sys.platform
    home : the user's home folder; None where there is none
    option : what --book says

    Returns
    -------
    Path : whether or not there is a file; None where it would lie in a home folder that is not known
    """
    return file_path(Path("jamcalc", "book.sqlite"), environ, platform, home, option or environ.get("JAMCALC_BOOK"), DATA)


def kitchen_path(environ: Mapping[str, str], platform: str, home: Path | None, option: str | None = None) -> Path | None:
    """Where the kitchen file is: the option, else JAMCALC_KITCHEN, else the platform's place for settings. Otherwise as `book_path`."""
    return file_path(Path("jamcalc", "kitchen.toml"), environ, platform, home, option or environ.get("JAMCALC_KITCHEN"), SETTINGS)


def file_path(
    own: Path, environ: Mapping[str, str], platform: str, home: Path | None, chosen: str | None, folders: Mapping[str, tuple[str, str]]
) -> Path | None:
    """Where a file of the user is: as chosen, or `own` in the folder that the platform has for it."""
    if chosen and not chosen.startswith("~/"):
        return Path(chosen)
    variable, within_home = folders.get(platform, folders["linux"])
    folder = environ.get(variable)
    if folder and not chosen and (platform == "win32" or os.path.isabs(folder)):  # the XDG rule: a relative folder is to be ignored
        return Path(folder) / own
    if home is None:
        return None
    return home / chosen[2:] if chosen else home / within_home / own
