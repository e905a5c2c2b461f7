"""What a meter is for: the step that measures, the acid that a reading asks for, and the reading that would change most.

Decides nothing: what a reading means for keeping is storage's, and every limit here comes from there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.chemistry.acidity import reading_pool
from jamcalc.chemistry.many_pools import dose_for_ph
from jamcalc.formula import batch_acidity, storage, swapping
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.solver import Solved, solve
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.outcome import AcidDose, Task
from jamcalc.nouns.said import Finding, Reading
from jamcalc.words import measures
from jamcalc.words.phrases import counted

BUFFERS = "pH 4 and 7 buffers"  # also how a step that is there already is known
_STEP = (
    "Measure it: take the pot off the heat and let it wait. Blend about {some} of it smooth, let it come to room temperature, "
    f"set the meter on its {BUFFERS}, read twice, and throw the sample away. {storage.SHELF_READING_PH:.2f} or lower: back to a full boil "
    f"and into hot jars. Above {storage.SHELF_READING_PH:.2f}: add acid and measure again, or keep it cold."
)  # FDA, 21 CFR 114.90: two buffers, a sample at room temperature, made uniform; the rest is common practice
TASKS = {units: Task(text=_STEP.format(some=some), kind="measure") for units, some in measures.SAMPLE.items()}
_FILLING = re.compile(r"\b(?:fill|ladle|pack|pour|spoon)", re.IGNORECASE)
_IN_CANNER = re.compile(r"\b(?:process(?:ed)?|canner|water[- ]bath)\b", re.IGNORECASE)

LARGE_DOSE_G_PER_KG = facts.limit("large_dose_g_per_kg").typical
WORTH_SAYING = facts.limit("worth_saying_fraction").typical
READING_STEP = 10  # to the pH: what is read off a kitchen meter, 0.1


# ---------------------------------------------------------------- the step


def decides(solved: Solved) -> bool:
    """Whether how the batch is kept hangs on a pH that nobody has measured yet, or that was measured and is to be mended."""
    reading = solved.pot.batch.settings.batch_ph
    if solved.pot.batch.standing == "tested" or (reading is not None and reading <= storage.SHELF_READING_PH):
        return False
    if reading is not None:  # too high: it is worth a second one only where acid in reason may bring it down
        return rescue(solved) is not None
    return solved.verdict.storage == "shelf" or may_be_mended(solved)


def may_be_mended(solved: Solved) -> bool:
    """Whether nothing but the pH keeps the batch off the shelf, and a meter may still show it to be low enough."""
    return storage.meter_decides(solved.verdict.findings)


def with_step(tasks: Sequence[Task], solved: Solved) -> tuple[Task, ...]:
    """An order of work with the measuring step before the jars are filled, where a pH decides; else, and if it is there, as it was."""
    if not decides(solved) or any(BUFFERS in task.text for task in tasks):
        return tuple(tasks)
    return before_filling(tasks, solved.pot.batch.settings.units)


def before_filling(tasks: Sequence[Task], units: str) -> tuple[Task, ...]:
    """Tasks with the measuring step before the last one that fills jars, or else before the canner: a sealed jar is not measured."""
    filling = [index for index, task in enumerate(tasks) if _FILLING.search(task.text)]
    canner = [index for index, task in enumerate(tasks) if _IN_CANNER.search(task.text)]
    place = filling[-1] if filling else canner[-1] if canner else len(tasks)
    return (*tasks[:place], TASKS[units], *tasks[place:])


# ---------------------------------------------------------------- acid for a reading that is too high


def rescue(solved: Solved) -> AcidDose | None:
    """Acid that brings a batch read at over 4.20, up to 4.60, to where a second reading should be low enough; None: no rescue.

        of each cautious combination: strong ions that give the reading + 0.1, then acid to 4.20 - 0.1; the most of them counts

    At most 150 g of lemon juice per kg of fruit, with what is in the pot. References: CFR-114
    """
    batch, amounts = solved.pot.batch, solved.pot.amounts
    reading = batch.settings.batch_ph
    if reading is None or not may_be_mended(solved):
        return None
    margin = batch_acidity.READING_MARGIN_PH
    in_it_g = amounts.lemon_g + sum(swapping.as_lemon_g(part) for part in solved.asked.acids if part.acidulant.key != LEMON)
    if solved.acid is not None:
        in_it_g += solved.needed.lemon_g - batch_acidity.lemon_in_lines_g(solved.asked)
    most_g = storage.MOST_LEMON_G_PER_KG * batch_acidity.fruit_g(batch) / 1000.0 - in_it_g
    if most_g <= 0.0:
        return None
    as_read = reading_pool(amounts.cautious_pool(), reading + margin)
    dose_g = dose_for_ph(as_read, batch_acidity.lemon_pool("weak"), storage.SHELF_READING_PH - margin, most_g)
    if dose_g is None:
        return None
    return swapping.dose(dose_g, batch.settings.acid, batch.settings.units)


def dose_words(solved: Solved) -> str:
    """The acid that was dosed, as measured: lemon juice, or the acid that takes its place."""
    if solved.acid is not None:
        return f"{solved.acid.measure} of {solved.acid.name}"
    return f"{solved.measured.lemon.text} of bottled lemon juice"


def rescue_findings(solved: Solved, dose: AcidDose | None) -> tuple[Finding, ...]:
    """What to add to a pot that reads too high, or that nothing in reason will do."""
    if solved.pot.batch.settings.batch_ph is None or not may_be_mended(solved):
        return ()
    if dose is None:
        most = storage.MOST_LEMON_G_PER_KG
        text = f"No lemon juice in reason ({most:.0f} g per kg of fruit in all) is sure to bring it that low: keep it cold."
        return (Finding(id="rescue-out-of-reach", kind="no mend", text=text),)
    text = (
        f"Add {dose.measure} of {dose.name} to the whole pot, stir well, and measure a new sample: that should bring it to "
        f"{storage.SHELF_READING_PH:.2f} or lower, and only the new reading counts."
    )
    return (Finding(id="rescue", kind="mends", text=text),)


# ---------------------------------------------------------------- what is worth measuring


@dataclass(frozen=True, kw_only=True)
class _Worth:
    """A fruit, the highest reading of it that will do, and the lemon juice that will then do."""

    part: FruitPart
    ph: float
    lemon_g: float


def worth_measuring(solved: Solved) -> tuple[Finding, ...]:
    """The one reading of a fruit that would change most: how low it must be, and what is then enough; nothing where none would.

    Looked for where the dose is large, where a reading takes the whole dose away, and where the shelf is missed. The highest
    reading that will do is found by halving on the steps of a meter, then put through the whole system.
    """
    acid = solved.asked.settings.acid
    if solved.acid is not None:  # looked for in lemon juice, as the dose was; said in the acid that is used
        solved = solve(replace(solved.asked, settings=replace(solved.asked.settings, acid=LEMON, draws=0)))
    batch = solved.pot.batch
    on_shelf = solved.verdict.storage == "shelf"
    missed = not on_shelf and all(finding.kind in ("meter", "too mild") for finding in solved.verdict.findings)
    if not (on_shelf or missed) or not solved.shelf_open or batch.settings.batch_ph is not None or batch.standing == "tested":
        return ()
    worth = _sought(solved, missed)
    return () if worth is None else _proven(solved, worth, acid)


def _sought(solved: Solved, missed: bool) -> _Worth | None:
    """The fruit that matters most, and the highest reading of it that does what is worth a meter."""
    unread = {part.fruit.key: part for part in solved.pot.batch.fruits if part.ph_read is None}
    aims = _aims(solved, missed)
    if not unread or not aims:
        return None
    part = _matters_most(solved, list(unread.values()))
    for lemon_g, only_likely in aims:
        worth = _at_most(solved, part, lemon_g)
        if worth is not None and not (only_likely and _steps(worth.ph) < _steps(part.fruit.ph.typical)):
            return worth
    return None


def _matters_most(solved: Solved, parts: Sequence[FruitPart]) -> FruitPart:
    """The fruit that leaves the lowest high side where it reads what is typical of it."""
    if len(parts) == 1:
        return parts[0]
    amounts = solved.pot.amounts
    as_typical = (replace(amounts, batch=_as_read(solved.pot.batch, part, part.fruit.ph.typical)) for part in parts)
    left_ph = batch_acidity.high_sides_ph([sourables.cautious_pool() for sourables in as_typical])
    return parts[left_ph.index(min(left_ph))]


def _aims(solved: Solved, missed: bool) -> list[tuple[float, bool]]:
    """Lemon juice [g] that a reading should make enough, the best first, and whether only a likely reading is worth saying."""
    batch, dose_g = solved.pot.batch, solved.pot.amounts.lemon_g
    if not batch.dose_acid:  # as written: only whether it may stand on a shelf
        return [(dose_g, False)] if missed else []
    least_g = max(batch_acidity.lemon_in_lines_g(batch), batch_acidity.government_lemon_g(batch))  # no reading takes this away
    fruit_kg = batch_acidity.fruit_g(batch) / 1000.0
    if not missed and dose_g <= least_g * (1.0 + 1e-9):
        return []
    aims = [(least_g, True)]
    if missed:
        aims.append((storage.MOST_LEMON_G_PER_KG * fruit_kg, False))
    elif dose_g > LARGE_DOSE_G_PER_KG * fruit_kg:
        aims.append((max(least_g, dose_g / 2.0), False))
    return aims


def _at_most(solved: Solved, part: FruitPart, lemon_g: float) -> _Worth | None:
    """The highest reading in a fruit's range at which this much lemon juice is enough."""
    low, high = math.ceil(part.fruit.ph.low * READING_STEP), math.floor(part.fruit.ph.high * READING_STEP)
    if low > high or not _enough(solved, part, low / READING_STEP, lemon_g):
        return None
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if _enough(solved, part, middle / READING_STEP, lemon_g) else (low, middle - 1)
    return _Worth(part=part, ph=low / READING_STEP, lemon_g=lemon_g)


