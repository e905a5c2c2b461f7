"""A batch in the jars, the canner and the pots that a kitchen has: what fits, what does not, and what to do with the rest.

Asks jarmix which jars to fill, canner which go in together and in how many pots to cook, process how long; works out no jam itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from jamcalc import facts
from jamcalc.answers import order_of_work
from jamcalc.errors import InputError
from jamcalc.formula import storage
from jamcalc.formula.mixture import mashed_cups
from jamcalc.jars import canner, filling
from jamcalc.jars.mix import JarPlan, Stock, plan
from jamcalc.jars.process import process_for, process_notes
from jamcalc.kitchen.household import Kitchen, jars_told
from jamcalc.nouns.known import Jar
from jamcalc.nouns.outcome import BatchResult, CannerLoad, Ingredient, JarsOf, KitchenPlan, PotShare, Share
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import Process
from jamcalc.words import measures
from jamcalc.words.phrases import all_jars, bought, joined, more_jars, sentence, several_jars


def read_jars(texts: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """Jars on hand as (key, how many), from texts such as "11 half-pints". Raises InputError with one line."""
    try:
        return jars_told(",".join(texts))
    except InputError as error:
        raise InputError(f"jars on hand, {error}") from error


def usual_jar(jars: Sequence[tuple[str, int]]) -> str | None:
    """The key of the jar to count in: the one of which there are most, the smaller of two; None where none is for the shelf."""
    kinds = [(count, -facts.jar(key).fill_ml.typical, key) for key, count in jars if storage.jar_bar(facts.jar(key)) is None]
    return max(kinds)[2] if kinds else None


def fit(result: BatchResult, jars: Sequence[tuple[str, int]], kitchen: Kitchen, least: Process | None = None) -> BatchResult:
    """The answer with its kitchen plan: jars, canner loads and pots, findings on what does not fit, and the work in this kitchen.

    Parameters
    ----------
    result : a solved batch; where the kitchen's pots are known, nothing is said in it of pots
    jars : on hand, (key, how many); nothing: as many as it takes of the jar that the answer counts in
    kitchen : its pots and canner
    least : a process that is not to be shorter, where another count of jars has larger ones in use

    Returns
    -------
    BatchResult : the process is that of the largest jar in use, never a shorter one than before

    References: USDA-GUIDE1, LM-PACKER-QUESTIONS, POT-ROOM
    """
    settings = result.batch.settings
    usable, too_large = _usable(jars, result)
    pots, pot_findings = potfuls(result, kitchen)
    shares = _rounds(pots)
    stocks = [Stock(jar=key, count=count, fill_ml=filling.fill_ml(facts.jar(key), settings.headspace_mm)) for key, count in usable]
    if not jars:
        jar = facts.jar(settings.jar)
        enough = result.yield_.jars.heat + len(shares)  # each round of cooking may end in a part jar
        stocks = [Stock(jar=jar.key, count=enough, fill_ml=filling.fill_ml(jar, settings.headspace_mm))]
    volume = result.yield_.hot_volume_ml
    mixed = plan(volume.low, volume.typical, volume.high, stocks, shares=shares)
    heat, expected = _jars_of(mixed.heat), _jars_of(mixed.expected_mix.jars)
    loads, most_loads, load_findings = _loads(result, mixed, kitchen)
    kitchen_plan = KitchenPlan(
        heat=heat,
        fill_low=_jars_of(mixed.low_mix.jars),
        fill_expected=expected,
        fill_high=_jars_of(mixed.high_mix.jars),
        over_ml=mixed.over_ml,
        short_ml=mixed.short_ml,
        more_jars=_more_jars(mixed.short_ml, settings.jar, settings.headspace_mm),
        loads=loads,
        most_loads=most_loads,
        pots=pots,
    )
    findings = [*_other_jars(result, usable), *_too_large(too_large), *_short(result, kitchen_plan), *_cut_short(mixed, stocks)]
    findings += [*pot_findings, *load_findings]
    findings += _left_in_pots(kitchen_plan, len(shares), settings.units)
    notes = [finding for finding in result.findings if finding.kind == "note"]  # what there is to know of a fruit comes last
    sources = dict.fromkeys([*result.sources, *facts.sources(key for finding in findings for key in finding.sources)])
    fitted = replace(
        result,
        kitchen=kitchen_plan,
        findings=(*(finding for finding in result.findings if finding not in notes), *findings, *notes),
        sources=tuple(sources),
    )
    return _with_work(_with_process(fitted, kitchen_plan, least), kitchen_plan)


# ---------------------------------------------------------------- jars


def _usable(jars: Sequence[tuple[str, int]], result: BatchResult) -> tuple[list[tuple[str, int]], list[tuple[str, int]]]:
    """Jars that may be filled, and those that no process time covers; for the refrigerator any jar will do."""
    fits = [result.storage == "cold" or storage.jar_bar(facts.jar(key)) is None for key, _ in jars]
    return [jar for jar, fit in zip(jars, fits, strict=True) if fit], [jar for jar, fit in zip(jars, fits, strict=True) if not fit]


def _jars_of(jars: Iterable[tuple[str, int]]) -> tuple[JarsOf, ...]:
    return tuple(JarsOf(jar=key, name=facts.jar(key).name, count=count) for key, count in jars)


def _more_jars(short_ml: float, key: str, headspace_mm: float) -> JarsOf | None:
    """The jars that are missing, of the kind that the answer counts in."""
    if short_ml < measures.HARDLY_ANY_ML:
        return None
    jar = facts.jar(key)
    return JarsOf(jar=jar.key, name=jar.name, count=math.ceil(short_ml / filling.fill_ml(jar, headspace_mm)))


def _too_large(jars: Sequence[tuple[str, int]]) -> list[Finding]:
    if not jars:
        return []
    left = all_jars(_jars_of(jars))
    text = f"{left} left out: no process time for jam is published for {'them' if sum(count for _, count in jars) > 1 else 'it'}."
    return [Finding(id="jars-too-large", kind="know", text=sentence(text), sources=("USDA-GUIDE1",))]


def _other_jars(result: BatchResult, usable: Sequence[tuple[str, int]]) -> list[Finding]:
    """The answer counts in a jar that is not on hand: its minutes are not those of the jars that will be filled."""
    jar = facts.jar(result.batch.settings.jar)
    if not usable or jar.key in dict(usable):
        return []
    counted, held = several_jars(jar.name), all_jars(_jars_of(usable))
    text = f"Worked out in {counted}, and you have {held}: the work and the canner loads go by what you have."
    return [Finding(id="other-jars", kind="know", text=text)]


def _cut_short(mixed: JarPlan, stocks: Sequence[Stock]) -> list[Finding]:
    """Of very many kinds of jar the best mix would take too long to find."""
    if mixed.best:
        return []
    kinds = len({stock.jar for stock in stocks})
    text = f"With {kinds} kinds of jar this mix is the best that a short search found; another may leave a little less over."
    return [Finding(id="mix-cut-short", kind="know", text=text)]


def _short(result: BatchResult, plan: KitchenPlan) -> list[Finding]:
    """The jars do not hold the batch: what is left, and three things to do with it."""
    missing = plan.more_jars
    if missing is None:
        return []
    units, expected_ml = result.batch.settings.units, result.yield_.hot_volume_ml.typical
    more = more_jars(missing.name, missing.count)
    if not plan.heat:
        return [Finding(id="jars-short", kind="do", text=f"None of your jars will do for this batch: it takes {more}.")]
    one = sum(filled.count for filled in plan.heat) == 1
    held, rest = all_jars(plan.heat), measures.jam_text(plan.over_ml, units)
    if missing.count == 1 or plan.over_ml < filling.fill_ml(facts.jar(missing.jar), result.yield_.headspace_mm):
        but = "" if plan.over_ml < measures.HARDLY_ANY_ML else f" but for about {rest}"
        ready = f"have {more} ready, or clean containers for the refrigerator"
        text = f"Your {held} {'holds' if one else 'hold'} what is expected{but}, and not the high end: {ready}."
        return [Finding(id="jars-short", kind="do", text=text)]
    fraction = 1.0 - plan.over_ml / expected_ml
    all_g = sum(part.as_bought_g for part in result.batch.fruits)
    now, later = bought(all_g * fraction, units), bought(all_g * (1.0 - fraction), units)
    ways = [
        f"find {more} (that covers the high end)",
        f"cook about {now} of the fruit with its share of the rest, and freeze the other {later}",
        f"keep the last {rest} in the refrigerator",
    ]
    holds, expected = (measures.jam_text(ml, units) for ml in (expected_ml - plan.over_ml, expected_ml))
    text = f"Your {held} {'holds' if one else 'hold'} about {holds} of the {expected} expected. Either {'; or '.join(ways)}."
    return [Finding(id="jars-short", kind="do", text=text)]


# ---------------------------------------------------------------- canner


def _times(result: BatchResult) -> dict[str, Process]:
    """The process of each size of jar at this altitude."""
    return {size: process_for(size, size, result.batch.settings.altitude_ft) for size in ("half-pint", "pint")}


def _loads(result: BatchResult, mixed: JarPlan, kitchen: Kitchen) -> tuple[tuple[CannerLoad, ...], int, tuple[Finding, ...]]:
    """The canner loads of the jars expected, how many there are at most, and what to know of them; a cold batch has none."""
    if result.storage == "cold":
        return (), 0, ()
    times, holds = _times(result), canner.capacity(kitchen.canner_holds)
    minutes = {size: process.minutes for size, process in times.items()}
    expected, high = (
        [load for mix in rounds for load in canner.loads(_kinds(mix.jars), minutes, holds)]
        for rounds in (mixed.expected_rounds, mixed.high_rounds)
    )
    loads = tuple(CannerLoad(jars=_jars_of(load.jars), minutes=load.minutes, by_band=_by_band(load, times)) for load in expected)
    known = result.batch.settings.altitude_ft is not None
    return loads, max(len(high), len(expected)), canner.load_findings(expected, result.batch.settings.units) if known else ()


def loads_to_time(result: BatchResult, kitchen: Kitchen) -> int:
    """How many canner loads there may be, one after another, and so how many times are written down; 0 for the cold."""
    if result.process is None:
        return 0
    if result.kitchen is not None and result.kitchen.loads:
        return result.kitchen.most_loads
    holds = canner.capacity(kitchen.canner_holds)
    return math.ceil(result.yield_.jars.heat / holds.get(facts.jar(result.batch.settings.jar).size_class, holds["pint"]))


def _kinds(jars: Iterable[tuple[str, int]]) -> list[tuple[Jar, int]]:
    return [(facts.jar(key), count) for key, count in jars]


def _by_band(load: canner.Load, times: dict[str, Process]) -> tuple[int, ...]:
    """The minutes of the largest jar in a load, band by band."""
    sizes = {facts.jar(key).size_class for key, _ in load.jars}
    return tuple(max(row) for row in zip(*([band.minutes for band in times[size].by_band] for size in sizes), strict=True))


def _with_process(result: BatchResult, plan: KitchenPlan, least: Process | None) -> BatchResult:
    """The process, and the notes on it, of the largest jar that is hot; never a shorter one than before, or than `least`."""
    was = result.process
    if was is None or not plan.heat:
        return result
    largest = max((facts.jar(filled.jar) for filled in plan.heat), key=lambda jar: jar.fill_ml.typical)
    process = process_for(largest.size_class, largest.name, was.altitude_ft)
    if least is not None and least.minutes > process.minutes:
        process = least
    if process.minutes <= was.minutes:
        return result
    old, new = (process_notes(timed, result.batch.settings.units) for timed in (was, process))
    return replace(result, process=process, cautions=(*(caution for caution in result.cautions if caution not in old), *new))


def _with_work(result: BatchResult, plan: KitchenPlan) -> BatchResult:
    """The order of work with these jars, and with each load's own time."""
    if not plan.heat:
        return result
    time = _load_times(plan.loads, result.process)
    return replace(result, tasks=order_of_work.in_these_jars(result.tasks, plan.heat, time))


