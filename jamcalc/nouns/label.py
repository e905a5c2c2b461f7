"""The nouns of the label: composition, nutrition panel, claim, what is set out and done, card.

Frozen, keyword-only dataclasses without arithmetic; no figures and no wording of their own.
Made by nutrition, claims, doing and card, printed by page, wall_page and the command line.
"""

from __future__ import annotations

from dataclasses import dataclass

from jamcalc.nouns.known import Estimate
from jamcalc.nouns.outcome import TaskKind
from jamcalc.nouns.said import Role


@dataclass(frozen=True, kw_only=True)
class Composition:
    """What 100 g of the finished spread hold, by food table."""

    energy_kcal: Estimate
    fat_g: Estimate
    sodium_mg: Estimate
    carbohydrate_g: Estimate
    fibre_g: Estimate
    sugars_g: Estimate
    added_sugars_g: Estimate
    sugar_alcohol_g: Estimate
    protein_g: Estimate
    calcium_mg: Estimate
    potassium_mg: Estimate
    g_per_ml: float  # at 20 degC
    left_out: tuple[str, ...] = ()  # ingredients without a weight: spices, zest, a dash of something


@dataclass(frozen=True, kw_only=True)
class PanelLine:
    """One line of the panel. The texts are rounded by the rule; `*_range` spans low to high where that differs."""

    nutrient: str
    label: str
    unit: str
    serving: Estimate
    per_100_g: Estimate
    serving_text: str
    serving_range: str
    per_100_g_text: str
    per_100_g_range: str
    daily_percent: str  # of the Daily Value, for a serving; "" where there is none


@dataclass(frozen=True, kw_only=True)
class Panel:
    """Nutrition of one food: a serving of `serving_ml` and 100 g."""

    food: str
    serving_ml: float
    serving_g: float
    composition: Composition
    lines: tuple[PanelLine, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Claim:
    """One word of the label trade: whether it holds, by what figure and what rule."""

    id: str
    name: str
    holds: bool
    figure: str
    rule: str
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class AmountRow:
    """One thing to set out, in the cook's own words: "3 lb", "plums", "5 1/3 cups mashed", "1,279 g"."""

    role: Role
    amount: str
    name: str
    note: str = ""
    grams: str = ""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A stretch of a step; strong where it is an amount or a time."""

    text: str
    strong: bool = False


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the work, with its amounts in it, and what is written down at it."""

    pieces: tuple[Piece, ...]
    asks: tuple[str, ...] = ()  # "in at", "out at": each with a blank after it
    kind: TaskKind = ""

    @property
    def text(self) -> str:
        """The step in plain words."""
        return "".join(piece.text for piece in self.pieces)


@dataclass(frozen=True, kw_only=True)
class CardRequest:
    """What the maker says about one entry; empty means unknown and leaves a blank."""

    title: str = ""  # overrides the name that the rules give
    class_name: str = ""
    lot: str = ""
    date: str = ""  # full date of processing
    exhibitor: str = ""  # printed only where given
    altitude_ft: float | None = None
    jar: str = ""
    headspace: str = ""
    recipe: str = ""  # recipe and its source
    method: str = ""  # boiling-water canner
    net_weight_g: float | None = None  # printed only where given
    strict: bool = False


@dataclass(frozen=True, kw_only=True)
class Field:
    """One entry of the card; an empty value is a ruled blank."""

    key: str
    label: str
    value: str


@dataclass(frozen=True, kw_only=True, repr=False)
class Card:
    """All that stands on the card and on the labels of one entry."""

    title: str
    sweetening: str  # "sweetened with honey", "unsweetened", in lower case
    fields: tuple[Field, ...]
    blanks: tuple[str, ...]  # labels of the fields that are unknown
    notes: tuple[str, ...]  # for the maker, not printed on the card
    keeping: str  # once opened, or throughout where it is kept cold
    keeping_sealed: str = ""  # how it is kept until it is opened; "" where it is kept cold throughout
    best_by: str = ""
    warnings: tuple[str, ...] = ()  # for whoever eats it: honey, xylitol
    amounts: tuple[AmountRow, ...] = ()
    method: tuple[Step, ...] = ()
    makes: str = ""
    net_weight: str = ""
    metric: bool = False  # an altitude that is left to write is in meters
    refused: str | None = None

    def __repr__(self) -> str:
        """Two lines: the title, and each field with its text."""
        entries = "; ".join(f"{entry.label} {entry.value or '____'}" for entry in self.fields)
        return f"<Card: {self.title}\n {entries}>"

    def value(self, key: str) -> str:
        """The text of one field; "" where it is blank or not on this card."""
        return next((field.value for field in self.fields if field.key == key), "")
