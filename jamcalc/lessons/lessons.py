"""What one finished batch can teach: what came of it, held against what the tables alone had said.

The store keeps lessons by batch, and sums of them by season, so that whoever learns from the book reads a few rows and not the book.
A batch that says nothing of a topic has no lesson in it. Factors are observed as logarithms. Pure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from jamcalc.chemistry import setting
from jamcalc.kept.entries import Kept
from jamcalc.kept.now import Now, fill_ml, filled_ml
from jamcalc.lessons.basis import Basis, OnlyFruit
from jamcalc.lessons.learning import constant
from jamcalc.lessons.priors import KITCHEN, prior


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """`topic` and `subject` say of what (a fruit's key, or the kitchen); it lies between `low` and `high`, the same where it was measured.

    jars         logarithm of the volume filled, with what was over, to that by tables
    pectin       logarithm of what her pectin does, to that by tables; between bounds
    calcium      the same of calcium
    solids       dissolved solids of the fruit [g/100 g]
    ph           pH of the fruit, read, or inferred from the finished batch
    ph-read      pH of the fruit, read
    ph-above     pH of the fruit where the finished batch read above its high side: at least this
    """

    topic: str
    subject: str
    low: float
    high: float
    weight: float = 1.0


def lessons(batch: Kept, state: Now, basis: Basis | None) -> tuple[Lesson, ...]:
    """What a batch teaches as it stands now.

    Parameters
    ----------
    batch : as it was answered; state : what was entered since; basis : what tables alone had said, None where that was not kept
    """
    return (*_jars(batch, state, basis), *(_set(state, basis) if basis else ()), *(_fruits(state, basis) if basis else ()))


def _value(topic: str, subject: str, value: float, weight: float = 1.0) -> Lesson:
    return Lesson(topic=topic, subject=subject, low=value, high=value, weight=weight)


def _bounds(topic: str, low: float, high: float) -> Lesson:
    return Lesson(topic=topic, subject=KITCHEN, low=low, high=high)


def _jars(batch: Kept, state: Now, basis: Basis | None) -> Iterator[Lesson]:
    """Jars are counted whole: where what was over is not said, anything up to one more jar was, and half a jar is taken for it.

    Such a count teaches less: the spread of a number that may lie anywhere between two others is their distance over the root of twelve.
    """
    one, jars = fill_ml(batch.jar), batch.jars.typical if basis is None else basis.jars
    whole = filled_ml(state.filled, 0.0) if state.filled else None
    if not whole or not one or jars <= 0.0:
        return
    if not one * jars / constant("most_times") < whole + (state.over_ml or 0.0) < one * jars * constant("most_times"):
        return  # in a file that somebody wrote in, if anywhere
    if state.over_ml is not None:
        yield _value("jars", KITCHEN, math.log((whole + state.over_ml) / (one * jars)))
        return
    more = min(filled_ml((replace(kind, count=1),), 0.0) or one for kind in state.filled)
    known = prior("jars", KITCHEN)
    lots = 1.0 if known is None else known.lots
    weight = 1.0 / (1.0 + (math.log1p(more / whole) / lots) ** 2 / 12.0)
    yield _value("jars", KITCHEN, math.log((whole + more / 2.0) / (one * jars)), weight)


def _set(state: Now, basis: Basis) -> Iterator[Lesson]:
    """A set judged soft, well or stiff lies between doses halfway to the next class; grain and weeping are too much calcium."""
    if state.found is None or not basis.pectin_needed_g or not basis.pectin_g:
        return
    used = {line.role: line.grams for line in state.used if line.role in ("pectin", "calcium water")}
    pectin_g = used.get("pectin", basis.pectin_g)
    if not pectin_g:
        return  # how much she took is not known
    soft, medium, firm = setting.firmness_factors()
    dose = math.log(pectin_g / basis.pectin_needed_g)
    lower, upper = math.log(soft / medium) / 2.0 - dose, math.log(firm / medium) / 2.0 - dose
    bounds = {"runny": (-math.inf, lower), "well": (lower, upper), "stiff": (upper, math.inf)}
    if state.found in bounds:
        yield _bounds("pectin", *bounds[state.found])
    water = used.get("calcium water", basis.calcium_water_ml)
    if (
        state.found != "runny"
        and basis.most_calcium_mg_per_g
        and basis.calcium_mg
        and basis.calcium_water_mg is not None
        and water is not None
    ):
        added = basis.calcium_water_mg * water / basis.calcium_water_ml if basis.calcium_water_ml else 0.0
        in_reach = (basis.calcium_mg - basis.calcium_water_mg + added) / pectin_g
        if in_reach > 0.0:
            least = -math.log(in_reach / basis.most_calcium_mg_per_g)
            yield _bounds("calcium", *((least, math.inf) if state.found in ("grainy", "weeping") else (-math.inf, least)))


def _fruits(state: Now, basis: Basis) -> Iterator[Lesson]:
    """What was read of the fruit; where it was not, and there is only one, what the finished batch says of it."""
    read_ph, read_solids = set(), set()
    for reading in basis.read:
        if reading.ph is not None:
            read_ph.add(reading.item)
            yield _value("ph-read", reading.item, reading.ph)
            yield _value("ph", reading.item, reading.ph)
        if reading.solids_percent is not None:
            read_solids.add(reading.item)
            yield _value("solids", reading.item, reading.solids_percent)
    only = basis.only
    if only is None:
        return
    if state.brix is not None and only.item not in read_solids:
        solids = only.solids_percent + (state.brix - only.batch_solids_percent) * only.spread_per_fruit
        yield _value("solids", only.item, solids, constant("inferred_fraction"))
    if only.item not in read_ph and not any(line.role == "acid" for line in state.used):  # another dose of acid: another batch
        yield from _inferred_ph(state, only)


def _inferred_ph(state: Now, only: OnlyFruit) -> Iterator[Lesson]:
    if only.slope <= 0.0:
        return
    if state.ph is not None:
        yield _value("ph", only.item, only.ph + (state.ph - only.batch_ph) / only.slope, min(1.0, only.slope**2))
    if state.highest_ph is not None and state.highest_ph > only.batch_ph_high:
        yield _value("ph-above", only.item, only.ph_high + (state.highest_ph - only.batch_ph_high) / only.slope)
