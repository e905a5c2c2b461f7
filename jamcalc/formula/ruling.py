"""What the rule of storage.py is asked about a batch: its bars, its time, and what was measured oddly.

Gathers and decides nothing: every finding comes from storage, every minute from process.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from jamcalc import facts
from jamcalc.errors import NotPossible
from jamcalc.formula import batch_acidity, into_jars, sourness, storage
from jamcalc.formula.batch_acidity import Sourables, lemon_in_lines_g
from jamcalc.formula.dosing import Pot
from jamcalc.jars import filling
from jamcalc.jars.process import band_index, printed_process, process_for
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.nouns.known import Jar
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import Process
from jamcalc.nouns.written import PrintedTime, Recipe


def times_of(recipe: Recipe) -> tuple[PrintedTime, ...]:
    """All minutes that a recipe prints: its table, or its one time for the lowest band and its own jar."""
    if recipe.printed_times or recipe.process_min is None:
        return recipe.printed_times
    own = recipe.stated_yield.jar if recipe.stated_yield else "half-pint"
    higher = (None,) * (len(facts.table("process")["band"]) - 1)
    return (PrintedTime(jar=own, by_band=(math.ceil(recipe.process_min), *higher)),)


def printed_for(times: Sequence[PrintedTime], jar: Jar) -> PrintedTime | None:
    """The printed row that covers a jar: its own, or that of the next larger jar of the same size class; never a smaller one's."""
    rows = [row for row in times if facts.jar(row.jar).size_class == jar.size_class and not filling.is_larger(jar, facts.jar(row.jar))]
    return min(rows, key=lambda row: facts.jar(row.jar).fill_ml.typical, default=None)


def untimed(times: Sequence[PrintedTime], jar: Jar, altitude_ft: float | None) -> tuple[Finding, ...]:
    """Why a tested recipe has no time in this jar at this height; nothing where it has one."""
    row = printed_for(times, jar)
    try:
        band = band_index(altitude_ft)
    except NotPossible:
        return ()  # too high for any recipe: that is said of the altitude
    if row is not None and row.by_band[band] is not None:
        return ()
    larger = bool(times) and all(filling.is_larger(jar, facts.jar(printed.jar)) for printed in times)
    plurals = [facts.jar(printed.jar).plural for printed in times]
    feet = None if row is None else facts.table("process")["band"][band]["feet"]
    return (storage.untimed(jar, plurals, larger=larger, feet=feet),)


def altitude_refused(settings: Settings) -> str | None:
    """Why no minutes are published for the height of this kitchen; None where there are, or no height is given."""
    if settings.altitude_ft is None:
        return None
    try:
        band_index(settings.altitude_ft)
    except NotPossible as error:
        return str(error)
    return None


def process_of(batch: Batch, sugars_percent: float) -> Process | None:
    """The process; None where the jar is not for the shelf, a tested recipe prints no time for it, or the altitude has none."""
    settings = batch.settings
    jar = facts.jar(settings.jar)
    if storage.jar_bar(jar) is not None or altitude_refused(settings) is not None:
        return None
    row = printed_for(batch.printed_times, jar)
    printed = row.by_band if row is not None else ()
    if batch.standing == "tested":
        return printed_process(printed, jar.name, settings.altitude_ft) if printed else None
    own_stands = storage.own_time_stands(sugars_percent)
    return process_for(jar.size_class, jar.name, settings.altitude_ft, settings.own_process_min, own_stands, printed)


def bars_of(batch: Batch) -> tuple[Finding, ...]:
    """All that keeps a batch off the shelf before anything is dosed."""
    fruits = [part.fruit for part in batch.fruits]
    return (*batch.untimed, *storage.barred(fruits, batch.unfit_extras, batch.standing), *_unproven(batch))


def late_bars(pot: Pot) -> tuple[Finding, ...]:
    """What keeps a batch off the shelf once its amounts are known."""
    jar, settings = facts.jar(pot.batch.settings.jar), pot.batch.settings
    # Her own book may say that less reaches the jars, and not that more does.
    volume_ml = into_jars.volume_ml(pot) * min(1.0, pot.batch.learned.jars_filled)
    full, _ = filling.full_jars(volume_ml, filling.fill_ml(jar, settings.headspace_mm))
    return (*storage.unfilled(full, jar.name), *storage.too_thick(pot.solids_percent))


def unshown_of(batch: Batch) -> str | None:
    """Why tables cannot defend the high side of this batch, or None; fruits whose pH was read are out of the question."""
    unread = [part.fruit for part in batch.fruits if part.ph_read is None]
    return storage.unshown(unread, batch_acidity.uncertain_fruits(batch))


def _unproven(batch: Batch) -> tuple[Finding, ...]:
    """Uncooked, thinned or oddly measured batches; a tested recipe answers for itself."""
    if batch.standing == "tested":
        return ()
    written = tuple(part.grams or 0.0 for part in batch.sweeteners)
    water_g = batch.water_g + (batch.calcium_water_ml or 0.0)  # as far as it is written: what is dosed is a few spoons
    brought = sum(grams * part.sweetener.water_percent.typical / 100.0 for part, grams in zip(batch.sweeteners, written, strict=True))
    return storage.unproven(
        hot_packed=batch.settings.boil_min > 0.0 or batch.settings.simmer_min > 0.0,
        fruit_g=batch_acidity.fruit_g(batch),
        added_water_g=water_g + brought,
        odd_readings=_odd_readings(Sourables(batch=batch, sweetener_g=written, added_water_g=water_g, lemon_g=lemon_in_lines_g(batch))),
    )


def _odd_readings(amounts: Sourables) -> tuple[str, ...]:
    """What was read of a batch that cannot be so; nothing where nothing was read."""
    batch = amounts.batch
    if batch.settings.batch_ph is None and all(part.reading is None for part in batch.fruits):
        return ()
    return sourness.odd_readings(amounts)
