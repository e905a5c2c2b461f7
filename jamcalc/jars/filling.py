"""From the pot to the jars: water boiled off, hot volume, what stays behind, how much a jar takes, how many jars.

A balance of water, dissolved and undissolved grams in plain floats; it knows no recipe, chooses no jar and rounds nothing but whole jars.
"""

from __future__ import annotations

import math
from functools import cache

from jamcalc.errors import InputError
from jamcalc.facts import figure, limit, table
from jamcalc.nouns.known import Estimate, Jar
from jamcalc.nouns.outcome import JarCount
from jamcalc.words.phrases import one_jar

LARGER_JAR = limit("larger_jar_times").typical
_ROUNDING = 1e-9  # a jar that is full but for rounding errors counts as full


@cache
def _value(name: str) -> float:
    return figure(table("filling")[name]).typical


def boil_off_g(boil_min: float, simmer_min: float, covered: bool, batch_g: float, water_g: float) -> float:
    """Water lost as steam.

        lost = k (50 + 25 max(0, boil - 1) + 8 simmer [x 0.15 covered]);  k = m up to m = 1, sqrt(m) above;  m = batch / 1000 g

    The loss goes with the pot and the time rather than with the batch, and the pot grows with the batch; never more than half the water.

    Parameters
    ----------
    boil_min : at a rolling boil [min]
    simmer_min : at a simmer [min]
    covered : whether the simmer is covered; nothing is covered at a rolling boil
    batch_g : all that goes into the pot [g]
    water_g : the water in it [g]

    Returns
    -------
    water lost [g]; 0 for a spread that is not cooked

    Valid for short boils; jam boiled to a finish goes by `finish_mass_g`. Sources: YIELD-RECIPES, HOME-BOIL-2012, HOME-BOIL-2018.
    """
    if boil_min <= 0.0 and simmer_min <= 0.0:
        return 0.0
    simmer_factor = _value("covered_factor") if covered else 1.0
    one_pot_g = (
        _value("heating_g") + _value("boil_g_per_min") * max(0.0, boil_min - 1.0) + _value("simmer_g_per_min") * simmer_min * simmer_factor
    )
    size = batch_g / _value("one_pot_g")
    pot = size if size <= 1.0 else size ** _value("pot_exponent")
    return min(one_pot_g * pot, _value("boil_off_most_share") * water_g)


def finish_mass_g(soluble_g: float, batch_g: float) -> float:
    """Weight of a jam without added pectin, or a full-sugar one, that is boiled until it jells.

        mass = soluble solids / 0.65

    Parameters
    ----------
    soluble_g : dissolved solids [g]
    batch_g : all that goes into the pot [g]

    Returns
    -------
    weight at the finish [g]; never more than went in

    Valid for full-sugar jam, within about 25 %; the finish lies at 60 to 68 % solids. Source: YIELD-RECIPES.
    """
    return min(batch_g, soluble_g / (_value("finish_solids_percent") / 100.0))


@cache
def _specific_volumes_ml_per_g(temperature_degc: float) -> tuple[float, float, float]:
    """Of water, dissolved and undissolved solids; cached because every round of the solver asks for the same temperature."""
    densities = table("density")
    water = densities["water"]
    numerator = sum(coefficient * temperature_degc**power for power, coefficient in enumerate(water["numerator"]))
    kg_per_m3 = [numerator / (1.0 + water["denominator"] * temperature_degc)]
    for kind in ("soluble", "insoluble"):
        kg_per_m3.append(figure(densities[kind]["intercept"]).typical + figure(densities[kind]["slope"]).typical * temperature_degc)
    first, second, third = (1000.0 / density for density in kg_per_m3)
    return first, second, third


def hot_volume_ml(water_g: float, soluble_g: float, insoluble_g: float, temperature_degc: float | None = None) -> float:
    """Volume of the jam when it is filled.

        V = water / rho_water + soluble / rho_carbohydrate + insoluble / rho_fiber

    Parameters
    ----------
    water_g : after boil-off [g]
    soluble_g : dissolved solids [g]
    insoluble_g : fiber and seeds [g]
    temperature_degc : of the filling [degC]; None: 90

    Returns
    -------
    volume without air [mL]

    Valid from 0 to 100 degC; dissolved solids read 0.1 to 0.5 % light. Sources: KELL-1975, CHOI-OKOS-1986.
    """
    degc = _value("filling_degc") if temperature_degc is None else temperature_degc
    water, soluble, insoluble = _specific_volumes_ml_per_g(degc)
    return water_g * water + soluble_g * soluble + insoluble_g * insoluble


