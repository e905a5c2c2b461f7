"""Text to amounts: a strict reader of numbers and units for what a cook types, the only module that knows pint.

pint never sees typed text, only a float and one of our own unit names. What the amount is of, lines.py decides.
Messages use `shown` for every piece of them that they repeat.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

from jamcalc.errors import InputError
from jamcalc.nouns.said import Amount, Finding

MAX_TEXT = 120  # characters of one line: bounds the work, whatever is typed
MAX_NAME = 300  # characters of a file's name and folders that are repeated: a name alone has at most 255
MAX_KG = 100.0  # a kitchen batch is far below; more is a slip of the finger
MAX_LITRE = 100.0
MIN_G = 0.001  # a milligram, or a thousandth of a milliliter: less cannot be measured out
AUSTRALIAN_SPOON = Finding(
    id="metric-tablespoon",
    kind="know",
    text="A metric tablespoon is read as 15 mL; the Australian one holds 20 mL: write mL if yours does.",
)
IMPERIAL_SPOON = Finding(
    id="imperial-spoon",
    kind="know",
    text="British spoons have changed over the years: tablespoon read as 17.8 mL, teaspoon as 5.9 mL; write mL or grams if it matters.",
)
HEAPS = frozenset({"heaping", "heaped", "rounded", "scant", "generous"})
CANS = frozenset({"can", "cans", "tin", "tins"})
UNITS_HELP = "g, kg, mg, oz, lb, tsp, tbsp, fl oz, cup, pint, quart, gallon, mL, L"

# spelling in lower case -> our unit; T, t, c and C are refused before this is looked at
_SPELLINGS = {
    spelling: unit
    for unit, spellings in {
        "milligram": "mg milligram milligrams milligramme milligrammes",
        "gram": "g gm gms gr gram grams gramme grammes",
        "kilogram": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
        "ounce": "oz ozs ounce ounces",
        "pound": "lb lbs pound pounds",
        "teaspoon": "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls",
        "tablespoon": "tbsp tbsps tbs tb tbl tblsp tablespoon tablespoons tablespoonful tablespoonfuls",
        "fluid_ounce": "floz",
        "cup": "cup cups cupful cupfuls",
        "pint": "pint pints pt pts",
        "quart": "quart quarts qt qts",
        "gallon": "gallon gallons gal gals",
        "milliliter": "ml mls milliliter milliliters millilitre millilitres cc",
        "liter": "l ltr ltrs liter liters litre litres",
        "packet": "packet packets pkt pkts package packages pkg pkgs box boxes sachet sachets envelope envelopes",
        "pouch": "pouch pouches",
    }.items()
    for spelling in spellings.split()
}
_SHORT = {
    "milligram": "mg", "gram": "g", "kilogram": "kg", "ounce": "oz", "pound": "lb", "teaspoon": "tsp", "tablespoon": "tbsp",
    "fluid_ounce": "fl oz", "milliliter": "mL", "liter": "L",
}  # fmt: skip
_MASS = {"milligram", "gram", "kilogram", "ounce", "pound"}
_PACKETS = {"packet", "pouch"}
_SYSTEMS = {
    "imperial": {"teaspoon", "tablespoon", "fluid_ounce", "cup", "pint", "quart", "gallon"},
    "metric": {"teaspoon", "tablespoon", "cup", "pint"},
    "us": {"teaspoon", "tablespoon", "fluid_ounce", "cup", "pint", "quart", "gallon"},
}
_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip

_PLAIN = str.maketrans({"\u2044": "/", "\u2010": "-", "\u2011": "-", "\u2212": "-"})  # fraction slash, hyphens, minus

_ESCAPE = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|.)?", re.DOTALL)
# [0-9], not \d, which takes every script's digits; nothing in it can match the same text in two ways
_NUMBER = re.compile(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)(?![0-9./])|([0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?![0-9./])")
_UNIT = re.compile(r" ?(?:(imperial|metric|us) )?(?:level )?(fl(?:uid)?\.?[ -]?(?:oz|ounces?)|[a-z]+)\.?(?!\w)", re.IGNORECASE)
_JOIN = re.compile(r" ?(?:(\+|&|and |plus )|(?=[0-9.])) ?", re.IGNORECASE)


def shown(text: str, limit: int = 60) -> str:
    """Typed text made fit to be repeated: no escapes, control characters or markup brackets, on one line, cut at `limit`."""
    is_cut = len(text) > 4 * limit
    text = text[: 4 * limit]  # nothing below reads more, whatever is typed
    clean = _ESCAPE.sub("", text)
    clean = " ".join("".join(c if c.isprintable() else " " for c in clean).split())
    clean = clean.replace("[", "(").replace("]", ")")
    return clean if len(clean) <= limit and not is_cut else clean[: limit - 3].rstrip() + "..."


def visible(text: str, limit: int = MAX_NAME) -> str:
    """A file's name as it is, with what cannot be printed written out ("a\\x1b.toml" for an escape character), cut at `limit`."""
    name = "".join(char if char.isprintable() else char.encode("unicode_escape").decode("ascii") for char in readable(text[:limit]))
    return name if len(text) <= limit else name + "..."


