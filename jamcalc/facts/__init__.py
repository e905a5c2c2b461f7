"""What is known: reads data/*.toml into the nouns of model.py and finds items by the names that cooks use.

It computes nothing and judges nothing. Each call reads only the small file that it needs, once.
`grade` speaks of the typical value, `low_grade` and `high_grade` of ends; else the note says where one rests on less.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any, Literal

from jamcalc.errors import InputError, UnknownItem
from jamcalc.facts import misnamed, preserved
from jamcalc.nouns.fixed import Fixed
from jamcalc.nouns.model import Acidulant, Extreme, Figure, Finding, Fit, Fruit, Jar, Source, Sweetener
from jamcalc.words.units import shown

Kind = Literal["fruit", "juice", "vegetable", "sweetener", "acid", "jar"]
DATA = Path(__file__).parents[1] / "data"
KINDS: tuple[Kind, ...] = ("fruit", "juice", "vegetable", "sweetener", "acid", "jar")
HARMLESS = ("fresh", "ripe", "raw", "washed", "organic", "local", "homegrown", "very", "firm", "real")
NAME_LIMIT = 60
_GAPS = re.compile(r"[\s_-]+")


@dataclass(frozen=True, kw_only=True)
class Item:
    """What a name stands for; `finding` tells the cook of a cautious reading."""

    kind: Kind
    key: str
    finding: Finding | None = None
    said: str = ""  # the cook's own name, in the singular, where it is read as another


@cache
def table(name: str) -> Mapping[str, Any]:
    """The table of data/<name>.toml, read once; `name` is ours, never a user's."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


def figure(raw: Mapping[str, Any]) -> Figure:
    """One inline table as a Figure; without `low` and `high` it is a single printed value."""
    typical = float(raw["typical"])
    return Figure(
        low=float(raw.get("low", typical)),
        typical=typical,
        high=float(raw.get("high", typical)),
        unit=raw["unit"],
        sources=tuple(raw.get("sources", ())),
        grade=raw["grade"],
        note=raw.get("note", ""),
        low_grade=raw.get("low_grade"),
        high_grade=raw.get("high_grade"),
        borrowed_from=raw.get("borrowed_from", ""),
        extreme_low=_extreme(raw.get("extreme_low")),
        extreme_high=_extreme(raw.get("extreme_high")),
    )


def _extreme(held: Mapping[str, Any] | None) -> Extreme | None:
    return None if held is None else Extreme(**{**held, "sources": tuple(held["sources"])})


def _maybe(raw: Mapping[str, Any], name: str) -> Figure | None:
    return figure(raw[name]) if name in raw else None


def _record(folder: str, kinds: tuple[Kind, ...], key: str) -> Mapping[str, Any]:
    if key not in (known for kind in kinds for known in table("items")[kind]):
        raise UnknownItem(f"no {folder} has the key '{shown(key)}'")
    return table(f"{folder}/{key}")


