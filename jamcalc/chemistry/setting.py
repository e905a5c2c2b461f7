"""How much calcium-set pectin and calcium a batch needs, and what set to expect from amounts as written.

Percentages and ratios in plain floats; nothing here weighs fruit, reads lines or rounds to spoons. R, the calcium ratio, is
2 x mol calcium per mol free carboxyl of the pectin.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from jamcalc.facts import figure, table
from jamcalc.nouns.asked import Firmness
from jamcalc.nouns.known import Texture

Strength = Literal["none", "soft", "medium", "firm"]


@dataclass(frozen=True, kw_only=True)
class CalciumNeed:
    """Calcium for the set; `optional`: the fruit brings enough, a dose does no harm; `left_out`: it brings so much that none is added."""

    wanted_mg: float
    on_hand_mg: float
    added_mg: float
    optional: bool
    left_out: bool


@cache
def _value(*path: str) -> float:
    raw = table("setting")
    for name in path:
        raw = raw[name]
    return figure(raw).typical


def _held(solids_percent: float) -> float:
    return min(max(solids_percent, 0.0), _value("solids_held_percent"))


def _medium_demand_percent(solids_percent: float) -> float:
    return _value("demand_percent") - _value("demand_fall_per_percent") * _held(solids_percent)


def texture_credit_percent(shares: Sequence[tuple[float, Texture, float]]) -> float:
    """What the fruit itself does for the set, as percent of pectin that need not be added.

        credit = sum x_i (t_i + 0.15 P_i)

    Parameters
    ----------
    shares : for each fruit its share of the batch mass [fraction], its texture class, its own pectin [% of the fruit]

    Returns
    -------
    pectin spared [% of the batch]

    Valid for crushed fruit and juice; t is 0.30 for berries, 0.10 for smooth flesh, 0 for juice. Source: LM-HOUSEHOLD, judgement.
    """
    return sum(
        share * (_value("texture_credit_percent", texture) + _value("native_share") * native_percent)
        for share, texture, native_percent in shares
    )


def firmness_factors() -> tuple[float, float, float]:
    """The dose for a soft, a medium and a firm set, against a medium one [1]. Sources: LM-TRADER, judgement."""
    soft, medium, firm = (_value("firmness_factor", firmness) for firmness in ("soft", "medium", "firm"))
    return soft, medium, firm


def pectin_percent(solids_percent: float, credit_percent: float, firmness: Firmness, strength: float = 1.0) -> float:
    """Calcium-set pectin to add.

        pectin = (s (1.05 - 0.0075 solids) - credit) / strength, held within 0.25 and 1.5

    Parameters
    ----------
    solids_percent : soluble solids of the finished batch [%]
    credit_percent : from `texture_credit_percent` [%]
    firmness : soft (s = 0.75), medium (1.0) or firm (1.3); strength : what a gram does, against the tables' [1]

    Returns
    -------
    powder [% of the batch]; right within a factor of 0.7 to 1.4

    Valid for 5 to 55 % solids, held from 65 %. Continuous. Sources: LM-HOUSEHOLD, LM-TRADER, LM-CHART.
    """
    wanted = _value("firmness_factor", firmness) * _medium_demand_percent(solids_percent) - credit_percent
    return min(max(wanted / strength, _value("added_least_percent")), _value("added_most_percent"))


@cache
def _free_calcium_table() -> tuple[tuple[float, ...], tuple[float, ...], tuple[tuple[float, ...], ...]]:
    raw = table("setting")["free_calcium"]
    return tuple(raw["ph"]), tuple(raw["citrate_mol_per_l"]), tuple(tuple(row) for row in raw["fraction"])


def _place(axis: tuple[float, ...], value: float) -> tuple[int, float]:
    """The cell that holds the value and how far across it lies; at the ends of the axis the value is held."""
    held = min(max(value, axis[0]), axis[-1])
    index = min(bisect_right(axis, held), len(axis) - 1) - 1
    return index, (held - axis[index]) / (axis[index + 1] - axis[index])


def free_calcium_fraction(ph: float, citrate_mol_per_l: float) -> float:
    """Share of the dissolved calcium that citrate leaves free for the pectin.

    Read from a table by straight lines both ways, not solved: the table was itself computed from the stability constants, the calcium
    need is uncertain by a factor of two, and the solver asks for this in every round.

    Parameters
    ----------
    ph : of the batch [pH]
    citrate_mol_per_l : citric acid and its salts [mol/L]

    Returns
    -------
    free calcium [fraction]

    Valid for pH 2.8 to 4.2 and 0.01 to 0.08 mol/L, held outside. Continuous; falls with both. Source: NIST-46.
    """
    ph_axis, citrate_axis, rows = _free_calcium_table()
    column, across = _place(ph_axis, ph)
    row, down = _place(citrate_axis, citrate_mol_per_l)
    upper = rows[row][column] * (1.0 - across) + rows[row][column + 1] * across
    lower = rows[row + 1][column] * (1.0 - across) + rows[row + 1][column + 1] * across
    return upper * (1.0 - down) + lower * down


@cache
def _reference_free_fraction() -> float:
    raw = table("setting")["free_calcium"]
    return free_calcium_fraction(raw["reference_ph"], raw["reference_citrate_mol_per_l"])


def wanted_ratio(solids_percent: float, ph: float, citrate_mol_per_l: float, firmness: Firmness) -> float:
    """Calcium ratio R that sets the pectin.

        R = q (0.40 - 0.004 solids) F(3.3, 0.05) / F(pH, citrate)

    Parameters
    ----------
    solids_percent : soluble solids of the finished batch [%]
    ph : of the batch [pH]
    citrate_mol_per_l : citric acid and its salts [mol/L]
    firmness : soft (q = 0.85), medium (1.0) or firm (1.15)

    Returns
    -------
    R over the added pectin alone [1]

    Valid for 5 to 55 % solids. Continuous. Sources: GARNIER-1992, LM-GEL-REGIONS, NIST-46.
    """
    ratio = _value("ratio_wanted") - _value("ratio_fall_per_percent") * _held(solids_percent)
    bound = _reference_free_fraction() / free_calcium_fraction(ph, citrate_mol_per_l)
    return _value("firmness_calcium_factor", firmness) * ratio * bound


def calcium_ratio(pectin_g: float, calcium_mg: float, native_pectin_g: float = 0.0, carboxyl_meq_per_g: float | None = None) -> float:
    """Calcium ratio R of a batch.

        R = 2 mmol calcium / (2.0 pectin + 0.5 x 1.9 native pectin)

    Parameters
    ----------
    pectin_g : calcium-set pectin added [g]
    calcium_mg : calcium within reach, brought and added [mg]
    native_pectin_g : the fruit's own pectin, half of it counted; 0 in every use but the test for too much calcium [g]
    carboxyl_meq_per_g : free carboxyl of the added pectin [meq/g]; None: amidated powder, 2.0

    Returns
    -------
    R [1]; infinite without any pectin

    Sources: LM-MAKER, judgement for the native pectin.
    """
    density = _value("carboxyl_meq_per_g") if carboxyl_meq_per_g is None else carboxyl_meq_per_g
    sites_mmol = density * pectin_g + _value("native_carboxyl_share") * _value("native_carboxyl_meq_per_g") * native_pectin_g
    if sites_mmol <= 0.0:
        return math.inf
    return 2.0 * calcium_mg / _value("calcium_mg_per_mmol") / sites_mmol


def usual_available() -> float:
    """Share of the calcium of sweetener and juice that the pectin can reach [fraction], 0.7. Source: judgement, MA-REN-2015."""
    return _value("usual_available")


def calcium_to_add(
    pectin_g: float,
    solids_percent: float,
    ph: float,
    citrate_mol_per_l: float,
    on_hand_mg: float,
    firmness: Firmness,
    left_out: bool | None = None,
    strength: float = 1.0,
) -> CalciumNeed:
    """Calcium to bring in with calcium water.

        wanted = R x 40.2 mg/g x pectin
        added = wanted - on hand, held within 5 and 16 mg per g of pectin, or none from 4 x wanted on hand

    Parameters
    ----------
    pectin_g : calcium-set pectin added [g]
    solids_percent : soluble solids of the finished batch [%]
    ph : of the batch [pH]
    citrate_mol_per_l : citric acid and its salts [mol/L]
    on_hand_mg : brought by fruit, juice and sweetener within reach of the pectin [mg]
    firmness : soft, medium or firm
    left_out : None: decided here; otherwise the decision of an earlier round
    strength : what a milligram of it does for a gram of this pectin, against the tables' [1]

    Returns
    -------
    the need [mg]; a dose from 2 x wanted on hand is optional

    Continuous but for one jump, from 5 mg per g of pectin to none at 4 x wanted: a solver hands the decision of its first round back as
    `left_out`, or it would swing about the jump. Sources: LM-HOUSEHOLD, LM-TRADER, judgement.
    """
    wanted_mg = wanted_ratio(solids_percent, ph, citrate_mol_per_l, firmness) / strength * pectin_g * calcium_mg_per_g_at_ratio_1()
    without = on_hand_mg >= _value("left_out_from") * wanted_mg if left_out is None else left_out
    least, most = _value("least_added_mg_per_g") * pectin_g, _value("most_added_mg_per_g") * pectin_g
    added_mg = 0.0 if without else min(max(least, wanted_mg - on_hand_mg), most)
    optional = on_hand_mg >= _value("optional_from") * wanted_mg
    return CalciumNeed(wanted_mg=wanted_mg, on_hand_mg=on_hand_mg, added_mg=added_mg, optional=optional, left_out=without)


def calcium_mg_per_g_at_ratio_1() -> float:
    """Calcium per gram of amidated pectin at R = 1 [mg/g], 40.2: half a mmol for each meq of free carboxyl. Source: LM-MAKER."""
    return _value("carboxyl_meq_per_g") * _value("calcium_mg_per_mmol") / 2.0


def most_ratio(solids_percent: float) -> float:
    """Calcium ratio R above which the set turns grainy and weeps.

        R = 2.30 - 0.03 solids

    Parameters
    ----------
    solids_percent : soluble solids of the finished batch [%]

    Returns
    -------
    R over added pectin and half the fruit's own [1]

    Drawn between two published gels at 30 and 45 % sucrose; held from 65 % solids. Source: LOFGREN-2007.
    """
    return _value("ratio_most") - _value("ratio_most_fall_per_percent") * _held(solids_percent)


def too_much_calcium(
    pectin_g: float, native_pectin_g: float, calcium_mg: float, solids_percent: float, carboxyl_meq_per_g: float | None = None
) -> bool:
    """Whether calcium is so plentiful that lumps, grain and weeping are to be expected.

    Parameters
    ----------
    pectin_g : calcium-set pectin added [g]
    native_pectin_g : the fruit's own pectin [g]
    calcium_mg : calcium within reach, brought and added [mg]
    solids_percent : soluble solids of the finished batch [%]
    carboxyl_meq_per_g : free carboxyl of the added pectin [meq/g]; None: amidated powder, 2.0

    Returns
    -------
    true if `calcium_ratio` over all sites passes `most_ratio`; false where no calcium-set pectin was added

    Source: LOFGREN-2007.
    """
    return pectin_g > 0.0 and calcium_ratio(pectin_g, calcium_mg, native_pectin_g, carboxyl_meq_per_g) > most_ratio(solids_percent)


def strength(added_percent: float, credit_percent: float, solids_percent: float, ratio: float, wanted: float) -> Strength:
    """The set to be expected from pectin and calcium as written.

        s = (pectin + credit) / (1.05 - 0.0075 solids);  none under 0.7 x 0.75, medium from 0.87, firm from 1.14

    The bounds lie in the geometric middle between two doses; 0.7 is the low end of what a dose is sure to. Calcium under half of what
    is wanted sets nothing, and under 0.82 (a soft dose less one measuring step) makes a soft set at best: the published recipes, all
    said to set, lie above that.

    Parameters
    ----------
    added_percent : calcium-set pectin added [% of the batch]
    credit_percent : from `texture_credit_percent` [%]
    solids_percent : soluble solids of the finished batch [%]
    ratio : `calcium_ratio` over the added pectin, all calcium within reach [1]
    wanted : `wanted_ratio` for a medium set [1]

    Returns
    -------
    none, soft, medium or firm

    Only for calcium-set pectin: none of it, no set. Sources: GARNIER-1992, judgement.
    """
    soft, medium, firm = firmness_factors()
    least = figure(table("setting")["doubt_factor"]).low * soft
    share = (added_percent + credit_percent) / _medium_demand_percent(solids_percent)
    if added_percent <= 0.0 or share < least or ratio < _value("expect", "calcium_none_under") * wanted:
        return "none"
    if share < math.sqrt(soft * medium) or ratio < _value("expect", "calcium_soft_under") * wanted:
        return "soft"
    return "medium" if share < math.sqrt(medium * firm) else "firm"


def pectin_g_per_tsp(own: float | None = None) -> float:
    """Weight of a level teaspoon of calcium-set pectin [g]: `own` as weighed by the cook, or 3.0 (2.5 to 3.5). Source: LM-SUPPLIER."""
    return _value("pectin_g_per_tsp") if own is None else own


def calcium_water_mg_per_tsp(own: float | None = None) -> float:
    """Calcium in a teaspoon of calcium water: half a teaspoon of monocalcium phosphate in half a cup of water, shaken.

    Parameters
    ----------
    own : strength of the cook's own [mg]; None: the stated assumption, 14.6 (12 to 17)

    Returns
    -------
    calcium [mg per US teaspoon]

    Sources: LM-HOUSEHOLD, MCP-SHEETS.
    """
    return _value("calcium_water_mg_per_tsp") if own is None else own
