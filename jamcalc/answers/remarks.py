"""What there is to say of a batch besides its numbers: findings that its amounts call for, and the trade's usual cautions.

Words only; whether it may stand on a shelf is storage's.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from jamcalc import facts
from jamcalc.answers.measuring import dose_words
from jamcalc.chemistry import sweetness
from jamcalc.formula import storage, swapping
from jamcalc.formula.batch_acidity import lemon_in_lines_g
from jamcalc.formula.dosing import equivalents_wanted_g
from jamcalc.formula.mixture import LEMON, mashed_cups
from jamcalc.formula.solver import Solved
from jamcalc.jars import canner
from jamcalc.jars.process import process_notes
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.said import Finding
from jamcalc.words import measures
from jamcalc.words.phrases import joined, sentence

GENERAL_CAUTIONS = ("tested-recipe", "acid", "bottled-lemon", "sound-fruit", "pan", "burns", "spoiled", "botulism", "opened", "sale")
OF_ACID = ("acid", "bottled-lemon")  # only where any goes in
COLD_CAUTIONS = ("two-hours", "freezer-jars")
SET_FINDINGS = {
    "none": "The pectin and calcium written here are too little to set this batch.",
    "soft": "Expect a soft set from the pectin and calcium written here.",
    "firm": "Expect a firm set, stiffer than most like it, from the pectin and calcium written here.",
}
SETS_STANDARD_PECTIN_PERCENT = facts.limit("sets_standard_pectin_percent").typical
LONGEST_BOIL_MIN = facts.limit("longest_boil_min").typical
SHELF_CAUTIONS = ("altitude", "jar-size", "hot-glass", "sealing", "seal-check")


def unsweetened(batch: Batch) -> tuple[Finding, ...]:
    """That nothing sweetens a batch, for whoever has not said that it is meant so."""
    if batch.sweeteners:
        return ()
    text = "No sweetener is in it. For a light sweetness: --sweetener honey. If that is meant: --sweetener none."
    return (Finding(id="no-sweetener", kind="asked", text=text),)


def own_findings(solved: Solved, *, pots_counted: bool) -> tuple[Finding, ...]:
    """What the amounts themselves call for; nothing on pots where the caller has counted them by a rule of its own."""
    of_the_batch = (*_of_the_set(solved), *_of_the_acid(solved), *_of_the_work(solved, pots_counted), *_of_what_is_missed(solved))
    return (*of_the_batch, *_notes(solved.pot.batch))


def _of_the_set(solved: Solved) -> Iterator[Finding]:
    """Too little or too much of what sets it."""
    batch, pot, strength = solved.pot.batch, solved.pot, solved.gel_set.strength
    if solved.gel_set.too_much_calcium:
        text = "Fruit, sweetener and calcium water bring more calcium than the pectin can use: the set may weep or turn grainy."
        yield Finding(id="too-much-calcium", kind="know", text=text)
    if batch.pectin_kind == "calcium-set" and batch.pectin_g is not None and strength in SET_FINDINGS:
        yield Finding(id=f"set-{strength}", kind="know", text=SET_FINDINGS[strength])
    if batch.pectin_kind in ("standard", "liquid") and pot.solids_percent < SETS_STANDARD_PECTIN_PERCENT:
        text = "Standard pectin sets only with about as much sugar as fruit: with so little this stays a syrup. Take calcium-set pectin."
        yield Finding(id="needs-sugar", kind="do", text=text)
    dosed = batch.dose_acid and batch.pectin_kind == "calcium-set"
    left_out = pot.doses.calcium_water_ml <= 0.0 if batch.calcium_water_ml is None else solved.calcium.left_out
    if dosed and left_out:
        text = "Fruit and sweetener bring over four times the calcium that the pectin needs: leave the calcium water out."
        yield Finding(id="no-calcium-water", kind="do", text=text)
    elif dosed and solved.calcium.optional and pot.doses.calcium_water_ml > 0.0:
        text = "The fruit alone brings enough calcium; the calcium water is a safeguard for poor fruit and may be halved."
        yield Finding(id="calcium-optional", kind="know", text=text, may_wait=True)


def _of_the_work(solved: Solved, pots_counted: bool) -> Iterator[Finding]:
    """What to mind in the pot and at the jars."""
    batch = solved.pot.batch
    if not pots_counted and batch.pectin_kind != "none":  # with nothing to set, it is cooked until it is thick
        yield from canner.pots_needed(
            mashed_cups(batch), calcium_set=batch.pectin_kind == "calcium-set", units=batch.settings.units
        ).findings
    if batch.settings.boil_min > LONGEST_BOIL_MIN and batch.pectin_kind == "calcium-set":
        text = f"A boil of {batch.settings.boil_min:g} min breaks the set: a minute or two after the pectin is in is enough."
        yield Finding(id="long-boil", kind="do", text=text)
    least_mm, most_mm = storage.SHELF_HEADSPACE_MM
    if solved.process is not None and not least_mm <= batch.settings.headspace_mm <= most_mm:
        text = (
            "Jam for the shelf takes 1/4 in headspace: with less it boils out and fouls the seal, with more air stays in. "
            "Fill to 1/4 in; only the jar count is worked out as asked."
        )
        yield Finding(id="headspace", kind="do", text=text)


def _of_what_is_missed(solved: Solved) -> Iterator[Finding]:
    """What was aimed at and is out of reach, and what a reading lacks."""
    batch, pot = solved.pot.batch, solved.pot
    unread, mild = batch.settings.batch_ph is None, solved.acidity.ph.high > storage.SHELF_HIGH_SIDE_PH
    if batch.dose_acid and solved.shelf_open and storage.meter_decides(solved.verdict.findings) and unread and mild:
        text = "For the shelf it would take more than 150 g lemon juice to 1 kg of fruit (over half a cup to 4 cups): no jam any more."
        yield Finding(id="lemon-out-of-reach", kind="no mend", text=text)
    alone = [part.fruit.name for part in batch.fruits if part.reading and part.reading.titratable_percent and part.reading.ph is None]
    if alone:
        text = "An acidity without its pH says little, and the pH is taken from the tables"
        text = f"{text}: give the pH of the {joined(list(dict.fromkeys(alone)))} too."
        yield Finding(id="reading-alone", kind="do", text=text)
    for part in batch.sweeteners:
        if part.grams is None and sweetness.falls_short(part.sweetener, equivalents_wanted_g(batch), pot.finished_g, pot.water_g):
            text = f"{part.sweetener.name} stops short of the sweetness aimed at: more would taste no sweeter, or crystallize cold."
            yield Finding(id="sweetness-short", kind="know", text=sentence(text))


def _notes(batch: Batch) -> Iterator[Finding]:
    """What there is to know of each fruit, once, where what was said of its name has not said as much."""
    for fruit in {part.fruit.key: part.fruit for part in batch.fruits}.values():
        read_as = any(line.item == fruit.key and any(finding.id == "read-as" for finding in line.findings) for line in batch.lines)
        if fruit.note and not read_as:
            id, waits = f"note-{fruit.key.replace('_', '-')}", fruit.note_may_wait
            yield Finding(id=id, kind="note", text=sentence(fruit.note), may_wait=waits, says_caution=fruit.note_says)


def cautions(solved: Solved) -> tuple[Finding, ...]:
    """The trade's usual cautions that bear on this batch."""
    pot = solved.pot
    ids = [key for key in GENERAL_CAUTIONS if key != "tested-recipe" or pot.batch.standing == "calculated"]
    if pot.doses.lemon_g <= 0.0 and not pot.batch.acids:
        ids = [key for key in ids if key not in OF_ACID]
    if solved.process is not None:
        ids += SHELF_CAUTIONS
        half_pints = facts.jar(pot.batch.settings.jar).size_class == "half-pint"
        timed = any(part.fruit.like_timed_spread for part in pot.batch.fruits)
        if half_pints and timed and pot.batch.settings.own_process_min is None:
            ids.append("tested-time")
    else:
        ids += COLD_CAUTIONS
    if pot.doses.calcium_water_ml > 0.0:
        ids.append("calcium-water")
    if any(finding.kind == "meter" for finding in solved.verdict.findings):
        ids.append("meter")
    if any(part.fruit.has_stone for part in pot.batch.fruits):
        ids.append("kernels")
    if pot.batch.pectin_kind == "standard" and pot.solids_percent < storage.FULL_SUGAR_PERCENT:
        ids.append("no-sugar-cut")
    for part, grams in zip(pot.batch.sweeteners, pot.doses.sweetener_g, strict=True):
        ids += sweetness.caution_ids(part.sweetener, grams, pot.finished_g, pot.water_g)
    ids += _of_extras((*pot.batch.extras, *pot.batch.unfit_extras))
    findings = [_with_swaps(facts.caution(key, pot.batch.settings.units), solved) for key in dict.fromkeys(ids)]
    if solved.process is not None:
        findings += process_notes(solved.process, solved.pot.batch.settings.units)
    return tuple(findings)


