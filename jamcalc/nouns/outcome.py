"""The nouns of the answer: ingredients, doses, acidity, set, jars, process, and the whole result.

Frozen, keyword-only dataclasses without arithmetic; rendering looks nothing up beyond them. Filled by answer.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jamcalc.nouns.asked import Batch, Storage
from jamcalc.nouns.known import Estimate, Source
from jamcalc.nouns.said import Finding, Role
from jamcalc.nouns.timing import Process
from jamcalc.nouns.written import Standing


@dataclass(frozen=True, kw_only=True)
class Ingredient:
    """One line of the formula. `grams` is what `measure` holds."""

    item: str
    name: str
    role: Role
    grams: float
    measure: str
    as_bought_g: float | None = None
    ml: float | None = None


@dataclass(frozen=True, kw_only=True)
class LemonDose:
    """Lemon juice in all; `needed_g` is before it was measured out."""

    grams: float
    ml: float
    measure: str
    needed_g: float  # before rounding up to the measure
    replaced_by: str | None = None  # key of the acid that is dosed in its place


@dataclass(frozen=True, kw_only=True)
class AcidDose:
    """An acid to add, by its key and name; `grams` is what `measure` holds."""

    item: str
    name: str
    grams: float
    measure: str
    ml: float | None = None


@dataclass(frozen=True, kw_only=True)
class PectinDose:
    """Pectin; `needed_g` is before it was measured out."""

    grams: float
    teaspoons: float
    measure: str
    needed_g: float
    by_tables_g: float | None = None  # for a spoon as strong as the tables have it; None where nothing was dosed


@dataclass(frozen=True, kw_only=True)
class CalciumWaterDose:
    """Calcium water; `optional` where the fruit brings enough."""

    ml: float
    teaspoons: float
    calcium_mg: float
    measure: str
    optional: bool = False  # the fruit brings enough


@dataclass(frozen=True, kw_only=True)
class Acidity:
    """pH and titratable acidity, as ranges."""

    ph: Estimate
    ph_before_lemon: Estimate
    titratable_percent: Estimate  # as citric acid
    meter_needed: bool


@dataclass(frozen=True, kw_only=True)
class GelSet:
    """The set to expect."""

    pectin_percent: float
    calcium_mg_per_g_pectin: float
    calcium_from_fruit_mg: float
    strength: Literal["none", "soft", "medium", "firm"]
    too_much_calcium: bool


@dataclass(frozen=True, kw_only=True)
class JarCount:
    """Jars as a range, and how many to have hot."""

    low: float
    expected: float
    high: float
    heat: int


@dataclass(frozen=True, kw_only=True)
class Yield:
    """What it makes."""

    mass_g: Estimate
    hot_volume_ml: Estimate
    jar: str
    jars: JarCount
    full_jars: int
    over_ml: float
    headspace_mm: float


@dataclass(frozen=True, kw_only=True)
class WorkStep:
    """How one number came about, for --working."""

    what: str
    how: str
    value: str
    sources: tuple[str, ...] = ()


TaskKind = Literal["", "measure", "process", "routine"]  # routine: what every canner does before the boil and after it


@dataclass(frozen=True, kw_only=True)
class Task:
    """A step of the order of work, with this batch's jars and minutes in it.

    `general` is the same for any jars and any altitude, where it differs. `short` is the same in the fewest words that a print has room
    for; "" where the step is a recipe's own, or holds jars or minutes.
    """

    text: str
    general: str = ""
    short: str = ""
    kind: TaskKind = ""

    @property
    def for_any(self) -> str:
        """The step for any jars and any altitude, as a recipe file has it."""
        return self.general or self.text


@dataclass(frozen=True, kw_only=True)
class Solution:
    """How the search for the doses went."""

    converged: bool
    residual: float
    iterations: int


@dataclass(frozen=True, kw_only=True)
class JarsOf:
    """Some jars of one kind: the jar's key, its name as shown, and how many."""

    jar: str
    name: str
    count: int


@dataclass(frozen=True, kw_only=True)
class CannerLoad:
    """Jars that are processed together, for the time of the largest of them."""

    jars: tuple[JarsOf, ...]
    minutes: int  # of the lowest band where no altitude is given
    by_band: tuple[int, ...]  # [min]


@dataclass(frozen=True, kw_only=True)
class Share:
    """What of one ingredient goes into each potful; of fruit by weight, with the volume that it fills."""

    name: str
    amount: str
    volume: str = ""
    mashed: bool = False  # measured so

    @property
    def measure(self) -> str:
        """All of it: "1279 g, about 5 1/4 cups mashed"."""
        return self.amount + (f", about {self.volume}" if self.volume else "") + (" mashed" if self.mashed else "")


