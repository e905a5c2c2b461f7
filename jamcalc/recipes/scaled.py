"""The answer of `scale`: the scaled recipe, its table of measures, and what the chemistry makes of it.

A tested recipe that is only scaled keeps its test; another sweetener makes a calculated formula of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from jamcalc import facts
from jamcalc.answers import keeping, measuring, order_of_work
from jamcalc.answers.answer import answer
from jamcalc.chemistry import sweetness
from jamcalc.errors import InputError
from jamcalc.formula import storage
from jamcalc.formula.batch_acidity import fruit_g
from jamcalc.formula.solver import solve
from jamcalc.jars.canner import several_loads
from jamcalc.nouns.asked import Batch, Settings, SweetenerPart
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding, Line
from jamcalc.nouns.written import Recipe
from jamcalc.recipes import checking, scaling, tested
from jamcalc.recipes.portions import ScaledRow, portion, scaled_row, together
from jamcalc.recipes.to_recipe import recipe_of
from jamcalc.words.phrases import joined, likely_jars, sentence

BATCH_PER_FRUIT = 1.25  # finished batch to fruit, by weight; asked only of a sweetener that saturates (judgement)


@dataclass(frozen=True, kw_only=True, repr=False)
class ScaleAnswer:
    """`scaled` holds the table and the pots; `recipe` is what to save; `result` is the answer for the whole."""

    scaled: scaling.Scaled
    recipe: Recipe
    result: BatchResult

    def __repr__(self) -> str:
        """A few lines: the factor, then the answer for the whole."""
        return f"<ScaleAnswer: {self.scaled.factor:g} times, {self.scaled.pots.number} pots\n {self.result!r}>"

    def to_dict(self) -> dict[str, Any]:
        """The JSON of every answer, with the scaling beside it."""
        scaled = self.scaled
        return {
            **self.result.to_dict(),
            "scaled": {
                "factor": round(scaled.factor, 4),
                "rows": [_row(row) for row in scaled.rows],
                "pots": {"number": scaled.pots.number, "rows": [_row(row) for row in scaled.pots.rows]},
                "left_over": [{"item": part.item, "grams": round(part.grams, 1), "text": part.text} for part in scaled.left_over],
            },
        }


def _row(row: ScaledRow) -> dict[str, Any]:
    return {
        "item": row.item,
        "tested": row.tested_text,
        "exactly": row.exact_text,
        "measure": row.measure_text,
        "off_percent": None if row.off_percent is None else round(row.off_percent, 1),
    }


def scale(
    recipe: Recipe,
    settings: Settings,
    *,
    times: float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    jar: str | None = None,
    sweetener: str | None = None,
) -> ScaleAnswer:
    """Scale a recipe one way (times, fruit or want), then work the whole out.

    Parameters
    ----------
    settings : altitude, units and spoon weights; sweetener : the key of another sweetener, sized to the same sweetness

    Raises
    ------
    InputError, NotPossible : as scaling.scale
    """
    predicted = None
    if want is not None and recipe.stated_yield is None:
        predicted = checking.check(recipe, replace(settings, draws=0)).yield_.jars.expected
    if sweetener is not None and times is None and fruit is None and want is None:
        times = 1.0
    saved = recipe
    recipe, before = tested.unscaled(recipe)  # measures are rounded once, from the recipe as it ships
    if recipe is not saved:
        if times is not None or (jar is not None and fruit is None and want is None):
            times = (1.0 if times is None else times) * before
        if jar is None and want is None and saved.stated_yield is not None:
            jar = saved.stated_yield.jar
    scaled = scaling.scale(recipe, times=times, fruit=fruit, want=want, jar=jar, predicted_jars=predicted, units=settings.units)
    scaled = replace(scaled, recipe=tested.marked(recipe, scaled.recipe, scaled.factor))
    if scaled.jar is not None:
        settings = replace(settings, jar=scaled.jar)
    if sweetener is not None:
        return _swapped(recipe, scaled, settings, sweetener)
    checked = checking.check(scaled.recipe, settings, command="scale", pots_counted=True)
    return ScaleAnswer(scaled=scaled, recipe=scaled.recipe, result=_with(checked, scaled.findings))


def refused(recipe: Recipe, settings: Settings, why: str) -> BatchResult:
    """The answer for a recipe that must not be scaled as asked: the recipe as it stands, in its own jars, and the reason."""
    if recipe.stated_yield is not None:
        settings = replace(settings, jar=recipe.stated_yield.jar)
    result = checking.check(recipe, settings, command="scale")
    verdict = storage.refused(why)
    kept = keeping.kept(verdict.keeping, units=settings.units, standing="calculated", own_weeks=None, freezes=None)
    return replace(result, refused=why, storage=verdict.storage, keeping=kept, process=None)


def _with(result: BatchResult, findings: Sequence[Finding]) -> BatchResult:
    """The scaling's findings in front, each id once; the canner's loads by the jars that this answer expects."""
    if result.process is not None:
        findings = (*findings, *several_loads(result.yield_.jar, likely_jars(result.yield_.jars)))
    own = {finding.id for finding in findings}
    return replace(result, findings=(*findings, *(finding for finding in result.findings if finding.id not in own)))


# ---------------------------------------------------------------- another sweetener


def _swapped(recipe: Recipe, scaled: scaling.Scaled, settings: Settings, key: str) -> ScaleAnswer:
    """The scaled recipe with another sweetener: sized in one pot, and the pots sum to the whole here too."""
    number = scaled.pots.number
    result = _resolved(scaled.pots.recipe, settings, key)
    share = recipe_of(result)
    if number > 1:
        lines = tuple(together(line, number) for line in share.lines)
        kept = scaled.recipe
        whole = replace(share, lines=lines, extras=kept.extras, stated_yield=None, process_min=kept.process_min, keep=kept.keep)
        result = answer(solve(checking.batch_of(whole, settings)), command="scale", pots_counted=True)
    swapped = recipe_of(result)
    rows = _rows(recipe, swapped.lines, scaled.factor)
    share_rows = _rows(recipe, share.lines, scaled.factor / number)
    own = scaled.recipe.steps
    steps_stand = result.tasks in ((), (measuring.TASKS[settings.units],)) and bool(own)
    if steps_stand:
        tasks = order_of_work.of_a_recipe(own, ())
        tasks = measuring.before_filling(tasks, settings.units) if result.tasks else tasks
        result = replace(result, tasks=tasks)
        swapped = replace(swapped, steps=own)
    findings = (*_what_is_new(result, rows, facts.sweetener(key).name, steps_stand), *scaled.findings)
    scaled = replace(scaled, recipe=swapped, rows=rows, pots=scaling.Pots(number=number, recipe=share, rows=share_rows))
    return ScaleAnswer(scaled=scaled, recipe=swapped, result=_with(result, findings))


def _resolved(recipe: Recipe, settings: Settings, key: str) -> BatchResult:
    """One pot with another sweetener: sweetness, calcium and yield found anew, acid at least as it was, no pectin where there was none."""
    written = checking.batch_of(recipe, settings)
    if not written.sweeteners:
        raise InputError("no sweetener stands among the ingredients of this recipe, so there is none to be changed for another")
    kept = tuple(line for line in recipe.lines if line.role not in ("sweetener", "calcium water"))
    batch = checking.batch_of(replace(recipe, lines=kept, source=None, stated_yield=None), settings, as_written=False)
    if written.pectin_kind == "none":
        batch = replace(batch, pectin_g=0.0, pectin_kind="none", boiled_to_finish=written.boiled_to_finish)
    return answer(
        solve(
            replace(
                batch,
                sweeteners=(SweetenerPart(sweetener=facts.sweetener(key), grams=None),),
                settings=replace(batch.settings, sweetness_percent=_equivalents_percent(written)),
                title="",  # the old one may name the old sweetener, and goes on the label
            )
        ),
        command="scale",
        pots_counted=True,
    )


def _rows(recipe: Recipe, lines: Sequence[Line], factor: float) -> tuple[ScaledRow, ...]:
    """The table: each line of the recipe and what became of it, then what it does not have."""
    left, rows = list(lines), []
    for old in recipe.lines:
        new = next((line for line in left if (line.role, line.item) == (old.role, old.item)), None)
        if new is None:
            rows.append(_new_row(old, tested_text=old.amount.text, measure_text="none"))
            continue
        left.remove(new)
        if (new.amount.grams is None) == (old.amount.grams is None):
            rows.append(scaled_row(old, new, factor))
        else:  # a weight against a volume
            rows.append(
                _new_row(old, tested_text=old.amount.text, exact_text=portion(old, factor).amount.text, measure_text=new.amount.text)
            )
    return (*rows, *(_new_row(line, measure_text=line.amount.text) for line in left))


def _new_row(line: Line, *, measure_text: str, tested_text: str = "", exact_text: str = "") -> ScaledRow:
    return ScaledRow(
        item=line.words, role=line.role, tested_text=tested_text, exact_text=exact_text, measure_text=measure_text, off_percent=None
    )


def _what_is_new(result: BatchResult, rows: Sequence[ScaledRow], name: str, steps_stand: bool) -> tuple[Finding, ...]:
    """That it is another formula now, what it has that the recipe has not, and what is not known of it."""
    text = "With another sweetener this is no longer the recipe as tested or printed: it is a calculated formula."
    if steps_stand:
        text += f" Its steps are the recipe's own: read {name} where they say another."
    findings = [Finding(id="substituted", kind="know", text=text)]
    added = [f"{row.measure_text} {row.item}" for row in rows if not row.tested_text and row.role != "sweetener"]
    if added:
        findings.append(Finding(id="added", kind="know", text=f"{sentence(joined(added))}: added, for the recipe has none."))
    if result.batch.pectin_kind != "calcium-set":
        text = "Its set is not worked out, for only calcium-set pectin is: with another sweetener it may stay softer, or not set."
        findings.append(Finding(id="set-not-reckoned", kind="know", text=text))
    return tuple(findings)


def _equivalents_percent(batch: Batch) -> float:
    """The sweetness of the sweeteners as written, as sugar per 100 g of fruit."""
    mass = fruit_g(batch)
    total = sum(
        sweetness.sugar_equivalents_g(part.sweetener, part.grams, BATCH_PER_FRUIT * mass)
        for part in batch.sweeteners
        if part.grams is not None
    )
    return 100.0 * total / mass
