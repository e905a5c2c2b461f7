"""The ingredient lines of a command: one or several in a word, with quotes or without; every problem told at once.

A comma, a semicolon, "and" or a line end parts two lines where both sides read whole: "3 lb plums, pitted" is one. What one line
means is read by lines. How little and how much the lines of a batch may be in all is checked here too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError, RecipeError, UnknownItem, at_once
from jamcalc.nouns.said import Line, Role
from jamcalc.reading.lines import read_line
from jamcalc.words.forms import name_and_forms
from jamcalc.words.quantities import MAX_LINES
from jamcalc.words.units import MAX_KG, MAX_TEXT, read_amount, shown

LEAST_G = 10.0  # of all lines together: under a spoonful no measure and no jar means anything (judgement)
MOST_TEXT = 2_000  # characters of several lines in one
# What may part two lines: never a comma between digits, which is no separator.
_PARTED = re.compile(r"( ?;\s?|\s*\n\s*| ?,(?![0-9]) ?|(?<![0-9]) ?, ?| and | & | \+ | plus | with )", re.IGNORECASE)


def read_lines(words: list[str]) -> tuple[Line, ...]:
    """The ingredient lines of a command: each word one line or several, or all words together, typed without quotes.

    Raises InputError or UnknownItem; of several problems all, a line each.
    """
    if not words:
        raise InputError('no ingredient: write for instance "3 lb plums"')
    if len(words) > MAX_LINES:
        raise InputError(f"{len(words)} ingredients or words: at most {MAX_LINES} can be read; put each line in quotes")
    if len(words) > 1 and not any(" " in word.strip() for word in words):
        return _unquoted(" ".join(words))
    read: list[Line] = []
    problems: list[JamcalcError] = []
    for word in words:
        try:
            if len(words) > 1 and " " not in word.strip():
                raise _quote_each(word)
            read += _lines_of(word)
        except (InputError, UnknownItem) as error:
            problems.append(error)
    if problems:
        raise at_once(problems)
    return tuple(read)


def _lines_of(text: str) -> tuple[Line, ...]:
    """The one line that a text is, or the several that commas, semicolons, "and" or line ends part."""
    if len(text) > MOST_TEXT or not _PARTED.search(text) or not "".join(text.splitlines()).isprintable():
        return (read_line(text),)
    if "\n" not in text and ";" not in text:
        try:
            return (read_line(text),)
        except (InputError, UnknownItem):
            pass
    from jamcalc.words.wording import is_amount_alone  # only where something parts the text

    groups: list[str] = []
    separator = ""
    for piece in _PARTED.split(text):
        if _PARTED.fullmatch(piece):
            separator = piece.strip().lower()  # "" for a line end
            continue
        if not piece.strip():
            continue
        if groups and separator == "," and is_amount_alone(piece) and not _begins_an_amount(groups[-1]):
            groups[-1] += f" {piece.strip()}"  # "peaches, sliced, 4 cups"
        elif not groups or separator in ("", ";") or (_begins_an_amount(piece) and not (separator == "+" and is_amount_alone(groups[-1]))):
            groups.append(piece.strip())
        else:
            groups[-1] += f" {piece.strip()}" if separator == "," else f" {separator} {piece.strip()}"
    if len(groups) > MAX_LINES:
        raise InputError(f"{len(groups)} ingredients: at most {MAX_LINES} can be read")
    read: list[Line] = []
    problems: list[JamcalcError] = []
    for group in groups or [text]:
        try:
            read.append(read_line(group))
        except (InputError, UnknownItem) as error:
            problems.append(_of_each(group) or error)
    if problems:
        raise at_once(problems)
    return tuple(read)


def _begins_an_amount(piece: str) -> bool:
    """Whether a piece of a text begins as a line does: with a number in figures or words, or with "juice of"."""
    from jamcalc.words.spoken import plainly

    start = piece.strip()[:MAX_TEXT].lower()
    return bool(re.match(r"[0-9.½⅓⅔¼¾⅛⅜⅝⅞]|(?:the )?(?:fresh )?juice (?:of|from) ", start)) or plainly(start) != start


def _of_each(group: str) -> InputError | None:
    """What to ask of one amount for two things: "2 lb plums and pears"."""
    try:
        _, rest = read_amount(group)
        names = re.split(r" (?:and|&) ", rest, maxsplit=1)
        if len(names) == 2 and all(facts.lookup(name_and_forms(name)[0]) for name in names):
            apart = " ".join(f'"1 lb {shown(name, 20)}"' for name in names)
            return InputError(f'"{shown(group)}": how much of each? Write them apart, such as {apart}')
    except (InputError, UnknownItem):
        pass
    return None


def _unquoted(text: str) -> tuple[Line, ...]:
    try:
        return _lines_of(text)
    except RecipeError:
        raise
    except (InputError, UnknownItem):
        if len(text) > MAX_TEXT or any(letter.isdigit() for letter in _rest_of(text)):  # a second amount: a second ingredient
            raise _quote_each(text) from None
        raise


def _rest_of(text: str) -> str:
    try:
        return read_amount(text)[1]
    except InputError:
        return ""


def _quote_each(text: str) -> InputError:
    return InputError(f'"{shown(text)}" is not one line: put each ingredient in quotes, such as "3 lb plums" "1/2 cup honey"')


def check_written(read: Sequence[Line]) -> None:
    """Refuse more than 100 kg in the lines that a cook wrote: each may be that much, and so may all together. Raises InputError."""
    total_kg = _at_least_a_spoonful(read) / 1000
    if total_kg > MAX_KG:
        raise InputError(
            f"{len(read)} lines of about {total_kg:.0f} kg in all: write at most {MAX_KG:.0f} kg, what a kitchen may put up in a day"
        )


def check_sum(lines: Sequence[Line]) -> None:
    """Refuse a recipe that is more than a kitchen may put up in a day, as `check_weights` does; a liter counts as a kilogram."""
    _at_least_a_spoonful(lines)
    check_weights((line.role, line.amount.grams or line.amount.ml or 0.0) for line in lines)


def _at_least_a_spoonful(lines: Sequence[Line]) -> float:
    """All that is written [g]; InputError where it would not fill a hundredth of a jar."""
    total_g = sum(line.amount.grams or line.amount.ml or 0.0 for line in lines)
    if 0.0 < total_g < LEAST_G * (1 - 1e-9):
        raise InputError(f"{total_g:.2g} g in all is too little for a pot: write at least {LEAST_G:.0f} g, better a pound or two")
    return total_g


def check_weights(parts: Iterable[tuple[Role, float]]) -> None:
    """At most 100 kg of fruit and water, and of any other thing, and 200 kg in all; `parts` are roles and grams. Raises InputError."""
    total = fruit = 0.0
    for role, grams in parts:
        if grams > 1000 * MAX_KG * (1 + 1e-9):
            raise InputError(f"about {grams / 1000:.0f} kg of one {role}: at most {MAX_KG:.0f} kg can be written")
        total += grams / 1000
        fruit += grams / 1000 if role in ("fruit", "liquid") else 0.0
    for kg, most, what in ((fruit, MAX_KG, "fruit and water"), (total, 2 * MAX_KG, "everything")):
        if kg > most * (1 + 1e-9):
            raise InputError(f"about {kg:.0f} kg of {what} in all: write at most {most:.0f} kg, what a kitchen may put up in a day")
