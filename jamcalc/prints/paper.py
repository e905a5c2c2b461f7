"""What every printed page stands on: sizes of paper, the frame of a document, and how large a text may be set in a box.

Type is measured character by character, as wide as it is in the widest of its faces, and wrapped as a browser wraps.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

# Faces of one and the same width on every system, so that what fits here fits there.
FONTS = '"Times New Roman", "Liberation Serif", Tinos, "Nimbus Roman", Times, serif'
SANS = 'Arial, "Liberation Sans", Helvetica, sans-serif'
SMALLEST_PT = 8.0  # of any type on any print: smaller is not read at arm's length (judgement)
BLANK_PT = 20.0  # room for a pen
FRACTION_SIZE = 0.7  # of the type beside it


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A sheet of paper: its size for CSS, and in inches."""

    css: str
    inches: tuple[float, float]
    said: str


PAPERS = {
    "letter": Paper(css="8.5in 11in", inches=(8.5, 11.0), said="Letter paper"),
    "a4": Paper(css="210mm 297mm", inches=(210 / 25.4, 297 / 25.4), said="A4 paper"),
}

# Advance in ems of each character in those faces, upright or italic, whichever is wider (measured: the metrics that come with the
# free faces of that width, NimbusRoman-Regular.afm and -Italic.afm); of other letters a guess (judgement).
BOLD = 1.08  # how much wider the bold faces run
SPACE, SMALL, CAPITAL, WIDE, FOREIGN, FULL = 0.25, 0.5, 0.723, 0.944, 0.7, 1.05
_WIDTHS = {
    0.25: ',.', 0.275: '|', 0.278: '/\\ijlt', 0.333: "!'()-:;I`f", 0.389: '[]rs', 0.42: '"', 0.444: 'Jcez', 0.469: '^',
    0.48: '{}', 0.5: '#$*0123456789?_abdghknopquvxy', 0.541: '~', 0.556: 'S', 0.611: 'EFLPTZ', 0.667: 'BCR', 0.675: '+<=>',
    0.722: 'ADGHKNOQUVXYw', 0.778: '&m', 0.833: '%', 0.889: 'M', 0.921: '@', 0.944: 'W',
}  # fmt: skip
ADVANCE = {character: width for width, characters in _WIDTHS.items() for character in characters}
# What runs wider still in the bold face (NimbusRoman-Bold.afm): counted where a word must not be broken.
_BOLDER = {
    0.333: "jt", 0.389: "I", 0.444: "r", 0.5: "J", 0.555: '"', 0.556: "bdhknpqu", 0.581: "^", 0.667: "ELTZ", 0.722: "CR", 1.0: "%",
}  # fmt: skip
BOLD_ADVANCE = {character: width for width, characters in _BOLDER.items() for character in characters}
WIDE_LETTERS = frozenset("\u00a9\u00ae\u00bc\u00bd\u00be\u00c6\u00e6\u0152\u0153\u0174\u0175")  # with ligatures and fractions
LAST_LATIN = 0x17F


