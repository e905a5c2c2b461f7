"""The answer with what a batch book teaches: it is worked out without the book first, and what that says of safety is the floor.

The book moves what costs a jar or a set: how many jars fill, what a spoon of pectin and of calcium water does, how sweet the fruit is,
which pH is likely. It teaches nothing daring: lemon juice, storage, minutes and the high side of pH are those of the tables, or more
cautious. A fruit that was ever read above its table's high end is taken to be so again, and that alone reaches the cautious side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.chemistry.acidity import pool_ph
from jamcalc.formula.assemble import READABLE_PH
from jamcalc.formula.solver import Floor, Solved, solve
from jamcalc.formula.sourness import ODD_BRIX
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.known import Estimate, Fruit
from jamcalc.nouns.learned import NOTHING_LEARNED, Learned, OfFruit

RANGE_SD = facts.figure(facts.table("learning")["range_sd"]).typical  # from the middle of a fruit's range to its ends
LEAST_SOLIDS_TIMES = 1.0 / ODD_BRIX


@dataclass(frozen=True, kw_only=True)
class BothWays:
    """One batch with the book and without: `answer` counts; `tables` is what it is compared with, its low end of pH not drawn."""

    answer: Solved
    tables: Solved


def solve_both_ways(batch: Batch) -> BothWays:
    """The whole answer for a batch with what `batch.learned` holds.

    No lemon juice, no minute and no hundredth of the high side less than without the book, and no shelf where there was none: what the
    tables say is handed to the second round as its floor, and a round that is milder all the same is thrown away, down to the one in which
    the book moves nothing but the count of jars.
    """
    undrawn = replace(batch.settings, draws=0)
    tables = solve(replace(batch, learned=NOTHING_LEARNED, settings=undrawn))
    floor = Floor(lemon_g=tables.needed.lemon_g, high_ph=tables.acidity.ph.high)
    rounds = (solve(taught, floor) for taught in _less_and_less(batch))
    answer = next((solved for solved in rounds if not milder(solved, tables)), None) or solve(replace(batch, learned=NOTHING_LEARNED))
    return BothWays(answer=_as_is_likely(answer, batch.learned), tables=tables)


def _less_and_less(batch: Batch) -> Iterator[Batch]:
    """The batch with all that is learned; with the raised high ends and the jars; with the jars alone."""
    learned = batch.learned
    yield replace(batch, fruits=tuple(_raised(_sweetened(part, learned), learned) for part in batch.fruits))
    held = replace(learned, pectin=None, calcium=None)
    yield replace(batch, fruits=tuple(_raised(part, learned) for part in batch.fruits), learned=held)
    yield replace(batch, learned=held)


def milder(one: Solved, other: Solved) -> bool:
    """Whether an answer is less cautious than another in anything: acid, storage, minutes, the high side, a refusal."""
    acid = 0.0 if one.acid is None else one.acid.grams
    if one.pot.doses.lemon_g < other.pot.doses.lemon_g or (other.acid is not None and acid < other.acid.grams):
        return True
    if one.acidity.ph.high < other.acidity.ph.high or bool(other.verdict.refused) > bool(one.verdict.refused):
        return True
    if one.verdict.storage == "cold":
        return False
    if other.verdict.storage == "cold" or one.process is None or other.process is None:
        return True
    return any(mine.minutes < theirs.minutes for mine, theirs in zip(one.process.by_band, other.process.by_band, strict=True))


# ---------------------------------------------------------------- her fruit


def _raised(part: FruitPart, learned: Learned) -> FruitPart:
    """A fruit that was read above its table's high end, unless this lot of it was read."""
    known = learned.of(part.fruit.key)
    if known is None or known.highest_ph is None or part.ph_read is not None:
        return part
    fruit, highest = part.fruit, min(known.highest_ph, READABLE_PH[1])  # what was inferred may lie beyond all that can be read
    return replace(part, fruit=replace(fruit, ph=replace(fruit.ph, high=max(fruit.ph.high, highest))))


def _sweetened(part: FruitPart, learned: Learned) -> FruitPart:
    """A fruit with the dissolved solids of her lots, unless this one was read."""
    known = learned.of(part.fruit.key)
    if known is None or known.solids_percent is None or (part.reading is not None and part.reading.soluble_solids_percent is not None):
        return part
    return replace(part, fruit=_with_solids(part.fruit, known))


def _with_solids(fruit: Fruit, known: OfFruit) -> Fruit:
    assert known.solids_percent is not None
    figure, taught = fruit.soluble_solids_percent, known.solids_percent
    low, high = (
        figure.low * LEAST_SOLIDS_TIMES,
        min(figure.high * ODD_BRIX, 100.0 - fruit.insoluble_percent.high),
    )  # what is odd is not learned
    middle = min(max(taught.value, low), high)
    either_way = RANGE_SD * taught.next_sd
    return replace(
        fruit,
        soluble_solids_percent=replace(figure, low=max(low, middle - either_way), typical=middle, high=min(high, middle + either_way)),
    )


def _likely(part: FruitPart, learned: Learned) -> FruitPart:
    """A fruit with the typical pH of her lots, for the picture of what is likely; within what is held of it."""
    known = learned.of(part.fruit.key)
    if known is None or known.ph is None or part.ph_read is not None:
        return part
    figure = part.fruit.ph
    return replace(part, fruit=replace(part.fruit, ph=replace(figure, typical=min(max(known.ph.value, figure.low), figure.high))))


def _as_is_likely(solved: Solved, learned: Learned) -> Solved:
    """The answer with the typical pH that her lots make likely: it is shown, and decides nothing."""
    amounts = solved.pot.amounts
    likely = replace(amounts, batch=replace(amounts.batch, fruits=tuple(_likely(part, learned) for part in amounts.batch.fruits)))
    if likely == amounts or amounts.batch.settings.batch_ph is not None:
        return solved
    acidity = solved.acidity
    return replace(
        solved,
        acidity=replace(
            acidity,
            ph=_about(acidity.ph, pool_ph(likely.pool("typical"))),
            ph_before_lemon=_about(acidity.ph_before_lemon, pool_ph(likely.pool("typical", acid=False))),
        ),
    )


def _about(ph: Estimate, typical: float) -> Estimate:
    middle = min(round(typical, 2), ph.high)
    return Estimate(low=min(ph.low, middle), typical=middle, high=ph.high)
