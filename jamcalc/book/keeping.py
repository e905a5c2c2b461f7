"""An answer as a batch of the book: what is needed to look back, and the papers that let it be read as it was.

Opens no book.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import UTC, date, datetime
from typing import Any

from jamcalc import __version__, facts
from jamcalc.answers.record import item_dict
from jamcalc.chemistry import setting
from jamcalc.chemistry.acidity import pool_ph
from jamcalc.formula.batch_acidity import Sourables, high_side_ph
from jamcalc.formula.mixture import LEMON, soluble_percent
from jamcalc.kept.entries import LONGEST_TITLE, FruitOf, Kept, Papers
from jamcalc.kept.exchange import compact
from jamcalc.kept.safety import size_of
from jamcalc.lessons import basis
from jamcalc.lessons.basis import Basis, OnlyFruit, Read
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Reading
from jamcalc.nouns.written import Recipe
from jamcalc.reading import recipetext
from jamcalc.recipes import to_recipe
from jamcalc.words.phrases import plain


def moment() -> str:
    """The moment of writing, as the book has it: UTC, to the second."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def kept(
    result: BatchResult,
    *,
    asked: Mapping[str, Any] | None = None,
    answer: Mapping[str, Any] | None = None,
    recipe: Recipe | None = None,
    screen: str = "",
    day_made: date | None = None,
    written: str | None = None,
) -> Kept:
    """The batch of an answer, without a number yet.

    Parameters
    ----------
    result : of batch, check or scale
    asked : the command's words and options, as typed
    answer : the JSON answer, where there is more to it than `result` holds; recipe : likewise, of scale
    screen : the answer as it stood on the screen
    day_made : the day it is made; None: today
    """
    settings = result.batch.settings
    half_pint, pint = _minutes(result)
    yield_ = result.yield_
    return Kept(
        uid=uuid.uuid4().hex,
        title=plain(result.title)[:LONGEST_TITLE] or "Spread",
        made=day_made or date.today(),
        written=written or moment(),
        version=__version__,
        command=result.command,
        standing=result.standing,
        storage=result.storage,
        own_weeks=result.batch.keep_weeks,
        freezes=result.batch.freezes,
        altitude_ft=settings.altitude_ft,
        batch_ph=settings.batch_ph,
        jar=settings.jar,
        jars=Estimate(low=yield_.jars.low, typical=yield_.jars.expected, high=yield_.jars.high),
        ph=result.acidity.ph,
        solids_percent=result.solids_percent,
        minutes_half_pint=half_pint,
        minutes_pint=pint,
        fruits=_fruits(result),
        papers=Papers(
            asked=compact(
                {"command": result.command, **(asked or {}), "settings": asdict(settings), basis.KEY: basis.as_dict(by_tables(result))}
            ),
            answer=compact(dict(answer) if answer is not None else result.to_dict()),
            recipe=recipetext.write_text(recipe if recipe is not None else to_recipe.recipe_of(result)),
            screen="\n".join(plain(line) for line in screen.splitlines()),
            figures=_figures(result),
        ),
    )


def _minutes(result: BatchResult) -> tuple[int | None, int | None]:
    """Minutes answered for jars up to a half-pint, and up to a pint: of the jar counted in, and of every load in this kitchen."""
    minutes: dict[str, int] = {}
    if result.process is not None:
        minutes[size_of(result.batch.settings.jar)] = result.process.minutes
        for load in result.kitchen.loads if result.kitchen is not None else ():
            for jar in load.jars:
                size = size_of(jar.jar)
                minutes[size] = min(load.minutes, minutes.get(size, load.minutes))
    return minutes.get("half-pint"), minutes.get("pint")


def _fruits(result: BatchResult) -> tuple[FruitOf, ...]:
    """Each fruit once, however many lines it had."""
    grams: dict[str, float] = {}
    bought: dict[str, float] = {}
    for part in result.batch.fruits:
        grams[part.fruit.key] = grams.get(part.fruit.key, 0.0) + part.grams
        bought[part.fruit.key] = bought.get(part.fruit.key, 0.0) + part.as_bought_g
    return tuple(FruitOf(item=key, grams=grams[key], as_bought_g=bought[key]) for key in grams)


