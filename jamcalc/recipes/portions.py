"""One ingredient line times a factor: the exact amount, and the measure of a kitchen that comes nearest.

Knows the rule of rounding for each role (an acid never down, a dose of pectin within 5 %) and nothing about recipes or pots.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from jamcalc import facts
from jamcalc.chemistry.setting import pectin_g_per_tsp
from jamcalc.errors import InputError
from jamcalc.nouns.said import Amount, Finding, Line, Role
from jamcalc.nouns.written import StatedYield
from jamcalc.reading.extras import unfit_extras
from jamcalc.reading.lines import read_line
from jamcalc.words import measures
from jamcalc.words.phrases import joined
from jamcalc.words.spoken import plainly
from jamcalc.words.units import read_amount, read_number, shown

DOSE_OFF = 0.05  # pectin and calcium water: within 5 % of the computed amount, else weighed (common practice)
SAME = 1e-9  # below this two amounts differ by rounding of floats only
POUNDS = frozenset({"pound", "ounce"})
US_VOLUMES = frozenset({"teaspoon", "tablespoon", "fluid_ounce", "cup", "pint", "quart", "gallon"})
VOLUMES = {
    "milliliter": ("mL", 1.0),
    "teaspoon": ("tsp", measures.TSP_ML),
    "tablespoon": ("tbsp", 3 * measures.TSP_ML),
    "cup": ("cup", measures.CUP_ML),
}


@dataclass(frozen=True, kw_only=True)
class ScaledRow:
    """One ingredient: what was tested, the same times the factor, what to measure, and how far that is off the exact amount."""

    item: str
    role: Role
    tested_text: str
    exact_text: str
    measure_text: str
    off_percent: float | None  # None: one of them is not in the recipe


def scaled_row(old: Line, new: Line, factor: float) -> ScaledRow:
    """What became of a line: `new` stands for `factor` times `old`."""
    exact = multiplied(old.amount, factor)
    return ScaledRow(
        item=old.words,
        role=old.role,
        tested_text=old.amount.text,
        exact_text=old.amount.text if factor == 1 else exact_text(exact, new.amount.units[0]),
        measure_text=new.amount.text,
        off_percent=round(100 * (ratio(new.amount, exact) - 1), 2) + 0.0,
    )


def scaled_rows(tested: Sequence[Line], lines: Sequence[Line], factor: float) -> tuple[ScaledRow, ...]:
    """The table of a recipe that is scaled, line by line."""
    return tuple(scaled_row(old, new, factor) for old, new in zip(tested, lines, strict=True))


def multiplied(amount: Amount, factor: float) -> Amount:
    """The amount times the factor, before any rounding."""
    grams, ml, count = (None if value is None else value * factor for value in (amount.grams, amount.ml, amount.count))
    return Amount(grams=grams, ml=ml, count=count, units=amount.units)


def portion(line: Line, factor: float) -> Line:
    """The line with its amount times the factor, rounded as its role allows."""
    if factor == 1:
        return line
    if line.amount.light_g is not None:
        return counted_portion(line, factor)
    exact = multiplied(line.amount, factor)
    try:
        new = read_line(f"{measure_text(exact, line.role)} {line.words}")
    except InputError:  # half of 1 lb of juice: ounces of what is poured may be of weight or of volume
        if exact.grams is None or exact.grams >= 16 * measures.OUNCE_G:
            raise
        new = read_line(f"{measures.grams_text(exact.grams)} {line.words}")
    if line.role in ("pectin", "calcium water") and abs(ratio(new.amount, exact) - 1) > DOSE_OFF:
        return read_line(f"{_finer_text(line.role, exact)} {line.words}")
    return new


def counted_portion(line: Line, factor: float) -> Line:
    """A count or container times the factor, to the eighth, as a count again: its light and its heavy end go with it.

    Raises InputError where the line does not begin with its number, or too little is left to count.
    """
    plain = plainly(line.text)
    try:
        number, _, end = read_number(plain, 0)
    except InputError:
        number, end = 0.0, 0
    eighths = round(8 * number * factor)
    if not eighths:
        raise InputError(f'"{shown(line.text)}" is a count, and {factor:.3g} times it is none: weigh the fruit, and write its weight')
    return read_line(f"{measures.fraction(eighths / 8, 8)}{plain[end:]}")


def together(line: Line, pots: int) -> Line:
    """The line as many times as there are pots, with nothing rounded: the pots sum to the whole."""
    if line.amount.light_g is not None:
        return counted_portion(line, pots)
    return read_line(f"{unrounded_text(multiplied(line.amount, pots), line.role)} {line.words}")


def extra_portion(extra: str, factor: float, pots: int = 1) -> str:
    """An extra times the factor, and that as many times as there are pots, where it begins with an amount; else as it is."""
    if factor == 1 and pots == 1:
        return extra
    try:
        amount, item = read_amount(extra)
    except InputError:
        return extra  # "1 cinnamon stick"
    text = amount.text if factor == 1 else measure_text(multiplied(amount, factor))
    if pots > 1:
        text = unrounded_text(multiplied(read_amount(text)[0], pots))
    return f"{text} {item}".strip()


def extras_portion(extras: Sequence[str], factor: float, pots: int = 1) -> tuple[str, ...]:
    """All extras times the factor; what is fit in traces only stays as written where more of it would be no trace."""
    more = tuple(extra_portion(extra, factor, pots) for extra in extras)
    was_unfit, is_unfit = unfit_extras(tuple(extras)), unfit_extras(more)
    return tuple(old if new in is_unfit and old not in was_unfit else new for old, new in zip(extras, more, strict=True))


def yield_portion(stated: StatedYield, factor: float, jar: str | None) -> StatedYield:
    """What a recipe states times the factor, in jars of that key (None: its own); to the half jar, for no recipe is surer."""
    if jar is None or (factor == 1 and jar == stated.jar):
        return stated
    jars = factor * facts.jar(stated.jar).fill_ml.typical / facts.jar(jar).fill_ml.typical
    low, high = (round(2 * count) / 2 if count >= 1 else round(count, 2) for count in (stated.low * jars, stated.high * jars))
    return StatedYield(low=low, high=high, jar=jar)


def extra_findings(tested: Sequence[str], scaled: Sequence[str], factor: float) -> list[Finding]:
    """What becomes of the extras: gelatin and the like go with the batch, spices by taste."""
    unfit = unfit_extras(tuple(tested))
    pairs = list(zip(tested, scaled, strict=True))
    with_the_rest = [new for old, new in pairs if old in unfit and new != old]
    as_written = [old for old, new in pairs if old in unfit and new == old]
    spices = [new for old, new in pairs if old not in unfit]
    findings = []
    if with_the_rest:
        findings.append(Finding(id="extras", kind="know", text=f"Scaled with the rest: {joined(with_the_rest)}."))
    if as_written:
        text = f"No amount that scales is written with {joined(as_written)}: take {factor:.3g} times as much."
        findings.append(Finding(id="extras-as-written", kind="know", text=text, may_wait=True))
    if spices:
        findings.append(Finding(id="spices", kind="know", text=f"Spices do not follow the batch, so go by taste: {joined(spices)}."))
    return findings


def measure_text(amount: Amount, role: Role = "fruit") -> str:
    """An amount as a kitchen measures it, in the kind of unit in which it was said; an acid is never rounded down."""
    up = role == "acid"
    if amount.count is not None:
        return _packets(amount, measures.fraction(amount.count, 8))
    if amount.grams is not None:
        return measures.grams_text(_upwards(amount.grams)) if up else weight_text(amount.grams, amount.units)
    assert amount.ml is not None
    if _metric(amount):
        return measures.metric(amount.ml, never_less=up).text
    if role in ("pectin", "calcium water"):
        return measures.teaspoons(amount.ml / measures.TSP_ML).text
    return (measures.up if up else measures.nearest)(amount.ml).text


def unrounded_text(amount: Amount, role: Role = "fruit") -> str:
    """A sum of kitchen measures as it is: to the eighth of a teaspoon and the quarter ounce, in decimals where it is none of them."""
    if amount.count is not None:
        return _packets(amount, measures.fraction(amount.count, 8))
    if amount.grams is not None:
        quarters = amount.grams / measures.OUNCE_G * 4
        if POUNDS.intersection(amount.units) and _whole(quarters):
            pounds, left = divmod(round(quarters), 64)
            return " ".join([f"{pounds} lb"] * bool(pounds) + [f"{measures.fraction(left / 4, 4)} oz"] * bool(left))
        return f"{amount.grams:.10g} g"
    assert amount.ml is not None
    if _metric(amount):
        return f"{amount.ml:.10g} mL"
    eighths = amount.ml / measures.TSP_ML * 8
    if not _whole(eighths):
        return f"{amount.ml / measures.CUP_ML:.10g} cups"
    if role in ("pectin", "calcium water") and round(eighths) < 96:
        return measures.spoons_text(eighths / 8)
    near = measures.nearest(amount.ml)
    if abs(near.ml / amount.ml - 1) < SAME:
        return near.text
    cups, left = divmod(round(eighths), 96)
    pieces = [f"{measures.fraction(cups / 4, 4)} {'cups' if cups > 4 else 'cup'}"] * bool(cups)
    return " + ".join(pieces + [measures.spoons_text(left / 8)] * bool(left))


def _whole(number: float) -> bool:
    return abs(number - round(number)) < 1e-6


def _packets(amount: Amount, count: str) -> str:
    """A count of packets or pouches, with its noun."""
    one, many = ("pouch", "pouches") if "pouch" in amount.units else ("packet", "packets")
    return f"{count} {one if (amount.count or 0.0) <= 1 else many}"


def _finer_text(role: Role, amount: Amount) -> str:
    """What is too little for spoons: powder by weight, calcium water by a dosing syringe."""
    if role == "pectin":
        return measures.grams_text(_grams(amount))
    return f"{amount.ml:.2g} mL"


def _upwards(grams: float) -> float:
    """The next tenth of a gram below 10 g, the next gram above."""
    tenths = 10 if grams < 9.9 else 1
    return math.ceil(grams * tenths - 1e-9) / tenths


def weight_text(grams: float, units: Collection[str]) -> str:
    """Pounds and ounces where the recipe has them and they are fine enough, else grams to half a percent."""
    if POUNDS.intersection(units):
        text = measures.pounds_text(grams)
        if abs((read_amount(text)[0].grams or 0.0) / grams - 1) <= 0.02:
            return text
    step = 5 if grams >= 500 else 1
    return f"{round(grams / step) * step} g" if grams >= 100 else measures.grams_text(grams)


def _metric(amount: Amount) -> bool:
    """Milliliters, or a cup and spoon of another country: those go on in milliliters."""
    return not US_VOLUMES.issuperset(amount.units)


def exact_text(amount: Amount, unit: str) -> str:
    """The exact amount to three figures, in the unit with which its measure begins."""
    if amount.count is not None:
        return _packets(amount, f"{amount.count:.3g}")
    if unit == "gram":
        return measures.grams_text(_grams(amount))
    if unit in POUNDS:
        ounces = _grams(amount) / measures.OUNCE_G
        return f"{ounces / 16:.3g} lb" if unit == "pound" else f"{ounces:.3g} oz"
    assert amount.ml is not None
    word, each_ml = VOLUMES[unit]
    said = f"{amount.ml / each_ml:.3g}"
    if unit == "milliliter":
        return f"{amount.ml:.0f} mL" if amount.ml >= 100 else f"{said} mL"
    return f"{said} {word}s" if unit == "cup" and float(said) > 1 else f"{said} {word}"


def ratio(new: Amount, old: Amount) -> float:
    """How many times `old` is `new`; pectin that turned from spoons to grams is compared by its weight."""
    for one, other in ((new.grams, old.grams), (new.ml, old.ml), (new.count, old.count)):
        if one is not None and other is not None:
            return one / other
    return _grams(new) / _grams(old)


def _grams(amount: Amount) -> float:
    """A weight; of a volume, which can only be pectin, by the spoon."""
    return amount.grams if amount.grams is not None else (amount.ml or 0.0) / measures.TSP_ML * pectin_g_per_tsp()
