"""What the kitchen has, and the words for it: altitude, pots, jars, canner, spoon weights and supplies.

Turns settings as a cook writes them ("4300 ft", "11 half-pints") into a Kitchen and back; opens no file.
Called by kitchenfile, fitting and looking_up; the others take the Kitchen from the first.
"""

from __future__ import annotations

import contextlib
import difflib
import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.nouns.model import Amount
from jamcalc.words.measures import CUP_ML
from jamcalc.words.quantities import read_altitude_ft, read_jar_count
from jamcalc.words.units import convert, read_amount, shown

MOST_JARS_A_LOAD = 60  # of the smallest jars, in two layers, in the largest canner for a stove (judgement)
POT_QUARTS, POT_IN = (0.5, 60.0), (3.0, 30.0)  # a pot smaller or larger is a slip of the finger (judgement)
MOST_ENTRIES = 40  # of one list: no pantry has more kinds of jars
ANY_JAR = "jar"  # a rack with fixed places takes as many jars whatever their size


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


# ---------------------------------------------------------------- the settings and their words


def _read_units(text: str) -> str:
    if text.strip().lower() not in ("us", "metric"):
        raise InputError(f'"{shown(text)}" cannot be read: write "us" or "metric"')
    return text.strip().lower()


def _weighed(least_g: float, most_g: float, example: str) -> Callable[[str], float]:
    """A reader of a weight between two limits, beyond which it is a slip of the finger (judgement)."""

    def read(text: str) -> float:
        amount = _with_unit(text)
        if amount is None or amount.grams is None:
            raise InputError(f'"{shown(text)}" cannot be read: write a weight, in g, mg, oz or lb, such as "{example}"')
        if not least_g <= amount.grams <= most_g:
            raise InputError(f'"{shown(text)}" is not a likely weight: {least_g:g} to {most_g:g} g is; write such as "{example}"')
        return amount.grams

    return read


def _read_calcium_mg(text: str) -> float:
    return 1000 * _weighed(0.003, 0.2, "15 mg")(text)


def _read_ml(text: str) -> float:
    with contextlib.suppress(InputError):
        amount, rest = read_amount(text)
        if not rest and amount.ml is not None:
            return amount.ml
    raise InputError(f'"{shown(text)}" cannot be read: write a volume, such as "1 1/2 cups" or "15 fl oz"')


def _read_lids(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,4}", text.strip()):
        raise InputError(f'"{shown(text)}" cannot be read: write a whole number up to 9999, such as 24')
    return int(text)


def _read_jars(text: str, *, of_any_size: bool = False) -> tuple[str, int]:
    low = high = 0.0
    with contextlib.suppress(InputError):
        low, high, name = read_jar_count(text)
    if not 1 <= low == high == int(low):
        raise InputError(f'"{shown(text)}" cannot be read: write a whole number and a jar, such as "11 half-pints"')
    if name.lower() in ("jar", "jars") and not of_any_size:
        raise InputError(f'"{shown(text)}" of which kind? Write the jar, such as "{low:g} half-pints" or "{low:g} pints"')
    any_jar = of_any_size and name.lower() in ("jar", "jars")
    return ANY_JAR if any_jar else facts.lookup(name, ("jar",)).key, int(low)


def _read_canner(text: str) -> tuple[str, int]:
    jar, count = _read_jars(text, of_any_size=True)
    if count > MOST_JARS_A_LOAD:
        raise InputError(
            f'"{shown(text)}" is more than a canner holds: at most {MOST_JARS_A_LOAD} jars go in together; write one load, such as "7 jars"'
        )
    return jar, count


_ACROSS = re.compile(r"(.*?)[ ,(]*([0-9]{1,2}(?:\.[0-9]{1,3})?) ?(in|inch|inches|cm)\.?(?: across| wide)?\)?", re.ASCII | re.DOTALL)


