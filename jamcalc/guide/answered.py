"""All that a cook has answered so far, and whether it can go in one pot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from jamcalc import api, facts
from jamcalc.errors import InputError, JamcalcError
from jamcalc.formula import assemble
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.asked import Firmness, Settings
from jamcalc.nouns.learned import Teaches
from jamcalc.nouns.said import Line
from jamcalc.reading import several
from jamcalc.words.conversation import Talk


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
    book: Teaches | None = None  # the batch book to learn from; None: the tables alone

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


def beforehand(kitchen: Kitchen, kitchen_file: Path | None, book: Teaches | None = None) -> Answers:
    """What the kitchen file and the batch book answer before anything is asked."""
    jar = None if kitchen.jars_on_hand else Settings.jar
    return Answers(kitchen=kitchen, kitchen_file=kitchen_file, jar=jar, altitude_ft=kitchen.altitude_ft, book=book)


def goes_together(talk: Talk, answers: Answers) -> bool:
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