@cache
def fruit(key: str) -> Fruit:
    """The fruit, juice or vegetable of that key; raises UnknownItem."""
    raw = _record("fruit", ("fruit", "juice", "vegetable"), key)
    fit, shares = raw["fit"], raw["acid_share_from"]
    return Fruit(
        key=key,
        name=raw["name"],
        plural=raw["plural"],
        kind=raw["kind"],
        fit=Fit(fitness=fit["fitness"], why=fit.get("why", ""), instead=fit.get("instead", ""), sources=tuple(fit.get("sources", ()))),
        texture=raw["texture"],
        titrated_as=raw["titrated_as"],
        acid_share=Fixed(raw["acid_share"]),
        acid_share_sources=tuple(shares["sources"]),
        acid_share_grade=shares["grade"],
        acid_share_note=shares.get("note", ""),
        ph=figure(raw["ph"]),
        titratable_percent=figure(raw["titratable_percent"]),
        potassium_mg=figure(raw["potassium_mg"]),
        calcium_mg=figure(raw["calcium_mg"]),
        calcium_available=figure(raw["calcium_available"]),
        water_percent=figure(raw["water_percent"]),
        soluble_solids_percent=figure(raw["soluble_solids_percent"]),
        insoluble_percent=figure(raw["insoluble_percent"]),
        sugars_percent=figure(raw["sugars_percent"]),
        native_pectin_percent=figure(raw["native_pectin_percent"]),
        refuse_percent=figure(raw["refuse_percent"]),
        mashed_g_per_cup=figure(raw["mashed_g_per_cup"]),
        chopped_g_per_cup=figure(raw["chopped_g_per_cup"]),
        whole_g_per_cup=_maybe(raw, "whole_g_per_cup"),
        government_lemon_g_per_kg=_maybe(raw, "government_lemon_g_per_kg"),
        nutrients=Fixed({name: figure(one) for name, one in raw["nutrients"].items()}),
        us_jam_group=raw.get("us_jam_group"),
        note=raw.get("note", ""),
    )


@cache
def sweetener(key: str) -> Sweetener:
    """The sweetener of that key; raises UnknownItem."""
    raw = _record("sweetener", ("sweetener",), key)
    return Sweetener(
        key=key,
        name=raw["name"],
        label_name=raw["label_name"],
        sweetness=figure(raw["sweetness"]),
        water_percent=figure(raw["water_percent"]),
        soluble_solids_percent=figure(raw["soluble_solids_percent"]),
        sugars_percent=figure(raw["sugars_percent"]),
        carbohydrate_percent=figure(raw["carbohydrate_percent"]),
        sugar_alcohol_percent=figure(raw["sugar_alcohol_percent"]),
        calcium_mg=figure(raw["calcium_mg"]),
        energy_kcal_per_g=figure(raw["energy_kcal_per_g"]),
        g_per_cup=_maybe(raw, "g_per_cup"),
        g_per_tsp=_maybe(raw, "g_per_tsp"),
        solutes=Fixed(raw["solutes"]),
        added_sugar=raw["added_sugar"],
        stands_process=raw["stands_process"],
        cold_limit_g_per_100g_water=_maybe(raw, "cold_limit_g_per_100g_water"),
        sweetness_ceiling_percent=_maybe(raw, "sweetness_ceiling_percent"),
        titrated_as=raw.get("titrated_as"),
        acid_share=Fixed(raw.get("acid_share", {})),
        ph=_maybe(raw, "ph"),
        titratable_percent=_maybe(raw, "titratable_percent"),
        strong_ion_meq_per_kg=_maybe(raw, "strong_ion_meq_per_kg"),
        potassium_mg=_maybe(raw, "potassium_mg"),
        cautions=tuple(raw["cautions"]),
        note=raw["note"],
    )


@cache
def acidulant(key: str) -> Acidulant:
    """Lemon or lime juice, citric acid or vinegar by key; raises UnknownItem."""
    raw = _record("acidulant", ("acid",), key)
    return Acidulant(
        key=key,
        name=raw["name"],
        titrated_as=raw["titrated_as"],
        acid_share=Fixed(raw["acid_share"]),
        strength_percent=figure(raw["strength_percent"]),
        ph=_maybe(raw, "ph"),
        water_percent=figure(raw["water_percent"]),
        soluble_solids_percent=figure(raw["soluble_solids_percent"]),
        sugars_percent=figure(raw["sugars_percent"]),
        calcium_mg=figure(raw["calcium_mg"]),
        g_per_ml=figure(raw["g_per_ml"]),
        instead_of_lemon=_maybe(raw, "instead_of_lemon"),
    )


@dataclass(frozen=True, kw_only=True)
class AcidConstants:
    """A weak acid: dissociation constants at 25 degC and no ionic strength, molar mass [g/mol], protons that titrate."""

    pka: tuple[float, ...]
    molar_mass: float
    protons: int


