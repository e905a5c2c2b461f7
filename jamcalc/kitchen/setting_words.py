"""The words of a kitchen's settings: a canner, jars, pots, lids, stores, packages, each read or refused with the fix in one line.

Reads one setting as a cook writes it and gives numbers; which setting it is of is household's.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable

from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.nouns.said import Amount
from jamcalc.words.measures import CUP_ML
from jamcalc.words.phrases import jar_words
from jamcalc.words.quantities import read_jar_count
from jamcalc.words.units import convert, read_amount, shown

ANY_JAR = "jar"  # a rack with fixed places takes as many jars whatever their size
# Judgement, all of these: what lies beyond is a slip of the finger.
MOST_JARS = 999  # of one kind in a pantry
MOST_JARS_A_LOAD = 60  # of the smallest, in two layers, in the largest canner for a stove
MOST_ML_A_LOAD = 9_500.0  # of all jars together: ten quarts
MOST_STORED_ML = 20_000.0  # of lemon juice
_NONE = re.compile(r"none|no|0(?:\.0{1,3})?(?: ?(?:g|oz|lb|ml|cups?|fl oz|lids))?", re.IGNORECASE)
_AT_ONCE = re.compile(r",? (?:at (?:a time|once)|in (?:a|one) load|(?:a|per) load|together)$")
_POTS = ("pot", "stockpot", "stock pot", "kettle", "saucepan", "dutch oven", "jam pan", "preserving pan")
POT_QUARTS, POT_IN = (0.5, 60.0), (3.0, 30.0)


def read_units(text: str) -> str:
    """ "us" or "metric"."""
    if text.strip().lower() not in ("us", "metric"):
        raise InputError(f'"{shown(text)}" cannot be read: write "us" or "metric"')
    return text.strip().lower()


def weighed(least_g: float, most_g: float, example: str) -> Callable[[str], float]:
    """A reader of a weight between two limits, beyond which it is a slip of the finger (judgement)."""

    def read(text: str) -> float:
        amount = _with_unit(text)
        if amount is None or amount.grams is None:
            raise InputError(f'"{shown(text)}" cannot be read: write a weight, in g, mg, oz or lb, such as "{example}"')
        if not least_g <= amount.grams <= most_g:
            raise InputError(f'"{shown(text)}" is not a likely weight: {least_g:g} to {most_g:g} g is; write such as "{example}"')
        return amount.grams

    return read


def read_calcium_mg(text: str) -> float:
    """Calcium in a teaspoon of calcium water [mg]."""
    return 1000 * weighed(0.003, 0.2, "15 mg")(text)


def stored(most_g: float, example: str) -> Callable[[str], float]:
    """A reader of a store by weight: "30 g", or "none"."""

    def read(text: str) -> float:
        return 0.0 if _NONE.fullmatch(text.strip()) else weighed(0, most_g, example)(text)

    return read


def read_poured(text: str) -> float:
    """A store by volume [mL]: "15 fl oz", or "none"."""
    if _NONE.fullmatch(text.strip()):
        return 0.0
    amount = _with_unit(text)
    if amount is not None and amount.ml is not None and amount.ml <= MOST_STORED_ML:
        return amount.ml
    match = re.fullmatch(r" *([0-9.]{1,6}) ?(?:oz|ounces?)\.? *", text, re.IGNORECASE)
    example = f'"{match[1]} fl oz"' if match else '"1 1/2 cups" or "15 fl oz", or "none"'
    wrong = "cannot be read" if amount is None or amount.ml is None else "is more than a kitchen keeps"
    raise InputError(f'"{shown(text)}" {wrong}: write a volume, such as {example}')


def read_lids(text: str) -> int:
    """How many lids: "24", "24 lids", "two dozen"."""
    plain = _plain(text)
    number = re.fullmatch(r"([0-9]{1,4})(?: (?:new )?lids?)?", plain)
    if number is None:
        raise InputError(f'"{shown(text)}" cannot be read: write a whole number up to 9999, such as 24')
    return int(number[1])


def _plain(text: str) -> str:
    """In figures: "two dozen half-pints" as "24 half-pints", "none" as "0"."""
    low = " ".join(text.lower().split())
    if _NONE.fullmatch(low):
        return "0"
    if low[:1].isdigit():
        return low
    from jamcalc.words.spoken import plainly  # only words pay for the reader of words

    plain = plainly(f"{low} lids").removesuffix(" lids")  # the reader of number words wants a thing after them
    return plain if plain[:1].isdigit() else low


def read_jars(text: str, *, of_any_size: bool = False) -> tuple[str, int]:
    """How many jars, and the key of the jar: "11 half-pints", "a dozen pints"; with `of_any_size` "7 jars" too."""
    low = high = 0.0
    name = ""
    with contextlib.suppress(InputError):
        low, high, name = read_jar_count(_plain(text))
    example = '"7 jars"' if of_any_size else '"11 half-pints"'
    if re.match(r" *(?:-|minus |0+(?![0-9.]))", text):
        raise InputError(f'"{shown(text)}" is not above zero: leave out what there is none of, or write such as {example}')
    if not 1 <= low == high == int(low):
        raise InputError(f'"{shown(text)}" cannot be read: write a whole number and a jar, such as {example}')
    if low > MOST_JARS:
        raise InputError(f'"{shown(text)}" is more than a pantry holds: at most {MOST_JARS}; write such as "11 half-pints"')
    if name.lower() in ("jar", "jars"):
        if not of_any_size:
            raise InputError(f'"{shown(text)}" of which kind? Write the jar, such as "{low:g} half-pints" or "{low:g} pints"')
        return ANY_JAR, int(low)
    try:
        return facts.lookup(name, ("jar",)).key, int(low)
    except UnknownItem as error:
        near = jar_words(error.near[0], int(low)).removesuffix(" jars") if error.near else f"{low:g} half-pints"
        raise InputError(f'"{shown(text)}": no jar is called {shown(name)}; did you mean "{near}"?') from error


def read_canner(text: str) -> tuple[str, int]:
    """What goes in together: "7 jars", "12 half-pints", "7"."""
    plain = _AT_ONCE.sub("", _plain(text))
    if re.fullmatch(r"[0-9]{1,3}", plain):
        plain += " jars"
    if re.fullmatch(r"[0-9]{1,2}(?:\.[0-9])?[ -]?(?:qt|quart)s?(?: (?:canner|pot|kettle))", plain):
        raise _canner_size(text)
    key, count = read_jars(plain, of_any_size=True)
    if count > MOST_JARS_A_LOAD:
        raise InputError(
            f'"{shown(text)}" is more than a canner holds: at most {MOST_JARS_A_LOAD} jars go in together; write one load, such as "7 jars"'
        )
    if key != ANY_JAR and count * facts.jar(key).fill_ml.typical > MOST_ML_A_LOAD:
        if facts.jar(key).size_class == "too large":
            raise _canner_size(text)
        most = int(MOST_ML_A_LOAD / facts.jar(key).fill_ml.typical)
        raise InputError(f'"{shown(text)}" is more than a canner holds: at most {jar_words(facts.jar(key).name, most)} go in together')
    return key, count


def _canner_size(text: str) -> InputError:
    return InputError(f'"{shown(text)}" is how large the canner is: write how many jars go in together, such as "7 jars"')


_ACROSS = re.compile(r"(.*?)[ ,(]*([0-9]{1,2}(?:\.[0-9]{1,3})?) ?(in|inch|inches|cm)\.?(?: across| wide)?\)?", re.ASCII | re.DOTALL)


def read_pot(text: str) -> tuple[float, float | None]:
    """What it holds to the brim [US quarts], and its width inside [in] where that is said."""
    whole = _ACROSS.fullmatch(text.strip()) if len(text) <= 60 else None
    size = _with_unit(whole[1] if whole else text)
    if size is None or size.ml is None:
        raise InputError(f'"{shown(text)}" cannot be read: write what the pot holds and its width, such as "8 quart, 10 in across"')
    quarts = size.ml / (4 * CUP_ML)
    width_in = convert(float(whole[2]), "centimeter" if whole[3] == "cm" else "inch", "inch") if whole else None
    if not POT_QUARTS[0] <= quarts <= POT_QUARTS[1] or not (width_in is None or POT_IN[0] <= width_in <= POT_IN[1]):
        wide = "" if width_in is None else f", {width_in:.3g} in across"
        usual = f"{POT_QUARTS[0]:g} to {POT_QUARTS[1]:g} quarts and are {POT_IN[0]:g} to {POT_IN[1]:g} in across"
        example = "check it, and write such as 8 quart, 10 in across"
        raise InputError(f'"{shown(text)}" is {quarts:.3g} quarts{wide}; pots hold {usual}: {example}')
    return quarts, width_in


def _with_unit(text: str) -> Amount | None:
    """An amount with nothing after it but what a pot is called; None where it cannot be read."""
    with contextlib.suppress(InputError):
        amount, rest = read_amount(text)
        if rest.lower() in ("", *_POTS):
            return amount
    return None


def read_sweetener(text: str) -> tuple[str, float]:
    """The key of a sweetener, and grams: "500 g sugar", "2 cups honey"."""
    try:
        amount, name = read_amount(text)
    except InputError as error:
        raise InputError(f'"{shown(text)}" cannot be read: write an amount and a sweetener, such as "500 g sugar"') from error
    sweetener = facts.sweetener(facts.lookup(name, ("sweetener",)).key)
    if amount.grams is not None:
        return sweetener.key, amount.grams
    if amount.ml is not None and sweetener.g_per_cup is not None:
        return sweetener.key, amount.ml / CUP_ML * sweetener.g_per_cup.typical
    raise InputError(f'"{shown(text)}" cannot be read: write a weight, such as "500 g {sweetener.name}"')


# A package smaller or larger is a slip of the finger (judgement).
_PACKAGES = {"bottled_lemon_juice": (30.0, 5_000.0), "calcium-set": (5.0, 5_000.0), "lids": (1.0, 1_000.0), "jars": (1.0, 48.0),
             "sweetener": (5.0, 25_000.0)}  # fmt: skip
_PACKAGE_NAMES = {
    "lemon juice": "bottled_lemon_juice", "bottled lemon juice": "bottled_lemon_juice",
    "pectin": "calcium-set", "calcium-set pectin": "calcium-set",
    "lid": "lids", "lids": "lids", "new lids": "lids",
}  # fmt: skip


def read_package(text: str) -> tuple[str, float]:
    """ "32 fl oz lemon juice", "12 oz honey", "24 lids", "6 half-pints": what one package holds."""
    package = _package(" ".join(text.lower().split()))
    example = 'write what one package holds, such as "32 fl oz lemon juice", "12 oz honey" or "24 lids"'
    if package is None:
        raise InputError(f'"{shown(text)}" cannot be read: {example}')
    key, holds = package
    least, most = _PACKAGES.get(key, _PACKAGES["jars" if key in facts.keys("jar") else "sweetener"])
    if not least <= holds <= most:
        raise InputError(f'"{shown(text)}" is no size that shops sell: {example}')
    return key, holds


def _package(plain: str) -> tuple[str, float] | None:
    number, _, name = plain.partition(" ")
    if _PACKAGE_NAMES.get(name) == "lids" and number.isdecimal():
        return "lids", float(number)
    with contextlib.suppress(InputError, UnknownItem):
        amount, name = read_amount(plain)
        key = _PACKAGE_NAMES.get(name)
        holds = amount.ml if key == "bottled_lemon_juice" else amount.grams
        if key is not None and holds is not None:
            return key, holds
        if key is None and name:
            return read_sweetener(plain)
    with contextlib.suppress(InputError, UnknownItem):
        return read_jars(plain)
    return None
