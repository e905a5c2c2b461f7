"""What is asked: the fruit and all else that goes in the pot, what is chosen besides, and the batch that they make.

Frozen like all nouns; no arithmetic but sums of one kind of fruit, and no input or output. Units stand in the names.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from jamcalc.nouns.known import Acidulant, Fruit, Sweetener
    from jamcalc.nouns.learned import Learned
    from jamcalc.nouns.said import Finding, Form, Line, Reading
    from jamcalc.nouns.written import PrintedTime, Standing

Firmness = Literal["soft", "medium", "firm"]
Storage = Literal["shelf", "cold"]
Keeping = Literal["shelf", "weeks", "days"]  # in the cold: an acid jam some weeks, one that may be over pH 4.60 a few days
UnitSystem = Literal["us", "metric"]


@dataclass(frozen=True, kw_only=True)
class FruitPart:
    """Fruit in a batch, as bought and as it goes in the pot."""

    fruit: Fruit
    as_bought_g: float
    grams: float  # prepared: ready for the pot
    form: Form
    reading: Reading | None = None
    said: str = ""  # the volume as the cook wrote it, with its form; "" for a weight
    named: tuple[str, str] | None = None  # the cook's own name, singular and plural, where it is not ours
    light_times: float = 1.0  # light and heavy end of what was counted and not weighed, over `grams`
    heavy_times: float = 1.0

    @property
    def name(self) -> str:
        """What to call it: as the cook does."""
        return self.named[0] if self.named else self.fruit.name

    @property
    def plural(self) -> str:
        """The same of many."""
        return self.named[1] if self.named else self.fruit.plural

    @property
    def ph_read(self) -> float | None:
        """Its pH as the cook read it; None where only the tables tell."""
        return None if self.reading is None else self.reading.ph


@dataclass(frozen=True, kw_only=True)
class FruitKind:
    """All of one fruit in a batch that is as acid as each other; light and heavy end differ where it was counted and not weighed."""

    fruit: Fruit
    reading: Reading | None
    light_g: float
    grams: float
    heavy_g: float

    def __hash__(self) -> int:
        """By what differs most, which is quick: pools of acid are kept by it."""
        return hash((self.fruit.key, self.grams))


@dataclass(frozen=True, kw_only=True)
class SweetenerPart:
    """A sweetener in a batch."""

    sweetener: Sweetener
    grams: float | None  # None: the program sizes it
    ml: float | None = None
    said: str = ""  # the amount as the cook wrote it


@dataclass(frozen=True, kw_only=True)
class AcidPart:
    """An acid that the cook has written."""

    acidulant: Acidulant
    grams: float
    ml: float | None = None
    said: str = ""


@dataclass(frozen=True, kw_only=True)
class Settings:
    """All that can be chosen besides the ingredients."""

    firmness: Firmness = "medium"
    jar: str = "half-pint"
    headspace_mm: float = 6.35
    altitude_ft: float | None = None
    store: Storage | None = None  # None: the shelf where it may be
    boil_min: float = 2.0
    simmer_min: float = 0.0
    covered: bool = False
    units: UnitSystem = "us"
    sweetness_percent: float | None = None  # sugar equivalents aimed at; None: the default
    pectin_g_per_tsp: float | None = None
    calcium_water_mg_per_tsp: float | None = None
    acid: str = "bottled_lemon_juice"  # what a dose of acid is measured in
    own_process_min: float | None = None  # the recipe's own minutes at 0-1,000 ft
    batch_ph: float | None = None
    draws: int = 4000


def _nothing_learned() -> Learned:
    from jamcalc.nouns.learned import NOTHING_LEARNED  # what is only looked up needs none

    return NOTHING_LEARNED


@dataclass(frozen=True, kw_only=True, repr=False)
class Batch:
    """What goes in the pot. `None` for pectin or calcium water: the program doses it."""

    fruits: tuple[FruitPart, ...]
    sweeteners: tuple[SweetenerPart, ...] = ()
    acids: tuple[AcidPart, ...] = ()
    water_g: float = 0.0
    pectin_g: float | None = None
    pectin_kind: Literal["calcium-set", "standard", "no-sugar", "freezer", "liquid", "none"] = "calcium-set"
    calcium_water_ml: float | None = None
    extras: tuple[str, ...] = ()  # dry spices and the like, carried along
    unfit_extras: tuple[str, ...] = ()  # anything else: makes the batch cold
    dose_acid: bool = True  # False: exactly as written (check)
    boil_given: bool = True  # False: the recipe names no boil, and the usual one is assumed for what boils off
    boiled_to_finish: bool = False  # no added pectin, and no time given: boiled until it jells
    lines: tuple[Line, ...] = ()
    settings: Settings = field(default_factory=Settings)
    title: str = ""
    standing: Standing = "calculated"
    printed_times: tuple[PrintedTime, ...] = ()
    untimed: tuple[Finding, ...] = ()  # why there is no time for the jar, where a tested recipe prints none
    keep: Storage | None = None  # what a recipe itself says
    keep_weeks: float | None = None  # in the refrigerator, by the recipe itself
    freezes: bool | None = None  # False: must not be frozen; None: nothing is said
    learned: Learned = field(default_factory=_nothing_learned)  # what the batch book teaches of this kitchen and these fruits
    source_text: str = ""
    stated_yield: str = ""  # in the recipe's own words
    findings: tuple[Finding, ...] = ()

    @cached_property
    def kinds(self) -> tuple[FruitKind, ...]:
        """The kinds of fruit that differ: two lines of one fruit are as acid as each other."""
        grams: dict[tuple[Fruit, Reading | None], tuple[float, float, float]] = {}
        for part in self.fruits:
            light, usual, heavy = grams.get((part.fruit, part.reading), (0.0, 0.0, 0.0))
            more = (light + part.grams * part.light_times, usual + part.grams, heavy + part.grams * part.heavy_times)
            grams[part.fruit, part.reading] = more
        return tuple(
            FruitKind(fruit=fruit, reading=reading, light_g=light, grams=usual, heavy_g=heavy)
            for (fruit, reading), (light, usual, heavy) in grams.items()
        )

    def __repr__(self) -> str:
        """Two lines: title and standing, and the lines as read."""
        return f"<Batch: {self.title}, {self.standing}\n {'; '.join(line.text for line in self.lines)}>"
