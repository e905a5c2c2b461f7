"""The questions of the guide and what is made of each answer: fruit, sweetener, firmness, jars, altitude, readings, keeping.

What is typed goes to the reader that reads a command; a question knows no grammar of its own and no chemistry.
Each takes the answers so far and returns them with its own, or None to be asked again. Called by guide.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from jamcalc import api, facts
from jamcalc.errors import FileStays, InputError, JamcalcError
from jamcalc.formula import assemble, storage
from jamcalc.guide import corrections
from jamcalc.guide.corrections import NOTHING
from jamcalc.kitchen import home_file, plan
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.model import Firmness, Line, Settings
from jamcalc.reading import lines, several
from jamcalc.reading.readings import altitude_said, read_reading
from jamcalc.words import phrases, quantities, units
from jamcalc.words.conversation import Back, Talk, picked

NOT_KNOWN = (*NOTHING, "i do not know", "i don't know", "do not know", "don't know", "dont know", "unknown", "not known", "no idea")


@dataclass(frozen=True, kw_only=True)
class Answers:
    """All that has been answered."""

    kitchen: Kitchen
    kitchen_file: Path | None  # None: there is no place for one
    lines: tuple[Line, ...] = ()  # fruit, and whatever else the cook put in the pot
    sweetener: Line | str | None = None  # an amount, the key of one to be sized, or nothing
    firmness: Firmness = "medium"
    jar: str | None = None  # by key; None: whatever is on hand
    altitude_ft: float | None = None
    keeping_asked: bool = False  # whether the altitude is to be kept in the kitchen file
    readings: tuple[str, ...] = ()
    cold: bool = False

    @property
    def texts(self) -> list[str]:
        """The lines of the pot as a command would be given them."""
        own = [self.sweetener.text] if isinstance(self.sweetener, Line) else []
        return [*(line.text for line in self.lines), *own]

    @property
    def sized(self) -> str | None:
        """The key of the sweetener that is to be sized."""
        return self.sweetener if isinstance(self.sweetener, str) else None

    @property
    def sized_name(self) -> str | None:
        """Its name, as the cook would write it."""
        return None if self.sized is None else str(facts.table("items")["sweetener"][self.sized][0])

    @property
    def home(self) -> Kitchen:
        """The kitchen without what the cook has answered otherwise."""
        jars = tuple((key, count) for key, count in self.kitchen.jars_on_hand if self.jar in (None, key))
        return replace(self.kitchen, altitude_ft=None, jars_on_hand=jars)


Question = Callable[[Talk, Answers], Answers | None]


def beforehand(kitchen: Kitchen, kitchen_file: Path | None) -> Answers:
    """What the kitchen file answers before anything is asked."""
    jar = None if kitchen.jars_on_hand else Settings.jar
    return Answers(kitchen=kitchen, kitchen_file=kitchen_file, jar=jar, altitude_ft=kitchen.altitude_ft)


# ---------------------------------------------------------------- fruit

WHY_FRUIT = """\
How much, and of what: weighed as you bought or picked it, or measured in cups.
  3 lb plums    900 g prepared peaches    4 cups mashed strawberries
