"""Text made ready for print: curly quotes, numbers kept with their units, fractions built from one face, no last word alone.

Changes how a text looks, never what it says.
"""

from __future__ import annotations

import re
from html import escape

from jamcalc.prints.paper import FRACTION_SIZE, SMALLEST_PT

NO_BREAK = "\u00a0"
# From this size on the figures of a built fraction are no smaller than the smallest type.
BUILT_FROM_PT = SMALLEST_PT / FRACTION_SIZE
WHOLE_NAME = 22  # letters: "monocalcium phosphate" is one less
SHORT_END = 18  # letters: two last words as short as this stay together

_UNITS = "g|kg|mg|lb|oz|fl|mL|L|cups?|tbsp|tsp|min|minutes?|h|hours?|in|mm|cm|ft|m|F|C|%|weeks?|months"
_JARS = "half-pints?|pints?|quarts?|jars?|packets?|pouch"
_WITH_UNIT = re.compile(rf"(?<=[0-9]) (?=(?:{_UNITS}|{_JARS})(?![\w-]))")
_MIXED_NUMBER = re.compile(r"(?<=[0-9]) (?=[0-9]{1,2}/[0-9]{1,2}\b)")
_AFTER = re.compile(r"(?<=\bpH) (?=[0-9])|(?<=\+) (?=[0-9])|(?<=[0-9]) (?=or lower)|(?<=or) (?=lower)")
_THOUSANDS = re.compile(rf"(?<![0-9.,/-])([0-9]{{1,3}})([0-9]{{3}})(?={NO_BREAK}(?:mL|g)\b)")
_HYPHENED = re.compile(r"(?<!\S)[^\s<>&;-]+(?:-[^\s<>&;-]+)+(?!\S)")
_MONTH = re.compile(r"\b(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)([a-z]*\.?) (?=[0-9]{1,2}, [0-9]{4})")
_FRACTION = re.compile(rf"(?<![0-9/.,-])(?:([0-9]+){NO_BREAK})?([0-9]{{1,2}})/([0-9]{{1,2}})(?![0-9/])")
_OPENING = re.compile(r"(?:(?<=^)|(?<=[\s(\[]))(['\"])(?=\S)")
_CURLY = {"'": ("\u2018", "\u2019"), '"': ("\u201c", "\u201d")}


def finished(text: str) -> str:
    """A text as a typesetter leaves it: curly quotes, and a no-break space between a number and its unit."""
    out = _OPENING.sub(lambda match: "\u2019" if re.match(r"[0-9]0s", text[match.end() :]) else _CURLY[match[1]][0], text)
    for straight, (_, closing) in _CURLY.items():
        out = out.replace(straight, closing)
    for kept in (_WITH_UNIT, _MIXED_NUMBER, _AFTER):
        out = kept.sub(NO_BREAK, out)
    out = _THOUSANDS.sub(r"\1,\2", out)
    return _MONTH.sub(rf"\1\2{NO_BREAK}", out)


def paragraph(text: str) -> str:
    """The same for a text of several lines: its last two words stay together where they are short."""
    out = finished(text)
    start, space, last = out.rpartition(" ")
    before = start.rpartition(" ")[2]
    if space and " " in start and len(before) + len(last) < SHORT_END:
        return f"{start}{NO_BREAK}{last}"
    return out


def listed(text: str) -> str:
    """A list of ingredients whose short names are not parted: "bottled lemon juice" stands on one line."""
    return ", ".join(name.replace(" ", NO_BREAK) if len(name) <= WHOLE_NAME else name for name in text.split(", "))


def html(text: str, size_pt: float = 0.0) -> str:
    """Finished text as safe HTML; from 11.4 pt on its fractions are built from the figures of its own face."""
    safe = escape(text)
    return _FRACTION.sub(_built, safe) if size_pt >= BUILT_FROM_PT else safe


def heading(title: str, size_pt: float) -> str:
    """The title of a print as safe HTML: no line of it ends on a hyphen, where the word has room on one."""
    safe = _HYPHENED.sub(lambda word: f'<span class="unbroken">{word[0]}</span>', html(finished(title)))
    return f'<h1 dir="auto" style="font-size:{size_pt}pt">{safe}</h1>'


def _built(match: re.Match[str]) -> str:
    whole = f'{match[1]}<span class="space">{NO_BREAK}</span>' if match[1] else ""
    return f'<span class="fraction">{whole}<span class="over">{match[2]}</span>\u2044<span class="under">{match[3]}</span></span>'
