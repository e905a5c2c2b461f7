"""What is so now, of all that was entered about a batch: the last word on each question, and the worst that was ever read.

A correction counts from when it is made, but what was once read against the jars stays: the highest pH for good, the fewest minutes and
the most failed seals unless an entry by the day after the jars were made puts them right. Pure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from jamcalc import facts
from jamcalc.errors import UnknownItem
from jamcalc.kept.entries import Entry, Found, Jars, Kept, Place, Used

IN_TIME = timedelta(days=1)  # by the calendar: the book does not know the hour at which the jars came out


@dataclass(frozen=True, kw_only=True)
class Move:
    """Where the jars went, and from what day on."""

    day: date
    place: Place


@dataclass(frozen=True, kw_only=True)
class Now:
    """What holds now of a batch; None, or nothing in it: never said."""

    made: date
    finished: bool
    ph: float | None
    highest_ph: float | None
    brix: float | None
    over_ml: float | None
    found: Found | None
    boil_min: float | None
    processed_min: float | None
    fewest_min: float | None
    used: tuple[Used, ...]
    filled: tuple[Jars, ...]
    unsealed: tuple[Jars, ...]  # as they were counted, whatever became of them
    left: tuple[Jars, ...]  # sealed
    left_unsealed: tuple[Jars, ...]
    moves: tuple[Move, ...]
    notes: tuple[str, ...]

    @property
    def jars_left(self) -> int:
        """All jars that are still there."""
        return total(self.left) + total(self.left_unsealed)


def total(jars: Iterable[Jars]) -> int:
    """How many jars there are of all kinds."""
    return sum(kind.count for kind in jars)


def fill_ml(jar: str) -> float | None:
    """What a jar takes; None for one that is not known here."""
    try:
        return facts.jar(jar).fill_ml.typical
    except UnknownItem:
        return None


def filled_ml(jars: tuple[Jars, ...], over_ml: float) -> float | None:
    """The volume in jars and over; None where a jar is not known."""
    sizes = [fill_ml(kind.jar) for kind in jars]
    return None if None in sizes else sum(kind.count * (size or 0.0) for kind, size in zip(jars, sizes, strict=True)) + over_ml


def now(batch: Kept) -> Now:
    """Everything entered about a batch, brought together."""
    finishes = [entry for entry in batch.entries if entry.kind == "finish"]
    day_made = next((entry.made for entry in reversed(finishes) if entry.made is not None), batch.made)
    filled: tuple[Jars, ...] = next((entry.filled for entry in reversed(finishes) if entry.filled), ())
    unsealed = _most_unsealed(finishes, day_made)
    readings = [entry.ph for entry in finishes if entry.ph is not None]
    left, left_unsealed = _left(filled, unsealed, [entry for entry in batch.entries if entry.kind != "finish"])
    return Now(
        made=day_made,
        finished=bool(finishes),
        ph=_last(entry.ph for entry in finishes),
        highest_ph=max(readings, default=None),
        brix=_last(entry.brix for entry in finishes),
        over_ml=_last(entry.over_ml for entry in finishes),
        found=next((entry.found for entry in reversed(finishes) if entry.found), None),
        boil_min=_last(entry.boil_min for entry in finishes),
        processed_min=_last(entry.processed_min for entry in finishes),
        fewest_min=_fewest(finishes, day_made),
        used=next((entry.used for entry in reversed(finishes) if entry.used), ()),
        filled=filled,
        unsealed=unsealed,
        left=left,
        left_unsealed=left_unsealed,
        moves=_moves(finishes, day_made),
        notes=tuple(entry.note for entry in finishes if entry.note),
    )


def _last(values: Iterable[float | None]) -> float | None:
    said = [value for value in values if value is not None]
    return said[-1] if said else None


def _in_time(entry: Entry, day_made: date) -> bool:
    return entry.day <= day_made + IN_TIME


def _fewest(finishes: Sequence[Entry], day_made: date) -> float | None:
    """The minutes that count: a longer time entered later mends nothing, for the jars stood too long by then."""
    counts: float | None = None
    for entry in finishes:
        if entry.processed_min is not None and (counts is None or entry.processed_min < counts or _in_time(entry, day_made)):
            counts = entry.processed_min
    return counts


def _most_unsealed(finishes: Sequence[Entry], day_made: date) -> tuple[Jars, ...]:
    counts: tuple[Jars, ...] = ()
    for entry in finishes:
        if entry.unsealed is None:
            continue
        if _in_time(entry, day_made):
            counts = entry.unsealed
        else:
            most = {kind.jar: kind.count for kind in counts}
            for kind in entry.unsealed:
                most[kind.jar] = max(kind.count, most.get(kind.jar, 0))
            counts = tuple(Jars(jar=jar, count=count) for jar, count in most.items())
    return tuple(kind for kind in counts if kind.count)


def _moves(finishes: Sequence[Entry], day_made: date) -> tuple[Move, ...]:
    """Where the jars went: the first place from the day they were made, each other from the day it was entered."""
    moves: list[Move] = []
    for entry in finishes:
        if entry.stored is not None and (not moves or entry.stored != moves[-1].place):
            moves.append(Move(day=max(day_made, entry.day) if moves else day_made, place=entry.stored))
    return tuple(moves)


def _left(filled: Sequence[Jars], unsealed: Sequence[Jars], gone: Sequence[Entry]) -> tuple[tuple[Jars, ...], tuple[Jars, ...]]:
    """Sealed and unsealed jars that are still there.

    Jars taken are sealed ones as long as there are any, jars thrown unsealed ones: a jar that may do harm is never taken off the list
    unseen.
    """
    bad = {kind.jar: kind.count for kind in unsealed}
    good = {kind.jar: max(0, kind.count - bad.get(kind.jar, 0)) for kind in filled}
    for entry in gone:
        if entry.jars is None:
            continue
        jar, count = entry.jars.jar, entry.jars.count
        for pile in (bad, good) if entry.of_unsealed or entry.kind == "thrown" else (good, bad):
            taken = min(count, pile.get(jar, 0))
            if taken:
                pile[jar] -= taken
                count -= taken
    order = [kind.jar for kind in filled] + [kind.jar for kind in unsealed if kind.jar not in good]
    return _pile(good, order), _pile(bad, order)


def _pile(counts: Mapping[str, int], order: Sequence[str]) -> tuple[Jars, ...]:
    return tuple(Jars(jar=jar, count=counts[jar]) for jar in order if counts.get(jar))
