"""The nouns of what is known (facts) and what is asked (batch, recipe); what is answered is in outcome.py.

Frozen, keyword-only dataclasses that check themselves; no arithmetic beyond that and no input or output.
Two that hold the same are equal and have one hash, in which mappings do not count. What is large has a `repr` of a few lines.
Units stand in the names: `_g`, `_ml`, `_mm`, `_degc`, `_percent` (grams per 100 g), `_fraction` (0 to 1); pH is bare.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from jamcalc.nouns.learned import Learned

Role = Literal["fruit", "sweetener", "acid", "pectin", "calcium water", "liquid", "other"]
Form = Literal["as bought", "prepared", "frozen", "mashed", "chopped", "whole", "juice"]
Texture = Literal["berry", "fleshy", "juice"]
Firmness = Literal["soft", "medium", "firm"]
Storage = Literal["shelf", "cold"]
Keeping = Literal["shelf", "weeks", "days"]  # in the cold: an acid jam some weeks, one that may be over pH 4.60 a few days
UnitSystem = Literal["us", "metric"]
Fitness = Literal["fit", "tested-only", "do-not-can"]
# "tested" is never a file's own word: tested.py compares with what comes with the program.
Standing = Literal["calculated", "published", "tested, on your word", "tested"]
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


# ---------------------------------------------------------------- facts


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
    nutrients: Mapping[str, Figure] = field(default_factory=dict, hash=False)
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
    ph: Figure | None  # None: the pure acid, no salt in it
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
    g_per_cup: Figure | None  # None: never measured by the cup
    g_per_tsp: Figure | None
    solutes: Mapping[str, float] = field(hash=False)  # mass fraction of the product, for water activity
    added_sugar: bool
    stands_process: bool  # False: loses its sweetness in the canner
    cold_limit_g_per_100g_water: Figure | None  # keep below this or it crystallizes in the refrigerator
    sweetness_ceiling_percent: Figure | None  # saturates: highest sugar-equivalent percent worth asking for
    titrated_as: str | None = None  # juice concentrates bring acid
    acid_share: Mapping[str, float] = field(default_factory=dict, hash=False)
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


# ---------------------------------------------------------------- what is asked


# What a finding is to whoever reads it, the weightiest first; said where it is made. Screens and prints go by this, never by ids.
FindingKind = Literal[
    "never",  # bars the shelf, and must not be put up in jars, cold or not, but by a tested recipe
    "forbids",  # bars the shelf, and a recipe for it that has this must not be put up as written
    "bars",  # keeps it off the shelf, whatever a meter says
    "too mild",  # so does its pH, and that alone
    "meter",  # keeps it off the shelf until a meter shows that it is acid enough
    "refuses",  # must not be put up as written, for its time alone
    "mends",  # to do where nothing but its pH is in the way
    "no mend",  # that nothing in reason can be done about its pH
    "instead",  # what was left out of a batch for the cold, and what to run instead
    "do",
    "note",  # what to mind with a fruit
    "asked",  # what was taken because the command does not say it; a guide asks for it, and need not say it
    "desk",  # to know where the answer is read, of no use at the stove
    "know",
    "caution",
    "harm",  # a caution: whom a spoonful may hurt
    "time",  # a caution that belongs beside the minutes, or nowhere
    "usual",  # a caution that verdict, order of work and the last lines of an answer spell out anyway
]


@dataclass(frozen=True, kw_only=True)
class Finding:
    """Something to know or decide: a short id for scripts, a sentence for people, and what it is to them."""

    id: str
    kind: FindingKind
    text: str
    sources: tuple[str, ...] = ()
    short: str = ""  # of a harm: the same in a few words
    may_wait: bool = False  # nobody is hurt without it: it stands in the full answer
    says_caution: str = ""  # id of the caution that it says as well

    @property
    def keeps_cold(self) -> bool:
        """Whether it is a reason to keep a batch off the shelf."""
        return self.kind == "meter" or self.bars_any_reading

    @property
    def bars_any_reading(self) -> bool:
        """Whether it keeps a batch off the shelf for good, so that no reading is of use to it."""
        return self.kind in ("never", "forbids", "bars", "too mild")


@dataclass(frozen=True, kw_only=True)
class Amount:
    """What an amount says: grams, or milliliters, or a count of packets; of fruit by the piece or the bushel, a light and a heavy end."""

    grams: float | None = None
    ml: float | None = None
    count: float | None = None
    text: str = ""
    units: tuple[str, ...] = ()  # in which it is said, by our own names for them (words/units)
    light_g: float | None = None  # None: as heavy as `grams`
    heavy_g: float | None = None


@dataclass(frozen=True, kw_only=True)
class Line:
    """One ingredient line as read; what it weighs is worked out when the batch is put together."""

    text: str
    role: Role
    item: str
    amount: Amount
    form: Form
    findings: tuple[Finding, ...] = ()  # cautious readings
    named: str = ""  # the cook's own name of a fruit, in the singular, where it is read as another
    plain: str = ""  # the same line in the words of the strict reader, where it was not written in them

    @property
    def strict(self) -> str:
        """The line in words that begin with a weight or a volume."""
        return self.plain or self.text


@dataclass(frozen=True, kw_only=True)
class Reading:
    """The cook's own measurement of one fruit, or of the finished batch (`item` = "batch")."""

    item: str
    ph: float | None = None
    titratable_percent: float | None = None
    titrated_as: str | None = None
    soluble_solids_percent: float | None = None


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


