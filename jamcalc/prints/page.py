"""Cards and jar labels as self-contained HTML that prints in real size: one to a page, or sheets with cut marks.

No script, no outside resource, every text escaped. Which card goes on which piece of paper; what stands on it is for fairpage
and label_page, the page for the kitchen for wall_page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from jamcalc.errors import InputError
from jamcalc.nouns.label import Card
from jamcalc.prints import fair_back, fair_page, label_page
from jamcalc.prints.paper import PAPERS, document, piece_of_paper

Kind = Literal["card", "recipe", "front", "gift", "lid"]
# 1 x 2 in is the largest that rule books allow on a lid; 2 in high clears shoulder and heel of a half-pint (judgement).
SIZES_IN: dict[Kind, tuple[float, float]] = {
    "card": (5.0, 3.0),
    "recipe": (5.0, 3.0),
    "front": (3.0, 2.0),
    "gift": (3.75, 2.0),
    "lid": (2.0, 1.0),
}
MARGIN_IN = 0.35  # that every printer reaches (common practice)

STYLE = f"""{fair_page.STYLE}{fair_back.STYLE}{label_page.STYLE}
.cell {{ position: absolute; }}
.mark {{ position: absolute; background: #000; }}
"""


def _sides(kind: Kind, card: Card) -> tuple[list[str], list[str]]:
    """The front, and the back where something stands on it that the front has no room for."""
    if kind == "card":
        return [fair_page.front(card)], fair_back.back(card) if fair_page.moved_to_the_back(card) else []
    if kind == "recipe":
        return fair_back.back(card), []
    make: Callable[[Card], str] = {"front": label_page.front, "gift": label_page.gift, "lid": label_page.lid}[kind]
    return [make(card)], []


def has_back(kind: Kind, card: Card) -> bool:
    """Whether the print goes on over the page."""
    return kind == "card" and bool(fair_page.moved_to_the_back(card))


def print_html(cards: Card | Sequence[Card], kind: Kind = "card") -> str:
    """One card or label, or one for each entry: a page each, and a page for the back of a card that needs it.

    Raises
    ------
    InputError : more text than it holds in type of 8 points
    """
    entries = _sequence(cards)
    leaves = [side for card in entries for sides in _sides(kind, card) for side in sides]
    return document(entries[0].title, piece_of_paper(*SIZES_IN[kind]), STYLE, leaves)


def sheet_html(cards: Card | Sequence[Card], paper: Literal["letter", "a4"] = "letter", kind: Kind = "card") -> str:
    """A sheet of several with cut marks: one entry fills the sheet, several are laid out once each.

    Parameters
    ----------
    cards : the entries
    paper : letter (8.5 x 11 in) or a4 (210 x 297 mm)
    kind : card, recipe (its back), front, gift or lid
    """
    if paper not in PAPERS:
        raise InputError(f"no sheet of that size: write one of {', '.join(PAPERS)}")
    page_width, page_height = PAPERS[paper].inches
    width, height = SIZES_IN[kind]
    across, down = int((page_width - 2 * MARGIN_IN) // width), int((page_height - 2 * MARGIN_IN) // height)
    left, top = (page_width - across * width) / 2, (page_height - down * height) / 2
    entries = _sequence(cards)
    fronts, backs = [], []
    for card in entries:
        front, back = _sides(kind, card)
        fronts += front
        backs += back
    marks = "".join(_marks(left, top, width, height, across, down))
    leaves = []
    for sides in (fronts, backs):
        laid = sides * (across * down // len(sides)) if sides and len(entries) == 1 else sides
        for start in range(0, len(laid), across * down):
            cells = ""
            for index, side in enumerate(laid[start : start + across * down]):
                x, y = left + index % across * width, top + index // across * height
                cells += f'<div class="cell" style="left:{x:.4f}in;top:{y:.4f}in">{side}</div>'
            leaves.append(marks + cells)
    return document(entries[0].title, PAPERS[paper], STYLE, leaves)


def _marks(left: float, top: float, width: float, height: float, across: int, down: int) -> list[str]:
    """Ticks in the margin at every line to cut, none inside the cards."""
    gap, long = 0.05, 0.2
    ends = []
    for column in range(across + 1):
        x = left + column * width
        for y in (top - gap - long, top + down * height + gap):
            ends.append(f'<i class="mark" style="left:{x:.4f}in;top:{y:.4f}in;width:0.5pt;height:{long}in"></i>')
    for row in range(down + 1):
        y = top + row * height
        for x in (left - gap - long, left + across * width + gap):
            ends.append(f'<i class="mark" style="left:{x:.4f}in;top:{y:.4f}in;width:{long}in;height:0.5pt"></i>')
    return ends


def _sequence(cards: Card | Sequence[Card]) -> Sequence[Card]:
    entries = [cards] if isinstance(cards, Card) else list(cards)
    if not entries:
        raise InputError("no card to print")
    return entries
