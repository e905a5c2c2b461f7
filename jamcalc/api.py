"""The Python calls: batch, check and scale, from plain words to an answer. The command line calls these too.

Reads every word with the same reader and hands the result to the same solver. Imported when first asked for;
what only check and scale need is imported in them, so that a plain batch does not wait for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from os import PathLike
from typing import IO, TYPE_CHECKING, Any

from jamcalc import facts
from jamcalc.answers import answer, remarks
from jamcalc.errors import InputError, UnknownItem
from jamcalc.formula import assemble
from jamcalc.formula.solver import solve
from jamcalc.kitchen import defaults
from jamcalc.nouns.model import Batch, Finding, Line, Reading, Recipe, Settings
from jamcalc.nouns.outcome import BatchResult
from jamcalc.reading import lines, several
from jamcalc.reading.readings import altitude_said, of_its_kind, read_jars, read_reading
from jamcalc.words import quantities, units
from jamcalc.words.lists import either
from jamcalc.words.phrases import altitude, jar_words, joined

if TYPE_CHECKING:
    from jamcalc.kitchen.household import Kitchen
    from jamcalc.recipes.scaled import ScaleAnswer

RecipeSaid = Recipe | Mapping[str, Any] | str | PathLike[str] | IO[bytes] | IO[str]

MOST_DRAWS = 100_000
LARGEST_SWEETNESS_PERCENT = 150.0  # full-sugar jam is about 120 g sugar per 100 g fruit
SPOON_G = (0.5, 20.0)
SPOON_MG = (3.0, 500.0)  # weaker than a fifth of the usual is hardly calcium water: to reach the need, it would drown the jam


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
    acid: str | None = None,
    draws: int = 4000,
) -> Settings:
    """Options in words or numbers as Settings. Raises InputError or UnknownItem for what cannot be read."""
    _one_of("set", set, ("soft", "medium", "firm"))
    _one_of("units", units_, ("us", "metric"))
    if store is not None:
        _one_of("store", store, ("shelf", "cold"))
    if not 0 <= draws <= MOST_DRAWS:
        raise InputError(f"draws {draws}: write a whole number from 0 to {MOST_DRAWS}")
    plain = Settings()
    return Settings(
        firmness=set,  # type: ignore[arg-type]
        jar=plain.jar if jar is None else lines.read_item(jar, ("jar",)).key,
        headspace_mm=plain.headspace_mm if headspace is None else _measure(headspace, "mm", quantities.read_headspace_mm),
        altitude_ft=None if altitude is None else _measure(altitude, "ft", quantities.read_altitude_ft),
        store=store,  # type: ignore[arg-type]
        boil_min=plain.boil_min if boil is None else _measure(boil, "min", quantities.read_minutes),
        simmer_min=plain.simmer_min if simmer is None else _measure(simmer, "min", quantities.read_minutes),
        units=units_,  # type: ignore[arg-type]
        sweetness_percent=None if sweetness is None else _within("sweetness", sweetness, 0.0, LARGEST_SWEETNESS_PERCENT, "16"),
        pectin_g_per_tsp=None if pectin_spoon is None else _within("pectin-spoon", pectin_spoon, *SPOON_G, "3.0"),
        calcium_water_mg_per_tsp=None if calcium_spoon is None else _within("calcium-spoon", calcium_spoon, *SPOON_MG, "14.6"),
        acid=plain.acid if acid is None else _acid(acid),
        draws=draws,
    )


def _acid(name: str) -> str:
    """The key of an acid that a dose may be measured in."""
    from jamcalc.formula import swapping

    try:
        key = lines.read_item(name, ("acid",)).key
    except UnknownItem:
        key = ""
    if key not in swapping.ACIDS:
        names = either(tuple(f'"{facts.acidulant(each).name}"' for each in swapping.ACIDS))
        raise InputError(
            f'acid "{units.shown(name)}": write {names}; fresh juice differs too much, and of vinegar some boils away with the steam'
        )
    return key


def _one_of(name: str, value: str, allowed: tuple[str, ...]) -> None:
    if value not in allowed:
        raise InputError(f'{name} "{units.shown(str(value))}": write {either(allowed)}')


def _measure(value: str | float, unit: str, read: Callable[[str], float]) -> float:
    """A length or time in words; a bare number goes through the same reader, so that it has the same limits."""
    return read(value if isinstance(value, str) else f"{value:.9f} {unit}")


def _within(name: str, value: str | float, low: float, high: float, example: str) -> float:
    try:
        number = float(value)
    except ValueError:
        number = float("nan")
    if not low <= number <= high:
        raise InputError(f'{name} "{units.shown(str(value))}": write a number from {low:g} to {high:g}, such as {example}')
    return number


def readings_from(reading: str | Sequence[str] | None) -> tuple[Reading, ...]:
    """The cook's readings from one text, several, or none. Raises InputError for what cannot be read."""
    texts = [reading] if isinstance(reading, str) else list(reading or ())
    return tuple(read_reading(text) for text in texts)


