"""The drawings of the kitchen page as inline SVG: a pH scale to mark with a pen, the lemon curve, a row of jars.

Drawn in points, no outside fonts, no type under 8 pt; what is drawn comes from the caller.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import pairwise

from jamcalc.nouns.known import Estimate
from jamcalc.prints.paper import SANS
from jamcalc.words.phrases import counted, ph_tenths

FIRST_PH, LAST_PH = 2.8, 5.0
TYPE_PT, SMALL_PT = 9.5, 8.5
CHART_PT = 76.0  # how high the scale and the curve are
SMALL_CHART_PT = 60.0  # the scale with one bar
JAR_PT = (15.0, 21.0)
JAR_GAP_PT = 3.5
MOST_JARS_DRAWN = 60


def _svg(width: float, height: float, title: str, parts: Sequence[str]) -> str:
    return (
        f'<svg role="img" width="{width:g}pt" height="{height:g}pt" viewBox="0 0 {width:g} {height:g}" font-family="{escape(SANS)}" '
        f'font-size="{TYPE_PT}"><title>{escape(title)}</title>{"".join(parts)}</svg>'
    )


def _line(x1: float, y1: float, x2: float, y2: float, width: float = 0.75, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="#000" stroke-width="{width}"{dashed}/>'


def _box(x: float, y: float, width: float, height: float, fill: str = "none", line: float = 0.75, round_: float = 0.0) -> str:
    edge = f' stroke="#000" stroke-width="{line:g}"' if line else ""
    corner = f' rx="{round_:g}"' if round_ else ""
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"{corner} fill="{fill}"{edge}/>'


def _text(
    x: float, y: float, text: str, anchor: str = "start", size: float = TYPE_PT, *, bold: bool = False, over_lines: bool = False
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    out = f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size:g}"{weight}>{escape(text)}</text>'
    if not over_lines:
        return out
    width = 0.56 * size * len(text)  # no line runs through a figure
    return _box(x - (width if anchor == "end" else 0.0) - 1, y - size * 0.8, width + 2, size, "#fff", 0.0) + out


# ---------------------------------------------------------------- the pH scale


def ph_scale(
    bars: Sequence[tuple[str, Estimate]], width: float, *, shelf_ph: float, reading_ph: float, decides: bool, whatever: str = ""
) -> str:
    """A pH scale with a bar for each range, and a track below it to mark a reading on.

    Parameters
    ----------
    bars : label and range, at most two; a range is shown rounded outward, as everywhere
    width : [pt]
    shelf_ph : what the high end of a calculated range may not pass; reading_ph : what a reading may not pass
    decides : whether a reading decides between shelf and cold; whatever : what holds where it does not, said in the track
    """
    left, right = 84.0, width - 22.0  # beside it the end of a range that reaches beyond

    def x(ph: float) -> float:
        return left + (min(max(ph, FIRST_PH), LAST_PH) - FIRST_PH) / (LAST_PH - FIRST_PH) * (right - left)

    parts, y = [_line(x(shelf_ph), 1, x(shelf_ph), 5.0 + 16.0 * len(bars), 1.25)], 9.0
    for label, ph in bars:
        low, typical, high = (tenths / 10 for tenths in ph_tenths(ph))
        parts.append(_text(left - 8, y + 3.3, label, "end"))
        parts.append(_box(x(low), y - 4, max(x(high) - x(low), 1), 8, "#ccc"))
        if FIRST_PH <= typical <= LAST_PH:
            parts.append(f'<circle cx="{x(typical):.1f}" cy="{y:.1f}" r="2.8" fill="#000"/>')
        beyond = " +" if high > LAST_PH else ""
        parts.append(_text(x(low) - 3, y + 3.2, f"{low:.1f}", "end", SMALL_PT, over_lines=True))
        parts.append(_text(x(high) + 3, y + 3.2, f"{high:.1f}{beyond}", "start", SMALL_PT, over_lines=True))
        y += 16.0
    top = y - 3.0
    parts.append(_text(left - 8, top + 12, "your reading", "end", bold=True))
    parts.append(_box(left, top, right - left, 18, line=1.0))
    if decides:
        parts.append(_box(x(reading_ph), top, right - x(reading_ph), 18, "#e4e4e4", 1.0))
        parts.append(_text(x(reading_ph) + 5, top + 12.2, f"over {reading_ph:.1f}: cold", bold=True))
        parts.append(_text(x(FIRST_PH) + 5, top + 12.2, f"{reading_ph:.1f} or lower: full boil, hot jars, shelf", size=SMALL_PT))
    elif whatever:
        parts.append(_text(right - 6, top + 12.2, whatever, "end", SMALL_PT))
    axis = top + 18.0
    for tenth in range(round(FIRST_PH * 10), round(LAST_PH * 10) + 1):
        even = tenth % 2 == 0
        parts.append(_line(x(tenth / 10), axis, x(tenth / 10), axis + (5 if even else 3), 0.6))
        if even:
            parts.append(_text(x(tenth / 10), axis + 14, f"{tenth / 10:.1f}", "middle", SMALL_PT))
    return _svg(width, axis + 17, "Where the pH lies", parts)


# ---------------------------------------------------------------- the lemon curve


def lemon_curve(
    points: Sequence[tuple[float, float]],
    here_ml: float,
    ticks: Sequence[tuple[float, str]],
    width: float,
    height: float,
    *,
    shelf_ph: float,
) -> str:
    """How the high side of pH falls with lemon juice.

    Parameters
    ----------
    points : (mL, pH), rising in mL
    here_ml : what this batch takes
    ticks : (mL, words) along the bottom
    width, height : [pt]
    shelf_ph : where a dashed line stands
    """
    left, right, top, bottom = 26.0, width - 14.0, 8.0, height - 16.0
    values = [ph for _, ph in points] + [shelf_ph]
    low, high = int(min(values) * 10) // 2 * 2 / 10, -(-int(max(values) * 10 + 0.999) // 2) * 2 / 10
    most = points[-1][0]

    def x(ml: float) -> float:
        return left + ml / most * (right - left)

    def y(ph: float) -> float:
        return bottom - (ph - low) / (high - low) * (bottom - top)

    parts = [_line(left, top, left, bottom), _line(left, bottom, right, bottom)]
    every = 2 if round((high - low) * 10) <= 10 else 4
    for tenth in range(round(low * 10), round(high * 10) + 1, every):
        parts.append(_line(left - 3, y(tenth / 10), left, y(tenth / 10), 0.6))
        parts.append(_text(left - 5, y(tenth / 10) + 3, f"{tenth / 10:.1f}", "end", SMALL_PT))
    for ml, words in ticks:
        parts.append(_line(x(ml), bottom, x(ml), bottom + 3, 0.6))
        parts.append(_text(x(ml), bottom + 13, words, "middle" if ml < most * 0.9 else "end" if x(ml) + 20 > width else "middle", SMALL_PT))
    parts.append(_line(left, y(shelf_ph), right, y(shelf_ph), 0.75, "3 2"))
    path = " ".join(f"{x(ml):.1f},{y(ph):.1f}" for ml, ph in points)
    parts.append(f'<polyline points="{path}" fill="none" stroke="#000" stroke-width="1.5"/>')
    here = _at(points, here_ml)
    parts.append(f'<circle cx="{x(here_ml):.1f}" cy="{y(here):.1f}" r="3.4" fill="#000"/>')
    far = x(here_ml) + 70 > width
    parts.append(
        _text(x(here_ml) + (-6 if far else 6), y(here) + (12 if far else -6), "this batch", "end" if far else "start", SMALL_PT, bold=True)
    )
    return _svg(width, height, "Highest pH by lemon juice", parts)


def _at(points: Sequence[tuple[float, float]], ml: float) -> float:
    """The curve at one dose, between the points on either side."""
    for (left, high), (right, low) in pairwise(points):
        if left <= ml <= right:
            return high + (low - high) * (ml - left) / (right - left)
    return points[-1][1]


# ---------------------------------------------------------------- jars


def jar_row(sure: int, likely: int, heat: int, width: float) -> str:
    """A jar for each that is to be hot: dark those that it fills surely, gray those that it likely fills, empty the spare ones."""
    jar_width, jar_height = JAR_PT
    across = max(1, int((width + JAR_GAP_PT) // (jar_width + JAR_GAP_PT)))
    parts = []
    for number in range(heat):
        row, column = divmod(number, across)
        fill = "#333" if number < sure else "#aaa" if number < likely else "#fff"
        parts.append(_jar(column * (jar_width + JAR_GAP_PT) + 0.5, row * (jar_height + 5.0) + 0.5, jar_width - 1, jar_height - 1, fill))
    rows = -(-heat // across)
    return _svg(width, rows * (jar_height + 5.0), f"{counted(heat, 'jar')}: {sure} surely full, {likely} likely", parts)


def jar_row_height(heat: int, width: float) -> float:
    """How high a row of jars is [pt]."""
    across = max(1, int((width + JAR_GAP_PT) // (JAR_PT[0] + JAR_GAP_PT)))
    return -(-heat // across) * (JAR_PT[1] + 5.0)


def _jar(x: float, y: float, width: float, height: float, fill: str) -> str:
    lid = _box(x + 1, y, width - 2, 3.2, "#fff", 0.7)
    glass = _box(x, y + 3.2, width, height - 3.2, "#fff", 0.8, 2.2)
    jam = _box(x + 1.2, y + 5.8, width - 2.4, height - 7.2, fill, 0.0, 1.4)
    return lid + glass + jam
