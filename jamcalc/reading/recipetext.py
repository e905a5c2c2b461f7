"""A recipe as the text of a recipe file, which recipefile reads back to the same recipe.

Writes no file itself.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from jamcalc import facts
from jamcalc.nouns.written import SOURCE_KEYS, Recipe, StatedYield
from jamcalc.reading.printed import times_text
from jamcalc.words.measures import MM_PER_INCH


def write_text(recipe: Recipe) -> str:
    """Write a recipe as TOML that `from_text` reads back to the same recipe."""
    parts = [
        ("title", recipe.title),
        ("kind", recipe.kind),
        ("ingredients", [line.text for line in recipe.lines]),
        ("boil_min", recipe.boil_min),
        ("simmer_min", recipe.simmer_min),
        ("covered", recipe.covered or None),
        ("yield", yield_text(recipe.stated_yield)),
        ("headspace", _headspace_text(recipe.headspace_mm)),
        ("process_min", recipe.process_min),
        ("altitude", _altitude_text(recipe.altitude_ft)),
        ("keep", recipe.keep),
        ("keep_weeks", recipe.keep_weeks),
        ("freeze", recipe.freeze),
        ("extras", list(recipe.extras)),
        ("steps", list(recipe.steps)),
    ]
    parts += [("scaled_from", recipe.scaled_from), ("factor", recipe.factor)]
    lines = [f"{key} = {_toml(value)}" for key, value in parts if value not in (None, "", [])]
    if recipe.printed_times:
        lines += ["\n[process]", *(f"{time.jar} = {times_text(time)}" for time in recipe.printed_times)]
    if recipe.source:
        said = {key: getattr(recipe.source, key) for key in SOURCE_KEYS}
        lines += ["\n[source]", *(f"{key} = {_toml(value)}" for key, value in said.items() if value not in (None, ""))]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    """One value as TOML: a number, true or false, a text, or a list of texts with one on each line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return str(int(value)) if value == int(value) else repr(value)
    if isinstance(value, list):
        return "[\n" + "".join(f"    {_toml(entry)},\n" for entry in value) + "]"
    escaped = value.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(char if char.isprintable() else f"\\U{ord(char):08X}" for char in escaped) + '"'


def yield_text(stated: StatedYield | None) -> str:
    """A yield as the recipe says it, or as it would."""
    if stated is None:
        return ""
    if stated.text:
        return stated.text
    ends = dict.fromkeys((stated.low, stated.high))
    jar = facts.jar(stated.jar)
    return f"{' to '.join(f'{round(end, 2):g}' for end in ends)} {jar.name if list(ends) == [1.0] else jar.plural}"


def _altitude_text(altitude_ft: float | None) -> str:
    return "" if altitude_ft is None else f"{altitude_ft:.12g} ft"


def _headspace_text(headspace_mm: float | None) -> str:
    """Sixteenths of an inch where it is that, else millimeters."""
    if headspace_mm is None:
        return ""
    sixteenths = headspace_mm / MM_PER_INCH * 16
    if abs(sixteenths - round(sixteenths)) < 1e-9:
        whole, part = divmod(Fraction(round(sixteenths), 16), 1)
        return " ".join(str(piece) for piece in (whole, part) if piece) + " in"
    return repr(headspace_mm).removesuffix(".0") + " mm"
