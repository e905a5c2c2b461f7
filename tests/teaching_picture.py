"""README's picture of what a book teaches: ten batches of one invented kitchen, the answer before each of them and after the last.

Its pot gives about an eighth less than the tables have it. Each answer is the program's own, with the book as it stood; drawn with the
strokes of its prints. Called by pictures.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import jamcalc
from jamcalc.nouns.learned import Learned
from jamcalc.nouns.outcome import JarCount
from jamcalc.prints import drawing

TRUE_TIMES = 0.88  # of the tables
LOTS = (0.92, 0.85, 0.90, 0.83, 0.89, 0.93, 0.86, 0.88, 0.84, 0.90)  # what each batch gave, of the tables: invented
LINES = ["3 lb plums", "1 1/2 lb frozen blackberries"]
SEASON = 2026
QUARTER_CUP = 4  # quarter cups in a half-pint jar
WIDTH, LEFT, ROW = 470.0, 92.0, 15.0
LOW, HIGH = 7.0, 10.5  # jars, the ends of the axis


class _Then:
    """A book as it was read in that season, whatever year it is now."""

    def __init__(self, book: jamcalc.Book) -> None:
        self._book = book

    def learned(self, items: Sequence[str]) -> Learned:
        return self._book.learned(items, SEASON)


def answers() -> tuple[list[JarCount], list[float], float]:
    """The jars answered before the first batch and after each, the jars filled, and the tables' own."""
    counts, filled = [], []
    with tempfile.TemporaryDirectory() as folder, jamcalc.Book(Path(folder) / "book.sqlite") as book:
        for place, lot in enumerate((*LOTS, None)):
            answer = jamcalc.batch(LINES, sweetener="honey", draws=0, book=_Then(book))
            counts.append(answer.yield_.jars)
            if lot is None:
                continue
            quarters = round(counts[0].expected * lot * QUARTER_CUP)
            jars, over = divmod(quarters, QUARTER_CUP)
            filled.append(quarters / QUARTER_CUP)
            number = book.keep(answer, made=date(SEASON, 7, 1) + timedelta(days=place))
            book.finish(number, jars=f"{jars} half-pints", over=f"{over}/4 cup" if over else "0")
    return counts, filled, counts[0].expected


def drawn() -> str:
    """The ranges of jars, one below the other, and where the kitchen's truth lies."""
    counts, filled, by_tables = answers()
    right = WIDTH - 16.0

    def x(jars: float) -> float:
        return LEFT + (jars - LOW) / (HIGH - LOW) * (right - LEFT)

    bottom = 16.0 + ROW * len(counts)
    truth = x(by_tables * TRUE_TIMES)
    parts = [drawing._box(0, 0, WIDTH, bottom + 34.0, "#fff", 0.0), drawing._line(truth, 12.0, truth, bottom, 1.0, "3 2")]
    parts.append(drawing._text(truth, 9.0, "this pot", "middle", drawing.SMALL_PT))
    for place, count in enumerate(counts):
        y = 16.0 + ROW * (place + 0.5)
        label = "before any" if place == 0 else f"after {place} batch{'es' if place > 1 else ''}"
        parts.append(drawing._text(LEFT - 8.0, y + 3.0, label, "end", drawing.SMALL_PT))
        parts.append(drawing._box(x(count.low), y - 4.0, x(count.high) - x(count.low), 8.0, "#ccc"))
        parts.append(f'<circle cx="{x(count.expected):.1f}" cy="{y:.1f}" r="2.8" fill="#000"/>')
        if place < len(filled):
            parts.append(drawing._box(x(filled[place]) - 2.5, y - 2.5, 5.0, 5.0, "#fff", 1.2))
    parts.append(drawing._line(LEFT, bottom, right, bottom))
    for half in range(math.ceil(LOW * 2), math.floor(HIGH * 2) + 1):
        parts.append(drawing._line(x(half / 2), bottom, x(half / 2), bottom + (4.0 if half % 2 == 0 else 2.5), 0.6))
        if half % 2 == 0:
            parts.append(drawing._text(x(half / 2), bottom + 13.0, f"{half // 2}", "middle", drawing.SMALL_PT))
    parts.append(
        drawing._text(
            LEFT,
            bottom + 27.0,
            "half-pints: bar, the range answered; dot, expected; square, what it then filled",
            "start",
            drawing.SMALL_PT,
        )
    )
    svg = drawing._svg(WIDTH, bottom + 34.0, "Ten batches: the count of jars finds the kitchen's own", parts)
    return svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1) + "\n"