def _figures(result: BatchResult) -> tuple[tuple[str, str], ...]:
    """The facts of everything in the pot, with their sources and grades."""
    batch = result.batch
    items: dict[str, Any] = {
        **{part.fruit.key: part.fruit for part in batch.fruits},
        **{part.sweetener.key: part.sweetener for part in batch.sweeteners},
        **{part.acidulant.key: part.acidulant for part in batch.acids},
        batch.settings.jar: facts.jar(batch.settings.jar),
    }
    return tuple((key, compact(item_dict(item))) for key, item in items.items())


# ---------------------------------------------------------------- what the tables alone said


def by_tables(result: BatchResult) -> Basis:
    """What the tables alone would have said of an answer, for what came of it to be held against."""
    batch, pectin = result.batch, result.pectin
    figures = Basis(jars=result.yield_.jars.expected / batch.learned.jars_filled, read=_read(batch))
    if pectin.by_tables_g is not None and pectin.grams > 0.0:
        water = result.calcium_water
        figures = replace(
            figures,
            pectin_needed_g=pectin.by_tables_g,
            pectin_g=pectin.grams,
            calcium_mg=result.gel_set.calcium_mg_per_g_pectin * pectin.grams,
            calcium_water_mg=water.calcium_mg,
            calcium_water_ml=water.ml,
            most_calcium_mg_per_g=setting.most_ratio(result.solids_percent.typical) * setting.calcium_mg_per_g_at_ratio_1(),
        )
    return replace(figures, only=_only(result)) if len({part.fruit.key for part in batch.fruits}) == 1 else figures


def _read(batch: Batch) -> tuple[Read, ...]:
    """The cook's own readings of the fruit, once for each kind."""
    readings = {}
    for part in batch.fruits:
        if (said := part.reading) is not None and (said.ph is not None or said.soluble_solids_percent is not None):
            solids = None if said.soluble_solids_percent is None else soluble_percent(part).typical
            readings[part.fruit.key] = Read(item=part.fruit.key, ph=said.ph, solids_percent=solids)
    return tuple(readings.values())


def _only(result: BatchResult) -> OnlyFruit:
    """The one fruit of a batch, with what the tables make of the batch as it was dosed."""
    batch = result.batch
    first = batch.fruits[0]
    fruit = facts.fruit(first.fruit.key)
    lemon_g = sum(ingredient.grams for ingredient in result.ingredients if ingredient.item == LEMON)
    dosed = [ingredient.grams for ingredient in result.ingredients if ingredient.role == "sweetener"]
    amounts = Sourables(
        batch=replace(batch, fruits=tuple(replace(part, fruit=fruit) for part in batch.fruits)),
        sweetener_g=tuple(dosed),
        added_water_g=batch.water_g + result.calcium_water.ml,
        lemon_g=lemon_g,
    )
    middle = fruit.ph.typical if first.ph_read is None else first.ph_read
    ends = [pool_ph(_with_ph(amounts, middle + shift).pool("typical")) for shift in (-basis.SHIFT_PH, basis.SHIFT_PH)]
    return OnlyFruit(
        item=fruit.key,
        ph=middle,
        ph_high=fruit.ph.high,
        batch_ph=pool_ph(_with_ph(amounts, middle).pool("typical")),
        batch_ph_high=high_side_ph(amounts),
        slope=max((ends[1] - ends[0]) / (2.0 * basis.SHIFT_PH), basis.LEAST_SLOPE),
        solids_percent=soluble_percent(first).typical,
        batch_solids_percent=result.solids_percent.typical,
        spread_per_fruit=result.yield_.mass_g.typical / sum(part.grams for part in batch.fruits),
    )


def _with_ph(amounts: Sourables, ph: float) -> Sourables:
    def read(part: FruitPart) -> FruitPart:
        said = part.reading or Reading(item=part.fruit.key)
        return replace(part, reading=replace(said, ph=ph))

    return replace(amounts, batch=replace(amounts.batch, fruits=tuple(read(part) for part in amounts.batch.fruits)))
