"""The book out of its file and into it: export, import and backup, for the command `book`."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from jamcalc.book.store import Book
from jamcalc.errors import InputError
from jamcalc.kept import exchange, record, tidy
from jamcalc.reading.safefile import why
from jamcalc.screens.output import ended, json_text, say, write
from jamcalc.words.complaint import complain
from jamcalc.words.lists import either
from jamcalc.words.phrases import counted
from jamcalc.words.units import shown

EXCHANGED = (".jsonl", ".json", ".csv")


def _form(name: str, option: str) -> Any:
    """The writer and reader of a file by its ending."""
    kind = Path(name).suffix.lower()
    if not name.isprintable() or kind not in EXCHANGED:
        raise InputError(f'{option} "{shown(name)}": the ending says what it is: {either(EXCHANGED)}')
    return tidy if kind == ".csv" else exchange


def _not_itself(name: str, opened: Book) -> None:
    if os.path.realpath(name) == os.path.realpath(opened.path):
        raise InputError(f"{shown(name)} is the book itself: name another file")


def export(opened: Book, options: SimpleNamespace, today: date) -> int:
    """The whole book as JSON lines or CSV."""
    _not_itself(options.export, opened)
    form = _form(options.export, "--export")
    batches = opened.batches(papers=True)
    stays = write(options, form.write(batches), options.export)
    if options.json:
        say(json_text(record.book([record.listed(batch, today) for batch in batches])))
    return ended(stays)


def back_up(opened: Book, options: SimpleNamespace, today: date) -> int:
    """A copy of the file, taken while it may be in use."""
    _not_itself(options.backup, opened)
    if not options.backup.isprintable():
        raise InputError(f'--backup "{shown(options.backup)}" holds control characters: name the file in plain text')
    stays = write(options, opened.copy(), options.backup)
    if options.json:
        say(json_text(record.book([])))
    return ended(stays)


def read_in(opened: Book, options: SimpleNamespace) -> int:
    """The batches of an exported file, all or none."""
    form, name = _form(options.import_, "--import"), shown(options.import_)
    try:
        path = Path(options.import_)
        if path.exists() and not path.is_file():
            raise InputError(f"{name} is not a file: name one that jamcalc book --export wrote")
        with path.open("rb") as file:
            raw = file.read(exchange.MOST_BYTES + 1)
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(f"{name}: not UTF-8 text") from None
    except (OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"{name} cannot be read: {why(error)}") from None
    if len(raw) > exchange.MOST_BYTES:
        raise InputError(f"{name} is larger than any book")
    given = opened.add(form.read(text, name))
    moved = {old: new for old, new in given.items() if old != new}
    for old, new in list(moved.items())[:8]:
        complain(f"batch {old} of the file is number {new} here")
    complain(f"{counted(len(given), 'batch')} read from {name}")
    if options.json:
        today = date.today()
        numbers = set(given.values())
        say(json_text(record.book([record.listed(batch, today) for batch in opened.batches() if batch.number in numbers])))
    return 0
