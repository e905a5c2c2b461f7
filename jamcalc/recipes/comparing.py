"""Two to four answers side by side: what each asks for in all and per jar, and in which respects they differ.

Works nothing out that an answer does not hold, but its sweetness and its energy for a spoon; the screen is screens/compare_screen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from jamcalc.chemistry import sweetness
from jamcalc.errors import JamcalcError
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.phrases import jar_words, likely_jars, ph_words

LEAST, MOST = 2, 4
SPOON_ML = 15.0  # a tablespoon on a US label: 21 CFR 101.9(b)(5)(viii), memory
NOT_KNOWN = "-"


@dataclass(frozen=True, kw_only=True)
class Respect:
    """One respect in which recipes are compared: what each says of it, and whether they say the same."""

    name: str
    values: tuple[str, ...]

    @property
    def differs(self) -> bool:
        """Whether not all say the same."""
        return len(set(self.values)) > 1


def respects(results: Sequence[BatchResult]) -> tuple[Respect, ...]:
    """Every respect of two to four answers, in the order of a cook's questions: kept how, what goes in, what comes out."""
    says = (
        ("standing", lambda result: str(result.standing)),
        ("kept", _kept),
        ("boiled in its jars", _minutes),
        ("jars", lambda result: "about " + jar_words(result.yield_.jar, likely_jars(result.yield_.jars))),
        ("fruit", lambda result: f"{_role_g(result, 'fruit'):,.0f} g"),
        ("sweetener", _sweetener),
        ("sweetness", _sweetness),
        ("acid", _acid),
        ("acid a jar", lambda result: _a_jar(result, _role_g(result, "acid"))),
        ("pectin", lambda result: result.pectin.measure or "none"),
        ("pectin a jar", lambda result: _a_jar(result, result.pectin.grams)),
        ("calcium water", lambda result: result.calcium_water.measure if result.calcium_water.ml else "none"),
        ("calcium water a jar", lambda result: _a_jar(result, result.calcium_water.ml, "mL")),
        ("pH", lambda result: ph_words(result.acidity.ph)),
        ("set", lambda result: str(result.gel_set.strength) if result.batch.pectin_kind == "calcium-set" else "by its own pectin"),
        ("soluble solids", lambda result: f"{result.solids_percent.typical:.0f} %"),
        ("a tablespoon", _energy),
    )
    return tuple(Respect(name=name, values=tuple(say(result) for result in results)) for name, say in says)


def to_dict(results: Sequence[BatchResult]) -> dict[str, Any]:
    """The comparison as JSON holds it: every answer whole, and what differs."""
    return {
        "schema": "jamcalc/1",
        "command": "compare",
        "recipes": [result.to_dict() for result in results],
        "compared": [{"what": respect.name, "values": list(respect.values), "differs": respect.differs} for respect in respects(results)],
    }


def _kept(result: BatchResult) -> str:
    if result.refused:
        return "do not make as written"
    return "shelf" if result.storage == "shelf" else "cold, not the shelf"


def _minutes(result: BatchResult) -> str:
    if result.process is None or result.refused:
        return NOT_KNOWN
    lowest = result.process.by_band[0]
    band = "" if result.process.altitude_ft is not None else lowest.metres if result.batch.settings.units == "metric" else lowest.feet
    return f"{result.process.minutes} min" + (f" at {band}" if band else "")


def _role_g(result: BatchResult, role: str) -> float:
    return math.fsum(part.grams for part in result.ingredients if part.role == role)


def _sweetener(result: BatchResult) -> str:
    parts = [f"{part.measure} {part.name}" for part in result.ingredients if part.role == "sweetener" and part.grams > 0.0]
    return ", ".join(parts) or "none"


def _sweetness(result: BatchResult) -> str:
    """Sugar, or its equal in sweetness, for 100 g of fruit ready for the pot."""
    fruit_g = _role_g(result, "fruit")
    held = {part.sweetener.key: part.sweetener for part in result.batch.sweeteners}
    equal = math.fsum(
        sweetness.sugar_equivalents_g(held[part.item], part.grams, result.yield_.mass_g.typical)
        for part in result.ingredients
        if part.role == "sweetener" and part.item in held
    )
    return f"{100.0 * equal / fruit_g:.0f} g a 100 g fruit" if fruit_g else NOT_KNOWN


def _acid(result: BatchResult) -> str:
    parts = [f"{part.measure} {part.name}" for part in result.ingredients if part.role == "acid"]
    return ", ".join(parts) or "none"


def _a_jar(result: BatchResult, amount: float, unit: str = "g") -> str:
    jars = result.yield_.jars.expected
    return f"{amount / jars:.1f} {unit}" if amount and jars > 0.0 else NOT_KNOWN


def _energy(result: BatchResult) -> str:
    from jamcalc.labels import nutrition

    try:
        food = nutrition.composition(result)
    except JamcalcError:  # an ingredient whose energy nobody prints
        return NOT_KNOWN
    return f"about {food.energy_kcal.typical / 100.0 * SPOON_ML * food.g_per_ml:.0f} kcal"
