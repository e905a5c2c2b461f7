"""What there is to say of a batch besides its numbers: findings that its amounts call for, and the trade's usual cautions.

Words only; whether it may stand on a shelf is storage's. Called by answer.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from jamcalc import facts
from jamcalc.chemistry import sweetness
from jamcalc.formula import storage, swapping
from jamcalc.formula.dosing import equivalents_wanted_g, lemon_in_lines_g
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.solver import Solved
from jamcalc.jars import canner
from jamcalc.jars.process import process_notes
from jamcalc.nouns.model import Batch, Finding
from jamcalc.words import measures
from jamcalc.words.phrases import joined, sentence

GENERAL_CAUTIONS = ("tested-recipe", "acid", "bottled-lemon", "sound-fruit", "pan", "burns", "spoiled", "botulism", "opened", "sale")
OF_ACID = ("acid", "bottled-lemon")  # only where any goes in
COLD_CAUTIONS = ("two-hours", "freezer-jars")
# Of a sweetener's cautions, those that hold for a spoonful too.
OF_ANY_AMOUNT = {"infant-honey", "xylitol-dogs", "phenylalanine"}
SET_FINDINGS = {
    "none": "The pectin and calcium written here are too little to set this batch.",
    "soft": "Expect a soft set from the pectin and calcium written here.",
    "firm": "Expect a firm set, stiffer than most like it, from the pectin and calcium written here.",
}
SETS_STANDARD_PECTIN_PERCENT = facts.limit("sets_standard_pectin_percent").typical
LONGEST_BOIL_MIN = facts.limit("longest_boil_min").typical
SHELF_CAUTIONS = ("altitude", "jar-size", "hot-glass", "sealing", "seal-check")
TIMED_FRUITS = {"peach", "nectarine", "apricot", "plum", "yellow_plum", "prune_plum", "pineapple"}
STONE_FRUITS = {
    "apricot", "peach", "white_peach", "nectarine", "white_nectarine", "plum", "yellow_plum", "prune_plum", "sour_cherry", "sweet_cherry",
    "chokecherry",
}  # fmt: skip


def unsweetened(batch: Batch) -> tuple[Finding, ...]:
    """That nothing sweetens a batch, for whoever has not said that it is meant so."""
    if batch.sweeteners:
        return ()
    text = 'No sweetener is named, so none is in it: --sweetener honey sizes one, "1/2 cup honey" is a line, --sweetener none is meant so.'
    return (Finding(id="no-sweetener", text=text),)


def own_findings(solved: Solved) -> tuple[Finding, ...]:
    """What the amounts themselves call for."""
    batch, pot = solved.pot.batch, solved.pot
    findings: list[Finding] = []

    def say(id: str, text: str) -> None:
        findings.append(Finding(id=id, text=sentence(text)))

    if solved.gel_set.too_much_calcium:
        say(
            "too-much-calcium",
            "Fruit, sweetener and calcium water bring more calcium than the pectin can use: the set may weep or turn grainy.",
        )
    strength = solved.gel_set.strength
    if batch.pectin_kind == "calcium-set" and batch.pectin_g is not None and strength in SET_FINDINGS:
        say(f"set-{strength}", SET_FINDINGS[strength])
    if batch.pectin_kind in ("standard", "liquid") and pot.solids_percent < SETS_STANDARD_PECTIN_PERCENT:
        say(
            "needs-sugar",
            "Standard pectin sets only with about as much sugar as fruit: with so little this stays a syrup. Take calcium-set pectin.",
        )
    dosed = batch.dose_acid and batch.pectin_kind == "calcium-set"
    left_out = pot.doses.calcium_water_ml <= 0.0 if batch.calcium_water_ml is None else solved.calcium.left_out
    if dosed and left_out:
        say("no-calcium-water", "Fruit and sweetener bring over four times the calcium that the pectin needs: leave the calcium water out.")
    elif dosed and solved.calcium.optional and pot.doses.calcium_water_ml > 0.0:
        say("calcium-optional", "The fruit alone brings enough calcium; the calcium water is a safeguard for poor fruit and may be halved.")
    findings += _acid_findings(solved)
    cups = sum(part.grams / part.fruit.mashed_g_per_cup.typical for part in batch.fruits)
    easy_cups, most_cups = canner.cups_in_a_pot()
    if batch.pectin_kind == "none":
        pass  # nothing to set: it is cooked until it is thick
    elif cups > most_cups:
        pots = math.ceil(cups / easy_cups)
        say(
            "split-pots",
            f"About {cups:.0f} cups of mashed fruit: cook it in {pots} equal pots, or it may not set.",
        )
    elif cups > easy_cups:
        say(
            "large-pot",
            f"About {cups:.0f} cups of mashed fruit is much for one pot: use a wide one, or two.",
        )
    if batch.settings.boil_min > LONGEST_BOIL_MIN and batch.pectin_kind == "calcium-set":
        say("long-boil", f"A boil of {batch.settings.boil_min:g} min breaks the set: a minute or two after the pectin is in is enough.")
    least_mm, most_mm = storage.SHELF_HEADSPACE_MM
    if solved.process is not None and not least_mm <= batch.settings.headspace_mm <= most_mm:
        say(
            "headspace",
            "Jam for the shelf takes 1/4 in headspace: with less it boils out and fouls the seal, with more air stays in. "
            "Fill to 1/4 in; only the jar count is worked out as asked.",
        )
    if (
        batch.dose_acid
        and solved.shelf_open
        and {each.id for each in solved.verdict.findings} == {"measure"}
        and batch.settings.batch_ph is None
        and solved.acidity.ph.high > storage.SHELF_HIGH_SIDE_PH
    ):
        say(
            "lemon-out-of-reach",
            "For the shelf it would take more than 150 g lemon juice to 1 kg of fruit (over half a cup to 4 cups): no jam any more.",
        )
    alone = [part.fruit.name for part in batch.fruits if part.reading and part.reading.titratable_percent and part.reading.ph is None]
    if alone:
        text = "An acidity without its pH says little, and the pH is taken from the tables"
        say("reading-alone", f"{text}: give the pH of the {joined(list(dict.fromkeys(alone)))} too.")
    for part in batch.sweeteners:
        if part.grams is None and sweetness.falls_short(part.sweetener, equivalents_wanted_g(batch), pot.finished_g, pot.water_g):
            say(
                "sweetness-short",
                f"{part.sweetener.name} stops short of the sweetness aimed at: more would taste no sweeter, or crystallize cold.",
            )
    for key, note in {part.fruit.key: part.fruit.note for part in batch.fruits}.items():
        said = any(line.item == key and any(each.id == "read-as" for each in line.findings) for line in batch.lines)
        if note and not said:  # what was said of the name says as much
            say(f"note-{key.replace('_', '-')}", note)
    return tuple(findings)


def cautions(solved: Solved) -> tuple[Finding, ...]:
    """The trade's usual cautions that bear on this batch."""
    pot = solved.pot
    ids = [key for key in GENERAL_CAUTIONS if key != "tested-recipe" or pot.batch.standing == "calculated"]
    if pot.doses.lemon_g <= 0.0 and not pot.batch.acids:
        ids = [key for key in ids if key not in OF_ACID]
    if solved.process is not None:
        ids += SHELF_CAUTIONS
        half_pints = facts.jar(pot.batch.settings.jar).size_class == "half-pint"
        timed = TIMED_FRUITS.intersection(part.fruit.key for part in pot.batch.fruits)
        if half_pints and timed and pot.batch.settings.own_process_min is None:
            ids.append("tested-time")
    else:
        ids += COLD_CAUTIONS
    if pot.doses.calcium_water_ml > 0.0:
        ids.append("calcium-water")
    if any(finding.id == "measure" for finding in solved.verdict.findings):
        ids.append("meter")
    if STONE_FRUITS.intersection(part.fruit.key for part in pot.batch.fruits):
        ids.append("kernels")
    if pot.batch.pectin_kind == "standard" and pot.solids_percent < storage.FULL_SUGAR_PERCENT:
        ids.append("no-sugar-cut")
    for part, grams in zip(pot.batch.sweeteners, pot.doses.sweetener_g, strict=True):
        ids += sweetness.caution_ids(part.sweetener, grams, pot.finished_g, pot.water_g)
    ids += _of_extras((*pot.batch.extras, *pot.batch.unfit_extras))
    findings = [_with_swaps(facts.caution(key), solved) for key in dict.fromkeys(ids)]
    if solved.process is not None:
        findings += process_notes(solved.process, solved.pot.batch.settings.units)
    return tuple(findings)