def readable(text: str) -> str:
    """The text of a word that came as UTF-8 to a program that was told to read ASCII; any other text as it is."""
    if not any("\udc80" <= char <= "\udcff" for char in text):  # how Python holds a byte that it could not read
        return text
    try:
        return text.encode("utf-8", "surrogateescape").decode("utf-8")
    except UnicodeError:
        return text


def tidy(text: str) -> str:
    """The text with single spaces and `1/2` for vulgar fractions; over-long, empty or control characters -> InputError."""
    if len(text) > MAX_TEXT:
        raise InputError(f'"{shown(text, 30)}" is too long: {len(text)} characters where {MAX_TEXT} are enough for one line')
    text = readable(text)
    for sign, plain in _VULGAR.items():
        if sign in text:
            text = text.replace("-" + sign, "-" + plain).replace(sign, " " + plain)
    text = " ".join(text.translate(_PLAIN).split())
    if not text:
        raise InputError('empty: write an amount and an item, such as "3 lb plums"')
    if not text.isprintable():
        raise InputError(f'"{shown(text)}" holds control characters: type it again as plain text')
    if "," in text:
        raise InputError(f'"{shown(text)}" has a comma: write 2.5 with a point, 1300 without a mark, and one ingredient a line')
    return text


@cache
def _registry() -> Any:
    """pint's registry with our own short file; built at the first conversion."""
    from pint import UnitRegistry

    return UnitRegistry(str(Path(__file__).parents[1] / "data" / "units.txt"))


def convert(value: float, unit: str, to: str) -> float:
    """`value` of one unit of data/units.txt in another of the same kind."""
    return value if unit == to else value * _factor(unit, to)


@cache
def _factor(unit: str, to: str) -> float:
    return float(_registry().Quantity(1.0, unit).to(to).magnitude)


def read_amount(text: str) -> tuple[Amount, str]:
    """An amount at the start of the text, and the rest of it.

    `NUMBER UNIT`, or a falling series of them (`3 lb 4 oz`, `1/4 cup + 1 tbsp`).

    Parameters
    ----------
    text : what was typed, at most 120 characters

    Returns
    -------
    (Amount, rest) : grams, or milliliters, or a count of packets; `rest` is what follows, without "of"

    Range of validity: 1 mg to 100 kg, 0.001 mL to 100 L.

    Raises
    ------
    InputError : anything else; says what to write instead

    References: NIST Handbook 44, Appendix C (factors in data/units.txt)
    """
    line = tidy(text)
    value, words, end = read_number(line, 0)
    unit, end = _unit(line, end, words)
    total, base = _base(value, unit, line)
    said, units = [f"{words} {_spoken(unit, value)}"], [unit]
    previous, before = unit, value
    while (joint := _JOIN.match(line, end)) and joint.end() < len(line):
        value, words, end = read_number(line, joint.end())
        unit, end = _unit(line, end, words)
        more, more_base = _base(value, unit, line)
        falls = _base(1.0, unit, line)[0] < _base(1.0, previous, line)[0]
        falls |= unit == previous and value < before and "+" in joint[0]  # two spoons of one drawer: 1/2 tsp + 1/8 tsp
        if more_base != base or not falls:
            raise InputError(
                f'"{shown(line)}": amounts in a row are of one kind and fall, such as 3 lb 4 oz or 1 cup 2 tbsp; '
                "put another ingredient on a line of its own"
            )
        total += more
        said.append(f"{words} {_spoken(unit, value)}")
        units.append(unit)
        previous, before = unit, value
    _check_size(total, base, line)
    rest = line[end:].strip()
    amount_text = (" + " if base == "milliliter" else " ").join(said)
    amount = Amount(
        grams=total if base == "gram" else None,
        ml=total if base == "milliliter" else None,
        count=total if base == "packet" else None,
        text=amount_text,
        units=tuple(units),
    )
    return amount, rest[3:] if rest.lower().startswith("of ") else rest


