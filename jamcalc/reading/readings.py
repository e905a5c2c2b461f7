"""The cook's own readings ("plum pH 3.4 TA 1.2") and counts of jars ("8 half-pints", "6 jars"), from words.

The names in them are read by lines.
"""

from __future__ import annotations

import re

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.nouns.said import Finding, Reading
from jamcalc.reading.lines import read_item
from jamcalc.words.quantities import is_bare, read_jar_count
from jamcalc.words.units import shown, tidy

_SCALES = {"ph": (0.0, 14.0, "pH"), "ta": (0.0, 15.0, "TA"), "brix": (0.0, 80.0, "Brix")}
_GLUED = re.compile(r"(?<![a-z])(ph|ta|brix) ?(?:=|:|of |is )? ?(?=\.?[0-9])", re.IGNORECASE)  # "pH3.4", "pH=3.4"
_TITRATED = {"citric", "malic", "tartaric"}


def read_reading(text: str) -> Reading:
    """The cook's own measurement: "plum pH 3.4 TA 1.2 Brix 12", "grape TA 0.8 tartaric" or "batch pH 3.9".

    Parameters
    ----------
    text : a fruit or "batch", then pH, TA [g/100 g] and Brix [g/100 g] in any order

    Returns
    -------
    Reading : what was measured; `titrated_as` is None where the fruit's own acid is meant

    Range of validity: pH 0 to 14, TA above 0 to 15, Brix above 0 to 80.

    Raises
    ------
    InputError, UnknownItem : one line that says what to write
    """
    line = tidy(text)
    words = _GLUED.sub(r"\1 ", line).split()
    start = next((i for i, word in enumerate(words) if word.lower() in _SCALES), len(words))
    if start in (0, len(words)):
        raise InputError(f'reading "{shown(line)}": write the fruit and what was measured, such as "plum pH 3.4 TA 1.2 Brix 12"')
    name = " ".join(words[:start])
    values, acid = _measurements(words[start:], line)
    if name.lower() == "batch":
        if set(values) != {"ph"}:
            raise InputError(f'reading "{shown(line)}": of the finished batch only the pH is used: write "batch pH 3.9"')
        return Reading(item="batch", ph=values["ph"])
    item = read_item(name, ("fruit", "juice", "vegetable"))
    return Reading(
        item=item.key, ph=values.get("ph"), titratable_percent=values.get("ta"), titrated_as=acid, soluble_solids_percent=values.get("brix")
    )


def _measurements(words: list[str], line: str) -> tuple[dict[str, float], str | None]:
    values: dict[str, float] = {}
    acid: str | None = None
    queue = iter(words)
    last = ""
    for word in queue:
        scale = word.lower()
        if scale in _SCALES:
            if scale in values:
                raise InputError(f'reading "{shown(line)}": {_SCALES[scale][2]} stands twice: give one value of each')
            values[scale] = _scale_value(scale, next(queue, ""), line)
        elif last == "ta" and acid is None and scale in _TITRATED:
            acid = scale
            continue
        elif not (last == "ta" and scale in ("as", "%", "acid")):
            raise InputError(f'reading "{shown(line)}": "{shown(word, 20)}" is not pH, Brix or TA (citric, malic, tartaric)')
        last = scale if scale in _SCALES else last
    return values, acid


def _scale_value(scale: str, word: str, line: str) -> float:
    low, high, name = _SCALES[scale]
    number = word.removesuffix("%")
    if not re.fullmatch(r"[0-9]{1,6}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}", number):
        raise InputError(f'reading "{shown(line)}": after {name} a plain number is missing, such as "plum pH 3.4"')
    value = float(number)
    if not low <= value <= high or (scale != "ph" and value == 0):
        raise InputError(f'reading "{shown(line)}": {name} lies between {low:g} and {high:g}' + (" g in 100 g" if scale != "ph" else ""))
    return value


def read_jars(text: str) -> tuple[float, float, str]:
    """How many jars, lowest and highest, and the key of the jar: "8 half-pints", "5 to 6 half-pints"."""
    low, high, name = read_jar_count(text)
    return low, high, read_item(name, ("jar",)).key


def jars_wanted(want: str) -> tuple[float, str]:
    """How many jars are wanted, of a range the upper end, and the key of the jar. Raises InputError, UnknownItem."""
    try:
        _, count, key = read_jars(want)
        return count, key
    except InputError as error:
        if want.strip()[:1].isdigit():
            raise
        raise InputError(f'--want "{shown(want)}": write a number and a jar, such as "8 half-pints"') from error


def of_its_kind(text: str, own_jar: str) -> str:
    """ "9 jars" as jars of the kind in use, given by its key; any other text as it stands."""
    match = re.fullmatch(r" {0,9}(?:about )?([0-9]{1,4}) jars? {0,9}", text, re.IGNORECASE)
    return f"{match[1]} {facts.jar(own_jar).plural}" if match else text


def altitude_said(text: object) -> tuple[Finding, ...]:
    """That an altitude without a unit was read as feet; nothing for any other."""
    if not isinstance(text, str) or not is_bare(text):
        return ()
    return (Finding(id="altitude-read", kind="desk", text=f"Altitude {shown(text.strip())} is read as feet: write m after meters."),)
