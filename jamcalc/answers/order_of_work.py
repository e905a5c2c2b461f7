"""The order of work in the kitchen, for a spread set with calcium-set pectin; others follow their own recipe.

Names everything that goes into the pot, in the order in which it goes in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from jamcalc import facts
from jamcalc.answers import measuring
from jamcalc.formula import storage
from jamcalc.formula.mixture import LEMON, mashed_cups
from jamcalc.formula.solver import Solved
from jamcalc.jars.canner import WATER_OVER_JARS
from jamcalc.nouns.asked import Settings
from jamcalc.nouns.outcome import JarsOf
from jamcalc.nouns.timing import Process
from jamcalc.words import measures
from jamcalc.words.phrases import all_jars, joined

BULK_FOR_PECTIN = facts.limit("bulk_for_pectin_times").typical
# What a step says in general, as in a recipe file, which will be scaled, and cooked in another kitchen.
GENERAL_JARS = "Wash the jars and keep them hot"
GENERAL_MINUTES = "the minutes for their size and your altitude"
# Minutes that a recipe's own step names for the canner: they were those of where it was written.
OWN_MINUTES = re.compile(
    r"\b(?:process(?:ed)?\b(?![^.;]*\b(?:blender|processor)\b)|(?:canner|water[- ]bath|boiling[- ]water)\b)[^.;]*?\b([0-9]+) ?min",
    re.IGNORECASE,
)
FREEZER_HEADSPACE_MM = measures.MM_PER_INCH / 2  # what freezes swells (common practice)


def in_general(solved: Solved) -> tuple[str, ...]:
    """The steps, in order, for any jars and any altitude; none for a batch without calcium-set pectin."""
    batch, doses, process = solved.pot.batch, solved.pot.doses, solved.process
    if doses.pectin_g <= 0.0:
        return measuring.with_step((), solved)
    canner = process is not None or measuring.decides(solved)  # what may turn out sour enough finds hot jars ready
    steps = [GENERAL_JARS + ("; bring the canner to a simmer." if canner else ".")]
    if batch.pectin_kind == "calcium-set":
        steps += [_mixing(solved), *_cooking(solved)]
    else:
        steps.append(f"Cook these amounts by the leaflet that came with the pectin: each has its own order. Put in {_everything(solved)}.")
    if measuring.decides(solved):
        steps.append(measuring.STEPS[batch.settings.units])
    steps.append(_filling(solved))
    if process is None:
        steps.append("Cool, cover and label it, and put it in the refrigerator or the freezer within 2 hours.")
    else:
        steps += [
            boiling(GENERAL_MINUTES, batch.settings.units),
            "Heat off, lid off, wait 5 min; lift the jars straight up and let them stand 12 to 24 h. Do not tighten the bands.",
            "Test the seals; what has not sealed goes into the refrigerator. Bands off, wipe, label with name and date.",
        ]
    return tuple(steps)


def _everything(solved: Solved) -> str:
    names = [*_stirred_in(solved), *(part.sweetener.name for part in solved.pot.batch.sweeteners)]
    return joined([f"the {name}" for name in ("fruit", "pectin", *names)])


def _mixing(solved: Solved) -> str:
    """Fruit and all that is stirred into it cold; juice for the pectin is kept back before the calcium is in."""
    frozen = any(part.form == "frozen" for part in solved.pot.batch.fruits)
    prepared = "Thaw the frozen fruit and keep all its juice; p" if frozen else "P"
    parts = [f"{prepared}repare and mash the fruit", "measure it into a wide pot"]
    if not _carried(solved):
        parts.append(f"set {_juice_aside(solved)} of its juice aside for the pectin")
    if stirred := _stirred_in(solved):
        parts.append(f"stir in the {joined(stirred)}")
    return f"{', '.join(parts[:-1])}, and {parts[-1]}."


def _juice_aside(solved: Solved) -> str:
    """A cup, or of a small batch a quarter of the mash: it does not give more."""
    batch = solved.pot.batch
    mashed_ml = mashed_cups(batch) * measures.CUP_ML
    return measures.jam_text(min(measures.CUP_ML, mashed_ml / 4.0), batch.settings.units)


def _carried(solved: Solved) -> bool:
    """Whether there is sweetener enough to keep the pectin from lumping."""
    doses = solved.pot.doses
    weighed = zip(solved.pot.batch.sweeteners, doses.sweetener_g, strict=True)
    return sum(grams for part, grams in weighed if part.sweetener.stands_process) >= BULK_FOR_PECTIN * doses.pectin_g


def _stirred_in(solved: Solved) -> list[str]:
    """All that goes into the cold fruit: every acid, every liquid, and the calcium water."""
    batch, doses = solved.pot.batch, solved.pot.doses
    names = ["bottled lemon juice"] if doses.lemon_g > 0.0 else []
    names += [part.acidulant.name for part in batch.acids if part.acidulant.key != LEMON]
    names += ["water"] if batch.water_g > 0.0 else []
    return [*names, "calcium water, shaken first"] if doses.calcium_water_ml > 0.0 else names


def _cooking(solved: Solved) -> list[str]:
    batch, doses = solved.pot.batch, solved.pot.doses
    settings = batch.settings
    weighed = tuple(zip(batch.sweeteners, doses.sweetener_g, strict=True))
    cooked = [(part.sweetener.name, grams) for part, grams in weighed if part.sweetener.stands_process]
    late = [part.sweetener.name for part, _ in weighed if not part.sweetener.stands_process]
    names = joined([f"the {name}" for name, _ in cooked])
    steps = []
    if _carried(solved):
        steps.append(f"Stir the pectin well into {names}, so that it does not lump.")
        what = "the pectin in its sweetener"
    else:
        steps.append("Heat the juice set aside and blend the pectin into it: there is too little sweetener to keep it from lumping.")
        what = f"the pectin and {names}" if cooked else "the pectin"
    if settings.simmer_min > 0.0:
        steps.append(f"Simmer the fruit {settings.simmer_min:g} min{' under a lid' if settings.covered else ''}.")
    stirring = f"hard for {settings.boil_min:g} min while it comes back to the boil" if settings.boil_min > 0.0 else "until it is dissolved"
    heat = "Bring the fruit to a full boil" if settings.boil_min > 0.0 or settings.simmer_min > 0.0 else "Warm the fruit"
    steps.append(f"{heat}, add {what}, and stir {stirring}.")
    return [*steps, *(f"Let it cool, and stir in the {name}: heat would spoil it." for name in late)]


def _filling(solved: Solved) -> str:
    settings = solved.pot.batch.settings
    cold = solved.process is None
    fits = cold or storage.SHELF_HEADSPACE_MM[0] <= settings.headspace_mm <= storage.SHELF_HEADSPACE_MM[1]
    wanted_mm = settings.headspace_mm if fits else Settings().headspace_mm  # whatever was asked for, a shelf jar is filled to 1/4 in
    depth, frozen = (f"{mm:.0f} mm" if settings.units == "metric" else measures.inches_text(mm) for mm in (wanted_mm, FREEZER_HEADSPACE_MM))
    if cold:
        first = "Where it is to be kept cold: o" if measuring.decides(solved) else "O"
        return f"{first}ff the heat, skim, and fill clean jars to {depth} headspace, or to {frozen} those that you freeze."
    lids = "lids on" if facts.jar(settings.jar).closure else "lids on, bands fingertip-tight"
    again = "If it was cooled to be measured, bring it back to a full boil. " if settings.batch_ph is not None else ""
    return f"{again}Off the heat, skim, fill hot to {depth} headspace, free trapped air and fill up; wipe rims; {lids}."


def boiling(time: str, units: str) -> str:
    """The step in the canner."""
    over = f"{WATER_OVER_JARS[units]} of water over them"
    return f"{_boil(time)} {over}; count from a full rolling boil, and begin again if it stops."


def _boil(time: str) -> str:
    return f"Boil the jars {time}, lid on,"


def in_these_jars(steps: Iterable[str], jars: Sequence[JarsOf], time: str) -> tuple[str, ...]:
    """Steps that speak of jars and minutes in general, ours or those of a recipe file, with this batch's own put in."""
    wash = f"Wash {all_jars(jars)} and keep {'it' if sum(kind.count for kind in jars) == 1 else 'them'} hot"
    own = {GENERAL_JARS: wash, _boil(GENERAL_MINUTES): _boil(time)}
    steps = (next((own[words] + step.removeprefix(words) for words in own if step.startswith(words)), step) for step in steps)
    return tuple(timed_here(step, time) for step in steps)


def timed_here(step: str, time: str) -> str:
    """A step with the minutes of this kitchen behind those of its own, where they differ: a step is not followed for fewer."""
    match = OWN_MINUTES.search(step)
    if match is None or not time or time == f"{match[1]} min":
        return step
    return f"{step.rstrip('. ')}. In your kitchen: {time}."


def with_jars(steps: Sequence[str], general: Sequence[str], jars: Sequence[JarsOf]) -> tuple[str, ...]:
    """Steps with other jars in place of their own; `general` are the same steps for any jars, which tell where those stand."""
    if len(steps) != len(general):
        return tuple(steps)
    return tuple(
        in_these_jars([said], jars, "")[0] if said.startswith(GENERAL_JARS) else step for step, said in zip(steps, general, strict=True)
    )


def to_heat(jar: str, count: int) -> tuple[JarsOf, ...]:
    """Jars of one kind, by the jar's key."""
    return (JarsOf(jar=jar, name=facts.jar(jar).name, count=count),)


def process_time(process: Process | None) -> str:
    """The time in the canner, where the altitude is known."""
    return "the minutes for your altitude" if process is None or process.altitude_ft is None else f"{process.minutes} min"
