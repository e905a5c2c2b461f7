"""A recipe read exactly as written: what the chemistry thinks of it, in order of weight. Nothing is added.

Builds the batch, lets the solver work it out, and compares with what the recipe says of itself.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import replace

from jamcalc import facts
from jamcalc.answers import measuring, order_of_work, troubleshoot
from jamcalc.answers.answer import answer
from jamcalc.formula import ruling, storage
from jamcalc.formula.assemble import put_together
from jamcalc.formula.batch_acidity import lemon_for_shelf_g
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.solver import Solved, solve
from jamcalc.formula.swapping import LITTLE_ACID_G
from jamcalc.jars import filling
from jamcalc.jars.process import table_minutes
from jamcalc.labels import legal_name
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.nouns.outcome import BatchResult, Task
from jamcalc.nouns.said import Finding, FindingKind, Reading
from jamcalc.nouns.written import Recipe
from jamcalc.reading.extras import unfit_extras
from jamcalc.reading.recipetext import yield_text
from jamcalc.recipes import tested
from jamcalc.words import measures
from jamcalc.words.phrases import altitude, jar_words

YIELD_TOLERANCE_JARS = 1.0  # printed yields differ among themselves by a jar: YIELD-RECIPES
# Findings for which a recipe must not be put up as written; kept cold it is refused only what no cold mends.
NEVER: tuple[FindingKind, ...] = ("never",)
REFUSED: tuple[FindingKind, ...] = (*NEVER, "forbids", "too mild", "refuses")


def batch_of(recipe: Recipe, settings: Settings, readings: tuple[Reading, ...] = (), *, as_written: bool = True) -> Batch:
    """The batch that a recipe describes. `as_written` False: pectin, calcium and acid it lacks may be dosed."""
    settings = replace(
        settings,
        headspace_mm=recipe.headspace_mm or settings.headspace_mm,
        boil_min=_own(recipe.boil_min, settings.boil_min),
        simmer_min=_own(recipe.simmer_min, settings.simmer_min),
        covered=recipe.covered,
        own_process_min=recipe.process_min,
        store="cold" if recipe.keep == "cold" else settings.store,
    )
    batch = put_together(recipe.lines, settings, readings=readings, title=recipe.title)
    standing, times = tested.standing(recipe), ruling.times_of(recipe)
    untimed: tuple[Finding, ...] = ()
    if standing == "tested" and recipe.keep != "cold":
        untimed = ruling.untimed(times, facts.jar(settings.jar), settings.altitude_ft)
    unfit = unfit_extras(recipe.extras)
    has_pectin = any(line.role == "pectin" for line in recipe.lines)
    return replace(
        batch,
        dose_acid=not as_written,
        boil_given=recipe.boil_min is not None or not as_written,
        boiled_to_finish=as_written and not has_pectin and recipe.boil_min is None,
        pectin_g=batch.pectin_g if has_pectin or not as_written else 0.0,
        pectin_kind=batch.pectin_kind if has_pectin or not as_written else "none",
        calcium_water_ml=batch.calcium_water_ml if batch.calcium_water_ml is not None or not as_written else 0.0,
        extras=tuple(extra for extra in recipe.extras if extra not in unfit),
        unfit_extras=unfit,
        standing="published" if untimed else standing,  # an agency's, but not as it was tested
        printed_times=times if standing == "tested" else recipe.printed_times,
        untimed=untimed,
        keep=recipe.keep,
        keep_weeks=recipe.keep_weeks,
        freezes=_freezes(recipe),
        source_text=source_text(recipe),
        stated_yield=yield_text(recipe.stated_yield),
        title=recipe.title,
    )


def _freezes(recipe: Recipe) -> bool | None:
    """What the recipe says; where it is silent, gelatin must not be frozen, for it weeps (common practice)."""
    if recipe.freeze is None and any(legal_name.extra_does(extra, "sets") for extra in recipe.extras):
        return False
    return recipe.freeze


def _own(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def source_text(recipe: Recipe) -> str:
    """Who stands behind a recipe, in one line."""
    source = recipe.source
    if source is None:
        return ""
    year = str(source.year or "")
    parts = [source.by, source.title, year if year not in source.title else ""]  # a title may hold it already
    return ", ".join(part for part in parts if part)


def check(
    recipe: Recipe,
    settings: Settings,
    readings: tuple[Reading, ...] = (),
    set_found: str | None = None,
    *,
    command: str = "check",
    pots_counted: bool = False,
) -> BatchResult:
    """What the chemistry thinks of a recipe, exactly as written.

    Parameters
    ----------
    recipe : from recipefile; settings : the jar to fill, altitude and spoon weights
    readings : the cook's own measurements
    set_found : how a jar turned out (runny, weeping, stiff, grainy), or None
    command : what the answer is recorded as; pots_counted : the caller says in how many pots it is cooked

    Returns
    -------
    BatchResult : `refused` says why it must not be put up as written: a high side over 4.60, an unfit fruit or
    extra, a jar too large, or a time under the table. Kept cold, a recipe of one's own is refused a do-not-can fruit alone.
    """
    batch = batch_of(recipe, settings, readings)
    solved = solve(batch)
    findings = [*_time(recipe, solved), *_lemon(solved), *_yield(recipe, solved)]
    if batch.standing == "tested, on your word":
        findings.insert(0, storage.on_your_word(recipe.keep))
    findings += troubleshoot.advice(set_found, solved) if set_found else ()
    refused = _refusal(
        (*solved.verdict.findings, *findings), REFUSED if recipe.keep != "cold" else NEVER if batch.standing != "tested" else ()
    )
    if refused and solved.verdict.storage == "shelf":
        solved = replace(solved, verdict=storage.refused(refused), process=None)
    findings += _time_here(recipe, solved)
    result = answer(solved, command=command, findings=findings, refused=refused, pots_counted=pots_counted)
    if recipe.steps and result.storage == ("cold" if recipe.keep == "cold" else "shelf"):
        # its own steps, unless it may not be put up as they say
        tasks = measuring.with_step(order_of_work.of_a_recipe(recipe.steps, result.tasks), solved)
        result = replace(result, tasks=_in_these_jars(tasks, result))
    return result


def _in_these_jars(tasks: tuple[Task, ...], result: BatchResult) -> tuple[Task, ...]:
    """The recipe's own steps, with the jars and minutes of this batch where they speak of them in general."""
    if result.process is None:
        return tasks
    if result.process.altitude_ft is None:
        return tuple(order_of_work.timed_here(task, order_of_work.process_time(result.process)) for task in tasks)
    jars = order_of_work.to_heat(result.batch.settings.jar, result.yield_.jars.heat)
    return order_of_work.in_these_jars(tasks, jars, order_of_work.process_time(result.process))


