"""A card as plain text for a terminal, and as data for JSON."""

from __future__ import annotations

import textwrap
from typing import Any

from jamcalc import facts
from jamcalc.nouns.label import Card


def as_text(card: Card, width: int = 60) -> str:
    """The card for a terminal: plain text, blanks ruled, nothing cut.

    Parameters
    ----------
    card : the card
    width : [columns]; 30 and more
    """
    rule = "-" * width
    column = max(len(field.label) for field in card.fields) + 2
    lines = [rule, *textwrap.wrap(card.title, width), *textwrap.wrap(card.sweetening, width), rule]
    for field in card.fields:
        value = textwrap.wrap(field.value, width - column) or ["_" * min(24, width - column)]
        lines += [f"{head:<{column}}{part}" for head, part in zip([field.label.upper(), *[""] * (len(value) - 1)], value, strict=True)]
    below = [*(line for warning in card.warnings for line in textwrap.wrap(warning, width)), rule] if card.warnings else []
    return "\n".join([*lines, rule, *below])


def to_dict(card: Card) -> dict[str, Any]:
    """The card for JSON; a blank is None."""
    return {
        "title": card.title,
        "sweetening": card.sweetening,
        "fields": {field.key: field.value or None for field in card.fields},
        "blanks": list(card.blanks),
        "keeping": card.keeping,
        "warnings": list(card.warnings),
        "net_weight": card.net_weight or None,
        "notes": list(card.notes),
        "refused": card.refused,
        "order": facts.table("label")["order"]["rule"],
        "sources": [{"id": source.key, "text": source.text} for source in facts.sources(facts.table("label")["order"]["sources"])],
    }
