"""The Python calls: batch, check and scale, from plain words to an answer. The command line calls these too.

Reads every word with the same reader and hands the result to the same solver. Imported when first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from jamcalc import answer as answering
from jamcalc import assemble, checking, facts, lines, recipefile, scaled, units
from jamcalc.errors import InputError
from jamcalc.model import BatchResult, Finding, Reading, Recipe, Settings
from jamcalc.solver import solve

LARGEST_SWEETNESS_PERCENT = 150.0  # full-sugar jam is about 120 g sugar per 100 g fruit
SPOON_G = (0.5, 20.0)
SPOON_MG = (0.5, 500.0)


def settings_from(
    *,
    set: str = "medium",  # the option's own name
    jar: str | None = None,
    altitude: str | float | None = None,
    store: str | None = None,
    boil: str | float | None = None,
    simmer: str | float | None = None,
    headspace: str | float | None = None,
    units_: str = "us",
    sweetness: str | float | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int = 4000,
) -> Settings:
    """Options in words or numbers as Settings. Raises InputError or UnknownItem for what cannot be read."""
    _one_of("set", set, ("soft", "medium", "firm"))
    _one_of("units", units_, ("us", "metric"))
    if store is not None:
        _one_of("store", store, ("shelf", "cold"))
    plain = Settings()
    return Settings(
        firmness=set,  # type: ignore[arg-type]
        jar=plain.jar if jar is None else lines.read_item(jar, ("jar",)).key,
        headspace_mm=plain.headspace_mm if headspace is None else _measure(headspace, units.read_headspace_mm),
        altitude_ft=None if altitude is None else _measure(altitude, units.read_altitude_ft),
        store=store,  # type: ignore[arg-type]
        boil_min=plain.boil_min if boil is None else _measure(boil, units.read_minutes),
        simmer_min=plain.simmer_min if simmer is None else _measure(simmer, units.read_minutes),
        units=units_,  # type: ignore[arg-type]
        sweetness_percent=None if sweetness is None else _within("sweetness", sweetness, 0.0, LARGEST_SWEETNESS_PERCENT, "16"),
        pectin_g_per_tsp=None if pectin_spoon is None else _within("pectin-spoon", pectin_spoon, *SPOON_G, "3.0"),
        calcium_water_mg_per_tsp=None if calcium_spoon is None else _within("calcium-spoon", calcium_spoon, *SPOON_MG, "14.6"),
        draws=draws,
    )


def _one_of(name: str, value: str, allowed: tuple[str, ...]) -> None:
    if value not in allowed:
        raise InputError(f'{name} "{units.shown(str(value))}": write {", ".join(allowed[:-1])} or {allowed[-1]}')


def _measure(value: str | float, read: Any) -> float:
    return float(read(value)) if isinstance(value, str) else float(value)


def _within(name: str, value: str | float, low: float, high: float, example: str) -> float:
    try:
        number = float(value)
    except ValueError:
        number = float("nan")
    if not low <= number <= high:
        raise InputError(f'{name} "{units.shown(str(value))}": write a number from {low:g} to {high:g}, such as {example}')
    return number


def readings_from(reading: str | Sequence[str] | None) -> tuple[Reading, ...]:
    texts = [reading] if isinstance(reading, str) else list(reading or ())
    return tuple(lines.read_reading(text) for text in texts)


def batch(
    lines_: Sequence[str] | str,
    *,
    sweetener: str | None = None,
    reading: str | Sequence[str] | None = None,
    title: str = "",
    want: str | None = None,
    **options: Any,
) -> BatchResult:
    """From fruit on hand to a formula.

    Parameters
    ----------
    lines_ : ingredient lines, such as "3 lb plums"
    sweetener : a sweetener to be sized by name; reading : "plum pH 3.4 TA 1.2", "batch pH 3.9", or several
    want : "8 half-pints", to be told how the fruit compares
    options : set, jar, altitude, store, boil, simmer, headspace, units, sweetness, pectin_spoon, calcium_spoon, draws

    Returns
    -------
    BatchResult : `.to_dict()` is the JSON of the contract. Raises JamcalcError, whose text is one line for the cook.
    """
    read = lines.read_lines([lines_] if isinstance(lines_, str) else list(lines_))
    wanted = None if want is None else lines.read_jars(want)
    if wanted is not None and options.get("jar") is None:
        options = {**options, "jar": want_jar(want)}
    made = assemble.put_together(read, _settings(options), sweetener=_key(sweetener), readings=readings_from(reading), title=title)
    result = answering.answer(solve(made), command="batch")
    return result if wanted is None else _compare(result, wanted)


def want_jar(want: str | None) -> str:
    """The jar named in "8 half-pints", by its own name."""
    assert want is not None
    return facts.jar(lines.read_jars(want)[2]).name


def _compare(result: BatchResult, wanted: tuple[float, float, str]) -> BatchResult:
    """Adds how the fruit on hand compares with the jars wanted."""
    count = wanted[1]
    factor = count / result.yield_.jars.expected
    jar = facts.jar(result.batch.settings.jar)
    text = f"For {count:g} {jar.plural} take {factor:.2f} times this fruit."
    if abs(factor - 1.0) < 0.05:
        text = f"This fruit makes the {count:g} {jar.plural} you want."
    return replace(result, findings=(Finding(id="want", text=text), *result.findings))


def _settings(options: Mapping[str, Any]) -> Settings:
    renamed = {("units_" if key == "units" else key): value for key, value in options.items()}
    return settings_from(**{key: value for key, value in renamed.items() if value is not None})


def _key(sweetener: str | None) -> str | None:
    return None if sweetener is None else lines.read_item(sweetener, ("sweetener",)).key


def recipe_from(recipe: Any) -> Recipe:
    """A Recipe from a Recipe, a mapping with the keys of a recipe file, a path, a shipped name or a stream."""
    if isinstance(recipe, Recipe):
        return recipe
    if isinstance(recipe, Mapping):
        return recipefile.from_mapping(recipe)
    return recipefile.read(recipe if hasattr(recipe, "read") else str(recipe) if isinstance(recipe, Path) else recipe)


def check(recipe: Any, *, reading: str | Sequence[str] | None = None, found: str | None = None, **options: Any) -> BatchResult:
    """What the chemistry thinks of a recipe exactly as written; nothing is added.

    Parameters
    ----------
    recipe : a path, the name of one that comes with the program, a stream, a mapping or a Recipe
    found : runny, weeping, stiff or grainy; options : jar, altitude, units, pectin_spoon, calcium_spoon, draws

    Returns
    -------
    BatchResult : `refused` says why it must not be made as written, or None.
    """
    return checking.check(recipe_from(recipe), _settings(options), readings_from(reading), found).result


def scale(recipe: Any, **how: Any) -> Recipe:
    """A tested recipe up or down, in measures that a kitchen owns.

    Parameters
    ----------
    recipe : as for `check`
    how : one of times (1.5), fruit ("5 lb plums"), want ("9 half-pints"); with jar, altitude, units, sweetener as wanted

    Returns
    -------
    Recipe : the whole batch; `scale_answer` gives the table of measures, the pots and the chemistry too
    """
    return scale_answer(recipe, **how).recipe


def scale_answer(
    recipe: Any,
    *,
    times: str | float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    sweetener: str | None = None,
    jar: str | None = None,
    **options: Any,
) -> scaled.ScaleAnswer:
    """Everything that `scale` works out: the recipe, its table, pots, left-overs and the answer for the whole."""
    factor = units.read_factor(times) if isinstance(times, str) else times
    return scaled.scale(recipe_from(recipe), _settings(options), times=factor, fruit=fruit, want=want, jar=jar, sweetener=_key(sweetener))
