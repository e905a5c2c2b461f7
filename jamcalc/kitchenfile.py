"""The kitchen file: where it is, what it says, and how one setting in it is changed.

A bad line never stops a batch: it is named, and the default holds. A change leaves every other line as it was, comments too, and
the file is written whole or not at all. Called by printing and looking_up.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from jamcalc import kitchen
from jamcalc.errors import InputError, RecipeError
from jamcalc.kitchen import Kitchen
from jamcalc.safefile import locked, why, write_whole
from jamcalc.units import shown

MOST_BYTES = 20_000  # a kitchen file has a dozen lines
MOST_LINES_IN_A_LIST = 40
NOT_TOML = 'cannot be read as TOML: write KEY = "words", such as altitude = "4300 ft"'
HEADER = '# The kitchen that jamcalc reckons with. Change it here, or with: jamcalc kitchen altitude="4300 ft"\n'


def location(environ: Mapping[str, str], platform: str, home: Path, option: str | None = None) -> Path:
    """Where the kitchen file is: the option, else JAMCALC_KITCHEN, else the platform's place for a user's settings.

    Parameters
    ----------
    environ : os.environ
    platform : sys.platform
    home : the user's home folder
    option : what --kitchen says

    Returns
    -------
    Path : whether or not there is a file
    """
    if chosen := option or environ.get("JAMCALC_KITCHEN"):
        return home / chosen[2:] if chosen.startswith("~/") else Path(chosen)
    if platform == "win32":
        folder = Path(environ.get("APPDATA") or home / "AppData" / "Roaming")
    elif platform == "darwin":
        folder = home / "Library" / "Application Support"
    else:
        folder = Path(environ.get("XDG_CONFIG_HOME", ""))
        if not folder.is_absolute():  # the XDG rule: a relative folder is to be ignored
            folder = home / ".config"
    return folder / "jamcalc" / "kitchen.toml"


# ---------------------------------------------------------------- the text of the file, statement by statement


@dataclass(frozen=True, kw_only=True)
class _Statement:
    """Some lines of the file that set one key; `value` is None and `fault` says why where they are not TOML."""

    first: int
    after: int
    key: str
    value: object = None
    fault: str = ""


def _statements(lines: list[str]) -> Iterator[_Statement]:
    """Each setting by itself, so that one bad line does not take the others with it."""
    number = 0
    while number < len(lines):
        line = lines[number].strip()
        if not line or line.startswith("#"):
            number += 1
            continue
        if line.startswith("["):  # whatever follows belongs to it, and there is no way back
            yield _Statement(
                first=number, after=len(lines), key=line, fault="the kitchen file has no sections: write every setting above this line"
            )
            return
        is_open = re.search(r"=\s*(\[|\"\"\"|''')", line) is not None
        for after in range(number + 1, min(number + (MOST_LINES_IN_A_LIST if is_open else 1), len(lines)) + 1):
            try:
                found = tomllib.loads("\n".join(lines[number:after]))
                break
            except (ValueError, RecursionError):  # tomllib's own error is a ValueError, and so is a number of 5,000 digits
                continue
        else:
            yield _Statement(first=number, after=number + 1, key=line.split("=")[0].strip().strip("\"'"), fault=NOT_TOML)
            number += 1
            continue
        key, value = next(iter(found.items()))
        yield _Statement(first=number, after=after, key=key, value=value)
        number = after


def _document(text: str) -> tuple[dict[str, object], list[str]]:
    document: dict[str, object] = {}
    problems = []
    for statement in _statements(text.split("\n")):
        where = f"line {statement.first + 1}"
        if statement.fault:
            problems.append(f"{where}, {shown(statement.key) or 'no name'}: {statement.fault}")
        elif statement.key in document:
            problems.append(f"{where}, {shown(statement.key) or 'no name'}: set a second time; the first one holds")
        else:
            document[statement.key] = statement.value
    return document, problems


def read(path: Path) -> tuple[Kitchen, tuple[str, ...]]:
    """What the file says, and one line for everything in it that cannot be read; no file is an empty kitchen."""
    try:
        text = _text(path)
    except InputError as error:
        return Kitchen(), (str(error),)
    document, faults = _document(text)
    fields, problems = kitchen.fields(document)
    return Kitchen(**fields), tuple(f"{shown(path.name)}: {problem}" for problem in faults + problems)


def _text(path: Path) -> str:
    """The text of the file, empty where there is none."""
    name = f"kitchen file {shown(str(path), 100)}"
    try:
        kind = path.stat().st_mode
        if str(path) == os.devnull:
            return ""
        if not stat.S_ISREG(kind):
            raise InputError(f"{name} is not a file: name another with --kitchen")
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise InputError(f"{name} cannot be opened: {why(error)}") from error
    if len(raw) > MOST_BYTES:
        raise InputError(f"{name} is too large: a kitchen file has a dozen lines")
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise InputError(f"{name} is not UTF-8 text: save it as such") from error


def change(path: Path, changes: Mapping[str, str | list[str] | int | None]) -> Kitchen:
    """Set some settings in the file and leave all its other lines as they were; None or "" takes a setting out.

    Parameters
    ----------
    path : from `location`; the folder and the file are made where there are none
    changes : keys of the file, values as a cook writes them: {"altitude": "4300 ft", "jars": ["11 half-pints"]}

    Returns
    -------
    Kitchen : what the whole file now says (`read` names what is wrong in its other lines)

    Raises
    ------
    RecipeError : a key or value that cannot be read; nothing is written
    InputError : the file or its folder cannot be read, locked or written; the old file stands
    """
    wanted = {key: value for key, value in changes.items() if value is not None and value != ""}
    _, problems = kitchen.fields(wanted)
    problems += kitchen.fields({key: "" for key in changes if key not in kitchen.SETTINGS and key not in wanted})[1]
    if problems:
        raise RecipeError(problems)
    with locked(path):
        write_whole(path, _edited(_text(path) or HEADER, {key: wanted.get(key) for key in changes}))
        return read(path)[0]


def _edited(text: str, changes: Mapping[str, str | list[str] | int | None]) -> str:
    """The text with the lines of the changed settings replaced, new ones after the last setting."""
    lines = text.rstrip("\n").split("\n")
    new = {key: f"{key} = {kitchen.toml(value)}" for key, value in changes.items() if value is not None}
    edited: list[str] = []
    done, end = 0, len(lines)
    for statement in _statements(lines):
        if statement.key.startswith("["):
            end = statement.first
        elif statement.key in changes:
            edited += lines[done : statement.first]
            if statement.key in new:  # set twice in the old file: the first line takes the new value, the second goes
                edited.append(new.pop(statement.key))
            done = statement.after
    return "\n".join([*edited, *lines[done:end], *new.values(), *lines[end:]]) + "\n"
