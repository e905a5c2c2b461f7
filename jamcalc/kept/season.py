"""A season of the book in numbers: jars by month and fruit, predicted against filled, pH read against predicted, pounds put up.

Pure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from jamcalc import facts
from jamcalc.errors import UnknownItem
from jamcalc.kept.entries import FruitOf, Jars, Kept
from jamcalc.kept.now import Now, fill_ml, filled_ml, now, total
from jamcalc.kept.safety import Mark, marks
from jamcalc.nouns.known import Estimate

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


@dataclass(frozen=True, kw_only=True)
class BatchOf:
    """One batch of the season. `filled` is in jars of the answer's size, None where it is not known; jars of other sizes by volume."""

    number: int
    title: str
    made: date
    fruit: str
    jar: str
    predicted: Estimate
    filled: float | None
    ph: Estimate
    ph_read: float | None
    marks: tuple[Mark, ...]


@dataclass(frozen=True, kw_only=True)
class Season:
    """A year's batches. `by_month` holds each month from the first to the last with its jars by fruit; grams are as bought."""

    year: int
    batches: tuple[BatchOf, ...]
    jars: int
    unfinished: int
    fruit_g: float
    by_month: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]
    by_fruit: tuple[tuple[str, int, float], ...]  # name, jars of the batches of which it is the most, grams as bought


def fruit_name(item: str) -> str:
    """A fruit by its plural; its key where it is not known here."""
    try:
        return facts.fruit(item).plural
    except UnknownItem:
        return item


def season(batches: Iterable[Kept], year: int) -> Season:
    """What the batches made in a year come to."""
    of_year = [(batch, state) for batch in batches if (state := now(batch)).made.year == year]
    of_year.sort(key=lambda pair: (pair[1].made, pair[0].number))
    months: dict[int, dict[str, int]] = {}
    jars: dict[str, int] = {}
    grams: dict[str, float] = {}
    for batch, state in of_year:
        name, count = fruit_name(batch.fruit), total(state.filled)
        month = months.setdefault(state.made.month, {})
        month[name] = month.get(name, 0) + count
        jars[name] = jars.get(name, 0) + count
        for fruit in batch.fruits:
            other = fruit_name(fruit.item)
            jars.setdefault(other, 0)
            grams[other] = grams.get(other, 0.0) + _bought_g(fruit)
    span = range(min(months), max(months) + 1) if months else ()
    return Season(
        year=year,
        batches=tuple(_row(batch, state) for batch, state in of_year),
        jars=sum(jars.values()),
        unfinished=sum(not state.filled for _, state in of_year),
        fruit_g=sum(grams.values()),
        by_month=tuple((MONTHS[month - 1], tuple(sorted(months.get(month, {}).items(), key=_most))) for month in span),
        by_fruit=tuple((name, jars[name], grams.get(name, 0.0)) for name, _ in sorted(jars.items(), key=_most)),
    )


def _most(pair: tuple[str, int]) -> tuple[int, str]:
    return -pair[1], pair[0]


def _bought_g(fruit: FruitOf) -> float:
    return fruit.grams if fruit.as_bought_g is None else fruit.as_bought_g


def _row(batch: Kept, state: Now) -> BatchOf:
    return BatchOf(
        number=batch.number,
        title=batch.title,
        made=state.made,
        fruit=fruit_name(batch.fruit),
        jar=batch.jar,
        predicted=batch.jars,
        filled=_in_jars(state.filled, state.over_ml or 0.0, batch.jar) if state.filled else None,
        ph=batch.ph,
        ph_read=state.ph,
        marks=marks(batch, state),
    )


def _in_jars(filled: tuple[Jars, ...], over_ml: float, jar: str) -> float | None:
    whole, one = filled_ml(filled, over_ml), fill_ml(jar)
    return None if whole is None or not one else whole / one
