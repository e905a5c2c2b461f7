"""How many jars a solved batch fills: whoever counts jars, asks here.

The volumes are the jars' own business (jars/filling); what is in the pot, and how surely it was weighed, is the batch's.
"""

from __future__ import annotations

from jamcalc import facts
from jamcalc.formula.solver import Solved
from jamcalc.jars import filling
from jamcalc.nouns.model import Estimate
from jamcalc.nouns.outcome import Yield


def yield_of(solved: Solved) -> Yield:
    """Hot volume that reaches the jars, jars as a range, and what is left over."""
    pot, settings = solved.pot, solved.pot.batch.settings
    jar = facts.jar(settings.jar)
    in_pot = filling.hot_volume_ml(pot.water_g, pot.mixture.soluble_g.typical, pot.mixture.insoluble_g)
    hers = pot.batch.learned.jars
    narrower = 1.0 if hers is None else hers.narrower
    volume = _with_counted(solved, filling.yield_range(filling.after_losses_ml(in_pot) * pot.batch.learned.jars_filled, narrower))
    jar_ml = filling.fill_ml(jar, settings.headspace_mm)
    full, over = filling.full_jars(volume.typical, jar_ml)
    share = pot.finished_g / volume.typical
    return Yield(
        mass_g=Estimate(low=volume.low * share, typical=pot.finished_g, high=volume.high * share),
        hot_volume_ml=volume,
        jar=jar.name,
        jars=filling.count_jars(volume.low, volume.typical, volume.high, jar_ml),
        full_jars=full,
        over_ml=over,
        headspace_mm=settings.headspace_mm,
    )


def _with_counted(solved: Solved, volume: Estimate) -> Estimate:
    """The range of a yield, wider where fruit was counted and not weighed: by the share of the jam that it may be short or over."""
    fruits, finished_g = solved.pot.batch.fruits, solved.pot.finished_g
    short = sum(part.grams * (1.0 - part.light_times) for part in fruits) / finished_g
    over = sum(part.grams * (part.heavy_times - 1.0) for part in fruits) / finished_g
    return Estimate(low=volume.low * max(0.0, 1.0 - short), typical=volume.typical, high=volume.high * (1.0 + over))
