"""How sour a batch is: the cautious corners, the margins, the drawn range that decides nothing, and the dose."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from typing import Any

import pytest

from jamcalc import facts
from jamcalc.chemistry.acidity import fruit_pool, pool_ph
from jamcalc.chemistry.many_pools import dose_for_ph, highest_ph
from jamcalc.formula import batch_acidity, sourness
from jamcalc.formula.batch_acidity import Sourables
from jamcalc.nouns.asked import AcidPart, Batch, FruitPart, Settings, SweetenerPart
from jamcalc.nouns.said import Reading

FIT = [key for key in facts.keys("fruit") if facts.fruit(key).fit.fitness == "fit"]


def batch(grams: dict[str, float], readings: tuple[Reading, ...] = (), **more: Any) -> Batch:
    by_item = {reading.item: reading for reading in readings}
    fruits = tuple(
        FruitPart(fruit=facts.fruit(key), as_bought_g=weight, grams=weight, form="prepared", reading=by_item.get(key))
        for key, weight in grams.items()
    )
    return Batch(fruits=fruits, **{"settings": Settings(draws=0), **more})


def amounts(
    grams: dict[str, float], readings: tuple[Reading, ...] = (), *, lemon_g: float = 0.0, water_g: float = 0.0, **more: Any
) -> Sourables:
    return Sourables(batch=batch(grams, readings, **more), sweetener_g=(), added_water_g=water_g, lemon_g=lemon_g)


def reading(item: str = "plum", **more: float) -> tuple[Reading, ...]:
    return (Reading(item=item, **more),)  # type: ignore[arg-type]


# ---------------------------------------------------------------- corners


@pytest.mark.parametrize("key", ["plum", "blackberry", "strawberry", "guava"])
def test_one_fruit_alone_is_at_its_own_ends(key: str) -> None:
    fruit, alone = facts.fruit(key), amounts({key: 1000.0})
    assert pool_ph(alone.pool("typical")) == pytest.approx(fruit.ph.typical, abs=0.001)
    assert pool_ph(alone.pool("mild")) == pytest.approx(fruit.ph.low, abs=0.001)
    assert batch_acidity.high_side_ph(alone) == pytest.approx(fruit.ph.high + 0.1, abs=0.001)


def test_more_acidity_at_the_same_ph_is_the_stiffer_fruit() -> None:
    """The corner that a rule of thumb gets wrong: high pH with low acidity would be given too little juice."""
    sour, dull = (amounts({"plum": 1000.0}, reading(ph=4.2, titratable_percent=percent), lemon_g=45.0) for percent in (1.6, 0.7))
    assert batch_acidity.high_side_ph(sour) > batch_acidity.high_side_ph(dull) + 0.05


def each_way(grams: dict[str, float], **more: Any) -> list[float]:
    """The high side with every fruit's acidity read as the low or as the high end of its range, in every combination."""
    found = []
    for ends in itertools.product(("low", "high"), repeat=len(grams)):
        readings = tuple(
            Reading(item=key, titratable_percent=getattr(facts.fruit(key).titratable_percent, end))
            for key, end in zip(grams, ends, strict=True)
        )
        found.append(batch_acidity.high_side_ph(amounts(grams, readings, **more)))
    return found


@pytest.mark.parametrize(
    "grams",
    [
        {"fig": 600.0, "quince": 400.0},
        {"plum": 500.0, "blackberry": 500.0},
        {"pear": 500.0, "rhubarb": 200.0, "strawberry": 300.0},
        {"mulberry": 400.0, "plum": 200.0, "cranberry": 50.0, "apricot": 350.0},
    ],
    ids=len,
)
@pytest.mark.parametrize("lemon_g", [0.0, 40.0])
def test_the_high_side_is_the_highest_of_all_combinations(grams: dict[str, float], lemon_g: float) -> None:
    one_by_one = each_way(grams, lemon_g=lemon_g)
    assert batch_acidity.high_side_ph(amounts(grams, lemon_g=lemon_g)) == pytest.approx(max(one_by_one), abs=1e-4)
    assert max(one_by_one) > min(one_by_one) + 0.01 or grams.keys() == {"plum", "blackberry"}  # both of them at their mineral limit


