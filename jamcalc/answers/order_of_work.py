"""The order of work in the kitchen, for a spread set with calcium-set pectin; others follow their own recipe.

Names everything that goes into the pot, in the order in which it goes in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from jamcalc import facts
from jamcalc.answers import measuring
from jamcalc.formula import storage
from jamcalc.formula.mixture import LEMON, mashed_cups
from jamcalc.formula.solver import Solved
from jamcalc.jars.canner import WATER_OVER_JARS
from jamcalc.nouns.asked import Settings
from jamcalc.nouns.outcome import JarsOf, Task, TaskKind
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
AFTER_THE_BOIL = (
    Task(
        text="Heat off, lid off, wait 5 min; lift the jars straight up and let them stand 12 to 24 h. Do not tighten the bands.",
        short="Heat off, lid off, wait 5 min; lift straight up, let stand 12 to 24 h; do not tighten the bands.",
        kind="routine",
    ),
    Task(
        text="Test the seals; what has not sealed goes into the refrigerator. Bands off, wipe, label with name and date.",
        short="Test the seals: refrigerate what has not sealed. Bands off, wipe, label with name and date.",
        kind="routine",
    ),
)
# What the steps of a recipe file tell of themselves by their first words.
_CANNER = re.compile("Boil the jars")
_ROUTINE = re.compile("Wash [^.]+ and keep (?:it|them) hot|Heat off, lid off|Test the seals|Cool, cover and label")
FREEZER_HEADSPACE_MM = measures.MM_PER_INCH / 2  # what freezes swells (common practice)


def in_general(solved: Solved) -> tuple[Task, ...]:
    """The steps, in order, for any jars and any altitude; none for a batch without calcium-set pectin."""
    batch, doses, process = solved.pot.batch, solved.pot.doses, solved.process
    if doses.pectin_g <= 0.0:
        return measuring.with_step((), solved)
    canner = process is not None or measuring.decides(solved)  # what may turn out sour enough finds hot jars ready
    tasks = [Task(text=GENERAL_JARS + ("; bring the canner to a simmer." if canner else "."), kind="routine")]
    if batch.pectin_kind == "calcium-set":
        tasks += [_mixing(solved), *_cooking(solved)]
    else:
        leaflet = "Cook these amounts by the leaflet that came with the pectin: each has its own order."
        tasks.append(Task(text=f"{leaflet} Put in {_everything(solved)}."))
    if measuring.decides(solved):
        tasks.append(measuring.TASKS[batch.settings.units])
    tasks.append(_filling(solved))
    if process is None:
        cooling = "Cool, cover and label it, and put it in the refrigerator or the freezer within 2 hours."
        return (*tasks, Task(text=cooling, kind="routine"))
    return (*tasks, Task(text=boiling(GENERAL_MINUTES, batch.settings.units), kind="process"), *AFTER_THE_BOIL)


def of_a_recipe(steps: Iterable[str], ours: Iterable[Task]) -> tuple[Task, ...]:
    """A recipe's own steps as tasks: one that is ours to the letter is ours, of any other its words tell what it is for."""
    known = {task.text: task for task in measuring.TASKS.values()}
    known |= {task.for_any: replace(task, text=task.for_any, general="") for task in ours}
    return tuple(known.get(text) or Task(text=text, kind=_kind_of(text)) for text in steps)


def _kind_of(text: str) -> TaskKind:
    return "process" if _CANNER.match(text) else "routine" if _ROUTINE.match(text) else ""


def _everything(solved: Solved) -> str:
    names = [*_stirred_in(solved), *(part.sweetener.name for part in solved.pot.batch.sweeteners)]
    return joined([f"the {name}" for name in ("fruit", "pectin", *names)])


def _mixing(solved: Solved) -> Task:
    """Fruit and all that is stirred into it cold; juice for the pectin is kept back before the calcium is in."""
    frozen = any(part.form == "frozen" for part in solved.pot.batch.fruits)
    prepared = "Thaw the frozen fruit and keep all its juice; p" if frozen else "P"
    aside = [] if _carried(solved) else [f"set {_juice_aside(solved)} of its juice aside for the pectin"]
    stirred = [f"stir in the {joined(names)}"] if (names := _stirred_in(solved)) else []
    parts = [f"{prepared}repare and mash the fruit", "measure it into a wide pot", *aside, *stirred]
    at_once = f"{'Thaw the frozen fruit, keep its juice; p' if frozen else 'P'}repare, mash, measure the fruit into a wide pot"
    return Task(text=f"{', '.join(parts[:-1])}, and {parts[-1]}.", short=f"{'; '.join([at_once, *aside, *stirred])}.")


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