def _load_times(loads: Sequence[CannerLoad], process: Process | None) -> str:
    """The time of the largest jar, or load by load where they differ."""
    said = order_of_work.process_time(process)
    if process is None or process.altitude_ft is None or len({load.minutes for load in loads} | {process.minutes}) == 1:
        return said
    by_load = joined([f"{load.minutes} min for the load of {all_jars(load.jars)}" for load in loads])
    return f"{by_load} (any load with a {process.jar} {said})"


# ---------------------------------------------------------------- pots


def potfuls(result: BatchResult, kitchen: Kitchen) -> tuple[PotShare, tuple[Finding, ...]]:
    """In how many potfuls of this kitchen's pots the batch is cooked, and what goes in each."""
    planned = canner.pots_needed(
        mashed_cups(result.batch),
        _in_the_pot_ml(result),
        [pot.quarts for pot in kitchen.pots],
        calcium_set=result.batch.pectin_kind == "calcium-set",
        units=result.batch.settings.units,
    )
    shares = (
        ()
        if planned.potfuls == 1
        else tuple(_share(ingredient, result, planned.potfuls) for ingredient in result.ingredients if ingredient.grams > 0.0)
    )
    findings = planned.findings if kitchen.pots else ()
    return PotShare(
        potfuls=planned.potfuls, mashed_cups_each=planned.mashed_cups_each, pots_that_hold_one=planned.pots_that_hold_one, shares=shares
    ), findings


