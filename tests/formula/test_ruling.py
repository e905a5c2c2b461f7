"""What a batch is asked before the rule decides: water against fruit, solids, jars, printed rows, each at its edge."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.formula import ruling
from jamcalc.formula.dosing import pot_of
from jamcalc.formula.mixture import Doses
from jamcalc.nouns.asked import Batch, FruitPart, Settings
from jamcalc.nouns.learned import Learned, Taught
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Reading
from jamcalc.nouns.written import PrintedTime
from jamcalc.reading import recipefile


def check(*lines: str, **more: Any) -> BatchResult:
    return jamcalc.check({"title": "A jam", "ingredients": list(lines), **more}, draws=0)


def ids(result: BatchResult) -> list[str]:
    return [finding.id for finding in result.findings]


# ---------------------------------------------------------------- water


@pytest.mark.parametrize(
    ("lines", "thinned"),
    [
        (("1 kg prepared cranberries", "990 g water"), False),
        (("1 kg prepared cranberries", "1000 g water"), False),
        (("1 kg prepared cranberries", "1010 g water"), True),
        (("1 kg prepared cranberries", "1400 g water"), True),
        # maple syrup is a third water (SR28): 2 kg of it and 500 g are more than the fruit, either alone is not
        (("1 kg prepared cranberries", "500 g water", "2 kg maple syrup"), True),
        (("1 kg prepared cranberries", "500 g water"), False),
        (("1 kg prepared cranberries", "2 kg maple syrup"), False),
        (("500 g prepared cranberries", "500 g prepared plums", "990 g water"), False),
        (("1 kg prepared cranberries", "300 tsp calcium water"), True),  # which is water too: 1,479 mL
        (("1 kg prepared cranberries", "500 g water", "150 tsp calcium water"), True),
        (("1 kg prepared cranberries", "200 tsp calcium water"), False),
    ],
)
def test_more_water_than_fruit_is_kept_cold(lines: tuple[str, ...], thinned: bool) -> None:
    """The tables are for fruit: where most of it is water, its acidity is the water's as much as the fruit's (judgement)."""
    for result in (check(*lines), jamcalc.batch(list(lines), draws=0)):
        assert ("thinned" in ids(result)) == thinned
        assert not thinned or (result.storage, result.process) == ("cold", None)


@pytest.mark.parametrize("key", ["maple_syrup", "honey", "agave_syrup"])
def test_the_water_of_a_sweetener_is_water_to_the_hundredth(key: str) -> None:
    """Beside 500 g of water a kilogram of fruit takes as much syrup as brings 500 g more."""
    sweetener = facts.sweetener(key)
    most_g = 500.0 / (sweetener.water_percent.typical / 100.0)
    for times, thinned in ((0.99, False), (1.01, True)):
        result = check("1 kg prepared cranberries", "500 g water", f"{times * most_g:.1f} g {sweetener.name}")
        assert ("thinned" in ids(result)) == thinned


def test_a_sweetener_that_is_yet_to_be_sized_brings_no_water_yet() -> None:
    """As much water as fruit and not a drop more: honey in the pot tips it, honey that the program is to weigh does not."""
    lines = ["1 kg prepared cranberries", "1000 g water"]
    assert "thinned" not in ids(jamcalc.batch(lines, sweetener="honey", draws=0))
    assert "thinned" in ids(jamcalc.batch([*lines, "10 g honey"], draws=0))


# ---------------------------------------------------------------- readings that cannot be so


@pytest.mark.parametrize(
    ("readings", "odd"),
    [([], 0), (["fig pH 5.2"], 0), (["fig pH 3.1"], 1), (["fig pH 5.2", "batch pH 3.1"], 1), (["fig pH 3.1", "batch pH 1.6"], 2)],
)
def test_each_reading_that_cannot_be_so_is_said(readings: list[str], odd: int) -> None:
    """Figs are at pH 4.9 to 6.0 (FDA): neither they nor jam of them, with no acid in it, are as sour as currants."""
    result = jamcalc.check({"title": "A jam", "ingredients": ["1 kg prepared figs"]}, reading=readings, draws=0)
    assert ids(result).count("reading-odd") == odd


@pytest.mark.parametrize(("lemon_g", "odd"), [(0.0, True), (500.0, False)])
def test_written_lemon_juice_makes_a_low_reading_of_the_batch_what_it_should_be(lemon_g: float, odd: bool) -> None:
    """Figs are at pH 5 (FDA); half their weight in lemon juice, at pH 2.4 (FDA) and 5 % acid, leaves little of that."""
    lines = ["1 kg prepared figs", *([f"{lemon_g:g} g bottled lemon juice"] if lemon_g else [])]
    assert ("reading-odd" in ids(jamcalc.batch(lines, reading="batch pH 3.1", draws=0))) == odd


# ---------------------------------------------------------------- heat


@pytest.mark.parametrize(
    ("boil_min", "simmer_min", "cold"), [(0, 0, True), (0, 0.5, False), (0.5, 0, False), (1, 0, False), (0, 1, False), (1, 10, False)]
)
def test_jam_is_filled_hot_by_a_boil_or_by_a_simmer(boil_min: float, simmer_min: float, cold: bool) -> None:
    result = check("1 kg prepared blueberries", boil_min=boil_min, simmer_min=simmer_min)
    assert ("not-hot-packed" in ids(result)) == cold
    assert result.storage == ("cold" if cold else "shelf")


# ---------------------------------------------------------------- sugar, and the time that it may shorten


@pytest.mark.parametrize(("sugars_percent", "stands"), [(59.0, False), (61.0, True)])
def test_a_short_time_of_its_own_stands_from_sixty_per_cent_of_sugars(sugars_percent: float, stands: bool) -> None:
    """By weight of the finished batch, at the low end; 1 kg of blueberries, which bring some themselves, uncovered, no boil to speak of."""
    berries, juice = facts.fruit("blueberry").sugars_percent.low, facts.acidulant("bottled_lemon_juice").sugars_percent.low

    def made(sugar_g: float) -> BatchResult:
        return check("1 kg prepared blueberries", f"{sugar_g:.1f} g sugar", "60 g bottled lemon juice", process_min=5, boil_min=1)

    own_g = 10.0 * berries + 0.6 * juice
    sugar_g = 1000.0
    for _ in range(20):  # the sugar that makes that share of what is left after the boil
        finished_g = made(sugar_g).yield_.mass_g.typical
        sugar_g = max(0.0, sugars_percent / 100.0 * (finished_g - sugar_g) - own_g) / (1.0 - sugars_percent / 100.0)
    result = made(sugar_g)
    share = 100.0 * (sugar_g + own_g) / result.yield_.mass_g.typical
    assert share == pytest.approx(sugars_percent, abs=0.2)
    assert (result.process is not None) == stands
    assert (result.refused is None) == stands
    assert ("time-under-table" in ids(result)) == (not stands)


# ---------------------------------------------------------------- printed times

HALF_PINT, PINT = facts.jar("half-pint"), facts.jar("pint")
FIVE = (10, 15, 20, 25, 30)


def row(jar: str, *minutes: int | None) -> PrintedTime:
    return PrintedTime(jar=jar, by_band=minutes or FIVE)


@pytest.mark.parametrize(
    ("printed", "jar", "covers"),
    [
        (["half-pint"], "half-pint", "half-pint"),
        (["half-pint"], "quarter-pint", "half-pint"),  # a smaller jar heats through sooner
        (["quarter-pint"], "half-pint", None),  # and never the other way
        (["pint"], "half-pint", None),  # a row for pints is none for half-pints: another class
        (["half-pint"], "pint", None),
        (["pint", "half-pint"], "half-pint", "half-pint"),
        (["half-pint", "quarter-pint"], "quarter-pint", "quarter-pint"),  # its own before a larger one's
        (["quarter-pint", "half-pint"], "quarter-pint", "quarter-pint"),
        (["pint"], "three-quarter-pint", "pint"),
        ([], "half-pint", None),
    ],
)
def test_a_printed_row_covers_its_own_jar_and_smaller_ones_of_its_class(printed: list[str], jar: str, covers: str | None) -> None:
    found = ruling.printed_for([row(each) for each in printed], facts.jar(jar))
    assert (found.jar if found else None) == covers


def test_jars_of_one_size_by_two_makers_are_one_size() -> None:
    """They differ by up to 6 % (jars.toml): a row for one covers the other."""
    wide = facts.jar("wide-half-pint")
    assert ruling.printed_for([row("half-pint")], wide) is not None
    assert ruling.printed_for([row("wide-half-pint")], HALF_PINT) is not None


@pytest.mark.parametrize(("altitude_ft", "timed"), [(None, True), (1000.0, True), (2000.0, False), (5000.0, True), (9000.0, False)])
def test_a_band_that_is_not_printed_has_no_time(altitude_ft: float | None, timed: bool) -> None:
    findings = ruling.untimed([row("half-pint", 10, None, 20, 25, None)], HALF_PINT, altitude_ft)
    assert (findings == ()) == timed
    assert timed or findings[0].id == "no-printed-time"


def test_why_a_jar_has_no_time_is_said() -> None:
    (larger,) = ruling.untimed([row("half-pint")], PINT, None)
    assert larger.id == "larger-jar"
    assert "half-pints" in larger.text
    (other,) = ruling.untimed([row("pint")], HALF_PINT, None)
    assert (other.id, "use pints" in other.text) == ("no-printed-time", True)
    (none,) = ruling.untimed([], HALF_PINT, None)
    assert "keep it refrigerated" in none.text
    assert ruling.untimed([], HALF_PINT, 12_000.0) == ()  # that is said of the altitude


def test_one_printed_time_is_one_row_for_the_jar_of_the_yield() -> None:
    lines = {"title": "A jam", "ingredients": ["4 cups mashed blueberries"]}
    (found,) = ruling.times_of(recipefile.from_mapping({**lines, "process_min": 12.5, "yield": "3 pints"}))
    assert (found.jar, found.by_band) == ("pint", (13, None, None, None, None))  # a part of a minute is a whole one
    (found,) = ruling.times_of(recipefile.from_mapping({**lines, "process_min": 10}))
    assert found.jar == "half-pint"
    assert ruling.times_of(recipefile.from_mapping(lines)) == ()


def test_a_printed_table_stands_before_one_printed_time() -> None:
    lines = {"title": "A jam", "ingredients": ["4 cups mashed blueberries"], "process": {"pint": {"0-1000": 15}}}
    recipe = recipefile.from_mapping(lines)
    assert [(time.jar, time.by_band[0]) for time in ruling.times_of(recipe)] == [("pint", 15)]
    assert ruling.times_of(replace(recipe, process_min=5.0)) == ruling.times_of(recipe)


def test_a_tested_recipe_has_the_minutes_that_are_printed_and_no_others() -> None:
    """Nothing is added to them and nothing is made up, though the table has minutes for any half-pint."""
    plain = jamcalc.batch(["3 lb plums"], altitude="2000 ft", draws=0).batch
    tested = replace(plain, standing="tested", printed_times=(row("half-pint", 17, 23, None, None, None),))
    process = ruling.process_of(tested, 0.0)
    assert process is not None
    assert (process.minutes, process.jar) == (23, "half-pint")
    assert ruling.process_of(replace(tested, printed_times=()), 0.0) is None
    assert ruling.process_of(replace(plain, printed_times=()), 0.0) is not None


@pytest.mark.parametrize(("jar", "minutes"), [("quarter-pint", 10), ("half-pint", 10), ("pint", 20)])
def test_a_process_is_that_of_the_size_and_names_the_jar(jar: str, minutes: int) -> None:
    """10 minutes for half-pints and smaller as printed recipes have it, 20 for pints (USDA, peach-pineapple spread), up to 1,000 ft."""
    process = ruling.process_of(jamcalc.batch(["3 lb plums"], jar=jar, draws=0).batch, 0.0)
    assert process is not None
    assert (process.jar, process.minutes) == (jar, minutes)


def test_a_jar_that_is_not_in_the_recipe_is_said_before_what_follows_from_it() -> None:
    """Figs are canned by a tested recipe alone; in a jar of which it says nothing it is none, and another jar mends both."""
    (untimed,) = ruling.untimed([row("pint")], HALF_PINT, None)
    plain = jamcalc.batch(["3 lb figs"], draws=0).batch
    bars = ruling.bars_of(replace(plain, standing="published", untimed=(untimed,)))
    assert [finding.id for finding in bars] == ["no-printed-time", "tested-only"]


def test_what_is_too_high_or_too_large_has_no_process() -> None:
    for more, reason in (({"altitude": "10001 ft"}, True), ({"jar": "quart"}, False)):
        batch = jamcalc.batch(["3 lb plums"], draws=0, **more).batch
        assert ruling.process_of(batch, 0.0) is None
        assert (ruling.altitude_refused(batch.settings) is not None) == reason  # of a jar it is said elsewhere


def part_jar(batch: Batch) -> bool:
    pot = pot_of(batch, Doses(lemon_g=0.0, sweetener_g=(), pectin_g=0.0, calcium_water_ml=0.0))
    return "part-jar" in {finding.id for finding in ruling.late_bars(pot)}


@pytest.mark.parametrize("fruit", ["raspberries", "pears", "guavas"])
def test_the_bar_for_no_full_jar_and_the_count_of_jars_are_one(fruit: str) -> None:
    """Step by step around a half-pint: where the yield has no full jar there is nothing to process, and where it has one there is."""
    seen = set()
    for grams in range(230, 320, 2):
        result = check(f"{grams} g prepared {fruit}", boil_min=1)
        assert part_jar(result.batch) == (result.yield_.full_jars == 0), grams
        seen.add(result.yield_.full_jars)
    assert seen == {0, 1}


@pytest.mark.parametrize("filled", [1.3, 1.0, 0.8])
def test_a_book_that_fills_more_jars_does_not_fill_the_one_that_the_tables_do_not(filled: float) -> None:
    """Between no jar and one: that her jars are more never makes one out of a part, that they are fewer makes a part out of one."""
    known = Taught(value=math.log(filled), sd=0.05, next_sd=0.1, table=0.0, table_sd=0.2, batches=9, lots=0.1)
    enough = next(grams for grams in range(230, 320) if not part_jar(at(grams).batch))
    assert part_jar(replace(at(enough - 1).batch, learned=Learned(jars=known)))
    assert part_jar(replace(at(enough).batch, learned=Learned(jars=known))) == (filled < 1.0)


def at(grams: float) -> BatchResult:
    return check(f"{grams} g prepared raspberries", boil_min=1)


def test_a_fruit_of_no_proven_high_ph_is_shown_by_its_ph_and_by_nothing_less() -> None:
    """An acidity or a Brix alone says nothing of how high its pH is."""
    unproven = []
    for fruit in map(facts.fruit, facts.keys("fruit")):
        part = FruitPart(fruit=fruit, as_bought_g=1000.0, grams=1000.0, form="prepared")
        if fruit.fit.fitness != "fit" or ruling.unshown_of(Batch(fruits=(part,), settings=Settings())) is None:
            continue
        unproven.append(fruit.key)
        for known, shown in (({"titratable_percent": 1.2}, False), ({"soluble_solids_percent": 12.0}, False), ({"ph": 3.4}, True)):
            read = replace(part, reading=Reading(item=fruit.key, **known))
            assert (ruling.unshown_of(Batch(fruits=(read,), settings=Settings())) is None) == shown, (fruit.key, known)
    assert unproven  # else nothing was tried