def read_number(line: str, start: int) -> tuple[float, str, int]:
    """A number of ASCII digits at `start`: its value, how it is written, and where it ends."""
    match = _NUMBER.match(line, start)
    if not match:
        raise InputError(_no_number(line, start))
    whole, top, bottom, decimal = match.groups()
    if decimal is not None:
        return float(decimal), decimal, match.end()
    if float(bottom) == 0:
        raise InputError(f'"{shown(line)}" divides by zero: write a fraction such as 1/4')
    fraction = float(top) / float(bottom)
    if whole is None:
        return fraction, f"{top}/{bottom}", match.end()
    if fraction >= 1:
        raise InputError(f'"{shown(line)}": after a whole number the fraction is less than one, such as 1 1/2')
    return float(whole) + fraction, f"{whole} {top}/{bottom}", match.end()


# What a cook says where nothing was measured, and a likely measure for the example.
_VAGUE = {
    **dict.fromkeys(("splash", "glug", "drizzle", "spoonful"), "2 tbsp"), **dict.fromkeys(("squeeze", "squirt", "little", "bit"), "1 tbsp"),
    **dict.fromkeys(("pinch", "dash"), "1/8 tsp"), **dict.fromkeys(("handful", "few", "some", "bowl", "bag"), "12 oz"),
}  # fmt: skip
_VAGUELY = rf"(?:(?:a|an|one|good|big|small) )*({'|'.join(_VAGUE)})s?(?: of)?(?: (.+))?"


def _no_number(line: str, start: int) -> str:
    what = line[start:]
    if vague := re.fullmatch(_VAGUELY, what, re.IGNORECASE):
        example = f"{_VAGUE[vague[1].lower()]} {shown(vague[2] or 'water', 30)}"
        return f'"{shown(line)}": {vague[1].lower()} is no measure: write for instance "{example}"'
    if behind := re.fullmatch(r"(.+?) (to taste|as needed|if needed|as desired|as required)", what, re.IGNORECASE):
        return f'"{shown(line)}": {behind[2].lower()} is no measure: write for instance "2 tbsp {shown(behind[1], 30)}", or leave it out'
    if re.fullmatch(r"(?:no|without|zero) (?:added )?(?:sugar|sweetener|pectin|lemon juice|acid|water)s?", what, re.IGNORECASE):
        return f'"{shown(line)}" is no ingredient: leave it out; only what a line or an option names goes in'
    if what[:1] in "-+" and what[1:2].isdigit():
        return f'"{shown(line)}" has a sign before the number: amounts are above zero, such as 3 lb'
    if re.match(r" ?[0-9./]", what):
        return f'"{shown(line)}": the number cannot be read: write 2, 2.5, 1/4, 1 1/2 or 1-1/2'
    return f'"{shown(line)}" does not begin with an amount: write a number, a unit and an item, such as "3 lb plums"'


