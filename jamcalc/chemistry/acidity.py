"""The chemistry of sourness: charge balance with activities, from acids and salts to pH and back.

Holds formulas only: one fruit, one mixture, one dose. Which fruits go together and how cautiously is souring.py.
The kernels work alike on one number and on a numpy array of draws, so the drawn range rests on the same formulas.

Amounts are moles, equivalents and kilograms of water; pH is the meter's (activity) scale at 25 degC.
Method: charge balance over weak acids and the strong-ion difference, Davies activities; ionic strength is iterated.
Davies (1962), Ion Association; constants in data/acids.toml. Valid to an ionic strength of about 0.5.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from jamcalc import facts
from jamcalc.chemistry.roots import bracketed_root, many_roots

Number = Any  # a float, or a numpy array of draws

DEBYE_HUCKEL_A = facts.limit("debye_huckel_a").typical
DAVIES_B = facts.limit("davies_b").typical
WATER_ION_PRODUCT = 10.0 ** -facts.limit("water_pk").typical
TITRATION_END_PH = facts.limit("titration_end_ph").typical
CITRIC_G_PER_EQUIVALENT = facts.acid_constants("citric").molar_mass / 3.0
LOWEST_PH, HIGHEST_PH = 0.0, 14.0
LOWEST_POT_PH, HIGHEST_POT_PH = 0.5, 10.0  # no fruit that may be read lies outside, watered down or with a tenth of citric acid
DRAWN_WITHIN_PH = 2.5  # no fruit's range is wider
MOST_ROUNDS = 60  # the ionic strength settles by a factor of ten or so in each round, as a rule
QUICK_ROUNDS = 10
SETTLED = 1e-6  # mol/kg; worth less than 0.00001 in pH
STRONGEST = 2.0  # mol/kg; Davies means nothing up there, but stays smooth


@dataclass(frozen=True, kw_only=True)
class AcidPool:
    """What counts for pH in an amount of food: acids [mol], strong-ion difference [eq], water [kg]."""

    acid_mol: Mapping[str, Number]
    strong_ion_eq: Number
    water_kg: Number

    def times(self, amount: Number) -> AcidPool:
        """The pool of `amount` times as much."""
        return AcidPool(
            acid_mol={acid: mol * amount for acid, mol in self.acid_mol.items()},
            strong_ion_eq=self.strong_ion_eq * amount,
            water_kg=self.water_kg * amount,
        )


def pooled(pools: list[AcidPool]) -> AcidPool:
    """Poured together: acids, ions and water add; nothing is averaged."""
    acid_mol: dict[str, Number] = {}
    for pool in pools:
        for acid, mol in pool.acid_mol.items():
            acid_mol[acid] = acid_mol.get(acid, 0.0) + mol
    return AcidPool(
        acid_mol=acid_mol,
        strong_ion_eq=sum(pool.strong_ion_eq for pool in pools),
        water_kg=sum(pool.water_kg for pool in pools),
    )


@cache
def stability(acid: str) -> tuple[float, float, float]:
    """K1, 2 K1 K2 and 3 K1 K2 K3 of an acid at zero ionic strength (0 where it has fewer protons): charge, per acid not dissociated."""
    products = [0.0, 0.0, 0.0]
    product = 1.0
    for step, pka in enumerate(facts.acid_constants(acid).pka):
        product *= 10.0**-pka
        products[step] = (step + 1) * product
    return products[0], products[1], products[2]


def davies(ionic_strength: Number) -> Number:
    """-log10 of the activity coefficient of a singly charged ion."""
    root = ionic_strength**0.5
    return DEBYE_HUCKEL_A * (root / (1.0 + root) - DAVIES_B * ionic_strength)


def _charges(acids: Mapping[str, Number], over_h: Number, ionic_strength: Number) -> tuple[Number, Number, Number, Number]:
    """Negative charge [eq] and charge-square [mol] of the acids, and [H+] and [OH-] [mol/kg], at an `over_h` of 10^pH.

    The hydrogen ion enters as activity and all else as concentration, so each charge z carries 10^(A z^2 f).
    """
    g = 10.0 ** davies(ionic_strength)
    g4 = g * g * g * g
    one = g * over_h
    two = g4 * over_h * over_h
    three = g4 * g4 * g * over_h * over_h * over_h
    charge: Number = 0.0
    squares: Number = 0.0
    for acid, amount in acids.items():
        first, second, third = stability(acid)
        a, b, c = first * one, second * two, third * three
        charged = a + b + c
        held = amount / (1.0 + a + b / 2.0 + c / 3.0)
        charge = charge + held * charged
        squares = squares + held * (charged + b + 2.0 * c)
    return charge, squares, g / over_h, WATER_ION_PRODUCT * over_h * g


def settled(strength: Number, before: Number, within: float = SETTLED) -> bool:
    """Whether the ionic strength has stopped moving, everywhere."""
    moved = abs(strength - before)
    return bool((moved if isinstance(moved, float) else moved.max()) < within)


class _Balance:
    """The charge balance of one solution as a function of pH; each call starts from the ionic strength of the last."""

    def __init__(self, acids: Mapping[str, Number], strong_ion: Number, activities: bool = True) -> None:
        self.acids = acids
        self.strong_ion = strong_ion
        self.activities = activities
        self.strength: Number = 0.1 if activities else 0.0

    def surplus(self, ph: Number) -> Number:
        """Surplus of positive charge [eq/kg water] at this pH: positive means that the true pH is higher.

        The ionic strength settles first; all ions but the acids' are taken as singly charged.
        """
        over_h = 10.0**ph
        for _ in range(MOST_ROUNDS):
            charge, squares, hydrogen, hydroxide = _charges(self.acids, over_h, self.strength)
            if not self.activities:
                break
            before = self.strength
            self.strength = smaller(0.5 * (abs(self.strong_ion) + squares + hydrogen + hydroxide), STRONGEST)
            if settled(self.strength, before):
                break
        return self.strong_ion + hydrogen - hydroxide - charge


def mixture_ph(acids: Mapping[str, float], strong_ion_difference: float = 0.0, *, activities: bool = True) -> float:
    """The pH at which charges balance: SID + [H+] - [OH-] - sum of c n(pH, I) = 0.

    Parameters
    ----------
    acids : moles per kg of water of citric, malic, tartaric, oxalic, quinic, phosphoric, acetic
    strong_ion_difference : equivalents per kg of water (potassium and the like less chloride) [eq/kg]
    activities : False gives the ideal solution, for comparison only: it reads up to 0.2 too high

    Returns
    -------
    pH at 25 degC, 0 to 14. Within 0.02 of an independent geochemical solver to an ionic strength of 0.5.

    Raises
    ------
    UnknownItem : an acid that data/acids.toml does not hold
    ValueError : a negative amount, or where no pH balances

    Examples
    --------
    >>> round(mixture_ph({"citric": 0.05}, strong_ion_difference=0.05), 2)
    3.77
    """
    for acid, amount in acids.items():
        stability(acid)
        if not amount >= 0.0:
            raise ValueError(f"{acid}: {amount} mol/kg is not an amount of acid")
    balance = _Balance(acids, strong_ion_difference, activities)
    if not balance.surplus(LOWEST_PH) >= 0.0 >= balance.surplus(HIGHEST_PH):
        raise ValueError(f"no pH from {LOWEST_PH:g} to {HIGHEST_PH:g} balances a strong-ion difference of {strong_ion_difference} eq/kg")
    return bracketed_root(balance.surplus, LOWEST_PH, HIGHEST_PH, tolerance=1e-7).value


def pool_ph(pool: AcidPool) -> float:
    """The pH of a pool, held to the search from 0.5 to 10: little fruit in much water, or in alkaline sweetener, lies beyond."""
    balance = _Balance(*_per_kg(pool))
    try:
        return bracketed_root(balance.surplus, LOWEST_POT_PH, HIGHEST_POT_PH, tolerance=1e-6).value
    except ValueError:  # no change of sign: positive all the way means that the pH is higher
        return HIGHEST_POT_PH if balance.surplus(HIGHEST_POT_PH) > 0.0 else LOWEST_POT_PH


def _per_kg(pool: AcidPool) -> tuple[dict[str, Number], Number]:
    """Acids [mol] and strong ions [eq] in a kilogram of a pool's water."""
    return {acid: mol / pool.water_kg for acid, mol in pool.acid_mol.items()}, pool.strong_ion_eq / pool.water_kg


