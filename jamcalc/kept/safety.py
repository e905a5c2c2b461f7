"""What a finished batch means for its jars: which of them may not stand on the shelf, why, and what to do at once.

A batch that was answered for the shelf comes off it by a meter over 4.20, a seal that failed, fewer minutes than answered, a jar
larger than answered or one whose lid no time is published for; one that was answered cold, by standing in the pantry. The limits are
storage's. Pure: the day is an argument.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from jamcalc import facts
from jamcalc.errors import UnknownItem
from jamcalc.formula import storage
from jamcalc.kept.entries import Jars, Kept
from jamcalc.kept.now import IN_TIME, Now, total
from jamcalc.words.phrases import jar_words, joined, one_jar

# USDA Complete Guide to Home Canning (2015), Guide 1, "Reprocessing unsealed jars": within 24 hours, or refrigerate, or freeze (memory).
DAY_RULE = "Within 24 hours of the canner"
TOO_LATE = "Later than that: discard them, do not taste."
SIZES = ("half-pint", "pint", "too large")


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One reason why jars are off the shelf. `jars` are the keys that it is true of; None: all. `unsealed`: of the unsealed alone."""

    id: str
    text: str
    jars: tuple[str, ...] | None = None
    unsealed: bool = False
    canned_again: bool = True  # whether the acid lets them be processed again


def marks(batch: Kept, state: Now) -> tuple[Mark, ...]:
    """The reasons that hold, worst first; none: the jars may stand where the answer said.

    Parameters
    ----------
    batch : as it was answered; state : what was entered since, brought together
    """
    on_shelf = any(move.place == "pantry" for move in state.moves)
    if batch.storage == "cold":
        if not on_shelf:
            return ()
        text = "answered as cold, not for the shelf, and stored in the pantry"
        return (*_acid(state), Mark(id="cold-in-pantry", text=text, canned_again=False))
    return (*_acid(state), *_too_large(batch, state), *_other_lids(state), *_too_short(batch, state), *_open(state))


def _acid(state: Now) -> tuple[Mark, ...]:
    reading = None if state.highest_ph is None else round(state.highest_ph, 2)
    if reading is None or reading <= storage.SHELF_READING_PH:
        return ()
    limit = storage.WALL_PH if reading > storage.WALL_PH else storage.SHELF_READING_PH
    why = ", where botulism can grow" if reading > storage.WALL_PH else ""
    text = f"it read pH {reading:.2f}, over {limit:.2f}{why}"
    if state.ph is not None and round(state.ph, 2) < reading:
        text += f"; the later {state.ph:.2f} does not take that back"
    return (Mark(id="ph-read", text=text, canned_again=False),)


def size_of(jar: str) -> str:
    """half-pint, pint or too large; a jar that is not known here counts as too large."""
    try:
        return facts.jar(jar).size_class
    except UnknownItem:
        return "too large"


def _answered_size(batch: Kept) -> int:
    """How large a jar the answer gave a time for, as a position in SIZES; -1: for none."""
    return 1 if batch.minutes_pint is not None else 0 if batch.minutes_half_pint is not None else -1


def minutes_for(batch: Kept, jar: str) -> int | None:
    """The minutes that the answer asks of a jar; None for one that is larger than any in it."""
    size = SIZES.index(size_of(jar))
    if size > _answered_size(batch):
        return None
    return batch.minutes_half_pint if size == 0 and batch.minutes_half_pint is not None else batch.minutes_pint


def _too_large(batch: Kept, state: Now) -> tuple[Mark, ...]:
    jars = tuple(kind.jar for kind in state.filled if kind.count and SIZES.index(size_of(kind.jar)) > _answered_size(batch))
    if not jars:
        return ()
    return (Mark(id="larger-jar", text=f"{joined([one_jar(name_of(jar)) for jar in jars])}: larger than the answer was for", jars=jars),)


