"""The measuring step in every order of work that hangs on a pH, acid for a pot that reads too high, what is worth measuring."""

from __future__ import annotations

import re
from typing import Any

import pytest

import jamcalc
from jamcalc import api, facts
from jamcalc.answers import measuring
from jamcalc.chemistry.acidity import AcidPool, pool_ph, pooled, reading_pool
from jamcalc.chemistry.many_pools import highest_ph
from jamcalc.formula import batch_acidity, storage
from jamcalc.formula.solver import solve
from jamcalc.nouns.outcome import BatchResult
from jamcalc.recipes import to_recipe

PLUMS = ("3 lb plums",)


def batch(*lines: str, **options: Any) -> BatchResult:
    return jamcalc.batch(list(lines), **{"sweetener": "honey", "draws": 0, **options})


def check(*lines: str, reading: str | None = None, **more: Any) -> BatchResult:
    return jamcalc.check({"title": "A jam of mine", "ingredients": list(lines), **more}, reading=reading, draws=0)


def found(result: BatchResult, id: str) -> str | None:
    return next((finding.text for finding in result.findings if finding.id == id), None)


def steps_that_measure(result: BatchResult) -> list[int]:
    return [index for index, step in enumerate(result.order_of_work) if "pH 4 and 7 buffers" in step]


OWN = ("4 cups mashed plums", "1/2 cup honey", "2 tsp calcium-set pectin", "2 tsp calcium water")
SOUR = ("4 cups mashed plums", "1/2 cup sugar", "1/2 cup bottled lemon juice", "2 tsp calcium-set pectin", "2 tsp calcium water")

# ---------------------------------------------------------------- the step


@pytest.mark.parametrize(
    "result",
    [
        batch(*PLUMS),
        batch("3 lb plums", "1 1/2 lb frozen blackberries", jar="pint", altitude="4300 ft"),
        batch("3 lb pears"),
        batch("2 lb blueberries", sweetener="maple syrup"),
        check(*OWN),
        check(*SOUR),
        check(*SOUR, steps=["Mash it and cook it.", "Fill hot jars and process them."]),
        check("4 cups mashed plums", "1/2 cup sugar", "1/2 cup bottled lemon juice"),
        jamcalc.check("strawberry-rhubarb", draws=0),
        api.scale_answer("raspberry-blueberry", times=2, draws=0).result,
        api.scale_answer("peach-pineapple-spread", sweetener="honey", draws=0).result,
    ],
)
def test_the_step_stands_where_a_ph_decides(result: BatchResult) -> None:
    """21 CFR 114.90: buffers pH 4 and 7, a uniform sample at room temperature."""
    (place,) = steps_that_measure(result)
    step = result.order_of_work[place]
    for words in ("off the heat", "1/4 cup", "smooth", "room temperature", "read twice", "throw the sample away", "full boil", "hot jars"):
        assert words in step
    assert f"{storage.SHELF_READING_PH:.2f} or lower" in step
    later = " ".join(result.order_of_work[place + 1 :])
    assert re.search("fill", later, re.IGNORECASE) or place == len(result.order_of_work) - 1


@pytest.mark.parametrize(
    "result",
    [
        batch(*PLUMS, store="cold"),
        batch("2 lb mangoes"),
        batch("2 lb white peaches"),
        batch("3 lb plums", "1 cup water", jar="quart"),
        batch(*PLUMS, reading="batch pH 4.1"),
        batch(*PLUMS, reading="batch pH 4.7"),
        batch(*PLUMS, reading="batch pH 4.6"),  # no acid in reason brings it down
        jamcalc.check("peach-pineapple-spread", draws=0),
        jamcalc.check("refrigerated-apple-spread", draws=0),
    ],
)
def test_no_step_where_no_meter_decides(result: BatchResult) -> None:
    assert steps_that_measure(result) == []
    assert "measure the finished batch" not in " ".join(finding.text for finding in result.findings)


