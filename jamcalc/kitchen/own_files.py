"""A person's own two files: where the kitchen file and the batch book are by the rules of each platform, and what the kitchen file says.

Small, since every command asks; the reader of the kitchen file is loaded where there is one to read.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc.errors import InputError, RecipeError
from jamcalc.words import units
from jamcalc.words.complaint import complain

if TYPE_CHECKING:
    from jamcalc.kitchen.household import Kitchen

NO_HOME = "no home folder is known, and so no {}: name one with {} or in {}"
# By platform: the variable that names the folder, and where it is in the home folder otherwise.
SETTINGS = {
    "win32": ("APPDATA", "AppData/Roaming"), "darwin": ("", "Library/Application Support"), "linux": ("XDG_CONFIG_HOME", ".config"),
}  # fmt: skip
DATA = {
    "win32": ("LOCALAPPDATA", "AppData/Local"), "darwin": ("", "Library/Application Support"), "linux": ("XDG_DATA_HOME", ".local/share"),
}  # fmt: skip


def book_path(options: SimpleNamespace) -> Path:
    """Where the batch book is, or would be. Raises InputError where no place is known."""
    path = book_file(options)
    if path is None:
        raise InputError(NO_HOME.format("batch book", "--book FILE", "JAMCALC_BOOK"))
    return path


def book_file(options: SimpleNamespace) -> Path | None:
    """The same, and None where no place is known."""
    return book_place(os.environ, sys.platform, home_folder(), getattr(options, "book", None))


def kitchen_path(options: SimpleNamespace) -> Path:
    """Where the kitchen file is, or would be. Raises InputError where no place is known."""
    path = kitchen_file(options.kitchen)
    if path is None:
        raise InputError(NO_HOME.format("kitchen file", "--kitchen FILE", "JAMCALC_KITCHEN"))
    return path


def kitchen_file(option: str | None = None) -> Path | None:
    """Where the kitchen file is that an option names, or the usual one; None where no home folder is known. InputError: no fit name."""
    for source, name in (("--kitchen", option), ("JAMCALC_KITCHEN", os.environ.get("JAMCALC_KITCHEN"))):
        if name:
            check_name(source, name)
    return kitchen_place(os.environ, sys.platform, home_folder(), option)


def kitchen(options: SimpleNamespace) -> Kitchen:
    """The kitchen file's settings; what is wrong with it is said, and the defaults are used.

    Raises InputError where --kitchen names a file that is not there: a slip that would change the answer unseen.
    """
    from jamcalc.kitchen.household import Kitchen  # facts and recipes need not load it

    path = kitchen_file(options.kitchen) if options.kitchen is None else kitchen_path(options)
    if path is None:
        complain(NO_HOME.format("kitchen file", "--kitchen FILE", "JAMCALC_KITCHEN"))
        return Kitchen()
    if _is_missing(path):
        if options.kitchen is not None:
            raise InputError(f'--kitchen "{units.visible(options.kitchen)}": no such file; jamcalc kitchen altitude="4300 ft" makes one')
        return Kitchen()
    from jamcalc.kitchen import home_file

    home, problems = home_file.read(path)
    if problems:
        complain_of_kitchen(problems)
    return home


def _is_missing(path: Path) -> bool:
    """Whether there is nothing by that name; what is there and cannot be opened is home_file's to tell."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return True
    except (OSError, ValueError):
        return False
    return False


def complain_of_kitchen(problems: tuple[str, ...]) -> None:
    """The first problems of a kitchen file, a line for each, and how many more there are."""
    for line in RecipeError(list(problems)).told():
        complain(line if line in problems else f"{line} in the kitchen file")


def common(options: SimpleNamespace, home: Kitchen) -> dict[str, Any]:
    """The options that every answer shares: the command line beats the kitchen file, the file beats the defaults."""
    given = {
        "jar": options.jar,
        "altitude": home.altitude_ft if options.altitude is None else options.altitude,
        "units": options.units or home.units,
    }
    if hasattr(options, "pectin_spoon"):
        given["pectin_spoon"] = home.pectin_g_per_tsp if options.pectin_spoon is None else options.pectin_spoon
        given["calcium_spoon"] = home.calcium_water_mg_per_tsp if options.calcium_spoon is None else options.calcium_spoon
    return {name: value for name, value in given.items() if value is not None}


def check_name(option: str, name: str) -> None:
    """Refuse a file's name that no one could read or type."""
    if not units.readable(name).isprintable():
        raise InputError(f'{option} "{units.visible(name)}" holds control characters: name the file in plain text')


# ---------------------------------------------------------------- where they are


def home_folder() -> Path | None:
    """The user's home folder; None where the system knows none, or HOME says a place that depends on where one stands."""
    home = os.path.expanduser("~")
    return Path(home) if os.path.isabs(home) else None


def book_place(environ: Mapping[str, str], platform: str, home: Path | None, option: str | None = None) -> Path | None:
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
    return _place(Path("jamcalc", "book.sqlite"), environ, platform, home, option or environ.get("JAMCALC_BOOK"), DATA)


def kitchen_place(environ: Mapping[str, str], platform: str, home: Path | None, option: str | None = None) -> Path | None:
    """Where the kitchen file is: the option, else JAMCALC_KITCHEN, else the platform's place for settings. Otherwise as `book_place`."""
    return _place(Path("jamcalc", "kitchen.toml"), environ, platform, home, option or environ.get("JAMCALC_KITCHEN"), SETTINGS)


def _place(
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
