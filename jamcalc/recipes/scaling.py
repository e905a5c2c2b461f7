"""A tested recipe up or down: what scales, what does not, and measures that a kitchen owns.

Keeps what was tested, the proportions and the jar; computes no acidity, set or yield, and swaps nothing for anything else.
The numbers of a scaled recipe are judged by `checking` like those of any other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.errors import InputError, NotPossible
from jamcalc.formula.assemble import fruit_part
from jamcalc.jars.canner import packet_pots, pots_needed
from jamcalc.jars.filling import is_larger
from jamcalc.nouns.said import Finding, Line
from jamcalc.nouns.written import Recipe, StatedYield
from jamcalc.reading.lines import PACKET_G, read_line
from jamcalc.recipes.portions import (
    ScaledRow,
    extra_findings,
    extras_portion,
    measure_text,
    multiplied,
    portion,
    ratio,
    scaled_rows,
    together,
    weight_text,
    yield_portion,
)
from jamcalc.words.quantities import read_jar_count
from jamcalc.words.units import read_amount, shown

FACTORS = (0.05, 200.0)  # outside it is a slip of the finger (judgement)
SLACK = 0.03  # fruit for 97 % of a packet's batch makes the batch, and less than this is not left over: cups are no surer (judgement)


@dataclass(frozen=True, kw_only=True)
class Pots:
    """How many equal pots, and what goes in each."""

    number: int
    recipe: Recipe
    rows: tuple[ScaledRow, ...]


@dataclass(frozen=True, kw_only=True)
class LeftOver:
    """Fruit on hand that the batch does not take, in the measure in which it was named."""

    item: str
    grams: float
    text: str


@dataclass(frozen=True, kw_only=True)
class Scaled:
    """The answer to `scale`: `recipe` holds the measures to use for the whole, `pots` the share of each pot."""

    recipe: Recipe
    rows: tuple[ScaledRow, ...]
    factor: float
    jar: str | None  # to be filled, by its key; None: nobody has named one
    pots: Pots
    left_over: tuple[LeftOver, ...]
    findings: tuple[Finding, ...]


def scale(
    recipe: Recipe,
    *,
    times: float | None = None,
    fruit: str | Sequence[str] | None = None,
    want: str | None = None,
    jar: str | None = None,
    predicted_jars: float | None = None,
    units: str = "us",
) -> Scaled:
    """Scale a recipe by a factor, by the fruit on hand or by the jars wanted.

    Parameters
    ----------
    times : factor
    fruit : "5 lb", "5 lb plums", or one such text for each fruit; the scarcest decides
    want : "9 half-pints"; the recipe's stated yield is the base, else `predicted_jars`
    jar : the jar to fill, where it is another one than the recipe's
    predicted_jars : what our own yield model expects of the unscaled recipe [half-pints]
    units : what is said of the pots counts in: "us" or "metric"; the measures stay the recipe's own

    Raises
    ------
    InputError : none or two of the three ways are given, or a text cannot be read
    NotPossible : a larger jar than was tested, or less fruit than one packet of pectin needs
    """
    ways = sum(way is not None for way in (times, fruit, want))
    if ways > 1 or (ways == 0 and jar is None):
        raise InputError('say how far to scale in one way: times 1.5, fruit "5 lb plums", or want "9 half-pints"')
    findings: list[Finding] = []
    base = recipe.stated_yield or (StatedYield(low=predicted_jars, high=predicted_jars, jar="half-pint") if predicted_jars else None)
    wanted, target = _wanted(want, jar, base)
    recipe = _for_jar(recipe, target, findings)
    on_hand: tuple[Line, ...] = ()
    if fruit is not None:
        on_hand, factor = _by_fruit(recipe, [fruit] if isinstance(fruit, str) else list(fruit), findings)
    elif wanted is not None:
        factor = _by_jars(base, wanted, target, recipe, findings)
    else:
        factor = 1.0 if times is None else times
    if isinstance(factor, bool) or not isinstance(factor, (int, float)) or not FACTORS[0] <= factor <= FACTORS[1]:
        said = format(factor, ".3g") if isinstance(factor, float) else shown(str(factor))
        raise InputError(f"{said} times is no batch: the factor is a number from {FACTORS[0]:g} to {FACTORS[1]:g}")
    packet_pectin = next((line for line in recipe.lines if line.role == "pectin" and line.item != "calcium-set"), None)
    if packet_pectin is None:
        number = _pot_number(recipe, factor, findings, units)
    else:
        spread = base.high / base.middle - 1 if base and wanted else 0.0  # a recipe of 10 to 11 jars makes the 11 that are wanted
        factor, number = _whole_packets(packet_pectin, factor, fruit is not None, max(spread, SLACK), findings)
    # what is measured is measured into a pot: the whole is the sum of the pots, and nothing that is rounded once more
    share = _measured(recipe, factor / number)
    lines = share if number == 1 else tuple(together(line, number) for line in share)
    whole = _recipe_of(recipe, lines, factor, number, target)
    left = _left_over(recipe, on_hand, factor)
    findings += [Finding(id="left-over", kind="do", text=f"Left over: {part.text}.") for part in left]
    findings += _what_does_not_scale(recipe, whole, factor)
    return Scaled(
        recipe=whole,
        rows=scaled_rows(recipe.lines, lines, factor),
        factor=factor,
        jar=target,
        pots=Pots(
            number=number,
            recipe=_share_of(recipe, whole, share, factor, number),
            rows=scaled_rows(recipe.lines, share, factor / number),
        ),
        left_over=left,
        findings=tuple(findings),
    )


# ---------------------------------------------------------------- how far


def _wanted(want: str | None, jar: str | None, base: StatedYield | None) -> tuple[float | None, str | None]:
    """The number of jars wanted, and the key of the jar to fill (None: nobody has named one)."""
    key = None if jar is None else facts.lookup(jar, ("jar",)).key
    if want is None:
        return None, key or (base.jar if base else None)
    _, count, name = read_jar_count(want)
    named = facts.lookup(name, ("jar",)).key
    if key not in (None, named):
        raise InputError(f'want "{shown(want)}" and jar "{shown(str(jar))}" name two jars; leave one out')
    return count, named


def _for_jar(recipe: Recipe, target: str | None, findings: list[Finding]) -> Recipe:
    """The recipe for the jar to be filled. A bigger jar heats more slowly at its middle: never one larger than was tested."""
    if target is None or recipe.keep == "cold":
        return recipe
    new = facts.jar(target)
    if new.size_class == "too large":
        raise NotPossible(f"a {new.name} is too large: jam has process times for pints and smaller jars only; use those, or keep it cold")
    tested = facts.jar(recipe.stated_yield.jar if recipe.stated_yield else "half-pint")
    if not is_larger(new, tested) or any(not is_larger(new, facts.jar(time.jar)) for time in recipe.printed_times):
        return recipe  # no larger than one for which its source prints a time
    if recipe.source:
        raise NotPossible(
            f"{new.plural} are larger than the {tested.plural} this recipe was made for: they heat more slowly, and its process time "
            f"does not cover them; use {tested.plural} or smaller jars")  # fmt: skip
    if recipe.process_min is None or new.size_class == tested.size_class:
        return recipe
    text = f"The {recipe.process_min:g} minutes were for {tested.plural}; {new.plural} take the time of the table."
    findings.append(Finding(id="process-jar", kind="know", text=text))
    return replace(recipe, process_min=None)


def _by_jars(base: StatedYield | None, wanted: float, target: str | None, recipe: Recipe, findings: list[Finding]) -> float:
    if base is None or target is None:
        raise InputError('this recipe states no yield to scale from; write yield = "5 half-pints" in it, or scale by times or by fruit')
    if recipe.stated_yield is None:
        findings.append(
            Finding(
                id="yield-base",
                kind="know",
                text=f"The recipe states no yield; the base is our own estimate, {base.middle:.1f} half-pints.",
            )
        )
    return wanted / (base.middle * facts.jar(base.jar).fill_ml.typical / facts.jar(target).fill_ml.typical)


def _by_fruit(recipe: Recipe, texts: list[str], findings: list[Finding]) -> tuple[tuple[Line, ...], float]:
    """The fruit on hand as lines, and how far the scarcest of it goes."""
    need = _prepared_g(recipe.lines)
    if not need or not texts:
        raise InputError('write the fruit on hand, such as "5 lb plums", for a recipe that has fruit in it')
    if len(texts) == 1 and not read_amount(texts[0])[1]:
        if len(need) > 1:
            return _all_together(recipe, texts[0], findings)
        amount, item = read_amount(texts[0])[0], next(iter(need))
        plural = facts.fruit(item).plural
        lines: tuple[Line, ...] = (
            Line(text=f"{amount.text} {plural}", role="fruit", item=item, amount=amount, form="as bought", words=plural),
        )
    else:
        lines = tuple(read_line(text) for text in texts)
    for line in lines:
        if line.item not in need or line.role != "fruit":
            names = " and ".join(facts.fruit(item).plural for item in need)
            raise InputError(f'"{shown(line.text)}": the recipe is made of {names}; another fruit is a new formula, not a scaled recipe')
    have = _prepared_g(lines)
    return lines, min(have[item] / need[item] for item in have)


def _all_together(recipe: Recipe, text: str, findings: list[Finding]) -> tuple[tuple[Line, ...], float]:
    """One weight for a recipe of several fruits is read as all of them together, in the recipe's proportions."""
    amount, _ = read_amount(text)
    if amount.grams is None:
        raise InputError(f'"{shown(text)}" of which fruit? Write each, such as "4 cups mashed plums", or one weight for all')
    bought = [fruit_part(line) for line in recipe.lines if line.role == "fruit"]
    factor = amount.grams / sum(part.as_bought_g for part in bought)
    shares = ", ".join(f"{weight_text(part.as_bought_g * factor, amount.units)} {part.fruit.plural}" for part in bought)
    findings.append(
        Finding(id="fruit-together", kind="know", text=f"{amount.text} is read as all the fruit together, as bought: {shares}.")
    )
    return (), factor


