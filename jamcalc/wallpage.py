"""The page for the kitchen wall: amounts, times, order of work with boxes to tick, what was found, and blanks for what is measured.

One page of Letter or A4, self-contained HTML; everything on it comes from the answer, nothing is worked out here.
Called by the command line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Literal

from jamcalc.errors import InputError
from jamcalc.label import Card
from jamcalc.model import Finding
from jamcalc.outcome import BatchResult
from jamcalc.paper import BOLD, PAPERS, document, largest, lines, width_em
from jamcalc.wording import headspace, jar_words, ph_words, plain, weight

STANDINGS = {
    "calculated": "A calculated formula, not a tested recipe.",
    "published": "Printed by a cook or a packer; no agency has tested it.",
    "tested": "A tested recipe: change nothing in it.",
}

# Running text against the widest letter of each kind, which `lines` counts with: 0.91 to 0.93 measured in print, and a margin.
RUNNING = 0.95
LEADING = 1.17  # as in the style
WRITE_DOWN_PT = 118.0  # four lines to write on, their heading and rule
SPARE_PT = 8.0

STYLE = """
.wall { box-sizing: border-box; padding: 0.55in 0.65in 0.5in; display: flex; flex-direction: column; gap: 0.8em; line-height: 1.17; }
.wall h1 { margin: 0; line-height: 1.1; font-weight: 600; }
.wall header { border-bottom: 2.25pt double #000; padding-bottom: 0.4em; }
.wall header p { margin: 0.25em 0 0; font-style: italic; }
.wall h2 { margin: 0 0 0.3em; font: 600 0.72em Arial, "Liberation Sans", Helvetica, sans-serif; letter-spacing: 0.08em;
  text-transform: uppercase; }
.wall .two { display: flex; gap: 0.35in; }
.wall .pot { flex: 1.5; } .wall .times { flex: 1; }
.wall table { border-collapse: collapse; width: 100%; }
.wall td { padding: 0.2em 0.5em 0.2em 0; border-bottom: 0.4pt solid #000; vertical-align: baseline; }
.wall td.box { width: 1.1em; } .wall td.grams { text-align: right; padding-right: 0; white-space: nowrap; }
.wall .tick { display: inline-block; width: 0.72em; height: 0.72em; border: 0.8pt solid #000; }
.wall ol { margin: 0; padding: 0; list-style: none; }
.wall li { display: flex; gap: 0.6em; align-items: baseline; padding: 0.14em 0; }
.wall li .number { width: 1.2em; text-align: right; flex: none; }
.wall li .tick { flex: none; }
.wall ul { margin: 0; padding: 0 0 0 1em; }
.wall ul li { display: list-item; padding: 0.05em 0; break-inside: avoid; }
.wall ul.care { columns: 2; column-gap: 18pt; font-size: 0.9em; }
.wall .write { margin-top: auto; border-top: 0.75pt solid #000; padding-top: 0.6em; font-size: 11pt; }
.wall .write .line { display: flex; gap: 14pt; margin-bottom: 9pt; }
.wall .write .ask { flex: 1; display: flex; gap: 5pt; align-items: flex-end; white-space: nowrap; }
.wall .write .rule { flex: 1; border-bottom: 0.6pt solid #000; height: 15pt; min-width: 20pt; }
"""


def kitchen_html(result: BatchResult, *, paper: Literal["letter", "a4"] = "letter", card: Card | None = None) -> str:
    """One page to hang up while cooking.

    Parameters
    ----------
    result : the answer
    paper : letter or a4
    card : of the same batch; its title and date are used where it is given

    Raises
    ------
    InputError : more text than a page holds
    """
    if paper not in PAPERS:
        raise InputError(f'no page of that size: write one of {", ".join(PAPERS)}')
    title = card.title if card else plain(result.title)
    width, height = (inches * 72 for inches in PAPERS[paper].inches)
    size = _size(result, title, width - 94, height - 76)
    pot = "".join(
        f'<tr><td class="box"><span class="tick"></span></td>'
        f'<td dir="auto"><b>{escape(plain(each.measure))}</b> {escape(plain(each.name))}</td>'
        f'<td class="grams">{weight(each.grams) if each.grams else ""}</td></tr>'
        for each in result.ingredients
    )
    times = "".join(f"<tr><td>{escape(name)}</td><td class='grams'><b>{escape(value)}</b></td></tr>" for name, value in _times(result))
    steps = "".join(
        f'<li><span class="tick"></span><span class="number">{number}</span><span dir="auto">{escape(plain(step))}</span></li>'
        for number, step in enumerate(result.order_of_work, 1)
    )
    found, care = ("".join(f"<li>{escape(text)}</li>" for text in texts) for texts in (_found(result), _care(result)))
    for_this = f"<section><h2>For this batch</h2><ul>{found}</ul></section>" if found else ""
    page_width, page_height = PAPERS[paper].css.split()
    body = (
        f'<main class="wall" style="width:{page_width};height:{page_height};font-size:{size}pt">'
        f'<header><h1 dir="auto" style="font-size:{_title_size(title, width - 94)}pt">{escape(title)}</h1>'
        f"<p>{STANDINGS[result.standing]}</p></header>"
        f'<div class="two"><section class="pot"><h2>In the pot</h2><table>{pot}</table></section>'
        f'<section class="times"><h2>Times and jars</h2><table>{times}</table></section></div>'
        f"<section><h2>Order of work</h2><ol>{steps}</ol></section>"
        f'{for_this}<section><h2>Take care</h2><ul class="care">{care}</ul></section>'
        f"{_write_down(card.value('date') if card else '', result.process is None)}</main>"
    )
    return document(title, PAPERS[paper].css, STYLE, body)


def _found(result: BatchResult) -> list[str]:
    """What holds for this batch alone: how it keeps where that is cold, and the findings."""
    return ([] if result.process else [result.keeping]) + _told(result.findings)


def _care(result: BatchResult) -> list[str]:
    """The cautions."""
    return _told(result.cautions)


def _told(findings: Sequence[Finding]) -> list[str]:
    """Their text, less what the page says in its own words."""
    return [plain(each.text) for each in findings if each.id not in ("tested-recipe", "opened", "seal-check")]


def _times(result: BatchResult) -> list[tuple[str, str]]:
    """What a glance must find: minutes, jars, headspace."""
    settings, jars = result.batch.settings, result.yield_
    rows = []
    if settings.simmer_min:
        rows.append(("simmer" + (", covered" if settings.covered else ""), f"{settings.simmer_min:g} min"))
    if result.batch.boil_given:
        rows.append(("rolling boil", f"{settings.boil_min:g} min"))
    if result.process is None:
        rows.append(("keep", "cold, not on the shelf"))
    elif result.process.altitude_ft is None:
        rows += [(band.feet, f"{band.minutes} min") for band in result.process.by_band]
    else:
        rows += [("in the canner", f"{result.process.minutes} min"), ("altitude", f"{result.process.altitude_ft:,.0f} ft")]
    rows.append(("heat jars", jar_words(plain(jars.jar), jars.jars.heat)))
    if result.process is not None:  # what is frozen takes more, as the order of work says
        rows.append(("headspace", headspace(jars.headspace_mm, settings.units)))
    return [*rows, ("pH expected", ph_words(result.acidity.ph))]


def _write_down(date: str, cold: bool) -> str:
    def ask(label: str, value: str = "") -> str:
        shown = f'<b dir="auto">{escape(value)}</b>' if value else '<span class="rule"></span>'
        return f'<span class="ask"><span>{label}</span>{shown}</span>'

    rows = (
        ask("Date", date) + ask("Measured pH") + ask("again"),
        ask("Jars filled") + ask("Sealed") + ask("Into the cold at" if cold else "Into the canner at"),
        ask("Notes"),
        '<span class="rule"></span>',
    )
    return '<section class="write"><h2>Write down</h2>' + "".join(f'<div class="line">{row}</div>' for row in rows) + "</section>"


def _title_size(title: str, width_pt: float) -> float:
    return largest((26, 22, 19, 16, 14, 12), 56.0, lambda size: lines(title, size, width_pt / BOLD) * size * 1.1) or 10


def _size(result: BatchResult, title: str, width_pt: float, height_pt: float) -> float:
    """Type size of the page, from what is on it."""
    title_pt = _title_size(title, width_pt)
    found, care = _found(result), _care(result)
    side_pt = (width_pt - 25.2) / 2.5  # the narrower of the two tables; the other is half again as wide
    fixed_pt = lines(title, title_pt, width_pt / BOLD) * title_pt * 1.1 + WRITE_DOWN_PT + SPARE_PT

    def height_at(size: float) -> float:
        def paragraphs(texts: Iterable[str], type_pt: float, room_pt: float) -> list[float]:
            return [(lines(text, type_pt * RUNNING, room_pt) * LEADING + 0.1) * type_pt for text in texts]

        pot = sum(
            lines(f"{each.measure} {plain(each.name)}", size, side_pt * 1.5 - size * 7) * LEADING * size + size * 0.4 + 0.4
            for each in result.ingredients
        )
        times = sum(
            lines(name, size, max(side_pt - (width_em(value) * BOLD + 0.5) * size, size)) * LEADING * size + size * 0.4 + 0.4
            for name, value in _times(result)
        )
        steps = paragraphs(map(plain, result.order_of_work), size, width_pt - size * 3.6)
        small = size * 0.9
        columns = paragraphs(care, small, (width_pt - 18.0) / 2.0 - small)
        # the header's line, four gaps and three small headings, and one more of each
        between = (2.0 + 0.8 * 4 + 1.06 * 3 + (0.8 + 1.06 if found else 0.0)) * size
        texts = sum(steps) + 0.2 * size * len(steps) + sum(paragraphs(found, size, width_pt - size)) + _balanced(columns)
        return fixed_pt + between + max(pot, times) + texts

    size = largest([quarters / 4.0 for quarters in range(56, 21, -1)], height_pt, height_at)
    if size is None:
        raise InputError("more steps and cautions than one page holds")
    return size


def _balanced(heights: Sequence[float]) -> float:
    """The height of paragraphs in two columns, parted where the longer column is shortest."""
    return min(max(sum(heights[:place]), sum(heights[place:])) for place in range(len(heights) + 1))
