"""What the kitchen has, and the words for it: altitude, pots, jars, canner, spoon weights and supplies.

Turns settings as a cook writes them ("4300 ft", "11 half-pints") into a Kitchen and back; opens no file.
The others take the Kitchen from the first.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.kitchen.setting_words import (
    ANY_JAR,
    read_calcium_mg,
    read_canner,
    read_jars,
    read_lids,
    read_package,
    read_pot,
    read_poured,
    read_sweetener,
    read_units,
    stored,
    weighed,
)
from jamcalc.words.quantities import read_altitude_ft
from jamcalc.words.units import shown

Words = str | int | Sequence[str]  # what a setting says, as its file holds it
MOST_ENTRIES = 40  # of one list: no pantry has more kinds of jars


@dataclass(frozen=True, kw_only=True)
class Pot:
    """A pot by what it holds to the brim, and its width inside."""

    quarts: float
    diameter_in: float | None = None


@dataclass(frozen=True, kw_only=True)
class Kitchen:
    """What the kitchen has; None, or nothing in it, where the file does not say."""

    altitude_ft: float | None = None
    units: Literal["us", "metric"] | None = None
    pots: tuple[Pot, ...] = ()
    jars_on_hand: tuple[tuple[str, int], ...] = ()  # jar key, how many
    canner_holds: tuple[tuple[str, int], ...] = ()  # jar key or ANY_JAR, how many in one load
    pectin_g_per_tsp: float | None = None
    calcium_water_mg_per_tsp: float | None = None
    lids: int | None = None
    lemon_juice_ml: float | None = None
    pectin_g: float | None = None
    calcium_powder_g: float | None = None
    sweeteners_g: tuple[tuple[str, float], ...] = ()  # sweetener key, grams
    packages: tuple[tuple[str, float], ...] = ()  # what shops here sell: lemon juice [mL]; lids, or a jar's key [each]; else [g]
    as_written: Mapping[str, str | list[str]] = field(default_factory=dict, compare=False)  # by key of the file, what could be read


# ---------------------------------------------------------------- the settings


def _pot(text: str) -> Pot:
    quarts, width_in = read_pot(text)
    return Pot(quarts=quarts, diameter_in=width_in)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One key of the file: the field it fills, its reader, and an example for the cook, in metric units too where that is another."""

    field: str
    read: Callable[[str], Any]
    example: Words
    many: bool = False
    metric: Words = ""
    or_else: str = ""  # another way to write it in the file

    def example_in(self, units: str | None) -> Words:
        """The example for a kitchen that counts in these units."""
        return self.metric if units == "metric" and self.metric else self.example


SETTINGS = {
    "altitude": Setting(field="altitude_ft", read=read_altitude_ft, example="4300 ft", metric="1300 m"),
    "units": Setting(field="units", read=read_units, example="us"),
    "pots": Setting(field="pots", read=_pot, example=("8 quart, 10 in across",), metric=("8 liters, 25 cm across",), many=True),
    "jars": Setting(field="jars_on_hand", read=read_jars, example=("11 half-pints", "5 pints"), many=True),
    "canner": Setting(field="canner_holds", read=read_canner, example=("12 half-pints", "8 pints"), or_else=' or "7 jars"', many=True),
    "pectin_per_teaspoon": Setting(field="pectin_g_per_tsp", read=weighed(1, 8, "3 g"), example="3 g"),
    "calcium_water_per_teaspoon": Setting(field="calcium_water_mg_per_tsp", read=read_calcium_mg, example="15 mg"),
    "lids": Setting(field="lids", read=read_lids, example=24),
    "lemon_juice": Setting(field="lemon_juice_ml", read=read_poured, example="15 fl oz", metric="450 mL"),
    "pectin": Setting(field="pectin_g", read=stored(10_000, "30 g"), example="30 g"),
    "calcium_powder": Setting(field="calcium_powder_g", read=stored(10_000, "10 g"), example="10 g"),
    "sweeteners": Setting(
        field="sweeteners_g",
        read=read_sweetener,
        example=("2 cups honey", "500 g sugar"),
        metric=("700 g honey", "500 g sugar"),
        many=True,
    ),
    "packages": Setting(
        field="packages",
        read=read_package,
        example=("32 fl oz lemon juice", "12 oz honey", "24 lids"),
        metric=("1 L lemon juice", "340 g honey", "24 lids"),
        many=True,
    ),
}


_COMMA = re.compile(r",(?! ?[0-9.]+ ?(?:in|cm)\b)")  # "8 quart, 10 in across" is one pot
_KINDS = {"bool": "true or false", "int": "a bare number", "float": "a bare number", "list": "a list", "dict": "a section"}


def _texts(key: str, value: object) -> list[object]:
    """The words of one setting; a list may also be one text with commas, as on the command line. InputError where there are too many."""
    if key == "lids" and type(value) is int:
        return [str(value)]
    if not SETTINGS[key].many:
        return [value]
    texts = value if isinstance(value, list) else [value]
    if isinstance(value, str):
        texts = [part for part in _COMMA.split(value) if part.strip()]
    if len(texts) > MOST_ENTRIES:
        raise InputError(f"{len(texts)} entries; at most {MOST_ENTRIES} are read")
    return texts


