"""The doses before they are rounded: what each of them is worked out on, and what a firmer set, a sweeter jam and a longer boil ask for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.chemistry.acidity import AcidPool
from jamcalc.formula import assemble, batch_acidity, dosing
from jamcalc.formula.solver import Solved, solve
from jamcalc.nouns.asked import Batch, FruitPart, Settings
from jamcalc.nouns.outcome import BatchResult
from jamcalc.reading import several


def batch(*texts: str, sweetener: str | None = None, **more: Any) -> Batch:
    return assemble.put_together(several.read_lines(list(texts)), Settings(draws=0, **more), sweetener=sweetener)


def check(*lines: str, **more: Any) -> BatchResult:
    return jamcalc.check({"title": "A jam", "ingredients": list(lines), **more}, draws=0)


# ---------------------------------------------------------------- set


def calcium_mg_per_g(solved: Solved) -> float:
    return solved.calcium.wanted_mg / solved.pot.doses.pectin_g


@pytest.mark.parametrize("fruit", ["plums", "strawberries", "apricots"])
def test_a_firmer_set_wants_more_calcium_for_each_gram_of_pectin(fruit: str) -> None:
    """0.85 for soft and 1.15 for firm, against a medium set (judgement)."""
    soft, medium, firm = (calcium_mg_per_g(solve(batch(f"1 kg prepared {fruit}", firmness=each))) for each in ("soft", "medium", "firm"))
    assert soft / medium == pytest.approx(0.85, abs=0.02)
    assert firm / medium == pytest.approx(1.15, abs=0.02)


def test_citrate_is_counted_in_the_water_of_the_pot() -> None:
    """It holds calcium back from the pectin (NIST-46): 20 g of citric acid, 192.12 g/mol, in the water of a kilogram of plums."""
    pool = AcidPool(acid_mol={"citric": 0.05, "malic": 0.1}, strong_ion_eq=0.05, water_kg=0.8)
    assert batch_acidity.citrate_mol_per_kg_water(pool) == pytest.approx(0.0625)
    assert batch_acidity.citrate_mol_per_kg_water(AcidPool(acid_mol={"malic": 0.1}, strong_ion_eq=0.05, water_kg=0.8)) == 0.0
    solved = solve(batch("1 kg prepared plums", "20 g citric acid", "10 g calcium-set pectin"))
    citrate = solved.pot.pool.acid_mol["citric"] / solved.pot.pool.water_kg
    assert 20.0 * 0.9 / 192.12 < citrate < 20.0 / 192.12 / 0.8 + 0.02
    wanted = setting.wanted_ratio(solved.pot.solids_percent, solved.pot.ph, citrate, "medium")
    assert solved.calcium.wanted_mg == pytest.approx(wanted * 40.2 * 10.0, rel=0.005)
    assert wanted > setting.wanted_ratio(solved.pot.solids_percent, solved.pot.ph, 0.0, "medium") * 1.05


def test_the_cooks_own_calcium_water_is_counted_at_its_own_strength() -> None:
    usual, strong = (solve(batch("1 kg prepared plums", calcium_water_mg_per_tsp=mg)) for mg in (None, 29.2))
    assert strong.needed.calcium_water_ml == pytest.approx(usual.needed.calcium_water_ml / 2.0, rel=0.03)  # 14.6 mg is the usual teaspoon


# ---------------------------------------------------------------- sweetness


def test_sweetness_is_of_the_fruit_and_what_is_written_counts() -> None:
    """16 % of the prepared fruit where nothing is said (LM-HOUSEHOLD)."""
    assert solve(batch("1 kg prepared plums", sweetener="sugar")).needed.sweetener_g == (pytest.approx(160.0),)
    assert solve(batch("1 kg prepared plums", "1 kg prepared pears", sweetener="sugar")).needed.sweetener_g == (pytest.approx(320.0),)
    assert solve(batch("1 kg prepared plums", sweetener="sugar", sweetness_percent=0.0)).needed.sweetener_g == (0.0,)
    both = solve(batch("1 kg prepared plums", "100 g honey", sweetener="sugar")).needed.sweetener_g
    assert both == (100.0, pytest.approx(160.0 - 100.0 * facts.sweetener("honey").sweetness.typical))
    more_than_enough = solve(batch("1 kg prepared plums", "300 g honey", sweetener="sugar")).needed.sweetener_g
    assert more_than_enough == (300.0, 0.0)


# ---------------------------------------------------------------- what boils off


def test_mass_is_what_went_in_less_steam() -> None:
    """50 g while one pot heats and boils a minute, 25 g each further minute, 8 g a minute of simmer and 0.15 of that under a lid."""
    for more, steam_g in (({}, 75.0), ({"boil_min": 4}, 125.0), ({"simmer_min": 10}, 155.0), ({"simmer_min": 10, "covered": True}, 87.0)):
        result = check("800 g prepared plums", "100 g sugar", "100 g water", **{"boil_min": 2, **more})
        assert result.yield_.mass_g.typical == pytest.approx(1000.0 - steam_g)


@pytest.mark.parametrize(("sugar_g", "jells"), [(300.0, False), (500.0, False), (550.0, True), (900.0, True)])
def test_a_jam_without_added_pectin_is_boiled_until_it_jells_where_it_is_sweet_enough(sugar_g: float, jells: bool) -> None:
    """To 65 % dissolved solids (YIELD-RECIPES); from 40 % on at the start (judgement), a jam below that is boiled by the clock."""
    result = check("1 kg prepared blackberries", f"{sugar_g:g} g sugar", "40 g bottled lemon juice")
    blackberry = facts.fruit("blackberry")
    dissolved_g = 10.0 * blackberry.soluble_solids_percent.typical + sugar_g
    dissolved_g += 0.4 * facts.acidulant("bottled_lemon_juice").soluble_solids_percent.typical
    assert (dissolved_g / (1040.0 + sugar_g) >= 0.40) == jells
    assert (result.yield_.mass_g.typical == pytest.approx(dissolved_g / 0.65)) == jells
    assert (result.solids_percent.typical == pytest.approx(65.0)) == jells
    timed = check("1 kg prepared blackberries", f"{sugar_g:g} g sugar", "40 g bottled lemon juice", boil_min=2)
    assert timed.yield_.mass_g.typical > 900.0 + sugar_g


def test_water_left_is_never_less_than_nothing() -> None:
    dry = dosing.pot_of(
        batch("1 g plums", "5 kg sugar"), dosing.Doses(lemon_g=0.0, sweetener_g=(5000.0,), pectin_g=0.0, calcium_water_ml=0.0)
    )
    assert 0.0 < dry.water_g < 5.0


# ---------------------------------------------------------------- acid


@pytest.mark.parametrize(("printed", "dosed"), [(20.0, None), (100.0, 100.0), (150.0, 150.0), (151.0, 60.0)])
def test_lemon_juice_goes_by_the_high_side_or_by_an_agencys_dose_whichever_is_more(printed: float, dosed: float | None) -> None:
    """A fruit of somebody's own, with an agency's dose [g/kg]; over 150 g/kg the shelf is out of reach, and 60 is the most for taste."""
    plum = facts.fruit("plum")
    own = replace(plum, government_lemon_g_per_kg=replace(plum.potassium_mg, low=printed, typical=printed, high=printed))
    part = FruitPart(fruit=own, as_bought_g=1000.0, grams=1000.0, form="prepared")
    solved = solve(Batch(fruits=(part,), settings=Settings(draws=0)))
    plain = solve(batch("1 kg prepared plums")).needed.lemon_g
    assert 40.0 < plain < 80.0
    if dosed == 60.0:
        assert (solved.verdict.storage, solved.needed.lemon_g <= 60.0) == ("cold", True)
    else:
        assert solved.needed.lemon_g == pytest.approx(plain if dosed is None else dosed, rel=1e-3)
        assert solved.verdict.storage == "shelf"


@pytest.mark.parametrize(("written_g", "dosed_g"), [(0.0, 0.0), (25.0, 25.0), (90.0, 90.0)])
def test_a_recipe_as_written_is_dosed_with_nothing(written_g: float, dosed_g: float) -> None:
    lines = ["1 kg prepared plums", *([f"{written_g:g} g bottled lemon juice"] if written_g else [])]
    assert check(*lines).lemon_juice.grams == dosed_g


def test_what_is_sour_enough_is_dosed_with_nothing() -> None:
    rhubarb = batch("1 kg prepared rhubarb")
    assert dosing.doses_of(rhubarb, shelf_open=True).doses.lemon_g == 0.0
    assert dosing.doses_of(rhubarb, shelf_open=True, least_lemon_g=12.0).doses.lemon_g == pytest.approx(12.0)
