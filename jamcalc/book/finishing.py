"""What came of a batch, from the words of a cook to an entry of the book; and jars taken off the shelf.

Reads with the readers of everything else; opens no book and prints nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from types import SimpleNamespace
from typing import Any

from jamcalc.book.keeping import moment
from jamcalc.errors import InputError, JamcalcError, NotPossible
from jamcalc.formula.assemble import fruit_part
from jamcalc.kept.entries import FOUND, PLACES, Entry, Jars, Kept, Used
from jamcalc.kept.now import now, total
from jamcalc.kept.safety import jars_text, name_of
from jamcalc.kitchen import plan
from jamcalc.reading.lines import read_line
from jamcalc.words.conversation import Back, Stop, Talk
from jamcalc.words.lists import either
from jamcalc.words.phrases import one_jar
from jamcalc.words.quantities import read_minutes
from jamcalc.words.units import read_amount, shown

NOTHING = re.compile(r"none|nothing|0(\s*(cups?|tbsp|tsp|ml))?", re.ASCII | re.IGNORECASE)
NUMBER = re.compile(r"[0-9]{1,6}", re.ASCII)
OPTIONS = ("ph", "brix", "used", "jars", "over", "found", "unsealed", "boil", "processed", "stored", "date", "note")


def number_of(text: str, sample: str) -> int:
    """The number of a batch. Raises InputError."""
    if not NUMBER.fullmatch(text.strip()):
        raise InputError(f'"{shown(text)}" is no number of a batch: write for instance {sample}')
    return int(text)


def day_of(text: str) -> date:
    """The calendar date of --date. Raises InputError."""
    clean = text.strip()
    try:
        day = date.fromisoformat(clean)
    except ValueError:
        day = None
    if day is None or day.isoformat() != clean or not 1900 <= day.year <= 2198:
        raise InputError(f'--date "{shown(text)}": write the day as 2026-07-14')
    return day


def says_something(options: SimpleNamespace) -> bool:
    """Whether any option of finish was given."""
    return any(getattr(options, name) is not None for name in OPTIONS)


def entry_from(options: SimpleNamespace, batch: Kept, today: date) -> Entry:
    """The entry of `finish N` for a batch, from options as typed.

    Raises
    ------
    InputError : an option cannot be read, or does not fit the others
    """
    state = now(batch)
    filled = _filled(options.jars, batch)
    unsealed = _unsealed(options.unsealed, filled or state.filled, batch)
    entry = Entry(
        kind="finish",
        written=moment(),
        day=today,
        made=None if options.date is None else day_of(options.date),
        ph=_figure("--ph", options.ph, 0.0, 14.0, "3.52"),
        brix=_figure("--brix", options.brix, 0.0, 90.0, "22"),
        over_ml=None if options.over is None else _volume_ml(options.over),
        found=options.found,
        boil_min=None if options.boil is None else read_minutes(options.boil),
        processed_min=None if options.processed is None else read_minutes(options.processed),
        stored=options.stored,
        note=_note(options.note),
        used=tuple(_used(text) for text in options.used or ()),
        filled=filled,
        unsealed=unsealed,
    )
    if not entry.says_anything:
        raise InputError(f'what came of batch {batch.number}? write for instance jamcalc finish {batch.number} --jars "6 half-pints"')
    return entry


def _figure(option: str, text: str | None, low: float, high: float, sample: str) -> float | None:
    if text is None:
        return None
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,6})?", text.strip(), re.ASCII) or not low <= float(text) <= high:
        raise InputError(f'{option} "{shown(text)}": write a number from {low:g} to {high:g} with a point, such as {sample}')
    return float(text)


def _volume_ml(text: str) -> float:
    if NOTHING.fullmatch(text.strip()):
        return 0.0
    try:
        amount, rest = read_amount(text)
    except InputError:
        amount, rest = None, ""
    if amount is None or rest or amount.ml is None or amount.ml > 20_000:
        raise InputError(f'--over "{shown(text)}": write what was over as a volume, such as "1/4 cup" or "60 mL", or 0')
    return amount.ml


def _note(text: str | None) -> str:
    clean = " ".join((text or "").split())
    if len(clean) > 1000 or not clean.isprintable():
        raise InputError("--note: at most 1,000 characters, in plain text")
    return clean


def _used(text: str) -> Used:
    """A line as it was used; its weight where the line alone tells it."""
    line = read_line(text)
    grams = line.amount.grams
    if line.role == "fruit":
        grams = fruit_part(line).grams
    return Used(line=" ".join(text.split()), item=line.item, role=line.role, grams=grams)


def _counted(texts: Sequence[str], jar: str) -> tuple[Jars, ...]:
    """Jars by size; a bare number, or "6 jars", is of the jar that the batch was answered in."""
    counts: dict[str, int] = {}
    for text in texts:
        for part in text.split(","):
            if match := re.fullmatch(r"\s*([0-9]{1,3})(\s+jars?)?\s*", part, re.ASCII | re.IGNORECASE):
                pairs: Sequence[tuple[str, int]] = ((jar, int(match[1])),)
            else:
                pairs = plan.read_jars([part])
            for key, count in pairs:
                counts[key] = counts.get(key, 0) + count
    if any(count > 500 for count in counts.values()):
        raise InputError("more than 500 jars of a batch: write how many of them")
    return tuple(Jars(jar=key, count=count) for key, count in counts.items())


def _filled(texts: Sequence[str] | None, batch: Kept) -> tuple[Jars, ...]:
    if not texts:
        return ()
    try:
        filled = _counted(texts, batch.jar)
    except InputError as error:
        raise InputError(f"--jars: {error}") from None
    if not total(filled):
        raise InputError('--jars: no jar was filled? write how many, such as "6 half-pints"')
    return filled


def _unsealed(texts: Sequence[str] | None, filled: Sequence[Jars], batch: Kept) -> tuple[Jars, ...] | None:
    """The jars that did not seal. A number alone is of the size of which there are most."""
    if not texts:
        return None
    most = max(filled, key=lambda kind: kind.count).jar if filled else batch.jar
    try:
        unsealed = tuple(kind for kind in _counted(texts, most) if kind.count)
    except InputError as error:
        raise InputError(f"--unsealed: {error}") from None
    known = {kind.jar: kind.count for kind in filled}
    for kind in unsealed:
        if filled and kind.count > known.get(kind.jar, 0):
            count = known.get(kind.jar, 0)
            raise InputError(
                f"--unsealed: {jars_text([kind])}, and the batch has {count or 'no'} {one_jar(name_of(kind.jar))}{'s' * (count != 1)}"
            )
    return unsealed


def taken_from(text: str, batch: Kept, *, thrown: bool, of_unsealed: bool, day: date) -> Entry:
    """The entry of `book take N COUNT`.

    Raises
    ------
    InputError : the count cannot be read, or which size is meant
    NotPossible : fewer jars are left than that
    """
    state = now(batch)
    if not state.filled:
        raise NotPossible(
            f'how many jars batch {batch.number} filled is not known yet: jamcalc finish {batch.number} --jars "6 half-pints"'
        )
    there = state.left_unsealed if of_unsealed else (*state.left, *state.left_unsealed)
    kinds = list(dict.fromkeys(kind.jar for kind in there))
    if re.fullmatch(r"\s*[0-9]{1,3}(\s+jars?)?\s*", text, re.ASCII) and len(kinds) > 1:
        raise InputError(
            f'"{shown(text)}" of which jars? batch {batch.number} has {jars_text(there)}: write for instance "1 {name_of(kinds[0])}"'
        )
    wanted = _counted([text], kinds[0] if kinds else batch.jar)
    if len(wanted) != 1 or not wanted[0].count:
        raise InputError(f'"{shown(text)}": write how many jars, such as jamcalc book take {batch.number} 2')
    left = sum(kind.count for kind in there if kind.jar == wanted[0].jar)
    if wanted[0].count > left:
        have = jars_text([Jars(jar=wanted[0].jar, count=left)]) if left else f"no {one_jar(name_of(wanted[0].jar))}"
        raise NotPossible(f"batch {batch.number} has {have} left{' that did not seal' if of_unsealed else ''}: nothing was written")
    return Entry(kind="thrown" if thrown else "taken", written=moment(), day=day, jars=wanted[0], of_unsealed=of_unsealed)


# ---------------------------------------------------------------- asked at a terminal

QUESTIONS: Mapping[str, tuple[str, str]] = {
    "jars": ("jars filled (such as 6 half-pints, 1 pint): ", "How many jars were filled, by size."),
    "over": ("over, after the full jars (such as 1/4 cup; 0): ", "What did not fill a jar: it goes in the refrigerator."),
    "ph": ("pH read in the cooled batch: ", "A calibrated meter, in the cooled and blended batch; over 4.20 it is not for the shelf."),
    "brix": ("Brix read: ", "Soluble solids by a refractometer, in percent."),
    "processed": ("minutes in boiling water: ", "How long the jars really boiled."),
    "unsealed": ("jars that did not seal (0, 1 ...): ", "Press the lids when the jars are cold: one that springs back did not seal."),
    "found": (f"the set ({', '.join(FOUND)}): ", "As judged the next day."),
    "stored": (f"where they are ({', '.join(PLACES)}): ", "Where the jars stand now."),
    "boil": ("minutes of boiling with everything in: ", "How long it really boiled before the jars were filled."),
    "note": ("a note: ", "Anything to remember."),
}
WELCOME = 'What came of it? Enter skips a question, "back" goes one back, "?" explains, "stop" ends and writes what was said.'


def ask(talk: Talk, batch: Kept, today: date) -> SimpleNamespace:
    """Each question in one line, any of them skipped; what cannot be read is asked again. Returns options as `finish` has them."""
    talk.show(f"Batch {batch.number}: {batch.title}. {WELCOME}")
    said: dict[str, Any] = dict.fromkeys(OPTIONS)
    names, at = list(QUESTIONS), 0
    while at < len(names):
        name = names[at]
        try:
            text = talk.answer(*QUESTIONS[name])
            if not text:
                at += 1
                continue
            value: Any = [text] if name in ("jars", "unsealed") else text
            if fault := _fault({**said, name: value}, name, text, batch, today):
                talk.show(fault)
                continue
            said[name], at = value, at + 1
        except Back:
            at = max(0, at - 1)
            said[names[at]] = None
        except EOFError:
            talk.show("")  # the question still stands in its line
            break
        except Stop:
            break
    return SimpleNamespace(**said)


def _fault(said: Mapping[str, Any], name: str, text: str, batch: Kept, today: date) -> str | None:
    """What is wrong with an answer, or None."""
    allowed: Mapping[str, Sequence[str]] = {"found": FOUND, "stored": PLACES}
    if name in allowed and text not in allowed[name]:
        return f'"{shown(text)}": write {either(allowed[name])}'
    try:
        entry_from(SimpleNamespace(**said), batch, today)
    except JamcalcError as error:
        return str(error)
    return None
