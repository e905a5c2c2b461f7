"""What one finished batch can teach, as plain numbers: how it differed from its answer.

The store keeps them by batch, and their sums by season, so that whoever learns from the book reads a few rows and not the book.
A batch that says nothing of a topic has no lesson in it. Pure; called by store.
"""

from __future__ import annotations

from dataclasses import dataclass

from jamcalc import facts
from jamcalc.book.entries import Jars, Kept
from jamcalc.book.now import Now
from jamcalc.errors import UnknownItem

KITCHEN = "kitchen"
SET = {"runny": -1.0, "weeping": -0.5, "well": 0.0, "stiff": 1.0}  # steps from a good set; a grainy one says nothing of the pectin


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """`topic` and `subject` name what was learned about (a fruit's key, or the kitchen); `value` is the difference or ratio.

    yield        filled to predicted volume, what was over included
    ph           read less predicted, of a batch of one fruit
    solids       Brix read less predicted [percent], of a batch of one fruit
    set          -1 too soft, 0 well, 1 too stiff
    """

    topic: str
    subject: str
    season: int
    value: float


def fill_ml(jar: str) -> float | None:
    """What a jar takes; None for one that is not known here."""
    try:
        return facts.jar(jar).fill_ml.typical
    except UnknownItem:
        return None


def filled_ml(jars: tuple[Jars, ...], over_ml: float) -> float | None:
    """The volume in jars and over; None where a jar is not known."""
    sizes = [fill_ml(each.jar) for each in jars]
    return None if None in sizes else sum(each.count * (size or 0.0) for each, size in zip(jars, sizes, strict=True)) + over_ml


def lessons(batch: Kept, state: Now) -> tuple[Lesson, ...]:
    """What a batch teaches as it stands now."""
    season = state.made.year
    found: dict[tuple[str, str], float] = {}
    one = fill_ml(batch.jar)
    got = filled_ml(state.filled, state.over_ml or 0.0) if state.filled else None
    if got is not None and one is not None and batch.jars.typical > 0:
        found["yield", KITCHEN] = got / (one * batch.jars.typical)
    if len(batch.fruits) == 1:
        if state.ph is not None and batch.batch_ph is None:
            found["ph", batch.fruit] = state.ph - batch.ph.typical
        if state.brix is not None:
            found["solids", batch.fruit] = state.brix - batch.solids_percent.typical
    if state.found in SET:
        found["set", KITCHEN] = SET[state.found]
    return tuple(Lesson(topic=topic, subject=subject, season=season, value=value) for (topic, subject), value in found.items())
