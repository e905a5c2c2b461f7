"""The kitchen file: what it says, and how one setting in it is changed.

A bad line never stops a batch: it is named, and the default holds. A change leaves every other line as it was, comments too, and
the file is written whole or not at all.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from jamcalc.errors import InputError, RecipeError
from jamcalc.kitchen import household
from jamcalc.kitchen.household import Kitchen
from jamcalc.reading.safefile import rewrite, why
from jamcalc.reading.textfile import Unreadable, content, decoded, statement_end, toml
from jamcalc.words.units import shown, visible

MOST_BYTES = 20_000  # a kitchen file has a dozen lines
MOST_LINES = 400
MOST_LINES_IN_A_LIST = 40
NOT_TOML = 'cannot be read as TOML: write KEY = "words", such as altitude = "4300 ft"'
HEADER = '# The kitchen that jamcalc works with. Change it here, or with: jamcalc kitchen altitude="4300 ft"\n'


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
        after = statement_end(lines, number, MOST_LINES_IN_A_LIST)
        setting = None
        if after is not None:
            with contextlib.suppress(Unreadable):
                setting = toml("\n".join(lines[number:after]))
        if setting and after is not None:
            key, value = next(iter(setting.items()))
            yield _Statement(first=number, after=after, key=key, value=value)
            number = after
        else:
            yield _Statement(first=number, after=number + 1, key=line.split("=")[0].strip().strip("\"'"), fault=NOT_TOML)
            number += 1


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
    fields, problems = household.fields(document)
    return Kitchen(**fields), tuple(f"{visible(path.name)}: {problem}" for problem in faults + problems)


def _text(path: Path) -> str:
    """The text of the file, empty where there is none."""
    name = f"kitchen file {visible(str(path))}"
    try:
        if str(path) == os.devnull:
            return ""
        if not stat.S_ISREG(path.stat().st_mode):
            raise InputError(f"{name} is not a file: name another with --kitchen")
        text = decoded(content(path, MOST_BYTES), MOST_BYTES)
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except Unreadable as error:
        raise InputError(f"{name}: {error}") from error
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise InputError(f"{name} cannot be opened: {why(error)}") from error
    if text.count("\n") > MOST_LINES:
        raise InputError(f"{name}: more than {MOST_LINES} lines; a kitchen file has a dozen")
    return text


def change(path: Path, changes: Mapping[str, str | list[str] | int | None]) -> Kitchen:
    """Set some settings in the file and leave all its other lines as they were; None or "" takes a setting out.

    Parameters
    ----------
    path : of the kitchen file; the folder and the file are made where there are none
    changes : keys of the file, values as a cook writes them: {"altitude": "4300 ft", "jars": ["11 half-pints"]}

    Returns
    -------
    Kitchen : what the whole file now says (`read` names what is wrong in its other lines)

    Raises
    ------
    RecipeError : a key or value that cannot be read; nothing is written
    FileStays : the file is write-protected or another's
    InputError : the file or its folder cannot be read, locked or written; the old file stands
    """
    wanted = {key: value for key, value in changes.items() if value is not None and value != ""}
    _, problems = household.fields(wanted)
    problems += household.fields({key: "" for key in changes if key not in household.SETTINGS and key not in wanted})[1]
    if problems:
        raise RecipeError(problems)

    def edited() -> str:
        text = _edited(_text(path) or HEADER, {key: wanted.get(key) for key in changes})
        if len(text.encode("utf-8")) > MOST_BYTES or text.count("\n") > MOST_LINES:
            raise InputError(f"kitchen file {visible(str(path))} would be too large: it has room for a dozen settings")
        return text

    if wanted or _text(path):
        rewrite(path, edited)
    return read(path)[0]


def _edited(text: str, changes: Mapping[str, str | list[str] | int | None]) -> str:
    """The text with the lines of the changed settings replaced, new ones after the last setting."""
    lines = text.rstrip("\n").split("\n")
    new = {key: f"{key} = {household.toml(value)}" for key, value in changes.items() if value is not None}
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