def drawn_ph(pool: AcidPool, draws: int, near_ph: float) -> Any:
    """The pH of each draw of a pool that holds arrays of `draws` values, to 0.001; NaN further than 2.5 from `near_ph`."""
    import numpy

    names = tuple(pool.acid_mol)
    amounts = (pool.strong_ion_eq, *pool.acid_mol.values())
    columns = tuple(numpy.broadcast_to(amount / pool.water_kg, (draws,)) for amount in amounts)

    def surplus(ph: Any, strong_ion: Any, *acids: Any) -> Any:
        return _Balance(dict(zip(names, acids, strict=True)), strong_ion).surplus(ph)

    return many_roots(surplus, near_ph - DRAWN_WITHIN_PH, near_ph + DRAWN_WITHIN_PH, columns)


def pool_titratable_eq(pool: AcidPool, ph: float) -> float:
    """Equivalents of base that bring a pool at `ph` to the end point 8.1 (ionic strength held near 0.1)."""
    acids, _ = _per_kg(pool)
    end, _, _, _ = _charges(acids, 10.0**TITRATION_END_PH, 0.1)
    start, _, hydrogen, _ = _charges(acids, 10.0**ph, 0.1)
    return float(end - start + hydrogen) * float(pool.water_kg)


def smaller(one: Number, other: Number) -> Number:
    """The smaller of two, for numbers and arrays alike."""
    return (one + other - abs(one - other)) / 2.0