def _prepared_g(lines: Sequence[Line]) -> dict[str, float]:
    """Grams ready for the pot of each fruit."""
    grams: dict[str, float] = {}
    for line in (line for line in lines if line.role == "fruit"):
        grams[line.item] = grams.get(line.item, 0.0) + fruit_part(line).grams
    return grams


def _left_over(recipe: Recipe, on_hand: tuple[Line, ...], factor: float) -> tuple[LeftOver, ...]:
    need, have = _prepared_g(recipe.lines), _prepared_g(on_hand)
    left_over = []
    for line in on_hand:
        share = 1 - factor * need[line.item] / have[line.item]
        if share > SLACK:
            left = multiplied(line.amount, share)
            text = f"{measure_text(left)} {line.words}"
            left_over.append(LeftOver(item=line.item, grams=have[line.item] * share, text=text))
    return tuple(left_over)


# ---------------------------------------------------------------- pots


def _whole_packets(pectin: Line, factor: float, by_fruit: bool, slack: float, findings: list[Finding]) -> tuple[float, int]:
    """The factor that makes whole packets, and the pots: packet pectin sets by one packet to one batch.

    Powder from a bulk jar, spooned, may be split; liquid pectin goes by the pouch, and some recipes put two in one pot.
    """
    if pectin.amount.count is not None or pectin.amount.grams is not None:
        packets = max(1, round(pectin.amount.count or (pectin.amount.grams or 0.0) / PACKET_G))
        wanted = factor * packets
        whole = math.floor(wanted + slack) if by_fruit else math.ceil(wanted / (1 + slack) - 1e-9)
        whole = round(wanted) if abs(wanted - round(wanted)) < 1e-9 else whole  # as in a recipe that was scaled before
        if whole < 1:
            raise NotPossible(
                f"this fruit is {factor:.2g} of a batch: packet pectin goes by the whole packet, and part of one was never tested; "
                "find more fruit, or make a calcium-set recipe")  # fmt: skip
        if abs(whole / packets - factor) > 1e-9:
            text = f"Packet pectin goes by the whole packet: {whole / packets:g} times the recipe, not {factor:.3g}."
            findings.append(Finding(id="whole-packets", kind="do", text=text))
        factor = whole / packets
        number = math.ceil(factor) if pectin.item == "liquid" else whole
    else:
        number = math.ceil(factor - 1e-9)
    findings += packet_pots(number)
    return factor, number


