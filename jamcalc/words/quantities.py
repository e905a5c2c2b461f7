"""Heights, headspaces, times, factors and jar counts from typed words: a number, one of a few units, and nothing more.

Amounts of things to eat are read by units, whose numbers these are.
"""

from __future__ import annotations

import re

from jamcalc.errors import InputError
from jamcalc.words.units import convert, read_number, shown, tidy

MAX_LINES = 60  # of ingredients that a cook may write
MOST_LINES = MAX_LINES + 4  # of a recipe: with sweetener, lemon juice, pectin and calcium water
MOST_MINUTES = 1440.0  # a day over the fire
MOST_JARS = 10_000  # 100 kg of fruit in the smallest jars are a tenth of it

_THOUSANDS = re.compile(r"^( ?[-\u2212]?[0-9]{1,2}),([0-9]{3})(?![0-9.,])")
_JARS_OF = re.compile(r"(clip )?jars? of (?=[0-9])(.*)", re.IGNORECASE)  # as phrases.jar_words says it: "7 jars of 250 mL"
_METRES = dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "meter")


def read_altitude_ft(text: str) -> float:
    """Height above the sea in feet from "4300 ft", "4,300 ft", "1300 m" or "-500ft"; a bare number is feet (`is_bare` tells)."""
    text = _THOUSANDS.sub(r"\1\2", text) if len(text) <= 40 else text
    help_ = 'write feet or meters, such as "4300 ft" or "1300 m"'
    feet_said = dict.fromkeys(("", "ft", "feet", "foot", "'"), "foot")
    value, unit = _measured(text, "altitude", {**feet_said, **_METRES}, help_, signed=True)
    feet = convert(value, unit, "foot") if abs(value) < 1e6 else value
    if not -1500 <= feet <= 30000:
        raise InputError(f'altitude "{shown(text)}" is no place to cook: {help_}')
    return feet


def is_bare(text: str) -> bool:
    """Whether an altitude names no unit, and was read as feet."""
    return not any(letter.isalpha() or letter == "'" for letter in text)


def read_headspace_mm(text: str) -> float:
    """Headspace in millimeters from "1/4 in", "6 mm" or "1 cm"."""
    help_ = 'write for instance "1/4 in" or "6 mm", up to 2 in'
    inches = dict.fromkeys(("in", "inch", "inches", '"'), "inch")
    value, unit = _measured(text, "headspace", {**inches, "mm": "millimeter", "cm": "centimeter"}, help_)
    depth_mm = convert(value, unit, "millimeter") if value < 1e6 else value
    if not 0 < depth_mm <= 50.8:
        raise InputError(f'headspace "{shown(text)}": {help_}')
    return depth_mm


def read_minutes(text: str) -> float:
    """Minutes from "10", "10 min" or "2 1/2 minutes"; 0 to 1440."""
    help_ = f"write minutes as a number, such as 10 or 2.5, up to {MOST_MINUTES:.0f}"
    value, _ = _measured(text, "time", dict.fromkeys(("", "min", "mins", "minute", "minutes"), "minute"), help_)
    if value > MOST_MINUTES:
        raise InputError(f'time "{shown(text)}": {help_}')
    return value


def read_factor(text: str) -> float:
    """A plain factor such as "1.5", "3" or "1/2"; what range makes sense is scaling's."""
    help_ = "write how many times as a number, such as 1.5, 3 or 1/2"
    value, _ = _measured(text, "times", {"": "one", "x": "one", "times": "one"}, help_)
    return value


def read_jar_count(text: str) -> tuple[float, float, str]:
    """How many jars, lowest and highest, and the jar's name: "8 half-pints", "5 to 6 half-pints", "7 jars of 250 mL" (a 250 mL jar)."""
    help_ = 'write a number and a jar, such as "8 half-pints" or "5 to 6 half-pints"'
    line = tidy(text)
    if line.lower().startswith("about "):
        line = line[6:]
    if line[0].isalpha():
        raise InputError(f'"{shown(text)}" does not begin with a number: {help_}')
    low, number, end = read_number(line, 0)
    high = low
    if another := re.match(r" ?(?:-|\u2013|to |or ) ?(?=[0-9.])", line[end:], re.IGNORECASE):
        high, _, end = read_number(line, end + another.end())
    name = _JARS_OF.sub(r"\2 \1jar", line[end:].strip())
    if not 0 < low <= high <= MOST_JARS:
        raise InputError(f'"{shown(text)}": between 1 and {MOST_JARS:,} jars, the lower number first; {help_}')
    if not re.fullmatch(r"[0-9a-z][0-9a-z/. -]*", name, re.IGNORECASE | re.ASCII) or name.replace(".", "").isdigit():
        raise InputError(f'"{shown(text)}": which jar? {help_}')
    if " " in number and "jar" in name.lower():  # 8 1/2 pint jars: eight half-pints, most likely
        raise InputError(f'"{shown(text)}" can be read in two ways: write "8 half-pints" or "8.5 pints"')
    return low, high, name


def _measured(text: str, what: str, units: dict[str, str], help_: str, *, signed: bool = False) -> tuple[float, str]:
    """A number and one of a few units, and nothing more; `signed` lets a minus stand before it."""
    if "," in text:
        without = re.sub(r",(?=[0-9]{3}(?![0-9]))", "", text)
        instead = f"write {shown(without)} without the comma" if "," not in without else "write a point for a comma, such as 2.5"
        raise InputError(f'{what} "{shown(text)}" has a comma: {instead}')
    try:
        line = tidy(text)
        minus = signed and line.startswith("-")
        value, _, end = read_number(line, int(minus))
    except InputError as error:
        raise InputError(f'{what} "{shown(text)}" cannot be read: {help_}') from error
    unit = units.get(line[end:].strip().rstrip(".").lower())
    if unit is None:
        raise InputError(f'{what} "{shown(text)}" cannot be read: {help_}')
    return -value if minus else value, unit