@cache
def acid_constants(name: str) -> AcidConstants:
    """The constants of an acid of data/acids.toml; raises UnknownItem."""
    raw = table("acids").get(name)
    if raw is None:
        raise UnknownItem(f"no acid is called '{shown(name)}'; known are {', '.join(table('acids'))}", tuple(table("acids")))
    return AcidConstants(pka=tuple(raw["pka"]), molar_mass=raw["molar_mass"], protons=raw["titratable_protons"])


@cache
def jar(key: str) -> Jar:
    """The jar of that key ("half-pint", "pint", ...); raises UnknownItem."""
    if key not in table("jars"):
        raise UnknownItem(f"no jar has the key '{shown(key)}'")
    raw = table("jars")[key]
    return Jar(
        key=key,
        name=raw["name"],
        plural=raw["plural"],
        size_class=raw["size_class"],
        fill_ml=figure(raw["fill_ml"]),
        bore_mm=figure(raw["bore_mm"]),
        closure=raw.get("closure", ""),
        note=raw.get("note", ""),
    )


@cache
def source(key: str) -> Source:
    """Author, title, year and how far it was read, for a source key of ours."""
    raw = table("sources")[key]
    return Source(key=key, text=raw["text"], status=raw["status"])


def sources(keys: Iterable[str]) -> tuple[Source, ...]:
    """The sources of these keys, each once, in the order of first mention."""
    return tuple(source(key) for key in dict.fromkeys(keys))


@cache
def caution(id: str) -> Finding:
    """A sentence that people must be told, for a caution id of ours."""
    raw = table("cautions")[id]
    return Finding(id=id, text=raw["text"], sources=tuple(raw["sources"]))


def limit(name: str) -> Figure:
    """A single figure that a rule or the chemistry rests on, of data/limits.toml."""
    return figure(table("limits")[name])


def keys(kind: Kind) -> tuple[str, ...]:
    """The keys of all items of a kind, in the order of the index."""
    return tuple(table("items")[kind])


@cache
def _index() -> dict[str, tuple[Kind, str]]:
    items = table("items")
    return {_plain(name): (kind, key) for kind in KINDS for key, names in items[kind].items() for name in names}


def _plain(name: str) -> str:
    """Lower case, no accents, single spaces for gaps, hyphens and underscores."""
    bare = unicodedata.normalize("NFKD", name) if not name.isascii() else name
    return _GAPS.sub(" ", "".join(sign for sign in bare if not unicodedata.combining(sign)).lower()).strip()


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
        readings = (*filter(None, (preserved.in_our_words(readings[0]),)), *readings)
        if item := _known(readings[:1], kinds):
            return item
        if found := misnamed.rare(readings, kinds, table("names")):
            return Item(kind="fruit", key=found[0], finding=Finding(id="read-as", text=found[1]))
    if "fruit" in kinds and _flesh_matters(readings):
        raise InputError(misnamed.flesh_question(shown(name)))
    asked_flesh = table("names")["variety"]  # no slip leads to one of these
    names = {text: found for text, found in _index().items() if found[0] in kinds and found[1] not in asked_flesh and "canned" not in text}
    near = misnamed.near(readings[0], names, _safety, least=misnamed.LIKE if "fruit" in kinds else 0.0)
    known = f"write one that is known; the nearest names are {', '.join(near)}" if near else "jamcalc facts lists what is known"
    raise UnknownItem(f"no {' or '.join(kinds)} is called '{shown(name)}': {known}", near)


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
                return Item(kind=kind, key=key, finding=Finding(id=said["id"], text=said["say"]) if said else None)
        for reading in filter(table("read_as").__contains__, ways):
            entry = table("read_as")[reading]
            kind = next(kind for kind in KINDS if entry["key"] in table("items")[kind])
            if kind in kinds:
                return Item(kind=kind, key=entry["key"], finding=Finding(id=entry.get("id", "read-as"), text=entry["say"]), said=reading)
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