def test_two_lines_of_one_fruit_are_one_fruit() -> None:
    one = amounts({"plum": 1000.0}, lemon_g=40.0)
    two = replace(one, batch=replace(one.batch, fruits=tuple(replace(one.batch.fruits[0], grams=500.0) for _ in range(2))))
    assert batch_acidity.high_side_ph(two) == pytest.approx(batch_acidity.high_side_ph(one), abs=1e-9)
    assert batch_acidity.uncertain_fruits(two.batch) == 1


def test_a_juice_concentrate_is_taken_at_both_ends_too() -> None:
    part = SweetenerPart(sweetener=facts.sweetener("apple_juice_concentrate"), grams=None)
    sweet = Sourables(batch=batch({"fig": 500.0, "plum": 500.0}, sweeteners=(part,)), sweetener_g=(300.0,), added_water_g=0.0)
    assert len(sweet.cautious_pool().strong_ion_eq) == 8


@pytest.mark.parametrize("key", ["apple_juice_concentrate", "white_grape_juice_concentrate"])
def test_a_juice_concentrate_holds_no_more_salt_than_its_minerals(key: str) -> None:
    """As for a fruit, 1.6 times the potassium (SR28): its high pH and its high acidity are not those of one bottle."""
    sweetener = facts.sweetener(key)
    assert sweetener.potassium_mg is not None
    assert sweetener.ph is not None
    assert sweetener.titratable_percent is not None
    limit_eq = 1.6 * sweetener.potassium_mg.typical * 10.0 / 39098.0
    free = fruit_pool(
        ph=sweetener.ph.high,
        titratable_percent=sweetener.titratable_percent.high,
        titrated_as=str(sweetener.titrated_as),
        acid_share=sweetener.acid_share,
        water_kg_per_kg=sweetener.water_percent.typical / 100.0,
    )
    assert free.strong_ion_eq > 1.1 * limit_eq  # else there were nothing to hold
    part = SweetenerPart(sweetener=sweetener, grams=1000.0)
    alone = Sourables(batch=batch({"cranberry": 1e-6}, sweeteners=(part,)), sweetener_g=(1000.0,), added_water_g=0.0)
    assert alone.cautious_pool().strong_ion_eq.max() == pytest.approx(limit_eq, rel=1e-4)
    assert alone.pool("typical").strong_ion_eq <= limit_eq * (1.0 + 1e-6)


def test_more_fruits_than_can_be_combined_are_still_answered_for() -> None:
    keys = [key for key in FIT if facts.fruit(key).kind == "fruit"][:14]
    grams = dict.fromkeys(keys, 100.0)
    pool = amounts(grams).cautious_pool()
    assert len(pool.strong_ion_eq) == 2**batch_acidity.MOST_COMBINED
    assert batch_acidity.uncertain_fruits(batch(grams)) == len(keys)


def test_more_choices_than_can_be_combined_are_no_milder_for_it() -> None:
    """Eight fruits that were counted are sixteen choices, four too many: none of 300 ways to take them lies above what is answered."""
    keys, light, heavy = ("pear", "apricot", "plum", "strawberry", "rhubarb", "cranberry", "fig", "quince"), 0.6, 1.5
    plain = batch(dict.fromkeys(keys, 150.0))
    counted = replace(plain, fruits=tuple(replace(part, light_times=light, heavy_times=heavy) for part in plain.fruits))
    bound = batch_acidity.high_side_ph(Sourables(batch=counted, sweetener_g=(), added_water_g=0.0))
    draw, found = random.Random(12), []
    for _ in range(300):
        readings = tuple(
            Reading(item=key, titratable_percent=getattr(facts.fruit(key).titratable_percent, draw.choice(("low", "high")))) for key in keys
        )
        found.append(batch_acidity.high_side_ph(amounts({key: 150.0 * draw.choice((light, heavy)) for key in keys}, readings)))
    assert max(found) <= bound + 1e-3
    assert max(found) > bound - 0.1  # and it is not far off


