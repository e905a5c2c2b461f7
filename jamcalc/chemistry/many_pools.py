"""Many pools looked at together: the highest pH among them, and the largest dose of an acid juice that any of them takes.

The same charge balance as acidity.py has of one pool, in arrays with a row for each acid and a column for each pool.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from jamcalc.chemistry.acidity import (
    HIGHEST_POT_PH,
    LOWEST_POT_PH,
    MOST_ROUNDS,
    SETTLED,
    STRONGEST,
    WATER_ION_PRODUCT,
    AcidPool,
    Number,
    davies,
    pool_ph,
    pooled,
    settled,
    smaller,
    stability,
)

START_PH = 4.05  # of a search among many pools: where it matters


@cache
def _stabilities(acids: tuple[str, ...]) -> Any:
    """The stability products of several acids, in columns."""
    import numpy

    return numpy.array([stability(acid) for acid in acids]).T[:, :, None]


class _Many:
    """Pools held as arrays, all looked at together: a row for each acid, a column for each pool."""

    def __init__(self, pool: AcidPool) -> None:
        import numpy

        parts = (pool.water_kg, pool.strong_ion_eq, *pool.acid_mol.values())
        shape = numpy.broadcast_shapes((1,), *(numpy.shape(part) for part in parts))
        self.water = numpy.broadcast_to(pool.water_kg, shape)
        self.ions = numpy.broadcast_to(pool.strong_ion_eq, shape)
        self.names = tuple(pool.acid_mol)
        self.moles = numpy.empty((len(self.names), len(self.ions)))
        for row, mol in enumerate(pool.acid_mol.values()):
            self.moles[row] = mol
        self.stability = _stabilities(self.names)
        self.strength = numpy.minimum(abs(self.ions) / self.water, STRONGEST)  # a first guess: the other half is acid ions

    def dissociated(self, over_h: float) -> tuple[Number, Number, Number, Number]:
        """Charge and charge-square of a mole of each acid, [H+] and [OH-] at this `over_h` and the ionic strength held now."""
        g = 10.0 ** davies(self.strength)
        g4 = g * g * g * g
        first, second, third = self.stability
        a = first * (g * over_h)
        b = second * (g4 * over_h * over_h)
        c = third * (g4 * g4 * g * over_h * over_h * over_h)
        charged = a + b + c
        held = 1.0 / (1.0 + a + b / 2.0 + c / 3.0)
        return charged * held, (charged + b + 2.0 * c) * held, g / over_h, WATER_ION_PRODUCT * over_h * g

    def settle(self, ions: Number, squares: Number, water: Number, hydrogen: Number, hydroxide: Number) -> bool:
        """Take the ionic strength of these ions; whether it has stopped moving."""
        before = self.strength
        self.strength = smaller(0.5 * ((abs(ions) + squares) / water + hydrogen + hydroxide), STRONGEST)
        return settled(self.strength, before)

    def surplus(self, ph: float) -> Number:
        """Surplus of positive charge of each pool at this pH [eq/kg water], as `_Balance` has it of one."""
        for _ in range(MOST_ROUNDS):
            charge, squares, hydrogen, hydroxide = self.dissociated(10.0**ph)
            if self.settle(self.ions, (self.moles * squares).sum(0), self.water, hydrogen, hydroxide):
                break
        return (self.ions - (self.moles * charge).sum(0)) / self.water + hydrogen - hydroxide

    def one(self, place: int) -> AcidPool:
        """One of the pools."""
        acid_mol = dict(zip(self.names, self.moles[:, place].tolist(), strict=True))
        return AcidPool(acid_mol=acid_mol, strong_ion_eq=float(self.ions[place]), water_kg=float(self.water[place]))


def highest_ph(pool: AcidPool) -> float:
    """The highest pH among many pools, which are held as arrays; at or beyond either end of the search: its upper end, 10.

    The pools are put in balance one after the other, each time the one with the largest surplus of all at the pH of the last.
    """
    many = _Many(pool)
    ph = None
    for _ in range(len(many.ions) + 1):
        surplus = many.surplus(START_PH if ph is None else ph)
        place = int(surplus.argmax())
        if ph is not None and surplus[place] <= SETTLED:
            break
        ph = pool_ph(many.one(place))
        if not LOWEST_POT_PH < ph < HIGHEST_POT_PH:
            return HIGHEST_POT_PH
    assert ph is not None
    return ph


def dose_for_ph(pool: AcidPool, juice_per_g: AcidPool, target_ph: float, most_g: float) -> float | None:
    """Grams of an acid juice that bring a pool to `target_ph`: 0 where it is there already, None beyond `most_g`.

    Of many pools, held as arrays, the largest dose that any of them takes. At a given pH the charges of pool and juice are
    linear in their amounts but for the ionic strength, which settles in a few rounds:

        grams = (SID + W ([H+] - [OH-]) - charge of the pool) / (charge of a gram of juice - its SID - its W ([H+] - [OH-]))
    """
    import numpy

    both = pooled([pool, AcidPool(acid_mol=dict.fromkeys(juice_per_g.acid_mol, 0.0), strong_ion_eq=0.0, water_kg=0.0)])
    many = _Many(both)
    juice = numpy.array([juice_per_g.acid_mol.get(name, 0.0) for name in many.names])
    for _ in range(MOST_ROUNDS):
        charge, squares, hydrogen, hydroxide = many.dissociated(10.0**target_ph)
        free = hydrogen - hydroxide
        wanted = many.ions + many.water * free - (many.moles * charge).sum(0)
        each = juice @ charge - juice_per_g.strong_ion_eq - juice_per_g.water_kg * free
        # A juice that is milder than the target brings nothing down to it, however much of it there is.
        beyond = wanted > numpy.maximum(each, 0.0) * most_g
        grams = numpy.where(wanted <= 0.0, 0.0, numpy.where(beyond, most_g, wanted / numpy.where(each > 0.0, each, 1.0)))
        water = many.water + grams * juice_per_g.water_kg
        ions = many.ions + grams * juice_per_g.strong_ion_eq
        if many.settle(ions, (many.moles * squares).sum(0) + grams * (juice @ squares), water, hydrogen, hydroxide):
            break
    # nearer to zero than the ionic strength has settled, the sign of what is wanted means nothing
    near = SETTLED * water
    if (wanted - numpy.maximum(each, 0.0) * most_g > near).any():
        return None
    return float(numpy.where(wanted <= near, 0.0, grams).max())
