"""What all screens are made of: the console, titled blocks, lists, pairs and ruled tables.

Fits 80 columns, ASCII terminals and terminals without color; knows nothing of jam and prints nothing.
"""

from __future__ import annotations

import io
import os
import shutil
import unicodedata
from collections.abc import Iterable, Sequence
from typing import IO, cast

from rich import box
from rich.box import Box
from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.panel import Panel
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from jamcalc.words.phrases import HOLD, loose, plain, unbroken

# A rule of hyphens under the heads and nothing else; rich's own boxes put bars between columns on an ASCII terminal.
_HEAD_RULE = Box("\n".join(["    ", "    ", " -- ", *["    "] * 5]) + "\n", ascii=True)


def _frame_of(top: str, side: str, bottom: str, *, ascii: bool = False) -> Box:
    return Box("\n".join([top, *[side] * 6, bottom]) + "\n", ascii=ascii)


# A frame for each verdict: its shape tells before a word is read, on a terminal that shows ASCII alone too.
_FRAMES = {
    "shelf": box.HEAVY,
    "cold": box.DOUBLE,
    "refused": _frame_of("\u2588\u2580\u2580\u2588", "\u2588  \u2588", "\u2588\u2584\u2584\u2588"),
}
_ASCII_FRAMES = {
    "shelf": _frame_of("+--+", "|  |", "+--+", ascii=True),
    "cold": _frame_of("#==#", "#  #", "#==#", ascii=True),
    "refused": _frame_of("XXXX", "X  X", "XXXX", ascii=True),
}

# What frames are drawn with, for a screen that was kept and is shown again on such a terminal.
_ASCII_SIGNS = dict(
    zip(
        "\u250f\u2513\u2517\u251b\u2501\u2503\u2554\u2557\u255a\u255d\u2551\u2550\u2588\u2580\u2584",
        "++++-|#####=XXX",
        strict=True,
    )
)

MEASURE_WIDTH = 10  # "2 3/4 cups" is not broken
NARROWEST = 50  # columns; below it lines are left to the terminal to break


def console(stream: IO[str], *, width: int = 80, color: bool | None = None) -> Console:
    """A console on `stream`: at most `width` columns, ASCII alone where the stream is not UTF-8 or LC_ALL asks for it.

    Parameters
    ----------
    stream : where it prints
    width : most columns to use; a narrower terminal, or COLUMNS, wins
    color : bold type and other escape codes; None: on a terminal, unless NO_COLOR is set
    """
    if color is None:
        color = stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    encoding = (getattr(stream, "encoding", None) or "").lower()  # a text kept in memory has none, and may hold every letter
    ascii_alone = encoding != "" and (not encoding.startswith("utf") or _asks_for_ascii())
    return Console(
        file=cast(IO[str], _AsciiStream(stream) if ascii_alone else _Stream(stream)),
        width=max(NARROWEST, min(width, shutil.get_terminal_size((width, 24)).columns)),
        force_terminal=color,
        # no_color would still leave bold: with no color system not one escape code comes out
        color_system="standard" if color else None,
        markup=False,
        highlight=False,
        emoji=False,
    )


def _asks_for_ascii() -> bool:
    """Whether LC_ALL names the plain C locale: Python takes UTF-8 to be meant there (PEP 540), and whoever sets it means ASCII."""
    return os.environ.get("LC_ALL") in ("C", "POSIX") and not ("PYTHONIOENCODING" in os.environ or os.environ.get("PYTHONUTF8") == "1")


class _Stream(io.TextIOBase):
    """A stream to which phrases come held together, and that writes them as they are read."""

    encoding = "utf-8"

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        return self._stream.write(loose(text))

    def flush(self) -> None:
        self._stream.flush()


class _AsciiStream(_Stream):
    """One that also replaces each other character by ASCII of the same width, so that tables keep their columns."""

    encoding = "ascii"

    def write(self, text: str) -> int:
        text = loose(text)
        return self._stream.write(text if text.isascii() else "".join(map(_ascii, text)))


def _ascii(character: str) -> str:
    if character.isascii() or character in _ASCII_SIGNS:
        return _ASCII_SIGNS.get(character, character)
    base = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    width = cell_len(character)
    return base if len(base) == width else "?" * width


class Trimmed:
    """A screen without blanks at the ends of its lines, which a file and a pipe would keep."""

    def __init__(self, screen: RenderableType) -> None:
        self._screen = screen

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for line in console.render_lines(self._screen, options, pad=False):
            kept = list(line)
            while kept and not kept[-1].text.rstrip(" "):
                kept.pop()
            if kept:
                kept[-1] = Segment(kept[-1].text.rstrip(" "), kept[-1].style)
            yield from kept
            yield Segment.line()


def prose(text: str, style: str = "") -> Text:
    """Text that breaks between words, and not within a measure, a range or an option with its value."""
    return Text(unbroken(text), style=style)


