"""What is missing, in what shops sell: whole bottles, packets, jars, bags and boxes, fruit by the pound; rounded up, never down.

Takes the sizes of data/kitchen.toml, or those of the kitchen file.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from jamcalc import facts
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.outcome import Packages
from jamcalc.words.measures import CUP_ML, fraction
from jamcalc.words.phrases import counted, weight
from jamcalc.words.units import convert

Unit = Literal["g", "mL", "each"]
UNITS = {"oz": ("ounce", "gram"), "lb": ("pound", "gram"), "fl oz": ("fluid_ounce", "milliliter")}
OUNCES_IN_A_POUND = 16
HALF_POUNDS = 2  # fruit is weighed out, and asked for by the half pound, or by 100 g
HALVES_OF_A_KILO = 10
MOST_OF_A_FLAT = 0.75  # less is not bought by the flat (judgement)
ALMOST = 1e-6  # less is no reason for another package


def needed(key: str, missing: float, unit: Unit, kitchen: Kitchen, units: str) -> Packages | None:
    """Whole packages that hold at least what is missing; None where nothing is, or where it is not sold so.

    Parameters
    ----------
    key : an acid, lids, calcium_powder, a kind of pectin, or the key of a sweetener or jar
    missing : g, mL or how many, as `unit` says
    kitchen : its own sizes; units : us or metric, for the words
    """
    table = facts.table("kitchen")["package"]
    own = dict(kitchen.packages).get(key)
    if missing <= 0.0 or (own is None and key not in table):
        return None
    holds = own if own is not None else _usual(key, unit)
    count = max(1, math.ceil(missing / holds - ALMOST))
    word = table[key]["word"] if key in table else "package"
    size = _size(key, holds, unit, units)
    where = table.get(key, {}).get("where", "")
    return Packages(count=count, package=word, size=size, holds=holds, measure=f"{counted(count, word)} of {size}{where and f', {where}'}")


def _usual(key: str, unit: Unit) -> float:
    """What one of the usual size holds [g, mL or how many]; what is poured but goes by weight, by its weight a cup."""
    figure = facts.figure(facts.table("kitchen")["package"][key])
    if figure.unit not in UNITS:  # grams, lids or jars
        return figure.typical
    holds = convert(figure.typical, *UNITS[figure.unit])
    if unit == "g" and figure.unit == "fl oz":
        g_per_cup = facts.sweetener(key).g_per_cup
        assert g_per_cup is not None
        return holds / CUP_ML * g_per_cup.low  # the light end: never a can too few
    return holds


def _size(key: str, holds: float, unit: Unit, units: str) -> str:
    """The size as it is printed on the package."""
    if unit == "each":
        return f"{holds:g}"
    table = facts.table("kitchen")["package"]
    if table.get(key, {}).get("unit") == "fl oz":
        ml = holds if unit == "mL" else _poured_ml(key, holds)
        return f"{ml:.0f} mL" if units == "metric" else f"{convert(ml, 'milliliter', 'fluid_ounce'):.3g} fl oz"
    if units == "metric" or table.get(key, {}).get("unit") == "g":
        return weight(holds)
    ounces = convert(holds, "gram", "ounce")
    pounds = ounces / OUNCES_IN_A_POUND
    return f"{ounces:.3g} oz" if pounds < 1.0 - ALMOST or abs(2 * pounds - round(2 * pounds)) > 0.01 else f"{pounds:.3g} lb"


def _poured_ml(key: str, grams: float) -> float:
    g_per_cup = facts.sweetener(key).g_per_cup
    assert g_per_cup is not None
    return grams / g_per_cup.low * CUP_ML


def lids(missing: float, cases: Iterable[Packages | None], kitchen: Kitchen, units: str) -> Packages | None:
    """Lids by the box, less those that new cases of jars bring."""
    brought = sum(case.count * case.holds for case in cases if case is not None)
    if 0.0 < missing <= brought:
        return Packages(count=0, package="box", size="", holds=0.0, measure="none: new jars bring theirs")
    return needed("lids", missing - brought, "each", kitchen, units)


def fruit(key: str, missing_g: float, units: str) -> Packages | None:
    """Fruit by the half pound, or by 100 g, and how many flats that is where the fruit comes in them; None where none is missing."""
    if missing_g <= 0.0:
        return None
    flats = _flats(key, missing_g)
    if units == "metric":
        kilos = math.ceil(missing_g / 1000.0 * HALVES_OF_A_KILO - ALMOST) / HALVES_OF_A_KILO
        return Packages(count=kilos, package="kg", size="", holds=1000.0, measure=f"{kilos:g} kg{flats}")
    pounds = math.ceil(convert(missing_g, "gram", "pound") * HALF_POUNDS - ALMOST) / HALF_POUNDS
    return Packages(
        count=pounds,
        package="lb",
        size="",
        holds=convert(1.0, "pound", "gram"),
        measure=f"{fraction(pounds, 2)} lb{_flats(key, missing_g)}",
    )


def _flats(key: str, missing_g: float) -> str:
    """Whole flats, light ones, where most of one is missing."""
    held = facts.table("counts")["container"].get(key, {}).get("flat", {})
    if "typical" not in held:  # a flat of strawberries is two things
        return ""
    flats = missing_g / convert(facts.figure(held).low, "pound", "gram")
    whole = math.ceil(flats - ALMOST)
    return f", or {whole} {'flat' if whole == 1 else 'flats'}" if flats >= MOST_OF_A_FLAT else ""