# What every print shares. The words above the sheet and the edge around it are for the screen alone.
STYLE = f"""
html, body {{ margin: 0; padding: 0; background: #fff; color: #000; color-scheme: light; }}
body {{ font-family: {FONTS}; overflow-wrap: anywhere; text-wrap: pretty; font-kerning: normal; }}
h1 {{ margin: 0; font-weight: 600; line-height: 1.1; text-wrap: balance; }}
p {{ margin: 0; }}
.label {{ font: 600 8pt/1.15 {SANS}; letter-spacing: 0.04em; text-transform: uppercase; }}
.row {{ display: flex; align-items: baseline; gap: 6pt; }}
.blank {{ display: block; flex: 1; box-sizing: border-box; height: {BLANK_PT:g}pt; min-width: 26pt; border-bottom: 0.75pt solid #000; }}
.row:has(> .blank) {{ align-items: flex-end; }}
.whole {{ white-space: nowrap; }}
.unbroken {{ display: inline-block; max-width: 100%; }}
.leaf {{ position: relative; box-sizing: border-box; break-after: page; }}
.leaf:last-child {{ break-after: auto; }}
.fraction {{ white-space: nowrap; }}
.fraction .over {{ font-size: {FRACTION_SIZE}em; vertical-align: 0.42em; line-height: 0; }}
.fraction .under {{ font-size: {FRACTION_SIZE}em; line-height: 0; }}
.fraction .space {{ letter-spacing: -0.18em; }}
@media screen {{
  html {{ background: #e6e6e6; }}
  body {{ background: none; padding: 0 12pt 20pt; }}
  .leaf {{ margin: 0 auto 18pt; background: #fff; outline: 0.75pt solid #777; box-shadow: 0 1pt 5pt rgba(0, 0, 0, 0.25); }}
  .hint {{ margin: 14pt 0; text-align: center; font: 12pt/1.3 {SANS}; }}
}}
@media print {{ .hint {{ display: none; }} }}
"""


def document(title: str, page: Paper, style: str, leaves: Sequence[str], *, flows: bool = False) -> str:
    """A whole HTML document that prints at real size: each leaf, which is safe HTML, on a page of its own, or flowing over more."""
    width, height = page.css.split()
    tall = "min-height" if flows else "height"
    body = "".join(f'<section class="leaf" style="width:{width};{tall}:{height}">{leaf}</section>' for leaf in leaves)
    size = f"{page.said}, {len(leaves)} pages" if len(leaves) > 1 else page.said
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>\n@page {{ size: {page.css}; margin: 0; }}"
        f'{STYLE}{style}</style>\n</head>\n<body><p class="hint">Print at 100 %, no margins ({size}).</p>{body}</body>\n</html>\n'
    )


def piece_of_paper(width_in: float, height_in: float) -> Paper:
    """A card or a label as a page of its own [in]."""
    return Paper(css=f"{width_in:g}in {height_in:g}in", inches=(width_in, height_in), said=f"{width_in:g} by {height_in:g} in")


def width_em(text: str) -> float:
    """The width of a line of text at size 1 [em]."""
    return sum(_advance(character) for character in text)


def _advance(character: str) -> float:
    if character in " \u00a0":
        return SPACE
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return FULL
    if character in ADVANCE:
        return ADVANCE[character]
    if character in WIDE_LETTERS:
        return WIDE
    if ord(character) > LAST_LATIN:
        return FOREIGN
    return SMALL if character.islower() else CAPITAL


def lines(text: str, size_pt: float, width_pt: float) -> int:
    """How many lines a text takes when words wrap and a word too long for a line breaks anywhere.

    Parameters
    ----------
    text : one paragraph
    size_pt : type size [pt]
    width_pt : of the box [pt]

    Returns
    -------
    int : at least 1
    """
    room = width_pt / size_pt
    count, used = 1, 0.0
    for word in re.split("[ \n]+", text.strip(" \n")):  # a no-break space holds a word together, and takes its room
        width = width_em(word)
        if used and used + SPACE + width > room:
            count, used = count + 1, 0.0
        used += (SPACE if used else 0.0) + width
        while used > room:
            count, used = count + 1, used - room
    return count


def longest_word_em(text: str, *, bold: bool = False) -> float:
    """The width of the widest word at size 1 [em]; in bold no letter is counted narrower than it is."""

    def width(word: str) -> float:
        return sum(BOLD_ADVANCE.get(letter, _advance(letter) * BOLD) for letter in word) if bold else width_em(word)

    return max(map(width, re.split("[ \n]+", text.strip(" \n"))))


def largest(sizes_pt: Sequence[float], height_pt: float, height_at: Callable[[float], float]) -> float | None:
    """The first size, from the largest down, whose text is no higher than the box; None where none is [pt]."""
    return next((size for size in sizes_pt if height_at(size) <= height_pt), None)
