"""A hand-made answer for the tests of screens and records: an invented batch of plums and blackberries.

The figures hang together as a cook would expect, but nothing computed them. Called by tests only.
"""

from __future__ import annotations

from dataclasses import replace

from jamcalc.nouns import asked, known, outcome, timing
from jamcalc.nouns.known import Estimate, Figure
from jamcalc.nouns.outcome import Ingredient
from jamcalc.nouns.said import Finding


def figure(low: float, typical: float, high: float, unit: str, *sources: str, grade: known.Grade = "judgement", note: str = "") -> Figure:
    return Figure(low=low, typical=typical, high=high, unit=unit, sources=sources, grade=grade, note=note)


PLUM = known.Fruit(
    key="plum",
    name="plum",
    plural="plums",
    kind="fruit",
    fit=known.Fit(fitness="fit", sources=("INVENTED-A",)),
    texture="fleshy",
    titrated_as="malic",
    acid_share={"malic": 0.95, "citric": 0.05},
    ph=figure(2.9, 3.45, 4.3, "pH", "INVENTED-A", "INVENTED-B", grade="seen", note="A wide range: early, sour kinds to dessert plums."),
    titratable_percent=figure(0.7, 1.2, 1.9, "% as malic", "INVENTED-A", grade="memory"),
    potassium_mg=figure(140, 157, 230, "mg/100 g", "INVENTED-B", grade="seen"),
    calcium_mg=figure(4, 6, 9, "mg/100 g", "INVENTED-B", grade="seen"),
    calcium_available=figure(0.5, 0.7, 0.9, "fraction"),
    water_percent=figure(84, 87.2, 89, "%", "INVENTED-B", grade="seen"),
    soluble_solids_percent=figure(9, 11.5, 14, "%", "INVENTED-B"),
    insoluble_percent=figure(1, 1.3, 2, "%", grade="computed"),
    sugars_percent=figure(8, 9.9, 12, "%", "INVENTED-B", grade="seen"),
    native_pectin_percent=figure(0.5, 0.9, 1.2, "%", "INVENTED-A", grade="memory"),
    refuse_percent=figure(4, 6, 9, "%", "INVENTED-B", grade="seen"),
    mashed_g_per_cup=figure(220, 235, 245, "g/cup", grade="common practice"),
    chopped_g_per_cup=figure(150, 165, 180, "g/cup", "INVENTED-B", grade="seen"),
    nutrients={"energy_kcal": figure(42, 46, 50, "kcal/100 g", "INVENTED-B", grade="seen")},
    us_jam_group=2,
    note="Slip-skin and free-stone kinds alike.",
)
HONEY = known.Sweetener(
    key="honey",
    name="honey",
    label_name="honey",
    sweetness=figure(1.0, 1.1, 1.3, "of sucrose"),
    water_percent=figure(15, 17.1, 18.6, "%", "INVENTED-B", grade="seen"),
    soluble_solids_percent=figure(81.4, 82.9, 85, "%", grade="computed"),
    sugars_percent=figure(80, 82, 84, "%", "INVENTED-B", grade="seen"),
    carbohydrate_percent=figure(81, 82.4, 84, "%", "INVENTED-B", grade="seen"),
    sugar_alcohol_percent=figure(0, 0, 0, "%", grade="common practice"),
    calcium_mg=figure(5, 6, 8, "mg/100 g", "INVENTED-B", grade="seen"),
    energy_kcal_per_g=figure(3.0, 3.04, 3.1, "kcal/g", "INVENTED-B", grade="seen"),
    g_per_cup=figure(335, 339, 345, "g/cup", "INVENTED-B", grade="seen"),
    g_per_tsp=None,
    solutes={"fructose": 0.41, "glucose": 0.36},
    added_sugar=True,
    stands_process=True,
    cold_limit_g_per_100g_water=None,
    sweetness_ceiling_percent=None,
    cautions=("honey-infant",),
)
LEMON = known.Acidulant(
    key="bottled lemon juice",
    name="bottled lemon juice",
    titrated_as="citric",
    acid_share={"citric": 1.0},
    strength_percent=figure(4.5, 5.0, 5.6, "% as citric", "INVENTED-A", grade="seen"),
    ph=figure(2.2, 2.4, 2.6, "pH", "INVENTED-A", grade="memory"),
    water_percent=figure(90, 91, 92, "%", "INVENTED-B"),
    soluble_solids_percent=figure(7, 8, 9, "%", "INVENTED-B"),
    sugars_percent=figure(1.5, 2.0, 2.5, "%", "INVENTED-B"),
    calcium_mg=figure(6, 8, 11, "mg/100 g", "INVENTED-B"),
    g_per_ml=figure(1.02, 1.03, 1.04, "g/mL", grade="computed"),
)
HALF_PINT = known.Jar(
    key="half-pint",
    name="half-pint",
    plural="half-pints",
    size_class="half-pint",
    fill_ml=figure(232, 237, 242, "mL", "INVENTED-A", grade="memory"),
    bore_mm=figure(60, 60.3, 61, "mm", "INVENTED-A", grade="seen"),
)
SOURCES = (
    known.Source(key="INVENTED-A", text="An invented bulletin on stone fruit, table 2", status="invented"),
    known.Source(key="INVENTED-B", text="An invented food table, release 1", status="invented"),
)
PROCESS = timing.Process(
    minutes=20,
    jar="half-pint",
    altitude_ft=4300.0,
    boiling_point_degc=95.57,
    by_band=(
        timing.BandTime(feet="0-1,000 ft", metres="0-304 m", minutes=10),
        timing.BandTime(feet="1,001-3,000 ft", metres="305-914 m", minutes=15),
        timing.BandTime(feet="3,001-6,000 ft", metres="915-1,828 m", minutes=20),
        timing.BandTime(feet="6,001-8,000 ft", metres="1,829-2,438 m", minutes=25),
        timing.BandTime(feet="8,001-10,000 ft", metres="2,439-3,048 m", minutes=30),
    ),
    sources=("INVENTED-A",),
)
RESULT = outcome.BatchResult(
    command="batch",
    title="Plum and blackberry spread with honey",
    standing="calculated",
    storage="shelf",
    ingredients=(
        Ingredient(item="plum", name="plums", role="fruit", grams=1279.4, measure="5 1/2 cups mashed", as_bought_g=1360.8),
        Ingredient(item="blackberry", name="blackberries", role="fruit", grams=680.4, measure="2 7/8 cups mashed", as_bought_g=680.4),
        Ingredient(item="honey", name="honey", role="sweetener", grams=339.0, measure="1 cup", ml=236.6),
        Ingredient(item="bottled lemon juice", name="lemon juice, bottled", role="acid", grams=122.0, measure="1/2 cup", ml=118.3),
        Ingredient(item="calcium-set pectin", name="calcium-set pectin", role="pectin", grams=12.0, measure="4 tsp"),
        Ingredient(item="calcium water", name="calcium water", role="calcium water", grams=19.7, measure="4 tsp", ml=19.7),
    ),
    lemon_juice=outcome.LemonDose(grams=122.0, ml=118.3, measure="1/2 cup", needed_g=114.31),
    pectin=outcome.PectinDose(grams=12.0, teaspoons=4.0, measure="4 tsp", needed_g=11.62),
    calcium_water=outcome.CalciumWaterDose(ml=19.7, teaspoons=4.0, calcium_mg=58.4, measure="4 tsp"),
    acidity=outcome.Acidity(
        ph=Estimate(low=3.12, typical=3.46, high=3.98),
        ph_before_lemon=Estimate(low=3.14, typical=3.57, high=4.36),
        titratable_percent=Estimate(low=0.88, typical=1.21, high=1.6),
        meter_needed=False,
    ),
    gel_set=outcome.GelSet(
        pectin_percent=0.5012, calcium_mg_per_g_pectin=21.37, calcium_from_fruit_mg=198.0, strength="medium", too_much_calcium=False
    ),
    solids_percent=Estimate(low=19.4, typical=22.03, high=25.2),
    water_activity=0.97312,
    yield_=outcome.Yield(
        mass_g=Estimate(low=2150.0, typical=2290.0, high=2380.0),
        hot_volume_ml=Estimate(low=1910.0, typical=2155.0, high=2370.0),
        jar="half-pint",
        jars=outcome.JarCount(low=8.06, expected=9.09, high=10.0, heat=10),
        full_jars=9,
        over_ml=22.0,
        headspace_mm=6.35,
    ),
    process=PROCESS,
    keeping="Sealed jars keep best within a year, cool, dark and dry. Opened: about 3 weeks in the refrigerator.",
    few_days=False,
    findings=(
        Finding(
            id="cautious-name",
            kind="know",
            text="Plums were read as plums of any kind, at the mild end of their range.",
            sources=("INVENTED-A",),
        ),
    ),
    refused=None,
    cautions=(
        Finding(id="honey-infant", kind="caution", text="Honey, even cooked, is not for a child under 12 months."),
        Finding(id="kettle", kind="caution", text="Use a stainless or enamelled pot: acid fruit attacks bare aluminium, copper and iron."),
        Finding(id="steam-canner", kind="caution", text="An atmospheric steam canner takes the same minutes, 45 at the most."),
    ),
    sources=SOURCES,
    tasks=(
        outcome.Task(text="Wash 10 half-pint jars and keep them hot; wash the lids."),
        outcome.Task(text="Stir the pectin into half of the honey, so that it cannot clump."),
        outcome.Task(text="Bring the mashed fruit, lemon juice and calcium water to a full boil."),
        outcome.Task(text="Add the sweetened pectin; stir hard for 1 to 2 minutes until it is dissolved."),
        outcome.Task(text="Back to a full boil for 2 minutes, then off the heat. Skim."),
        outcome.Task(text="Fill to 1/4 in from the rim, wipe, lid, and process."),
    ),
    working=(
        outcome.WorkStep(
            what="lemon juice",
            how="brings the high side of the pH to 4.00: 114 g, raised to a measure that a kitchen owns",
            value="122 g",
            sources=("INVENTED-A",),
        ),
        outcome.WorkStep(what="pectin", how="1.05 - 0.0075 x 22.0 % solids, less what the fruit brings", value="0.50 % of the batch"),
    ),
    solution=outcome.Solution(converged=True, residual=3.1e-9, iterations=7),
    batch=asked.Batch(
        fruits=(asked.FruitPart(fruit=PLUM, as_bought_g=1360.8, grams=1279.4, form="as bought"),),
        title="Plum and blackberry spread with honey",
        settings=asked.Settings(altitude_ft=4300.0),
    ),
)