def _rounds(pots: PotShare) -> tuple[float, ...]:
    """The share of the batch that is ready to be filled at once: as many potfuls as there are pots for, one where none is known."""
    at_once = max(1, pots.pots_that_hold_one or 1)
    whole, rest = divmod(pots.potfuls, at_once)
    return (at_once / pots.potfuls,) * whole + ((rest / pots.potfuls,) if rest else ())


def _left_in_pots(plan: KitchenPlan, rounds: int, units: str) -> list[Finding]:
    """Each round of cooking leaves its own part jar: what to do with it."""
    if rounds < 2 or plan.short_ml >= measures.HARDLY_ANY_ML or plan.over_ml < measures.HARDLY_ANY_ML:
        return []
    text = (
        f"Jars are filled from one round of cooking at a time; the {rounds} rounds together leave about "
        f"{measures.jam_text(plan.over_ml, units)} in part jars: keep those hot for the next round, or refrigerate them."
    )
    return [Finding(id="part-jars", kind="do", text=text)]


def _in_the_pot_ml(result: BatchResult) -> float:
    """All that goes into the pot before any water has boiled off, hot; fiber is counted as water, within half a per cent."""
    soluble_g = result.solids_percent.typical / 100.0 * result.yield_.mass_g.typical
    return filling.hot_volume_ml(max(0.0, sum(ingredient.grams for ingredient in result.ingredients) - soluble_g), soluble_g, 0.0)