def _unit(line: str, start: int, number: str) -> tuple[str, int]:
    """The unit at `start`: our own name for it, and where it ends."""
    match = _UNIT.match(line, start)
    if not match:
        raise InputError(_no_unit(line, start, number))
    system, word = match.groups()
    if word in ("T", "t"):
        raise InputError(f'"{shown(line)}": {word} can be read in two ways: write tbsp or tsp')
    if word in ("C", "c"):
        raise InputError(f'"{shown(line)}": {word} is written out: cup')
    unit = "fluid_ounce" if word[:2].lower() == "fl" and word.lower().endswith(("oz", "ounce", "ounces")) else _SPELLINGS.get(word.lower())
    if unit is None:
        raise InputError(_no_unit(line, start, number, word))
    if system is None:
        return unit, match.end()
    system = system.lower()
    if unit not in _SYSTEMS[system]:
        raise InputError(f'"{shown(line)}": {system} goes before cup, pint, tbsp or tsp only')
    return unit if system == "us" else f"{system}_{unit}", match.end()


def _no_unit(line: str, start: int, number: str, word: str = "") -> str:
    after = line[start:]
    if word.lower() in ("heaping", "heaped", "rounded", "scant", "generous"):
        return (
            f'"{shown(line)}": {word.lower()} is no measure: level it off, and write what it holds then, such as "{shown(number, 20)} cups"'
        )
    if word.lower() in ("can", "cans", "tin", "tins"):
        return f'"{shown(line)}": cans differ: write the net weight on the label, such as "15 oz canned peaches in juice"'
    if re.match(r"/|\.[0-9]| ?[0-9]+/", after):
        return _no_number(line, start)
    if re.match(r"[eE][+-]?[0-9]", after):
        return f'"{shown(line)}": write the number out, without an exponent'
    if re.match(r" ?(?:-|\u2013|to |or ) ?[0-9]", after):
        return f'"{shown(line)}" is a range: write the one amount that goes in the pot'
    if not word:
        return f'"{shown(line)}": after {shown(number, 20)} a unit is missing: {UNITS_HELP}'
    return (
        f'"{shown(line)}": {shown(word, 20)} is not a unit, and a bare number says neither weight nor volume: write for instance '
        f'"{shown(number, 20)} lb plums" (units: {UNITS_HELP}, packet)'
    )


def _base(value: float, unit: str, line: str) -> tuple[float, str]:
    """The value in grams, milliliters or packets, and which of the three."""
    if unit in _PACKETS:
        return value, "packet"
    base = "gram" if unit in _MASS else "milliliter"
    if value <= 0:
        raise InputError(f'"{shown(line)}": an amount is above zero; leave the line out if there is none')
    if value > 1e9:  # before pint: an endless number has no size worth converting
        raise InputError(f'"{shown(line)}" is more than {MAX_KG:.0f} kg or {MAX_LITRE:.0f} L: check the number and the unit')
    return convert(value, unit, base), base


def _check_size(total: float, base: str, line: str) -> None:
    if base == "packet":
        if not 0 < total <= MAX_KG:
            raise InputError(f'"{shown(line)}": between part of a packet and {MAX_KG:.0f} packets can be read')
    elif total > (MAX_KG if base == "gram" else MAX_LITRE) * 1000 * (1 + 1e-12):
        raise InputError(f'"{shown(line)}" is more than {MAX_KG:.0f} kg or {MAX_LITRE:.0f} L: check the number and the unit')
    elif total < MIN_G:
        raise InputError(f'"{shown(line)}" is too little to weigh or measure: leave the line out, or check the unit')


def _spoken(unit: str, value: float) -> str:
    """The unit as it is written in a line, with its plural: "cups", "metric tbsp"."""
    system, name = unit.split("_", 1) if unit.startswith(("imperial_", "metric_")) else ("", unit)
    short = _SHORT.get(name) or (name if value <= 1 else "pouches" if name == "pouch" else name + "s")
    return f"{system} {short}" if system else short


def spoon_findings(amount: Amount) -> tuple[Finding, ...]:
    """What is to be said of an amount in a spoon that is not the same everywhere."""
    if "metric_tablespoon" in amount.units:
        return (AUSTRALIAN_SPOON,)
    return (IMPERIAL_SPOON,) if {"imperial_tablespoon", "imperial_teaspoon"}.intersection(amount.units) else ()