def fruit_pool(
    *,
    ph: Number,
    titratable_percent: Number,
    titrated_as: str,
    acid_share: Mapping[str, float],
    water_kg_per_kg: float,
    strong_ion_limit_eq_per_kg: float | None = None,
) -> AcidPool:
    """The acids and salts of one kilogram of fruit, from its pH and titratable acidity.

    Scale S solves S sum x (n(8.1) - n(pH)) = TA - [H+]; then SID = S sum x n(pH) - [H+] + [OH-].
    Where that SID is more than the fruit's minerals could be, S is lowered until it is not: acids and salts shrink
    together, so that the fruit alone keeps the pH entered (else a cap would make it sourer than it is).

    Parameters
    ----------
    ph : of the fruit [pH]; titratable_percent : [g acid per 100 g], as `titrated_as`
    acid_share : of each acid, by mass; water_kg_per_kg : water in the fruit [kg/kg]
    strong_ion_limit_eq_per_kg : the mineral limit [eq/kg fruit]; None for a measured fruit, which is never capped

    Returns the pool of 1 kg of fruit. Range: pH 1.5 to 7.5.
    """
    relative = {acid: share / facts.acid_constants(acid).molar_mass for acid, share in acid_share.items()}
    acid = facts.acid_constants(titrated_as)
    titratable_eq = titratable_percent * 10.0 / (acid.molar_mass / acid.protons) / water_kg_per_kg
    limit_eq = None if strong_ion_limit_eq_per_kg is None else strong_ion_limit_eq_per_kg / water_kg_per_kg
    over_h = 10.0**ph
    strength: Number = 0.1
    for turn in range(MOST_ROUNDS):
        end, _, _, _ = _charges(relative, 10.0**TITRATION_END_PH, strength)
        start, squares, hydrogen, hydroxide = _charges(relative, over_h, strength)
        scale = (titratable_eq - hydrogen) / (end - start)
        scale = (scale + abs(scale)) / 2.0  # less acid than the hydrogen ions alone: then a trace of mineral acid
        if limit_eq is not None:
            scale = smaller(scale, (limit_eq + hydrogen - hydroxide) / start)
        strong_ion = scale * start - hydrogen + hydroxide
        before = strength
        strength = smaller(0.5 * (abs(strong_ion) + scale * squares + hydrogen + hydroxide), STRONGEST)
        if turn >= QUICK_ROUNDS:  # mild fruit with much acid swings to and fro; the middle of two rounds does not
            strength = 0.5 * (strength + before)
        if settled(strength, before):
            break
    return AcidPool(
        acid_mol={name: scale * share * water_kg_per_kg for name, share in relative.items()},
        strong_ion_eq=strong_ion * water_kg_per_kg,
        water_kg=water_kg_per_kg,
    )


def pure_acid_pool(*, acid: str, percent: Number, water_kg_per_kg: float) -> AcidPool:
    """The pool of one kilogram of an acid powder or vinegar: acid and water, no salt."""
    return AcidPool(acid_mol={acid: percent * 10.0 / facts.acid_constants(acid).molar_mass}, strong_ion_eq=0.0, water_kg=water_kg_per_kg)


def reading_pool(pool: AcidPool, ph: float) -> AcidPool:
    """A pool, or many of them, that was worked out otherwise and reads `ph`: its acids as they are, its strong ions as the reading says.

    At a given pH the charge balance gives the strong ions; their own share in the ionic strength settles in a few rounds.
    """
    balance = _Balance(*_per_kg(pool))
    for _ in range(MOST_ROUNDS):
        surplus = balance.surplus(ph)
        balance.strong_ion = balance.strong_ion - surplus
        if settled(surplus, 0.0, SETTLED / 10.0):
            break
    return AcidPool(acid_mol=pool.acid_mol, strong_ion_eq=balance.strong_ion * pool.water_kg, water_kg=pool.water_kg)
