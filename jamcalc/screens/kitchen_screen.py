"""Two blocks of the answer's screen: the batch in this kitchen, and what to set out and buy.

Returns things that rich can print; decides and computes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rich.console import Group, RenderableType
from rich.text import Text

from jamcalc.nouns.outcome import BatchResult, BuyLine, CannerLoad, KitchenPlan, PotShare
from jamcalc.screens.layout import Fitted, pairs, prose, ruled, titled
from jamcalc.words.measures import CUP_ML, HARDLY_ANY_ML, jam_text, measured
from jamcalc.words.phrases import all_jars, bought, grouped, plain


def kitchen(result: BatchResult, units: str) -> list[RenderableType]:
    """What to have hot, what will fill, the canner loads and the potfuls; nothing where no kitchen is known."""
    plan = result.kitchen
    if plan is None:
        return []
    blocks: list[RenderableType] = [
        titled("In your kitchen", pairs([*_jar_rows(plan, units), *_load_rows(plan, result), *_pot_rows(plan.pots, units)]))
    ]
    if plan.pots.shares:
        blocks.append(titled(f"In each of {plan.pots.potfuls} equal potfuls", pairs(_share_rows(plan.pots, result, units))))
    return blocks


def _share_rows(pots: PotShare, result: BatchResult, units: str) -> Iterator[tuple[str, str]]:
    """What goes into one potful; fruit also in pounds and ounces where the kitchen counts in them: "2 lb 13 oz (1279 g), about ..."."""
    shared = [
        ingredient for ingredient in result.ingredients if ingredient.grams > 0.0
    ]  # one of each share, in their order: two may have one name
    for ingredient, share in zip(shared, pots.shares, strict=True):
        if units == "us" and share.volume:
            share = replace(share, amount=f"{bought(ingredient.grams / pots.potfuls, units)} ({share.amount})")
        yield plain(share.name), grouped(share.measure)


def _jar_rows(plan: KitchenPlan, units: str) -> list[tuple[str, str]]:
    if not plan.heat:
        return []
    rows = [("have hot", all_jars(plan.heat) + (", all that will do" if plan.more_jars else ""))]
    over = f"; {jam_text(plan.over_ml, units)} over" if plan.over_ml >= HARDLY_ANY_ML else ""
    rows.append(("will fill", (all_jars(plan.fill_expected) or "no jar to the rim") + over))
    ends = [(name, jars) for name, jars in (("at the least", plan.fill_low), ("at the most", plan.fill_high)) if jars != plan.fill_expected]
    return rows + [(name, all_jars(jars) or "no jar") for name, jars in ends]


def _load_rows(plan: KitchenPlan, result: BatchResult) -> list[tuple[str, str]]:
    known = result.process is not None and result.process.altitude_ft is not None
    rows = [(f"canner load {number}", f"{all_jars(load.jars)}: {_time(load, known)}") for number, load in enumerate(plan.loads, 1)]
    if plan.most_loads > len(plan.loads):
        rows.append(("", f"{plan.most_loads} loads if all turns out high"))
    return rows


def _time(load: CannerLoad, known: bool) -> str:
    return f"{load.minutes} min" if known else f"{', '.join(map(str, load.by_band))} min by altitude band"


def _pot_rows(pots: PotShare, units: str) -> list[tuple[str, str]]:
    if pots.potfuls == 1:
        return [("pot", "all in one")]
    at_once = min(pots.pots_that_hold_one or 1, pots.potfuls)
    how = "" if pots.pots_that_hold_one is None else f"; your pots take {at_once} at a time" if at_once > 1 else "; one after the other"
    return [("potfuls", f"{pots.potfuls}, of about {measured(pots.mashed_cups_each * CUP_ML, units).text} of mashed fruit each{how}")]


def to_buy(lines: Sequence[BuyLine]) -> list[RenderableType]:
    """What the batch takes, what the kitchen has and what to buy; nothing where that was not asked."""
    if not lines:
        return []
    table = ruled()
    for name in ("item", "set out", "you have", "to buy"):
        table.add_column(name, overflow="fold")
    for line in lines:
        table.add_row(
            Text(plain(line.item)),
            prose(grouped(plain(line.needed_text))),
            prose(grouped(plain(line.on_hand_text))),
            prose(grouped(plain(line.to_buy_text if line.buy is None else line.buy.measure)), "bold"),
        )
    unknown = any(line.on_hand is None for line in lines)
    note = [Text("?: your kitchen file does not say; look before you buy.")] if unknown else []
    return [titled("To set out and buy", Group(Fitted(table), *note))]