def _share(ingredient: Ingredient, result: BatchResult, potfuls: int) -> Share:
    """What to measure into one of several pots: fruit by weight, all else as a kitchen measures it."""
    if ingredient.role != "fruit":
        return Share(name=ingredient.name, amount=_measure(ingredient, result, potfuls))
    fruit, grams = facts.fruit(ingredient.item), ingredient.grams / potfuls
    volume = measures.measured(grams / fruit.mashed_g_per_cup.typical * measures.CUP_ML, result.batch.settings.units).text
    return Share(name=ingredient.name, amount=measures.grams_text(grams), volume=volume, mashed=fruit.kind != "juice")


def _measure(ingredient: Ingredient, result: BatchResult, potfuls: int) -> str:
    """The measure for one of several pots: acid never down, the rest to the nearest."""
    if ingredient.role == "pectin" and result.batch.pectin_kind == "calcium-set":
        if result.batch.settings.units == "metric":
            return measures.grams_text(result.pectin.grams / potfuls)
        return measures.teaspoons(result.pectin.teaspoons / potfuls).text
    if ingredient.ml is None:
        grams = ingredient.grams / potfuls
        return measures.grams_text(math.ceil(10.0 * grams) / 10.0 if ingredient.role == "acid" else grams)
    return measures.measured(ingredient.ml / potfuls, result.batch.settings.units, never_less=ingredient.role == "acid").text