@pytest.mark.parametrize("lemon_g", [0.0, 60.0])
@pytest.mark.parametrize(
    "grams",
    [
        {"canned_apricot_in_water": 60.0, "orange": 20.0, "canned_pear_in_juice": 150.0, "kumquat": 60.0, "sweet_cherry": 20.0,
         "canned_pineapple_in_juice": 20.0},
        {"concord_grape": 20.0, "blueberry": 60.0, "raspberry": 60.0, "passion_fruit": 60.0, "black_currant": 60.0, "lemon": 150.0},
        {"pear": 150.0, "apricot": 150.0, "plum": 150.0, "strawberry": 150.0, "rhubarb": 150.0, "cranberry": 150.0},
    ],
    ids=lambda grams: next(iter(grams)),
)  # fmt: skip
def test_six_fruits_that_were_counted_are_answered_for_in_every_combination(grams: dict[str, float], lemon_g: float) -> None:
    """As many as the shelf takes unread. One choice at a time is turned the worse way until none is: no such way lies above the answer."""
    light, heavy = 0.5, 1.6
    plain = batch(grams)
    counted = replace(plain, fruits=tuple(replace(part, light_times=light, heavy_times=heavy) for part in plain.fruits))
    answered = batch_acidity.high_side_ph(Sourables(batch=counted, sweetener_g=(), added_water_g=0.0, lemon_g=lemon_g))

    def one_way(turned: list[bool]) -> float:
        acidities = ["high" if each else "low" for each in turned[::2]]
        weights = {key: grams[key] * (heavy if each else light) for key, each in zip(grams, turned[1::2], strict=True)}
        read = [
            Reading(item=key, titratable_percent=getattr(facts.fruit(key).titratable_percent, end))
            for key, end in zip(grams, acidities, strict=True)
        ]
        return batch_acidity.high_side_ph(amounts(weights, tuple(read), lemon_g=lemon_g))

    turned = [False] * (2 * len(grams))
    worst, before = one_way(turned), 0.0
    while worst > before:
        before = worst
        for place in range(len(turned)):
            other = [each != (place == number) for number, each in enumerate(turned)]
            if (found := one_way(other)) > worst:
                worst, turned = found, other
    assert worst <= answered + 1e-6
    assert worst > answered - 0.02  # and it is no wide guess


def test_a_fruit_that_was_measured_but_counted_is_one_of_the_uncertain() -> None:
    """Its weight at both ends is a choice like any other: beside six that were counted it is one more than is combined in every way."""
    plain = batch({"plum": 400.0, "peach": 300.0, "apple": 300.0}, (Reading(item="plum", ph=3.4, titratable_percent=1.2),))
    weighed = plain.kinds
    assert batch_acidity.uncertain_fruits(plain) == len(weighed) - 1
    counted = replace(plain, fruits=tuple(replace(part, light_times=0.8, heavy_times=1.2) for part in plain.fruits))
    assert batch_acidity.uncertain_fruits(counted) == len(weighed)


@pytest.mark.parametrize(("key", "end"), [("gooseberry", "low"), ("quince", "low"), ("canned_pear_in_juice", "high")])
def test_the_fruit_that_is_one_too_many_is_taken_the_cautious_way(key: str, end: str) -> None:
    """Little of it beside twelve that vary more: a sour fruit counts with its low acidity, a mild one with its high."""
    keys = ("guava", "rhubarb", "kiwi", "peach", "nectarine", "pear", "saskatoon", "apple", "canned_peach_in_juice",
            "canned_peach_in_water", "aronia", "crabapple")  # fmt: skip
    grams = {**dict.fromkeys(keys, 100.0), key: 8.0}

    def held_at(which: str) -> float:
        reading = Reading(item=key, titratable_percent=getattr(facts.fruit(key).titratable_percent, which))
        return batch_acidity.high_side_ph(amounts(grams, (reading,)))

    cautious, other = held_at(end), held_at("high" if end == "low" else "low")
    assert cautious > other + 1e-4  # else either would do
    assert batch_acidity.high_side_ph(amounts(grams)) == pytest.approx(cautious, abs=1e-6)


