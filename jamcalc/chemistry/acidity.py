"""The chemistry of sourness: charge balance with activities, from acids and salts to pH and back.

Holds formulas only: one fruit, one mixture, one dose. Which fruits go together and how cautiously is formula/batch_acidity.
The kernels work alike on one number and on a numpy array of draws, so the drawn range rests on the same formulas.

Amounts are moles, equivalents and kilograms of water; pH is the meter's (activity) scale at 25 degC.
Method: charge balance over weak acids and the strong-ion difference, Davies activities; ionic strength is iterated.
Davies (1962), Ion Association; constants in data/acids.toml. Valid to an ionic strength of about 0.5.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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
START_PH = 3.6  # of a search: where it matters, and most jams lie
DRAWN_WITHIN_PH = 2.5  # no fruit's range is wider
DRAWN_SETTLED_PH = 1e-4  # shown to two decimals, and decides nothing
MOST_ROUNDS = 60  # the ionic strength settles by a factor of ten or so in each round, as a rule
QUICK_ROUNDS = 10
SETTLED = 1e-6  # mol/kg; worth less than 0.00001 in pH
SETTLED_PH = 1e-5  # of the last step; the next would be a fifth of it at most
MOST_STEP = 0.7  # pH; a step of Newton's method that is longer has left where the slope means anything
MOST_STEPS = 30  # of Newton's method; a jam takes four to six
LN_10 = math.log(10.0)
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


def pooled(pools: Sequence[AcidPool]) -> AcidPool:
    """Poured together: acids, ions and water add; nothing is averaged."""
    acid_mol: dict[str, Number] = {}
    strong_ion_eq: Number = 0.0
    water_kg: Number = 0.0
    for pool in pools:
        strong_ion_eq = strong_ion_eq + pool.strong_ion_eq
        water_kg = water_kg + pool.water_kg
        for acid, mol in pool.acid_mol.items():
            acid_mol[acid] = acid_mol[acid] + mol if acid in acid_mol else mol
    return AcidPool(acid_mol=acid_mol, strong_ion_eq=strong_ion_eq, water_kg=water_kg)


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


def ion_activities(over_h: Number, ionic_strength: Number) -> tuple[Number, Number, Number, Number]:
    """g = 10^(A f) of a singly charged ion, and g h, g^4 h^2 and g^9 h^3 with an h of `over_h`: for ions of one, two and three charges."""
    g = 10.0 ** davies(ionic_strength)
    g2 = g * g
    one = g * over_h
    two = one * one * g2
    return g, one, two, two * one * (g2 * g2)


def _charges(acids: Mapping[str, Number], over_h: Number, ionic_strength: Number) -> tuple[Number, Number, Number, Number, Number]:
    """Of the acids at an `over_h` of 10^pH: negative charge [eq], charge-square [mol], buffer capacity [eq per 1/ln 10 pH].

    Then [H+] and [OH-] [mol/kg]. The hydrogen ion enters as activity and all else as concentration, so each charge z carries 10^(A z^2 f).
    """
    g, one, two, three = ion_activities(over_h, ionic_strength)
    charge: Number = 0.0
    squares: Number = 0.0
    capacity: Number = 0.0
    for acid, amount in acids.items():
        first, second, third = stability(acid)
        a, b, c = first * one, second * two, third * three
        charged = a + b + c
        free = 1.0 / (1.0 + a + b / 2.0 + c / 3.0)  # the share that has kept all its protons
        held = amount * free
        charges, squared = held * charged, held * (charged + b + 2.0 * c)
        charge = charge + charges
        squares = squares + squared
        capacity = capacity + squared - charges * charged * free
    return charge, squares, capacity, g / over_h, WATER_ION_PRODUCT * over_h * g


def settled(now: Number, before: Number, within: float = SETTLED) -> bool:
    """Whether the ionic strength, or what else is looked for, has stopped moving, everywhere."""
    moved = abs(now - before)
    return moved < within if isinstance(moved, float) else bool((moved < within).all())


class Balance:
    """The charge balance of one solution, or of many as arrays, per kg of water; each call starts from the ionic strength of the last."""

    def __init__(self, acids: Mapping[str, Number], strong_ion: Number, activities: bool = True) -> None:
        self.acids = acids
        self.strong_ion = strong_ion
        self.activities = activities
        self.strength: Number = 0.1 if activities else 0.0

    def charges(self, over_h: Number, *, capacity: bool = True) -> tuple[Number, Number, Number, Number, Number]:
        """As `_charges` has them, at the ionic strength held now; the buffer capacity may be left out where it is not asked for."""
        return _charges(self.acids, over_h, self.strength)

    def settle(self, squares: Number, hydrogen: Number, hydroxide: Number, within: float = SETTLED) -> bool:
        """Take the ionic strength of these ions, all but the acids' singly charged; whether it has stopped moving."""
        before = self.strength
        self.strength = smaller(0.5 * (abs(self.strong_ion) + squares + hydrogen + hydroxide), STRONGEST)
        return settled(self.strength, before, within)

    def surplus(self, ph: Number, within: float = SETTLED) -> Number:
        """Surplus of positive charge [eq/kg water] at this pH: positive means that the true pH is higher."""
        over_h = 10.0**ph
        for _ in range(MOST_ROUNDS):
            charge, squares, _, hydrogen, hydroxide = self.charges(over_h, capacity=False)
            if not self.activities or self.settle(squares, hydrogen, hydroxide, within):
                break
        return self.strong_ion + hydrogen - hydroxide - charge

    def ph(self, near: Number, within: float = SETTLED_PH) -> Number | None:
        """The pH of balance by Newton's method from `near`, the ionic strength settling on the way.

            step = surplus / (ln 10 x (buffer capacity + [H+] + [OH-])), at most MOST_STEP

        None where it does not settle everywhere, as in water with next to nothing in it: that is for a bracketed search.
        """
        ph = near
        for _ in range(MOST_STEPS):
            charge, squares, capacity, hydrogen, hydroxide = self.charges(10.0**ph)
            free = hydrogen + hydroxide
            step = (self.strong_ion + hydrogen - hydroxide - charge) / (LN_10 * (capacity + free))
            step = -smaller(-smaller(step, MOST_STEP), MOST_STEP)
            ph = ph + step
            if self.settle(squares, hydrogen, hydroxide, within) and settled(step, 0.0, within):
                return ph
        return None


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
    balance = Balance(acids, strong_ion_difference, activities)
    if not balance.surplus(LOWEST_PH) >= 0.0 >= balance.surplus(HIGHEST_PH):
        raise ValueError(f"no pH from {LOWEST_PH:g} to {HIGHEST_PH:g} balances a strong-ion difference of {strong_ion_difference} eq/kg")
    return bracketed_root(balance.surplus, LOWEST_PH, HIGHEST_PH, tolerance=1e-7).value


