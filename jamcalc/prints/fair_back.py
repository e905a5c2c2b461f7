"""The back of the fair card, 5 by 3 in: amounts and method, whole, and what the front had no room for.

Where one side does not hold it in 8 pt type there are more. Every text escaped.
"""

from __future__ import annotations

from collections.abc import Sequence

from jamcalc.nouns.label import Card
from jamcalc.prints.fair_page import HEIGHT_PT, LEADING, RUNNING, WIDTH_PT, moved_to_the_back, running
from jamcalc.prints.paper import BOLD, SMALLEST_PT, largest, lines, width_em
from jamcalc.prints.typeset import NO_BREAK, finished, heading, html, paragraph

IN_THE_FOOT = ("recipe", "exhibitor")  # of every side
TITLE_PT = 200.0  # beside how much it makes
TITLE_SIZES_PT = (15, 14, 13, 12, 11)
TEXT_SIZES_PT = tuple(quarters / 4 for quarters in range(44, 31, -1))  # 11 to 8
FOOT_GAP_PT = 2.0

STYLE = """
.back { box-sizing: border-box; width: 5in; height: 3in; padding: 13pt 15pt; display: flex; flex-direction: column; }
.back header { display: flex; justify-content: space-between; align-items: baseline; gap: 10pt;
  border-bottom: 1.5pt solid #000; padding-bottom: 3pt; }
.back header .label { flex: none; }
.back table { border-collapse: collapse; width: 100%; margin-top: 3pt; }
.back td { padding: 0 6pt 0 0; vertical-align: baseline; line-height: 1.16; }
.back td.grams { text-align: right; padding-right: 0; white-space: nowrap; }
.back td.amount { font-weight: 700; white-space: nowrap; }
.back ol { margin: 4pt 0 0; padding: 0; list-style: none; }
.back ol li { display: flex; gap: 4pt; line-height: 1.16; }
.back ol .number { flex: none; width: 1.3em; text-align: right; }
.back p { line-height: 1.16; margin-top: 3pt; }
.back footer { margin-top: auto; font-style: italic; line-height: 1.16; }
"""


def back(card: Card) -> list[str]:
    """The back: amounts and method, whole, and what the front had no room for. More than one where one side does not hold it."""

    def title_lines(size: float) -> int:
        return lines(finished(card.title), size, TITLE_PT / BOLD)

    titles: list[float] = [size for size in TITLE_SIZES_PT if title_lines(size) == 1] or [
        largest((12, 11, 10, 9, 8), 34.0, lambda size: title_lines(size) * size * 1.1) or SMALLEST_PT
    ]

    def dealt(size: float, title_pt: float) -> list[list[tuple[str, str]]]:
        blocks, room = _blocks(card, size), HEIGHT_PT - title_lines(title_pt) * title_pt * 1.1 - 6.0
        for side in ("", _side(1, 2)):
            foot = lines(paragraph(_foot(card, side)), size, WIDTH_PT) * size * LEADING + FOOT_GAP_PT
            sides = _sides(blocks, room - foot)
            if len(sides) == 1:
                break
        return sides

    def cost(size: float, title_pt: float) -> float:
        """How many sides, and a half where the amounts are parted."""
        layout = dealt(size, title_pt)
        return len(layout) + 0.5 * any(kind == "row" for side in layout[1:] for kind, _ in side)

    least = cost(SMALLEST_PT, titles[-1])
    size = largest(TEXT_SIZES_PT, least, lambda pt: cost(pt, titles[-1])) or SMALLEST_PT
    title_pt = largest(titles, least, lambda pt: cost(size, pt)) or titles[-1]  # the text before the title
    sides = dealt(size, title_pt)
    out = []
    for number, side in enumerate(sides, 1):
        of = _side(number, len(sides)) if len(sides) > 1 else ""
        rows = "".join(text for kind, text in side if kind == "row")
        steps = "".join(text for kind, text in side if kind == "step")
        rest = "".join(text for kind, text in side if kind == "text")
        out.append(
            f'<article class="back" style="font-size:{size:g}pt"><header>'
            f"{heading(card.title, title_pt)}"
            f'<span class="label">{html(finished(card.makes))}</span></header>'
            + (f"<table>{rows}</table>" if rows else "")
            + (f"<ol>{steps}</ol>" if steps else "")
            + f'{rest}<footer dir="auto">{html(paragraph(_foot(card, of)))}</footer></article>'
        )
    return out


def _side(number: int, of: int) -> str:
    """Which side it is, on one line."""
    return " " + f"Side {number} of {of}.".replace(" ", NO_BREAK)


def _foot(card: Card, side: str = "") -> str:
    """Whose recipe it is, and when it was made; who made it, where that is to stand."""
    return ", ".join(filter(None, (card.value("recipe"), card.value("date"), card.value("exhibitor")))) + (side and f".{side}")


def _blocks(card: Card, size: float) -> list[tuple[float, str, str]]:
    """Everything on the back with its height: (pt, kind, safe HTML)."""
    blocks: list[tuple[float, str, str]] = []
    amount_pt = min(110.0, max((width_em(finished(row.amount)) * BOLD * size for row in card.amounts), default=0.0) + 8.0)
    for row in card.amounts:
        name = f"{row.name} ({row.note})" if row.note else row.name
        room = WIDTH_PT - amount_pt - 6.0 - width_em("1,000 g") * size
        cells = f'<td class="amount">{html(finished(row.amount))}</td><td dir="auto">{html(paragraph(name))}</td>'
        cells += f'<td class="grams">{html(finished(row.grams))}</td>'
        blocks.append((lines(paragraph(name), size, room) * size * LEADING, "row", f"<tr>{cells}</tr>"))
    for number, step in enumerate(card.method, 1):
        text = paragraph(step.text)
        blocks.append((
            lines(text, size, WIDTH_PT - size * 1.3 - 4.0) * size * LEADING, "step",
            f'<li><span class="number">{number}.</span><span dir="auto">{html(text)}</span></li>',
        ))  # fmt: skip
    for key, label in RUNNING:
        if key in moved_to_the_back(card) and key not in IN_THE_FOOT:
            text = paragraph(running(card, key))
            height = lines(text, size, WIDTH_PT - 60.0) * size * LEADING + 3.0
            blocks.append((height, "text", f'<p dir="auto"><span class="label">{label}</span> {html(text)}</p>'))
    return blocks


def _sides(blocks: Sequence[tuple[float, str, str]], room: float) -> list[list[tuple[str, str]]]:
    """The blocks dealt out to as many sides as it takes; the last keep nothing back."""
    sides: list[list[tuple[str, str]]] = [[]]
    used = 7.0
    for height, kind, text in blocks:
        if sides[-1] and used + height > room:
            sides.append([])
            used = 7.0
        sides[-1].append((kind, text))
        used += height
    return sides
