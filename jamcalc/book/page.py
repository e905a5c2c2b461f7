"""A season as one printed page for a binder: the same figures as on the screen, drawn as inline SVG.

Black on white, nothing fetched from anywhere, every text escaped. Called by the commands.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from jamcalc.book.season import BatchOf, Season
from jamcalc.paper import PAPERS, document
from jamcalc.storage import SHELF_READING_PH
from jamcalc.wording import bought, plain

WIDTH = 700  # of every drawing [px of the view box]
LABELS = 190  # room for names at the left
ROW = 17
PH_FROM, PH_TO = 2.8, 5.0
LONGEST_NAME = 30
ROWS_ON_A_PAGE = 16  # beyond it the two lists of batches stand on a page of their own
STYLE = """
.sheet { padding: 0.6in 0.7in; box-sizing: border-box; }
h1 { font-size: 20pt; margin: 0 0 2pt; } h2 { font-size: 11.5pt; margin: 12pt 0 3pt; } p { font-size: 10.5pt; margin: 0 0 4pt; }
svg { width: 100%; height: auto; display: block; } svg text { font-size: 12px; } .new { break-before: page; }
h2, svg { break-inside: avoid; } h2 { break-after: avoid; }
"""


def season_html(found: Season, *, units: str = "us", paper: str = "letter") -> str:
    """The whole document."""
    head = f"Season {found.year}"
    total = f"{len(found.batches)} batches, {found.jars} jars, {bought(found.fruit_g, units)} of fruit put up."
    if found.unfinished:
        total += f" {found.unfinished} not finished: their jars are not counted."
    months = [
        (name, sum(count for _, count in parts), ", ".join(f"{fruit} {count}" for fruit, count in parts)) for name, parts in found.by_month
    ]
    fruits = [(name, jars, bought(grams, units)) for name, jars, grams in found.by_fruit]
    new = ' class="new"' if len(found.batches) > ROWS_ON_A_PAGE else ""
    body = [
        f'<div class="sheet"><h1>{head}</h1><p>{escape(total)}</p>',
        f"<h2>Jars by month</h2>{_bars(months)}",
        f"<h2>Jars by fruit, and the fruit put up</h2>{_bars(fruits)}",
        f"<h2{new}>Jars predicted (line, circle likeliest) and filled (square)</h2>{_jars(found.batches)}",
        f"<h2>pH predicted (line, circle likeliest) and read (square); a reading over 4.20 is off the shelf</h2>{_ph(found.batches)}",
        "</div>",
    ]
    return document(head, PAPERS[paper].css, STYLE, "\n".join(body))


def _svg(height: float, parts: Sequence[str], what: str) -> str:
    inside = "".join(parts)
    return (
        f'<svg viewBox="0 0 {WIDTH} {height:.0f}" role="img" aria-label="{escape(what)}" xmlns="http://www.w3.org/2000/svg">{inside}</svg>'
    )


def _text(x: float, y: float, text: str, *, end: bool = False, bold: bool = False) -> str:
    look = (' text-anchor="end"' if end else "") + (' font-weight="bold"' if bold else "")
    return f'<text x="{x:.1f}" y="{y:.1f}"{look}>{escape(plain(text))}</text>'


def _name(text: str) -> str:
    text = plain(text)
    return text if len(text) <= LONGEST_NAME else text[: LONGEST_NAME - 3] + "..."


def _bars(rows: Sequence[tuple[str, int, str]]) -> str:
    most = max((count for _, count, _ in rows), default=0) or 1
    room = 250
    parts = []
    for number, (name, count, words) in enumerate(rows):
        y = number * ROW + 13
        width = room * count / most
        parts.append(_text(LABELS - 8, y, _name(name), end=True))
        parts.append(f'<rect x="{LABELS}" y="{y - 10}" width="{width:.1f}" height="12" fill="#777"/>')
        parts.append(_text(LABELS + width + 5, y, str(count), bold=True))
        parts.append(_text(LABELS + width + 32, y, words if len(words) <= 48 else words[:45] + "..."))
    return _svg(len(rows) * ROW + 4, parts, "Jars: " + "; ".join(f"{name} {count}" for name, count, _ in rows))


def _scale(low: float, high: float, x: float) -> float:
    right = WIDTH - 60
    return LABELS + (right - LABELS) * min(1.0, max(0.0, (x - low) / (high - low)))


Values = Sequence[tuple[float, float, float, float | None]]


def _lines(
    batches: Sequence[BatchOf],
    ends: tuple[float, float],
    ticks: Sequence[float],
    values: Values,
    words: Sequence[str],
    what: str,
    limit: float | None = None,
) -> str:
    """One line for each batch: low to high with a circle at the likeliest and a square at what came; a scale below."""
    height = len(batches) * ROW
    parts = [
        f'<line x1="{_scale(*ends, tick):.1f}" y1="0" x2="{_scale(*ends, tick):.1f}" y2="{height}" stroke="#ccc"/>'
        + f'<text x="{_scale(*ends, tick):.1f}" y="{height + 13}" text-anchor="middle">{tick:g}</text>'
        for tick in ticks
    ]
    if limit is not None:
        x = f"{_scale(*ends, limit):.1f}"
        parts.append(f'<line x1="{x}" y1="0" x2="{x}" y2="{height}" stroke="#000" stroke-dasharray="4 3"/>')
    for number, (each, (low, typical, high, came), word) in enumerate(zip(batches, values, words, strict=True)):
        y = number * ROW + 9
        parts.append(_text(22, y + 4, str(each.number), end=True, bold=True))
        parts.append(_text(28, y + 4, _name(each.title)[:25]))
        parts.append(f'<line x1="{_scale(*ends, low):.1f}" y1="{y}" x2="{_scale(*ends, high):.1f}" y2="{y}" stroke="#000"/>')
        parts.append(f'<circle cx="{_scale(*ends, typical):.1f}" cy="{y}" r="3.5" fill="#fff" stroke="#000"/>')
        if came is not None:
            parts.append(f'<rect x="{_scale(*ends, came) - 3.5:.1f}" y="{y - 3.5}" width="7" height="7" fill="#000"/>')
        parts.append(_text(WIDTH - 2, y + 4, word, end=True))
    return _svg(height + 18, parts, what)


def _jars(batches: Sequence[BatchOf]) -> str:
    most = max((max(each.predicted.high, each.filled or 0.0) for each in batches), default=1.0) or 1.0
    step = 2 if most <= 16 else 5 if most <= 40 else 20
    ticks = list(range(0, int(most) + 1, step))
    values = [(each.predicted.low, each.predicted.typical, each.predicted.high, each.filled) for each in batches]
    words = [f"{each.filled:.1f}".removesuffix(".0") if each.filled is not None else "" for each in batches]
    return _lines(batches, (0.0, most), ticks, values, words, "Jars predicted and filled, by batch")


def _ph(batches: Sequence[BatchOf]) -> str:
    values = [(each.ph.low, each.ph.typical, each.ph.high, each.ph_read) for each in batches]
    words = [f"{each.ph_read:.2f}" if each.ph_read is not None else "" for each in batches]
    ticks = [2.8, 3.2, 3.6, 4.0, 4.4, 4.8]
    return _lines(batches, (PH_FROM, PH_TO), ticks, values, words, "pH predicted and read, by batch", SHELF_READING_PH)
