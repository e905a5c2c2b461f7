"""The answer of `scale`: the scaled recipe, its table of measures, and what the chemistry makes of it.

A tested recipe that is only scaled keeps its test; another sweetener makes a calculated formula of it.
Called by the command line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from jamcalc import checking, facts, scaling, sweetness
from jamcalc.answer import answer
from jamcalc.model import Batch, Finding, Recipe, Settings, SweetenerPart
from jamcalc.outcome import BatchResult
from jamcalc.solver import solve
from jamcalc.souring import fruit_g
from jamcalc.writeout import recipe_of


@dataclass(frozen=True, kw_only=True)
class ScaleAnswer:
    """`scaled` holds the table and the pots; `recipe` is what to save; `result` is contract section 4 for the whole."""

    scaled: scaling.Scaled
    recipe: Recipe
    result: BatchResult

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


def _row(row: scaling.ScaledRow) -> dict[str, Any]:
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
        predicted = checking.check(recipe, replace(settings, draws=0)).result.yield_.jars.expected
    if sweetener is not None and times is None and fruit is None and want is None:
        times = 1.0
    scaled = scaling.scale(recipe, times=times, fruit=fruit, want=want, jar=jar, predicted_jars=predicted)
    if sweetener is not None:
        result = _swapped(scaled, settings, sweetener)
        return ScaleAnswer(scaled=scaled, recipe=replace(recipe_of(result), title=scaled.recipe.title, kind=scaled.recipe.kind), result=result)
    checked = checking.check(scaled.recipe, settings, command="scale").result
    return ScaleAnswer(scaled=scaled, recipe=scaled.recipe, result=_with(checked, scaled.findings))


def _with(result: BatchResult, findings: Sequence[Finding]) -> BatchResult:
    """The scaling's findings in front, each id once."""
    own = {finding.id for finding in findings}
    return replace(result, findings=(*findings, *(finding for finding in result.findings if finding.id not in own)))


def _swapped(scaled: scaling.Scaled, settings: Settings, key: str) -> BatchResult:
    """The scaled recipe with another sweetener: sweetness, calcium and yield found anew, acid at least as it was."""
    written = checking.batch_of(scaled.recipe, settings)
    bare = replace(scaled.recipe, lines=tuple(line for line in scaled.recipe.lines if line.role not in ("sweetener", "calcium water")), source=None)
    batch = checking.batch_of(bare, settings, as_written=False)
    sized = SweetenerPart(sweetener=facts.sweetener(key), grams=None)
    batch = replace(batch, sweeteners=(sized,), settings=replace(batch.settings, sweetness_percent=_equivalents_percent(written)))
    text = "With another sweetener this is no longer the recipe as tested or printed: it is a calculated formula."
    findings = (Finding(id="substituted", text=text), *scaled.findings)
    return answer(solve(batch), command="scale", findings=findings)


def _equivalents_percent(batch: Batch) -> float:
    """The sweetness of the sweeteners as written, as sugar per 100 g of fruit."""
    mass = fruit_g(batch)
    total = sum(sweetness.sugar_equivalents_g(part.sweetener, part.grams, 1.25 * mass) for part in batch.sweeteners if part.grams is not None)
    return 100.0 * total / mass