@dataclass(frozen=True, kw_only=True)
class PotShare:
    """Potfuls of one batch; `shares` says what to measure into each, none where there is one pot."""

    potfuls: int
    mashed_cups_each: float
    pots_that_hold_one: int | None  # None: the kitchen's pots are not known
    shares: tuple[Share, ...] = ()


@dataclass(frozen=True, kw_only=True)
class KitchenPlan:
    """The batch in the jars, the canner and the pots that a kitchen has."""

    heat: tuple[JarsOf, ...]  # to have hot: they hold the high end of the yield, or are all there are
    fill_low: tuple[JarsOf, ...]
    fill_expected: tuple[JarsOf, ...]
    fill_high: tuple[JarsOf, ...]
    over_ml: float  # after the full jars, at the expected yield
    short_ml: float  # what finds no jar at the high end; 0 where the jars hold it
    more_jars: JarsOf | None  # jars that are missing for that
    loads: tuple[CannerLoad, ...]  # of the jars filled at the expected yield; none for a cold batch
    most_loads: int  # at the high end of the yield
    pots: PotShare


@dataclass(frozen=True, kw_only=True)
class Packages:
    """What is missing in what shops sell: 2 bottles of 15 fl oz; `holds` is what one holds, in the unit of its line."""

    count: float  # whole, but for fruit that is weighed out
    package: str
    size: str  # "" where it is weighed out
    holds: float
    measure: str


@dataclass(frozen=True, kw_only=True)
class BuyLine:
    """One thing to set out: what the batch takes, what the kitchen has (None: not known), what to buy, and in which packages."""

    item: str
    unit: Literal["g", "mL", "each"]
    needed: float
    on_hand: float | None
    to_buy: float
    needed_text: str
    on_hand_text: str
    to_buy_text: str
    buy: Packages | None = None


@dataclass(frozen=True, kw_only=True)
class FromBook:
    """One figure of the answer that the batch book has moved: without it and with it, from how many batches; `said` is it in words."""

    what: str
    from_batches: int
    without: float | str
    with_book: float | str
    said: str


@dataclass(frozen=True, kw_only=True, repr=False)
class BatchResult:
    """The whole answer; rendering looks nothing up. It may be a key of a dictionary, but its hash is worked out anew each time."""

    command: str
    title: str
    standing: Standing
    storage: Storage
    ingredients: tuple[Ingredient, ...]
    lemon_juice: LemonDose
    pectin: PectinDose
    calcium_water: CalciumWaterDose
    acidity: Acidity
    gel_set: GelSet
    solids_percent: Estimate
    water_activity: float
    yield_: Yield
    process: Process | None
    keeping: str  # how and how long it keeps
    few_days: bool  # in the refrigerator, where it is kept cold and may be over pH 4.60
    findings: tuple[Finding, ...]
    refused: str | None
    cautions: tuple[Finding, ...]
    sources: tuple[Source, ...]
    tasks: tuple[Task, ...]  # the order of work
    working: tuple[WorkStep, ...]
    solution: Solution
    batch: Batch
    acid: AcidDose | None = None  # in the place of lemon juice
    rescue: AcidDose | None = None  # for a pot that reads over 4.20: what to add before it is measured again
    kitchen: KitchenPlan | None = None
    to_buy: tuple[BuyLine, ...] = ()
    from_book: tuple[FromBook, ...] = ()

    @property
    def order_of_work(self) -> tuple[str, ...]:
        """The steps in words, with this batch's jars and minutes in them."""
        return tuple(task.text for task in self.tasks)

    def __repr__(self) -> str:
        """A few lines: how it may be kept, what to add, how sour and how many jars."""
        kept = f"refused: {self.refused}" if self.refused else self.storage
        ph, jars = self.acidity.ph, self.yield_.jars
        acid = self.lemon_juice.measure if self.acid is None else f"{self.acid.measure} {self.acid.name}"
        return (
            f"<BatchResult of {self.command}: {self.title}, {self.standing}, {kept}\n"
            f" lemon juice {acid}, pectin {self.pectin.measure}, calcium water {self.calcium_water.measure}\n"
            f" pH {ph.typical:.2f} ({ph.low:.2f} to {ph.high:.2f}), set {self.gel_set.strength}, "
            f"{jars.expected:.1f} jars {self.yield_.jar} ({jars.low:.1f} to {jars.high:.1f})>"
        )

    def to_dict(self) -> dict[str, object]:
        """The answer as JSON holds it."""
        from jamcalc.answers.record import to_dict  # the one call upwards: an answer can always be recorded

        return to_dict(self)
