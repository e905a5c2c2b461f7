"""Cards and jar labels as self-contained HTML that prints in real size: one to a page, or sheets with cut marks.

No script, no outside resource, every text escaped; says nothing that the card does not say.
Called by the command line; the page for the kitchen wall is wallpage's.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Literal

from jamcalc.errors import InputError
from jamcalc.label import Card
from jamcalc.paper import BOLD, PAPERS, document, largest, lines

Kind = Literal["card", "front", "lid"]
# 1 x 2 in is the largest that rule books allow on a lid; 3 x 2 in clears shoulder and heel of a half-pint (judgement).
SIZES_IN: dict[Kind, tuple[float, float]] = {"card": (5.0, 3.0), "front": (3.0, 2.0), "lid": (2.0, 1.0)}
TITLE_WIDTH_PT = 226.0 / BOLD  # beside class and lot
TITLE_SIZES_PT = (21, 19, 17, 15, 13, 11.5, 10, 9, 8, 7, 6.5, 6, 5.5)
TEXT_SIZES_PT = (10.5, 10, 9.5, 9, 8.5, 8, 7.5, 7, 6.5, 6, 5.5, 5)
LEGIBLE_PT = 9.0  # a title this small, or a text, is worth room taken from the other (judgement)
ROW_PT = 17.0  # of the left column
FRONT_WIDTH_PT = 178.0  # inside the frame
LID_WIDTH_PT = 129.0

STYLE = """
.card, .front, .lid { box-sizing: border-box; position: relative; }
.card { width: 5in; height: 3in; padding: 0.2in 0.22in 0.16in; display: flex; flex-direction: column; }
.card header { display: flex; justify-content: space-between; gap: 12pt; border-bottom: 2.25pt double #000; padding-bottom: 5pt; }
.card .name { flex: 1; min-width: 0; }
.card h1, .front h1, .lid h1 { margin: 0; font-weight: 600; line-height: 1.1; }
.kind { margin: 2pt 0 0; font-style: italic; font-size: 9.5pt; line-height: 1.15; }
.entry { width: 92pt; }
.entry .label { width: 25pt; }
.entry .value { font-weight: 600; font-size: 11pt; }
.row { display: flex; align-items: baseline; gap: 6pt; }
.label { font-family: Arial, "Liberation Sans", Helvetica, sans-serif; font-size: 6.6pt; letter-spacing: 0.06em;
  text-transform: uppercase; flex: none; }
.blank { flex: 1; border-bottom: 0.6pt solid #000; min-width: 20pt; height: 12pt; }
.card .body { display: flex; gap: 14pt; flex: 1; min-height: 0; padding-top: 6pt; }
.card .facts { width: 164pt; flex: none; display: flex; flex-direction: column; justify-content: space-between; }
.card .few { justify-content: flex-start; gap: 12pt; }
.card .facts .label { width: 49pt; }
.card .facts .value { font-size: 11pt; line-height: 1.05; min-width: 0; }
.card .facts .strong { font-weight: 700; }
.card .contents { flex: 1; min-width: 0; border-left: 0.4pt solid #000; padding-left: 12pt; display: flex; flex-direction: column;
  justify-content: space-between; gap: 4pt; }
.card .contents .label { display: block; margin-bottom: 1pt; }
.card .contents .value { display: block; line-height: 1.14; }
.card .contents .blank { display: block; height: 12pt; }
.card .contents .blank + .blank { height: 14pt; }
.warning { margin: 5pt 0 0; font-style: italic; font-size: 8pt; line-height: 1.1; }
.front { width: 3in; height: 2in; padding: 0.1in; }
.front .frame { box-sizing: border-box; height: 100%; border: 2.25pt double #000; padding: 7pt 9pt 6pt;
  display: flex; flex-direction: column;
  text-align: center; justify-content: space-between; }
.front .small { line-height: 1.16; }
.front .foot { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 1pt 8pt; font-size: 7.5pt;
  border-top: 0.4pt solid #000; padding-top: 3pt;
  text-align: left; }
.front .foot .row { flex: 1; white-space: nowrap; }
.front .foot .weight { white-space: nowrap; }
.lid { width: 2in; height: 1in; padding: 0.07in 0.1in; display: flex; flex-direction: column; justify-content: space-between;
  text-align: center; }
.lid .line { font-size: 7.5pt; line-height: 1.12; }
.lid .line .row { justify-content: center; }
.lid .line .blank { height: 8pt; max-width: 70pt; }
.lid .two { display: flex; gap: 6pt; }
.lid .two .row { flex: 1 1 auto; white-space: nowrap; }
.sheet { position: relative; break-after: page; }
.sheet:last-child { break-after: auto; }
.cell { position: absolute; }
.mark { position: absolute; background: #000; }
"""


def card_html(cards: Card | Sequence[Card]) -> str:
    """One index card of 5 by 3 in, or one for each entry: a page each.

    Raises
    ------
    InputError : more text than a card of that size holds legibly
    """
    return _pages("card", _sequence(cards))


def front_label_html(cards: Card | Sequence[Card]) -> str:
    """The label for the front of the jar, 3 by 2 in, a page each."""
    return _pages("front", _sequence(cards))


def lid_label_html(cards: Card | Sequence[Card]) -> str:
    """The label for the lid, 2 by 1 in, a page each."""
    return _pages("lid", _sequence(cards))


def sheet_html(cards: Card | Sequence[Card], paper: Literal["letter", "a4"] = "letter", kind: Kind = "card") -> str:
    """A sheet of several with cut marks: one entry fills the sheet, several are laid out once each.

    Parameters
    ----------
    cards : the entries
    paper : letter (8.5 x 11 in) or a4 (210 x 297 mm)
    kind : card, front or lid
    """
    if paper not in PAPERS:
        raise InputError(f"no sheet of that size: write one of {', '.join(PAPERS)}")
    page_width, page_height = PAPERS[paper].inches
    width, height = SIZES_IN[kind]
    across, down = int((page_width - 0.7) // width), int((page_height - 0.7) // height)
    left, top = (page_width - across * width) / 2, (page_height - down * height) / 2
    entries = _sequence(cards)
    laid = list(entries) * (across * down) if len(entries) == 1 else list(entries)
    marks = "".join(_marks(left, top, width, height, across, down))
    sheets = []
    for start in range(0, len(laid), across * down):
        cells = ""
        for index, card in enumerate(laid[start : start + across * down]):
            x, y = left + index % across * width, top + index // across * height
            cells += f'<div class="cell" style="left:{x:.4f}in;top:{y:.4f}in">{_BODIES[kind](card)}</div>'
        size = PAPERS[paper].css.split()
        sheets.append(f'<section class="sheet" style="width:{size[0]};height:{size[1]}">{marks}{cells}</section>')
    return document(entries[0].title, PAPERS[paper].css, STYLE, "".join(sheets))


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


def _pages(kind: Kind, cards: Sequence[Card]) -> str:
    width, height = SIZES_IN[kind]
    style = STYLE + f".{kind} + .{kind} {{ break-before: page; }}"
    return document(cards[0].title, f"{width:g}in {height:g}in", style, "".join(_BODIES[kind](card) for card in cards))


def _sequence(cards: Card | Sequence[Card]) -> Sequence[Card]:
    entries = [cards] if isinstance(cards, Card) else list(cards)
    if not entries:
        raise InputError("no card to print")
    return entries


# ---------------------------------------------------------------- one card


def _card_body(card: Card) -> str:
    blocks = [("ingredients", "ingredients"), ("set", "set with"), ("recipe", "recipe")]
    warning = " ".join(card.warnings)
    warning_height = lines(warning, 8.0, 325.0) * 8.8 + 5 if warning else 0.0
    texts = [card.value(key) for key, _ in blocks]
    beside = [field for field in card.fields if field.key not in {"class", "lot", *(key for key, _ in blocks)}]

    def room_under(title_pt: float) -> float:
        title_height = lines(card.title, title_pt, TITLE_WIDTH_PT) * title_pt * 1.1
        kind_height = lines(card.sweetening, 9.5, 226.0) * 11.0 + 2
        return 216 - 26 - max(title_height + kind_height, 34.0) - 8 - 8 - warning_height

    def height_at(size: float) -> float:
        blank_lines = 2
        return sum((lines(text, size, 139.0) if text else blank_lines * 14 / size) * size * 1.14 + 9.5 for text in texts) + 8

    title_pt = _fit(card.title, "the title", TITLE_WIDTH_PT, 46.0, TITLE_SIZES_PT, leading=1.1)
    if title_pt < LEGIBLE_PT:  # a very long one takes more of the card, where the rest can spare it
        taller_pt = _fit(card.title, "the title", TITLE_WIDTH_PT, 62.0, TITLE_SIZES_PT, leading=1.1)
        left_over = room_under(taller_pt)
        if left_over >= ROW_PT * len(beside) and (largest(TEXT_SIZES_PT, left_over, height_at) or 0) >= LEGIBLE_PT:
            title_pt = taller_pt
    size = largest(TEXT_SIZES_PT, room_under(title_pt), height_at)
    if size is None:
        raise InputError("more ingredients and recipe text than a card of 3 by 5 inches holds: shorten the recipe's source or the title")
    left = "".join(
        _row(
            field.label,
            field.value,
            "strong" if field.key in ("time", "altitude") else "",
            _small_size(field.value, 108.0, 40.0 if field.key == "keep" else 18.0),
        )
        for field in beside
    )
    right = "".join(
        f'<div><span class="label">{label}</span>'
        + (f'<span class="value" dir="auto" style="font-size:{size}pt">{escape(text)}</span>' if text else _BLANK * 2)
        + "</div>"
        for (_, label), text in zip(blocks, texts, strict=True)
    )
    entry = "".join(_row(key, card.value(key), "", _small_size(card.value(key), 60.0, 19.0)) for key in ("class", "lot"))
    few = " few" if len(beside) < 5 else ""
    below = f'<p class="warning">{escape(warning)}</p>' if warning else ""
    return (
        f'<article class="card"><header><div class="name"><h1 dir="auto" style="font-size:{title_pt}pt">{escape(card.title)}</h1>'
        f'<p class="kind" dir="auto">{escape(card.sweetening)}</p></div><div class="entry">{entry}</div></header>'
        f'<div class="body"><div class="facts{few}">{left}</div><div class="contents">{right}</div></div>{below}</article>'
    )


def _front_body(card: Card) -> str:
    sizes = (19, 17, 15, 13, 11.5, 10, 9, 8.5, 8, 7.5, 7, 6, 5.5, 5)
    title_pt = _fit(card.title, "the title", FRONT_WIDTH_PT / BOLD, 40.0, sizes, leading=1.1)
    if title_pt < LEGIBLE_PT:
        title_pt = _fit(card.title, "the title", FRONT_WIDTH_PT / BOLD, 44.0, sizes, leading=1.1)
    small = [card.sweetening, "Ingredients: " + card.value("ingredients"), " ".join([card.keeping, *card.warnings])]
    room = 144 - 14.4 - 18 - lines(card.title, title_pt, FRONT_WIDTH_PT / BOLD) * title_pt * 1.1 - (25 if card.net_weight else 16)
    size = largest(
        (9, 8.5, 8, 7.5, 7, 6.5, 6, 5.5, 5, 4.5, 4), room, lambda pt: sum(lines(text, pt, FRONT_WIDTH_PT) * pt * 1.16 + 2 for text in small)
    )
    if size is None:
        raise InputError("more ingredients than a label of 3 by 2 inches holds")
    styled = f'style="font-size:{size}pt"'
    date_label = next(field.label for field in card.fields if field.key == "date")
    weight = f'<span class="weight">{escape(card.net_weight)}</span>' if card.net_weight else ""
    return (
        f'<article class="front"><div class="frame"><h1 dir="auto" style="font-size:{title_pt}pt">{escape(card.title)}</h1>'
        f'<div class="small" {styled} dir="auto"><i>{escape(small[0])}</i></div>'
        f'<div class="small" {styled} dir="auto">{escape(small[1])}</div>'
        f'<div class="small" {styled} dir="auto">{escape(small[2])}</div>'
        f'<div class="foot">{_row(date_label, card.value("date"))}{weight}</div></div></article>'
    )


def _lid_body(card: Card) -> str:
    date_label = next(field.label for field in card.fields if field.key == "date")
    done = [card.value(key) for key in ("method", "time", "altitude")]
    entry = ", ".join(f"{key} {card.value(key)}" for key in ("class", "lot") if card.value(key))
    asked = ""
    if not done[0]:
        texts = [card.keeping.partition(",")[0].lower(), entry]
    elif all(done):
        texts = [", ".join(done), entry]
    else:
        # no room for a fourth line: class and lot stand beside the method
        texts = [", ".join(filter(None, (done[0], entry)))]
        asked = f'<div class="line two">{_row("time", done[1])}{_row("altitude", done[2])}</div>'
    sized = [(text, _line_size(text)) for text in texts if text]
    room = 60 - 10 - (10 if asked else 0) - sum(lines(text, size, LID_WIDTH_PT) * size * 1.12 for text, size in sized)
    title_pt = _fit(card.title, "the title", LID_WIDTH_PT / BOLD, room, (13, 12, 11, 10, 9, 8, 7, 6, 5.5, 5, 4.5, 4, 3.5, 3), leading=1.1)
    below = "".join(f'<div class="line" dir="auto" style="font-size:{size}pt">{escape(text)}</div>' for text, size in sized)
    return (
        f'<article class="lid"><h1 dir="auto" style="font-size:{title_pt}pt">{escape(card.title)}</h1>'
        f'<div class="line">{_row(date_label, card.value("date"))}</div>{below}{asked}</article>'
    )


_BODIES = {"card": _card_body, "front": _front_body, "lid": _lid_body}
_BLANK = '<span class="blank"></span>'


def _row(label: str, value: str, emphasis: str = "", size_pt: float | None = None) -> str:
    styled = f' style="font-size:{size_pt}pt"' if size_pt else ""
    shown = f'<span class="value {emphasis}" dir="auto"{styled}>{escape(value)}</span>' if value else _BLANK
    return f'<div class="row"><span class="label">{escape(label)}</span>{shown}</div>'


def _small_size(text: str, width_pt: float, height_pt: float) -> float | None:
    """A size for the value of a row that takes more than one line; None where the ordinary size does."""
    if lines(text, 11.0, width_pt) == 1:
        return None
    return largest((10, 9, 8.5, 8, 7.5, 7, 6.5, 6, 5.5, 5), height_pt, lambda size: lines(text, size, width_pt) * size * 1.05) or 4.5


def _line_size(text: str) -> float:
    """A size for one line of the lid; a long class and lot take two or three small ones."""
    sizes = (7.5, 7, 6.5, 6, 5.5, 5)
    one_line = largest(sizes, 9.0, lambda size: lines(text, size, LID_WIDTH_PT) * size * 1.12)
    return one_line or largest(sizes, 17.0, lambda size: lines(text, size, LID_WIDTH_PT) * size * 1.12) or 4.5


def _fit(text: str, what: str, width_pt: float, height_pt: float, sizes: Sequence[float], *, leading: float) -> float:
    size = largest(sizes, height_pt, lambda pt: lines(text, pt, width_pt) * pt * leading)
    if size is None:
        raise InputError(f"{what} does not fit: {len(text)} characters; give a shorter one with --title")
    return size
