"""Lines with their words in another order, or with words beside the point, put into the order of the strict reader.

Words into words, like spoken: "strawberries - 2 lb", "2 lb plums, stones removed", "lemon, juice of 1". It knows no fruit and drops only
what is on its lists. They say what was read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from jamcalc.errors import InputError
from jamcalc.words.units import read_amount

_NUMBER = r"(?:an?|one|two|three|four|half|[0-9][0-9 /.-]*)"
_OFF = {"pit": "pitted", "stone": "pitted", "core": "cored", "hull": "hulled", "stem": "stemmed", "skin": "peeled", "peel": "peeled"}
_PARTS = rf"({'|'.join(_OFF)})s?"
_HOLDER = r"(?:bag|package|packet|pack|pkg|carton|tub|clamshell|container|box)"
_WEIGHT = r"[0-9][0-9 /.-]* ?(?:oz|ounces?|lbs?|pounds?|g|grams?|kg)\.?"

# What may stand in a line and changes nothing of it: where the fruit came from, and how many pieces the weight was.
_BESIDE = re.compile(
    r" ?\((?:about |approx\.? |~ ?)?[0-9]{1,3}\)|"
    r" from (?:the |my |our |a )?(?:(?:local|farmer'?s'?|neighbor'?s) )?(?:market|garden|farm|store|yard|trees?|bush(?:es)?|patch)|"
    r" picked (?:today|yesterday)| with (?:the )?(?:pit|stone|core|hull|stem|skin)s?(?: on| still in)?$",
    re.IGNORECASE,
)
_TAKEN_OFF = re.compile(rf" (?:{_PARTS} (?:removed|out|off)|(?:without|w/o|no) (?:the )?{_PARTS})\b", re.IGNORECASE)
_CUT = re.compile(
    r" cut (?:up|(?:in|into) (?:[0-9/ -]+(?:inch|in|cm)\.? )?(?:small |large |bite-size |thin )?(?:pieces|chunks|slices|cubes|halves))\b",
    re.IGNORECASE,
)
_PACKED = re.compile(rf"^({_NUMBER}) (?:packed|full) (?=cups?\b|c\.)", re.IGNORECASE)
_ITS_WEIGHT_BEHIND = re.compile(rf"^(?:1|an?|one) ({_HOLDER}) (?:of )?(.+?) \(({_WEIGHT})\)$", re.IGNORECASE)
_JUICE_BEHIND = re.compile(rf"^([a-z]+?)s? ?[:-]? ?(?:the )?juice (?:of|from) ({_NUMBER})$", re.IGNORECASE)
_JUICE_OF_THEM = re.compile(rf"^({_NUMBER}) ([a-z ]+?) (?:zest and juice|juice and zest|juice only|juice)$", re.IGNORECASE)


def ways(line: str) -> Iterator[str]:
    """A tidy line put otherwise, likeliest first; none where there is nothing to put otherwise.

    Parameters
    ----------
    line : one line of at most 120 characters, with single spaces and no comma
    """
    bare = _BESIDE.sub("", line)
    bare = _TAKEN_OFF.sub(lambda match: f" {_OFF[(match[1] or match[2]).lower()]}", bare)
    bare = _PACKED.sub(r"\1 ", _CUT.sub(" chopped", bare)).strip()
    if held := _ITS_WEIGHT_BEHIND.match(line):
        yield f"{held[3]} {held[1]} {held[2]}"
    if bare != line:
        yield bare
    if (first := _amount_first(bare)) is not None:
        yield first
    if juice := _JUICE_BEHIND.match(bare):
        yield f"juice of {juice[2]} {juice[1]}"
    elif juice := _JUICE_OF_THEM.match(bare):
        yield f"juice of {juice[1]} {juice[2]}"


def is_amount_alone(text: str) -> bool:
    """Whether a text is an amount with nothing behind it ("4 cups"), or asks for the juice of so many ("juice of 1")."""
    try:
        return not read_amount(text)[1]
    except InputError:
        return bool(re.fullmatch(rf" ?(?:the )?juice (?:of|from) {_NUMBER}", text, re.IGNORECASE))


def turned(name: str) -> Iterator[str]:
    """A name with its last word, or its last two, before the rest: "currants red", "cherries (sour)", "lemon juice bottled"."""
    words = name.replace("(", " ").replace(")", " ").split()
    for last in range(1, min(3, len(words))):
        yield " ".join((*words[-last:], *words[:-last]))


def _amount_first(line: str) -> str | None:
    """A line that ends with its only amount, with the amount before the rest; None for any other."""
    start = re.search(r"[0-9]", line)
    if start is None or not start.start():
        return None
    item, amount = line[: start.start()].rstrip(" (:-\u2013\u2014="), line[start.start() :].rstrip(" ).")
    try:
        whole = not read_amount(amount)[1]
    except InputError:
        return None
    return f"{amount} {item}" if whole and item else None