def _read_pot(text: str) -> Pot:
    whole = _ACROSS.fullmatch(text.strip()) if len(text) <= 60 else None
    size = _with_unit(whole[1] if whole else text)
    if size is None or size.ml is None:
        raise InputError(f'"{shown(text)}" cannot be read: write what the pot holds and its width, such as "8 quart, 10 in across"')
    quarts = size.ml / (4 * CUP_ML)
    width_in = convert(float(whole[2]), "centimeter" if whole[3] == "cm" else "inch", "inch") if whole else None
    if not POT_QUARTS[0] <= quarts <= POT_QUARTS[1] or not (width_in is None or POT_IN[0] <= width_in <= POT_IN[1]):
        wide = "" if width_in is None else f", {width_in:.3g} in across"
        usual = f"{POT_QUARTS[0]:g} to {POT_QUARTS[1]:g} quarts and are {POT_IN[0]:g} to {POT_IN[1]:g} in across"
        example = "check it, and write such as 8 quart, 10 in across"
        raise InputError(f'"{shown(text)}" is {quarts:.3g} quarts{wide}; pots hold {usual}: {example}')
    return Pot(quarts=quarts, diameter_in=width_in)


def _with_unit(text: str) -> Amount | None:
    """An amount with nothing after it but "pot"; None where it cannot be read."""
    with contextlib.suppress(InputError):
        amount, rest = read_amount(text)
        if rest.lower() in ("", "pot"):
            return amount
    return None


def _read_sweetener(text: str) -> tuple[str, float]:
    try:
        amount, name = read_amount(text)
    except InputError as error:
        raise InputError(f'"{shown(text)}" cannot be read: write an amount and a sweetener, such as "500 g sugar"') from error
    sweetener = facts.sweetener(facts.lookup(name, ("sweetener",)).key)
    if amount.grams is not None:
        return sweetener.key, amount.grams
    if amount.ml is not None and sweetener.g_per_cup is not None:
        return sweetener.key, amount.ml / CUP_ML * sweetener.g_per_cup.typical
    raise InputError(f'"{shown(text)}" cannot be read: write a weight, such as "500 g {sweetener.name}"')


# A package smaller or larger is a slip of the finger (judgement).
_PACKAGES = {"bottled_lemon_juice": (30.0, 5_000.0), "calcium-set": (5.0, 5_000.0), "lids": (1.0, 1_000.0), "jars": (1.0, 48.0),
             "sweetener": (5.0, 25_000.0)}  # fmt: skip
_PACKAGE_NAMES = {
    "lemon juice": "bottled_lemon_juice", "bottled lemon juice": "bottled_lemon_juice",
    "pectin": "calcium-set", "calcium-set pectin": "calcium-set",
    "lid": "lids", "lids": "lids", "new lids": "lids",
}  # fmt: skip


def _read_package(text: str) -> tuple[str, float]:
    """ "32 fl oz lemon juice", "12 oz honey", "24 lids", "6 half-pints": what one package holds."""
    found = _package(" ".join(text.lower().split()))
    example = 'write what one package holds, such as "32 fl oz lemon juice", "12 oz honey" or "24 lids"'
    if found is None:
        raise InputError(f'"{shown(text)}" cannot be read: {example}')
    key, holds = found
    least, most = _PACKAGES.get(key, _PACKAGES["jars" if key in facts.keys("jar") else "sweetener"])
    if not least <= holds <= most:
        raise InputError(f'"{shown(text)}" is no size that shops sell: {example}')
    return key, holds


