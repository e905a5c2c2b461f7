"""Names that lead to no item at once: varieties, what must be asked back, what is not held, and what comes near a slip.

It looks nothing up: the table of such names (data/names.toml), known names and their safety classes are handed to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from typing import Any, TypeVar

from jamcalc.errors import InputError
from jamcalc.nouns.said import Finding

Named = TypeVar("Named", bound=Hashable)
Table = Mapping[str, Any]

CLOSE = 0.8  # likeness to a name, 0 to 1, from which that name must be meant (judgement)
LIKE, NEXT = 0.7, 0.55  # likeness below which no name is offered, and no other one beside a likely one (judgement)
LONG = 4  # letters from which the name of a variety alone is no slip (judgement)
# Words that alone name no variety.
_SAY_LITTLE = {
    "red", "black", "white", "yellow", "golden", "pink", "green", "wild", "sand", "trailing", "pineapple", "heirloom", "champagne",
    "evergreen", "beauty", "welcome", "superior", "sunrise", "royal", "cherry", "plum", "pear", "sugar", "crimson", "early", "korean",
    "weeping", "smyrna",
}  # fmt: skip
BARRED = "barred"  # the safety class of what is never offered unless it must be meant

# White-fleshed and subacid stone fruit is sold under these words, and hardly any other fruit is.
_LOW_IN_ACID = re.compile(r"\b(?:white|flat|donut|doughnut|saucer|sub ?acid|low ?acid|honey)\b")
_STONE_FRUIT = re.compile(r"\b(?:peach|nectarine|apricot)(?:e?s)?\b")
_NO_FRUIT = ("honey", "sugar", "vinegar", "pepper")


def asked(reading: str, held: Table) -> Table | None:
    """The question that a name is answered with: `kind` of item wanted, `ask`, and perhaps `of`, what it may stand for."""
    entry: Table | None = held["ask"].get(reading)
    return held["ask"][entry["same"]] if entry and "same" in entry else entry


def rare(readings: Iterable[str], kinds: Collection[str], held: Table) -> tuple[str, Finding] | None:
    """The key of the fruit that a variety's name stands for, and what to say of it; None where it is no such name.

    Raises InputError for a name that stands for different things, and for a fruit of which nothing is held.
    """
    from jamcalc.facts import preserved  # only the unlucky pay for it

    for reading in readings:
        entry = asked(reading, held)
        if entry and entry["kind"] in kinds:
            raise InputError(entry["ask"])
        if "fruit" not in kinds:
            continue
        if key := varieties(held).get(reading):
            return key, Finding(id="read-as", kind="know", text=_said(reading, key))
        if fruits := held["collision"].get(reading):
            raise InputError(f"'{reading}' of which fruit? There are {' and '.join(fruits)} of that name: write the fruit with it")
        if reading in held["not_held"]["names"]:
            raise InputError(
                f"no figures are held for {reading} that can be relied on, and no other fruit stands in for it: leave it out here, "
                "and keep such a jam in the refrigerator or the freezer"
            )
        if cultivar := cultivars(held).get(reading):
            return cultivar[1], _read_as(reading, *cultivar, held)
        if why := preserved.refusal(reading, held) or no_fruit(reading, held):
            raise InputError(why)
    return None


def put_up(name: str) -> tuple[str, ...]:
    """The name of fruit that was canned or frozen with sugar in our words; nothing for any other."""
    from jamcalc.facts import preserved  # only the unlucky pay for it

    return tuple(filter(None, (preserved.in_our_words(name),)))


def no_fruit(name: str, held: Table) -> str:
    """What to do with butter, nuts, gelatin and the like; "" for any other name."""
    return next((entry["say"] for entry in held["not_fruit"].values() if name in entry["names"]), "")


def varieties(held: Table) -> dict[str, str]:
    """Names of varieties, with the fruit's noun, and their fruit; of those that must not be canned without the noun too."""
    named: dict[str, str] = {}
    for key, names in held["variety"].items():
        noun = key.removeprefix("white_")
        named.update({f"{name} {noun}": key for name in names})
        if noun != key:
            named.update({name: key for name in names if name not in held["collision"]})
    return named


