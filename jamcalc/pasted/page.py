"""The page of a recipe in plain text, row by row: title, ingredients, steps, notes; then the whole as a Recipe.

A title comes first, then an ingredient a row, then what to do. A row that begins with an amount is an ingredient, the first one
too; nothing that may hold one is left out unread. What only tells something becomes a note, and is named. Whose recipe it is, the
text may say; tested it never is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, cast

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError, RecipeError
from jamcalc.nouns.said import Finding, Line
from jamcalc.nouns.written import Recipe, RecipeSource
from jamcalc.pasted import foods, ingredients, prose, sayings
from jamcalc.pasted.rows import Row
from jamcalc.pasted.told import Told
from jamcalc.words.quantities import MOST_LINES
from jamcalc.words.units import shown

LONGEST_TITLE = 200  # characters, as in a recipe file; so are the next two
MOST_STEPS = 60
MOST_EXTRAS = 30
NOTES_SHOWN = 5  # of which the answer speaks; all of them stand in the recipe
_MADE = re.compile(r"\s*[(,|:\u2013\u2014-]\s*((?:makes|yields?)\b[^()]*)\)?\s*$", re.IGNORECASE)
_SERVES = re.compile(r"(?:serves|servings?|portions?):? [0-9]", re.IGNORECASE)
_CLOCK = re.compile(r"(?:[a-z]+ ){0,2}time: ?[0-9].{0,30}", re.IGNORECASE)


@dataclass(kw_only=True)
class Page:
    """What has been found of a recipe so far."""

    problems: list[tuple[int, str]] = field(default_factory=list)
    title: tuple[int, str] | None = None
    is_named: bool = False  # by a row that says so: "Title: ..."
    lines: list[Line] = field(default_factory=list)
    extras: list[str] = field(default_factory=list)
    steps: list[tuple[int, str]] = field(default_factory=list)
    notes: list[tuple[int, str]] = field(default_factory=list)
    taken: list[Finding] = field(default_factory=list)
    told: Told = field(default_factory=Told)
    part: str = "top"  # top, ingredients, steps or notes
    listed: set[int] = field(default_factory=set)  # the rows of lines and extras

    def problem(self, row: int, text: str) -> None:
        self.problems.append((row, text))

    # ------------------------------------------------------------ row by row

    def read(self, rows: list[Row]) -> None:
        """Take each row as what it is."""
        self._check_numbers(rows)
        last = self._last_ingredient(rows)
        for index, row in enumerate(rows):
            if heading := sayings.heading(row.text):
                self._open(heading[0], row, heading[1])
            elif self.part == "top" and index > 0 and sayings.is_subheading(row.text):
                self.part = "ingredients"
            elif self.part in ("top", "ingredients") and ingredients.begins_with_amount(row.text):
                self.part = "ingredients"
                self._ingredient(row)
            elif self.part in ("top", "ingredients") and not _is_told(row.text) and (turned := prose.amount_first(row.text)):
                self.problem(row.number, f'"{shown(row.text)}": write the amount first: "{shown(turned)}"')
            elif self.part == "top":
                self._at_the_top(row, is_first=index == 0)
            elif self.part == "ingredients":
                self._among_ingredients(row, before_last=index <= last)
            else:
                self._below(row)

    def _last_ingredient(self, rows: list[Row]) -> int:
        """The last row, before any heading of steps or notes, that begins with an amount."""
        last = -1
        for index, row in enumerate(rows):
            heading = sayings.heading(row.text)
            if heading and heading[0] in ("steps", "notes") and last >= 0:
                break
            if not heading and ingredients.begins_with_amount(row.text):
                last = index
        return last

    def _check_numbers(self, rows: list[Row]) -> None:
        """A "1." before an amount is a list's number only where the rows count on: "1. 5 lb plums" may be one and a half."""
        for index, row in enumerate(rows):
            if row.marked is None or not row.text[:1].isdigit() or not ingredients.begins_with_amount(row.text):
                continue
            beside = [other.marked for other in rows[max(index - 1, 0) : index + 2]]
            if not {row.marked - 1, row.marked + 1} & {number for number in beside if number is not None}:
                self.problem(
                    row.number,
                    f'"{row.marked}. {shown(row.text)}": does {row.marked} number the row, or the amount? Take it out, or close it up',
                )

    def _open(self, part: str, row: Row, rest: str) -> None:
        """A heading, and what stands behind it."""
        inner = Row(number=row.number, text=rest)
        if part == "title":
            if ingredients.begins_with_amount(rest) and not _is_called(rest):
                self.problem(row.number, f'"{shown(rest)}" has an amount: a title names the jam, and ingredients have rows of their own')
            if self.title is not None and not self.is_named:  # what stands above the title is none
                above, self.title = Row(number=self.title[0], text=self.title[1]), None
                if not self._told(above, alone=True):
                    self._note(above)
            self.is_named = True
            self._title(row, rest)
        elif part == "source":
            if not self.told.comes_from(rest):
                self._note(row)
        elif part == "yield":
            self._yields(row, rest)
        else:
            if part == "ingredients" and self.steps and self.lines:
                self.problem(row.number, "a second list of ingredients: write one recipe, with all that goes in the pot")
            self.part = part
            if not rest or self._told(inner, alone=True):
                return
            if part == "ingredients":
                self._ingredient(inner)
            else:
                self._below(inner)

    def _at_the_top(self, row: Row, *, is_first: bool) -> None:
        """Before the ingredients: the title first, then notes; without a title the first ingredient opens the list."""
        if is_first and _is_sentence(row) and not _is_called(row.text):  # no name of anything
            self._note(row)
            return
        if is_first or (self.title is None and not self.notes and not self.lines):
            read = _read_or_none(row.text)
            if read and (read.lines or ingredients.begins_with_amount(row.text)):
                self.part = "ingredients"
                self._take(row, read)
                return
            if (row.text[:1].isdigit() or _is_done_to(row.text)) and not _is_called(row.text):
                self.problem(
                    row.number,
                    f'"{shown(row.text)}": a title or an ingredient? Give it a unit, such as "3 lb plums", or write "Title: ..."',
                )
                return
            self._title(row, row.text)
            if row.text[:1].isdigit():
                self.taken.append(
                    Finding(id="text-title", kind="know", text=f'"{shown(row.text)}" is taken as the title: its number has no unit.')
                )
            return
        if read := _read_or_none(row.text):
            self.part = "ingredients"
            self._take(row, read)
        elif (not _is_sentence(row) and _is_done_to(row.text)) or ingredients.lacks_its_number(row.text):
            self._ingredient(row)
        elif not self._told(row):
            self._note(row)

    def _among_ingredients(self, row: Row, *, before_last: bool) -> None:
        """A row without an amount: an extra, a heading of a part, what is told, or the first of the steps."""
        if sayings.is_subheading(row.text):
            return
        if read := _read_or_none(row.text):
            self._take(row, read)
        elif self._told(row, alone=True):
            return
        elif sayings.yields(row.text) or _SERVES.match(row.text) or (_CLOCK.fullmatch(row.text) and not sayings.says_how(row.text)):
            self._note(row)
        elif not before_last and _is_sentence(row):
            self.part = "steps"
            self._below(row)
        else:
            self._ingredient(row)

    def _below(self, row: Row) -> None:
        """Among the steps or the notes."""
        if ingredients.begins_with_amount(row.text) and not prose.is_vessel(row.text):
            self.problem(
                row.number, f'"{shown(row.text)}" is an amount outside the ingredients: put it among them, or say what to do first'
            )
        elif not _is_sentence(row) and _is_done_to(row.text):
            self._ingredient(row)
        elif self.part == "notes":
            self._told(row)
            self._note(row)
        elif not self._told(row, alone=True):
            self._told(row)
            self.steps += [(row.number, piece) for piece in sayings.pieces(row.text)]

    # ------------------------------------------------------------ what a row is

    def _ingredient(self, row: Row) -> None:
        try:
            self._take(row, ingredients.read_row(row.text))
        except RecipeError as error:
            for problem in error.problems:
                self.problem(row.number, problem)
        except JamcalcError as error:
            self.problem(row.number, str(error))

    def _take(self, row: Row, read: ingredients.Read) -> None:
        self.listed.add(row.number)
        if any(line.role == "acid" and line.text in {other.text for other in self.lines} for line in read.lines):
            self.problem(row.number, f'"{shown(row.text)}" stands here twice: add the two up, or take one out')
        self.lines += read.lines
        if read.extra:
            self.extras.append(read.extra)

    def _title(self, row: Row, text: str) -> None:
        title, _, rest = _MADE.sub(r"\n\1", text).partition("\n")
        if rest:
            self._yields(row, sayings.yields(rest))
        if len(title) > LONGEST_TITLE:
            self.problem(row.number, f"the title is longer than {LONGEST_TITLE} characters")
        if self.title is not None:
            self.problem(row.number, f'a second title: "{shown(title)}"')
        self.title = (row.number, title)

    def _yields(self, row: Row, text: str) -> None:
        try:
            if not self.told.yields(text):
                self._note(row)
        except InputError as error:
            self.problem(row.number, str(error))

    def _note(self, row: Row) -> None:
        self.notes.append((row.number, row.text))

    def _told(self, row: Row, *, alone: bool = False) -> bool:
        """Whether a row says a yield, a source or, unless that must be all of it, anything else of the recipe."""
        try:
            return self.told.alone(row.text) or (not alone and self.told.tell(row.text, boils=self.part != "notes"))
        except InputError as error:
            self.problem(row.number, str(error))
            return True

    # ------------------------------------------------------------ the whole

    def look_for_hidden(self, rows: list[Row]) -> None:
        """Whatever any row but an ingredient puts in the pot and the ingredients do not name."""
        if self.problems or not self.lines:  # first the ingredients, for they say what is listed
            return
        known, steps = foods.listed(self.lines, self.extras), {number for number, _ in self.steps}
        for row in rows:
            if row.number in self.listed:
                continue
            self.told.look(row.number, row.text)
            part = "title" if self.title and row.number == self.title[0] else "steps" if row.number in steps else "notes"
            is_few_words = part == "notes" and not _is_sentence(row) and not sayings.source(row.text)
            if is_few_words or (part == "title" and not _is_called(row.text)):
                part = "fragment"
            if problem := prose.hidden(row.text, known, part):
                self.problem(row.number, problem)

    def recipe(self, name: str) -> Recipe:
        """The recipe of the page; what is wrong with the whole of it is noted."""
        if not self.lines and not self.problems:
            such_as = 'a title, then an ingredient a row, such as "3 lb plums"'
            for number, text in self.notes:
                if prose.has_amount(text):
                    self.problem(number, f'"{shown(text)}" does not begin with its amount: write {such_as}')
            if not self.problems:
                self.problem(0, f"no ingredients: it is not TOML, and plain text is {such_as}")
        if len(self.steps) > MOST_STEPS:
            self.problem(self.steps[MOST_STEPS][0], f"more than {MOST_STEPS} steps: join some")
        title, told = self.title[1] if self.title else "", self.told
        if len(self.lines) > MOST_LINES or len(self.extras) > MOST_EXTRAS:
            self.problem(0, f"more than {MOST_LINES} ingredients or {MOST_EXTRAS} extras")
        cold = not told.process and (told.cold or sayings.cold_by_name(title))
        if not cold and (wrong := told.wrong_jars()):
            self.problem(*wrong)
        return Recipe(
            title=title,
            kind=cast(Any, sayings.kind(title) if title else "spread"),
            lines=tuple(self.lines),
            boil_min=told.boil_min,
            stated_yield=told.makes[0] if told.makes else None,
            headspace_mm=told.headspaces[0] if told.headspaces else None,
            process_min=told.process[0] if told.process else None,
            keep="cold" if cold else None,
            extras=tuple(self.extras),
            steps=tuple(text for _, text in self.steps),
            source=RecipeSource(standing="published", by=told.source) if told.source else None,
            name=name,
            notes=tuple(text for _, text in self.notes),
            taken=(*self.taken, *self._said(cold)),
        )

    def _said(self, cold: bool) -> list[Finding]:
        said = []
        if self.title is None:
            said.append(Finding(id="text-title", kind="know", text="No title: the first row is an ingredient."))
        if self.extras:
            said.append(Finding(id="set-aside", kind="know", text=f"Set aside, and left out of the sums: {'; '.join(self.extras)}."))
        if self.told.own_way and not cold:
            way = f"Row {self.told.own_way} closes the jars in a way that keeps none on a shelf: process them in boiling water."
            said.append(Finding(id="no-minutes", kind="know", text=way))
        elif self.steps and not self.told.process and not cold:
            said.append(Finding(id="no-minutes", kind="know", text="The text names no minutes in boiling water."))
        notes = "; ".join(f'"{shown(text)}"' for _, text in self.notes[:NOTES_SHOWN])
        more = f"; and {len(self.notes) - NOTES_SHOWN} more" if len(self.notes) > NOTES_SHOWN else ""
        if notes:
            said.append(Finding(id="note-kept", kind="know", text=f"Kept as a note: {notes}{more}."))
        return said


