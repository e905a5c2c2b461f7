"""What is known, read from data/*.toml into nouns: by the key of an item, never by a cook's name for it.

It computes nothing and judges nothing. Each call reads only the small file that it needs, once.
`grade` speaks of the typical value, `low_grade` and `high_grade` of ends; else the note says where one rests on less.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from jamcalc.errors import UnknownItem
from jamcalc.nouns.fixed import Fixed
from jamcalc.nouns.known import Acidulant, Extreme, Figure, Fit, Fruit, Jar, Source, Sweetener
from jamcalc.nouns.said import Finding
from jamcalc.words.units import shown

Kind = Literal["fruit", "juice", "vegetable", "sweetener", "acid", "jar"]
KINDS: tuple[Kind, ...] = ("fruit", "juice", "vegetable", "sweetener", "acid", "jar")
DATA = Path(__file__).parents[1] / "data"


@cache
def table(name: str) -> Mapping[str, Any]:
    """The table of data/<name>.toml, read once and not to be changed; `name` is ours, never a user's."""
    return _fixed(tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8")))


def _fixed(raw: Mapping[str, Any]) -> Fixed[Any]:
    """The same in mappings and tuples that nobody can change."""
    return Fixed({name: _fixed_value(value) for name, value in raw.items()})


def _fixed_value(raw: Any) -> Any:
    if isinstance(raw, dict):
        return _fixed(raw)
    return tuple(_fixed_value(value) for value in raw) if isinstance(raw, list) else raw


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
    return None if held is None else Extreme(**held)


def _fields(raw: Mapping[str, Any]) -> dict[str, Any]:
    """What a file gives, by the names of its noun's fields; a table with a typical value is a Figure. What is no field is a TypeError."""
    return {name: figure(value) if isinstance(value, Mapping) and "typical" in value else value for name, value in raw.items()}


def _record(folder: str, kinds: tuple[Kind, ...], key: str) -> Mapping[str, Any]:
    if key not in (known for kind in kinds for known in table("items")[kind]):
        raise UnknownItem(f"no {folder} has the key '{shown(key)}'")
    return table(f"{folder}/{key}")


@cache
def fruit(key: str) -> Fruit:
    """The fruit, juice or vegetable of that key; raises UnknownItem."""
    fields = _fields(_record("fruit", ("fruit", "juice", "vegetable"), key))
    fields["fit"] = Fit(**fields["fit"])
    fields["nutrients"] = Fixed(_fields(fields["nutrients"]))
    fields |= {f"acid_share_{name}": value for name, value in fields.pop("acid_share_from").items()}
    return Fruit(key=key, **fields)


@cache
def sweetener(key: str) -> Sweetener:
    """The sweetener of that key; raises UnknownItem."""
    return Sweetener(key=key, **_fields(_record("sweetener", ("sweetener",), key)))


@cache
def acidulant(key: str) -> Acidulant:
    """Lemon or lime juice, citric acid or vinegar by key; raises UnknownItem."""
    fields = _fields(_record("acidulant", ("acid",), key))
    del fields["acid_share_from"]  # for whoever reads the file
    return Acidulant(key=key, **fields)


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
    return Jar(key=key, **_fields(table("jars")[key]))


@cache
def source(key: str) -> Source:
    """Author, title, year and how far it was read, for a source key of ours."""
    raw = table("sources")[key]
    return Source(key=key, text=raw["text"], status=raw["status"])


def sources(keys: Iterable[str]) -> tuple[Source, ...]:
    """The sources of these keys, each once, in the order of first mention."""
    return tuple(source(key) for key in dict.fromkeys(keys))


# The measures that a caution names, as a kitchen reads them.
_MEASURES = {
    "us": {"half_tsp": "1/2 tsp", "half_cup": "1/2 cup", "refrigerator": "40 F"},
    "metric": {"half_tsp": "2.5 mL", "half_cup": "120 mL", "refrigerator": "4 C"},
}


@cache
def caution(id: str, units: str = "us") -> Finding:
    """A sentence that people must be told, for a caution id of ours, in us or metric measures."""
    raw = {"short": "", **table("cautions")[id]}
    return Finding(id=id, kind=raw["kind"], text=raw["text"].format(**_MEASURES[units]), sources=tuple(raw["sources"]), short=raw["short"])


@cache
def limit(name: str) -> Figure:
    """A single figure that a rule or the chemistry rests on, of data/limits.toml."""
    return figure(table("limits")[name])


def keys(kind: Kind) -> tuple[str, ...]:
    """The keys of all items of a kind, in the order of the index."""
    return tuple(table("items")[kind])
