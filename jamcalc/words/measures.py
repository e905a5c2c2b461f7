"""Amounts to the measures that a kitchen owns, as text: cups and spoons, milliliters, grams, pounds, inches.

Pure arithmetic and no reading; units.read_amount reads every text made here back to the same amount.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

# US customary, exact: NIST Handbook 44, Appendix C (gallon = 231 in3 = 768 tsp; avoirdupois ounce; inch and foot)
TSP_ML = 3785.411784 / 768
CUP_ML = 48 * TSP_ML
OUNCE_G = 28.349523125
MM_PER_INCH = 25.4
METRES_PER_FOOT = 0.3048

CLOSE = 0.03  # a measure this near will do: level spoons and cups are not better than that (judgement)
_SAME = 1e-9  # below this two volumes differ by rounding of floats only
HARDLY_ANY_ML = 30.0  # of jam: two tablespoons are eaten at the stove, and find no jar of their own (judgement)
_EIGHTHS = {0.125: "1/8", 0.25: "1/4", 0.375: "3/8", 0.5: "1/2", 0.625: "5/8", 0.75: "3/4", 0.875: "7/8"}
_CUP_PARTS = {0: "", 12: "1/4", 16: "1/3", 24: "1/2", 32: "2/3", 36: "3/4"}  # teaspoons in them


SAMPLE = {"us": "1/4 cup", "metric": "60 mL"}  # of the pot, to be measured


@dataclass(frozen=True, kw_only=True)
class Measure:
    """A volume as a cook measures it, and what it holds."""

    text: str
    ml: float


def nearest(ml: float) -> Measure:
    """The coarsest kitchen measure within 3 % of a volume; where there is none (under 2 tsp), the nearest 1/8 tsp in spoons that there are.

    Parameters
    ----------
    ml : volume [mL]

    Returns
    -------
    Measure : "none" for 0

    Range of validity: 0 and above.

    Raises
    ------
    ValueError : negative or not finite
    """
    return _pick(ml, 1 - CLOSE, 1 + CLOSE)


def up(ml: float) -> Measure:
    """The coarsest kitchen measure that holds a volume and at most 3 % more; where there is none (under 4 1/4 tsp), the next 1/8 tsp.

    Parameters
    ----------
    ml : volume [mL]

    Returns
    -------
    Measure : never less than `ml`; "none" for 0

    Range of validity: 0 and above.

    Raises
    ------
    ValueError : negative or not finite
    """
    measure = _pick(ml, 1 - _SAME, 1 + CLOSE)
    return Measure(text=measure.text, ml=max(measure.ml, ml))


def metric(ml: float, *, never_less: bool = False) -> Measure:
    """A volume as milliliters, to the coarsest round step within 3 %: "60 mL", "2.5 mL", "1250 mL"."""
    _check(ml)
    if ml == 0:
        return Measure(text="none", ml=0.0)
    for step in (50, 10, 5, 2.5, 1, 0.5, 0.25, 0.1) if ml < 10 else (50, 10, 5, 1, 0.5, 0.25):
        times = math.ceil(ml / step - _SAME) if never_less else round(ml / step)
        if times and (abs(times * step / ml - 1) <= CLOSE or step == 0.1):
            break
    value = max(times, 1) * step
    return Measure(text=f"{value:.10g} mL", ml=value)


def measured(ml: float, units: str, *, never_less: bool = False) -> Measure:
    """A volume in what the cook measures with: milliliters, or cups and spoons."""
    if units == "metric":
        return metric(ml, never_less=never_less)
    return up(ml) if never_less else nearest(ml)


def teaspoons(tsp: float) -> Measure:
    """A small dose to the coarsest of 1/2, 1/4, 1/8 tsp within 5 %: "2 1/2 tsp", "3 tbsp + 1 1/2 tsp"; from 1/4 cup on in cups."""
    _check(tsp)
    if tsp == 0 or tsp >= 12:
        return nearest(tsp * TSP_ML)
    for steps in (2, 4, 8):
        rounded = max(round(tsp * steps), 1) / steps
        if abs(rounded / tsp - 1) <= 0.05:
            break
    return nearest(12 * TSP_ML) if rounded == 12 else Measure(text=spoons_text(rounded), ml=rounded * TSP_ML)


def spoons_text(tsp: float) -> str:
    """Teaspoons, to the eighth, in the spoons of a drawer: 1/8, 1/4, 1/2 and 1 tsp, and the tablespoon.

    "3/4 tsp" is two of them and said so everywhere; of 5/8 there is no spoon: it is "1/2 tsp + 1/8 tsp".
    """
    tablespoons, eighths = divmod(round(tsp * 8), 24)
    quarters, eighth = divmod(eighths, 2)
    pieces = [f"{tablespoons} tbsp"] * bool(tablespoons) + [f"{fraction(quarters / 4, 4)} tsp"] * bool(quarters) + ["1/8 tsp"] * eighth
    return " + ".join(pieces)


def fraction(value: float, steps: int) -> str:
    """A number to the nearest 1/steps as a cook writes it (steps 1, 2, 4 or 8): "2 1/2", "3/4", "5"."""
    whole, part = divmod(round(value * steps) / steps, 1)
    if not part:
        return f"{whole:.0f}"
    return f"{whole:.0f} {_EIGHTHS[part]}" if whole else _EIGHTHS[part]


def cups_text(g: float, g_per_cup: float) -> str:
    """A mass as cups to the nearest quarter: "5 1/2 cups"; under a quarter cup in spoons."""
    cups = g / g_per_cup
    if cups < 0.25:
        return nearest(cups * CUP_ML).text
    return f"{fraction(cups, 4)} {_cup_word(round(cups * 4) / 4)}"


def jam_text(ml: float, units: str) -> str:
    """A volume of jam or mashed fruit as a cook sees it in the pot: "6 3/4 cups", "2 tbsp"; "1.6 L", "130 mL"."""
    if units == "metric":
        return f"{ml / 1000:.1f} L" if ml >= 1000 else f"{round(ml, -1):.0f} mL"
    spoons = max(1, round(ml / (3 * TSP_ML)))
    return f"{spoons} tbsp" if spoons < 4 else cups_text(ml, CUP_ML)


def inches_text(mm: float) -> str:
    """A length in inches, to the nearest eighth: "1/4 in", "1 1/8 in"."""
    inches = mm / MM_PER_INCH
    return f"{fraction(inches, 8)} in" if inches >= 1 / 16 or not inches else "under 1/16 in"


def whole(g: float) -> int:
    """A mass to the gram, a half always up: 10.5 g is 11 g wherever it is shown, whatever floats make of the half."""
    return math.floor(g + 0.5 + _SAME)


def grams_text(g: float) -> str:
    """A mass in grams: "1279 g", "3.2 g", "0.85 g"."""
    if g >= 9.95:
        return f"{whole(g)} g"
    decimals = 1 if g >= 0.995 else 2
    text = f"{g:.{decimals}f}"
    return f"{text.rstrip('0').rstrip('.')} g"


def pounds_text(g: float) -> str:
    """A mass in pounds and ounces: "2 lb 13 oz"; quarter ounces under half a pound."""
    ounces = g / OUNCE_G
    if ounces < 7.875:
        return f"{fraction(max(ounces, 0.25), 4)} oz" if g else "0 oz"
    pounds, left = divmod(round(ounces), 16)
    return " ".join([f"{pounds} lb"] * bool(pounds) + [f"{left} oz"] * bool(left))


def _pick(ml: float, low: float, high: float) -> Measure:
    """The first grade of measure, coarsest first, that has one between low and high times the volume."""
    _check(ml)
    if ml == 0:
        return Measure(text="none", ml=0.0)
    tsp = ml / TSP_ML
    for grade in range(6):
        # what is near enough is spelt out, and nothing else
        near = [
            (spoons, abs((cup + beside) / tsp - 1), _said(cup, beside), cup + beside)
            for cup, beside, spoons in _grade(grade, tsp)
            if low <= (cup + beside) / tsp <= high
        ]
        if near:
            _, _, text, size = min(near)
            return Measure(text=text, ml=size * TSP_ML)
    eighths = max(math.ceil(tsp * 8 - _SAME) if low >= 1 - _SAME else round(tsp * 8), 1)
    return Measure(text=spoons_text(eighths / 8), ml=eighths / 8 * TSP_ML)


# The grades that are the same near every volume, made once: tablespoons, quarter teaspoons, and the two together.
_SPOONS = {
    1: tuple((0.0, 3.0 * n, 0) for n in (1, 2, 3)),
    2: tuple((0.0, n / 4, 0) for n in range(1, 12)),
    4: tuple((0.0, 3 * n + m / 4, 0) for n in (1, 2, 3) for m in range(1, 12)),
}


def _grade(grade: int, tsp: float) -> Iterator[tuple[float, float, int]]:
    """Measures near a volume, by how much trouble they are: teaspoons in cups and in spoons, and whole spoons to count beside a cup."""
    if grade in _SPOONS:
        yield from _SPOONS[grade]
        return
    for cup in _cups(tsp):
        if grade == 0:
            yield cup, 0.0, 0
        elif grade == 3:
            yield from ((cup, 3.0 * n, n) for n in (1, 2, 3))
            yield from ((cup, float(n), n) for n in (1, 2, 4, 5, 7))
        else:
            first, last = math.floor((tsp * (1 - CLOSE) - cup) * 4), math.ceil((tsp * (1 + CLOSE) - cup) * 4)
            for quarters in range(max(first, 1), min(last + 1, 48)):
                spoons, left = divmod(quarters, 12)
                yield cup, quarters / 4, spoons + left // 4 + 2 * bool(left % 4)


def _cups(tsp: float) -> Iterator[float]:
    """Cups and their usual parts that come near a volume, by themselves or with up to 1/4 cup of spoons, in teaspoons."""
    least, most = tsp * (1 - CLOSE) - 12.0, tsp * (1 + CLOSE)
    for whole in range(max(int(least // 48), 0), int(most // 48) + 1):
        yield from (cup for part in _CUP_PARTS if least <= (cup := whole * 48.0 + part) <= most and cup)


def _said(cup: float, beside: float) -> str:
    """A measure in words, from its teaspoons in cups and in spoons."""
    whole, part = divmod(cup, 48.0)
    pieces = [f"{whole:.0f} {_CUP_PARTS[round(part)]}".strip() if whole else _CUP_PARTS[round(part)], _cup_word(cup / 48.0)] if cup else []
    return " + ".join(filter(None, [" ".join(pieces), spoons_text(beside)]))


def _cup_word(cups: float) -> str:
    return "cup" if cups <= 1 else "cups"


def _check(amount: float) -> None:
    if not (math.isfinite(amount) and amount >= 0):
        raise ValueError(f"not an amount: {amount}")