@pytest.mark.parametrize("light", [True, False])
def test_what_was_counted_is_taken_with_its_light_and_with_its_heavy_weight(light: bool) -> None:
    """Rhubarb helps pears the less there is of it; of pears, counted, the more there are the worse."""
    plain = batch({"pear": 600.0, "rhubarb": 400.0})
    counted = tuple(
        replace(part, light_times=0.5, heavy_times=1.6) if (part.fruit.key == "rhubarb") == light else part for part in plain.fruits
    )
    as_weighed = {"pear": 600.0, "rhubarb": 400.0 * 0.5} if light else {"pear": 600.0 * 1.6, "rhubarb": 400.0}
    found = batch_acidity.high_side_ph(Sourables(batch=replace(plain, fruits=counted), sweetener_g=(), added_water_g=0.0))
    assert found == pytest.approx(batch_acidity.high_side_ph(amounts(as_weighed)), abs=1e-4)
    assert found > batch_acidity.high_side_ph(amounts({"pear": 600.0, "rhubarb": 400.0})) + 0.02


def test_the_cautious_corners_count_on_weak_lemon_juice_only() -> None:
    legal, usual = (sum(batch_acidity.lemon_pool(each).acid_mol.values()) for each in ("weak", "typical"))  # type: ignore[arg-type]
    assert legal / usual == pytest.approx(4.5 / 5.0, rel=0.02)


def test_fresh_lemon_juice_is_weaker_than_bottled_in_the_cautious_corners() -> None:
    def high(key: str) -> float:
        return batch_acidity.high_side_ph(amounts({"plum": 1000.0}, acids=(AcidPart(acidulant=facts.acidulant(key), grams=60.0),)))

    assert high("citric_acid") < high("bottled_lemon_juice")  # sixty grams of the powder are another matter
    plain = batch_acidity.high_side_ph(amounts({"plum": 1000.0}))
    bottled = batch_acidity.high_side_ph(amounts({"plum": 1000.0}, lemon_g=60.0))
    fresh = high("fresh_lemon_juice")
    assert bottled < fresh < plain


def test_what_is_added_for_acid_is_left_out_before_lemon() -> None:
    acids = (AcidPart(acidulant=facts.acidulant("vinegar"), grams=60.0),)
    sour = amounts({"plum": 1000.0}, lemon_g=60.0, acids=acids)
    assert batch_acidity.high_side_ph(sour, acid=False) == pytest.approx(batch_acidity.high_side_ph(amounts({"plum": 1000.0})), abs=1e-9)
    assert batch_acidity.high_side_ph(sour) < batch_acidity.high_side_ph(amounts({"plum": 1000.0}, lemon_g=60.0)) - 0.02


def test_a_juice_concentrate_brings_its_own_acid() -> None:
    part = SweetenerPart(sweetener=facts.sweetener("apple_juice_concentrate"), grams=None)
    sweet = Sourables(batch=batch({"fig": 1000.0}, sweeteners=(part,)), sweetener_g=(300.0,), added_water_g=0.0)
    assert sum(sweet.rest_pool("typical", acid=True).acid_mol.values()) > 0.0
    assert batch_acidity.high_side_ph(sweet) < batch_acidity.high_side_ph(amounts({"fig": 1000.0})) - 0.05


def test_water_moves_ph_little_and_upwards() -> None:
    thin, thick = (batch_acidity.high_side_ph(amounts({"plum": 1000.0}, lemon_g=50.0, water_g=water)) for water in (500.0, 0.0))
    assert 0.0 < thin - thick < 0.12


