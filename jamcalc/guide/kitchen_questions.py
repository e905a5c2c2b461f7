"""The questions on the kitchen and on what was measured: jars, altitude, readings, where it is to be kept.

As in questions, what is typed goes to the reader that reads a command.
"""

from __future__ import annotations

import contextlib
import re
from dataclasses import replace
from pathlib import Path

from jamcalc import facts
from jamcalc.errors import FileStays, InputError, JamcalcError
from jamcalc.guide import corrections, in_words
from jamcalc.guide.answered import Answers, goes_together
from jamcalc.kitchen import defaults, home_file, plan
from jamcalc.reading import lines, several
from jamcalc.reading.readings import altitude_said, of_its_kind, read_reading
from jamcalc.words import phrases, quantities, units
from jamcalc.words.conversation import DONE, NOT_KNOWN, NOTHING, Back, Talk, picked, said

MOST_JARS_IN_A_NUMBER = 200  # a larger number is no count of jars, but an answer to another question (judgement)
# ---------------------------------------------------------------- jars, altitude

WHY_JARS = """\
The jar decides how many are filled and how long they boil. Take a number, or
write another, such as wide half-pint or 250 mL jar; or how many there are, such
as 11 half-pints, 5 pints. To have yours remembered:
  jamcalc kitchen jars="11 half-pints, 5 pints\""""
WHY_ALTITUDE = """\
Water boils cooler higher up, so jars boil longer there. Write feet or meters.
If you do not know, say so: then the minutes for every height are shown.
To have it remembered: jamcalc kitchen altitude="4300 ft" (or "1300 m")"""

SEA = ("sea level", "at sea level", "the sea", "by the sea", "sea")
WHY_KEEP_ALTITUDE = """\
Then I need not ask again: every answer starts from the height in that file,
unless you give another. Nothing else in the file is changed."""


def jars(talk: Talk, answers: Answers) -> Answers | None:
    """Which jars: those in the kitchen, half-pints and pints are offered, any other can be written."""
    on_hand = {key: phrases.jar_words(facts.jar(key).name, count) for key, count in answers.kitchen.jars_on_hand}
    options = {"all": f"what is on hand: {phrases.joined(list(on_hand.values()))}"} if on_hand else {}
    if len(on_hand) > 1:
        options |= {key: f"the {words} only" for key, words in on_hand.items()}
    options |= {key: facts.jar(key).plural for key in ("half-pint", "pint") if key not in on_hand}
    now = "all" if answers.jar is None else facts.jar(answers.jar).name
    talk.show("\nWhich jars?")
    talk.options(options)
    text = talk.answer(f"jars [{now}]: ", WHY_JARS)
    if not text or said(text) in NOT_KNOWN:
        return answers
    key = picked(text, options)
    if key is not None:
        return replace(answers, jar=None if key == "all" else key)
    in_use = answers.jar or defaults.jar_in_use(None, None, answers.kitchen)
    if text.isnumeric() and not (text.isdecimal() and 0 < int(text) <= MOST_JARS_IN_A_NUMBER):
        instead = f"a number from 1 to {len(options)}, or a number and a jar, such as 11 half-pints"
        talk.show(f'"{units.shown(text)}" is none of these: write {instead}.')
        return None
    counted = of_its_kind(f"{text} jars" if text.isnumeric() else text, in_use)
    if stock := _jars_counted(counted):
        if counted != text:
            talk.show(f"Read as: {counted} on hand.")
        return replace(answers, jar=None, kitchen=replace(answers.kitchen, jars_on_hand=stock))
    item = corrections.item(talk, text, "jar")
    return None if item is None else replace(answers, jar=item.key)


def _jars_counted(text: str) -> tuple[tuple[str, int], ...]:
    """The jars of "11 half-pints and 5 pints"; none where it is the name of a jar, or cannot be read."""
    try:
        lines.read_item(text, ("jar",))  # "8 oz" is one
    except JamcalcError:
        with contextlib.suppress(InputError):
            return plan.read_jars([re.sub(r" and (?=[0-9])", ", ", text)])
    return ()