def batch(
    lines_: Sequence[str] | str,
    *,
    sweetener: str | None = None,
    reading: str | Sequence[str] | None = None,
    title: str = "",
    want: str | None = None,
    parts: str | None = None,
    on_hand: str | Sequence[str] | None = None,
    kitchen: Kitchen | None = None,
    **options: Any,
) -> BatchResult:
    """From fruit on hand to a formula, or from the jars wanted back to the fruit.

    Parameters
    ----------
    lines_ : ingredient lines, such as "3 lb plums"; with `want`, fruit names alone ask how much of each to buy
    sweetener : a sweetener to be sized by name; reading : "plum pH 3.4 TA 1.2", "batch pH 3.9", or several
    want : "8 half-pints", to be told how the fruit compares; parts : "2:1", by weight of prepared fruit, for names alone
    on_hand : jars to fill, "11 half-pints" or several; kitchen : what the kitchen file says, which all other words beat
    options : set, jar, altitude, store, boil, simmer, headspace, units, sweetness, pectin_spoon, calcium_spoon, acid, draws

    Returns
    -------
    BatchResult : `.to_dict()` is the JSON that the command prints. Raises JamcalcError, whose text is one line for the cook.
    """
    words = [lines_] if isinstance(lines_, str) else list(lines_ or ())
    if not all(isinstance(word, str) for word in words):
        raise InputError('ingredient lines are text, such as "3 lb plums"')
    in_use = defaults.jar_in_use(options.get("jar"), want, kitchen)
    want = None if want is None else of_its_kind(want, in_use)
    wanted = None if want is None else _read_want(want)
    on_hand = [of_its_kind(text, in_use) for text in ([on_hand] if isinstance(on_hand, str) else on_hand)] if on_hand else on_hand
    said = {**options, "sweetener": sweetener, "reading": reading, "title": title or None, "want": want, "parts": parts, "on_hand": on_hand}
    asked = wanted[1] if wanted is not None else lines.read_item(options["jar"], ("jar",)).key if options.get("jar") is not None else None
    home = defaults.home(kitchen, options, on_hand, asked)
    options = dict(home.options)
    if options.get("jar") is None:
        options["jar"] = defaults.own_jar(home) if wanted is None else facts.jar(wanted[1]).name
    elif wanted is not None and lines.read_item(options["jar"], ("jar",)).key != wanted[1]:
        raise InputError(f'--want "{units.shown(str(want))}" and --jar {units.shown(str(options["jar"]))} name two jars: write one')
    settings, key, readings = _settings(options), _key(sweetener), readings_from(reading)

    def quick_batch(read: Sequence[Line]) -> Batch:
        return assemble.put_together(read, replace(settings, draws=0), sweetener=key, readings=readings)

    read, to_buy = _lines_read(words, parts, want, quick_batch)
    quantities.check_written(read)
    made = assemble.put_together(read, settings, sweetener=key, readings=readings, title=title)
    unsaid = () if key == "none" else remarks.unsweetened(made)
    findings = (*home.findings, *altitude_said(options.get("altitude")), *unsaid)
    result = answer.answer(solve(made), command="batch", findings=findings)
    quantities.check_weights((part.role, part.as_bought_g or part.grams) for part in result.ingredients)
    if result.storage == "cold":
        from jamcalc.answers import instead

        more = instead.finding(made, result, instead.Said(words=words, options=said))
        result = replace(result, findings=(*result.findings, *more))
    if to_buy is not None:
        result = replace(result, findings=(to_buy, *result.findings))
    elif wanted is not None:
        result = _compare(result, wanted[0])
    return defaults.fitted(result, home, fruit_on_hand=to_buy is None)


def _lines_read(
    words: list[str], parts: str | None, want: str | None, quick_batch: Callable[[Sequence[Line]], Batch]
) -> tuple[tuple[Line, ...], Finding | None]:
    """The lines as written; or those to buy for the jars wanted, and what to say of them."""
    if want is not None or parts is not None:
        from jamcalc.answers import fruit_for_jars

        question = fruit_for_jars.asked(words, parts, want)
        if question is not None:
            return fruit_for_jars.lines_for(question, quick_batch)
    return several.read_lines(words), None


def _read_want(want: str) -> tuple[float, str]:
    """How many jars are wanted, of a range the upper end, and the key of the jar."""
    try:
        _, count, key = read_jars(want)
        return count, key
    except InputError as error:
        if want.strip()[:1].isdigit():
            raise
        raise InputError(f'--want "{units.shown(want)}": write a number and a jar, such as "8 half-pints"') from error