def _refusal(findings: Iterable[Finding], kinds: Container[FindingKind]) -> str | None:
    return next((finding.text for finding in findings if finding.kind in kinds), None)


def _time(recipe: Recipe, solved: Solved) -> list[Finding]:
    """A printed time under the table; a tested or a full-sugar recipe keeps its own."""
    batch = solved.pot.batch
    jar = facts.jar(batch.settings.jar)
    row = ruling.printed_for(recipe.printed_times, jar)
    own = row.by_band[0] if row is not None else recipe.process_min
    if own is None or tested.standing(recipe) == "tested" or jar.size_class == "too large":
        return []
    if storage.own_time_stands(solved.pot.sugars_percent):
        least = facts.figure(facts.table("process")["limits"]["full_sugar_least_min"]).typical
        return [storage.time_raised(own, least)] if own < least else []
    least = table_minutes(jar.size_class, jar.name)[0]
    if own >= least:
        return []
    text = f"{own:g} min is not for a low-sugar spread: a {jar.name} takes at least {least} min near sea level, and more higher up."
    return [Finding(id="time-under-table", kind="refuses", text=text)]


def _time_here(recipe: Recipe, solved: Solved) -> list[Finding]:
    """That a step names fewer minutes than the jars take at this altitude: it will be read in the kitchen."""
    own, process, units = recipe.process_min, solved.process, solved.pot.batch.settings.units
    if own is None or process is None or process.altitude_ft is None or process.minutes <= own:
        return []
    if not any(order_of_work.OWN_MINUTES.search(step) for step in recipe.steps):
        return []
    lowest = process.by_band[0]
    text = f"Its {own:g} min are for {lowest.metres if units == 'metric' else lowest.feet}"
    text = f"{text}: at {altitude(process.altitude_ft, units)} boil the jars {process.minutes} min."
    return [Finding(id="minutes-here", kind="do", text=text)]


def _lemon(solved: Solved) -> list[Finding]:
    """Lemon juice under what our calculation asks for the shelf."""
    batch = solved.pot.batch
    if batch.standing == "tested" or batch.keep == "cold" or not solved.shelf_open or batch.settings.batch_ph is not None:
        return []
    if solved.acidity.ph.high <= storage.SHELF_HIGH_SIDE_PH:
        return []
    needed = lemon_for_shelf_g(solved.pot.amounts)
    written = solved.pot.doses.lemon_g
    if needed is None:
        most, aim = storage.MOST_LEMON_G_PER_KG, storage.SHELF_HIGH_SIDE_PH
        text = f"No lemon juice in reason ({most:.0f} g per kg of fruit) brings this mix's high side to {aim:.2f}."
        return [Finding(id="lemon-out-of-reach", kind="no mend", text=text)]
    if needed <= written + LITTLE_ACID_G:
        return []
    more_ml = (needed - written) / facts.acidulant(LEMON).g_per_ml.typical
    more = measures.measured(more_ml, solved.pot.batch.settings.units, never_less=True).text
    text = f"Lemon juice is under what we work out for the shelf: add {more} of bottled lemon juice."
    return [Finding(id="lemon-short", kind="mends", text=text)]


def _yield(recipe: Recipe, solved: Solved) -> list[Finding]:
    """A stated yield that the parts do not make."""
    stated = recipe.stated_yield
    if stated is None:
        return []
    if recipe.kind == "butter" and recipe.boil_min is None and recipe.simmer_min is None:
        text = "A butter is boiled down until it mounds, and how far that is we do not work out: go by the yield that the recipe states."
        return [Finding(id="boiled-down", kind="know", text=text)]
    jar_count = solved.yield_.jars.expected
    own, other = facts.jar(stated.jar), facts.jar(solved.pot.batch.settings.jar)
    headspace = solved.pot.batch.settings.headspace_mm
    jar_count *= filling.fill_ml(other, headspace) / filling.fill_ml(own, headspace)
    if stated.low - YIELD_TOLERANCE_JARS <= jar_count <= stated.high + YIELD_TOLERANCE_JARS:
        return []
    text = f"By our count it makes about {jar_words(own.name, round(jar_count))}, not {_span(stated.low, stated.high)}."
    return [Finding(id="yield-differs", kind="desk", text=text)]


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"
