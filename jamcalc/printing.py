"""What all commands share: printing an answer, writing a file, the kitchen's settings, the recipe that is named.

Holds no chemistry and no wording of answers. Called by commands, looking_up, carding and guide.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc import kitchenfile, units, userfolder
from jamcalc.complaint import complain, writing
from jamcalc.errors import InputError

if TYPE_CHECKING:
    from jamcalc.kitchen import Kitchen
    from jamcalc.model import Recipe

LONGEST_TITLE = 200  # as in a recipe file
MOST_COMPLAINTS = 8  # of a kitchen file that is no kitchen file


def say(text: str) -> None:
    """Plain text on standard output."""
    with writing():
        print(text)


def json_text(value: Any) -> str:
    """JSON as it is printed and written; ValueError where a number is not finite, which no JSON can hold."""
    return json.dumps(value, indent=2, allow_nan=False)


def show(*screens: Any) -> None:
    """Screens on standard output, one under the other."""
    from jamcalc.layout import console

    if sys.stdout is None:
        return
    try:
        with writing():
            out = console(sys.stdout)
            for screen in screens:
                out.print(screen)
    except SystemExit as gone:  # rich's own way with a reader that has gone; cli has another
        raise BrokenPipeError from gone


def plain_text(*screens: Any) -> str:
    """Screens as a file holds them."""
    from jamcalc.layout import console

    stream = io.StringIO()
    out = console(stream)
    for screen in screens:
        out.print(screen)
    return stream.getvalue()


# ---------------------------------------------------------------- files


def ending(options: SimpleNamespace, allowed: tuple[str, ...]) -> str:
    """The ending of the file to write, or "" where none is asked for; said before any work is done."""
    if options.output is None:
        return ""
    if not options.output.isprintable():
        raise InputError(f'-o "{units.shown(options.output)}" holds control characters: name the file in plain text')
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
    """The recipe that is named: a file, one that comes with the program, a kept batch by its number, or - for standard input."""
    from jamcalc import recipefile  # a batch need not load it

    if (name := options.words[0]).isascii() and name.isdigit() and len(name) < 10:  # a file called 7 is ./7
        from jamcalc.book.source import recipe_of

        return recipe_of(int(name), book_path(options), options)
    if options.words[0] != "-":
        return recipefile.read(options.words[0])
    if sys.stdin is None:
        raise InputError("standard input is closed: name a recipe file instead of -")
    with contextlib.suppress(OSError, ValueError):  # a pipe that does not wait hands over what has come so far, as if it were all
        os.set_blocking(sys.stdin.fileno(), True)
    return recipefile.read(sys.stdin.buffer)


# ---------------------------------------------------------------- options of several commands


def title_of(options: SimpleNamespace) -> str:
    """The title given, under the same rules as in a recipe file; "" where there is none."""
    title = printed("--title", options.title)
    if len(title) > LONGEST_TITLE:
        raise InputError(f"--title of {len(title)} characters: write at most {LONGEST_TITLE}")
    return title


def printed(option: str, text: str | None) -> str:
    """Text that is to be printed as given, on single spaces; "" where there is none. Control characters -> InputError."""
    clean = " ".join((text or "").split())
    if not clean.isprintable():
        raise InputError(f'{option} "{units.shown(clean)}" holds control characters: type it again as plain text')
    return clean


def book_path(options: SimpleNamespace) -> Path:
    """Where the batch book is, or would be."""
    return userfolder.book_path(os.environ, sys.platform, Path.home(), getattr(options, "book", None))


def kitchen_path(options: SimpleNamespace) -> Path:
    """Where the kitchen file is, or would be."""
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
    """The first problems of a kitchen file, a line for each, and how many more there are."""
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
