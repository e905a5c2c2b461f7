"""A line or a name that the reader cannot take yet, mended with the cook: near names, the form that a volume needs.

The reader alone decides what can be read; here words are put in the place of others until it does. Called by questions.
"""

from __future__ import annotations

from jamcalc import facts, lines, units
from jamcalc.conversation import Talk
from jamcalc.errors import InputError, JamcalcError, UnknownItem
from jamcalc.model import Line

NOTHING = ("none", "nothing", "no")
MOST_WORDS_IN_A_NAME = 6  # beyond it a near name takes the place of all that was written
WHY_NEAR = "These names come nearest. Take one by its number, or Enter to write it again."
WHY_FORM = """\
Whole berries leave air between them: a cup of them holds much less fruit than a
cup of mashed ones."""
FORMS = {"mashed": "mashed, crushed or pureed", "chopped": "chopped or sliced", "whole": "whole"}


def line(talk: Talk, text: str) -> Line | None:
    """The line, after as many questions as it takes; None where the cook had rather write it again."""
    while True:
        try:
            return lines.read_line(text)
        except UnknownItem as error:
            name = _near(talk, error)
            if name is None:
                return None
            text = _with_name(text, name)
        except InputError as error:
            if not _lacks_form(text):
                talk.show(str(error))
                return None
            talk.show("How was it measured?")
            form = talk.choose("form [write it again]: ", FORMS, WHY_FORM, default="", back="")
            if not form:
                return None
            text = _with_form(text, form)
        talk.show(f"Read as: {units.shown(text)}")


def item(talk: Talk, text: str, kind: facts.Kind) -> facts.Item | None:
    """The item of a name typed alone, after a near name where it was misspelled; None: ask again."""
    while True:
        try:
            found = lines.read_item(text, (kind,))
        except UnknownItem as error:
            name = _near(talk, error)
            if name is None:
                return None
            text = name
        except InputError as error:
            talk.show(str(error))
            return None
        else:
            if found.finding is not None:
                talk.show(found.finding.text)
            return found


def _near(talk: Talk, error: UnknownItem) -> str | None:
    """One of the near names, or None."""
    talk.show("I do not know that name. Did you mean")
    near = {name: name for name in error.near if name not in NOTHING}
    return talk.choose("which [write it again]: ", near, WHY_NEAR, default="", back="") or None


def _with_name(text: str, name: str) -> str:
    """The line with a known name in the place of as few of its words as the reader lets it: "3 lb frozen strawbery"."""
    amount, rest = units.read_amount(text)
    words = rest.split()
    if len(words) <= MOST_WORDS_IN_A_NAME:
        wanted = facts.lookup(name).key
        for size in range(1, len(words) + 1):
            for start in range(len(words) - size + 1):
                trial = [*words[:start], *name.split(), *words[start + size :]]
                try:
                    if len(set(trial)) == len(trial) and lines.read_line(f"1 g {' '.join(trial)}").item == wanted:
                        return f"{amount.text} {' '.join(trial)}"
                except JamcalcError:
                    continue
    return f"{amount.text} {name}"


def _with_form(text: str, form: str) -> str:
    amount, rest = units.read_amount(text)
    return f"{amount.text} {form} {rest}"


def _lacks_form(text: str) -> bool:
    """Whether the line could be read if it named a form."""
    try:
        return lines.read_line(_with_form(text, "mashed")).role == "fruit"
    except JamcalcError:
        return False
