"""book and finish, and keeping a batch: open the book, ask, print, give the exit code.

What it calls is imported in it, so that whoever has no book loads none of it.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from types import SimpleNamespace
from typing import Any

from jamcalc.book import place
from jamcalc.book.finishing import ask, day_of, entry_from, number_of, says_something, taken_from
from jamcalc.book.store import LIST, Book
from jamcalc.cli import book_files
from jamcalc.errors import InputError, JamcalcError
from jamcalc.kept import record
from jamcalc.kept.entries import Kept
from jamcalc.kept.now import now
from jamcalc.kept.safety import advice, left_text, marks
from jamcalc.kept.shelf import rows
from jamcalc.kitchen.own_files import book_path, kitchen
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.written import Recipe
from jamcalc.screens.output import ended, ending, json_text, plain_text, say, show, write
from jamcalc.words.complaint import complain, for_eyes
from jamcalc.words.conversation import Talk
from jamcalc.words.phrases import joined, plain, sentence
from jamcalc.words.units import shown

NOT_ASKED = ("words", "typed", "sources")  # of what the options hold, what is no option

OFF = {"jars": "the jars", "solids": "the Brix", "ph": "the pH"}  # topics that may lie too far from all others


# ---------------------------------------------------------------- keeping


def keep(
    options: SimpleNamespace,
    result: BatchResult,
    answer: Mapping[str, Any],
    recipe: Recipe | None,
    screen: Callable[[], Sequence[Any]],
) -> int | None:
    """Keep an answer and say its number; None, with the reason on standard error, where that cannot be."""
    from jamcalc.book.keeping import kept

    if result.refused:
        complain("not kept: it is not to be made as asked")
        return None
    typed = {name: value for name, value in vars(options).items() if name not in NOT_ASKED and value not in (None, False)}
    try:
        batch = kept(
            result,
            asked={"words": options.words, "options": typed},
            answer=answer,
            recipe=recipe,
            screen=plain_text(*screen()),
            day_made=None if options.date is None else day_of(options.date),
        )
        with Book(book_path(options)) as book:
            number = book.keep(batch)
    except (JamcalcError, ValueError) as error:
        complain(f"not kept: {error}")
        return None
    complain(f"kept as batch {number}; once it is in jars: jamcalc finish {number}")
    return number


# ---------------------------------------------------------------- finish


def finish(options: SimpleNamespace) -> int:
    """What came of a batch: one more entry, and at once what it means for the jars."""
    number = number_of(options.words[0], 'jamcalc finish 7 --jars "6 half-pints"')
    today = date.today()
    with Book(book_path(options)) as book:
        before = book.batch(number)
        if not says_something(options):
            options = _asked(options, before, today)
        after = book.enter(number, lambda batch: entry_from(options, batch, today))
        aside = [OFF[topic] for topic in book.set_aside(number)]
    if aside:
        complain(f"{sentence(joined(aside))} of batch {number}: far from what was expected, and not learned from. A slip? Enter it again.")
    if options.json:
        say(json_text(record.book([record.listed(after, today)], entered=record.entry_dict(after.entries[-1]))))
        state = now(after)
        if marked := marks(after, state):  # the screen has a frame for it
            complain(f"batch {number} is off the shelf: {joined([mark.text for mark in marked])}. {advice(after, state, marked, today)}")
    else:
        show(_screens().batch(after, today, units=kitchen(options).units or "us"))
    return 0


def _asked(options: SimpleNamespace, batch: Kept, today: date) -> SimpleNamespace:
    """The options as answered at a terminal. Raises InputError where there is none, or where nothing was said."""
    sample = f'jamcalc finish {batch.number} --jars "6 half-pints"'
    if options.json or not all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout)):
        raise InputError(f"what came of batch {batch.number}? write for instance {sample}")
    said = ask(Talk(ask=input, show=show), batch, today)
    if not says_something(said):
        raise InputError(f"nothing was said of batch {batch.number}, and nothing written")
    return SimpleNamespace(**{**vars(options), **vars(said)})


# ---------------------------------------------------------------- book


def book(options: SimpleNamespace) -> int:
    """List, show, take, shelf, season, export, import, backup: one of them at a time."""
    asked = [f"--{name}" for name in ("shelf", "season", "export", "import_", "backup") if getattr(options, name) not in (None, False)]
    asked = [name.rstrip("_") for name in asked]
    if len(asked) + bool(options.words) > 1:
        word = [f'"{shown(word)}"' for word in options.words[:1]]
        raise InputError(f"{joined([*asked, *word])} together: write one of them")
    path = book_path(options)
    makes = options.import_ is not None
    if options.book is not None and not makes and not os.path.lexists(path):
        raise InputError(f"{place.named(path)} is not there: --keep begins one")
    taking = bool(options.words) and options.words[0] == "take"
    for name, needed in (
        ("thrown", taking),
        ("unsealed", taking),
        ("output", options.season is not None),
        ("full", bool(options.words) and not taking),
    ):
        if getattr(options, name) and not needed:
            raise InputError(f"--{name} does not go with this: see jamcalc book --help")
    today = date.today() if options.date is None else day_of(options.date)
    with Book(path, reading=not (makes or taking)) as opened:
        if makes:
            return book_files.read_in(opened, options)
        if taking:
            return _take(opened, options, today)
        if options.words:
            return _one(opened, options, today)
        for name, run in (("shelf", _shelf), ("season", _season), ("export", book_files.export), ("backup", book_files.back_up)):
            if getattr(options, name):
                return run(opened, options, today)
        return _list(opened, options, today)


def _units(options: SimpleNamespace) -> str:
    return options.units or kitchen(options).units or "us"


def _screens() -> Any:
    from jamcalc.screens import book_screen

    return book_screen


def _list(opened: Book, options: SimpleNamespace, today: date) -> int:
    batches = opened.batches(last=None if options.all or options.json else LIST)
    if options.json:
        say(json_text(record.book([record.listed(batch, today) for batch in batches])))
    else:
        show(_screens().book(batches, today, before=opened.count() - len(batches)))
    return 0


def _one(opened: Book, options: SimpleNamespace, today: date) -> int:
    if len(options.words) > 1:
        raise InputError(f'"{shown(options.words[1])}" is a word too many: write jamcalc book 7, or jamcalc book take 7 2')
    batch = opened.batch(number_of(options.words[0], "jamcalc book 7, or jamcalc book take 7 2"))
    if options.json:
        say(json_text(record.book([record.in_full(batch, today)])))
        return 0
    show(_screens().batch(batch, today, units=_units(options)))
    if options.full and batch.papers is not None:
        show(_screens().as_answered(batch.papers.screen))
    return 0


def _take(opened: Book, options: SimpleNamespace, day: date) -> int:
    sample = "jamcalc book take 7 2"
    if len(options.words) < 2:
        raise InputError(f"take from which batch? write for instance {sample}")
    number = number_of(options.words[1], sample)
    count = " ".join(options.words[2:]) or "1"
    after = opened.enter(number, lambda batch: taken_from(count, batch, thrown=options.thrown, of_unsealed=options.unsealed, day=day))
    today = date.today()
    if options.json:
        say(json_text(record.book([record.listed(after, today)], entered=record.entry_dict(after.entries[-1]))))
    else:
        state = now(after)
        say(for_eyes(f"Batch {number}, {plain(after.title)}: left {left_text(state)}."))
    return 0


def _shelf(opened: Book, options: SimpleNamespace, today: date) -> int:
    shelved = rows(opened.with_jars(), today)
    if options.json:
        batches = {row.batch.number: row.batch for row in shelved}
        listed = [record.listed(batch, today) for batch in sorted(batches.values(), key=lambda batch: batch.number)]
        say(json_text(record.book(listed, shelf=[record.shelf_row(row) for row in shelved], day=today.isoformat())))
    else:
        show(_screens().shelf(shelved, today))
    return 0


def _season(opened: Book, options: SimpleNamespace, today: date) -> int:
    from jamcalc.kept.season import season

    year = options.season
    if not (len(year) == 4 and year.isascii() and year.isdigit() and 1900 <= int(year) <= 2199):
        raise InputError(f'--season "{shown(year)}": write the year, such as --season 2026')
    kind = ending(options, (".html", ".txt"))
    batches = opened.batches(season=int(year))
    tally, units = season(batches, int(year)), _units(options)
    stays = ""
    if kind == ".html":
        from jamcalc.prints.season_page import season_html

        stays = write(options, season_html(tally, units=units, paper=options.sheet or ("a4" if units == "metric" else "letter")))
    elif kind == ".txt":
        stays = write(options, plain_text(_screens().season(tally, units=units)))
    if options.json:
        say(json_text(record.book([record.listed(batch, today) for batch in batches], season=record.season_dict(tally))))
    else:
        show(_screens().season(tally, units=units))
    return ended(stays)
