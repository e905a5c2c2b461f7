"""What the rule of storage.py is asked about a batch: its bars, its time, and what was measured oddly.

Gathers and decides nothing: every finding comes from storage, every minute from process.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from jamcalc import facts
from jamcalc.errors import NotPossible
from jamcalc.formula import batch_acidity, sourness, storage
from jamcalc.formula.batch_acidity import Sourables
from jamcalc.formula.mixture import LEMON, Mixture
from jamcalc.jars import filling
from jamcalc.jars.process import band_index, printed_process, process_for
from jamcalc.nouns.model import Batch, Finding, Jar, PrintedTime, Recipe
from jamcalc.nouns.timing import Process


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


def process_of(batch: Batch, sugars_percent: float) -> tuple[Process | None, str | None]:
    """The process, or why the altitude has none; neither for a jar that is not for the shelf."""
    settings = batch.settings
    jar = facts.jar(settings.jar)
    if storage.jar_bar(jar) is not None:
        return None, None
    row = printed_for(batch.printed_times, jar)
    printed = row.by_band if row is not None else ()
    try:
        if batch.standing == "tested":
            band_index(settings.altitude_ft)
            return (printed_process(printed, jar.name, settings.altitude_ft) if printed else None), None
        own_stands = storage.own_time_stands(sugars_percent)
        return process_for(jar.size_class, jar.name, settings.altitude_ft, settings.own_process_min, own_stands, printed), None
    except NotPossible as error:
        return None, str(error)


def bars_of(batch: Batch) -> tuple[Finding, ...]:
    """All that keeps a batch off the shelf before anything is dosed."""
    fruits = [part.fruit for part in batch.fruits]
    return (*batch.untimed, *storage.barred(fruits, batch.unfit_extras, batch.standing), *_unproven(batch))


def late_bars(batch: Batch, mixture: Mixture, finished_g: float) -> tuple[Finding, ...]:
    """What keeps a batch off the shelf once its amounts are known: what is in the pot, boiled down to `finished_g`."""
    jar, soluble_g = facts.jar(batch.settings.jar), mixture.soluble_g.typical
    water_g = max(0.0, finished_g - soluble_g - mixture.insoluble_g)
    volume_ml = filling.after_losses_ml(filling.hot_volume_ml(water_g, soluble_g, mixture.insoluble_g))
    volume_ml *= min(1.0, batch.learned.jars_filled)  # her own book may say that less reaches the jars, and not that more does
    full, _ = filling.full_jars(volume_ml, filling.fill_ml(jar, batch.settings.headspace_mm))
    return (*storage.unfilled(full, jar.name), *storage.too_thick(100.0 * soluble_g / finished_g))


def unshown_of(batch: Batch) -> str | None:
    """Why tables cannot defend the high side of this batch, or None; fruits whose pH was read are out of the question."""
    unread = [part.fruit for part in batch.fruits if part.reading is None or part.reading.ph is None]
    return storage.unshown(unread, batch_acidity.uncertain_fruits(batch))


def _unproven(batch: Batch) -> tuple[Finding, ...]:
    """Uncooked, thinned or oddly measured batches; a tested recipe answers for itself."""
    if batch.standing == "tested":
        return ()
    settings = batch.settings
    written = tuple(part.grams or 0.0 for part in batch.sweeteners)
    lemon_g = math.fsum(part.grams for part in batch.acids if part.acidulant.key == LEMON)
    water_g = batch.water_g + (batch.calcium_water_ml or 0.0)  # as far as it is written: what is dosed is a few spoons
    amounts = Sourables(batch=batch, sweetener_g=written, added_water_g=water_g, lemon_g=lemon_g)
    brought = sum(grams * part.sweetener.water_percent.typical / 100.0 for part, grams in zip(batch.sweeteners, written, strict=True))
    return storage.unproven(
        hot_packed=settings.boil_min > 0.0 or settings.simmer_min > 0.0,
        fruit_g=batch_acidity.fruit_g(batch),
        added_water_g=water_g + brought,
        odd_readings=sourness.odd_readings(amounts),
    )
