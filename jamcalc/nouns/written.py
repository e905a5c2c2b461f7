"""A recipe as written, and who stands behind it: nothing added, nothing weighed.

Frozen like all nouns; units stand in the names.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from jamcalc.nouns.said import Finding, Line

# "tested" is never a file's own word: tested.py compares with what comes with the program.
Standing = Literal["calculated", "published", "tested, on your word", "tested"]


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
