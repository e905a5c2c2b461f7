"""One row among the ingredients: lines for the pot, an extra that the sums leave out, or what to write instead.

The grammar is that of any ingredient line (reading/several); here is only what a printed recipe adds to it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError, RecipeError
from jamcalc.facts import misnamed
from jamcalc.nouns.said import Line
from jamcalc.reading.extras import unfit_extras
from jamcalc.reading.several import read_lines
from jamcalc.words.forms import name_and_forms
from jamcalc.words.spoken import plainly
from jamcalc.words.units import MAX_TEXT, read_amount, shown

LONGEST_EXTRA = 100  # characters, as in a recipe file
_MAY_BE = re.compile(r"[ ,]*\(?\b(?:optional|if (?:liked|desired|wanted|you like)|as desired)\b\)?", re.IGNORECASE)
_UNMEASURED = re.compile(r"\b(?:to taste|as needed|as required|to cover)\b", re.IGNORECASE)
_GOES_ON = re.compile(r"(?:\b(?:and|or|plus|with|of)|[&+/-])$", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class Read:
    """What a row among the ingredients is: lines, or an extra."""

    lines: tuple[Line, ...] = ()
    extra: str = ""


def read_row(text: str) -> Read:
    """One row among the ingredients. Raises InputError or UnknownItem, with what to write instead."""
    row = " ".join(text.rstrip(" .,;").split())
    if len(row) <= LONGEST_EXTRA and not unfit_extras((row,)):
        return Read(extra=row)
    if _GOES_ON.search(row):
        raise InputError(f'"{shown(row)}" goes on in the next row: write it in one')
    if _UNMEASURED.search(row):
        raise InputError(f'"{shown(row)}": "{_UNMEASURED.findall(row)[0].lower()}" is no amount: write how much goes in the pot')
    try:
        return Read(lines=read_lines([row]))
    except JamcalcError as error:
        if _is_cold_extra(row):
            return Read(extra=row)
        raise _said_better(row, error) from None


def begins_with_amount(text: str) -> bool:
    """Whether a row begins with a number, in figures or words, and a unit that something to eat is measured in."""
    return _split(text) is not None


def lacks_its_number(text: str) -> bool:
    """Whether a row is the one half of an ingredient: a number alone, or a unit and no number."""
    return text.strip(" .").isdigit() or (not begins_with_amount(text) and begins_with_amount(f"1 {text}"))


def _split(text: str) -> tuple[str, str] | None:
    """The amount at the start of a text, and the rest; None where there is none."""
    piece = re.split(r"[,;:()]", text[:MAX_TEXT], maxsplit=1)[0].strip()
    for form in (piece, plainly(piece)) if piece else ():
        try:
            amount, rest = read_amount(form)
        except InputError:
            continue
        return amount.text, rest
    return None


def _is_cold_extra(row: str) -> bool:
    """Whether this is a known thing that is no fruit and no spice: it goes along, and no jar of it stands on a shelf."""
    amount, aside = _split(row), re.search(r"[,;:()].*", row)
    name, _ = name_and_forms(amount[1] + (aside[0] if aside else "") if amount else row)
    words = [word for word in re.sub(r"[(),]", " ", name.lower()).split() if word not in facts.HARMLESS]
    bare = " ".join(words)
    if len(row) > LONGEST_EXTRA or not bare:
        return False
    singular = bare.removesuffix("s")
    return any(misnamed.no_fruit(name, facts.table("names")) for name in (bare, singular)) or not unfit_extras((f"dried {bare}",))


def _said_better(row: str, error: JamcalcError) -> JamcalcError:
    """The complaint of the reader of lines, or a plainer one for what printed recipes say."""
    if _MAY_BE.search(row):
        try:
            read_lines([_MAY_BE.sub("", row)])
        except JamcalcError:
            return error
        return InputError(f'"{shown(row)}": in the pot or not? The acidity hangs on it: take the word out, or the row')
    if re.search(r" or ", row, re.IGNORECASE) and not isinstance(error, RecipeError):
        return InputError(f'"{shown(row)}" is a choice: write the one that goes in the pot')
    if re.search(r"\b(?:plus|and) (?:more|extra|some)\b", row, re.IGNORECASE):
        return InputError(
            f'"{shown(row)}": how much more? Write all that goes in the pot, or put what is not for the pot in a row of notes'
        )
    return error
