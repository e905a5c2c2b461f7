"""A recipe read exactly as written: what the chemistry thinks of it, in order of weight. Nothing is added.

Builds the batch, lets the solver work it out, and compares with what the recipe says of itself.
Called by api and the command line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from jamcalc import facts, filling, storage, turned_out
from jamcalc.answer import answer, yield_of
from jamcalc.assemble import put_together, title_of
from jamcalc.model import Batch, Estimate, Finding, Reading, Recipe, Settings
from jamcalc.outcome import BatchResult
from jamcalc.process import table_minutes
from jamcalc.recipefile import unfit_extras
from jamcalc.solver import FULL_SUGAR_SOLIDS_PERCENT, Solved, solve
from jamcalc.souring import LEMON, lemon_for_shelf_g
from jamcalc.wording import jar_words

MORE_THAN_TESTED = 1.06  # two makers' jars of one size differ by this much: data/jars.toml
YIELD_TOLERANCE_JARS = 1.0  # printed yields differ among themselves by a jar: YIELD-RECIPES


@dataclass(frozen=True, kw_only=True)
class Checked:
    """A recipe's answer and why it must not be made as written, or None."""

    result: BatchResult
    solved: Solved


def batch_of(recipe: Recipe, settings: Settings, readings: tuple[Reading, ...] = (), *, as_written: bool = True) -> Batch:
    """The batch that a recipe describes. `as_written` False: pectin, calcium and acid it lacks may be dosed."""
    stated = recipe.stated_yield
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
    unfit = unfit_extras(recipe.extras)
    has_pectin = any(line.role == "pectin" for line in recipe.lines)
    return replace(
        batch,
        dose_acid=not as_written,
        boiled_to_finish=as_written and not has_pectin and recipe.boil_min is None,
        pectin_g=batch.pectin_g if has_pectin or not as_written else 0.0,
        pectin_kind=batch.pectin_kind if has_pectin or not as_written else "none",
        calcium_water_ml=batch.calcium_water_ml if batch.calcium_water_ml is not None or not as_written else 0.0,
        extras=tuple(extra for extra in recipe.extras if extra not in unfit),
        unfit_extras=unfit,
        standing=recipe.standing,
        keep=recipe.keep,
        source_text=source_text(recipe),
        stated_yield=None if stated is None else Estimate(low=stated.low, typical=stated.middle, high=stated.high),
        title=recipe.title or title_of(batch.fruits),
    )


