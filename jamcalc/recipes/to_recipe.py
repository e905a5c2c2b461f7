"""An answer as a recipe file that check and scale read back to the same numbers.

What the cook wrote stays in the cook's words; what was dosed is written in the measures of the answer.
"""

from __future__ import annotations

from dataclasses import replace

from jamcalc import facts
from jamcalc.answers.answer import PECTIN_NAMES
from jamcalc.errors import InputError
from jamcalc.formula.mixture import LEMON
from jamcalc.nouns.outcome import BatchResult, Ingredient
from jamcalc.nouns.said import Line, Reading
from jamcalc.nouns.written import Recipe, StatedYield
from jamcalc.reading import lines, recipetext
from jamcalc.words.measures import CUP_ML
from jamcalc.words.phrases import sentence
from jamcalc.words.units import MIN_G


def file_text(result: BatchResult) -> str:
    """The text of the recipe file, with a note on top of the readings that it cannot hold."""
    note = reading_note(result)
    return (f"# {sentence(note)}\n" if note else "") + recipetext.write_text(recipe_of(result))


def as_written(recipe: Recipe, result: BatchResult) -> str:
    """The text of the recipe file of a recipe that was checked, with what a plain text told besides as notes on top.

    It remembers the altitude of the answer.
    """
    recipe = replace(recipe, title=result.title, altitude_ft=result.batch.settings.altitude_ft)
    return "".join(f"# {note}\n" for note in recipe.notes) + recipetext.write_text(recipe)


def reading_note(result: BatchResult) -> str:
    """What is missing in the file where there were readings; "" where there were none."""
    readings = dict.fromkeys(part.reading for part in result.batch.fruits if part.reading is not None)
    texts = [_reading_text(reading) for reading in readings]
    if result.batch.settings.batch_ph is not None:
        texts.append(f"batch pH {result.batch.settings.batch_ph:g}")
    again = " ".join(f'--reading "{text}"' for text in texts)
    return f"readings are not in a recipe file: for the same numbers check it with {again}" if texts else ""


def _reading_text(reading: Reading) -> str:
    """The reading as the cook gives it."""
    words = [reading.item.replace("_", " ")]
    for name, value in (("pH", reading.ph), ("TA", reading.titratable_percent), ("Brix", reading.soluble_solids_percent)):
        if value is not None:
            words.append(f"{name} {value:g}")
            if name == "TA" and reading.titrated_as:
                words.append(reading.titrated_as)
    return " ".join(words)


def recipe_of(result: BatchResult) -> Recipe:
    """The recipe of an answer: somebody's own formula, with no source."""
    batch, settings = result.batch, result.batch.settings
    written = [line for line in batch.lines if not (line.role == "acid" and line.item == LEMON)]
    roles = {line.role for line in batch.lines}
    swapped = [ingredient for ingredient in result.ingredients if result.acid is not None and ingredient.role == "acid"][-1:]
    for ingredient in result.ingredients:
        dosed = (
            ingredient.item == LEMON
            or ingredient in swapped
            or (ingredient.role in ("pectin", "calcium water") and ingredient.role not in roles)
            or _sized(result, ingredient)
        )
        if dosed:
            written.append(_line(ingredient, result))
    jars = result.yield_.jars
    low, high = int(jars.low + 0.5), int(jars.high + 0.5)
    return Recipe(
        title=result.title,
        kind="spread",
        lines=tuple(written),
        boil_min=None if batch.boiled_to_finish else settings.boil_min,  # until it jells, not for a time
        simmer_min=settings.simmer_min or None,
        covered=settings.covered,
        stated_yield=StatedYield(low=low, high=high, jar=settings.jar, text="") if low >= 1 else None,
        headspace_mm=settings.headspace_mm,
        process_min=result.process.by_band[0].minutes if result.process is not None else None,
        altitude_ft=settings.altitude_ft,
        keep="cold" if result.storage == "cold" else None,
        extras=(*batch.extras, *batch.unfit_extras),
        steps=tuple(task.for_any for task in result.tasks),
    )


def _sized(result: BatchResult, ingredient: Ingredient) -> bool:
    return any(part.grams is None and part.sweetener.key == ingredient.item for part in result.batch.sweeteners)


def _line(ingredient: Ingredient, result: BatchResult) -> Line:
    """The line that reads back to what the measure holds; grams where a spoon of it was weighed by the cook."""
    if ingredient.role in ("pectin", "calcium water"):
        name = PECTIN_NAMES[result.batch.pectin_kind] if ingredient.role == "pectin" else "calcium water"
    else:
        kind = "sweetener" if ingredient.role == "sweetener" else "acid"
        name = str(facts.table("items")[kind][ingredient.item][0])
    own_spoon = ingredient.role == "pectin" and result.batch.settings.pectin_g_per_tsp is not None
    text = f"{ingredient.grams:.6g} g {name}" if own_spoon else f"{ingredient.measure} {name}"
    try:
        line = lines.read_line(text)
    except InputError:  # a trace of an intense sweetener, or hundreds of cups: by weight either can be read
        return lines.read_line(f"{max(ingredient.grams, MIN_G):.6f} g {name}")
    if ingredient.role == "sweetener" and line.amount.ml is not None and line.amount.ml < 0.001 * CUP_ML:
        return lines.read_line(f"{ingredient.grams:.6g} g {name}")
    return line
