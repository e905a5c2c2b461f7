"""What is known: figures with their ranges and sources, and the items that are made of them.

Frozen, keyword-only dataclasses that check themselves; no arithmetic beyond that and no input or output.
Two that hold the same are equal and have one hash, in which mappings do not count. What is large has a `repr` of a few lines.
Units stand in the names: `_g`, `_ml`, `_mm`, `_degc`, `_percent` (grams per 100 g), `_fraction` (0 to 1); pH is bare.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from jamcalc.nouns.fixed import Fixed

Texture = Literal["berry", "fleshy", "juice"]
Fitness = Literal["fit", "tested-only", "do-not-can"]
Grade = Literal["seen", "memory", "common practice", "judgement", "computed"]
# What one end of a range rests on: seen (a row that was read ends there), within seen and beyond seen (judged, inside or outside
# every row that was read), computed (a percentile), borrowed (from a held fruit whose end is as high), or no more than the last two.
EndGrade = Literal["seen", "within seen", "beyond seen", "computed", "borrowed", "judgement", "memory"]


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A quantity with its range; low <= typical <= high."""

    low: float
    typical: float
    high: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.typical <= self.high):
            raise ValueError(f"not a range: {self.low}, {self.typical}, {self.high}")

    def times(self, factor: float) -> Estimate:
        """The same range in another unit or for another amount (factor >= 0)."""
        return Estimate(low=self.low * factor, typical=self.typical * factor, high=self.high * factor)


def exactly(value: float) -> Estimate:
    """A quantity without a spread."""
    return Estimate(low=value, typical=value, high=value)


@dataclass(frozen=True, kw_only=True)
class Source:
    """Where a figure was read."""

    key: str
    text: str
    status: str


@dataclass(frozen=True, kw_only=True)
class Extreme:
    """A value outside a figure's range that was printed or computed somewhere: shown, and used for nothing."""

    value: float
    sources: tuple[str, ...]
    grade: Grade
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Figure(Estimate):
    """One figure as printed: its range, unit, the source keys and how far the source was read.

    `grade` speaks of the typical value. Each end of pH and of titratable acidity has a grade of its own, None elsewhere;
    `borrowed_from` is the key of the fruit that lends an end graded "borrowed".
    """

    unit: str
    sources: tuple[str, ...]
    grade: Grade
    note: str = ""
    low_grade: EndGrade | None = None
    high_grade: EndGrade | None = None
    borrowed_from: str = ""
    extreme_low: Extreme | None = None
    extreme_high: Extreme | None = None


@dataclass(frozen=True, kw_only=True)
class Fit:
    """Whether a fruit may be canned at low sugar, why not, and what to do instead."""

    fitness: Fitness
    why: str = ""
    instead: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, repr=False)
class Fruit:
    """A fruit, a juice or a vegetable that is met in jam. Composition is per 100 g of the edible part."""

    key: str
    name: str
    plural: str
    kind: Literal["fruit", "juice", "vegetable"]
    fit: Fit
    texture: Texture
    titrated_as: str  # the acid in which titratable acidity is given
    acid_share: Mapping[str, float] = field(hash=False)  # by mass; sums to 1
    ph: Figure
    titratable_percent: Figure
    potassium_mg: Figure
    calcium_mg: Figure
    calcium_available: Figure  # fraction
    water_percent: Figure
    soluble_solids_percent: Figure  # grams dissolved per 100 g crushed fruit
    insoluble_percent: Figure
    sugars_percent: Figure
    native_pectin_percent: Figure
    refuse_percent: Figure  # of the weight as bought
    mashed_g_per_cup: Figure
    chopped_g_per_cup: Figure
    whole_g_per_cup: Figure | None = None
    government_lemon_g_per_kg: Figure | None = None
    acid_share_sources: tuple[str, ...] = ()
    acid_share_grade: Grade = "judgement"
    acid_share_note: str = ""
    # energy_kcal, carbohydrate_g, fibre_g, protein_g, fat_g, ash_g, sodium_mg, vitamin_c_mg
    nutrients: Mapping[str, Figure] = field(default_factory=Fixed, hash=False)
    us_jam_group: Literal[1, 2] | None = None  # 21 CFR 150.160
    note: str = ""
    has_stone: bool = False  # with a kernel that releases cyanide when it is crushed
    like_timed_spread: bool = False  # of the kind of the one low-sugar spread that a laboratory has timed
    note_may_wait: bool = False  # nobody is hurt without the note
    note_says: str = ""  # id of the caution that the note says as well

    def __hash__(self) -> int:
        """By the key alone, which is quick: pools of acid are kept by fruit. Another fruit of the same key is still not equal."""
        return hash(self.key)

    def __repr__(self) -> str:
        """One line: the key, and how it may be canned."""
        return f"<Fruit {self.key}: {self.fit.fitness}, pH {self.ph.low:g} to {self.ph.high:g}>"