def _own(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def source_text(recipe: Recipe) -> str:
    """Who stands behind a recipe, in one line."""
    source = recipe.source
    if source is None:
        return ""
    parts = [source.by, source.title, str(source.year) if source.year else ""]
    return ", ".join(part for part in parts if part)


def check(recipe: Recipe, settings: Settings, readings: tuple[Reading, ...] = (), found: str | None = None, *, command: str = "check") -> Checked:
    """What the chemistry thinks of a recipe, exactly as written.

    Parameters
    ----------
    recipe : from recipefile; settings : jar, altitude and spoon weights
    readings : the cook's own measurements; found : how a jar turned out (runny, weeping, stiff, grainy), or None

    Returns
    -------
    Checked : `result.refused` says why it must not be put up as written: a high side over 4.60, an unfit fruit or
    extra, a jar too large, or a time under the table. A recipe kept cold is refused nothing but what no cold can mend.
    """
    stated = recipe.stated_yield
    if stated is not None and settings.jar == Settings().jar:
        settings = replace(settings, jar=stated.jar)
    batch = batch_of(recipe, settings, readings)
    solved = solve(batch)
    findings = [*_larger_jar(recipe, solved), *_time(recipe, solved), *_lemon(solved), *_set(solved), *_yield(recipe, solved)]
    findings += turned_out.advice(found, solved) if found else ()
    refused = None if recipe.keep == "cold" else _refusal(solved, findings)
    if refused and solved.verdict.storage == "shelf":
        verdict = storage.Verdict(storage="cold", keeping=storage.KEEP_COLD, findings=(), refused=refused)
        solved = replace(solved, verdict=verdict, process=None)
    result = answer(solved, command=command, findings=findings, refused=refused)
    if recipe.steps and result.storage == ("cold" if recipe.keep == "cold" else "shelf"):
        result = replace(result, order_of_work=recipe.steps)  # its own steps, unless it may not be put up as they say
    return Checked(result=result, solved=solved)


REFUSED = ("ph-over-limit", "do-not-can", "tested-only", "unfit-extra", "jar-too-large", "larger-jar", "altitude", "time-under-table")


def _refusal(solved: Solved, findings: list[Finding]) -> str | None:
    for finding in (*solved.verdict.findings, *findings):
        if finding.id in REFUSED:
            return finding.text
    return None


def _larger_jar(recipe: Recipe, solved: Solved) -> list[Finding]:
    """A jar larger than the one that a tested recipe was tested in: its middle heats more slowly than the test says."""
    stated, jar = recipe.stated_yield, facts.jar(solved.pot.batch.settings.jar)
    if recipe.standing != "tested" or stated is None or recipe.keep == "cold":
        return []
    own = facts.jar(stated.jar)
    if jar.fill_ml.typical <= MORE_THAN_TESTED * own.fill_ml.typical:
        return []
    return [Finding(id="larger-jar", text=f"This recipe was tested in {own.plural}: in {jar.plural} its time is not known.")]


def _time(recipe: Recipe, solved: Solved) -> list[Finding]:
    """A printed time under the table; a tested or a full-sugar recipe keeps its own."""
    jar = facts.jar(solved.pot.batch.settings.jar)
    if recipe.process_min is None or recipe.standing == "tested" or jar.size_class == "too large":
        return []
    if solved.pot.solids_percent >= FULL_SUGAR_SOLIDS_PERCENT:
        return []
    least = table_minutes(jar.size_class, jar.name)[0]
    if recipe.process_min >= least:
        return []
    text = f"{recipe.process_min:g} min is not for a low-sugar spread: a {jar.name} takes at least {least} min at 0-1,000 ft, and more higher up."
    return [Finding(id="time-under-table", text=text)]


def _lemon(solved: Solved) -> list[Finding]:
    """Lemon juice under what our reckoning asks for the shelf."""
    batch = solved.pot.batch
    if batch.keep == "cold" or not solved.shelf_open or batch.settings.batch_ph is not None:
        return []
    if solved.acidity.ph.high <= storage.SHELF_HIGH_SIDE_PH:
        return []
    needed = lemon_for_shelf_g(solved.pot.amounts)
    written = solved.pot.doses.lemon_g
    if needed is None:
        text = "No lemon juice in reason (150 g per kg of fruit) brings this mix's high side to 4.00."
        return [Finding(id="lemon-out-of-reach", text=text)]
    if needed <= written + 0.5:
        return []
    more_ml = (needed - written) / facts.acidulant(LEMON).g_per_ml.typical
    text = f"Lemon juice is under what our reckoning asks for the shelf: about {more_ml:.0f} mL more, bottled."
    return [Finding(id="lemon-short", text=text)]


def _set(solved: Solved) -> list[Finding]:
    """What set to expect, where calcium-set pectin is written."""
    batch, strength = solved.pot.batch, solved.gel_set.strength
    if batch.pectin_kind != "calcium-set" or strength == "medium":
        return []
    texts = {
        "none": "The pectin and calcium written here are too little to set this batch.",
        "soft": "Expect a soft set from the pectin and calcium written here.",
        "firm": "Expect a firm set, stiffer than most like it, from the pectin and calcium written here.",
    }
    return [Finding(id=f"set-{strength}", text=texts[strength])]


def _yield(recipe: Recipe, solved: Solved) -> list[Finding]:
    """A stated yield that the parts do not make."""
    stated = recipe.stated_yield
    if stated is None:
        return []
    made = yield_of(solved).jars.expected
    own, other = facts.jar(stated.jar), facts.jar(solved.pot.batch.settings.jar)
    headspace = solved.pot.batch.settings.headspace_mm
    made *= filling.fill_ml(other, headspace) / filling.fill_ml(own, headspace)
    if stated.low - YIELD_TOLERANCE_JARS <= made <= stated.high + YIELD_TOLERANCE_JARS:
        return []
    text = f"The parts make about {jar_words(own.name, round(made))}, not {_span(stated.low, stated.high)}."
    return [Finding(id="yield-differs", text=text)]


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"
