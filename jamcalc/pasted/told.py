"""What a page tells of its recipe besides ingredients and steps: collected sentence by sentence, and asked about where it differs.

The words are for sayings.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from jamcalc.errors import InputError
from jamcalc.nouns.written import StatedYield
from jamcalc.pasted import ingredients, sayings
from jamcalc.words.units import shown

LONGEST_SOURCE = 200  # characters, as in a recipe file


@dataclass(kw_only=True)
class Told:
    """Each thing that was told, in the order of the page."""

    source: str = ""
    makes: list[StatedYield] = field(default_factory=list)
    process: list[float] = field(default_factory=list)  # minutes
    headspaces: list[float] = field(default_factory=list)  # mm
    boils: list[float | None] = field(default_factory=list)  # minutes; None: not plain
    cold: bool = False
    jars: dict[str, int] = field(default_factory=dict)  # each size that a row speaks of, and that row
    own_way: int = 0  # the row that closes jars in another way than in boiling water

    @property
    def boil_min(self) -> float | None:
        """The boil, where there is one and it is plain; two boils are none, for both count."""
        return self.boils[0] if len(self.boils) == 1 else None

    def alone(self, text: str) -> bool:
        """Take a row that says a yield or a source and no more; False for any other. Raises InputError."""
        if stated := sayings.yields(text):
            return self.yields(stated)
        if by := sayings.source(text):
            return self.comes_from(by)
        return False

    def yields(self, text: str) -> bool:
        """Take a number of jars; False where it is of something else. Raises InputError for a weight, and for a second yield."""
        stated = sayings.read_yield(text)
        if stated is None:
            if ingredients.begins_with_amount(text):
                raise InputError(f'"{shown(text)}" is no number of jars: write for instance "makes 5 half-pints", or take the row out')
            return False
        if self.makes and (stated.low, stated.high, stated.jar) != (self.makes[0].low, self.makes[0].high, self.makes[0].jar):
            raise InputError("a second yield: leave the one that holds")
        self.makes.append(stated)
        return True

    def comes_from(self, text: str) -> bool:
        """Take whose recipe it is; False where that is said already."""
        if self.source:
            return False
        self.source = text[:LONGEST_SOURCE].strip()
        return True

    def tell(self, text: str, *, boils: bool = True) -> bool:
        """Take yield, minutes, headspace, boil and keeping from the sentences of a row; whether any was told. Raises InputError."""
        before = self._count()
        for sentence in sayings.sentences(text):
            boils = boils and "jars" not in sentence.lower().split()  # from there on it is they that boil
            self.process += sayings.process_minutes(sentence)
            self.headspaces += sayings.headspaces(sentence)
            self.boils += sayings.boils(sentence) if boils else []
            self.cold = self.cold or sayings.kept_cold(sentence)
            if stated := sayings.yields(sentence):
                self.yields(stated)
            _one(self.process, "times in the canner", 'write the one for 0 to 1,000 ft, as "process 10 minutes"')
            _one(self.headspaces, "headspaces", 'write one, as "leave 1/4 inch headspace"')
        return self._count() != before

    def look(self, row: int, text: str) -> None:
        """Note the jars that a row speaks of, and how it closes them."""
        for size in sayings.jar_sizes(text):
            self.jars.setdefault(size, row)
        if not self.own_way and sayings.is_own_way(text):
            self.own_way = row

    def wrong_jars(self) -> tuple[int, str] | None:
        """The row of jars that the answer would not be for, and what to write instead."""
        stated = self.makes[0].jar if self.makes else ""
        if "quart" in self.jars and stated != "quart":
            return self.jars["quart"], "quart jars are too large for any jam on a shelf: write half-pint or pint jars"
        if "pint" in self.jars and "half-pint" not in self.jars and "pint" not in stated.removeprefix("half-"):
            return self.jars["pint"], 'pint jars take more minutes than half-pints: write "makes 3 pints" too, or half-pint jars'
        return None

    def _count(self) -> tuple[int, ...]:
        return len(self.makes), len(self.process), len(self.headspaces), len(self.boils), int(self.cold)


def _one(values: list[float], what: str, instead: str) -> None:
    if len(set(values)) > 1:
        del values[1:]
        raise InputError(f"two {what} are named: {instead}")