def no_altitude() -> outcome.BatchResult:
    """The same batch when no altitude was given: the lowest band's minutes, and the whole row to show."""
    return replace(RESULT, process=replace(PROCESS, minutes=10, altitude_ft=None, boiling_point_degc=99.97))


def cold() -> outcome.BatchResult:
    """The same batch out of the shelf's reach: a meter decides."""
    return replace(
        RESULT,
        storage="cold",
        process=None,
        acidity=replace(RESULT.acidity, ph=Estimate(low=3.2, typical=3.7, high=4.31), meter_needed=True),
        findings=(
            Finding(
                id="measure",
                kind="meter",
                text="The high side of the pH is 4.31: not unsafe, not shown. Measure the cooled batch with a meter.",
            ),
            *RESULT.findings,
        ),
        keeping="Refrigerated about 3 weeks; frozen a year, with 1/2 in of headspace.",
    )


def refused() -> outcome.BatchResult:
    """A recipe checked and found impossible as written."""
    why = "The high side of the pH is 4.72: too little acid to can, and no time in the canner mends that."
    return replace(
        cold(),
        command="check",
        acidity=replace(RESULT.acidity, ph=Estimate(low=3.9, typical=4.3, high=4.72), meter_needed=True),
        findings=(
            Finding(id="too-little-acid", kind="too mild", text=why),
            Finding(id="lemon-short", kind="mends", text="Lemon juice is under what the fruit asks for."),
        ),
        refused=why,
    )
