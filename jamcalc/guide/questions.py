"""The questions of the guide on the pot: fruit, sweetener, firmness; and what is made of each answer.

What is typed goes to the reader that reads a command; a question knows no grammar of its own and no chemistry.
Each takes the answers so far and returns them with its own, or None to be asked again.
"""

from __future__ import annotations

import re
from dataclasses import replace

from jamcalc import facts
from jamcalc.errors import JamcalcError
from jamcalc.formula import storage
from jamcalc.guide import corrections, in_words
from jamcalc.guide.answered import Answers, goes_together
from jamcalc.nouns.said import Line
from jamcalc.reading import several
from jamcalc.reading.readings import read_reading
from jamcalc.words.conversation import DONE, NOT_KNOWN, NOTHING, Talk, said

# ---------------------------------------------------------------- fruit

_HAVE = re.compile(r"(?:i|we)(?:'ve| have)?(?: got)? (?:about )?(?=[0-9a-z])", re.IGNORECASE)
WHY_FRUIT = """\
How much, and of what: weighed as you bought or picked it, or measured in cups.
  3 lb plums    900 g prepared peaches    4 cups mashed strawberries
What else must go in the pot is written the same way, such as 1/2 cup water.
To take a line out again: drop 1 for the first, drop 2 for the second.
"done", or Enter alone, when that is all."""


def fruit(talk: Talk, answers: Answers) -> Answers | None:
    """One line of fruit; the same answers where there are no more."""
    if answers.lines:
        text = talk.answer("more fruit [done]: ", WHY_FRUIT)
    else:
        example = "1.5 kg plums" if answers.kitchen.units == "metric" else "3 lb plums"
        talk.show(f'\nWhat fruit is on hand? One line for each, such as "{example}".')
        text = talk.answer("fruit: ", WHY_FRUIT)
    if not text or said(text) in DONE:
        if answers.lines:
            return answers
        talk.show("There must be some fruit to begin with: a weight and a name will do.")
        return None
    if said(text) in NOT_KNOWN:
        talk.show(WHY_FRUIT)
        return None
    if drop := re.fullmatch(r"drop ([0-9]{1,3})", text.lower()):
        return _dropped(talk, answers, int(drop[1]))
    text = _HAVE.sub("", text)
    new = _several(text) or corrections.line(talk, text)
    if new is None:
        return None
    found_lines = new if isinstance(new, tuple) else (new,)
    if not answers.lines and found_lines[0].role != "fruit":
        talk.show("The fruit first, please; that can follow.")
        return None
    return _accepted(talk, replace(answers, lines=(*answers.lines, *found_lines)), *found_lines)


def _several(text: str) -> tuple[Line, ...]:
    """The lines of "2 lb plums and 1 lb pears"; none where it is one line, or has to be mended with the cook."""
    try:
        lines = several.read_lines([text])
    except JamcalcError:
        return ()
    return lines if len(lines) > 1 else ()


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


def _accepted(talk: Talk, answers: Answers, *new: Line) -> Answers | None:
    """The answers with their new lines, after what there is to say of each alone; None where they do not go together."""
    if not goes_together(talk, answers):
        return None
    for line in new:
        texts = [finding.text for finding in in_words.findings(line.findings)]
        if line.role == "fruit":
            known = facts.fruit(line.item)
            texts += [*(bar.text for bar in storage.barred((known,), (), "calculated")), known.note]
        for text in filter(None, texts):
            talk.show(text)
    return answers


# ---------------------------------------------------------------- sweetener, firmness

WHY_SWEETENER = """\
Of a name alone, such as honey, I take what makes the spread lightly sweet. An
amount, such as 1/2 cup honey, is taken as written. "none" leaves it out.
All that are known are listed by: jamcalc facts"""
WHY_FIRMNESS = """\
A soft spread runs a little on warm bread, a firm one keeps its shape on the
spoon. The firmer, the more pectin."""
FIRMNESS = {"soft": "soft, to spoon over", "medium": "medium, for bread", "firm": "firm, to cut"}


def sweetener(talk: Talk, answers: Answers) -> Answers | None:
    """What sweetens it: a name to be sized, an amount, or nothing."""
    amount = "200 g honey" if answers.kitchen.units == "metric" else "1/2 cup honey"
    talk.show(f"\nWhat sweetens it? A name, such as honey; or an amount, such as {amount}.")
    text = talk.answer(f"sweetener [{_sweetener_words(answers)}]: ", WHY_SWEETENER)
    if not text:
        return answers
    if said(text) in NOTHING:
        return replace(answers, sweetener=None)
    if said(text) in NOT_KNOWN:
        talk.show(WHY_SWEETENER)
        return None
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
    return wanted if goes_together(talk, wanted) else None


def _sweetener_words(answers: Answers) -> str:
    if isinstance(answers.sweetener, Line):
        return answers.sweetener.text
    return "none" if answers.sweetener is None else facts.sweetener(answers.sweetener).name


def firmness(talk: Talk, answers: Answers) -> Answers | None:
    """How firm it is to set."""
    talk.show("\nHow firm?")
    chosen = talk.choose(f"firmness [{answers.firmness}]: ", FIRMNESS, WHY_FIRMNESS, default=answers.firmness)
    return replace(answers, firmness=chosen)  # type: ignore[arg-type]