What else must go in the pot is written the same way, such as 1/2 cup water.
To take a line out again: drop 1 for the first, drop 2 for the second."""


def fruit(talk: Talk, answers: Answers) -> Answers | None:
    """One line of fruit; the same answers where there are no more."""
    if answers.lines:
        text = talk.answer("more fruit [done]: ", WHY_FRUIT)
    else:
        talk.show('\nWhat fruit is on hand? One line for each, such as "3 lb plums".')
        text = talk.answer("fruit: ", WHY_FRUIT)
    if not text:
        if answers.lines:
            return answers
        talk.show("There must be some fruit to begin with: a weight and a name will do.")
        return None
    if found := re.fullmatch(r"drop ([0-9]{1,3})", text.lower()):
        return _dropped(talk, answers, int(found[1]))
    line = corrections.line(talk, text)
    if line is None:
        return None
    if not answers.lines and line.role != "fruit":
        talk.show("The fruit first, please; that can follow.")
        return None
    return _accepted(talk, replace(answers, lines=(*answers.lines, line)), line)


def _dropped(talk: Talk, answers: Answers, number: int) -> Answers | None:
    if not 1 <= number <= len(answers.lines):
        talk.show(f"There is no line {number} to take out.")
        return None
    gone = answers.lines[number - 1]
    kept = (*answers.lines[: number - 1], *answers.lines[number:])
    if not any(line.role == "fruit" for line in kept):
        talk.show("That is all the fruit there is: add the other one first.")
        return None
    in_pot = {line.item for line in kept} | {"batch"}
    readings = tuple(text for text in answers.readings if read_reading(text).item in in_pot)
    talk.show(f"Taken out: {gone.text}." + (" Its reading goes with it." if readings != answers.readings else ""))
    return replace(answers, lines=kept, readings=readings)


def _accepted(talk: Talk, answers: Answers, line: Line) -> Answers | None:
    """The answers with their new line, after what there is to say of it alone; None where they do not go together."""
    if not _goes_together(talk, answers):
        return None
    for finding in line.findings:
        talk.show(finding.text)
    if line.role == "fruit":
        known = facts.fruit(line.item)
        for text in (*(bar.text for bar in storage.barred((known,), (), "calculated")), known.note):
            if text:
                talk.show(text)
    return answers


def _goes_together(talk: Talk, answers: Answers) -> bool:
    """Whether lines, sweetener and readings can be put in one pot; says so where they cannot."""
    try:
        read = several.read_lines(answers.texts)
        twice = next((line.text for line in read if line.role == "sweetener" and line.item == answers.sized), None)
        if twice:
            raise InputError(f'There is "{twice}" in the pot already: give the amount, or the name to have it sized, not both.')
        assemble.put_together(read, Settings(), sweetener=answers.sized, readings=api.readings_from(answers.readings))
    except JamcalcError as error:
        talk.show(str(error))
        return False
    return True


# ---------------------------------------------------------------- sweetener, firmness, jars, altitude

WHY_SWEETENER = """\
Of a name alone, such as honey, I take what makes the spread lightly sweet. An
amount, such as 1/2 cup honey, is taken as written. "none" leaves it out.
All that are known are listed by: jamcalc facts"""
WHY_FIRMNESS = """\
A soft spread runs a little on warm bread, a firm one keeps its shape on the
spoon. The firmer, the more pectin."""
FIRMNESS = {"soft": "soft, to spoon over", "medium": "medium, for bread", "firm": "firm, to cut"}
WHY_JARS = """\
The jar decides how many are filled and how long they boil. Take a number, or
write another, such as wide half-pint or 250 mL jar; or how many there are, such
as 11 half-pints, 5 pints. To have yours remembered:
  jamcalc kitchen jars="11 half-pints, 5 pints\""""
WHY_ALTITUDE = """\
Water boils cooler higher up, so jars boil longer there. Write feet or meters.
If you do not know, say so: then the minutes for every height are shown.
To have it remembered: jamcalc kitchen altitude="4300 ft\""""

WHY_KEEP_ALTITUDE = """\
Then I need not ask again: every answer starts from the height in that file,
unless you give another. Nothing else in the file is changed."""


def sweetener(talk: Talk, answers: Answers) -> Answers | None:
    """What sweetens it: a name to be sized, an amount, or nothing."""
    talk.show("\nWhat sweetens it? A name, such as honey; or an amount, such as 1/2 cup honey.")
    text = talk.answer(f"sweetener [{_sweetener_words(answers)}]: ", WHY_SWEETENER)
    if not text:
        return answers
    if text.lower() in NOTHING:
        return replace(answers, sweetener=None)
    if any(sign.isnumeric() for sign in text):  # no sweetener has a number in its name
        line = corrections.line(talk, text)
        if line is None:
            return None
        if line.role != "sweetener":
            talk.show(f"{line.text}: that does not sweeten; write it with the fruit.")
            return None
        return _accepted(talk, replace(answers, sweetener=line), line)
    item = corrections.item(talk, text, "sweetener")
    if item is None:
        return None
    wanted = replace(answers, sweetener=None if item.key == "none" else item.key)
    return wanted if _goes_together(talk, wanted) else None


def _sweetener_words(answers: Answers) -> str:
    if isinstance(answers.sweetener, Line):
        return answers.sweetener.text
    return "none" if answers.sweetener is None else facts.sweetener(answers.sweetener).name