def _compare(result: BatchResult, count: float) -> BatchResult:
    """Adds how the fruit on hand compares with the jars wanted."""
    factor = count / result.yield_.jars.expected
    jar = facts.jar(result.batch.settings.jar)
    jars = jar_words(jar.name, count)
    if abs(factor - 1.0) < 0.05:
        text = f"This fruit makes the {jars} you want."
    else:
        from jamcalc.recipes.portions import portion

        fruit = [portion(line, factor).text for line in result.batch.lines if line.role == "fruit"]
        text = f"For {jars} take {factor:.2f} times this fruit: {joined(fruit)}."
    return replace(result, findings=(Finding(id="want", text=text), *result.findings))


def _settings(options: Mapping[str, Any]) -> Settings:
    renamed = {("units_" if key == "units" else key): value for key, value in options.items()}
    return settings_from(**{key: value for key, value in renamed.items() if value is not None})


def _key(sweetener: str | None) -> str | None:
    return None if sweetener is None else lines.read_item(sweetener, ("sweetener",)).key


def recipe_from(recipe: RecipeSaid) -> Recipe:
    """A Recipe from a Recipe, a mapping with the keys of a recipe file, a path, a shipped name or a stream."""
    if isinstance(recipe, Recipe):
        return recipe
    from jamcalc.reading import recipefile

    if isinstance(recipe, Mapping):
        return recipefile.from_mapping(recipe)
    return recipefile.read(recipe)


def check(recipe: RecipeSaid, *, reading: str | Sequence[str] | None = None, found: str | None = None, **options: Any) -> BatchResult:
    """What the chemistry thinks of a recipe exactly as written; nothing is added.

    Parameters
    ----------
    recipe : a path, the name of one that comes with the program, a stream, a mapping or a Recipe
    found : runny, weeping, stiff or grainy
    options : jar (the recipe's own, where none is named), altitude, units, pectin_spoon, calcium_spoon, draws

    Returns
    -------
    BatchResult : `refused` says why it must not be made as written, or None.
    """
    from jamcalc.recipes import checking

    read = recipe_from(recipe)
    quantities.check_sum(read.lines)
    if found is not None:
        _one_of("found", found, ("runny", "weeping", "stiff", "grainy"))
    settings = _settings(options)
    if options.get("jar") is None and read.stated_yield is not None:
        settings = replace(settings, jar=read.stated_yield.jar)
    settings, said = _at_its_altitude(settings, read)
    said = (*said, *altitude_said(options.get("altitude")))
    result = checking.check(read, settings, readings_from(reading), found)
    return replace(result, findings=(*result.findings, *said))


def _at_its_altitude(settings: Settings, recipe: Recipe) -> tuple[Settings, tuple[Finding, ...]]:
    """The altitude that a recipe file remembers, where neither an option nor the kitchen gives one; and that it was taken from there."""
    if settings.altitude_ft is not None or recipe.altitude_ft is None:
        return settings, ()
    text = f"Altitude {altitude(recipe.altitude_ft, settings.units)}, as the recipe file says."
    return replace(settings, altitude_ft=recipe.altitude_ft), (Finding(id="altitude-from-recipe", text=text),)


def scale(recipe: RecipeSaid, **how: Any) -> Recipe:
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
    recipe: RecipeSaid,
    *,
    times: str | float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    sweetener: str | None = None,
    jar: str | None = None,
    **options: Any,
) -> ScaleAnswer:
    """Everything that `scale` works out: the recipe, its table, pots, left-overs and the answer for the whole."""
    from jamcalc.recipes import scaled

    key = _key(sweetener)
    if key == "none":
        raise InputError("a recipe without its sweetener is another recipe: take the line out of a copy of the file, and check that")
    factor = quantities.read_factor(times) if isinstance(times, str) else times
    read = recipe_from(recipe)
    quantities.check_sum(read.lines)
    settings, said = _at_its_altitude(_settings(options), read)
    said = (*said, *altitude_said(options.get("altitude")))
    if want is not None:
        want = of_its_kind(want, defaults.jar_in_use(jar, None, None) if jar or read.stated_yield is None else read.stated_yield.jar)
    made = scaled.scale(read, settings, times=factor, fruit=fruit, want=want, jar=jar, sweetener=key)
    quantities.check_sum(made.recipe.lines)
    kept = replace(made.recipe, altitude_ft=settings.altitude_ft)
    return replace(made, recipe=kept, result=replace(made.result, findings=(*made.result.findings, *said)))


def not_scaled(recipe: Any, why: str, *, jar: str | None = None, **options: Any) -> BatchResult:
    """The answer for a recipe that must not be scaled as asked: the recipe as it stands, and why not; `jar` was asked for in vain."""
    from jamcalc.recipes import scaled

    read = recipe_from(recipe)
    return scaled.refused(read, _at_its_altitude(_settings(options), read)[0], why)