def test_tap_water_is_taken_to_be_hard() -> None:
    """250 mg/L as calcium carbonate, 100.09 g to 2 eq: 5.0 meq in a kilogram; the cook's own water, not that of calcium water."""
    dry = amounts({"plum": 1000.0}).cautious_pool()
    tap = Sourables(batch=batch({"plum": 1000.0}, water_g=500.0), sweetener_g=(), added_water_g=520.0).cautious_pool()
    assert tap.strong_ion_eq - dry.strong_ion_eq == pytest.approx(0.0025, rel=0.002)
    assert tap.water_kg - dry.water_kg == pytest.approx(0.520)


# ---------------------------------------------------------------- margins and readings


def test_a_reading_takes_the_place_of_the_range_and_leaves_the_margin() -> None:
    """A meter is good for 0.1 and the model for 0.1 more: laboratory mixtures of measured juices err by 0.11."""
    found = sourness.acidity(amounts({"plum": 1000.0}, reading(ph=3.40)), mass_g=1000.0).ph
    assert (found.low, found.typical, found.high) == (3.30, 3.40, 3.60)


@pytest.mark.parametrize("readings", [(), reading(ph=3.4), (*reading(ph=3.4), *reading("blackberry", ph=3.5))])
def test_the_margin_is_there_however_many_fruits_are_read(readings: tuple[Reading, ...]) -> None:
    both = amounts({"plum": 500.0, "blackberry": 500.0}, readings)
    assert batch_acidity.high_side_ph(both) == pytest.approx(highest_ph(both.cautious_pool()) + 0.1, abs=1e-9)


def test_an_acidity_alone_leaves_the_range_of_ph() -> None:
    measured = amounts({"plum": 1000.0}, reading(titratable_percent=1.2))
    assert batch_acidity.high_side_ph(measured) == pytest.approx(facts.fruit("plum").ph.high + 0.1, abs=0.001)


@pytest.mark.parametrize(("key", "percent"), [("plum", 1.2), ("peach", 0.7), ("apricot", 1.3), ("pear", 0.35), ("blackberry", 1.5)])
def test_an_acidity_alone_is_dosed_as_the_table_would_be(key: str, percent: float) -> None:
    """Its pH was not read, so the mineral limit holds at the table's high pH; no dose would reach it else."""
    read = reading(key, titratable_percent=percent)
    alone, tabled = (batch_acidity.lemon_for_shelf_g(amounts({key: 1000.0}, readings)) for readings in (read, ()))
    assert alone is not None
    assert tabled is not None
    assert 0.0 < alone <= tabled * 1.001


def test_a_measured_acidity_is_never_capped_and_a_tabled_one_is() -> None:
    potassium_eq = facts.fruit("plum").potassium_mg.typical * 10.0 / batch_acidity.POTASSIUM_MG_PER_EQ
    measured = amounts({"plum": 1000.0}, reading(ph=4.2, titratable_percent=2.5)).cautious_pool()
    tabled = amounts({"plum": 1000.0}).cautious_pool()
    assert tabled.strong_ion_eq.max() <= batch_acidity.MINERAL_LIMIT * potassium_eq * (1.0 + 1e-6)
    assert measured.strong_ion_eq.min() > 2.0 * batch_acidity.MINERAL_LIMIT * potassium_eq


def test_an_acidity_in_another_acid_counts_as_that_acid() -> None:
    def acids(named: str | None) -> float:
        pool = amounts({"plum": 1000.0}, (Reading(item="plum", ph=3.4, titratable_percent=1.2, titrated_as=named),)).pool("typical")
        return float(sum(pool.acid_mol.values()))

    assert acids(None) == pytest.approx(acids("malic"))  # as plums are titrated in the tables
    # 1.2 g as tartaric is fewer equivalents than 1.2 g as malic: 67.04 / 75.04
    assert acids("tartaric") == pytest.approx(acids("malic") * 67.04 / 75.04, rel=0.01)