def pool_ph(pool: AcidPool) -> float:
    """The pH of a pool, held to the search from 0.5 to 10: little fruit in much water, or in alkaline sweetener, lies beyond."""
    acids, strong_ion = _per_kg(pool)
    ph = Balance(acids, strong_ion).ph(START_PH)
    if ph is not None:
        return min(max(float(ph), LOWEST_POT_PH), HIGHEST_POT_PH)
    balance = Balance(acids, strong_ion)
    try:
        return bracketed_root(balance.surplus, LOWEST_POT_PH, HIGHEST_POT_PH, tolerance=1e-6).value
    except ValueError:  # no change of sign: positive all the way means that the pH is higher
        return HIGHEST_POT_PH if balance.surplus(HIGHEST_POT_PH) > 0.0 else LOWEST_POT_PH


def _per_kg(pool: AcidPool) -> tuple[dict[str, Number], Number]:
    """Acids [mol] and strong ions [eq] in a kilogram of a pool's water."""
    return {acid: mol / pool.water_kg for acid, mol in pool.acid_mol.items()}, pool.strong_ion_eq / pool.water_kg


def drawn_ph(pool: AcidPool, near_ph: float) -> Any:
    """The pH of each draw of a pool that holds arrays of them, to 0.001; NaN further than 2.5 from `near_ph`."""
    import numpy

    acids, strong_ion = _per_kg(pool)
    ph = Balance(acids, strong_ion).ph(near_ph, DRAWN_SETTLED_PH)
    if ph is not None:
        return numpy.where(abs(ph - near_ph) <= DRAWN_WITHIN_PH, ph, numpy.nan)
    names, columns = tuple(acids), numpy.broadcast_arrays(strong_ion, *acids.values())

    def surplus(ph: Any, strong_ion: Any, *acids: Any) -> Any:
        return Balance(dict(zip(names, acids, strict=True)), strong_ion).surplus(ph)

    return many_roots(surplus, near_ph - DRAWN_WITHIN_PH, near_ph + DRAWN_WITHIN_PH, tuple(columns))


def pool_titratable_eq(pool: AcidPool, ph: float) -> float:
    """Equivalents of base that bring a pool at `ph` to the end point 8.1 (ionic strength held near 0.1)."""
    acids, _ = _per_kg(pool)
    end, *_ = _charges(acids, 10.0**TITRATION_END_PH, 0.1)
    start, _, _, hydrogen, _ = _charges(acids, 10.0**ph, 0.1)
    return float(end - start + hydrogen) * float(pool.water_kg)


def smaller(one: Number, other: Number) -> Number:
    """The smaller of two, for numbers and arrays alike."""
    if isinstance(one, float):
        return other if other < one else one  # quicker than min, and like it leaves what is no number as it is
    import numpy

    return numpy.minimum(one, other)


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
        end, *_ = _charges(relative, 10.0**TITRATION_END_PH, strength)
        start, squares, _, hydrogen, hydroxide = _charges(relative, over_h, strength)
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
    balance = Balance(*_per_kg(pool))
    for _ in range(MOST_ROUNDS):
        surplus = balance.surplus(ph)
        balance.strong_ion = balance.strong_ion - surplus
        if settled(surplus, 0.0, SETTLED / 10.0):
            break
    return AcidPool(acid_mol=pool.acid_mol, strong_ion_eq=balance.strong_ion * pool.water_kg, water_kg=pool.water_kg)