def _acid_findings(solved: Solved) -> list[Finding]:
    """What became of the cook's own acid, and of the lemon juice where another acid takes its place."""
    batch, findings = solved.asked, []
    written = [part for part in batch.acids if part.said]
    dosed = f"{solved.acid.measure} of {solved.acid.name}" if solved.acid else f"{solved.measured.lemon.text} of bottled lemon juice"
    of_lemon_g = lemon_in_lines_g(batch)
    total_g = solved.pot.doses.lemon_g + (solved.needed.lemon_g - of_lemon_g if solved.acid else 0.0)
    if written and batch.dose_acid and total_g > of_lemon_g + swapping.LITTLE_ACID_G:
        own = joined([f"{part.said} of {part.acidulant.name}" for part in written])
        what_for = "the shelf" if solved.verdict.storage == "shelf" else "set and taste"
        in_all = of_lemon_g > 0.0 and solved.acid is None
        text = f"You wrote {own}; for {what_for} it takes {dosed}{' in all' if in_all else ' besides'}, and that stands above."
        findings.append(Finding(id="acid-raised", text=text))
    if solved.acid is not None:
        replaced_ml = (solved.needed.lemon_g - of_lemon_g) / facts.acidulant(LEMON).g_per_ml.typical
        replaced = measures.measured(replaced_ml, batch.settings.units, never_less=True).text
        text = (
            f"{solved.acid.measure} of {solved.acid.name} stands for {replaced} of bottled lemon juice: "
            "the larger of equal acid at its weak end and the swap that agencies print."
        )
        findings.append(Finding(id="acid-swapped", text=text))
    return findings


def _with_swaps(caution: Finding, solved: Solved) -> Finding:
    """The caution on fresh juice, with what may take the place of this batch's own lemon juice; no swap into a tested recipe."""
    lemon_g, batch = solved.pot.doses.lemon_g, solved.pot.batch
    if caution.id != "bottled-lemon" or lemon_g <= 0.0 or batch.standing == "tested":
        return caution
    swaps = [swapping.dose(lemon_g, key, batch.settings.units) for key in swapping.ACIDS if key != LEMON]
    instead = " or ".join(f"{each.measure} of {each.name}" for each in swaps)
    text = f"{caution.text} In place of the {solved.measured.lemon.text} here: {instead}"
    return replace(caution, text=f"{text} (--acid works it out)." if batch.dose_acid else f"{text}.")


def _of_extras(extras: Iterable[str]) -> Iterator[str]:
    """The cautions of a sweetener that is written among the extras, where nothing is weighed and little may still harm."""
    said = " ".join(extras).lower()
    if not said:
        return
    for key, names in facts.table("items")["sweetener"].items():
        if any(re.search(rf"\b{re.escape(name)}\b", said) for name in names):
            yield from (caution for caution in facts.sweetener(key).cautions if caution in OF_ANY_AMOUNT)
