"""What every printed page stands on: sizes of paper, the frame of a document, and how large a text may be set in a box.

Type is measured by kind of character and wrapped as a browser wraps: a cautious estimate, no font's own metrics.
Called by page and wallpage.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

# Faces of one and the same width on every system, so that what fits here fits there.
FONTS = '"Times New Roman", "Liberation Serif", Tinos, "Nimbus Roman", Times, serif'


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A sheet of paper: its size for CSS, and in inches."""

    css: str
    inches: tuple[float, float]


PAPERS = {
    "letter": Paper(css="8.5in 11in", inches=(8.5, 11.0)),
    "a4": Paper(css="210mm 297mm", inches=(210 / 25.4, 297 / 25.4)),
}

# Advance in ems of each kind of character: the widest of its kind in those faces (measured), or a guess for other scripts (judgement).
NARROW, SPACE, SMALL, CAPITAL, WIDE, FOREIGN, FULL = 0.334, 0.25, 0.5, 0.723, 0.944, 0.7, 1.05
NARROW_LETTERS = frozenset("ijlftrI.,:;'!|()[]-/`")
WIDE_LETTERS = frozenset("mwMW@%&\u00a9\u00ae\u00bc\u00bd\u00be\u00c6\u00e6\u0152\u0153\u0174\u0175")  # with ligatures and fractions
LAST_LATIN = 0x17F
BOLD = 1.08  # how much wider the bold faces run


def document(title: str, page: str, style: str, body: str) -> str:
    """A whole HTML document that prints at real size: `page` is the CSS size of a sheet, `body` is safe HTML."""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>\n@page {{ size: {page}; margin: 0; }}\n"
        f"html, body {{ margin: 0; padding: 0; background: #fff; color: #000; }}\nbody {{ font-family: {FONTS}; overflow-wrap: anywhere; }}"
        f"{style}</style>\n</head>\n<body>{body}</body>\n</html>\n"
    )


def width_em(text: str) -> float:
    """The width of a line of text at size 1 [em]."""
    return sum(_advance(character) for character in text)


def _advance(character: str) -> float:
    if character == " ":
        return SPACE
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return FULL
    if character in NARROW_LETTERS:
        return NARROW
    if character in WIDE_LETTERS:
        return WIDE
    if ord(character) > LAST_LATIN:
        return FOREIGN
    return SMALL if character.islower() or character.isdigit() else CAPITAL


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
    for word in text.split():
        width = width_em(word)
        if used and used + SPACE + width > room:
            count, used = count + 1, 0.0
        used += (SPACE if used else 0.0) + width
        while used > room:
            count, used = count + 1, used - room
    return count


def largest(sizes_pt: Sequence[float], height_pt: float, height_at: Callable[[float], float]) -> float | None:
    """The first size, from the largest down, whose text is no higher than the box; None where none is [pt]."""
    return next((size for size in sizes_pt if height_at(size) <= height_pt), None)
