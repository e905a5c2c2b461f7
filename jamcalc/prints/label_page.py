"""Labels: for the front of the jar, for its lid, and for a gift. Type of 8 pt at the least; what does not fit is refused, never cut.

Says nothing that the card does not say, every text escaped.
"""

from __future__ import annotations

from collections.abc import Sequence

from jamcalc.errors import InputError
from jamcalc.nouns.label import Card
from jamcalc.prints.paper import BLANK_PT, BOLD, SMALLEST_PT, largest, lines, width_em
from jamcalc.prints.typeset import finished, heading, html, listed, paragraph
from jamcalc.words.phrases import sentence

LEADING = 1.14
FRONT_PT = (192.0, 126.0)  # inside the frame
GIFT_PT = (244.0, 122.0)
LID_PT = (130.0, 62.0)
TEXT_SIZES_PT = (10, 9.5, 9, 8.5, 8)

STYLE = """
.front, .gift, .lid { box-sizing: border-box; text-align: center; }
.front { width: 3in; height: 2in; padding: 4pt; }
.gift { width: 3.75in; height: 2in; padding: 4pt; }
.frame { box-sizing: border-box; height: 100%; border: 2.25pt double #000; padding: 3pt 6pt; display: flex; flex-direction: column;
  justify-content: space-between; }
.frame p { line-height: 1.14; text-wrap: balance; }
.frame .warning { font-weight: 700; white-space: nowrap; }
.frame .foot { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: flex-end;
  gap: 0 8pt; border-top: 0.6pt solid #000; padding-top: 2pt; line-height: 1.14;
  text-align: left; }
.frame .foot .row { flex: 0 1 auto; gap: 3pt; }
.frame .foot .row:has(> .blank) { flex: 1; }
.lid { width: 2in; height: 1in; padding: 5pt 7pt; display: flex; flex-direction: column; justify-content: space-around; }
.lid .line { line-height: 1.12; }
.lid .row { justify-content: center; gap: 3pt; white-space: nowrap; line-height: 1.12; }
.lid .blank { min-width: 24pt; }
"""


def front(card: Card) -> str:
    """For the front of a jar, 3 by 2 in: name, ingredients, how to keep it, date."""
    date = next(field for field in card.fields if field.key == "date")
    texts = [card.sweetening, "Ingredients: " + listed(card.value("ingredients")), card.keeping]
    asks = [(date.label, date.value)]
    said = [text for text in (card.net_weight, card.value("exhibitor")) if text]
    return _framed("front", card, texts, asks, said, FRONT_PT)


def gift(card: Card) -> str:
    """For a gift, 3.75 by 2 in: name, ingredients, how to keep it sealed and open, made, best by, jar, and from whom."""
    date, maker = card.value("date"), card.value("exhibitor")
    asks = [("made", date)] + ([("best by", card.best_by)] if card.best_by or not date else [])
    said = [text for text in (card.value("jar"), card.net_weight) if text]
    texts = [card.sweetening, sentence(listed(card.value("ingredients"))), card.keeping_sealed, card.keeping]
    return _framed("gift", card, texts, asks, said, GIFT_PT, last=f"from {maker}" if maker else "")


def _framed(
    kind: str,
    card: Card,
    texts: Sequence[str],
    asks: Sequence[tuple[str, str]],
    said: Sequence[str],
    room: tuple[float, float],
    last: str = "",
) -> str:
    """A framed label: the largest title and text that its room holds. Raises InputError where 8 pt is too large."""
    width, height = room
    foot_pt, foot = _foot_size(asks, said, width)
    warnings = [finished(warning) for warning in card.warnings]
    italic = {card.sweetening, last}
    shown = [text for text in (*texts, last) if text]
    set_texts = [paragraph(text) for text in shown]

    def text_height(size: float) -> float:
        return sum(lines(text, size, width) * size * LEADING + 2.0 for text in set_texts) + len(warnings) * (size * LEADING + 2.0)

    def title_height(size: float) -> float:
        return lines(finished(card.title), size, width / BOLD) * size * 1.1

    for least in (9.0, SMALLEST_PT):
        for title_pt in (21, 19, 17, 15, 14, 13, 12, 11, 10, 9, 8):
            size = largest([pt for pt in TEXT_SIZES_PT if pt >= least], height - foot - title_height(title_pt), text_height)
            if size is not None:
                break
        if size is not None:
            break
    else:
        wide, high = ("3", "2") if kind == "front" else ("3.75", "2")
        raise InputError(f"more than a label of {wide} by {high} inches holds in type of 8 points: give a shorter title with --title")
    body = [
        f'<p dir="auto" style="{"font-style:italic;" if raw in italic else ""}font-size:{size}pt">{html(text)}</p>'
        for raw, text in zip(shown, set_texts, strict=True)
    ]
    warned = [f'<p class="warning" style="font-size:{size}pt">{html(text)}</p>' for text in warnings]
    body[len(body) - bool(last) : len(body) - bool(last)] = warned
    foot_html = "".join(_ask(label, value) for label, value in asks) + "".join(
        f'<span dir="auto">{html(finished(text))}</span>' for text in said
    )
    return (
        f'<article class="{kind}"><div class="frame">{heading(card.title, title_pt)}'
        f'{"".join(body)}<div class="foot" style="font-size:{foot_pt}pt">{foot_html}</div></div></article>'
    )