def _of_the_acid(solved: Solved) -> list[Finding]:
    """What became of the cook's own acid, and of the lemon juice where another acid takes its place."""
    batch, findings = solved.asked, []
    written = [part for part in batch.acids if part.said]
    of_lemon_g = lemon_in_lines_g(batch)
    total_g = solved.pot.doses.lemon_g + (solved.needed.lemon_g - of_lemon_g if solved.acid else 0.0)
    if written and batch.dose_acid and total_g > of_lemon_g + swapping.LITTLE_ACID_G:
        own = joined([f"{part.said} of {part.acidulant.name}" for part in written])
        what_for = "the shelf" if solved.verdict.storage == "shelf" else "set and taste"
        in_all = of_lemon_g > 0.0 and solved.acid is None
        text = f"You wrote {own}; for {what_for} it takes {dose_words(solved)}{' in all' if in_all else ' besides'}, and that stands above."
        findings.append(Finding(id="acid-raised", kind="know", text=text))
    if solved.acid is not None:
        replaced_ml = (solved.needed.lemon_g - of_lemon_g) / facts.acidulant(LEMON).g_per_ml.typical
        replaced = measures.measured(replaced_ml, batch.settings.units, never_less=True).text
        text = (
            f"{solved.acid.measure} of {solved.acid.name} stands for {replaced} of bottled lemon juice: "
            "the larger of equal acid at its weak end and the swap that agencies print."
        )
        findings.append(Finding(id="acid-swapped", kind="know", text=text))
    return findings