def test_a_reading_of_the_batch_takes_the_place_of_the_reckoned_ph_only() -> None:
    plain = amounts({"guava": 1000.0})
    measured = replace(plain, batch=replace(plain.batch, settings=Settings(draws=0, batch_ph=3.9)))
    one, other = (sourness.acidity(each, mass_g=1000.0) for each in (plain, measured))
    assert (other.ph.low, other.ph.typical, other.ph.high) == (3.8, 3.9, 4.0)
    assert other.ph_before_lemon == other.ph  # nothing was added for its acid
    assert other.titratable_percent == one.titratable_percent


@pytest.mark.parametrize("ph", [2.9, 3.4, 3.9, 4.3, 5.2])
@pytest.mark.parametrize("key", ["plum", "pear", "fig", "strawberry"])
def test_the_ph_before_the_lemon_juice_does_not_contradict_a_reading(key: str, ph: float) -> None:
    found = sourness.acidity(amounts({key: 1000.0}, lemon_g=50.0, settings=Settings(draws=0, batch_ph=ph)), mass_g=1000.0)
    for end in ("low", "typical", "high"):
        assert getattr(found.ph_before_lemon, end) >= getattr(found.ph, end)
        assert getattr(found.ph_before_lemon, end) <= getattr(found.ph, end) + 2.0


@pytest.mark.parametrize(("ph", "needed"), [(3.5, False), (4.2, False), (4.204, False), (4.21, True), (4.7, True)])
def test_a_batch_that_was_measured_sour_needs_no_meter(ph: float, needed: bool) -> None:
    measured = amounts({"guava": 1000.0}, settings=Settings(draws=0, batch_ph=ph))
    assert sourness.acidity(measured, mass_g=1000.0).meter_needed is needed


# ---------------------------------------------------------------- the range that is shown


@pytest.mark.parametrize(
    "grams", [{"plum": 1000.0}, {"plum": 600.0, "blackberry": 400.0}, {"fig": 500.0, "cranberry": 500.0}, {"lemon": 100.0}]
)
@pytest.mark.parametrize("draws", [0, 1, 400])
def test_ranges_are_in_order(grams: dict[str, float], draws: int) -> None:
    for lemon_g in (0.0, 40.0):
        found = sourness.acidity(amounts(grams, lemon_g=lemon_g, settings=Settings(draws=draws)), mass_g=1100.0)
        for each in (found.ph, found.ph_before_lemon, found.titratable_percent):
            assert each.low <= each.typical <= each.high
        assert found.ph.high <= found.ph_before_lemon.high + 0.01


def test_the_draw_moves_the_low_end_alone_and_is_the_same_each_time() -> None:
    def found(draws: int) -> Any:
        return sourness.acidity(amounts({"plum": 600.0, "blackberry": 400.0}, lemon_g=40.0, settings=Settings(draws=draws)), mass_g=1000.0)

    none, some, again, many = found(0), found(500), found(500), found(4000)
    assert some == again
    for other in (some, many):
        assert (other.ph.typical, other.ph.high) == (none.ph.typical, none.ph.high)
        assert other.titratable_percent == none.titratable_percent
        assert none.ph.low < other.ph.low < other.ph.typical  # the corner of all lows is rarer than one batch in twenty
    assert some.ph.low == pytest.approx(many.ph.low, abs=0.03)


def test_the_draw_keeps_its_triangles_and_its_correlation() -> None:
    import numpy

    from jamcalc.chemistry import ph_range

    ph, titratable = facts.fruit("plum").ph, facts.fruit("plum").titratable_percent
    seen: list[Any] = []

    def keep(drawn_ph: Any, drawn_titratable: Any) -> Any:
        seen.extend((drawn_ph, drawn_titratable))
        return batch_acidity.lemon_pool("weak")

    ph_range.drawn("plum", 4000, ph, titratable, keep)
    for column, span in zip(seen, (ph, titratable), strict=True):
        assert span.low <= column.min()
        assert column.max() <= span.high
        assert float(column.mean()) == pytest.approx((span.low + span.typical + span.high) / 3.0, abs=0.01)
    assert float(numpy.corrcoef(seen[0], seen[1])[0, 1]) == pytest.approx(-0.6, abs=0.06)