def altitude(talk: Talk, answers: Answers) -> Answers | None:
    """How high the kitchen is; not to know is an answer."""
    now = "I do not know" if answers.altitude_ft is None else phrases.altitude(answers.altitude_ft, answers.kitchen.units or "us")
    talk.show("\nHow high above the sea is your kitchen? Such as 4300 ft or 1300 m.")
    text = talk.answer(f"altitude [{now}]: ", WHY_ALTITUDE)
    if not text:
        return answers
    if said(text) in NOT_KNOWN or said(text) in NOTHING:
        return replace(answers, altitude_ft=None)
    text = "0 ft" if said(text) in SEA else text.removeprefix("about ")
    try:
        height_ft = quantities.read_altitude_ft(text)
    except InputError as error:
        talk.show(str(error))
        return None
    for finding in altitude_said(text):
        talk.show(finding.text)
    answers = replace(answers, altitude_ft=height_ft)
    if answers.kitchen_file is None or answers.keeping_asked or height_ft == answers.kitchen.altitude_ft:
        return answers
    try:
        height = units.tidy(text.replace(",", "")) + (" ft" if quantities.is_bare(text) else "")
        return _kept(talk, answers, answers.kitchen_file, height)
    except Back:
        return None


def _kept(talk: Talk, answers: Answers, kitchen_file: Path, height: str) -> Answers:
    """The answers, after the offer to keep their altitude in the kitchen file. Raises Back."""
    if talk.yes(f"keep {height} in your kitchen file?", WHY_KEEP_ALTITUDE):
        try:
            home_file.change(kitchen_file, {"altitude": height})
            talk.show(f"Kept in {units.visible(str(kitchen_file))}.")
        except (InputError, FileStays) as error:
            talk.show(in_words.complaint(str(error)))
    return replace(answers, keeping_asked=True)


# ---------------------------------------------------------------- readings, keeping

WHY_READING = """\
What you have measured takes the place of the table's figure: plum pH 3.4, or
plum pH 3.4 TA 1.2 Brix 12. Of the finished, cooled batch: batch pH 3.9.
"none" forgets them all."""
_ONLY_PH = re.compile(r"([a-z][a-z -]*[a-z])(?<!\bph)(?<!\bta)(?<!\bbrix)(?: is)?[ :=]+([0-9]{1,2}\.[0-9]{1,3})", re.IGNORECASE)
WHY_KEEP = """\
Made for the cold it has less lemon juice, and is never for the shelf. What is
made for the shelf may of course be kept cold."""
_COLD = ("refrigerator", "fridge", "freezer", "frozen", "freeze")
_SHELF = ("pantry", "cupboard", "cellar", "canned")
KEPT = {f"{place}{word}": where for where, words in (("cold", _COLD), ("shelf", ("shelf", *_SHELF))) for word in words
        for place in ("", "the ", "in the ", "on the ")}  # fmt: skip
KEEP = {"shelf": "on the shelf, where that is safe", "cold": "in the refrigerator or the freezer"}


def reading(talk: Talk, answers: Answers) -> Answers | None:
    """The cook's own measurement of a fruit or of the batch; a new one takes the place of the old one of the same thing."""
    talk.show("\nWhat did you measure? Such as plum pH 3.4, or of the cooled batch, batch pH 3.9.")
    text = talk.answer(f"reading [{', '.join(answers.readings) or 'none'}]: ", WHY_READING)
    if not text:
        return answers
    if said(text) in NOTHING:
        return replace(answers, readings=())
    if said(text) in NOT_KNOWN or said(text) in DONE:
        return answers
    if re.fullmatch(r"(?:ph ?[=:]? ?)?[0-9]{1,2}(?:\.[0-9]{1,3})?", text, re.IGNORECASE):
        text = f"{_read_of(talk, answers)} pH {text.lower().removeprefix('ph').strip(' =:')}"
    if bare := _ONLY_PH.fullmatch(text):
        text = f"{bare[1]} pH {bare[2]}"
    try:
        item = read_reading(text).item
    except JamcalcError as error:
        talk.show(str(error))
        return None
    others = tuple(kept for kept in answers.readings if read_reading(kept).item != item)
    wanted = replace(answers, readings=(*others, units.tidy(text)))
    return wanted if goes_together(talk, wanted) else None


def _read_of(talk: Talk, answers: Answers) -> str:
    """What a bare number was read of: the finished batch, or one of the fruits in the pot; never guessed. Raises Back."""
    fruits = [facts.fruit(line.item) for line in several.read_lines(answers.texts) if line.role == "fruit"]
    names = {"batch": "of the finished, cooled batch", **{fruit.name: f"of the {fruit.plural}" for fruit in fruits}}
    talk.show("What was it read of?")
    return talk.choose("read of: ", names, WHY_READING, default=None)


def keep(talk: Talk, answers: Answers) -> Answers | None:
    """On the shelf where it may be, or cold whatever it may."""
    talk.show("\nWhere is it to be kept?")
    now = "cold" if answers.cold else "shelf"
    return replace(answers, cold=talk.choose(f"keep [{now}]: ", KEEP, WHY_KEEP, default=now, also=KEPT) == "cold")
