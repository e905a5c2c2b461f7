"""Many pools looked at together: the highest pH among them, and the largest dose of an acid juice that any of them takes.

The same charge balance as acidity.py has of one pool, in arrays with a row for each acid and a column for each pool.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
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
    Balance,
    Number,
    ion_activities,
    pool_ph,
    stability,
)

HIGH_START_PH = 3.9  # where a search for the highest begins: what is dosed for the shelf lies there
NEXT_TO_NOTHING = 1e-30  # eq per g
LAST_CHANGE = 1e-5  # mol/kg; the ionic strength at one pH settles by a factor of ten or more a round, so that what is left is under SETTLED


@cache
def _stabilities(acids: tuple[str, ...]) -> Any:
    """Moles with one, two and three charges per mole not dissociated, of several acids in columns, at an activity of 1 of all else."""
    import numpy

    return (numpy.array([stability(acid) for acid in acids]) / (1.0, 2.0, 3.0)).T[:, :, None]


@cache
def _counting() -> Any:
    """What turns moles with one, two and three charges into all moles, their charge and their charge-square."""
    import numpy

    return numpy.array(((1.0, 1.0, 1.0), (1.0, 2.0, 3.0), (1.0, 4.0, 9.0)))


class _Many(Balance):
    """Pools held as arrays, all looked at together: a row for each acid, a column for each pool."""

    def __init__(self, groups: Sequence[AcidPool], beside: Iterable[str] = ()) -> None:
        """`groups` stand side by side, each a pool or arrays of them; acids `beside` have a row even where none of them holds any."""
        import numpy

        self.names = tuple(dict.fromkeys((*(name for pool in groups for name in pool.acid_mol), *beside)))
        wide = []
        for pool in groups:
            parts = (pool.water_kg, pool.strong_ion_eq, *(pool.acid_mol.get(name, 0.0) for name in self.names))
            rows = numpy.empty((len(parts), max(getattr(part, "size", 1) for part in parts)))
            for place, part in enumerate(parts):
                rows[place] = part
            wide.append(rows)
        self.begins = tuple(itertools.accumulate((rows.shape[1] for rows in wide[:-1]), initial=0))  # where each group does
        rows = wide[0] if len(wide) == 1 else numpy.concatenate(wide, axis=1)
        self.water, self.ions, self.moles = rows[0], rows[1], rows[2:]
        self.stability = _stabilities(self.names)
        super().__init__({}, self.ions / self.water)
        self.strength = numpy.minimum(abs(self.strong_ion), STRONGEST)  # a first guess: the other half is acid ions

    def dissociated(self, over_h: Number) -> tuple[Any, Number, Number]:
        """Charge and charge-square of a mole of each acid, as one table, and [H+] and [OH-], at the ionic strength held now.

        A handful of calls on large tables, where `_charges` works acid by acid: on few pools each call costs more than its numbers.
        """
        import numpy

        g, *powers = ion_activities(over_h, self.strength)
        ions = self.stability * numpy.array(powers)[:, None]
        counted = _counting() @ ions.reshape(3, -1)
        shares = counted[1:] / (1.0 + counted[0])
        return shares.reshape(2, *self.moles.shape), g / over_h, WATER_ION_PRODUCT * over_h * g

    def charges(self, over_h: Number, *, capacity: bool = True) -> tuple[Number, Number, Number, Number, Number]:
        """As `Balance` has them of one solution."""
        shares, hydrogen, hydroxide = self.dissociated(over_h)
        held = self.moles * shares
        charge, squares = held.sum(1) / self.water
        buffers = squares - (held[0] * shares[0]).sum(0) / self.water if capacity else 0.0
        return charge, squares, buffers, hydrogen, hydroxide

    def one(self, place: int) -> AcidPool:
        """One of the pools."""
        acid_mol = dict(zip(self.names, self.moles[:, place].tolist(), strict=True))
        return AcidPool(acid_mol=acid_mol, strong_ion_eq=float(self.ions[place]), water_kg=float(self.water[place]))


def highest_ph(pool: AcidPool) -> float:
    """The highest pH among many pools, which are held as arrays; at or beyond either end of the search: its upper end, 10."""
    return highest_of_each([pool])[0]


def highest_of_each(groups: Sequence[AcidPool]) -> list[float]:
    """The same of several groups of pools, worked out side by side."""
    import numpy

    many = _Many(groups)
    ph = many.ph(HIGH_START_PH)
    if ph is None:
        ph = numpy.array([pool_ph(many.one(place)) for place in range(len(many.ions))])
    highest = numpy.maximum.reduceat(ph, many.begins).tolist()
    return [ph if LOWEST_POT_PH < ph < HIGHEST_POT_PH else HIGHEST_POT_PH for ph in highest]


def none_above_ph(pool: AcidPool, ph: float) -> bool:
    """Whether none of many pools, held as arrays, is above a pH, but for what the ionic strength has not settled."""
    return bool((_Many([pool]).surplus(ph, LAST_CHANGE) <= SETTLED).all())


def dose_for_ph(pool: AcidPool, juice_per_g: AcidPool, target_ph: float, most_g: float) -> float | None:
    """Grams of an acid juice that bring a pool to `target_ph`: 0 where it is there already, None beyond `most_g`.

    Of many pools, held as arrays, the largest dose that any of them takes. At a given pH the charges of pool and juice are
    linear in their amounts but for the ionic strength, which settles in a few rounds:

        grams = (SID + W ([H+] - [OH-]) - charge of the pool) / (charge of a gram of juice - its SID - its W ([H+] - [OH-]))
    """
    import numpy

    many = _Many([pool], beside=juice_per_g.acid_mol)
    juice = numpy.array([juice_per_g.acid_mol.get(name, 0.0) for name in many.names])
    for _ in range(MOST_ROUNDS):
        shares, hydrogen, hydroxide = many.dissociated(10.0**target_ph)
        free = hydrogen - hydroxide
        charge, squares = (many.moles * shares).sum(1)
        charge_per_g, squares_per_g = juice @ shares
        wanted = many.ions + many.water * free - charge
        net_charge_per_g = charge_per_g - juice_per_g.strong_ion_eq - juice_per_g.water_kg * free
        # A juice that is milder than the target brings nothing down to it, however much of it there is.
        grams = numpy.minimum(numpy.maximum(wanted / numpy.maximum(net_charge_per_g, NEXT_TO_NOTHING), 0.0), most_g)
        water = many.water + grams * juice_per_g.water_kg
        many.strong_ion = (many.ions + grams * juice_per_g.strong_ion_eq) / water
        if many.settle((squares + grams * squares_per_g) / water, hydrogen, hydroxide, LAST_CHANGE):
            break
    # nearer to zero than the ionic strength has settled, the sign of what is wanted means nothing
    near = SETTLED * water
    if (wanted - numpy.maximum(net_charge_per_g, 0.0) * most_g > near).any():
        return None
    return float(numpy.where(wanted <= near, 0.0, grams).max())
