"""What all commands share: printing an answer, writing a file, the kitchen's settings, the recipe that is named.

Holds no chemistry and no wording of answers. Called by commands, looking_up and carding.
"""

from __future__ import annotations

import io
import json
import os
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from jamcalc import kitchenfile, recipefile, units
from jamcalc.errors import InputError
from jamcalc.kitchen import Kitchen
from jamcalc.model import Recipe

MOST_COMPLAINTS = 8  # of a kitchen file that is no kitchen file


def say(text: str) -> None:
    print(text)


def complain(text: str) -> None:
    """A line on standard error; nowhere where that is closed, since print would then take standard output."""
    if sys.stderr is not None:
        print(f"jamcalc: {text}", file=sys.stderr)


def json_text(value: Any) -> str:
    return json.dumps(value, indent=2, allow_nan=False)


def show(screen: Any) -> None:
    """A screen on standard output."""
    from jamcalc.layout import console

    if sys.stdout is not None:
        console(sys.stdout).print(screen)


def plain_text(screen: Any) -> str:
    """A screen as a file holds it."""
    from jamcalc.layout import console

    stream = io.StringIO()
    console(stream).print(screen)
    return stream.getvalue()


# ---------------------------------------------------------------- files


def ending(options: SimpleNamespace, allowed: tuple[str, ...]) -> str:
    """The ending of the file to write, or "" where none is asked for; said before any work is done."""
    if options.output is None:
        return ""
    path = Path(options.output)
    name = f'-o "{units.shown(options.output)}"'
    if path.suffix.lower() not in allowed:
        raise InputError(f"{name}: the ending says what to write: {', '.join(allowed)}")
    if not path.parent.is_dir():
        raise InputError(f"{name}: there is no such folder; make it first, or write to another")
    return path.suffix.lower()


def write(path: str, text: str) -> None:
    """Write a file whole or not at all, and say so on standard error. Called before anything is printed."""
    from jamcalc.safefile import write_whole

    write_whole(Path(path), text)
    complain(f"wrote {units.shown(path)}")


def recipe(options: SimpleNamespace) -> Recipe:
    """The recipe that is named: a file, one that comes with the program, or - for standard input."""
    if options.words[0] != "-":
        return recipefile.read(options.words[0])
    if sys.stdin is None:
        raise InputError("standard input is closed: name a recipe file instead of -")
    return recipefile.read(sys.stdin.buffer)


# ---------------------------------------------------------------- the kitchen


def kitchen_path(options: SimpleNamespace) -> Path:
    return kitchenfile.location(os.environ, sys.platform, Path.home(), options.kitchen)


def kitchen(options: SimpleNamespace) -> Kitchen:
    """The kitchen file's settings; what is wrong with it is said, and the defaults are used.

    Raises InputError where --kitchen names a file that is not there: a slip that would change the answer unseen.
    """
    path = kitchen_path(options)
    if options.kitchen is not None and not os.path.lexists(path):
        raise InputError(f'--kitchen "{units.shown(options.kitchen)}": no such file; jamcalc kitchen altitude="4300 ft" makes one')
    found, problems = kitchenfile.read(path)
    complain_of_kitchen(problems)
    return found


def complain_of_kitchen(problems: tuple[str, ...]) -> None:
    for problem in problems[:MOST_COMPLAINTS]:
        complain(problem)
    if len(problems) > MOST_COMPLAINTS:
        complain(f"and {len(problems) - MOST_COMPLAINTS} more in the kitchen file")


def common(options: SimpleNamespace, has: Kitchen) -> dict[str, Any]:
    """The options that every answer shares: the command line beats the kitchen file, the file beats the defaults."""
    given = {
        "jar": options.jar,
        "altitude": has.altitude_ft if options.altitude is None else options.altitude,
        "units": options.units or has.units,
    }
    if hasattr(options, "pectin_spoon"):
        given["pectin_spoon"] = has.pectin_g_per_tsp if options.pectin_spoon is None else options.pectin_spoon
        given["calcium_spoon"] = has.calcium_water_mg_per_tsp if options.calcium_spoon is None else options.calcium_spoon
    return {name: value for name, value in given.items() if value is not None}