@dataclass(frozen=True, kw_only=True, repr=False)
class Acidulant:
    """Lemon or lime juice, citric acid, vinegar: what is added for acid. `strength_percent` is as `titrated_as`."""

    key: str
    name: str
    titrated_as: str
    acid_share: Mapping[str, float] = field(hash=False)
    strength_percent: Figure  # low is what a safe dose may count on
    ph: Figure | None = None  # None: the pure acid, no salt in it
    water_percent: Figure
    soluble_solids_percent: Figure
    sugars_percent: Figure
    calcium_mg: Figure
    g_per_ml: Figure  # of juice, or of the level spoonful of powder
    instead_of_lemon: Figure | None = None  # the swap that agencies print [mL per mL of bottled lemon juice]

    def __repr__(self) -> str:
        """One line: the key and the least strength."""
        return f"<Acidulant {self.key}: at least {self.strength_percent.low:g} % as {self.titrated_as}>"


@dataclass(frozen=True, kw_only=True, repr=False)
class Sweetener:
    """A sweetener as sold. Composition is per 100 g; sweetness is gram for gram against sucrose."""

    key: str
    name: str
    label_name: str
    sweetness: Figure
    water_percent: Figure
    soluble_solids_percent: Figure
    sugars_percent: Figure
    carbohydrate_percent: Figure
    sugar_alcohol_percent: Figure
    calcium_mg: Figure
    energy_kcal_per_g: Figure
    g_per_cup: Figure | None = None  # None: never measured by the cup
    g_per_tsp: Figure | None = None
    solutes: Mapping[str, float] = field(hash=False)  # mass fraction of the product, for water activity
    added_sugar: bool
    stands_process: bool  # False: loses its sweetness in the canner
    cold_limit_g_per_100g_water: Figure | None = None  # keep below this or it crystallizes in the refrigerator
    sweetness_ceiling_percent: Figure | None = None  # saturates: highest sugar-equivalent percent worth asking for
    titrated_as: str | None = None  # juice concentrates bring acid
    acid_share: Mapping[str, float] = field(default_factory=Fixed, hash=False)
    ph: Figure | None = None
    titratable_percent: Figure | None = None
    potassium_mg: Figure | None = None  # of juice concentrates
    strong_ion_meq_per_kg: Figure | None = None  # alkaline ash, balanced by organic acid alone
    cautions: tuple[str, ...] = ()  # ids in data/cautions.toml
    note: str = ""

    def __hash__(self) -> int:
        """By the key alone, as of a fruit."""
        return hash(self.key)

    def __repr__(self) -> str:
        """One line: the key and how sweet it is."""
        return f"<Sweetener {self.key}: {self.sweetness.typical:g} x sugar>"


@dataclass(frozen=True, kw_only=True, repr=False)
class Jar:
    """A jar: `fill_ml` at a quarter-inch headspace; `size_class` decides the process time."""

    key: str
    name: str
    plural: str
    size_class: Literal["half-pint", "pint", "too large"]
    fill_ml: Figure
    bore_mm: Figure
    closure: str = ""  # other than a two-piece lid on a thread
    note: str = ""

    def __repr__(self) -> str:
        """One line: the key and what it holds."""
        return f"<Jar {self.key}: {self.fill_ml.typical:.0f} mL>"
