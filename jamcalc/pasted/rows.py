"""The rows of a plain text: numbered as an editor numbers them, without bullets and markup, in plain letters and figures.

What a copied page holds unseen (marks that join or hide, other spaces, fractions in one sign) is taken away or written out. What
could make a row say other than it shows is refused with the row's number.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from jamcalc.words.units import shown

LONGEST_ROW = 2000  # characters: a paragraph of steps; bounds the work for each row
# Invisible, and harmless wherever they stand: a copied page is full of them.
_UNSEEN = dict.fromkeys((0x00AD, 0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2060, 0xFE0E, 0xFE0F, 0xFEFF))
_PLAIN = str.maketrans({
    "\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "\u00ba": "\u00b0", "\u00d7": "x",
    "\u2010": "-", "\u2011": "-", "\u2033": '"',
})  # fmt: skip
_ENDS = re.compile(r"\r\n|[\n\r\v\f\x85\u2028\u2029]")
# Dots, boxes and ticks, and the box of a list to be checked off; a dash only before a space or a letter, for it may be a sign.
_MARKS = "\u2022\u00b7\u2023\u25aa\u25ab\u25e6\u25cf\u25cb\u25a0\u25a1\u25a2\u2610-\u2612\u2713\u2714\u27a2>"
_BULLET = re.compile(rf"(?:[-\u2013\u2014*+]\s+|[-\u2013\u2014*](?=[A-Za-z])|[{_MARKS}]+\s*|\[[ xX]?\]\s*)+")
_TIGHT = re.compile(r"\s*-(?=[0-9])")
_NUMBERED = re.compile(r"(?:step )?([0-9]{1,2})(?:[.):]\s+|\s+[-\u2013]\s+(?=[A-Z]))", re.IGNORECASE)
_OTHER_LATIN = frozenset("\u00e6\u00c6\u00f8\u00d8\u0153\u0152\u00df\u0142\u0141\u0111\u0110\u00fe\u00de\u00f0\u00d0")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row with something in it; `marked` where a list's number stood in front of it, None elsewhere."""

    number: int
    text: str
    marked: int | None = None


def rows_of(text: str) -> tuple[list[Row], list[tuple[int, str]]]:
    """The rows with something in them, and the problems of others, as (row number, text)."""
    rows: list[Row] = []
    problems: list[tuple[int, str]] = []
    raws = _ENDS.split(text)
    is_list = sum(bool(_TIGHT.match(raw)) for raw in raws) > 1  # one alone may be a number with a sign
    for number, raw in enumerate(raws, 1):
        if len(raw) > LONGEST_ROW:
            problems.append((number, f"longer than {LONGEST_ROW} characters: break it into rows"))
            continue
        clean, why = _cleaned(raw)
        if why:
            problems.append((number, why))
            continue
        clean = re.sub(r"\*\*|__|`|^#{1,6} ", "", clean).strip()
        for mark in (_BULLET, *([_TIGHT] if is_list else [])):
            if match := mark.match(clean):
                clean = clean[match.end() :].strip()
        marked = None
        if numbered := _NUMBERED.match(clean):
            marked, clean = int(numbered[1]), clean[numbered.end() :].strip()
        if any(sign.isalnum() for sign in clean):  # else it is empty, or a line that is drawn
            rows.append(Row(number=number, text=clean, marked=marked))
    return rows, problems


def _cleaned(raw: str) -> tuple[str, str]:
    """A row in plain letters and figures; or why it is not read."""
    if raw.isascii() and raw.isprintable():
        return " ".join(raw.split()), ""
    text = " ".join(raw.translate(_UNSEEN).split())
    if not text.isprintable():
        return "", "holds control characters, or marks that turn the writing around: type the row again"
    text = "".join(_written_out(sign) for sign in text.translate(_PLAIN))
    text = " ".join(unicodedata.normalize("NFC", text).split())
    for sign in text:
        if sign.isascii():
            continue
        if sign.isnumeric():
            return "", f'"{shown(sign)}" is no plain figure: write 2, 2.5 or 1 1/2'
        if unicodedata.category(sign) in ("Mn", "Me") or (sign.isalpha() and not _is_latin(sign)):
            return "", f'"{shown(sign)}" is no letter of ours, and may look like one: type the row again'
    return re.sub(r"(?<=[0-9])- (?=[0-9]/)", "-", text), ""


def _written_out(sign: str) -> str:
    """A fraction in figures, a letter of another width as a letter; all else as it stands."""
    if sign.isascii():
        return sign
    made_of = unicodedata.decomposition(sign)
    if made_of.startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", sign).replace("\u2044", "/")
    if made_of.startswith(("<wide>", "<compat>")) and not sign.isnumeric():
        return unicodedata.normalize("NFKC", sign)
    return "/" if sign == "\u2044" else sign


def _is_latin(sign: str) -> bool:
    base = unicodedata.normalize("NFD", sign)[0]
    return (base.isascii() and base.isalpha()) or sign in _OTHER_LATIN