def _other_lids(state: Now) -> tuple[Mark, ...]:
    """Jars filled instead of those of the answer, whose lids are not of two pieces: storage bars them from the shelf."""
    jars = tuple(kind.jar for kind in state.filled if kind.count and _closure(kind.jar))
    if not jars:
        return ()
    text = f"{joined([f'{one_jar(name_of(jar))} ({_closure(jar)})' for jar in jars])}: times are published for two-piece lids alone"
    return (Mark(id="jar-closure", text=text, jars=jars, canned_again=False),)


def _closure(jar: str) -> str:
    try:
        return facts.jar(jar).closure
    except UnknownItem:
        return ""  # it counts as too large


def _too_short(batch: Kept, state: Now) -> tuple[Mark, ...]:
    if state.fewest_min is None:
        return ()
    filled = [kind.jar for kind in state.filled if kind.count] or [batch.jar]
    short = {jar: needed for jar in filled if (needed := minutes_for(batch, jar)) is not None and state.fewest_min < needed}
    if not short:
        return ()
    text = f"{state.fewest_min:g} minutes in boiling water, and the answer asks for {max(short.values())}"
    if state.processed_min is not None and state.processed_min > state.fewest_min:
        text += f"; {state.processed_min:g} entered more than a day later mends nothing"
    return (Mark(id="minutes-under", text=text, jars=tuple(short) if state.filled else None),)


def _open(state: Now) -> tuple[Mark, ...]:
    count = total(state.unsealed)
    if not count:
        return ()
    many = "jar that did not seal" if count == 1 else "jars that did not seal"
    return (Mark(id="unsealed", text=f"{count} {many}", jars=tuple(kind.jar for kind in state.unsealed), unsealed=True),)


def name_of(jar: str) -> str:
    """The jar's name as shown; its key where it is not known here."""
    try:
        return facts.jar(jar).name
    except UnknownItem:
        return jar


def jars_text(jars: Sequence[Jars]) -> str:
    """Jars by size: "6 half-pints and 2 pints"; empty for none."""
    return joined([jar_words(name_of(kind.jar), kind.count) for kind in jars]) if jars else ""


def left_text(state: Now) -> str:
    """The jars that are left: "4 half-pints, and 1 half-pint that did not seal"; "none"."""
    bad = f"{jars_text(state.left_unsealed)} that did not seal" if state.left_unsealed else ""
    return ", and ".join(text for text in (jars_text(state.left), bad) if text) or "none"


# ---------------------------------------------------------------- what to do


def cold_in_time(state: Now) -> bool:
    """Whether the jars have been in the cold ever since the day they were made, or since the day after."""
    since = None
    for move in reversed(state.moves):
        if move.place == "pantry":
            break
        since = move.day
    return since is not None and since <= state.made + IN_TIME


def advice(batch: Kept, state: Now, reasons: Sequence[Mark], today: date) -> str:
    """What to do with jars that are off the shelf, in a sentence or two; "" where none is.

    Parameters
    ----------
    reasons : from `marks`; today : the kitchen's date
    """
    if not reasons:
        return ""
    wall = state.highest_ph is not None and round(state.highest_ph, 2) > storage.WALL_PH
    weeks = storage.cold_weeks(batch.standing, batch.own_weeks)
    fridge = "the refrigerator (a few days only)" if wall else f"the refrigerator (about {weeks:g} weeks)"
    freezer, frozen = ("", "") if batch.freezes is False else (" or the freezer (a year)", ", or frozen up to a year")
    again = (
        ", or process them again: a full boil, clean jars, new lids, the whole time"
        if all(reason.canned_again for reason in reasons)
        else ""
    )
    if cold_in_time(state):
        return f"They are kept cold: in {fridge}{frozen}."
    if today <= state.made + IN_TIME:
        return f"{DAY_RULE} put them in {fridge}{freezer}{again}. {TOO_LATE}"
    return f"{DAY_RULE} they belonged in {fridge}{freezer}. If they have stood longer: discard them, do not taste."
