"""A season as one printed page for a binder: the same figures as on the screen, drawn as inline SVG.

Black on white, nothing fetched from anywhere, every text escaped.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from jamcalc.formula.storage import SHELF_READING_PH
from jamcalc.kept.season import BatchOf, Season
from jamcalc.nouns.known import Estimate
from jamcalc.prints.paper import PAPERS, document
from jamcalc.words.phrases import bought, counted, plain

WIDTH = 720  # of every drawing [px of the view box]
LABELS = 190  # room for names at the left
BAR = 230  # of the longest bar
ROW = 15
LETTER_PX = 5.7  # of a letter of 12 px, generously
PH_FROM, PH_TO = 2.8, 5.0
JARS_AT, PH_AT = (205.0, 400.0), (480.0, 675.0)  # where the two scales of the batches begin and end
LONGEST_NAME = 32
STYLE = """
.sheet { padding: 0.5in 0.7in; box-sizing: border-box; }
h1 { font-size: 20pt; margin: 0 0 2pt; } h2 { font-size: 11.5pt; margin: 9pt 0 2pt; } p { font-size: 10.5pt; margin: 0 0 4pt; }
svg { width: 100%; height: auto; display: block; } svg text { font-size: 12px; }
h2, svg { break-inside: avoid; } h2 { break-after: avoid; }
"""


def season_html(year: Season, *, units: str = "us", paper: str = "letter") -> str:
    """The whole document."""
    head = f"Season {year.year}"
    total = f"{counted(len(year.batches), 'batch')}, {counted(year.jars, 'jar')}, {bought(year.fruit_g, units)} of fruit put up."
    if year.unfinished:
        total += (
            f" {counted(year.unfinished, 'batch')} not finished yet: {'its' if year.unfinished == 1 else 'their'} jars are not counted."
        )
    months = [
        (name, sum(count for _, count in parts), [f"{fruit} {count}" for fruit, count in parts if count]) for name, parts in year.by_month
    ]
    fruits = [(name, jars, [bought(grams, units)]) for name, jars, grams in year.by_fruit]
    body = [
        f'<div class="sheet"><h1>{head}</h1><p>{escape(total)}</p>',
        f"<h2>Jars by month</h2>{_bars(months)}",
        f"<h2>Jars by fruit, and the fruit put up</h2>{_bars(fruits)}",
        f"<h2>Batches</h2>{_batches(year.batches)}",
        "<p>Line: predicted; circle: likeliest; square: filled, or read. A pH read over 4.20 (dashed) is off the shelf.</p></div>",
    ]
    return document(head, PAPERS[paper], STYLE, ["\n".join(body)], flows=True)


def _svg(height: float, parts: Sequence[str], what: str) -> str:
    inside = "".join(parts)
    return (
        f'<svg viewBox="0 0 {WIDTH} {height:.0f}" role="img" aria-label="{escape(what)}" xmlns="http://www.w3.org/2000/svg">{inside}</svg>'
    )


def _text(x: float, y: float, text: str, *, end: bool = False, bold: bool = False) -> str:
    look = (' text-anchor="end"' if end else "") + (' font-weight="bold"' if bold else "")
    return f'<text x="{x:.1f}" y="{y:.1f}"{look}>{escape(plain(text))}</text>'


def _cut(text: str, most: int) -> str:
    text = plain(text)
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."


def _fitting(words: Sequence[str], most: int) -> str:
    """As many of the words as there is room for, and how many more there are."""
    for count in range(len(words), 0, -1):
        text = ", ".join(words[:count]) + (f" and {len(words) - count} more" if count < len(words) else "")
        if len(text) <= most:
            return text
    return ""


def _bars(rows: Sequence[tuple[str, int, Sequence[str]]]) -> str:
    most = max((count for _, count, _ in rows), default=0) or 1
    parts = []
    for number, (name, count, words) in enumerate(rows):
        y = number * ROW + 13
        width = BAR * count / most
        beside = LABELS + width + 30
        parts.append(_text(LABELS - 8, y, _cut(name, LONGEST_NAME), end=True))
        parts.append(f'<rect x="{LABELS}" y="{y - 10}" width="{width:.1f}" height="12" fill="#777"/>')
        parts.append(_text(LABELS + width + 5, y, str(count), bold=True))
        parts.append(_text(beside, y, _fitting(words, int((WIDTH - beside) / LETTER_PX))))
    return _svg(len(rows) * ROW + 4, parts, "Jars: " + "; ".join(f"{name} {count}" for name, count, _ in rows))


class _Scale:
    """A stretch of the drawing between two values."""

    def __init__(self, ends_px: tuple[float, float], low: float, high: float) -> None:
        self.ends_px, self.low, self.high = ends_px, low, high

    def x(self, value: float) -> float:
        """Where a value stands [px]; one beyond the ends stands at the end."""
        left, right = self.ends_px
        return left + (right - left) * min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))

    def ruled(self, ticks: Sequence[float], height: float, name: str) -> list[str]:
        """Hair lines at the ticks, their numbers below, and what is measured above."""
        parts = [_text(self.ends_px[0], 11, name, bold=True)]
        for tick in ticks:
            x = f"{self.x(tick):.1f}"
            parts.append(f'<line x1="{x}" y1="{ROW}" x2="{x}" y2="{height:.0f}" stroke="#ccc"/>')
            parts.append(f'<text x="{x}" y="{height + 13:.0f}" text-anchor="middle">{tick:g}</text>')
        return parts

    def row(self, y: float, spread: Estimate, came: float | None, word: str) -> list[str]:
        """Low to high with a circle at the likeliest, a square at what came, and its number."""
        parts = [
            f'<line x1="{self.x(spread.low):.1f}" y1="{y}" x2="{self.x(spread.high):.1f}" y2="{y}" stroke="#000"/>',
            f'<circle cx="{self.x(spread.typical):.1f}" cy="{y}" r="3.5" fill="#fff" stroke="#000"/>',
        ]
        if came is not None:
            parts.append(f'<rect x="{self.x(came) - 3.5:.1f}" y="{y - 3.5}" width="7" height="7" fill="#000"/>')
        return [*parts, _text(self.ends_px[1] + 40, y + 4, word, end=True)]


def _batches(batches: Sequence[BatchOf]) -> str:
    """One row for each batch: its jars and its pH, predicted and as they came."""
    most = max((max(row.predicted.high, row.filled or 0.0) for row in batches), default=1.0) or 1.0
    jars, ph = _Scale(JARS_AT, 0.0, most), _Scale(PH_AT, PH_FROM, PH_TO)
    height = (len(batches) + 1) * ROW
    step = 2 if most <= 16 else 5 if most <= 40 else 20
    limit = f"{ph.x(SHELF_READING_PH):.1f}"
    parts = jars.ruled(range(0, int(most) + 1, step), height, "jars") + ph.ruled((2.8, 3.2, 3.6, 4.0, 4.4, 4.8), height, "pH")
    parts.append(f'<line x1="{limit}" y1="{ROW}" x2="{limit}" y2="{height}" stroke="#000" stroke-dasharray="4 3"/>')
    for number, row in enumerate(batches, 1):
        y = number * ROW + 9
        parts += [_text(20, y + 4, str(row.number), end=True, bold=True), _text(26, y + 4, _cut(row.title, LONGEST_NAME))]
        parts += jars.row(y, row.predicted, row.filled, "" if row.filled is None else f"{row.filled:.1f}".removesuffix(".0"))
        parts += ph.row(y, row.ph, row.ph_read, "" if row.ph_read is None else f"{row.ph_read:.2f}")
    return _svg(height + 18, parts, "Jars and pH, predicted and as they came, by batch")