def _cooking(solved: Solved) -> list[Task]:
    batch, doses = solved.pot.batch, solved.pot.doses
    settings = batch.settings
    weighed = tuple(zip(batch.sweeteners, doses.sweetener_g, strict=True))
    cooked = [(part.sweetener.name, grams) for part, grams in weighed if part.sweetener.stands_process]
    late = [part.sweetener.name for part, _ in weighed if not part.sweetener.stands_process]
    names = joined([f"the {name}" for name, _ in cooked])
    tasks = []
    if _carried(solved):
        stirred = f"Stir the pectin well into {names}"
        tasks.append(Task(text=f"{stirred}, so that it does not lump.", short=f"{stirred}: no lumps."))
        what = "the pectin in its sweetener"
    else:
        blending = "Heat the juice set aside and blend the pectin into it: there is too little sweetener to keep it from lumping."
        tasks.append(Task(text=blending))
        what = f"the pectin and {names}" if cooked else "the pectin"
    if settings.simmer_min > 0.0:
        tasks.append(Task(text=f"Simmer the fruit {settings.simmer_min:g} min{' under a lid' if settings.covered else ''}."))
    heat = "Bring the fruit to a full boil" if settings.boil_min > 0.0 or settings.simmer_min > 0.0 else "Warm the fruit"
    if settings.boil_min > 0.0:
        time = f"{settings.boil_min:g} min"
        text = f"{heat}, add {what}, and stir hard for {time} while it comes back to the boil."
        tasks.append(Task(text=text, short=f"At a full boil add {what}; stir hard {time} as it boils up again."))
    else:
        tasks.append(Task(text=f"{heat}, add {what}, and stir until it is dissolved."))
    return [*tasks, *(Task(text=f"Let it cool, and stir in the {name}: heat would spoil it.") for name in late)]


def _filling(solved: Solved) -> Task:
    settings = solved.pot.batch.settings
    cold = solved.process is None
    fits = cold or storage.SHELF_HEADSPACE_MM[0] <= settings.headspace_mm <= storage.SHELF_HEADSPACE_MM[1]
    wanted_mm = settings.headspace_mm if fits else Settings().headspace_mm  # whatever was asked for, a shelf jar is filled to 1/4 in
    depth, frozen = (f"{mm:.0f} mm" if settings.units == "metric" else measures.inches_text(mm) for mm in (wanted_mm, FREEZER_HEADSPACE_MM))
    if cold:
        first = "Where it is to be kept cold: o" if measuring.decides(solved) else "O"
        fill = f"{first}ff the heat, skim, and fill clean jars to {depth} headspace, or to {frozen}"
        return Task(text=f"{fill} those that you freeze.", short=f"{fill} if you freeze them.")
    lids = "lids on" if facts.jar(settings.jar).closure else "lids on, bands fingertip-tight"
    again = "If it was cooled to be measured, bring it back to a full boil. " if settings.batch_ph is not None else ""
    return Task(text=f"{again}Off the heat, skim, fill hot to {depth} headspace, free trapped air and fill up; wipe rims; {lids}.")


def boiling(time: str, units: str) -> str:
    """The step in the canner."""
    over = f"{WATER_OVER_JARS[units]} of water over them"
    return f"{_boil(time)} {over}; count from a full rolling boil, and begin again if it stops."


def _boil(time: str) -> str:
    return f"Boil the jars {time}, lid on,"


def in_these_jars(tasks: Iterable[Task], jars: Sequence[JarsOf], time: str) -> tuple[Task, ...]:
    """Tasks that speak of jars and minutes in general, ours or those of a recipe file, with this batch's own put in."""
    own = {GENERAL_JARS: _wash(jars), _boil(GENERAL_MINUTES): _boil(time)}
    return tuple(timed_here(_in_place(task, own), time) for task in tasks)


def timed_here(task: Task, time: str) -> Task:
    """A task with the minutes of this kitchen behind those of its own, where they differ: a step is not followed for fewer."""
    match = OWN_MINUTES.search(task.for_any)
    if match is None or time == f"{match[1]} min":
        return task
    return replace(task, text=f"{task.for_any.rstrip('. ')}. In your kitchen: {time}.", general=task.for_any)


def with_jars(tasks: Iterable[Task], jars: Sequence[JarsOf]) -> tuple[Task, ...]:
    """Tasks with other jars in place of those they name, and the minutes that they have."""
    return tuple(_in_place(task, {GENERAL_JARS: _wash(jars)}) for task in tasks)


def _in_place(task: Task, own: Mapping[str, str]) -> Task:
    """A task that begins in general words, with this batch's own in their place; any other as it was."""
    general = task.for_any
    words = next((words for words in own if general.startswith(words)), None)
    return task if words is None else replace(task, text=own[words] + general.removeprefix(words), general=general)


def _wash(jars: Sequence[JarsOf]) -> str:
    return f"Wash {all_jars(jars)} and keep {'it' if sum(kind.count for kind in jars) == 1 else 'them'} hot"


def to_heat(jar: str, count: int) -> tuple[JarsOf, ...]:
    """Jars of one kind, by the jar's key."""
    return (JarsOf(jar=jar, name=facts.jar(jar).name, count=count),)


def process_time(process: Process | None) -> str:
    """The time in the canner, where the altitude is known."""
    return "the minutes for your altitude" if process is None or process.altitude_ft is None else f"{process.minutes} min"