class Framed:
    """A box whose frame says of what kind it is: shelf, cold or refused.

    `more` goes on with the head where the frame is wide enough, else it is the first line inside: a head cut short would be another.
    """

    def __init__(self, kind: str, head: str, body: RenderableType, *, more: str = "") -> None:
        self._kind, self._head, self._body, self._more = kind, head, body, more

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        fits = cell_len(self._head + self._more) + 6 <= options.max_width  # two corners, two blanks, and an edge at each side
        head = self._head + (self._more if fits else "")
        body = self._body if fits or not self._more else Group(Text(self._more.lstrip(", ")), self._body)
        frame = (_ASCII_FRAMES if options.ascii_only else _FRAMES)[self._kind]
        yield Panel(body, title=Text(head, style="bold"), title_align="left", box=frame, padding=(0, 1))


def titled(title: str, body: RenderableType) -> RenderableType:
    """A block under its bold title, indented, with a blank line before it."""
    return Padding(Group(Text(title, style="bold"), Padding(body, (0, 0, 0, 2))), (1, 0, 0, 0))


def listed(rows: Iterable[tuple[str, str]]) -> Table:
    """Marks or numbers at the left, texts that wrap beside them."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for mark, text in rows:
        grid.add_row(Text(mark, style="bold"), prose(plain(text)))
    return grid


def pairs(rows: Iterable[tuple[str, str]]) -> Table:
    """Names at the left, what there is to say beside them."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(max_width=24, overflow="fold")
    grid.add_column(overflow="fold")
    for name, text in rows:
        grid.add_row(Text(plain(name)), prose(plain(text)))
    return grid


class InColumns:
    """Names one below the other, in as many columns of one height as there is room for: rich's own columns take ten times as long."""

    _GAP = 3

    def __init__(self, names: Sequence[str]) -> None:
        self._names = names

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        lengths = [cell_len(name) for name in self._names]
        for rows in range(1, len(lengths) + 1):
            widths = [max(lengths[first : first + rows]) + self._GAP for first in range(0, len(lengths), rows)]
            if sum(widths) - self._GAP <= options.max_width:
                break
        for row in range(rows):
            cells = zip(self._names[row::rows], lengths[row::rows], widths, strict=False)  # the last column may end sooner
            yield Text("".join(name + " " * (width - length) for name, length, width in cells).rstrip())


class Fitted:
    """A ruled table none of whose words and phrases is broken: left alone, rich takes the most from the widest column, in mid-word.

    On a screen that has not even room for the longest words, its rows stand below each other, each cell after its head.
    """

    def __init__(self, table: Table, *, names: Sequence[int] = (0,), apart: bool = False) -> None:
        """`names`: the columns that say which row it is; `apart`: below each other, each cell has a line to itself."""
        self._table, self._names, self._apart = table, names, apart

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        columns = self._table.columns
        cells = [[Text(str(column.header)), *map(_text, column.cells)] for column in columns]
        most = [max(cell.cell_len for cell in column) for column in cells]
        words = [max(cell.__rich_measure__(console, options).minimum for cell in column) for column in cells]
        widths = [
            whole if column.justify == "right" or column.no_wrap else max(word, min(whole, MEASURE_WIDTH))
            for column, whole, word in zip(columns, most, words, strict=True)
        ]
        gaps = len(columns) * (self._table.padding[1] + 1) - 1  # rich pads the last column too, and rules one between columns
        room = options.max_width - sum(widths) - gaps
        if room < 0:
            yield from self._below_each_other(cells)
            return
        for _ in range(room):  # what is left goes to the column that lacks the most
            lacking = [whole - width for whole, width in zip(most, widths, strict=True)]
            widths[lacking.index(max(lacking))] += max(lacking) > 0
        for column, width in zip(columns, widths, strict=True):
            column.width = width
        yield self._table

    def _below_each_other(self, cells: list[list[Text]]) -> RenderResult:
        heads, *rows = zip(*cells, strict=True)
        for row in rows:
            yield Text(" ".join(filter(None, (row[index].plain.strip() for index in self._names))), style="bold")
            known = [(heads[index].plain, cell.plain) for index, cell in enumerate(row) if index not in self._names]
            drawn = [cell.rstrip() for head, cell in known if not head and cell.strip()]  # what has no head is a drawing
            named = [f"{head}:{HOLD}{cell.strip()}" for head, cell in known if head and cell.strip()]
            lines = [*drawn, *(named if self._apart else filter(None, ["; ".join(named)]))]
            yield Padding(Group(*map(Text, lines)), (0, 0, 0, 2))


def _text(cell: RenderableType) -> Text:
    return cell if isinstance(cell, Text) else Text(str(cell))


def ruled(gap: int = 3) -> Table:
    """An empty table with bold heads over a rule."""
    return Table(box=_HEAD_RULE, pad_edge=False, show_edge=False, header_style="bold", padding=(0, gap, 0, 0))