# ---------------------------------------------------------------- the dose


@pytest.mark.parametrize("key", FIT)
def test_the_dose_for_the_shelf_is_what_it_takes_and_no_more(key: str) -> None:
    kilogram = amounts({key: 1000.0})
    needed = batch_acidity.lemon_for_shelf_g(kilogram)
    if needed is None:
        assert batch_acidity.high_side_ph(replace(kilogram, lemon_g=150.0)) > 4.0
    elif needed == 0.0:
        assert batch_acidity.high_side_ph(kilogram) <= 4.0 + 1e-4
    else:
        assert batch_acidity.high_side_ph(replace(kilogram, lemon_g=needed)) == pytest.approx(4.0, abs=0.001)


def test_lemon_written_in_lines_is_part_of_the_dose() -> None:
    needed = [batch_acidity.lemon_for_shelf_g(amounts({"plum": 1000.0}, lemon_g=written)) for written in (0.0, 30.0, 90.0)]
    assert needed[0] is not None
    assert needed == [needed[0]] * 3


def test_another_acid_in_the_lines_makes_the_dose_smaller() -> None:
    plain = batch_acidity.lemon_for_shelf_g(amounts({"plum": 1000.0}))
    helped = batch_acidity.lemon_for_shelf_g(
        amounts({"plum": 1000.0}, acids=(AcidPart(acidulant=facts.acidulant("citric_acid"), grams=1.0),))
    )
    assert plain is not None
    assert helped is not None
    assert 10.0 < plain - helped < 30.0  # a gram of the powder is worth some 22 g of juice


def test_the_dose_ends_at_150_g_per_kg() -> None:
    guava = amounts({"guava": 1000.0})
    dose = dose_for_ph(guava.cautious_pool(), batch_acidity.lemon_pool("weak"), 3.90, 1000.0)
    assert batch_acidity.lemon_for_shelf_g(guava) is None
    assert batch_acidity.lemon_for_shelf_g(guava, 400.0) == pytest.approx(dose, abs=0.5)


@pytest.mark.parametrize("key", ["plum", "guava", "fig", "banana", "strawberry", "melon", "rhubarb"])
def test_more_lemon_never_raises_the_high_side(key: str) -> None:
    found = [batch_acidity.high_side_ph(amounts({key: 1000.0}, lemon_g=grams)) for grams in (0.0, 1.0, 10.0, 40.0, 100.0, 150.0, 400.0)]
    assert found == sorted(found, reverse=True)


def test_lemon_for_taste_stops_at_its_aim_and_at_its_most() -> None:
    pears = amounts({"pear": 1000.0})
    dose = batch_acidity.lemon_for_taste_g(pears, 3.6, 60.0)
    assert 0.0 < dose < 60.0
    assert pool_ph(replace(pears, lemon_g=dose).pool("typical")) == pytest.approx(3.6, abs=0.001)
    assert batch_acidity.lemon_for_taste_g(amounts({"banana": 1000.0}), 3.6, 60.0) == 60.0
    assert batch_acidity.lemon_for_taste_g(amounts({"strawberry": 1000.0}), 3.6, 60.0) == 0.0


def test_government_doses_go_by_each_fruits_share() -> None:
    with_dose = [key for key in facts.keys("fruit") if facts.fruit(key).government_lemon_g_per_kg is not None]
    assert "fig" in with_dose
    fig = facts.fruit("fig").government_lemon_g_per_kg
    assert fig is not None
    assert batch_acidity.government_lemon_g(batch({"fig": 250.0, "strawberry": 750.0})) == pytest.approx(0.25 * fig.typical)
    assert batch_acidity.government_lemon_g(batch({"strawberry": 750.0})) == 0.0
