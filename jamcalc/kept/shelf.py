"""What stands on the shelf and in the cold, by batch, size and place, and until when.

    pantry         best by: a year from the day they were made (quality)
    refrigerator   use by: about 3 weeks; a few days over pH 4.60; a tested cold recipe's own weeks
    freezer        use by: a year

Past its date, or off the shelf, stands on top; then the oldest first. Pure: the day is an argument.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from jamcalc.formula import storage
from jamcalc.kept.entries import Jars, Kept, Place
from jamcalc.kept.now import Move, Now, now
from jamcalc.kept.safety import Mark, advice, cold_in_time, marks

FEW_DAYS = timedelta(days=3)  # the short end of a few days (judgement)


@dataclass(frozen=True, kw_only=True)
class ShelfRow:
    """Jars of one batch, size and place. `until` None: not to be eaten, whatever the date."""

    batch: Kept
    jars: Jars
    place: Place
    kind: Literal["best by", "use by"]
    until: date | None
    past: bool
    off_shelf: tuple[Mark, ...]
    todo: str


def a_year_after(day: date) -> date:
    """The same day of the next year; from 29 February the 28th, which is the earlier."""
    try:
        return day.replace(year=day.year + 1)
    except ValueError:
        return day.replace(year=day.year + 1, day=28)


def place_of(batch: Kept, state: Now) -> Place:
    """Where the jars are, as entered; unsaid, where the answer sends them."""
    return state.moves[-1].place if state.moves else "pantry" if batch.storage == "shelf" else "refrigerator"


def until(batch: Kept, state: Now, place: Place) -> tuple[Literal["best by", "use by"], date]:
    """Until when a jar of the batch keeps in a place, and whether that is a matter of quality ("best by").

    Days in the refrigerator count together, so a spell in the freezer gives none back.
    """
    year = a_year_after(state.made)
    if place == "pantry":
        return "best by", year
    if place == "freezer":
        return "use by", year
    moves = state.moves if state.moves and state.moves[-1].place == place else (*state.moves, Move(day=state.made, place=place))
    spent = sum((after.day - move.day for move, after in pairwise(moves) if move.place == "refrigerator"), timedelta())
    return "use by", min(year, moves[-1].day + max(timedelta(), _in_refrigerator(batch, state) - spent))


def _in_refrigerator(batch: Kept, state: Now) -> timedelta:
    """How long a jar keeps in the refrigerator, by what was read or, unread, by the high side of the answer."""
    high = state.highest_ph if state.highest_ph is not None else batch.batch_ph if batch.batch_ph is not None else batch.ph.high
    # a tested recipe's weeks stand until a meter says otherwise
    by_its_recipe = batch.standing == "tested" and batch.own_weeks is not None and state.highest_ph is None
    if round(high, 2) > storage.WALL_PH and not by_its_recipe:
        return FEW_DAYS
    return timedelta(days=int(7 * storage.cold_weeks(batch.standing, batch.own_weeks)))


def rows_of(batch: Kept, today: date) -> tuple[ShelfRow, ...]:
    """The jars of one batch that are left: sealed ones by size, then those that did not seal."""
    state = now(batch)
    reasons, place = marks(batch, state), place_of(batch, state)
    out = []
    for jars, unsealed in [(kind, False) for kind in state.left] + [(kind, True) for kind in state.left_unsealed]:
        off = tuple(mark for mark in reasons if (unsealed or not mark.unsealed) and (mark.jars is None or jars.jar in mark.jars))
        out.append(_row(batch, state, jars, place, off, today))
    return tuple(out)


def _row(batch: Kept, state: Now, jars: Jars, place: Place, off: tuple[Mark, ...], today: date) -> ShelfRow:
    if not off:
        kind, day = until(batch, state, place)
        return ShelfRow(batch=batch, jars=jars, place=place, kind=kind, until=day, past=today > day, off_shelf=(), todo="")
    # the date that holds if they went into the cold in time; where the book says that they did not, there is none
    kind, day = until(batch, state, "refrigerator" if place == "pantry" else place)
    lost = not cold_in_time(state) and (place != "pantry" or today > day)
    return ShelfRow(
        batch=batch,
        jars=jars,
        place=place,
        kind=kind,
        until=None if lost else day,
        past=lost or today > day,
        off_shelf=off,
        todo=advice(batch, state, off, today),
    )


def rows(batches: Iterable[Kept], today: date) -> tuple[ShelfRow, ...]:
    """Every jar that is left, in the order to look at them: off the shelf or past the date first, then by age."""
    left = [row for batch in batches for row in rows_of(batch, today)]
    return tuple(sorted(left, key=lambda row: (not (row.past or row.off_shelf), now(row.batch).made, row.batch.number)))


def date_of(batch: Kept, today: date) -> tuple[str, date | None]:
    """The date that stands for a whole batch: the earliest of the jars that are fit, or if none is, of the others.

    Where no jar is counted, or none is left, it is that of the place. None: not to be eaten.
    """
    state = now(batch)
    there = rows_of(batch, today)
    fit_or_all = [row for row in there if not row.off_shelf] or there
    if fit_or_all:
        if any(row.until is None for row in fit_or_all):
            return "use by", None
        first = min(fit_or_all, key=lambda row: row.until or date.max)
        return first.kind, first.until
    off = [mark for mark in marks(batch, state) if not mark.unsealed]
    return until(batch, state, "refrigerator" if off and place_of(batch, state) == "pantry" else place_of(batch, state))
