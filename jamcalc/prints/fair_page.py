"""The front of the fair card, 5 by 3 in: what is judged in one band, running text across.

What it has no room for in 8 pt type goes to the back, and the front says so; nothing is cut and nothing is set smaller.
Says nothing that the card does not say, every text escaped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from jamcalc.errors import InputError
from jamcalc.nouns.label import Card
from jamcalc.prints.paper import BLANK_PT, BOLD, SMALLEST_PT, largest, lines, longest_word_em, width_em
from jamcalc.prints.typeset import NO_BREAK, finished, heading, html, listed, paragraph

WIDTH_PT, HEIGHT_PT = 330.0, 190.0  # inside the margins
ENTRY_PT = 112.0  # class and lot
TITLE_SIZES_PT = (20, 18, 16, 15, 14, 13, 12, 11, 10, 9, 8)
TEXT_SIZES_PT = (11, 10.5, 10, 9.5, 9, 8.5, 8)
GOOD_PT = (10.0, 9.0, SMALLEST_PT)  # a text under 10 or 9 points is worth a smaller title (judgement)
LEADING = 1.16
CAPS_EM = 0.74  # how wide the small capitals of a label run, with their spacing
BAND_GAP_PT = 13.0
WHOLE_DATE_PT = 10.0  # the least size for which a date on one line is worth it (judgement)
WRITTEN_PT = {"processed": 70.0, "made": 70.0, "method": 80.0}  # room for a pen
RUNNING = (("ingredients", "ingredients"), ("set", "set with"), ("recipe", "recipe"), ("exhibitor", "exhibitor"))
TO_THE_BACK = ("recipe", "set", "ingredients", "exhibitor")  # in this order, where the front is full

STYLE = """
.card { box-sizing: border-box; width: 5in; height: 3in; padding: 13pt 15pt; display: flex; flex-direction: column; }
.card header { display: flex; justify-content: space-between; gap: 12pt; padding-bottom: 5pt; border-bottom: 2pt solid #000; }
.card .name { flex: 1; min-width: 0; }
.card .kind { margin-top: 1pt; font-style: italic; line-height: 1.15; }
.card .entry { width: 112pt; flex: none; display: flex; flex-direction: column; gap: 2pt; }
.card .entry .label { width: 30pt; flex: none; }
.card .entry .value { font-weight: 700; line-height: 1.1; min-width: 0; }
.card .band { display: flex; padding: 5pt 0; border-bottom: 0.6pt solid #000; }
.card .judged { box-sizing: content-box; padding-right: 6pt; margin-right: 6pt; border-right: 0.6pt solid #000; }
.card .judged:last-child { padding-right: 0; margin-right: 0; border-right: 0; }
.card .band .value { display: block; font-weight: 700; line-height: 1.08; margin-top: 1.5pt; }
.card .band .under { display: block; font-size: 9pt; line-height: 1.1; }
.card .body { flex: 1; min-height: 0; padding-top: 5pt; display: flex; flex-direction: column; justify-content: space-evenly; gap: 2pt; }
.card .body p { line-height: 1.16; }
.card .body .label { margin-right: 5pt; }
.card .warning { font-weight: 700; line-height: 1.16; white-space: nowrap; }
"""


@dataclass(frozen=True, kw_only=True)
class _Front:
    """How a front is set: title and text size, and what stands on the back."""

    title_pt: float
    text_pt: float
    behind: tuple[str, ...]


def front(card: Card) -> str:
    """The front. Raises InputError where even title, band and blanks are more than the card holds."""
    plan = _plan(card)
    entry = "".join(
        f'<div class="row"><span class="label">{key}</span>{_value(card.value(key), _entry_size(card.value(key)))}</div>'
        for key in ("class", "lot")
    )
    return (
        f'<article class="card"><header><div class="name">{heading(card.title, plan.title_pt)}'
        f'<p class="kind" dir="auto" style="font-size:{_kind_size(card)}pt">{html(paragraph(card.sweetening))}</p></div>'
        f'<div class="entry">{entry}</div></header>{_band(card)}<div class="body">{_running(card, plan)}{_warnings(card)}</div></article>'
    )


def moved_to_the_back(card: Card) -> tuple[str, ...]:
    """The keys of the texts that the front has no room for."""
    return _plan(card).behind


def _plan(card: Card) -> _Front:
    """The largest title with a legible text; else the smallest legible title; else, text by text, what goes to the back."""
    present = [key for key, _ in RUNNING if any(field.key == key for field in card.fields)]
    movable = [key for key in TO_THE_BACK if key in present and card.value(key)]
    for count in range(len(movable) + 1):
        behind = tuple(movable[:count])
        for least in GOOD_PT:
            for title_pt in TITLE_SIZES_PT:
                room = HEIGHT_PT - _header_height(card, title_pt) - _band_height(card) - 6.0
                sizes = [size for size in TEXT_SIZES_PT if size >= least]
                text_pt = largest(sizes, room, partial(_body_height, card, behind))
                if text_pt is not None:
                    return _Front(title_pt=title_pt, text_pt=text_pt, behind=behind)
    raise InputError("more than a card of 3 by 5 inches holds in type of 8 points: give a shorter title with --title")


def _header_height(card: Card, title_pt: float) -> float:
    width = WIDTH_PT - ENTRY_PT - 12.0
    kind_pt = _kind_size(card)
    name = (
        lines(finished(card.title), title_pt, width / BOLD) * title_pt * 1.1
        + lines(paragraph(card.sweetening), kind_pt, width) * kind_pt * 1.15
        + 1
    )
    entry = 2.0 + sum(_value_height(card.value(key), _entry_size(card.value(key)), ENTRY_PT - 36.0, 1.1) for key in ("class", "lot"))
    return max(name, entry) + 7.0


def _kind_size(card: Card) -> float:
    width = WIDTH_PT - ENTRY_PT - 12.0
    return largest((11, 10.5, 10, 9.5, 9, 8.5, 8), 13.0, lambda size: lines(paragraph(card.sweetening), size, width) * size * 1.15) or 8.5


def _entry_size(value: str) -> float:
    return largest((11, 10, 9, 8), 27.0, lambda size: lines(finished(value), size, (ENTRY_PT - 36.0) / BOLD) * size * 1.1) or SMALLEST_PT


def _value_height(value: str, size: float, width_pt: float, leading: float) -> float:
    return lines(finished(value), size, width_pt / BOLD) * size * leading if value else BLANK_PT


def _value(value: str, size: float) -> str:
    return (
        f'<span class="value" dir="auto" style="font-size:{size}pt">{html(finished(value))}</span>'
        if value
        else '<span class="blank"></span>'
    )


# ---------------------------------------------------------------- the band


@dataclass(frozen=True, kw_only=True)
class _Cell:
    label: str
    value: str
    under: str
    dated: bool


def _cells(card: Card) -> list[_Cell]:
    """What is judged: date, method, minutes, altitude, jar; or how it is kept cold."""
    pack, headspace = card.value("pack"), card.value("headspace")
    under = {"method": f"{pack} pack" if pack else "", "jar": f"{headspace} headspace" if headspace else ""}
    keys = ("date", "method", "time", "altitude", "keep", "jar")
    fields = {field.key: field for field in card.fields}
    return [
        _Cell(label=fields[key].label, value=finished(fields[key].value), under=finished(under.get(key, "")), dated=key == "date")
        for key in keys
        if key in fields
    ]


def _band_widths(cells: Sequence[_Cell], size: float) -> list[float]:
    """Each cell gets what its longest word asks for, and of the rest as much as it would like in one line."""
    least, liked = [], []
    for cell in cells:
        label = len(cell.label) * CAPS_EM * SMALLEST_PT
        under = [longest_word_em(cell.under) * 9.0] if cell.under else [0.0]
        least.append(
            max(label, *under, longest_word_em(cell.value, bold=True) * size if cell.value else WRITTEN_PT.get(cell.label, 40.0)) + 0.5
        )
        liked.append(max(least[-1], width_em(cell.value) * BOLD * size + 0.5, width_em(cell.under) * 9.0 + 0.5))
    room = WIDTH_PT - BAND_GAP_PT * (len(cells) - 1)
    spare, wish = room - sum(least), sum(liked) - sum(least)
    if spare <= 0.0:
        return [room * width / sum(least) for width in least]
    if wish <= spare:
        return [width + (spare - wish) / len(cells) for width in liked]
    return [low + (high - low) * spare / wish for low, high in zip(least, liked, strict=True)]


def _band_size(cells: Sequence[_Cell]) -> float:
    """The largest type in which no cell takes over two lines and no word is broken; else the smallest."""

    def height(size: float) -> float:
        widths = _band_widths(cells, size)
        broken = any(longest_word_em(cell.value or "x", bold=True) * size > width for cell, width in zip(cells, widths, strict=True))
        return 99.0 if broken else max(lines(cell.value or "x", size, width / BOLD) for cell, width in zip(cells, widths, strict=True))

    return largest((12.5, 12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8), 2.0, height) or SMALLEST_PT


def _cell_height(cell: _Cell, size: float, width: float) -> float:
    under = lines(cell.under, 9.0, width) * 9.0 * 1.1 if cell.under else 0.0
    return 9.2 + 1.5 + _value_height(cell.value, size, width, 1.08) + under


def _band_set(card: Card) -> tuple[list[_Cell], float]:
    """The cells and their type size [pt]: the date in one line where that leaves it legible."""
    cells = _cells(card)
    whole = [replace(cell, value=cell.value.replace(" ", NO_BREAK)) if cell.dated else cell for cell in cells]
    size = _band_size(whole)
    return (whole, size) if size >= WHOLE_DATE_PT else (cells, _band_size(cells))


def _band_height(card: Card) -> float:
    cells, size = _band_set(card)
    return max(_cell_height(cell, size, width) for cell, width in zip(cells, _band_widths(cells, size), strict=True)) + 10.6


def _band(card: Card) -> str:
    cells, size = _band_set(card)
    band = ""
    for cell, width in zip(cells, _band_widths(cells, size), strict=True):
        under = f'<span class="under" dir="auto">{html(cell.under)}</span>' if cell.under else ""
        inside = f'<span class="label">{cell.label}</span>{_value(cell.value, size)}{under}'
        band += f'<div class="judged" style="width:{width:.1f}pt">{inside}</div>'
    return f'<div class="band">{band}</div>'


# ---------------------------------------------------------------- running text


def _texts(card: Card, behind: Sequence[str]) -> list[tuple[str, str]]:
    present = {field.key for field in card.fields}
    return [(label, "on the back" if key in behind else running(card, key)) for key, label in RUNNING if key in present]


def running(card: Card, key: str) -> str:
    """A text that runs across, its list of names set as one."""
    return listed(card.value(key)) if key in ("ingredients", "set") else card.value(key)


def _body_height(card: Card, behind: Sequence[str], size: float) -> float:
    height = 5.0
    for label, text in _texts(card, behind):
        # the label runs in; a word of no-break spaces as wide as the small capitals stands for it
        lead = "\u00a0" * round((len(label) * CAPS_EM * SMALLEST_PT + 5.0) / size / 0.25)
        height += (lines(f"{lead}{paragraph(text)}", size, WIDTH_PT) * size * LEADING if text else BLANK_PT) + 2.0
    return height + sum(_warning_size(warning) * LEADING + 2.0 for warning in card.warnings)


def _running(card: Card, plan: _Front) -> str:
    out = ""
    for label, text in _texts(card, plan.behind):
        if text:
            out += f'<p dir="auto" style="font-size:{plan.text_pt}pt"><span class="label">{label}</span>{html(paragraph(text))}</p>'
        else:
            out += f'<div class="row"><span class="label">{label}</span><span class="blank"></span></div>'
    return out


def _warning_size(warning: str) -> float:
    """A warning stands on one line."""
    return largest((10, 9.5, 9, 8.5, 8), 1.0, lambda size: lines(finished(warning), size, WIDTH_PT / BOLD)) or SMALLEST_PT


def _warnings(card: Card) -> str:
    return "".join(f'<p class="warning" style="font-size:{_warning_size(text)}pt">{html(finished(text))}</p>' for text in card.warnings)