def _with_swaps(caution: Finding, solved: Solved) -> Finding:
    """The caution on fresh juice, with what may take the place of this batch's own lemon juice; no swap into a tested recipe."""
    lemon_g, batch = solved.pot.doses.lemon_g, solved.pot.batch
    if caution.id != "bottled-lemon" or lemon_g <= 0.0 or batch.standing == "tested":
        return caution
    swaps = [swapping.dose(lemon_g, key, batch.settings.units) for key in swapping.ACIDS if key != LEMON]
    instead = " or ".join(f"{swap.measure} of {swap.name}" for swap in swaps)
    text = f"{caution.text} In place of the {solved.measured.lemon.text} here: {instead}"
    return replace(caution, text=f"{text} (--acid works it out)." if batch.dose_acid else f"{text}.", at_prompt=f"{text}.")


def _of_extras(extras: Iterable[str]) -> Iterator[str]:
    """The cautions of a sweetener that is written among the extras, where nothing is weighed and little may still harm."""
    said = " ".join(extras).lower()
    if not said:
        return
    for key, names in facts.table("items")["sweetener"].items():
        if any(re.search(rf"\b{re.escape(name)}\b", said) for name in names):
            yield from (caution for caution in facts.sweetener(key).cautions if facts.caution(caution).kind == "harm")