def _foot_size(asks: Sequence[tuple[str, str]], said: Sequence[str], width: float) -> tuple[float, float]:
    """Type size and height of the foot [pt]: in one line if it can be, with 40 pt for each blank; else in as many as it takes."""

    def wide(size: float) -> float:
        pieces = [f"{label} {value}" for label, value in asks] + list(said)
        blanks = sum(40.0 for _, value in asks if not value)
        return sum(width_em(finished(piece)) * size + 3.0 for piece in pieces) + blanks + 8.0 * (len(pieces) - 1)

    size = largest((9.5, 9, 8.5, 8), width, wide) or SMALLEST_PT
    rows = max(1, -(-int(wide(size)) // int(width)))
    return size, 3.0 + (BLANK_PT if any(not value for _, value in asks) else size * LEADING) + (rows - 1) * size * LEADING


def _ask(label: str, value: str) -> str:
    shown = f'<span dir="auto">{html(finished(value))}</span>' if value else '<span class="blank"></span>'
    return f'<span class="row"><span>{label}</span>{shown}</span>'


def lid(card: Card) -> str:
    """For the lid, 2 by 1 in, the largest that rule books allow there: name, date, and how it was processed."""
    width, height = LID_PT
    date = next(field for field in card.fields if field.key == "date")
    done = [card.value(key) for key in ("method", "time", "altitude")]
    blanks = 0 if date.value else 1
    if not done[0]:
        texts = [card.keeping.partition(",")[0]]
    elif all(done):
        texts = [", ".join(done)]
    else:
        texts = []
        blanks += 1
    entry = ", ".join([*(f"{key} {card.value(key)}" for key in ("class", "lot") if card.value(key)), card.value("exhibitor")]).removesuffix(
        ", "
    )
    set_texts = [finished(text) for text in (*([f"{date.label} {date.value}"] if date.value else []), *texts, entry) if text]
    process = "" if not done[0] or all(done) else _lid_process(done, "m" if card.metric else "ft")

    def rest(size: float) -> float:
        return sum(lines(text, size, width) * size * 1.12 for text in set_texts) + blanks * BLANK_PT

    for title_pt in (14, 13, 12, 11, 10, 9, 8):
        room = height - lines(finished(card.title), title_pt, width / BOLD) * title_pt * 1.1
        size = largest((9, 8.5, 8), room, rest)
        if size is not None:
            break
    else:
        given = [
            f"--{name}"
            for name, key in (("title", "date"), ("class", "class"), ("lot", "lot"), ("name", "exhibitor"))
            if card.value(key) or name == "title"
        ]
        raise InputError(
            f"more than a lid of 2 by 1 inches holds in type of 8 points: shorten {', '.join(given)}, or leave out what is not needed"
        )
    styled = f'style="font-size:{size}pt"'
    asked = "" if date.value else f'<div class="row" {styled}><span>{date.label}</span><span class="blank"></span></div>'
    body = "".join(f'<div class="line" dir="auto" {styled}>{html(text)}</div>' for text in set_texts)
    below = f'<div class="row" {styled}>{process}</div>' if process else ""
    return f'<article class="lid">{heading(card.title, title_pt)}{asked}{body}{below}</article>'


def _lid_process(done: Sequence[str], unit: str) -> str:
    """The process in one line with what is not known left to write: "boiling water __ min __ ft"."""
    method = done[0].removesuffix(" canner")
    minutes = html(finished(done[1])) if done[1] else '<span class="blank"></span>min'
    altitude = html(finished(done[2])) if done[2] else f'<span class="blank"></span>{unit}'
    return f'<span dir="auto">{html(finished(method))}</span>{minutes} {altitude}'