def _enough(solved: Solved, part: FruitPart, ph: float, lemon_g: float) -> bool:
    """Whether the high side is at 4.00 with this much lemon juice, had this fruit read so."""
    amounts = replace(solved.pot.amounts, batch=_as_read(solved.pot.batch, part, ph), lemon_g=lemon_g)
    return batch_acidity.sour_enough(amounts)


def _as_read(batch: Batch, part: FruitPart, ph: float) -> Batch:
    key = part.fruit.key
    reading = replace(part.reading, ph=ph) if part.reading is not None else Reading(item=key, ph=ph)
    return replace(batch, fruits=tuple(replace(fruit, reading=reading) if fruit.fruit.key == key else fruit for fruit in batch.fruits))


def _steps(ph: float) -> int:
    return round(ph * READING_STEP)


def _proven(solved: Solved, worth: _Worth, acid: str) -> tuple[Finding, ...]:
    """The finding, with the dose that the whole system gives at that reading; a step lower where rounding upsets it; else nothing."""
    batch = solved.pot.batch
    dose_g = solved.pot.doses.lemon_g
    if batch.dose_acid and worth.lemon_g <= 0.0:  # sour enough alone: the solver asks no more than was asked here
        return (_said(solved, worth.part, worth.ph, "no lemon juice is needed"),)
    for step in (0, 1, 2):
        ph = (_steps(worth.ph) - step) / READING_STEP
        then = solve(_as_read(replace(batch, settings=replace(batch.settings, acid=acid, draws=0)), worth.part, ph))
        if then.verdict.storage != "shelf":
            continue
        then_g = then.pot.doses.lemon_g if then.acid is None else then.needed.lemon_g
        if solved.verdict.storage == "shelf" and then_g > WORTH_SAYING * dose_g:
            continue
        for_what = " for the shelf" if solved.verdict.storage != "shelf" else ""
        enough = f"{dose_words(then)} is enough{for_what}" if batch.dose_acid else "it is sour enough for the shelf as written"
        return (_said(solved, worth.part, ph, enough),)
    return ()


def _said(solved: Solved, part: FruitPart, ph: float, enough: str) -> Finding:
    """The reading to take; where her earlier lots of the fruit all read so low, it is likely to, and that is said and no more."""
    text = f"If your {part.plural} read pH {ph:.1f} or lower, {enough}."
    known = solved.pot.batch.learned.of(part.fruit.key)
    if known is not None and known.read_low is not None and known.read_high is not None and known.read_high <= ph:
        read = f"{known.read_low:g}" if known.read_low == known.read_high else f"{known.read_low:g} to {known.read_high:g}"
        text = f"Your {part.plural} read pH {read} in {counted(known.readings, 'batch')}: measure these. At {ph:.1f} or lower {enough}."
    return Finding(id="worth-measuring", kind="know", text=text)
