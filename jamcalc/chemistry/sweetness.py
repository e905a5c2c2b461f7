"""How much of a sweetener makes a spread as sweet as meant, what water activity follows, and which cautions the amount brings.

Sweetness is worked out in grams of sugar equivalents; set, yield and labeling live elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from jamcalc.errors import UnknownItem
from jamcalc.facts import figure, table
from jamcalc.nouns.known import Figure, Sweetener


def default_percent_of_fruit() -> Figure:
    """Sweetness aimed at when only a sweetener's name is given.

    Returns
    -------
    sugar equivalents added [% of the prepared fruit], 16: three quarters of a cup of sugar to four cups of mashed fruit

    Source: LM-HOUSEHOLD.
    """
    return figure(table("sweetness")["default_percent_of_fruit"])


@cache
def _curve(key: str) -> tuple[float, float] | None:
    """Highest sugar equivalents [%] and the concentration at half of it [mg/L], for a sweetener that saturates."""
    raw = table("sweetness")["saturating"].get(key)
    return None if raw is None else (figure(raw["maximum_percent"]).typical, figure(raw["half_at_mg_per_l"]).typical)


def sugar_equivalents_g(sweetener: Sweetener, grams: float, batch_g: float) -> float:
    """Sugar that would be as sweet.

        bulk: sweetness x grams;  saturating: R = 10 C / (200 + C), C in mg/L

    Parameters
    ----------
    sweetener : with its sweetness against sugar, gram for gram
    grams : of the sweetener [g]
    batch_g : finished batch, a kilogram of which is taken as a liter [g]

    Returns
    -------
    sugar equivalents [g]

    Measured in water at room temperature; acid, cold and gel change it. Sources: DUBOIS-CR, DUBOIS-1991 and the sweetener's own.
    """
    curve = _curve(sweetener.key)
    if curve is None:
        return sweetener.sweetness.typical * grams
    maximum_percent, half_at_mg_per_l = curve
    mg_per_l = 1e6 * grams / batch_g
    return maximum_percent / 100.0 * mg_per_l / (half_at_mg_per_l + mg_per_l) * batch_g


def most_g(sweetener: Sweetener, batch_g: float, water_g: float = math.inf) -> float:
    """The most of a sweetener that is worth adding: what stays dissolved cold, and what still tastes sweeter for it.

    Parameters
    ----------
    sweetener : with its cold limit [g per 100 g water] and its ceiling [% sugar equivalents], where it has them
    batch_g : finished batch [g]
    water_g : water in it [g]; infinite: the cold limit is not asked

    Returns
    -------
    sweetener [g]; infinite where nothing limits it

    Sources: the sweetener's own, DUBOIS-1991.
    """
    most = math.inf
    if sweetener.cold_limit_g_per_100g_water is not None:
        most = sweetener.cold_limit_g_per_100g_water.typical * water_g / 100.0
    if sweetener.sweetness_ceiling_percent is not None:
        most = min(most, _unlimited_g(sweetener, sweetener.sweetness_ceiling_percent.typical / 100.0 * batch_g, batch_g))
    return most


def _unlimited_g(sweetener: Sweetener, equivalents_g: float, batch_g: float) -> float:
    curve = _curve(sweetener.key)
    if curve is None:
        return equivalents_g / sweetener.sweetness.typical if sweetener.sweetness.typical > 0.0 else 0.0
    maximum_percent, half_at_mg_per_l = curve
    percent = 100.0 * equivalents_g / batch_g
    if percent >= maximum_percent:
        return math.inf
    return half_at_mg_per_l * percent / (maximum_percent - percent) * batch_g / 1e6


def grams_for(sweetener: Sweetener, equivalents_g: float, batch_g: float, water_g: float = math.inf) -> float:
    """Sweetener for a sweetness.

        bulk: equivalents / sweetness;  saturating: C = 200 R / (10 - R);  both held at `most_g`

    Parameters
    ----------
    sweetener : which
    equivalents_g : sugar that would be as sweet [g]
    batch_g : finished batch [g]
    water_g : water in it [g]

    Returns
    -------
    sweetener [g]; 0 for one that does not sweeten. Where it was held, `falls_short` says so

    Continuous. Sources: DUBOIS-CR, DUBOIS-1991 and the sweetener's own.
    """
    return min(_unlimited_g(sweetener, equivalents_g, batch_g), most_g(sweetener, batch_g, water_g))


def falls_short(sweetener: Sweetener, equivalents_g: float, batch_g: float, water_g: float = math.inf) -> bool:
    """Whether `grams_for` had to stop short of the sweetness asked for.

    Parameters
    ----------
    sweetener : which
    equivalents_g : sugar equivalents asked for [g]
    batch_g : finished batch [g]
    water_g : water in it [g]

    Returns
    -------
    true if the cold limit or the ceiling held it

    Source: as `most_g`.
    """
    return _unlimited_g(sweetener, equivalents_g, batch_g) > most_g(sweetener, batch_g, water_g)


@cache
def _solute(name: str) -> tuple[float, float]:
    """Molar mass [g/mol] and Norrish constant."""
    raw = table("solutes").get(name)
    if raw is None or "norrish_k" not in raw:
        raise UnknownItem(f"no Norrish constant is held for {name!r}")
    return figure(raw["molar_mass"]).typical, figure(raw["norrish_k"]).typical


@cache
def _water_molar_mass() -> float:
    return figure(table("solutes")["water"]["molar_mass"]).typical


def water_activity(water_g: float, solutes: Mapping[str, float]) -> float:
    """Water activity by Norrish, mixtures by the product of Ross (each solute with all the water).

        aw = product of x_w exp(-K x_s^2)

    Parameters
    ----------
    water_g : water in the batch [g]
    solutes : dissolved grams by name, as in data/solutes.toml [g]

    Returns
    -------
    water activity [fraction]

    Valid from about 0.85 up, where it is right to 0.015; not for honey as it comes. Raises UnknownItem for a solute without a constant,
    ValueError without water. Sources: CHIRIFE-1980, NORRISH-CODE, POLYOL-NORRISH.
    """
    if water_g <= 0.0:
        raise ValueError(f"water activity needs water, not {water_g} g")
    water_mol = water_g / _water_molar_mass()
    activity = 1.0
    for name, grams in solutes.items():
        molar_mass, norrish_k = _solute(name)
        solute_share = grams / molar_mass / (water_mol + grams / molar_mass)
        activity *= (1.0 - solute_share) * math.exp(-norrish_k * solute_share**2)
    return activity


def sugar_alcohol_g_per_100g(sweetener: Sweetener, grams: float, batch_g: float) -> float:
    """Sugar alcohol that a sweetener puts into 100 g of the batch.

    Parameters
    ----------
    sweetener : with its sugar alcohol [%]
    grams : of the sweetener [g]
    batch_g : finished batch [g]

    Returns
    -------
    sugar alcohol [g per 100 g]

    Source: the sweetener's own.
    """
    return sweetener.sugar_alcohol_percent.typical * grams / batch_g


def caution_ids(sweetener: Sweetener, grams: float, batch_g: float, water_g: float) -> tuple[str, ...]:
    """The cautions that a sweetener and its amount bring: first those of the amount, then those that always go with it.

    Parameters
    ----------
    sweetener : which
    grams : of the sweetener [g]
    batch_g : finished batch [g]
    water_g : water in it [g]

    Returns
    -------
    ids in data/cautions.toml, none for no sweetener

    Sources: the sweetener's own, judgement for the thresholds.
    """
    if grams <= 0.0:
        return ()
    limits = table("sweetness")
    near = figure(limits["near_limit_share"]).typical
    cold_limit, ceiling = sweetener.cold_limit_g_per_100g_water, sweetener.sweetness_ceiling_percent
    cautions = []
    if cold_limit is not None and 100.0 * grams / water_g >= near * cold_limit.typical:
        cautions.append("crystallises-cold")
    if ceiling is not None and 100.0 * sugar_equivalents_g(sweetener, grams, batch_g) / batch_g >= near * ceiling.typical:
        cautions.append("sweetness-saturates")
    if not sweetener.stands_process:
        cautions.append("loses-sweetness")
    if sweetener.calcium_mg.typical >= figure(limits["calcium_rich_from_mg"]).typical:
        cautions.append("calcium-rich")
    if sugar_alcohol_g_per_100g(sweetener, grams, batch_g) >= figure(limits["laxative_from_percent"]).typical:
        cautions.append("laxative")
    return tuple(dict.fromkeys((*cautions, *sweetener.cautions)))
