"""Items by the names that cooks use: singular or plural, in any case, and where a name is ambiguous the cautious reading.

What is held under a name is in data/items.toml; names that lead to no item at once go through `misnamed`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import groupby

from jamcalc.errors import InputError, UnknownItem
from jamcalc.facts import misnamed
from jamcalc.facts.load import KINDS, Kind, fruit, table
from jamcalc.nouns.said import Finding
from jamcalc.words.lists import either
from jamcalc.words.units import shown

HARMLESS = ("fresh", "ripe", "raw", "washed", "organic", "local", "homegrown", "very", "firm", "real")
NAME_LIMIT = 60
_GAPS = re.compile(r"[\s_-]+")
_JOINED = re.compile(r"\b([0-9]+)(ml|oz)\b")  # "500ml"
_NO_HINT = re.compile(r"canned|litre")  # names that are read, and offered to nobody


@dataclass(frozen=True, kw_only=True)
class Item:
    """What a name stands for; `finding` tells the cook of a cautious reading."""

    kind: Kind
    key: str
    finding: Finding | None = None
    said: str = ""  # the cook's own name, in the singular, where it is read as another


@cache
def _index() -> dict[str, tuple[Kind, str]]:
    items = table("items")
    return {_plain(name): (kind, key) for kind in KINDS for key, names in items[kind].items() for name in names}


def _plain(name: str) -> str:
    """Lower case, no accents, single spaces for gaps, hyphens and underscores."""
    bare = unicodedata.normalize("NFKD", name) if not name.isascii() else name
    plain = _GAPS.sub(" ", "".join(sign for sign in bare if not unicodedata.combining(sign)).lower()).strip()
    return _JOINED.sub(r"\1 \2", plain)


def _readings(name: str) -> Iterable[str]:
    """The ways to read a name: as it stands, in the singular, without harmless adjectives, the latter again in the singular."""
    words = name.split(" ")
    kept = [word for word in words if word not in HARMLESS]
    for text in dict.fromkeys((name, " ".join(kept))):
        yield text
        if text.endswith("ies"):
            yield text[:-3] + "y"
        if text.endswith("es"):
            yield text[:-2]
        if text.endswith("s"):
            yield text[:-1]


def lookup(name: str, kinds: tuple[Kind, ...] = KINDS) -> Item:
    """Find what a cook's name stands for, among these kinds.

    Parameters
    ----------
    name: singular or plural, any case, with hyphens or spaces; fresh, ripe, raw and washed change nothing
    kinds: which kinds may answer

    Returns
    -------
    Item; its finding is set where the name was ambiguous and took the cautious reading

    Raises
    ------
    InputError: the name stands for quite different things, or for a fruit whose flesh decides over canning, and must be made plain;
        or nothing is held about it
    UnknownItem: no such name; `near` holds up to three that come closest, all of one safety class
    """
    readings = tuple(_readings(_plain(name[:NAME_LIMIT])))
    if len(name) <= NAME_LIMIT:
        if item := _known(readings, kinds):
            return item
        readings = (*misnamed.put_up(readings[0]), *readings)
        if item := _known(readings[:1], kinds):
            return item
        if cultivar := misnamed.rare(readings, kinds, table("names")):
            return Item(kind="fruit", key=cultivar[0], finding=cultivar[1])
    if "fruit" in kinds and _flesh_matters(readings):
        raise InputError(misnamed.flesh_question(shown(name)))
    asked_flesh = table("names")["variety"]  # no slip leads to one of these
    offered = ((text, named) for text, named in _index().items() if not _NO_HINT.search(text))
    names = {text: named for text, named in offered if named[0] in kinds and named[1] not in asked_flesh}
    near = misnamed.near(readings[0], names, _safety, least=misnamed.LIKE if {"fruit", "jar"} & {*kinds} else misnamed.NEXT)
    nearest = f"the nearest {'name is' if len(near) == 1 else 'names are'} {', '.join(near)}"
    known = f"write one that is known; {nearest}" if near else "jamcalc facts lists what is known"
    raise UnknownItem(f'no {either(kinds)} is called "{shown(name)}": {known}', near)


def stands_for(name: str) -> tuple[str, ...]:
    """The names of what a name that is asked back about may stand for, "stevia" for one; none where that is no short list."""
    readings = tuple(_readings(_plain(name[:NAME_LIMIT])))
    if _known(readings, KINDS):
        return ()
    if entry := next(filter(None, (misnamed.asked(reading, table("names")) for reading in readings)), None):
        return tuple(entry.get("of", ()))
    return ("white peach", "white nectarine") if _flesh_matters(readings) else ()


def _known(readings: tuple[str, ...], kinds: tuple[Kind, ...]) -> Item | None:
    """What the index holds under one of these readings, or what reads it cautiously; first with every word of the name."""
    for _, alike in groupby(readings, lambda reading: reading.count(" ")):
        ways = tuple(alike)
        for kind, key in filter(None, map(_index().get, ways)):
            if kind in kinds:
                said = table("items")["remark"].get(key)
                return Item(kind=kind, key=key, finding=Finding(id=said["id"], kind="know", text=said["say"]) if said else None)
        for reading in filter(table("read_as").__contains__, ways):
            entry = table("read_as")[reading]
            kind = next(kind for kind in KINDS if entry["key"] in table("items")[kind])
            if kind in kinds:
                finding = Finding(id=entry.get("id", "read-as"), kind="know", text=entry["say"], at_prompt=entry.get("at_prompt", ""))
                return Item(kind=kind, key=entry["key"], finding=finding, said=reading)
    return None


def _flesh_matters(readings: tuple[str, ...]) -> bool:
    named = {**{text: key for text, (_, key) in _index().items()}, **{text: entry["key"] for text, entry in table("read_as").items()}}
    stone_fruit = (text for text, key in named.items() if key in table("names")["variety"])
    return misnamed.flesh_matters(readings, (*stone_fruit, *misnamed.varieties(table("names"))))


def _safety(item: tuple[Kind, str]) -> str:
    """The class within which a slip may lead from one item to another: how a fruit may be canned, or the kind of anything else."""
    kind, key = item
    if kind == "vegetable" or key == "none":
        return misnamed.BARRED
    if kind not in ("fruit", "juice"):
        return kind
    return misnamed.BARRED if (fitness := fruit(key).fit.fitness) == "do-not-can" else fitness
