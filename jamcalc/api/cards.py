"""The answer of `card`: what stands on it, and the text, HTML and dictionary that come of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from jamcalc.labels import card_text, claims, nutrition, panel
from jamcalc.nouns.label import Card, Claim, Panel
from jamcalc.nouns.outcome import BatchResult
from jamcalc.prints import page


@dataclass(frozen=True, kw_only=True, repr=False)
class CardAnswer:
    """`card` holds the words of card and labels; `result` is the answer that they rest on."""

    card: Card
    result: BatchResult

    def __repr__(self) -> str:
        """Title and blanks in two lines."""
        return f"<CardAnswer: {self.card.title}\n blank: {', '.join(self.card.blanks) or 'nothing'}>"

    @property
    def refused(self) -> str | None:
        """Why it is not to be printed: a recipe not to be made as written, or blanks where none are allowed; else None."""
        return self.result.refused or self.card.refused

    def panel_and_claims(self) -> tuple[Panel, tuple[Claim, ...]]:
        """The panel of a serving, and each claim with whether it holds."""
        served = nutrition.panel(self.result)
        return served, claims.review(self.result, served, nutrition.reference_panel(self.result))

    def to_dict(self) -> dict[str, Any]:
        """The JSON that the command prints: the card, with nutrition and claims, which stand on no card but may be asked for."""
        served, reviewed = self.panel_and_claims()
        return {
            "schema": "jamcalc/1",
            "command": "card",
            **card_text.to_dict(self.card),
            "nutrition": panel.to_dict(served),
            "claims": claims.to_dict(reviewed),
            "refused": self.refused,
        }

    def to_text(self, *, nutrition: bool = False, unrounded: bool = False) -> str:
        """The card as text; where asked for, the nutrition panel and what a label may claim below it."""
        words = card_text.as_text(self.card)
        if not (nutrition or unrounded):
            return words
        served, reviewed = self.panel_and_claims()
        return "\n\n".join([words, panel.as_text(served, unrounded=unrounded), claims.as_text(reviewed)])

    def to_html(self, kind: page.Kind = "card", *, sheet: Literal["letter", "a4"] | None = None) -> str:
        """A page that prints in real size: one, or a sheet of them to cut."""
        return page.sheet_html(self.card, paper=sheet, kind=kind) if sheet else page.print_html(self.card, kind)