def jars_told(text: str) -> tuple[tuple[str, int], ...]:
    """Jars as (key, how many), from a text with commas: "7 half-pints, 2 pints". Raises InputError."""
    jars = _gathered("jars", [read_jars(str(part)) for part in _texts("jars", text)])
    if not jars:
        raise InputError('none is named: write for instance "11 half-pints"')
    return jars


def fields(document: Mapping[str, object]) -> tuple[dict[str, Any], list[str]]:
    """The fields of a Kitchen that can be read, and a line for each thing that cannot."""
    values: dict[str, Any] = {}
    as_written: dict[str, str | list[str]] = {}
    problems: list[str] = []
    for key, value in document.items():
        if key not in SETTINGS:
            import difflib  # only a slip pays for it

            near = difflib.get_close_matches(key[:60], SETTINGS, n=1)
            hint = f"did you mean {near[0]}?" if near else "there are " + ", ".join(SETTINGS)
            problems.append(f"{shown(key)}: no such setting; {hint}")
            continue
        pieces = []
        words = []
        try:
            texts = _texts(key, value)
        except InputError as error:
            problems.append(f"{key}: {error}")
            continue
        for text in texts:
            if not isinstance(text, str):
                kind = _KINDS.get(type(text).__name__, "a date or time")
                problems.append(f"{key}: {kind} where words belong: write {key} = {toml(SETTINGS[key].example)}{SETTINGS[key].or_else}")
                continue
            try:
                pieces.append(SETTINGS[key].read(text))
                words.append(" ".join(text.split()))
            except (InputError, UnknownItem) as error:
                problems.append(f"{key}: {error}")
        if pieces:
            values[SETTINGS[key].field] = _gathered(key, pieces) if SETTINGS[key].many else pieces[0]
            if key != "lids":  # a number in the file
                as_written[key] = words if SETTINGS[key].many else words[0]
    return values | ({"as_written": as_written} if as_written else {}), problems


def _gathered(key: str, pieces: list[Any]) -> tuple[Any, ...]:
    """Several of one kind become one: "5 pints" and "2 pints" are 7 pints."""
    if key == "pots":
        return tuple(pieces)
    if key == "packages":  # of one thing the last size holds
        return tuple(dict(pieces).items())
    counts: dict[str, Any] = {}
    for name, count in pieces:
        counts[name] = max(counts.get(name, 0), count) if key == "canner" else counts.get(name, 0) + count
    return tuple(counts.items())


def told(kitchen: Kitchen) -> dict[str, Words]:
    """The settings of a kitchen that are known, in the words of the file; read again they give the same kitchen."""
    said: dict[str, Words | None] = {
        "altitude": None if kitchen.altitude_ft is None else f"{kitchen.altitude_ft:.12g} ft",
        "units": kitchen.units,
        "pots": [f"{pot.quarts:.12g} quart" + (f", {pot.diameter_in:.12g} in across" if pot.diameter_in else "") for pot in kitchen.pots],
        "jars": [_jars_text(key, count) for key, count in kitchen.jars_on_hand],
        "canner": [_jars_text(key, count) for key, count in kitchen.canner_holds],
        "pectin_per_teaspoon": _amount_text(kitchen.pectin_g_per_tsp, "g"),
        "calcium_water_per_teaspoon": _amount_text(kitchen.calcium_water_mg_per_tsp, "mg"),
        "lids": kitchen.lids,
        "lemon_juice": _amount_text(kitchen.lemon_juice_ml, "mL"),
        "pectin": _amount_text(kitchen.pectin_g, "g"),
        "calcium_powder": _amount_text(kitchen.calcium_powder_g, "g"),
        "packages": [_package_text(key, holds) for key, holds in kitchen.packages],
        "sweeteners": [f"{grams:.12g} g {facts.sweetener(key).name}" for key, grams in kitchen.sweeteners_g],
    }
    return {key: value for key, value in said.items() if value is not None and value != []}


def _jars_text(key: str, count: int) -> str:
    return f"{count} " + ("jars" if key == ANY_JAR else facts.jar(key).plural)


def _package_text(key: str, holds: float) -> str:
    if key in facts.keys("jar"):
        return _jars_text(key, int(holds))
    named = {"bottled_lemon_juice": "mL lemon juice", "calcium-set": "g pectin", "lids": "lids"}
    return f"{holds:.12g} {named.get(key) or f'g {facts.sweetener(key).name}'}"


def _amount_text(amount: float | None, unit: str) -> str | None:
    return None if amount is None else f"{amount:.12g} {unit}"


def toml(value: Words) -> str:
    """A setting's words as a TOML value."""
    import json  # whoever reads a kitchen file need not write one

    return json.dumps(value, ensure_ascii=False)  # no control character passes the readers, and the rest is the same in both
