"""Which words a US label may use for this batch: claims of 21 CFR 101, names of 21 CFR 150; holds or not, by what figure.

Takes the cautious side of a range; no legal advice, and no rule here binds a home or a fair entry.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from jamcalc import facts
from jamcalc.labels import legal_name
from jamcalc.nouns.known import Source
from jamcalc.nouns.label import Claim, Panel
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.phrases import joined

# What in a maker's title amounts to which claim.
TITLE_WORDS = {
    "sugar_free": r"sugar[ -]?free|sugarless|zero sugar",
    "no_added_sugar": r"no (added sugar|sugar added)|without added sugar",
    "unsweetened": r"unsweetened|no sweetener",
    "reduced_sugar": r"reduced[ -]sugar|sugar[ -]reduced|less sugar|lower[ -]sugar|lower in sugar",
    "low_sugar": r"low[ -]sugar|low in sugar",
    "low_calorie": r"low[ -]calorie|low in calories",
    "reduced_calorie": r"reduced[ -]calorie|fewer calories",
    "light": r"lite|light(?! (colou?r|syrup|brown|set))",
}


# ---------------------------------------------------------------- the rules, on plain numbers


def is_sugar_free(sugars_g: float) -> bool:
    """Under 0.5 g of sugars [g] in the reference amount. References: CFR-101-60."""
    return bool(sugars_g < _rule("sugar_free")["sugars_g_below"])


def is_reduced(amount: float, reference: float) -> bool:
    """At least 25 % less than the reference, both per reference amount and in one unit. References: CFR-101-60."""
    return reference > 0 and (reference - amount) / reference >= _rule("reduced_sugar")["reduction_fraction"] - 1e-12


def is_light(kcal: float, reference_kcal: float) -> bool:
    """At least one third fewer calories [kcal] than the reference, compared as fractions. References: CFR-101-56."""
    rule = _rule("light")
    return reference_kcal > 0 and (reference_kcal - kcal) * rule["denominator"] >= reference_kcal * rule["numerator"] - 1e-9


def is_low_calorie(kcal_per_serving: float, kcal_per_50_g: float) -> bool:
    """At most 40 kcal in the reference amount and, as that is small, in 50 g [kcal]. References: CFR-101-60."""
    most = _rule("low_calorie")["kcal_at_most"]
    return bool(kcal_per_serving <= most and kcal_per_50_g <= most)


def percent_less(amount: float, reference: float) -> float:
    """How much smaller an amount is than its reference [%]."""
    return (1 - amount / reference) * 100


# ---------------------------------------------------------------- the review


def review(result: BatchResult, panel: Panel, reference: Panel) -> tuple[Claim, ...]:
    """Each word of the trade held against the batch, on the cautious side of every range.

    Parameters
    ----------
    result : the answer
    panel : its nutrition
    reference : nutrition of the named full-sugar food that it is compared with

    Returns
    -------
    tuple of Claim : sugar, calories, then names

    References: CFR-101-60, CFR-101-56, CFR-150-160, CFR-150-140, FDA-ADDED.
    """
    words = (*_sugar_claims(result, panel, reference), *_calorie_claims(panel, reference))
    unknown = [legal_name.extra_name(extra) for extra in result.batch.unfit_extras]
    if unknown:  # food that no table weighs: what it brings is not known, so no figure is shown to hold
        doubt = f"; but not shown, for not worked out: {joined(unknown)}"
        words = tuple(
            replace(claim, holds=False, figure=claim.figure + doubt, note="") if claim.holds and claim.id != "unsweetened" else claim
            for claim in words
        )
    return (*words, *_names(result))


def _sugar_claims(result: BatchResult, panel: Panel, reference: Panel) -> tuple[Claim, ...]:
    sugars, full = _per_serving(panel, "sugars_g"), _per_serving(reference, "sugars_g")
    used = [sweetener for sweetener, _ in legal_name.sweeteners(result)]
    sugary = [sweetener.label_name for sweetener in used if sweetener.added_sugar or sweetener.sugars_percent.high > 0]
    sweetened = [*(sweetener.label_name for sweetener in used), *legal_name.extras_that(result, "sweet")]
    packet = result.batch.pectin_kind in ("standard", "no-sugar", "freezer") and any(
        ingredient.role == "pectin" for ingredient in result.ingredients
    )
    if packet:
        sugary.append("the dextrose of packet pectin")
    low_calorie = is_low_calorie(*_cautious_calories(panel))
    reduced_calorie = is_reduced(_per_serving(panel, "energy_kcal")[1], _per_serving(reference, "energy_kcal")[1])
    beside = "" if low_calorie or reduced_calorie else "Only with 'not a reduced calorie food' beside it."
    juice = not legal_name.of_juice(result) and any(part.fruit.kind == "juice" for part in result.batch.fruits)
    added_notes = [
        *([] if low_calorie or sugary else ["The label must say that it is not low in calories and point to the panel."]),
        *(["Juice counts as fruit here; used to sweeten it would count as added."] if juice else []),
    ]
    with_what = "sweetened with " + joined(sweetened) if sweetened else "the dextrose of packet pectin" if packet else "no sweetener"
    reduced, less = is_reduced(sugars[1], full[0]), max(0.0, percent_less(sugars[1], full[0]))
    against = f"{less:.0f} % less at the least: {_span(*sugars)} g against {_span(*full)} g in a spoonful; 25 % asked"
    say = f"Say the percentage, both figures and the reference: {reference.food}." if reduced else ""
    free = f"{_span(*sugars)} g sugars in a spoonful; under 0.5 asked"
    added = joined(sugary) + " added" if sugary else "nothing with sugar added"
    fact = "A plain fact, allowed however sweet the fruit."
    undefined = "Not defined, so not lawful on a US label; as the name of a fair class it is only a class."
    return (
        _claim("sugar_free", "sugar free", is_sugar_free(sugars[1]), free, beside or "The sugar of the fruit counts."),
        _claim("no_added_sugar", "no added sugar", not sugary, added, " ".join(added_notes)),
        _claim("unsweetened", "unsweetened", not sweetened and not packet, with_what, fact),
        _claim("reduced_sugar", "reduced sugar", reduced, against, say),
        _claim("low_sugar", "low sugar", False, f"{_span(*sugars)} g in a spoonful", undefined),
    )


def _calorie_claims(panel: Panel, reference: Panel) -> tuple[Claim, ...]:
    serving, small = _cautious_calories(panel)
    kcal, full = _per_serving(panel, "energy_kcal"), _per_serving(reference, "energy_kcal")
    against = f"{max(0.0, percent_less(kcal[1], full[0])):.0f} % fewer at the least: {kcal[1]:.0f} against {full[0]:.0f} kcal in a spoonful"
    return (
        _claim(
            "low_calorie",
            "low calorie",
            is_low_calorie(serving, small),
            f"up to {serving:.0f} kcal in a spoonful, {small:.0f} in 50 g; 40 asked of both",
        ),
        _claim("reduced_calorie", "reduced calorie", is_reduced(kcal[1], full[0]), f"{against}; 25 % asked", f"Against {reference.food}."),
        _claim("light", "light", is_light(kcal[1], full[0]), f"{against}; a third asked", f"Against {reference.food}."),
    )


def _names(result: BatchResult) -> tuple[Claim, ...]:
    label = facts.table("label")
    standard, shortfalls, named = label["standard"], legal_name.shortfalls(result), legal_name.name_by_law(result)
    why = "; ".join(shortfalls)
    saccharin = any("saccharin" in sweetener.label_name for sweetener, _ in legal_name.sweeteners(result))
    note = standard["saccharin"]["text"] if saccharin else ""
    solids = f"about {result.solids_percent.typical:.0f} % dissolved solids"
    return (
        Claim(
            id="jam",
            name="jam",
            holds=named == "jam",
            figure=why or ("made of juice" if named == "jelly" else solids),
            rule=standard["jam_rule"],
            note=note,
        ),
        Claim(
            id="jelly",
            name="jelly",
            holds=named == "jelly",
            figure=why or ("made of whole fruit" if named == "jam" else solids),
            rule=standard["jelly_rule"],
            note="Juice counts by its solids in this standard." if named == "jelly" else "",
        ),
        Claim(
            id="fruit_spread",
            name="fruit spread",
            holds=named == "fruit spread",
            figure=solids,
            rule="trade usage; no federal standard",
            note="What a low-sugar jam is called when it is sold.",
        ),
    )


def notes() -> tuple[str, ...]:
    """What has to be said with every review: whom it binds, and who has the last word."""
    words = facts.table("label")["notes"]
    return (words["binds"], words["cottage"], words["estimate"] + ".")


def sources() -> tuple[Source, ...]:
    """Where the rules were read."""
    label = facts.table("label")
    groups = (*label["claims"].values(), label["standard"], label["standard"]["saccharin"], label["notes"])
    return facts.sources(key for group in groups for key in group["sources"])


def in_title(title: str, claims: Iterable[Claim]) -> tuple[Claim, ...]:
    """The claims that a title makes and that do not hold."""
    return tuple(
        claim
        for claim in claims
        if not claim.holds and claim.id in TITLE_WORDS and re.search(rf"\b(?:{TITLE_WORDS[claim.id]})\b", title, re.IGNORECASE)
    )


def as_text(claims: Iterable[Claim], width: int = 60) -> str:
    """What holds and what does not, each with its figure, and whom the rules bind; wrapped to `width` columns."""
    lines = ["WHAT A LABEL MAY CLAIM (US)"]
    for claim in claims:
        mark = "yes" if claim.holds else "no"
        lines += textwrap.wrap(f"{mark:4}{claim.name}: {claim.figure}", width, subsequent_indent="    ")
    for note in notes():
        lines += textwrap.wrap(note, width)
    return "\n".join(lines)


def to_dict(claims: Iterable[Claim]) -> dict[str, Any]:
    """The review for JSON."""
    return {
        "claims": [
            {"id": claim.id, "name": claim.name, "holds": claim.holds, "figure": claim.figure, "rule": claim.rule, "note": claim.note}
            for claim in claims
        ],
        "notes": list(notes()),
        "sources": [{"id": source.key, "text": source.text} for source in sources()],
    }


# ---------------------------------------------------------------- small helpers


def _rule(claim: str) -> dict[str, Any]:
    return dict(facts.table("label")["claims"][claim])


def _claim(key: str, name: str, holds: bool, figure: str, note: str = "") -> Claim:
    return Claim(id=key, name=name, holds=holds, figure=figure, rule=_rule(key)["rule"], note=note)


def _per_serving(panel: Panel, nutrient: str) -> tuple[float, float]:
    """Low and high of one line, in a serving."""
    amount = next(line.serving for line in panel.lines if line.nutrient == nutrient)
    return amount.low, amount.high


def _cautious_calories(panel: Panel) -> tuple[float, float]:
    small_g = facts.table("label")["serving"]["small_basis_g"]
    return _per_serving(panel, "energy_kcal")[1], panel.composition.energy_kcal.high * small_g / 100


def _span(low: float, high: float) -> str:
    return f"{low:.1f}" if f"{low:.1f}" == f"{high:.1f}" else f"{low:.1f} to {high:.1f}"
