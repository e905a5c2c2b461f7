"""The page to cook from: amounts, steps with the amounts in them and boxes to tick, times to write down, pH to mark, jars.

One page of Letter or A4 for each potful, self-contained HTML, every text escaped; what stands on it is wall_sheet's.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from jamcalc.errors import InputError
from jamcalc.formula import storage
from jamcalc.labels import doing
from jamcalc.labels.lemon_curve import LemonCurve
from jamcalc.nouns.label import Card, Step
from jamcalc.nouns.outcome import BatchResult, PotShare
from jamcalc.prints import drawing
from jamcalc.prints.paper import PAPERS, document
from jamcalc.prints.typeset import finished, heading, html, paragraph
from jamcalc.prints.wall_sheet import (
    CURVE_PT,
    JAR_ROW_PT,
    LEAST_PT,
    Sheet,
    amount_size,
    gap,
    made_sheet,
    sides,
    small_size,
    step_size,
    title_size,
)
from jamcalc.words.phrases import all_jars, headspace, likely_jars, sentence

STYLE = """
.wall { contain: size; box-sizing: border-box; height: 100%; padding: 26pt 34pt; display: flex; flex-direction: column;
  line-height: 1.17; }
.wall header { display: flex; justify-content: space-between; align-items: flex-end; gap: 14pt;
  border-bottom: 1.5pt solid #000; padding-bottom: 4pt; }
.wall header p { font-style: italic; font-size: 11pt; text-align: right; flex: none; width: 196pt; text-wrap: balance; }
.wall h2 { margin: 0 0 2pt; }
.wall .two { display: flex; gap: 16pt; }
.wall .pot { flex: 1; min-width: 0; }
.wall .glance { width: 140pt; flex: none; border-left: 0.6pt solid #000; padding-left: 12pt; box-sizing: border-box;
  display: flex; flex-direction: column; gap: 5pt; }
.wall .glance .big { font-weight: 700; font-size: 26pt; line-height: 1; }
.wall .glance p { font-size: 10.5pt; line-height: 1.15; }
.wall table { border-collapse: collapse; width: 100%; }
.wall .pot td { padding: 2pt 6pt 2pt 0; border-bottom: 0.5pt solid #000; vertical-align: baseline; }
.wall .pot td.box { width: 14pt; font-size: 8pt; line-height: 1; }
.wall .pot td.amount { font-weight: 700; white-space: nowrap; padding-right: 10pt; }
.wall td.grams { text-align: right; padding-right: 0; white-space: nowrap; }
.wall .note { font-style: italic; }
.wall .bands td { font-size: 10pt; padding: 0.5pt 0; }
.wall .tick { display: inline-block; box-sizing: border-box; width: 4mm; height: 4mm; border: 1pt solid #000;
  flex: none; position: relative; top: 1pt; }
.wall ol { margin: 0; padding: 0; list-style: none; display: flex; flex-direction: column; gap: 3pt; }
.wall ol li { display: flex; gap: 8pt; align-items: baseline; }
.wall ol li:has(.asked) { text-wrap: wrap; }
.wall .asked { display: inline-flex; align-items: flex-end; gap: 4pt; white-space: nowrap; vertical-align: bottom; }
.wall .apart { word-spacing: 8pt; }
.wall .asked .blank { width: 54pt; flex: none; }
.wall .asked .blank:not(:last-child) { margin-right: 8pt; }
.wall .charts { display: flex; justify-content: space-between; gap: 12pt; align-items: flex-start; }
.wall .care p { line-height: 1.15; }
.wall .write { margin-top: auto; display: flex; align-items: flex-end; gap: 14pt; font-size: 11pt; }
.wall .write .row { flex: 1 1 auto; gap: 4pt; white-space: nowrap; }
.wall .write .row:has(> b) { flex: none; }
svg { display: block; }
"""


def kitchen_html(
    result: BatchResult,
    *,
    card: Card,
    paper: Literal["letter", "a4"] = "letter",
    share: PotShare | None = None,
    curve: LemonCurve | None = None,
    loads: int = 1,
) -> str:
    """A page to cook from, one for each potful.

    Parameters
    ----------
    result : the answer; card : of the same batch: its title, date, warnings, and who made it
    paper : letter or a4
    share : what goes into each of several potfuls; None: one pot
    curve : how the high side of pH falls with lemon juice; None: not drawn
    loads : of the canner, of the whole batch: each has its own times to write down

    Raises
    ------
    InputError : more ingredients than a page holds in type of 8 points
    """
    if paper not in PAPERS:
        raise InputError(f"no page of that size: write one of {', '.join(PAPERS)}")
    potfuls = share.potfuls if share is not None and share.shares else 1
    potful = [made_sheet(result, card, paper, share, curve, number, potfuls, loads) for number in range(1, potfuls + 1)]
    return document(card.title, PAPERS[paper], STYLE, [_leaf(side) for whole in potful for side in sides(whole)])


def _leaf(sheet: Sheet) -> str:
    size = step_size(sheet)
    meta = "<br>".join(html(finished(sentence(text))) for text in sheet.meta)
    steps = "".join(_step(step, size) for step in sheet.steps)
    parts = [f"<header>{heading(sheet.title, title_size(sheet))}<p>{meta}</p></header>"]
    if sheet.rows:
        pot = f'<section class="pot">{_pot(sheet, size)}</section><section class="glance">{_glance(sheet)}</section>'
        parts.append(f'<div class="two">{pot}</div>')
    if steps:
        parts.append(f'<section class="work"><ol style="font-size:{size}pt">{steps}</ol></section>')
    if sheet.ends:
        parts += _end(sheet, small_size(size))
    return f'<main class="wall" style="gap:{gap(sheet, size):.1f}pt">{"".join(parts)}</main>'


def _end(sheet: Sheet, small_pt: float) -> list[str]:
    """What was found of this batch, the drawings, the cautions, and blanks for what comes of it."""
    parts = []
    if sheet.notes:
        notes = f'<h2 class="label">For this batch</h2><p dir="auto">{html(paragraph(" ".join(sheet.notes)), small_pt)}</p>'
        parts.append(f'<section class="found" style="font-size:{small_pt}pt">{notes}</section>')
    warned = "".join(f'<b class="whole">{html(finished(text))}</b> ' for text in sheet.warnings)
    if sheet.close:
        care = f"<p>{warned}{html(paragraph(' '.join(sheet.care)))}</p>"
    else:
        care = (f"<p>{warned}</p>" if warned else "") + "".join(f"<p>{html(paragraph(text))}</p>" for text in sheet.care)
    parts += [_charts(sheet), f'<section class="care" style="font-size:{small_pt}pt">{care}</section>']
    return [*parts, f'<section class="write">{"".join(_ask(label, value) for label, value in sheet.asks)}</section>']


# ---------------------------------------------------------------- parts


def _pot(sheet: Sheet, size: float) -> str:
    amount_pt, small, out = amount_size(size), small_size(size), ""

    def cell(kind: str, text: str, size_pt: float) -> str:
        return f'<td class="{kind}" dir="auto" style="font-size:{size_pt}pt">{text}</td>'

    for row in sheet.rows:
        note = f' <span class="note" style="font-size:{small}pt">{html(paragraph(row.note), small)}</span>' if row.note else ""
        cells = cell("amount", html(finished(row.amount), amount_pt), amount_pt) + cell("name", html(finished(row.name), size) + note, size)
        cells += cell("grams", html(finished(row.grams)), max(LEAST_PT, size - 2))
        out += f'<tr><td class="box"><span class="tick"></span></td>{cells}</tr>'
    return f"<table>{out}</table>"


def _glance(sheet: Sheet) -> str:
    """What a look from the stove must find: minutes, jars, headspace."""
    result = sheet.result
    units, process = result.batch.settings.units, result.process
    bands = ""
    if process is None:
        measure = any(finding.kind == "meter" for finding in result.findings)
        minutes = doing.shelf_minutes(result)
        then = f": then {minutes} min in boiling water" if minutes else ""
        big, under = "cold", f"unless a meter reads {storage.SHELF_READING_PH:.2f} or lower{then}" if measure else "not for the shelf"
    elif process.altitude_ft is None:
        big, under = "", "minutes in boiling water"
        bands = "".join(
            f"<tr><td>{html(finished(band.metres if units == 'metric' else band.feet))}</td>"
            f"<td class='grams'><b>{band.minutes}</b></td></tr>"
            for band in process.by_band
        )
        bands = f'<table class="bands">{bands}</table>'
    else:
        big, under = f"{process.minutes} min", "in boiling water"
    depth = f"<p>{html(finished(headspace(result.yield_.headspace_mm, units)))} headspace</p>" if process is not None else ""
    first = f'<div class="big">{html(finished(big))}</div>' if big else ""
    return f"{first}<p>{html(finished(under))}</p>{bands}{depth}{_jars(result)}"


def _jars(result: BatchResult) -> str:
    """How many to heat and to expect: this kitchen's own, as the steps have them, or those that the answer counts in, drawn."""
    own, jars = result.kitchen, result.yield_.jars
    verb = "have" if result.process is None else "heat"  # for the cold they need not be hot
    if own is not None and own.heat:
        fill = f"{all_jars(own.fill_expected) or 'no jar to the rim'} likely"
        return f"<h2 class='label'>Jars: {verb}</h2><p><b>{html(finished(all_jars(own.heat)))}</b></p><p>{html(finished(fill))}</p>"
    sure, likely = math.floor(jars.low), min(likely_jars(jars), jars.heat)
    row = drawing.jar_row(sure, likely, jars.heat, JAR_ROW_PT) if jars.heat <= drawing.MOST_JARS_DRAWN else ""
    return f"<h2 class='label'>Jars: {verb} {jars.heat}</h2>{row}<p>{_jar_words(sure, likely, jars.heat)}</p>"


def _jar_words(sure: int, likely: int, heat: int) -> str:
    spare = max(0, heat - max(likely, sure))
    said = [f"{sure} sure" if sure else "", f"{likely} likely" if likely > sure else "", f"{spare} to spare" if spare else ""]
    return ", ".join(filter(None, said))


def _step(step: Step, size: float) -> str:
    """One step: its times and amounts bold, the minutes in the canner large, a blank for each thing to write down."""
    text = ""
    for place, piece in enumerate(step.pieces):
        words = paragraph(piece.text) if place == len(step.pieces) - 1 else finished(piece.text)
        safe = html(words, size)
        large = ' style="font-size:1.35em;line-height:1"' if step.kind == "process" and " min" in piece.text else ""
        text += f"<b{large}>{safe}</b>" if piece.strong else safe
    asked = "".join(_asked(step.asks[at : at + 2]) for at in range(0, len(step.asks), 2))
    return f'<li><span class="tick"></span><span dir="auto">{text}{asked}</span></li>'


def _asked(labels: Sequence[str]) -> str:
    """What is written down together, on one line: "in at __ out at __"."""
    asked = "".join(f'{label}<span class="blank"></span>' for label in labels)
    return f'<span class="apart"> </span><span class="asked">{asked}</span>'


def _charts(sheet: Sheet) -> str:
    acidity, result = sheet.result.acidity, sheet.result
    sour = any(row.role == "acid" for row in sheet.rows)
    measured = result.batch.settings.batch_ph is not None
    lemon = any("lemon" in row.name for row in sheet.rows if row.role == "acid")
    after = "as measured" if measured else "with lemon juice" if lemon else "with its acid"
    bars = [("fruit alone", acidity.ph_before_lemon), (after, acidity.ph)] if sour else [("this batch", acidity.ph)]
    bars = bars[-1:] if sheet.small else bars
    decides = result.standing != "tested" and (result.storage == "shelf" or any(finding.kind == "meter" for finding in result.findings))
    width = sheet.width - (CURVE_PT + 12.0 if sheet.curve is not None else 0.0)
    whatever = "kept cold, whatever it reads" if result.storage == "cold" and not decides else ""
    scale = drawing.ph_scale(
        bars, width, shelf_ph=storage.SHELF_HIGH_SIDE_PH, reading_ph=storage.SHELF_READING_PH, decides=decides, whatever=whatever
    )
    out = f'<div><h2 class="label">Where the pH lies; mark your reading with a pen</h2>{scale}</div>'
    if sheet.curve is not None:
        drawn = drawing.lemon_curve(
            sheet.curve.points, sheet.curve.here_ml, sheet.curve.ticks, CURVE_PT, drawing.CHART_PT, shelf_ph=storage.SHELF_HIGH_SIDE_PH
        )
        out += f'<div><h2 class="label">Highest pH by lemon juice</h2>{drawn}</div>'
    return f'<section class="charts">{out}</section>'


def _ask(label: str, value: str) -> str:
    shown = f'<b dir="auto">{html(finished(value))}</b>' if value else '<span class="blank"></span>'
    return f'<span class="row"><span>{label}</span>{shown}</span>'
