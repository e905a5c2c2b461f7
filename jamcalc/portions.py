"""One ingredient line times a factor: the exact amount, and the measure of a kitchen that comes nearest.

Knows the rule of rounding for each role (an acid never down, a dose of pectin within 5 %) and nothing about recipes or pots.
Called by `scaling`.
"""

from __future__ import annotations

import math

from jamcalc import facts, measures
from jamcalc.errors import InputError
from jamcalc.lines import read_line
from jamcalc.model import Amount, Line, Role
from jamcalc.units import read_amount

DOSE_OFF = 0.05  # pectin and calcium water: within 5 % of the computed amount, else weighed (common practice)


def multiplied(amount: Amount, factor: float) -> Amount:
    """The amount times the factor, before any rounding."""
    grams, ml, count = (None if value is None else value * factor for value in (amount.grams, amount.ml, amount.count))
    return Amount(grams=grams, ml=ml, count=count)


def portion(line: Line, factor: float) -> Line:
    """The line with its amount times the factor, rounded as its role allows."""
    if factor == 1:
        return line
    exact, item = multiplied(line.amount, factor), read_amount(line.text)[1]
    new = read_line(f"{measure_text(exact, line.amount.text, line.role)} {item}")
    if line.role in ("pectin", "calcium water") and abs(ratio(new.amount, exact) - 1) > DOSE_OFF:
        return read_line(f"{_finer_text(line.role, exact)} {item}")
    return new


def extra_portion(extra: str, factor: float) -> str:
    """An extra times the factor where it begins with an amount (the gelatin of a cold spread must go up), else as it is."""
    if factor == 1:
        return extra
    try:
        amount, item = read_amount(extra)
    except InputError:
        return extra  # "1 cinnamon stick"
    return f"{measure_text(multiplied(amount, factor), amount.text)} {item}".strip()


def measure_text(amount: Amount, like: str, role: Role = "fruit") -> str:
    """An amount as a kitchen measures it, in the kind of unit of `like`; an acid is never rounded down."""
    up = role == "acid"
    if amount.count is not None:
        return f"{measures.fraction(amount.count, 8)} {_packet_word(amount.count, like)}"
    if amount.grams is not None:
        return measures.grams_text(_upwards(amount.grams)) if up else weight_text(amount.grams, like)
    assert amount.ml is not None
    if _metric(like):
        return measures.metric(amount.ml, never_less=up).text
    if role in ("pectin", "calcium water"):
        return measures.teaspoons(amount.ml / measures.TSP_ML).text
    return (measures.up if up else measures.nearest)(amount.ml).text


def _packet_word(count: float, like: str) -> str:
    return ("pouch" if "pouch" in like else "packet") + ("" if count <= 1 else "es" if "pouch" in like else "s")


def _finer_text(role: Role, amount: Amount) -> str:
    """What is too little for spoons: powder by weight, calcium water by a dosing syringe."""
    if role == "pectin":
        grams = amount.grams if amount.grams is not None else (amount.ml or 0.0) / measures.TSP_ML * _pectin_g_per_tsp()
        return measures.grams_text(grams)
    return f"{amount.ml:.2g} mL"


def _pectin_g_per_tsp() -> float:
    return float(facts.table("setting")["pectin_g_per_tsp"]["typical"])


def _upwards(grams: float) -> float:
    """The next tenth of a gram below 10 g, the next gram above."""
    tenths = 10 if grams < 9.9 else 1
    return math.ceil(grams * tenths - 1e-9) / tenths


def weight_text(grams: float, like: str) -> str:
    """Pounds and ounces where the recipe has them and they are fine enough, else grams to half a percent."""
    if "lb" in like or "oz" in like:
        text = measures.pounds_text(grams)
        if abs((read_amount(text)[0].grams or 0.0) / grams - 1) <= 0.02:
            return text
    step = 5 if grams >= 500 else 1
    return f"{round(grams / step) * step} g" if grams >= 100 else measures.grams_text(grams)


def _metric(like: str) -> bool:
    """Millilitres, or a cup and spoon of another country: those go on in millilitres."""
    return like.endswith(("mL", " L")) or "metric" in like or "imperial" in like


def exact_text(amount: Amount, like: str) -> str:
    """The exact amount to three figures, in the largest unit that is not a small fraction of one."""
    if amount.count is not None:
        return f"{amount.count:.3g} {_packet_word(amount.count, like)}"
    if amount.grams is not None:
        ounces = amount.grams / measures.OUNCE_G
        if "lb" in like or "oz" in like:
            return f"{ounces / 16:.3g} lb" if ounces >= 16 else f"{ounces:.3g} oz"
        return measures.grams_text(amount.grams)
    assert amount.ml is not None
    if _metric(like):
        return f"{amount.ml:.0f} mL" if amount.ml >= 100 else f"{amount.ml:.3g} mL"
    teaspoons = amount.ml / measures.TSP_ML
    size, unit = (48, "cup") if teaspoons >= 12 else (3, "tbsp") if teaspoons >= 3 else (1, "tsp")
    count = f"{teaspoons / size:.3g}"
    return f"{count} {unit}{'s' * (unit == 'cup' and float(count) > 1)}"


def ratio(new: Amount, old: Amount) -> float:
    """How many times `old` is `new`; pectin that turned from spoons to grams is compared by its weight."""
    for one, other in ((new.grams, old.grams), (new.ml, old.ml), (new.count, old.count)):
        if one is not None and other is not None:
            return one / other
    assert new.grams is not None
    assert old.ml is not None
    return new.grams / (old.ml / measures.TSP_ML * _pectin_g_per_tsp())