def _pot_number(recipe: Recipe, factor: float, findings: list[Finding], units: str) -> int:
    cups = factor * sum(grams / facts.fruit(item).mashed_g_per_cup.typical for item, grams in _prepared_g(recipe.lines).items())
    planned = pots_needed(cups, calcium_set=any(line.role == "pectin" for line in recipe.lines), units=units)
    findings += planned.findings
    return planned.potfuls


# ---------------------------------------------------------------- measures


def _measured(recipe: Recipe, factor: float) -> tuple[Line, ...]:
    """The lines times the factor, in measures that a kitchen owns."""
    lines = {index: portion(line, factor) for index, line in enumerate(recipe.lines) if line.role != "acid"}
    # the acid follows the fruit as it will be measured: a cup rounded up must not thin out what was tested
    most = max([factor, *(ratio(new.amount, old.amount) for index, new in lines.items() if (old := recipe.lines[index]).role == "fruit")])
    lines |= {index: portion(line, most) for index, line in enumerate(recipe.lines) if line.role == "acid"}
    return tuple(lines[index] for index in range(len(lines)))


def _recipe_of(recipe: Recipe, lines: tuple[Line, ...], factor: float, pots: int, target: str | None) -> Recipe:
    """The recipe with these lines, its extras measured for as many pots, and its stated yield times the factor."""
    stated = recipe.stated_yield and yield_portion(recipe.stated_yield, factor, target)
    return replace(recipe, lines=lines, stated_yield=stated, extras=extras_portion(recipe.extras, factor / pots, pots))


def _share_of(recipe: Recipe, whole: Recipe, lines: tuple[Line, ...], factor: float, pots: int) -> Recipe:
    """What goes in one pot of the whole, and what comes out of it."""
    stated = whole.stated_yield
    if stated is not None and pots > 1:
        stated = replace(stated, low=stated.low / pots, high=stated.high / pots, text="")
    return replace(whole, lines=lines, stated_yield=stated, extras=extras_portion(recipe.extras, factor / pots))


# ---------------------------------------------------------------- what does not scale


def _what_does_not_scale(recipe: Recipe, whole: Recipe, factor: float) -> list[Finding]:
    findings = []
    if factor != 1 and (recipe.boil_min or recipe.simmer_min):
        text = "Minutes in the pot stay as they are: steam goes with the width of the pot and the time, not with the batch."
        findings.append(Finding(id="boil", kind="know", text=text))
    if factor != 1 and recipe.process_min:
        text = "Minutes in the canner stay as they are: they go with the jar and the altitude."
        findings.append(Finding(id="process-stays", kind="know", text=text))
    findings += extra_findings(recipe.extras, whole.extras, factor) if factor != 1 else []
    return findings
