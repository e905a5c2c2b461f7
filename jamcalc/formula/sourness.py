"""What is reported of a batch's acidity: pH and titratable acidity as ranges, before and after the acid, and readings that look odd.

The low end is drawn and decides nothing; the high end is batch_acidity's, and a reading of the finished batch takes the place of all.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from jamcalc import facts
from jamcalc.chemistry import ph_range
from jamcalc.chemistry.acidity import CITRIC_G_PER_EQUIVALENT, pool_ph, pool_titratable_eq, pooled, reading_pool
from jamcalc.formula.batch_acidity import READING_MARGIN_PH, Sourables, fruit_kilogram, high_side_ph, high_sides_ph, lemon_pool, sourness_of
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.storage import SHELF_HIGH_SIDE_PH, SHELF_READING_PH
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.outcome import Acidity

ODD_PH = facts.limit("odd_ph").typical
ODD_BRIX = facts.limit("odd_brix_times").typical
ODD_TITRATABLE = facts.limit("odd_titratable_times").typical


def acidity(amounts: Sourables, *, mass_g: float, least_high_ph: float = 0.0) -> Acidity:
    """pH before and after the acid, and titratable acidity as citric acid, for the batch as it will be made.

    `mass_g` is the finished mass that the acidity is spread over; no high side under `least_high_ph` is reported.
    pH is rounded to two decimals here, once:
    what is reported is what decisions are made on. A reading of the finished batch replaces the worked-out pH.
    """
    reading = amounts.batch.settings.batch_ph
    typical = amounts.pool("typical")
    if reading is None:
        before, after = _before_and_after(amounts)
        typical_ph = after.typical
    else:
        after, before = _as_read(amounts, reading)
        typical_ph = pool_ph(typical)
    titratable = max(0.0, pool_titratable_eq(typical, typical_ph)) * CITRIC_G_PER_EQUIVALENT / mass_g * 100.0
    ph = _reported(replace(after, high=max(after.high, least_high_ph)))
    meter_needed = ph.high > SHELF_HIGH_SIDE_PH if reading is None else round(reading, 2) > SHELF_READING_PH
    return Acidity(
        ph=ph,
        ph_before_lemon=_reported(before),
        titratable_percent=_titratable_range(amounts, titratable, mass_g),
        meter_needed=meter_needed,
    )


def _as_read(amounts: Sourables, reading: float) -> tuple[Estimate, Estimate]:
    """The pH as a meter read it, with and without what was added for its acid.

    For the second the batch is given the strong ions that the reading asks for, and the acid is taken out again.
    """
    ends = (reading - READING_MARGIN_PH, reading, reading + READING_MARGIN_PH)
    after = Estimate(low=ends[0], typical=ends[1], high=ends[2])
    whole, plain = amounts.pool("typical"), amounts.pool("typical", acid=False)
    if whole == plain:
        return after, after
    most = high_side_ph(amounts, acid=False)  # an odd reading is not made odder
    ph_ends = []
    for end in ends:
        shift = reading_pool(whole, end).strong_ion_eq - whole.strong_ion_eq
        ph_ends.append(max(end, min(most, pool_ph(replace(plain, strong_ion_eq=plain.strong_ion_eq + shift)))))
    return after, Estimate(low=ph_ends[0], typical=ph_ends[1], high=ph_ends[2])


def _reported(ph: Estimate) -> Estimate:
    return Estimate(low=round(ph.low, 2), typical=round(ph.typical, 2), high=round(ph.high, 2))


def _before_and_after(amounts: Sourables) -> tuple[Estimate, Estimate]:
    """The pH as worked out, without and with what was added for its acid."""
    both = (False, True)
    draw = _draw(amounts.batch)
    measured = all(part.ph_read is not None for part in amounts.batch.fruits)
    highs = high_sides_ph([amounts.cautious_pool(acid=acid) for acid in both])
    estimates = []
    for acid, high in zip(both, highs, strict=True):
        typical = pool_ph(amounts.pool("typical", acid=acid))
        if draw is None or measured:  # of a measured fruit the whole reading is shown, 0.1 to either side
            low = pool_ph(amounts.pool("mild", acid=acid))
        else:
            rest = amounts.rest_pool("typical", acid=acid)
            low = draw.low_ph(rest, lemon_pool("typical").times(amounts.lemon_g) if acid else None, typical)
        estimates.append(Estimate(low=min(low, typical), typical=typical, high=max(typical, high)))
    before, after = estimates
    return before, after


def _draw(batch: Batch) -> ph_range.Draw | None:
    """Every fruit drawn from its ranges, or None where no draw is wanted."""
    draws = batch.settings.draws
    if not draws:
        return None
    pools = []
    for part in batch.fruits:
        sourness = sourness_of(part.fruit, part.reading)
        kilogram = partial(fruit_kilogram, part.fruit, sourness)
        pools.append(ph_range.drawn(part.fruit.key, draws, sourness.ph, sourness.titratable, kilogram).times(part.grams / 1000.0))
    return ph_range.Draw(draws=draws, fruits=pooled(pools), juice=facts.acidulant(LEMON).strength_percent)


def _titratable_range(amounts: Sourables, typical: float, mass_g: float) -> Estimate:
    """The range of titratable acidity: each fruit's own ends, taken together."""
    ends = [0.0, 0.0]
    for part in amounts.batch.fruits:
        sourness = sourness_of(part.fruit, part.reading)
        for index, value in enumerate((sourness.titratable.low, sourness.titratable.high)):
            ends[index] += (value - sourness.titratable.typical) * part.grams / mass_g
    return Estimate(low=max(0.0, typical + ends[0]), typical=typical, high=typical + ends[1])


def above_what_was_worked_out(amounts: Sourables) -> float | None:
    """The high side of pH where a reading of the batch lies above it: the meter, or what went into the pot, wants a second look."""
    reading = amounts.batch.settings.batch_ph
    high = None if reading is None else round(high_side_ph(amounts), 2)
    return high if high is not None and reading is not None and round(reading, 2) > high else None


def odd_readings(amounts: Sourables) -> tuple[str, ...]:
    """Readings that are likelier a slip of the meter or the point than the fruit, each in a sentence."""
    odd = []
    for part in amounts.batch.fruits:
        fruit, reading = part.fruit, part.reading
        if reading is None:
            continue
        if reading.ph is not None and not fruit.ph.low - ODD_PH <= reading.ph <= fruit.ph.high + ODD_PH:
            odd.append(f"{fruit.name} at pH {reading.ph:g} is far from the {fruit.ph.low:g} to {fruit.ph.high:g} that is known of it")
        if reading.titratable_percent is not None and reading.titratable_percent < fruit.titratable_percent.low / ODD_TITRATABLE:
            odd.append(
                f"{fruit.name} with {reading.titratable_percent:g} % acid is far under the {fruit.titratable_percent.low:g} % "
                "that is known of it"
            )
        brix = reading.soluble_solids_percent
        if brix is not None and brix > ODD_BRIX * fruit.soluble_solids_percent.high:
            odd.append(f"{fruit.name} at {brix:g} Brix is far over the {fruit.soluble_solids_percent.high:g} that is known of it")
    batch_ph = amounts.batch.settings.batch_ph
    if batch_ph is not None and batch_ph < (least := pool_ph(amounts.pool("mild"))) - ODD_PH:
        odd.append(f"a batch at pH {batch_ph:g} is far under the {least:.1f} that it should have at the least")
    return tuple(odd)
