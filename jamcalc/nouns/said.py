"""What an ingredient line says, and what is said of it: amounts, lines, readings and findings.

Frozen like all nouns, with their units in the names; the first that a cook's words become.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Role = Literal["fruit", "sweetener", "acid", "pectin", "calcium water", "liquid", "other"]
Form = Literal["as bought", "prepared", "frozen", "mashed", "chopped", "whole", "juice"]

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
    at_prompt: str = ""  # the same in the guide's words, where the text says what to type at a command line

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
    words: str = ""  # what it is of, in the words of the strict reader: "prepared peaches"

    @property
    def strict(self) -> str:
        """The line in words that begin with a weight or a volume."""
        return f"{self.amount.text} {self.words}"


@dataclass(frozen=True, kw_only=True)
class Reading:
    """The cook's own measurement of one fruit, or of the finished batch (`item` = "batch")."""

    item: str
    ph: float | None = None
    titratable_percent: float | None = None
    titrated_as: str | None = None
    soluble_solids_percent: float | None = None
