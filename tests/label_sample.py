"""Hand-made answers for the tests of labels: any fruits and sweeteners of the tables, amounts as given, nothing solved.

The balance is the plainest there is: 80 g of water boil off. Called by tests only.
"""

from __future__ import annotations

from collections.abc import Mapping

from jamcalc import facts
from jamcalc.answers import order_of_work
from jamcalc.nouns import asked, outcome, said, timing, written
from jamcalc.nouns.known import Estimate, exactly
from jamcalc.nouns.outcome import Ingredient

BOILED_OFF_G = 80.0
NAMES = {
    "calcium-set": "calcium-set pectin",
    "standard": "standard pectin",
    "no-sugar": "no-sugar pectin",
    "liquid": "liquid pectin",
    "none": "",
}


def batch_result(
    fruits: Mapping[str, float],
    sweeteners: Mapping[str, float] | None = None,
    *,
    lemon_g: float = 60.0,
    pectin_g: float = 12.0,
    pectin_kind: str = "calcium-set",
    calcium_mg: float = 60.0,
    boiled_off_g: float = BOILED_OFF_G,
    minutes: int | None = 10,
    altitude_ft: float | None = 900.0,
    title: str = "Berry spread",
    standing: written.Standing = "calculated",
    source_text: str = "",
    brix: float | None = None,
    extras: tuple[str, ...] = (),
    units: str = "us",
    steps: tuple[str, ...] = ("Wash 6 half-pints and keep them hot.", "Boil 2 min, fill, wipe, lid and process."),
) -> outcome.BatchResult:
    """An answer with these grams; `minutes` None is a batch that is kept cold."""
    parts = tuple(
        asked.FruitPart(
            fruit=facts.fruit(key),
            as_bought_g=grams * 1.1,
            grams=grams,
            form="prepared",
            reading=None if brix is None else said.Reading(item=key, soluble_solids_percent=brix),
        )
        for key, grams in fruits.items()
    )
    sweets = tuple(asked.SweetenerPart(sweetener=facts.sweetener(key), grams=grams) for key, grams in (sweeteners or {}).items())
    lines = [
        Ingredient(item=part.fruit.key, name=part.fruit.plural, role="fruit", grams=part.grams, measure="4 cups mashed") for part in parts
    ]
    lines += [
        Ingredient(item=part.sweetener.key, name=part.sweetener.name, role="sweetener", grams=part.grams or 0.0, measure="1/2 cup")
        for part in sweets
    ]
    if lemon_g:
        lines.append(
            Ingredient(item="bottled_lemon_juice", name="bottled lemon juice", role="acid", grams=lemon_g, measure="1/4 cup", ml=lemon_g)
        )
    if pectin_g:
        lines.append(Ingredient(item=NAMES[pectin_kind], name=NAMES[pectin_kind], role="pectin", grams=pectin_g, measure="4 tsp"))
    if calcium_mg:
        lines.append(Ingredient(item="calcium water", name="calcium water", role="calcium water", grams=20.0, measure="4 tsp", ml=20.0))
    lines += [Ingredient(item="extra", name=extra, role="other", grams=0.0, measure="as written") for extra in extras]
    dissolved_g = pectin_g + lemon_g * facts.acidulant("bottled_lemon_juice").soluble_solids_percent.typical / 100
    for part in parts:
        solids = part.fruit.soluble_solids_percent.typical if brix is None else brix * (1 - part.fruit.insoluble_percent.typical / 100)
        dissolved_g += part.grams * solids / 100
    dissolved_g += sum((part.grams or 0.0) * part.sweetener.soluble_solids_percent.typical / 100 for part in sweets)
    finished_g = sum(each.grams for each in lines) - boiled_off_g
    solids_percent = dissolved_g / finished_g * 100
    in_jars_g = finished_g * 0.97
    process = (
        None
        if minutes is None
        else timing.Process(
            minutes=minutes,
            jar="half-pint",
            altitude_ft=altitude_ft,
            boiling_point_degc=99.0,
            by_band=(
                timing.BandTime(feet="0-1,000 ft", metres="0-304 m", minutes=10),
                timing.BandTime(feet="1,001-3,000 ft", metres="305-914 m", minutes=15),
            ),
        )
    )
    return outcome.BatchResult(
        command="batch",
        title=title,
        standing=standing,
        storage="shelf" if process else "cold",
        ingredients=tuple(lines),
        lemon_juice=outcome.LemonDose(grams=lemon_g, ml=lemon_g, measure="1/4 cup", needed_g=lemon_g),
        pectin=outcome.PectinDose(grams=pectin_g, teaspoons=4.0, measure="4 tsp", needed_g=pectin_g),
        calcium_water=outcome.CalciumWaterDose(ml=20.0, teaspoons=4.0, calcium_mg=calcium_mg, measure="4 tsp"),
        acidity=outcome.Acidity(
            ph=Estimate(low=3.1, typical=3.4, high=3.9),
            ph_before_lemon=Estimate(low=3.2, typical=3.6, high=4.2),
            titratable_percent=exactly(1.0),
            meter_needed=False,
        ),
        gel_set=outcome.GelSet(
            pectin_percent=0.5, calcium_mg_per_g_pectin=20.0, calcium_from_fruit_mg=90.0, strength="medium", too_much_calcium=False
        ),
        solids_percent=Estimate(low=solids_percent * 0.9, typical=solids_percent, high=solids_percent * 1.1),
        water_activity=0.97,
        yield_=outcome.Yield(
            mass_g=exactly(in_jars_g),
            hot_volume_ml=exactly(in_jars_g / 1.05),
            jar="half-pint",
            jars=outcome.JarCount(low=4.5, expected=5.0, high=5.5, heat=6),
            full_jars=5,
            over_ml=20.0,
            headspace_mm=6.35,
        ),
        process=process,
        keeping="Sealed: best within a year." if process else "Refrigerated about 3 weeks.",
        few_days=False,
        findings=(),
        refused=None,
        cautions=(said.Finding(id="clean", kind="know", text="Use clean jars and new lids."),),
        sources=(),
        tasks=order_of_work.of_a_recipe(steps, ()),
        working=(),
        solution=outcome.Solution(converged=True, residual=0.0, iterations=3),
        batch=asked.Batch(
            fruits=parts,
            sweeteners=sweets,
            pectin_kind=pectin_kind,  # type: ignore[arg-type]
            extras=extras,
            title=title,
            standing=standing,
            source_text=source_text,
            settings=asked.Settings(altitude_ft=altitude_ft, units=units),  # type: ignore[arg-type]
        ),
    )
