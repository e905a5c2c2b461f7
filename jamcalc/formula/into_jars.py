"""How many jars a finished pot fills: whoever counts jars, asks here.

The volumes are the jars' own business (jars/filling); what is in the pot, and how surely it was weighed, is the batch's.
"""

from __future__ import annotations

from jamcalc import facts
from jamcalc.formula.dosing import Pot
from jamcalc.jars import filling
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.outcome import Yield


def volume_ml(pot: Pot) -> float:
    """What of a finished pot reaches the jars, hot, by the tables [mL]."""
    return filling.after_losses_ml(filling.hot_volume_ml(pot.water_g, pot.mixture.soluble_g.typical, pot.mixture.insoluble_g))


def yield_of(pot: Pot) -> Yield:
    """Hot volume that reaches the jars, jars as a range, and what is left over."""
    settings = pot.batch.settings
    jar = facts.jar(settings.jar)
    hers = pot.batch.learned.jars
    narrower = 1.0 if hers is None else hers.narrower
    volume = _with_counted(pot, filling.yield_range(volume_ml(pot) * pot.batch.learned.jars_filled, narrower))
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


def _with_counted(pot: Pot, volume: Estimate) -> Estimate:
    """The range of a yield, wider where fruit was counted and not weighed: by the share of the jam that it may be short or over."""
    short = sum(part.grams * (1.0 - part.light_times) for part in pot.batch.fruits) / pot.finished_g
    over = sum(part.grams * (part.heavy_times - 1.0) for part in pot.batch.fruits) / pot.finished_g
    return Estimate(low=volume.low * max(0.0, 1.0 - short), typical=volume.typical, high=volume.high * (1.0 + over))