def cultivars(held: Table) -> dict[str, tuple[str, str]]:
    """Names of varieties of fruit whose flesh decides nothing, with and without the fruit's noun: the variety, and the fruit's key."""
    named: dict[str, tuple[str, str]] = {}
    for key, names in held["cultivar"].items():
        noun = key.rpartition("_")[2]
        for name in names:
            named[f"{name} {noun}"] = named[f"{name} {key.replace('_', ' ')}"] = (name, key)
            if len(name) >= LONG and not set(name.split()) <= _SAY_LITTLE and name not in held["collision"]:
                named[name] = (name, key)
    return named


def _read_as(reading: str, name: str, key: str, held: Table) -> Finding:
    fruit = key.replace("_", " ")
    said = f"{reading[0].upper()}{reading[1:]} is read as {fruit}"
    if name not in held["less_acid"].get(key, ()):
        return Finding(id="read-as", kind="know", text=f"{said}.")
    measure = f"{said}; it holds less acid than most of its kind, so measure it"
    text, at_prompt = f"{measure}: --reading '{fruit} pH ...'.", f"{measure}, and give me the reading."
    return Finding(id="read-as", kind="know", text=text, at_prompt=at_prompt)


def _said(name: str, key: str) -> str:
    read = f"{name[0].upper()}{name[1:]} is read as {key.replace('_', ' ')}"
    if key.startswith("white_"):
        return f"{read}: white-fleshed or low in acid, and not to be canned."
    return f"{read} with yellow flesh; white-fleshed and subacid kinds must not be canned."


def flesh_matters(readings: Collection[str], stone_fruit: Collection[str]) -> bool:
    """Whether an unknown name may be that of a peach, nectarine or apricot, whose flesh decides over canning.

    Parameters
    ----------
    readings : the ways to read it, lower case, single spaces; stone_fruit : the known names of such fruit, varieties included
    """
    from difflib import get_close_matches  # only the unlucky pay for it

    if any(name.endswith(_NO_FRUIT) for name in readings):
        return False
    if any(_LOW_IN_ACID.search(name) or _STONE_FRUIT.search(name) for name in readings):
        return True
    return any(get_close_matches(name, stone_fruit, n=1, cutoff=CLOSE) for name in readings)


def flesh_question(name: str) -> str:
    """The question to ask about such a name, with its reason; `name` is fit to be printed."""
    return (
        f"which flesh color has '{name}'? White-fleshed peaches and nectarines (most flat and honey kinds too) and subacid ones hold too "
        "little acid to be canned: write white peach or white nectarine for those; yellow peach, yellow nectarine or apricot only for "
        "sharp fruit with yellow flesh; anything else by its plain name"
    )


def near(name: str, names: Mapping[str, Named], safety: Callable[[Named], str], *, least: float) -> tuple[str, ...]:
    """Up to three names of different items near a name, the closest at least so like it (0 to 1), all of the safety class of the closest.

    None where the closest may not be offered: a barred item that need not be meant.
    """
    from difflib import SequenceMatcher, get_close_matches  # only the unlucky pay for it

    singular = _singular(name)
    nearest: dict[Named, str] = {}
    wanted = ""
    for text in get_close_matches(singular, names, n=len(names) or 1, cutoff=min(NEXT, least)):
        item = names[text]
        its = safety(item)
        likeness = SequenceMatcher(None, text, singular).ratio()
        if not nearest and likeness < least:
            break
        if item in nearest or wanted not in ("", its):
            continue
        if its == BARRED and likeness < CLOSE:
            if least and not nearest:
                break
            continue
        wanted = its
        nearest[item] = text
        if len(nearest) == 3:
            break
    return tuple(nearest.values())


def _singular(name: str) -> str:
    return name[:-1] if name.endswith("s") else name
