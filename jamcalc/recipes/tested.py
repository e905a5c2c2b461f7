"""Which recipe is a tested one: what comes with the program as tested, used as it ships or scaled by the program.

Compares what a recipe says, never its name or its title; a file's own word counts for nothing here.
"""

from __future__ import annotations

import math
from dataclasses import fields, replace
from functools import cache

from jamcalc.errors import JamcalcError
from jamcalc.nouns.said import Amount, Line
from jamcalc.nouns.written import Recipe, Standing
from jamcalc.reading import recipefile, supplied
from jamcalc.recipes import scaling

SAME = 1e-6  # relative; a measure that was written and read again
# What a cook may call it, where she cooks it, and what the program notes; yield and lines are read. An altitude chooses among the
# printed times and changes none.
FREE = {"title", "name", "altitude_ft", "scaled_from", "factor"}
COMPARED = tuple(field.name for field in fields(Recipe) if field.name not in {*FREE, "lines", "stated_yield"})


def standing(recipe: Recipe) -> Standing:
    """Who stands behind a recipe: "tested" for an unchanged one of ours alone, else what it says of itself and no more."""
    return "tested" if unchanged(recipe) else recipe.standing


def unchanged(recipe: Recipe) -> bool:
    """Whether this is a tested recipe that comes with the program: as it ships, or as the program scales it."""
    if recipe.source is None or recipe.source.standing != "tested":
        return False
    if not recipe.scaled_from:
        likely_first = sorted(supplied.names(), key=lambda name: name != recipe.name)
        return any(_same(recipe, shipped(name)) for name in likely_first)
    if recipe.factor is None or recipe.scaled_from not in supplied.names():
        return False
    jar = recipe.stated_yield.jar if recipe.stated_yield else None
    try:
        again = scaling.scale(shipped(recipe.scaled_from), times=recipe.factor, jar=jar).recipe
    except JamcalcError:
        return False
    return _same(recipe, again)


def unscaled(recipe: Recipe) -> tuple[Recipe, float]:
    """A recipe that the program has scaled as it ships, and how far it was scaled; any other as it is, and 1."""
    if recipe.scaled_from and recipe.factor is not None and unchanged(recipe):
        return shipped(recipe.scaled_from), recipe.factor
    return recipe, 1.0


@cache
def shipped(name: str) -> Recipe:
    """A recipe that comes with the program, by its name; a file in the folder of the same name is not asked."""
    return recipefile.read_shipped(name)


def _same(one: Recipe, other: Recipe) -> bool:
    if any(getattr(one, name) != getattr(other, name) for name in COMPARED) or len(one.lines) != len(other.lines):
        return False
    return _yield_of(one) == _yield_of(other) and all(_same_line(*pair) for pair in zip(one.lines, other.lines, strict=True))


def _yield_of(recipe: Recipe) -> tuple[float, float, str] | None:
    """The jars stated, in numbers: a recipe for another jar is another one."""
    stated = recipe.stated_yield
    return None if stated is None else (round(stated.low, 2), round(stated.high, 2), stated.jar)


def _same_line(one: Line, other: Line) -> bool:
    return (one.role, one.item, one.form) == (other.role, other.item, other.form) and _same_amount(one.amount, other.amount)


def _same_amount(one: Amount, other: Amount) -> bool:
    for mine, its in ((one.grams, other.grams), (one.ml, other.ml), (one.count, other.count)):
        if (mine is None) != (its is None):
            return False
        if mine is not None and its is not None and not math.isclose(mine, its, rel_tol=SAME):
            return False
    return True


def marked(recipe: Recipe, scaled: Recipe, factor: float) -> Recipe:
    """A scaled recipe with the name of the one that comes with the program and the factor; of any other recipe neither."""
    ours = recipe.name in supplied.names() and _same(recipe, shipped(recipe.name))
    return replace(scaled, scaled_from=recipe.name if ours else "", factor=factor if ours else None)