# ---- recipes


@dataclass(frozen=True, kw_only=True)
class StatedYield:
    """What the recipe itself says it makes, in jars of `jar` (a key); `text` is how it says so."""

    low: float
    high: float
    jar: str
    text: str = ""

    @property
    def middle(self) -> float:
        """[jars] the base for scaling."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, kw_only=True)
class PrintedTime:
    """Minutes that a source prints for a jar (a key), from the lowest altitude band up; None: not printed."""

    jar: str
    by_band: tuple[int | None, ...]


SOURCE_KEYS = ("standing", "by", "title", "year", "url")


@dataclass(frozen=True, kw_only=True)
class RecipeSource:
    """Who stands behind a recipe, by its own word: "tested" is an agency or extension service, "published" a cook or packer."""

    standing: Literal["tested", "published"]
    by: str
    title: str = ""
    year: int | None = None
    url: str = ""


@dataclass(frozen=True, kw_only=True, repr=False)
class Recipe:
    """A recipe as written: nothing added, nothing weighed. `source` None: somebody's own formula."""

    title: str
    kind: Literal["jam", "jelly", "spread", "butter"]
    lines: tuple[Line, ...]
    boil_min: float | None = None
    simmer_min: float | None = None
    covered: bool = False
    stated_yield: StatedYield | None = None
    headspace_mm: float | None = None
    process_min: float | None = None  # at 0-1,000 ft
    altitude_ft: float | None = None  # of the kitchen it was worked out for; None: of no kitchen
    printed_times: tuple[PrintedTime, ...] = ()  # where the source prints more than that
    keep: Literal["cold"] | None = None
    keep_weeks: float | None = None  # in the refrigerator
    freeze: bool | None = None  # whether it may be frozen; None: not said
    extras: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    source: RecipeSource | None = None
    scaled_from: str = ""  # name of a recipe that comes with the program, and how far it was scaled
    factor: float | None = None
    name: str = field(default="", compare=False)  # file or recipe name, for messages
    notes: tuple[str, ...] = field(default=(), compare=False)  # what a plain text tells besides, and nothing rests on
    taken: tuple[Finding, ...] = field(default=(), compare=False)  # how a plain text was read

    def __repr__(self) -> str:
        """Two lines: title and standing, and the ingredients."""
        return f"<Recipe: {self.title}, {self.standing}\n {'; '.join(line.text for line in self.lines)}>"

    @property
    def standing(self) -> Standing:
        """Calculated for somebody's own formula, else what the source says of itself: never "tested", which tested.py alone may say."""
        if self.source is None:
            return "calculated"
        return "published" if self.source.standing == "published" else "tested, on your word"
