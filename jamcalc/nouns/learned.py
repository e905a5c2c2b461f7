"""The nouns of what a batch book teaches about one kitchen and its fruit. Frozen; made by the book, read by formula and answers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol


@dataclass(frozen=True, kw_only=True)
class Taught:
    """One figure, before and after her batches. Of a factor it is the logarithm that stands here.

    `sd` is of the kitchen's own value, `next_sd` of its next batch; `table` and `table_sd` are what is known without a book, for the next
    batch too. `slips` are batches set aside, `changed` the batch from which on the kitchen is another.
    """

    value: float
    sd: float
    next_sd: float
    table: float
    table_sd: float
    batches: int
    lots: float
    slips: int = 0
    last_slip: int | None = None
    changed: int | None = None

    @property
    def factor(self) -> float:
        """Of a logarithm."""
        return math.exp(self.value)

    @property
    def narrower(self) -> float:
        """How wide the range of the next batch is, against the table's: 0 to 1."""
        return min(1.0, self.next_sd / self.table_sd)


@dataclass(frozen=True, kw_only=True)
class OfFruit:
    """What her lots of one fruit were: typical pH, dissolved solids [g/100 g], her readings of its pH, and the highest that counts.

    `highest_ph` lies above the table's high end, and is from batch `highest_batch`; None: no reading does.
    """

    item: str
    ph: Taught | None = None
    solids_percent: Taught | None = None
    read_low: float | None = None
    read_high: float | None = None
    readings: int = 0
    highest_ph: float | None = None
    highest_batch: int | None = None


@dataclass(frozen=True, kw_only=True)
class Learned:
    """What the book teaches of a batch: the kitchen's own (factors on the jars filled, on the pectin, on the calcium) and its fruits.

    `judged` are the sets of the latest batches, the last one first.
    """

    jars: Taught | None = None
    pectin: Taught | None = None
    calcium: Taught | None = None
    fruits: tuple[OfFruit, ...] = ()
    judged: tuple[str, ...] = ()

    @cached_property
    def pectin_strength(self) -> float:
        """What a gram of her pectin does, against the tables' [1]; a spoon that weighs more is stronger too."""
        return 1.0 if self.pectin is None else self.pectin.factor

    @cached_property
    def calcium_strength(self) -> float:
        """What a milligram of calcium does in her kitchen, against the tables' [1]."""
        return 1.0 if self.calcium is None else self.calcium.factor

    @cached_property
    def jars_filled(self) -> float:
        """Jars that she fills, against the tables' [1]."""
        return 1.0 if self.jars is None else self.jars.factor

    def of(self, item: str) -> OfFruit | None:
        """What is known of one fruit, by its key."""
        return next((fruit for fruit in self.fruits if fruit.item == item), None)


NOTHING_LEARNED = Learned()  # without a book


class Teaches(Protocol):
    """A batch book, as far as a calculation is concerned."""

    def learned(self, items: Sequence[str]) -> Learned:
        """What is known of the kitchen and of these fruits (keys)."""
        ...