def _read_or_none(text: str) -> ingredients.Read | None:
    try:
        return ingredients.read_row(text)
    except JamcalcError:
        return None


def _is_told(text: str) -> bool:
    return bool(sayings.yields(text) or sayings.source(text)) or bool(_MADE.search(text))


def _is_called(text: str) -> bool:
    """Whether a text calls itself a jam: "3 fruit jam"."""
    return bool(set(re.findall(r"[a-z]+", text.lower())) & set(facts.table("pasted")["words"]["kinds"]))


def _is_done_to(text: str) -> bool:
    """Whether a text says what was done to an ingredient: "onions, chopped"."""
    return bool(set(re.findall(r"[a-z]+", text.lower())) & set(facts.table("pasted")["words"]["done_to"]))


def _is_sentence(row: Row) -> bool:
    """Whether a row without an amount says what to do: it begins as such rows do, or is a whole sentence."""
    words = re.findall(r"[a-z'-]+", row.text.lower())
    listed = facts.table("pasted")["words"]
    begins = bool(words) and words[0] in listed["verbs"]
    if sayings.says_how(row.text):
        return True
    return (begins and (len(words) > 1 or row.text[-1] == ".")) or (
        len(words) > 3 and row.text[-1] in ".!" and bool({*words} & {*listed["sentence"]})
    )
