"""What all commands share: printing an answer, writing a file, the recipe that is named.

Holds no chemistry and no wording of answers.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc.errors import FileStays, InputError
from jamcalc.kitchen import own_files
from jamcalc.words import units
from jamcalc.words.complaint import complain, writing

if TYPE_CHECKING:
    from jamcalc.nouns.written import Recipe

LONGEST_TITLE = 200  # as in a recipe file


def say(text: str) -> None:
    """Plain text on standard output."""
    with writing():
        print(text)


def json_text(value: Any) -> str:
    """JSON as it is printed and written; ValueError where a number is not finite, which no JSON can hold."""
    import json  # a screen needs none

    return json.dumps(value, indent=2, allow_nan=False)


def show(*screens: Any) -> None:
    """Screens on standard output, one under the other; of a text no line ends within a measure."""
    from jamcalc.screens.layout import Trimmed, console, prose

    if sys.stdout is None:
        return
    try:
        with writing():
            out = console(sys.stdout)
            for screen in screens:
                out.print(Trimmed(prose(screen) if isinstance(screen, str) else screen))
    except SystemExit as gone:  # rich's own way with a reader that has gone; cli has another
        raise BrokenPipeError from gone


def plain_text(*screens: Any) -> str:
    """Screens as a file holds them."""
    from jamcalc.screens.layout import Trimmed, console

    stream = io.StringIO()
    out = console(stream)
    for screen in screens:
        out.print(Trimmed(screen))
    return stream.getvalue()


# ---------------------------------------------------------------- files


def ending(options: SimpleNamespace, allowed: tuple[str, ...]) -> str:
    """The ending of the file to write, or "" where none is asked for; said before any work is done."""
    if options.output is None:
        return ""
    own_files.check_name("-o", options.output)
    path = Path(options.output)
    name = f'-o "{units.visible(options.output)}"'
    if path.suffix.lower() not in allowed:
        raise InputError(f"{name}: the ending says what to write: {', '.join(allowed)}")
    if not path.parent.is_dir():
        raise InputError(f"{name}: there is no such folder; make it first, or write to another")
    return path.suffix.lower()


def write(options: SimpleNamespace, text: str | bytes, name: str | None = None) -> str:
    """Write the file that is named, or that -o names, whole or not at all, and say so on standard error, before anything is printed.

    Returns why a file that was there stays as it is, to be said after the answer; "" where all is well. Neither the recipe that was
    read nor a kitchen file or the batch book is ever written over.
    """
    from jamcalc.reading.safefile import write_whole

    name = name or options.output
    own = (own_files.kitchen_file(options.kitchen), own_files.kitchen_file(), own_files.book_file(options))
    never = (*getattr(options, "sources", ()), *(path for path in own if path is not None))
    try:
        is_new = write_whole(Path(name), text, replace=options.replace, never=never)
    except FileStays as stays:
        return f"{stays}; to write over it: {_again(options.typed)}" if stays.replaceable else str(stays)
    complain(f"wrote {units.visible(name)}" if is_new else f"{units.visible(name)} holds this already")
    return ""


def ended(*why_not: str | None) -> int:
    """The exit code after an answer: 1 where there is a reason that not all was done as asked, which is told now."""
    for reason in filter(None, why_not):
        complain(reason)
    return 1 if any(why_not) else 0


def _again(typed: Sequence[str]) -> str:
    """The command with --replace, as a shell reads it."""
    import shlex

    end = typed.index("--") if "--" in typed else len(typed)
    command = shlex.join(["jamcalc", *typed[:end], "--replace", *typed[end:]])
    return units.visible(command, len(command))


def recipe(options: SimpleNamespace) -> Recipe:
    """The recipe that is named: a file, one that comes with the program, a kept batch by its number, or - for standard input."""
    if (name := options.words[0]).isascii() and name.isdigit() and len(name) < 10:  # a file called 7 is ./7
        from jamcalc.book.source import recipe_of

        return recipe_of(int(name), own_files.book_path(options), options)
    from jamcalc.pasted import reader  # a batch need not load it
    from jamcalc.reading import recipefile

    if options.words[0] != "-":
        read = reader.read(options.words[0])
        options.sources = (recipefile.place(options.words[0]),)
        return read
    if sys.stdin is None:
        raise InputError("standard input is closed: name a recipe file instead of -")
    with contextlib.suppress(OSError, ValueError):  # a pipe that does not wait hands over what has come so far, as if it were all
        os.set_blocking(sys.stdin.fileno(), True)
    options.sources = (Path("/dev/stdin"),)
    return reader.read(sys.stdin.buffer)


# ---------------------------------------------------------------- options of several commands


def title_of(options: SimpleNamespace) -> str:
    """The title given, under the same rules as in a recipe file; "" where there is none."""
    return printed("--title", options.title)


def printed(option: str, text: str | None) -> str:
    """Text that is to be printed as given, on single spaces; "" where there is none. Control characters -> InputError."""
    clean = " ".join(units.readable(text or "").split())
    if not clean.isprintable():
        raise InputError(f'{option} "{units.shown(clean)}" holds control characters: type it again as plain text')
    if len(clean) > LONGEST_TITLE:
        raise InputError(f"{option} is too long: {len(clean)} characters where {LONGEST_TITLE} are enough")
    return clean
