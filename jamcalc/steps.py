"""The order of work in the kitchen, for a spread set with calcium-set pectin; others follow their own recipe.

Names everything that goes into the pot, in the order in which it goes in. Called by answer and fitting.
"""

from __future__ import annotations

from jamcalc import facts, measures
from jamcalc.outcome import Process
from jamcalc.solver import Solved
from jamcalc.souring import LEMON
from jamcalc.wording import jar_words

# Dry or liquid sweetener to pectin, by weight, that keeps the powder from lumping: at least 4 (common practice).
BULK_FOR_PECTIN = 4.0


def order_of_work(solved: Solved, jars_to_heat: int) -> tuple[str, ...]:
    """The steps, in order; none for a batch without calcium-set pectin."""
    batch, doses, process = solved.pot.batch, solved.pot.doses, solved.process
    if batch.pectin_kind != "calcium-set" or doses.pectin_g <= 0.0:
        return ()
    steps = [washing(jar_words(facts.jar(batch.settings.jar).name, jars_to_heat), process is not None)]
    prepared = "Prepare and mash the fruit, measure it into a wide pot"
    stirred = _stirred_in(solved)
    steps.append(f"{prepared}, and stir in the {_joined(stirred)}." if stirred else f"{prepared}.")
    steps += _cooking(solved)
    steps.append(_filling(solved))
    if process is None:
        steps.append("Cool, cover and label it, and put it in the refrigerator or the freezer as said above.")
    else:
        steps += [
            boiling(process_time(process)),
            "Heat off, lid off, wait 5 min; lift the jars straight up and let them stand 12 to 24 h. Do not tighten the bands.",
            "Test the seals; what has not sealed goes into the refrigerator. Bands off, wipe, label with name and date.",
        ]
    return tuple(steps)


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
    names = _joined([f"the {name}" for name, _ in cooked])
    steps = []
    if sum(grams for _, grams in cooked) >= BULK_FOR_PECTIN * doses.pectin_g:
        steps.append(f"Stir the pectin well into {names}, so that it does not lump.")
        what = "the pectin in its sweetener"
    else:
        steps.append("There is too little sweetener to carry the pectin: heat a cup of the fruit's own juice and blend the pectin into it.")
        what = f"the pectin and {names}" if cooked else "the pectin"
    if settings.simmer_min > 0.0:
        steps.append(f"Simmer the fruit {settings.simmer_min:g} min{' under a lid' if settings.covered else ''}.")
    boil = f"{settings.boil_min:g} min while it comes back to the boil" if settings.boil_min > 0.0 else "until it is dissolved"
    heat = "Bring the fruit to a full boil" if settings.boil_min > 0.0 or settings.simmer_min > 0.0 else "Warm the fruit"
    steps.append(f"{heat}, add {what}, and stir hard for {boil}." if settings.boil_min > 0.0 else f"{heat}, add {what}, and stir {boil}.")
    return [*steps, *(f"Let it cool, and stir in the {name}: heat would spoil it." for name in late)]


def _filling(solved: Solved) -> str:
    settings = solved.pot.batch.settings
    cold = solved.process is None
    headspace_mm = max(settings.headspace_mm, 12.7) if cold else settings.headspace_mm  # what freezes needs half an inch
    depth = f"{headspace_mm:.0f} mm" if settings.units == "metric" else f"{measures.fraction(headspace_mm / 25.4, 8)} in"
    if cold:
        return f"Off the heat, skim, and fill clean jars to {depth} headspace, which leaves room to freeze."
    lids = "lids on" if facts.jar(settings.jar).closure else "lids on, bands finger-tight"
    again = "If it was cooled to be measured, bring it back to a full boil. " if settings.batch_ph is not None else ""
    return f"{again}Off the heat, skim, fill hot to {depth} headspace, free trapped air and fill up; wipe rims; {lids}."


def _joined(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1] if names else ""


def washing(jars: str, canner: bool) -> str:
    """The first step of the work."""
    return f"Wash {jars} and keep them hot" + ("; bring the canner to a simmer." if canner else ".")


def boiling(time: str) -> str:
    """The step in the canner."""
    return f"Boil the jars {time}, lid on, an inch of water over them; count from a full rolling boil, and begin again if it stops."


def process_time(process: Process) -> str:
    """The time in the canner, where the altitude is known."""
    return f"{process.minutes} min" if process.altitude_ft is not None else "the minutes for your altitude"
