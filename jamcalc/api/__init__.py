"""The Python calls: batch, check, scale and card, from plain words to an answer. The command line calls these too.

Reads every word with the same reader and hands the result to the same solver. Imported when first asked for;
what only check, scale and card need is imported in them, so that a plain batch does not wait for it.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from os import PathLike
from typing import IO, TYPE_CHECKING

from jamcalc import facts
from jamcalc.answers import answer, remarks
from jamcalc.api import wanted
from jamcalc.api.choices import (
    one_of,
    readings_from,
    refuse_idle,
    refuse_unknown,
    settings_from,
    sweetener_key,
    text,
    texts,
)
from jamcalc.errors import InputError
from jamcalc.formula import assemble
from jamcalc.formula.solver import Solved, solve
from jamcalc.kitchen import defaults
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.asked import Batch, Firmness, Settings, Storage, UnitSystem
from jamcalc.nouns.learned import NOTHING_LEARNED, Learned, Teaches
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding, Line
from jamcalc.nouns.written import Recipe
from jamcalc.reading import several
from jamcalc.reading.lines import read_item
from jamcalc.reading.readings import altitude_said, jars_wanted, of_its_kind
from jamcalc.words import phrases, quantities
from jamcalc.words.units import shown

if TYPE_CHECKING:
    from jamcalc.api.cards import CardAnswer
    from jamcalc.recipes.scaled import ScaleAnswer

__all__ = ["batch", "card", "check", "not_scaled", "readings_from", "recipe_from", "scale", "scale_answer", "settings_from"]

RecipeSaid = Recipe | Mapping[str, object] | list[str] | tuple[str, ...] | str | PathLike[str] | IO[bytes] | IO[str]
FOUND = ("runny", "weeping", "stiff", "grainy")


@refuse_unknown
def batch(
    lines: Sequence[str] | str,
    *,
    sweetener: str | None = None,
    reading: str | Sequence[str] | None = None,
    title: str = "",
    want: str | None = None,
    parts: str | None = None,
    on_hand: str | Sequence[str] | None = None,
    kitchen: Kitchen | None = None,
    set: Firmness | None = None,
    jar: str | None = None,
    altitude: str | float | None = None,
    store: Storage | None = None,
    boil: str | float | None = None,
    simmer: str | float | None = None,
    headspace: str | float | None = None,
    units: UnitSystem | None = None,
    sweetness: str | float | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    acid: str | None = None,
    draws: int | None = None,
    book: Teaches | None = None,
) -> BatchResult:
    """From fruit on hand to a formula, or from the jars wanted back to the fruit.

    Parameters
    ----------
    lines : str or sequence of str
        Ingredient lines, such as "3 lb plums"; with `want`, fruit names alone ask how much of each to buy.
    sweetener : str, optional
        A sweetener to be sized, by any of its names; "none" for none.
    reading : str or sequence of str, optional
        What was measured: "plum pH 3.4 TA 1.2 Brix 12", "batch pH 3.9" [pH at 25 degC; g acid per 100 g; g solids per 100 g].
    title : str, optional
        The name to print; the fruits' names otherwise.
    want : str, optional
        The jars wanted: "8 half-pints".
    parts : str, optional
        With `want` and names alone: "2:1", by weight of prepared fruit.
    on_hand : str or sequence of str, optional
        The jars there are to fill: "11 half-pints".
    kitchen : Kitchen, optional
        What the kitchen file says; every other option beats it.
    set : "soft", "medium" or "firm", optional
        How firm it sets; medium.
    jar : str, optional
        "half-pint" (the usual), "pint", "250 mL" ...
    altitude : str or float, optional
        Where the jars are processed: "4300 ft", "1300 m", or a number [ft].
    store : "shelf" or "cold", optional
        How it is to be kept; the shelf where it may.
    boil, simmer : str or float, optional
        Minutes at a rolling boil (2) and at a simmer (0) once everything is in [min].
    headspace : str or float, optional
        "1/4 in" (the usual), or a number [mm].
    units : "us" or "metric", optional
        The measures of the answer; us.
    sweetness : str or float, optional
        Sugar, or its equal, for 100 g of prepared fruit, 0 to 150 [g]; 16.
    pectin_spoon : str or float, optional
        What a level teaspoon of the calcium-set pectin weighs, 0.5 to 20 [g]; 3.0.
    calcium_spoon : str or float, optional
        Calcium in a teaspoon of the calcium water, 3 to 500 [mg]; 14.6.
    acid : str, optional
        "citric acid" or "bottled lime juice" in the place of bottled lemon juice.
    draws : int, optional
        Drawn batches for the low end of pH, 0 to 100,000; it decides nothing. 4,000.
    book : Book, optional
        The batch book to learn from, such as `jamcalc.Book()`; its own faults are a BookError.

    Returns
    -------
    BatchResult
        `.to_dict()` is the JSON that the command prints; `refused` is None, or why it must not be made so.

    Raises
    ------
    InputError
        What cannot be read, or lies outside its limits; OptionError for an option that is unknown or has nothing to work on.
    UnknownItem
        No such fruit, sweetener or jar; `near` has names that come close.
    NotPossible
        Understood, but not to be made as asked.

    Examples
    --------
    >>> answer = batch(["3 lb plums"], sweetener="honey", altitude="4300 ft")
    >>> answer.storage, answer.process.minutes
    ('shelf', 20)
    >>> answer.acidity.ph.low <= answer.acidity.ph.typical <= answer.acidity.ph.high <= 4.0
    True
    """
    if not isinstance(kitchen, Kitchen | None):
        raise InputError("kitchen is a Kitchen, such as jamcalc.Kitchen(altitude_ft=4300.0)")
    words = texts("ingredient lines", lines)
    given = {
        "set": set,
        "jar": jar,
        "altitude": altitude,
        "store": store,
        "boil": boil,
        "simmer": simmer,
        "headspace": headspace,
        "units": units,
        "sweetness": sweetness,
        "pectin_spoon": pectin_spoon,
        "calcium_spoon": calcium_spoon,
        "acid": acid,
        "draws": draws,
    }
    in_use = defaults.jar_in_use(None if jar is None else text("jar", jar), None if want is None else text("want", want), kitchen)
    want = None if want is None else of_its_kind(want, in_use)
    on_hand = [of_its_kind(jars, in_use) for jars in texts("on_hand", on_hand)] or None
    said = {**given, "sweetener": sweetener, "reading": reading, "title": title or None, "want": want, "parts": parts, "on_hand": on_hand}
    named_jar = None if jar is None else read_item(text("jar", jar), ("jar",)).key
    count, wanted_jar = (None, None) if want is None else jars_wanted(want)
    if wanted_jar is not None and named_jar not in (None, wanted_jar):
        raise InputError(f'--want "{shown(str(want))}" and --jar {shown(str(jar))} name two jars: write one')
    home = defaults.home(kitchen, given, on_hand, wanted_jar or named_jar)
    used_jar = facts.jar(wanted_jar).name if wanted_jar is not None else jar or defaults.own_jar(home)
    settings = settings_from(**{**home.options, "jar": used_jar})
    key, readings = sweetener_key(sweetener), readings_from(reading)

    @cache
    def learned(items: tuple[str, ...]) -> Learned:
        return NOTHING_LEARNED if book is None else book.learned(items)

    def quick_batch(ingredients: Sequence[Line]) -> Batch:
        quick = assemble.put_together(ingredients, replace(settings, draws=0), sweetener=key, readings=readings)
        return replace(quick, learned=Learned(jars=learned(_fruits(quick)).jars))

    ingredients, to_buy = _lines_of(words, None if parts is None else text("parts", parts), want, quick_batch)
    several.check_written(ingredients)
    pot = assemble.put_together(ingredients, settings, sweetener=key, readings=readings, title=text("title", title))
    refuse_idle(pot)
    pot = replace(pot, learned=learned(_fruits(pot)))
    solved, with_book, tables = (solve(pot), None, None) if pot.learned == NOTHING_LEARNED else _both_ways(pot)
    unsaid = () if key == "none" else remarks.unsweetened(pot)
    said_first = (*home.findings, *altitude_said(altitude), *unsaid)
    result = answer.answer(solved, command="batch", findings=said_first, pots_counted=bool(home.kitchen.pots))
    result = result if with_book is None else with_book(result)
    several.check_weights((part.role, part.as_bought_g or part.grams) for part in result.ingredients)
    if result.storage == "cold":
        from jamcalc.answers import instead

        more = instead.finding(solved.asked, result, instead.Said(words=words, options=said))
        result = replace(result, findings=(*result.findings, *more))
    if to_buy is not None:
        result = replace(result, findings=(to_buy, *result.findings))
    elif count is not None:
        result = wanted.compared(result, count)
    return defaults.fitted(result, home, fruit_on_hand=to_buy is None, tables=tables)


def _lines_of(
    words: list[str], parts: str | None, want: str | None, quick_batch: Callable[[Sequence[Line]], Batch]
) -> tuple[tuple[Line, ...], Finding | None]:
    """The lines as written; where jars are wanted, perhaps those to buy, and what to say of them."""
    if want is None and parts is None:
        return several.read_lines(words), None
    return wanted.lines_to_solve(words, parts, want, quick_batch)


def _fruits(batch: Batch) -> tuple[str, ...]:
    """The keys of its fruits, which the book is asked about."""
    return tuple(dict.fromkeys(part.fruit.key for part in batch.fruits))


def _both_ways(batch: Batch) -> tuple[Solved, Callable[[BatchResult], BatchResult], Callable[[], BatchResult]]:
    """A batch that the book has something to say of, what says so in its answer, and the answer by the tables alone."""
    from jamcalc.answers import from_book
    from jamcalc.formula import taught

    both = taught.solve_both_ways(batch)
    return both.answer, lambda result: from_book.told(result, both), partial(answer.answer, both.tables, command="batch")


def recipe_from(recipe: RecipeSaid) -> Recipe:
    """A Recipe from a Recipe, a mapping with the keys of a recipe file, ingredient lines, a path, a shipped name or a stream."""
    if isinstance(recipe, Recipe):
        return recipe
    if isinstance(recipe, Mapping):
        from jamcalc.reading import recipefile

        return recipefile.from_mapping(recipe)
    if isinstance(recipe, (list, tuple)):
        return Recipe(title="", kind="spread", lines=several.read_lines(list(recipe)))
    from jamcalc.pasted import reader

    return reader.read(recipe)


@refuse_unknown
def check(
    recipe: RecipeSaid,
    *,
    reading: str | Sequence[str] | None = None,
    found: str | None = None,
    jar: str | None = None,
    altitude: str | float | None = None,
    units: UnitSystem | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int | None = None,
) -> BatchResult:
    """What the chemistry thinks of a recipe exactly as written; nothing is added.

    Parameters
    ----------
    recipe : str, path, stream, mapping, list of str or Recipe
        A recipe file or one in plain text, the name of one that comes with the program, what a recipe file holds, or ingredient lines.
    reading : str or sequence of str, optional
        What was measured, as for `batch`.
    found : "runny", "weeping", "stiff" or "grainy", optional
        How it turned out, to be told why.
    jar : str, optional
        The jar to answer for; the recipe's own.
    altitude : str or float, optional
        "4300 ft", "1300 m", or a number [ft]; what the file remembers.
    units, pectin_spoon, calcium_spoon, draws : optional
        As for `batch`.

    Returns
    -------
    BatchResult
        `refused` says why it must not be made as written, or is None.

    Raises
    ------
    InputError
        What cannot be read; RecipeError lists every problem of a file, OptionError names an option that check does not have.
    UnknownItem
        No such recipe, fruit or jar; `near` has names that come close.

    Examples
    --------
    >>> answer = check("strawberry-rhubarb", altitude="4300 ft")
    >>> answer.standing, answer.storage, answer.refused
    ('published', 'shelf', None)
    """
    from jamcalc.recipes import checking

    written = recipe_from(recipe)
    several.check_sum(written.lines)
    if found is not None:
        one_of("found", found, FOUND)
    settings = settings_from(jar=jar, altitude=altitude, units=units, pectin_spoon=pectin_spoon, calcium_spoon=calcium_spoon, draws=draws)
    if jar is None and written.stated_yield is not None:
        settings = replace(settings, jar=written.stated_yield.jar)
    settings, said = _at_its_altitude(settings, written)
    result = checking.check(written, settings, readings_from(reading), found)
    if result.refused and isinstance(recipe, str | PathLike):
        from jamcalc.answers import instead

        asked = {"reading": reading, "altitude": altitude, "units": units, "pectin_spoon": pectin_spoon, "calcium_spoon": calcium_spoon}
        said = (*said, *instead.of_recipe(result, str(recipe), asked))
    return replace(result, findings=(*written.taken, *result.findings, *said, *altitude_said(altitude)))


def _at_its_altitude(settings: Settings, recipe: Recipe) -> tuple[Settings, tuple[Finding, ...]]:
    """The altitude that a recipe file remembers, where neither an option nor the kitchen gives one; and that it was taken from there."""
    if settings.altitude_ft is not None or recipe.altitude_ft is None:
        return settings, ()
    words = f"Altitude {phrases.altitude(recipe.altitude_ft, settings.units)}, as the recipe file says."
    return replace(settings, altitude_ft=recipe.altitude_ft), (Finding(id="altitude-from-recipe", kind="desk", text=words),)


@refuse_unknown
def scale(
    recipe: RecipeSaid,
    *,
    times: str | float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    sweetener: str | None = None,
    jar: str | None = None,
    altitude: str | float | None = None,
    units: UnitSystem | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int | None = None,
) -> Recipe:
    """A recipe up or down, in measures that a kitchen owns; acid is never rounded down.

    Parameters
    ----------
    recipe : str, path, stream, mapping or Recipe
        As for `check`.
    times : str or float, optional
        The factor: 1.5, or "1 1/2". Give one of times, fruit and want.
    fruit : str or sequence of str, optional
        The fruit on hand: "5 lb plums"; of several the scarcest decides.
    want : str, optional
        The jars wanted: "9 half-pints", or "9 jars" of the kind in use.
    sweetener : str, optional
        Another sweetener, sized to the same sweetness: a calculated formula then.
    jar : str, optional
        The jar to fill, where it is another than the recipe's.
    altitude : str or float, optional
        "4300 ft", "1300 m", or a number [ft].
    units, pectin_spoon, calcium_spoon, draws : optional
        As for `batch`.

    Returns
    -------
    Recipe
        The whole batch; `jamcalc.scale_answer`, with the same options, has the table of measures, the pots and the chemistry too.

    Raises
    ------
    InputError
        None or two of the three ways, or what cannot be read; OptionError for an option that scale does not have.
    UnknownItem
        No such recipe, sweetener or jar.
    NotPossible
        A larger jar than was tested, or less fruit than a packet of pectin needs.

    Examples
    --------
    >>> [line.text for line in scale("strawberry-rhubarb", times=2).lines][:2]
    ['4 cups mashed strawberries', '4 cups mashed rhubarb']
    """
    return scale_answer(
        recipe,
        times=times,
        fruit=fruit,
        want=want,
        sweetener=sweetener,
        jar=jar,
        altitude=altitude,
        units=units,
        pectin_spoon=pectin_spoon,
        calcium_spoon=calcium_spoon,
        draws=draws,
    ).recipe


@refuse_unknown
def scale_answer(
    recipe: RecipeSaid,
    *,
    times: str | float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    sweetener: str | None = None,
    jar: str | None = None,
    altitude: str | float | None = None,
    units: UnitSystem | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int | None = None,
) -> ScaleAnswer:
    """Everything that `scale` works out: the recipe, its table, pots, left-overs and the answer for the whole. Options as there."""
    from jamcalc.recipes import scaled

    key = sweetener_key(sweetener)
    if key == "none":
        raise InputError("a recipe without its sweetener is another recipe: take the line out of a copy of the file, and check that")
    factor = quantities.read_factor(times) if isinstance(times, str) else times
    written = recipe_from(recipe)
    several.check_sum(written.lines)
    chosen = settings_from(altitude=altitude, units=units, pectin_spoon=pectin_spoon, calcium_spoon=calcium_spoon, draws=draws)
    settings, said = _at_its_altitude(chosen, written)
    said = (*written.taken, *said, *altitude_said(altitude))
    fruits = None if fruit is None else texts("fruit", fruit)
    if want is not None:
        in_use = defaults.jar_in_use(jar, None, None) if jar or written.stated_yield is None else written.stated_yield.jar
        want = of_its_kind(text("want", want), in_use)
    whole = scaled.scale(written, settings, times=factor, fruit=fruits, want=want, jar=jar, sweetener=key)
    several.check_sum(whole.recipe.lines)
    recipe_here = replace(whole.recipe, altitude_ft=settings.altitude_ft)
    return replace(whole, recipe=recipe_here, result=replace(whole.result, findings=(*whole.result.findings, *said)))


def not_scaled(
    recipe: RecipeSaid,
    why: str,
    *,
    altitude: str | float | None = None,
    units: UnitSystem | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int | None = None,
) -> BatchResult:
    """The answer for a recipe that must not be scaled as asked: the recipe as it stands, in its own jars, and why not."""
    from jamcalc.recipes import scaled

    written = recipe_from(recipe)
    settings = settings_from(altitude=altitude, units=units, pectin_spoon=pectin_spoon, calcium_spoon=calcium_spoon, draws=draws)
    return scaled.refused(written, _at_its_altitude(settings, written)[0], why)


@refuse_unknown
def card(
    recipe: RecipeSaid,
    *,
    reading: str | Sequence[str] | None = None,
    title: str = "",
    class_name: str = "",
    lot: str = "",
    date: str | datetime.date = "",
    exhibitor: str = "",
    method: str = "",
    origin: str = "",
    weight: bool = False,
    strict: bool = False,
    jar: str | None = None,
    altitude: str | float | None = None,
    units: UnitSystem | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    draws: int | None = None,
) -> CardAnswer:
    """The card for a fair entry and the labels of its jars, from a recipe as written; what is unknown stays a blank.

    Parameters
    ----------
    recipe : str, path, stream, mapping or Recipe
        As for `check`.
    reading : str or sequence of str, optional
        What was measured, as for `batch`.
    title, class_name, lot : str, optional
        The name to print; class and lot of the fair.
    date : str or datetime.date, optional
        The day it was processed, in full: "2026-07-14".
    exhibitor : str, optional
        The maker; printed only where given.
    method : str, optional
        How the jars were processed, where not in a boiling-water canner.
    origin : str, optional
        Whose recipe it is, where the file does not say.
    weight : bool, optional
        Whether to print the net weight of a jar.
    strict : bool, optional
        Whether to refuse a card with blanks.
    jar, altitude, units, pectin_spoon, calcium_spoon, draws : optional
        As for `check`.

    Returns
    -------
    CardAnswer
        `.card.fields` and `.card.blanks`; `.to_text()`, `.to_html()` and `.to_dict()`; `.refused` is None, or why not to print it.

    Raises
    ------
    InputError
        A text too long for a card, a date that is no full one, or what `check` cannot read; OptionError for an unknown option.
    UnknownItem
        No such recipe or jar.

    Examples
    --------
    >>> entry = card("strawberry-rhubarb", date="2026-07-14", altitude="4300 ft")
    >>> entry.card.value("date"), entry.card.blanks
    ('July 14, 2026', ('class', 'lot'))
    """
    from jamcalc.api.cards import CardAnswer
    from jamcalc.labels import nutrition
    from jamcalc.labels.card import content
    from jamcalc.nouns.label import CardRequest

    result = check(
        recipe,
        reading=reading,
        jar=jar,
        altitude=altitude,
        units=units,
        pectin_spoon=pectin_spoon,
        calcium_spoon=calcium_spoon,
        draws=draws,
    )
    request = CardRequest(
        title=text("title", title),
        class_name=text("class_name", class_name),
        lot=text("lot", lot),
        date=date.isoformat() if isinstance(date, datetime.date) else text("date", date),
        exhibitor=text("exhibitor", exhibitor),
        method=text("method", method),
        recipe=text("origin", origin),
        net_weight_g=nutrition.net_weight_g(result, facts.jar(result.batch.settings.jar)) if weight else None,
        strict=strict,
    )
    return CardAnswer(card=content(result, request), result=result)