def firmness(talk: Talk, answers: Answers) -> Answers | None:
    """How firm it is to set."""
    talk.show("\nHow firm?")
    chosen = talk.choose(f"firmness [{answers.firmness}]: ", FIRMNESS, WHY_FIRMNESS, default=answers.firmness)
    return replace(answers, firmness=chosen)  # type: ignore[arg-type]


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
    if not text:
        return answers
    key = picked(text, options)
    if key is not None:
        return replace(answers, jar=None if key == "all" else key)
    if text.isnumeric():
        instead = f"a number from 1 to {len(options)}, or a number and a jar, such as 11 half-pints"
        talk.show(f'"{units.shown(text)}" is none of these: write {instead}.')
        return None
    if stock := _jars_counted(text):
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
    said = "I do not know" if answers.altitude_ft is None else phrases.altitude(answers.altitude_ft, answers.kitchen.units or "us")
    talk.show("\nHow high above the sea is your kitchen? Such as 4300 ft or 1300 m.")
    text = talk.answer(f"altitude [{said}]: ", WHY_ALTITUDE)
    if not text:
        return answers
    if text.lower().rstrip(".") in NOT_KNOWN:
        return replace(answers, altitude_ft=None)
    try:
        height_ft = quantities.read_altitude_ft(text)
    except InputError as error:
        talk.show(str(error))
        return None
    for each in altitude_said(text):
        talk.show(each.text)
    answers = replace(answers, altitude_ft=height_ft)
    if answers.kitchen_file is None or answers.keeping_asked or height_ft == answers.kitchen.altitude_ft:
        return answers
    try:
        return _kept(talk, answers, answers.kitchen_file, units.tidy(text.replace(",", "")))
    except Back:
        return None


def _kept(talk: Talk, answers: Answers, kitchen_file: Path, height: str) -> Answers:
    """The answers, after the offer to keep their altitude in the kitchen file. Raises Back."""
    while True:
        said = talk.answer(f"keep {height} in your kitchen file? yes or no [no]: ", WHY_KEEP_ALTITUDE).lower()
        if said in ("", "no", "n", "yes", "y"):
            break
        talk.show("Write yes or no.")
    if said.startswith("y"):
        try:
            home_file.change(kitchen_file, {"altitude": height})
            talk.show(f"Kept in {units.visible(str(kitchen_file))}.")
        except (InputError, FileStays) as error:
            talk.show(str(error))
    return replace(answers, keeping_asked=True)


# ---------------------------------------------------------------- readings, keeping

WHY_READING = """\
What you have measured takes the place of the table's figure: plum pH 3.4, or
plum pH 3.4 TA 1.2 Brix 12. Of the finished, cooled batch: batch pH 3.9.
"none" forgets them all."""
WHY_KEEP = """\
Made for the cold it has less lemon juice, and is never for the shelf. What is
made for the shelf may of course be kept cold."""
KEEP = {"shelf": "on the shelf, where that is safe", "cold": "in the refrigerator or the freezer"}


def reading(talk: Talk, answers: Answers) -> Answers | None:
    """The cook's own measurement of a fruit or of the batch; a new one takes the place of the old one of the same thing."""
    talk.show("\nWhat did you measure? Such as plum pH 3.4, or of the cooled batch, batch pH 3.9.")
    text = talk.answer(f"reading [{', '.join(answers.readings) or 'none'}]: ", WHY_READING)
    if not text:
        return answers
    if text.lower() in NOTHING:
        return replace(answers, readings=())
    if re.fullmatch(r"(?:ph ?[=:]? ?)?[0-9]{1,2}(?:\.[0-9]{1,3})?", text, re.IGNORECASE):
        text = f"{_read_of(talk, answers)} pH {text.lower().removeprefix('ph').strip(' =:')}"
    try:
        item = read_reading(text).item
    except JamcalcError as error:
        talk.show(str(error))
        return None
    others = tuple(each for each in answers.readings if read_reading(each).item != item)
    wanted = replace(answers, readings=(*others, units.tidy(text)))
    return wanted if _goes_together(talk, wanted) else None


def _read_of(talk: Talk, answers: Answers) -> str:
    """What a bare number was read of: the finished batch, or one of the fruits in the pot. Raises Back."""
    fruits = [facts.fruit(line.item) for line in several.read_lines(answers.texts) if line.role == "fruit"]
    names = {"batch": "of the finished, cooled batch", **{fruit.name: f"of the {fruit.plural}" for fruit in fruits}}
    talk.show("What was it read of?")
    return talk.choose("read of [batch]: ", names, WHY_READING, default="batch")


def keep(talk: Talk, answers: Answers) -> Answers | None:
    """On the shelf where it may be, or cold whatever it may."""
    talk.show("\nWhere is it to be kept?")
    now = "cold" if answers.cold else "shelf"
    return replace(answers, cold=talk.choose(f"keep [{now}]: ", KEEP, WHY_KEEP, default=now) == "cold")