def test_a_batch_that_may_turn_out_sour_enough_finds_hot_jars() -> None:
    result = check(*OWN)
    assert result.storage == "cold"
    assert found(result, "measure")
    first, *rest = batch("3 lb plums", "2 cups water").order_of_work
    assert "canner" in first
    assert rest


def test_a_saved_recipe_has_the_step_once() -> None:
    again = jamcalc.check(to_recipe.recipe_of(batch(*PLUMS)), draws=0)
    assert len(steps_that_measure(again)) == 1
    read = jamcalc.check(to_recipe.recipe_of(batch(*PLUMS, reading="batch pH 4.1")), draws=0)
    assert len(steps_that_measure(read)) == 1


# ---------------------------------------------------------------- acid for a pot that reads too high


@pytest.mark.parametrize("reading", [4.21, 4.25, 4.3, 4.35])
@pytest.mark.parametrize("lines", [("3 lb plums",), ("2 lb strawberries",), ("2 lb strawberries", "2 lb rhubarb"), ("1 kg blueberries",)])
def test_a_reading_a_little_too_high_is_answered_with_an_amount(lines: tuple[str, ...], reading: float) -> None:
    result = batch(*lines, reading=f"batch pH {reading}")
    assert result.storage == "cold"
    assert result.process is None
    assert result.rescue is not None, found(result, "rescue-out-of-reach")
    assert result.rescue.measure in str(found(result, "rescue"))
    assert "measure a new sample" in str(found(result, "rescue"))
    assert result.to_dict()["rescue"]["g"] == pytest.approx(result.rescue.grams, abs=0.05)  # type: ignore[index]
    in_all = result.lemon_juice.grams + result.rescue.grams
    assert in_all <= 1.03 * storage.MOST_LEMON_G_PER_KG * sum(part.grams for part in result.batch.fruits) / 1000.0


def test_the_amount_brings_every_cautious_corner_low_enough() -> None:
    result = batch(*PLUMS, reading="batch pH 4.3")
    assert result.rescue is not None
    juice = batch_acidity.lemon_pool("weak").times(result.rescue.grams)
    amounts = solve(result.batch).pot.amounts
    as_read = reading_pool(amounts.cautious_pool(), 4.4)
    assert highest_ph(as_read) == pytest.approx(4.4, abs=1e-4)
    assert 4.05 < highest_ph(pooled([as_read, juice])) <= 4.10 + 1e-4  # and no cupful more than that


def test_a_higher_reading_takes_more() -> None:
    doses = [batch(*PLUMS, reading=f"batch pH {reading}").rescue for reading in (4.21, 4.25, 4.3, 4.35, 4.4)]
    grams = [dose.grams for dose in doses if dose]
    assert len(grams) == 5
    assert grams == sorted(grams)


@pytest.mark.parametrize("lines", [("3 lb plums",), ("3 lb pears",), ("2 lb sweet cherries",)])
def test_beyond_reason_and_beyond_the_wall_there_is_no_rescue(lines: tuple[str, ...]) -> None:
    over = batch(*lines, reading="batch pH 4.61")
    assert over.rescue is None
    assert found(over, "rescue") is None
    assert found(over, "ph-over-limit")
    edge = batch(*lines, reading="batch pH 4.6")
    assert (edge.rescue is None) == (found(edge, "rescue-out-of-reach") is not None)
    assert (edge.rescue is None) == (steps_that_measure(edge) == [])
    assert (edge.rescue is None) == ("canner" not in edge.order_of_work[0])


def test_no_rescue_where_something_else_bars_the_shelf() -> None:
    for result in (batch("2 lb mangoes", reading="batch pH 4.3"), batch(*PLUMS, reading="batch pH 4.3", jar="quart")):
        assert result.rescue is None
        assert found(result, "rescue") is None


def test_a_reading_is_rescued_in_check_too() -> None:
    assert check(*OWN, reading="batch pH 4.3").rescue is not None