def _package(plain: str) -> tuple[str, float] | None:
    number, _, name = plain.partition(" ")
    if _PACKAGE_NAMES.get(name) == "lids" and number.isdecimal():
        return "lids", float(number)
    with contextlib.suppress(InputError, UnknownItem):
        amount, name = read_amount(plain)
        key = _PACKAGE_NAMES.get(name)
        holds = amount.ml if key == "bottled_lemon_juice" else amount.grams
        if key is not None and holds is not None:
            return key, holds
        if key is None and name:
            return _read_sweetener(plain)
    with contextlib.suppress(InputError, UnknownItem):
        return _read_jars(plain)
    return None


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One key of the file: the field it fills, its reader, and an example for the cook."""

    field: str
    read: Callable[[str], Any]
    example: str
    many: bool = False


SETTINGS = {
    "altitude": Setting(field="altitude_ft", read=read_altitude_ft, example='"4300 ft"'),
    "units": Setting(field="units", read=_read_units, example='"us"'),
    "pots": Setting(field="pots", read=_read_pot, example='["8 quart, 10 in across"]', many=True),
    "jars": Setting(field="jars_on_hand", read=_read_jars, example='["11 half-pints", "5 pints"]', many=True),
    "canner": Setting(field="canner_holds", read=_read_canner, example='["12 half-pints", "8 pints"] or "7 jars"', many=True),
    "pectin_per_teaspoon": Setting(field="pectin_g_per_tsp", read=_weighed(1, 8, "3 g"), example='"3 g"'),
    "calcium_water_per_teaspoon": Setting(field="calcium_water_mg_per_tsp", read=_read_calcium_mg, example='"15 mg"'),
    "lids": Setting(field="lids", read=_read_lids, example="24"),
    "lemon_juice": Setting(field="lemon_juice_ml", read=_read_ml, example='"15 fl oz"'),
    "pectin": Setting(field="pectin_g", read=_weighed(0, 10_000, "30 g"), example='"30 g"'),
    "calcium_powder": Setting(field="calcium_powder_g", read=_weighed(0, 10_000, "10 g"), example='"10 g"'),
    "sweeteners": Setting(field="sweeteners_g", read=_read_sweetener, example='["2 cups honey", "500 g sugar"]', many=True),
    "packages": Setting(field="packages", read=_read_package, example='["32 fl oz lemon juice", "12 oz honey", "24 lids"]', many=True),
}


_COMMA = re.compile(r",(?! ?[0-9.]+ ?(?:in|cm)\b)")  # "8 quart, 10 in across" is one pot
_KINDS = {"bool": "true or false", "int": "a bare number", "float": "a bare number", "list": "a list", "dict": "a section"}


def _texts(key: str, value: object) -> list[object]:
    """The words of one setting; a list may also be one text with commas, as on the command line."""
    if isinstance(value, str):
        return [part for part in _COMMA.split(value) if part.strip()] if SETTINGS[key].many else [value]
    if key == "lids" and type(value) is int:
        return [str(value)]
    return value if SETTINGS[key].many and isinstance(value, list) else [value]


def fields(document: Mapping[str, object]) -> tuple[dict[str, Any], list[str]]:
    """The fields of a Kitchen that can be read, and a line for each thing that cannot."""
    found: dict[str, Any] = {}
    as_written: dict[str, str | list[str]] = {}
    problems: list[str] = []
    for key, value in document.items():
        if key not in SETTINGS:
            near = difflib.get_close_matches(key[:60], SETTINGS, n=1)
            hint = f"did you mean {near[0]}?" if near else "there are " + ", ".join(SETTINGS)
            problems.append(f"{shown(key)}: no such setting; {hint}")
            continue
        pieces = []
        words = []
        texts = _texts(key, value)
        if len(texts) > MOST_ENTRIES:
            problems.append(f"{key}: {len(texts)} entries; at most {MOST_ENTRIES} are read")
            continue
        for text in texts:
            if not isinstance(text, str):
                kind = _KINDS.get(type(text).__name__, "a date or time")
                problems.append(f"{key}: {kind} where words belong: write {key} = {SETTINGS[key].example}")
                continue
            try:
                pieces.append(SETTINGS[key].read(text))
                words.append(" ".join(text.split()))
            except (InputError, UnknownItem) as error:
                problems.append(f"{key}: {error}")
        if pieces:
            found[SETTINGS[key].field] = _gathered(key, pieces) if SETTINGS[key].many else pieces[0]
            if key != "lids":  # a number in the file
                as_written[key] = words if SETTINGS[key].many else words[0]
    return found | ({"as_written": as_written} if as_written else {}), problems


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


def text(kitchen: Kitchen) -> str:
    """The settings of a kitchen as TOML, one a line; reading it gives the same kitchen."""
    said: dict[str, str | list[str] | int | None] = {
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
    return "".join(f"{key} = {toml(value)}\n" for key, value in said.items() if value is not None and value != [])


def _jars_text(key: str, count: int) -> str:
    return f"{count} " + ("jars" if key == ANY_JAR else facts.jar(key).plural)


def _package_text(key: str, holds: float) -> str:
    if key in facts.keys("jar"):
        return _jars_text(key, int(holds))
    named = {"bottled_lemon_juice": "mL lemon juice", "calcium-set": "g pectin", "lids": "lids"}
    return f"{holds:.12g} {named.get(key) or f'g {facts.sweetener(key).name}'}"


def _amount_text(amount: float | None, unit: str) -> str | None:
    return None if amount is None else f"{amount:.12g} {unit}"


def toml(value: str | Sequence[str] | int) -> str:
    """A setting's words as a TOML value."""
    return json.dumps(value, ensure_ascii=False)  # no control character passes the readers, and the rest is the same in both
