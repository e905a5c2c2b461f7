"""What a pot holds, added up by hand from the figures of the tables: nothing lost, nothing counted twice, no pectin taken for water."""

from __future__ import annotations

from dataclasses import replace

import pytest

from jamcalc import facts
from jamcalc.formula import assemble, mixture
from jamcalc.formula.mixture import Doses
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.reading import several
from jamcalc.reading.readings import read_reading

LEMON = facts.acidulant("bottled_lemon_juice")
PLUM, PEAR, HONEY = facts.fruit("plum"), facts.fruit("pear"), facts.sweetener("honey")


def batch(*texts: str, reading: str = "", sweetener: str | None = None) -> Batch:
    readings = [read_reading(reading)] if reading else []
    return assemble.put_together(several.read_lines(list(texts)), Settings(draws=0), readings=readings, sweetener=sweetener)


def doses(lemon_g: float = 0.0, *sweetener_g: float, pectin_g: float = 0.0, calcium_water_ml: float = 0.0) -> Doses:
    return Doses(lemon_g=lemon_g, sweetener_g=sweetener_g, pectin_g=pectin_g, calcium_water_ml=calcium_water_ml)


POT = batch("1 kg prepared plums", "500 g prepared pears", "100 g honey", "200 g water", "30 g vinegar", "40 g bottled lemon juice")
FULL = doses(60.0, 100.0, pectin_g=10.0, calcium_water_ml=20.0)


def test_every_gram_is_counted_once() -> None:
    """The 40 g of lemon juice that are written are among the 60 g of the dose."""
    assert mixture.mix(POT, FULL).mass_g == pytest.approx(1000 + 500 + 100 + 200 + 30 + 60 + 10 + 20)
    assert FULL.total_g == pytest.approx(60 + 100 + 10 + 20)
    found = mixture.mix(POT, FULL)
    assert found.water_g + found.soluble_g.typical + found.insoluble_g == pytest.approx(found.mass_g)
    assert found.fruit_g == 1500.0


@pytest.mark.parametrize("end", ["low", "typical", "high"])
def test_what_is_dissolved_is_the_sum_of_the_parts(end: str) -> None:
    """The range is the fruit's alone; pectin powder is all solids, water and calcium water none."""
    fruit = 10.0 * getattr(PLUM.soluble_solids_percent, end) + 5.0 * getattr(PEAR.soluble_solids_percent, end)
    rest = 1.0 * HONEY.soluble_solids_percent.typical + 0.6 * LEMON.soluble_solids_percent.typical + 10.0
    rest += 0.3 * facts.acidulant("vinegar").soluble_solids_percent.typical
    assert getattr(mixture.mix(POT, FULL).soluble_g, end) == pytest.approx(fruit + rest)


def test_what_does_not_dissolve_and_the_fruits_own_pectin() -> None:
    found = mixture.mix(POT, FULL)
    assert found.insoluble_g == pytest.approx(10.0 * PLUM.insoluble_percent.typical + 5.0 * PEAR.insoluble_percent.typical)
    assert found.native_pectin_g == pytest.approx(10.0 * PLUM.native_pectin_percent.typical + 5.0 * PEAR.native_pectin_percent.typical)


def test_calcium_that_is_there_and_calcium_within_reach() -> None:
    """Of a fruit its own share can be reached, of all else 0.7 (data/setting.toml: judgement, MA-REN-2015)."""
    found = mixture.mix(POT, FULL)
    plum, pear = 10.0 * PLUM.calcium_mg.typical, 5.0 * PEAR.calcium_mg.typical
    assert found.calcium_from_fruit_mg == pytest.approx(plum + pear)
    reached = plum * PLUM.calcium_available.typical + pear * PEAR.calcium_available.typical
    others = 1.0 * HONEY.calcium_mg.typical + 0.6 * LEMON.calcium_mg.typical + 0.3 * facts.acidulant("vinegar").calcium_mg.typical
    assert found.calcium_available_mg == pytest.approx(reached + 0.7 * others)


def test_a_pouch_of_liquid_pectin_is_mostly_water() -> None:
    """A tenth of it is solids (memory)."""
    powder, pouch = (batch("1 kg prepared plums", f"50 g {kind} pectin") for kind in ("standard", "liquid"))
    solids = [mixture.mix(each, doses(pectin_g=50.0)).soluble_g.typical for each in (powder, pouch)]
    assert solids[0] - solids[1] == pytest.approx(45.0)


def test_a_refractometer_reads_the_juice_and_not_the_flesh() -> None:
    (part,) = batch("1 kg prepared plums", reading="plum Brix 14").fruits
    found = mixture.soluble_percent(part)
    assert found.low == found.typical == found.high == pytest.approx(14.0 * (1.0 - PLUM.insoluble_percent.typical / 100.0))
    assert mixture.soluble_percent(replace(part, reading=None)) == PLUM.soluble_solids_percent


@pytest.mark.parametrize("end", ["low", "typical", "high"])
def test_sugars_are_those_of_fruit_sweetener_and_juice(end: str) -> None:
    fruit = 10.0 * getattr(PLUM.sugars_percent, end) + 5.0 * getattr(PEAR.sugars_percent, end)
    rest = 1.0 * getattr(HONEY.sugars_percent, end) + 0.6 * getattr(LEMON.sugars_percent, end)
    assert getattr(mixture.sugars_g(POT, FULL), end) == pytest.approx(fruit + rest)


def test_a_sugar_alcohol_is_no_sugar() -> None:
    """Only sugars may shorten a time in the canner."""
    sweet = batch("1 kg prepared plums", sweetener="erythritol")
    assert mixture.sugars_g(sweet, doses(0.0, 2000.0)) == mixture.sugars_g(sweet, doses(0.0, 0.0))


def test_solutes_that_bind_water() -> None:
    two = batch("1 kg prepared plums", "100 g honey", sweetener="sugar")
    found = mixture.solutes_g(two, doses(50.0, 100.0, 200.0), 12.0)
    honey, sugar = HONEY.solutes, facts.sweetener("sugar").solutes
    assert found["citric_acid"] == 12.0
    assert found["sucrose"] == pytest.approx(200.0 * sugar["sucrose"] + 100.0 * honey.get("sucrose", 0.0))
    plum, lemon = 10.0 * PLUM.sugars_percent.typical, 0.5 * LEMON.sugars_percent.typical
    assert found["glucose"] == pytest.approx(plum + lemon + 100.0 * honey.get("glucose", 0.0) + 200.0 * sugar.get("glucose", 0.0))


def test_each_fruit_gives_its_share_of_the_finished_jam() -> None:
    first, second = mixture.texture_shares(POT, 2000.0)
    assert first == (0.5, PLUM.texture, PLUM.native_pectin_percent.typical)
    assert second == (0.25, PEAR.texture, PEAR.native_pectin_percent.typical)