def test_a_pool_that_reads_as_said_keeps_its_acids() -> None:
    pool = AcidPool(acid_mol={"citric": 0.05, "malic": 0.03}, strong_ion_eq=0.04, water_kg=0.9)
    read = reading_pool(pool, 3.7)
    assert read.acid_mol == pool.acid_mol
    assert read.water_kg == pool.water_kg
    assert pool_ph(read) == pytest.approx(3.7, abs=1e-4)


# ---------------------------------------------------------------- what is worth measuring

SAYS = re.compile(r"If your (?P<fruit>[a-z ]+) read pH (?P<ph>\d\.\d) or lower, (?P<enough>.+)\.")


@pytest.mark.parametrize(
    "lines",
    [("3 lb apricots",), ("3 lb pears",), ("3 lb plums",), ("3 lb sweet cherries", "2 lb pears"), ("2 lb peaches", "1 lb pears"),
     ("3 lb plums", "1 1/2 lb frozen blackberries"), ("1 kg sweet cherries",)],
)  # fmt: skip
def test_the_one_reading_is_named_and_does_what_it_says(lines: tuple[str, ...]) -> None:
    result = batch(*lines)
    said = SAYS.search(str(found(result, "worth-measuring")))
    assert said, [finding.id for finding in result.findings]
    read = batch(*lines, reading=said["fruit"] + " pH " + said["ph"])
    assert read.storage == "shelf"
    if said["enough"].startswith("no lemon juice"):
        assert read.lemon_juice.grams == 0.0
    else:
        assert said["enough"].startswith(read.lemon_juice.measure)
        assert read.lemon_juice.grams < result.lemon_juice.grams or result.storage == "cold"


@pytest.mark.parametrize("fruit", ["apricot", "plum", "sweet cherry"])
def test_a_tenth_more_is_not_enough(fruit: str) -> None:
    """The reading named is the highest that will do, on the steps of a meter."""
    plural = facts.fruit(facts.lookup(fruit).key).plural
    said = SAYS.search(str(found(batch(f"3 lb {plural}"), "worth-measuring")))
    assert said
    name, ph = said["fruit"] + " pH", said["ph"]
    enough, higher = batch(f"3 lb {plural}", reading=f"{name} {ph}"), batch(f"3 lb {plural}", reading=f"{name} {float(ph) + 0.1:.1f}")
    assert higher.lemon_juice.grams > enough.lemon_juice.grams


def test_where_the_shelf_is_missed_a_reading_may_win_it() -> None:
    result = check(*OWN)
    said = SAYS.search(str(found(result, "worth-measuring")))
    assert said
    assert "as written" in said["enough"]
    assert check(*OWN, reading=said["fruit"] + " pH " + said["ph"]).storage == "shelf"


@pytest.mark.parametrize(
    "result",
    [
        batch(*PLUMS, reading="plum pH 3.9"),
        batch(*PLUMS, reading="batch pH 3.9"),
        batch(*PLUMS, store="cold"),
        batch("2 lb mangoes"),
        batch("2 lb rhubarb"),
        check(*SOUR),
        jamcalc.check("peach-pineapple-spread", draws=0),
    ],
)
def test_nothing_is_worth_measuring_where_nothing_would_change(result: BatchResult) -> None:
    assert found(result, "worth-measuring") is None


def test_the_step_is_made_in_one_place() -> None:
    assert measuring.TASKS["us"].text.count("Measure it") == 1


@pytest.mark.parametrize("fruit", ["strawberries", "plums", "apricots", "peaches"])
def test_a_likely_reading_takes_the_lemon_juice_away(fruit: str) -> None:
    result = batch(f"2 lb {fruit}")
    assert result.lemon_juice.grams > 0.0
    said = SAYS.search(str(found(result, "worth-measuring")))
    assert said
    assert said["enough"] == "no lemon juice is needed"
    assert float(said["ph"]) >= round(result.batch.fruits[0].fruit.ph.typical, 1)