def density_g_per_ml(water_g: float, soluble_g: float, insoluble_g: float, temperature_degc: float = 20.0) -> float:
    """Density of the jam, for its net weight.

    Parameters
    ----------
    water_g : after boil-off [g]
    soluble_g : dissolved solids [g]
    insoluble_g : fiber and seeds [g]
    temperature_degc : of the jam [degC]

    Returns
    -------
    density without air [g/mL]

    Valid from 0 to 100 degC. Sources: KELL-1975, CHOI-OKOS-1986.
    """
    return (water_g + soluble_g + insoluble_g) / hot_volume_ml(water_g, soluble_g, insoluble_g, temperature_degc)


def after_losses_ml(volume_ml: float) -> float:
    """What reaches the jars after skimming, pot and ladle.

        V - 0.03 V - min(10 mL, 0.01 V)

    Parameters
    ----------
    volume_ml : in the pot [mL]

    Returns
    -------
    volume to fill [mL]

    Fitted to stated yields, measured by nobody. Source: YIELD-RECIPES.
    """
    fixed_ml = min(_value("lost_ml"), _value("lost_ml_most_share") * volume_ml)
    return volume_ml * (1.0 - _value("lost_share")) - fixed_ml


def fill_ml(jar: Jar, headspace_mm: float) -> float:
    """What a jar takes.

        fill at 1/4 in - pi/4 bore^2 (headspace - 6.35 mm)

    Parameters
    ----------
    jar : with its fill at a quarter inch and its bore
    headspace_mm : from the rim down, hot [mm]

    Returns
    -------
    volume [mL]

    Valid to about 13 mm, below which jars widen. Raises InputError for a headspace that is negative or leaves no room.
    Source: USDA-HEADSPACE.
    """
    room_ml = jar.fill_ml.typical - math.pi / 4.0 * jar.bore_mm.typical**2 * (headspace_mm - _value("headspace_mm")) / 1000.0
    if not (headspace_mm >= 0.0 and room_ml > 0.0):
        raise InputError(
            f"a headspace of {headspace_mm:g} mm does not fit a {one_jar(jar.name)}; jam takes 1/4 in (6 mm), frozen jam 1/2 in"
        )
    return room_ml


def is_larger(jar: Jar, tested: Jar) -> bool:
    """Whether a jar is of a larger size than the one that a recipe was tested in: it heats more slowly at its middle."""
    return jar.fill_ml.typical > tested.fill_ml.typical * LARGER_JAR


def yield_range(expected_ml: float, narrower: float = 1.0) -> Estimate:
    """The honest range of a yield, 12 % below to 10 % above.

    Parameters
    ----------
    expected_ml : volume to fill [mL]
    narrower : how wide the range is where her own batches are known, against that [1]

    Returns
    -------
    low, expected and high [mL]

    About one standard deviation of printed yields against this calculation. Source: YIELD-RECIPES.
    """
    low, high = (1.0 + narrower * sign * _value(f"yield_{end}_percent") / 100.0 for sign, end in ((-1.0, "below"), (1.0, "above")))
    return Estimate(low=expected_ml * low, typical=expected_ml, high=expected_ml * high)


def count_jars(low_ml: float, expected_ml: float, high_ml: float, each_ml: float) -> JarCount:
    """Jars as a range, and how many to have hot: enough for the high end, and one more than will be full.

    Parameters
    ----------
    low_ml : low end of the volume to fill [mL]
    expected_ml : volume to fill [mL]
    high_ml : high end [mL]
    each_ml : what one jar takes, from `fill_ml` [mL]

    Returns
    -------
    jars [count]; `heat` is a whole number

    Source: common practice.
    """
    heat = max(math.ceil(high_ml / each_ml - _ROUNDING), full_jars(expected_ml, each_ml)[0] + 1)
    return JarCount(low=low_ml / each_ml, expected=expected_ml / each_ml, high=high_ml / each_ml, heat=heat)


def full_jars(volume_ml: float, each_ml: float) -> tuple[int, float]:
    """Jars that fill, and what is left over for the refrigerator.

    Parameters
    ----------
    volume_ml : volume to fill [mL]
    each_ml : what one jar takes [mL]

    Returns
    -------
    full jars [count] and the rest [mL]

    A part jar is not processed. Source: common practice.
    """
    full = math.floor(volume_ml / each_ml + _ROUNDING)
    return full, max(0.0, volume_ml - full * each_ml)
