"""The conductor: it settles for every batch that the reader lets in, and reports what the measures hold."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.chemistry.roots import SystemRoot
from jamcalc.formula import assemble, batch_acidity, dosing, solver, storage, swapping
from jamcalc.formula.mixture import LEMON, Doses
from jamcalc.formula.solver import gel_set, solve
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.nouns.learned import Learned, Taught
from jamcalc.nouns.outcome import AcidDose, BatchResult
from jamcalc.reading import lines, several
from jamcalc.words import measures

FRUITS = facts.keys("fruit")
KINDS = {
    **dict.fromkeys(FRUITS, "fruit"),
    **dict.fromkeys(facts.keys("juice"), "juice"),
    **dict.fromkeys(facts.keys("vegetable"), "vegetable"),
}
# 30 blends, two and three fruits each, walked through the list of fruits in steps that share no factor with its length
BLENDS = [tuple(FRUITS[(7 * number + step * 11) % len(FRUITS)] for step in range(2 + number % 2)) for number in range(30)]


def called(key: str, kind: str | None = None) -> str:
    return str(facts.table("items")[kind or KINDS[key]][key][0])


def line(key: str, grams: float) -> str:
    return f"{grams:g} g {called(key)}" if KINDS[key] == "juice" else f"{grams:g} g prepared {called(key)}"


def run(*texts: str, **options: Any) -> BatchResult:
    return jamcalc.batch(list(texts), **{"draws": 0, **options})


def settled(result: BatchResult) -> BatchResult:
    """The result, once it has been held against the laws of every answer."""
    solution, lemon = result.solution, result.lemon_juice
    assert solution.converged
    assert solution.residual < 1e-5
    # a dose for taste alone may be measured down to its cap; acid that the shelf rests on never is
    assert lemon.grams >= lemon.needed_g * (1.0 if result.storage == "shelf" else 0.8) - 1e-9
    assert result.acidity.ph.low <= result.acidity.ph.typical <= result.acidity.ph.high
    assert min(result.pectin.grams, result.calcium_water.ml, result.yield_.jars.low, result.water_activity) >= 0.0
    assert (result.storage == "shelf") <= (result.acidity.ph.high <= 4.00)
    return result


# ---------------------------------------------------------------- it settles


@pytest.mark.parametrize("key", KINDS)
@pytest.mark.parametrize("sweetener", [None, "honey"])
def test_each_fruit_alone(key: str, sweetener: str | None) -> None:
    settled(run(line(key, 1200), sweetener=sweetener))


@pytest.mark.parametrize("blend", BLENDS, ids=" + ".join)
def test_blends(blend: tuple[str, ...]) -> None:
    result = settled(run(*(line(key, 300.0 * (number + 1)) for number, key in enumerate(blend)), sweetener="maple syrup"))
    unfit = [key for key in blend if facts.fruit(key).fit.fitness != "fit"]
    assert not (unfit and result.storage == "shelf")


@pytest.mark.parametrize("grams", [10.0, 50.0, 20_000.0, 60_000.0])
def test_tiny_and_huge_batches(grams: float) -> None:
    for key in ("strawberry", "raspberry", "plum", "peach", "apricot", "guava", "fig", "black_currant"):
        result = settled(run(line(key, grams), sweetener="honey"))
        assert result.yield_.mass_g.typical > 0.5 * grams
        if facts.fruit(key).fit.fitness == "fit" and key != "guava":
            assert result.acidity.ph.high <= 4.00, key  # whole spoons in so little fruit must not push it over
            assert result.storage == ("shelf" if result.yield_.full_jars else "cold"), key


@pytest.mark.parametrize("key", facts.keys("sweetener"))
@pytest.mark.parametrize("firmness", ["soft", "medium", "firm"])
def test_every_sweetener_and_firmness(key: str, firmness: str) -> None:
    for fruit in ("strawberry", "plum", "fig"):
        settled(run(line(fruit, 1000), sweetener=called(key, "sweetener"), set=firmness))


@pytest.mark.parametrize("sweetener", ["corn syrup", "agave syrup", "honey", "sugar"])
@pytest.mark.parametrize("fruit", ["strawberry", "raspberry", "concord_grape"])
def test_a_watery_sweetener_does_not_push_a_sour_fruit_off_the_shelf(fruit: str, sweetener: str) -> None:
    """Raspberries are at 4.00 as they are: the water that a syrup brings has to be met by a little lemon juice."""
    result = settled(run(line(fruit, 1360), sweetener=sweetener))
    assert result.storage == "shelf"
    # Kitchens add none to a tablespoon a pound (15.2 g) to strawberries, and none to the others: common practice.
    assert result.lemon_juice.grams <= (45.6 if fruit == "strawberry" else 12.0)


@pytest.mark.parametrize(
    "sweetener", ["maple syrup", "brown sugar", "coconut sugar", "apple juice concentrate", "white grape juice concentrate"]
)
def test_what_is_alkaline_or_buffered_is_met_with_more_lemon_juice(sweetener: str) -> None:
    """Their minerals are alkaline once the fruit's acid meets them; SR28 prints 102 mg calcium in 100 g of maple syrup."""
    lines = [line("plum", 1000)]
    plain, rich = settled(run(*lines, sweetener="sugar")), settled(run(*lines, sweetener=sweetener))
    assert rich.storage == "shelf"
    assert rich.lemon_juice.needed_g > plain.lemon_juice.needed_g + 8.0
    assert settled(run(line("blueberry", 1000), "2 cups maple syrup")).storage == "cold"


def test_alkaline_water_and_the_light_spoon_count_on_the_cautious_side() -> None:
    # Hard tap water, 250 mg/L as calcium carbonate, is 5 meq/kg (common practice); calcium water, made up by the spoon, is counted as
    # thinning alone: the difference of the two is the hardness.
    thinned, hard = (run(line("plum", 1000), f"{what}") for what in ("96 tsp calcium water", "2 cups water"))
    assert hard.lemon_juice.needed_g > thinned.lemon_juice.needed_g + 3.0
    weighed, spooned = run(line("pear", 1000), "1.15 g citric acid"), run(line("pear", 1000), "1/4 tsp citric acid")
    assert spooned.lemon_juice.needed_g > weighed.lemon_juice.needed_g + 1.0


@pytest.mark.parametrize(
    ("lines", "options", "why"),
    [
        (["1 lb plums"], {"boil": 0}, "not-hot-packed"),
        (["1 kg strawberries", "2 L water"], {}, "thinned"),
        (["1 g strawberries", "4 cups maple syrup"], {}, "thinned"),
        (["1 lb sweet cherries"], {"reading": "sweet cherry pH 4.0 TA 0.07"}, "reading-odd"),
        (["1 lb plums"], {"reading": "plum pH 2.0"}, "reading-odd"),
        (["1 lb plums"], {"reading": "batch pH 1.6"}, "reading-odd"),
    ],
)
def test_what_cannot_be_relied_on_stays_cold(lines: list[str], options: dict[str, object], why: str) -> None:
    result = run(*lines, **options)
    assert result.storage == "cold"
    assert result.process is None
    assert why in {finding.id for finding in result.findings}


def test_every_ingredient_stands_in_the_order_of_work() -> None:
    result = run(line("pear", 1000), "1 tsp citric acid", "1/4 cup fresh lemon juice", "1 tbsp vinegar", "1/2 cup water", sweetener="honey")
    work = " ".join(result.order_of_work)
    for each in result.ingredients:
        assert each.role == "fruit" or each.name in work or each.role == "pectin", each.name
    assert "pectin" in work


@pytest.mark.parametrize(("mild", "milder"), [("apricot", "guava"), ("plum", "mulberry")])
def test_where_the_shelf_comes_out_of_reach_there_is_one_clean_step(mild: str, milder: str) -> None:
    """Up to 150 g of juice per kg for the shelf, then at once the dose for taste: nothing between, and it settles on both sides."""
    shelf, cold = 0.0, 20_000.0
    for _ in range(14):
        middle = (shelf + cold) / 2.0
        result = settled(run(line(mild, 20_000.0 - middle), line(milder, middle)))
        per_kg = result.lemon_juice.needed_g / 20.0
        if result.storage == "shelf":
            shelf = middle
            assert per_kg <= storage.MOST_LEMON_G_PER_KG * (1.0 + 1e-6)
        else:
            cold = middle
            assert per_kg <= storage.MOST_TASTE_LEMON_G_PER_KG * (1.0 + 1e-6)
    assert 1000.0 < shelf < cold < 19_000.0


@pytest.mark.parametrize("spoon", [3.0, 14.6, 500.0])
@pytest.mark.parametrize("pectin", [0.5, 3.0, 20.0])
def test_odd_spoons(spoon: float, pectin: float) -> None:
    for fruit in ("plum", "banana", "strawberry"):
        settled(run(line(fruit, 1000), calcium_spoon=spoon, pectin_spoon=pectin, set="firm", sweetener="honey"))


FLOORS = [
    "1 tsp bottled lemon juice",
    "1 cup bottled lemon juice",
    "2 tsp citric acid",
    "1/4 cup lemon juice",
    "1/4 cup vinegar",
    "100 g lemon juice",
]


@pytest.mark.parametrize("floor", FLOORS)
def test_floor_lines(floor: str) -> None:
    for fruit in ("strawberry", "plum", "guava", "fig"):
        settled(run(line(fruit, 1000), floor, sweetener="honey"))


# ---------------------------------------------------------------- what the reader is told


def ingredient(result: BatchResult, item: str) -> Any:
    return next(each for each in result.ingredients if each.item == item)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_grams_are_what_the_measures_hold(units: str) -> None:
    result = run("3 lb plums", "1 cup water", sweetener="honey", units=units)
    lemon, honey = ingredient(result, LEMON), ingredient(result, "honey")
    ml = read_ml(lemon.measure)
    assert lemon.ml == pytest.approx(ml, rel=1e-6)
    assert lemon.grams == pytest.approx(ml * facts.acidulant(LEMON).g_per_ml.typical, rel=1e-6)
    assert ingredient(result, "calcium water").ml == pytest.approx(read_ml(ingredient(result, "calcium water").measure), rel=1e-6)
    pectin = ingredient(result, "calcium-set pectin")
    weighed = lines.read_line(f"{pectin.measure} calcium-set pectin").amount.grams
    assert (weighed is not None) == (units == "metric"), "a metric kitchen weighs its powder"
    assert pectin.grams == pytest.approx(weighed or read_ml(pectin.measure) / measures.TSP_ML * setting.pectin_g_per_tsp(), rel=1e-6)
    held = lines.read_line(f"{honey.measure} honey")
    assert honey.grams == pytest.approx(assemble.sweetener_grams(held, facts.sweetener("honey")), rel=1e-6)
    assert ingredient(result, "water").measure == "1 cup"


def read_ml(text: str) -> float:
    ml = lines.read_line(f"{text} water").amount.ml
    assert ml is not None
    return ml


def test_the_reported_ph_is_reckoned_from_the_measured_grams() -> None:
    result = run("1 kg prepared plums", sweetener="maple syrup")
    grams = {each.item: each.grams for each in result.ingredients}
    assert grams[LEMON] > result.lemon_juice.needed_g
    amounts = batch_acidity.Sourables(
        batch=result.batch, sweetener_g=(grams["maple_syrup"],), added_water_g=grams["calcium water"], lemon_g=grams[LEMON]
    )
    assert result.acidity.ph.high == round(batch_acidity.high_side_ph(amounts), 2)
    assert result.acidity.ph.high <= 4.00
    just_enough = batch_acidity.Sourables(
        batch=result.batch,
        sweetener_g=(grams["maple_syrup"],),
        added_water_g=grams["calcium water"],
        lemon_g=0.9 * result.lemon_juice.needed_g,
    )
    assert batch_acidity.high_side_ph(just_enough) > 4.005


@pytest.mark.parametrize("fruit", ["plum", "peach", "pear", "apricot", "sweet_cherry", "kiwi", "apple"])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_lemon_is_never_rounded_down_nor_much_up(fruit: str, units: str) -> None:
    for grams in (60, 333, 1000, 2717):
        lemon = run(line(fruit, grams), units=units).lemon_juice
        assert lemon.needed_g - 1e-9 <= lemon.grams <= 1.031 * lemon.needed_g + 0.65  # an eighth of a teaspoon is 0.64 g


# ---------------------------------------------------------------- as written, and sized


def test_pectin_calcium_water_and_sweetener_lines_are_taken_as_written() -> None:
    result = run("1 kg prepared plums", "5 tsp calcium-set pectin", "2 tsp calcium water", "1/3 cup honey", "50 g sugar")
    assert result.pectin.grams == pytest.approx(15.0)
    assert result.pectin.measure == "5 tsp"
    assert result.calcium_water.ml == pytest.approx(2 * measures.TSP_ML)
    assert ingredient(result, "honey").measure == "1/3 cup"
    assert ingredient(result, "sugar").grams == 50.0
    assert result.lemon_juice.needed_g > 0.0  # acid is asked for all the same


def test_calcium_water_thins_the_pot_that_is_reported() -> None:
    """Nine tenths of a litre in a kilogram of plums: the same acids in nearly twice the water."""
    plain, thin = (run(line("plum", 1000), *more) for more in (("1 tsp calcium water",), ("180 tsp calcium water",)))
    assert thin.acidity.ph_before_lemon.typical > plain.acidity.ph_before_lemon.typical + 0.02
    assert thin.acidity.ph_before_lemon.high > plain.acidity.ph_before_lemon.high + 0.02
    assert thin.lemon_juice.needed_g > plain.lemon_juice.needed_g + 5.0


def test_an_acid_line_is_a_floor() -> None:
    plain = run("1 kg prepared plums").lemon_juice.needed_g
    less = run("1 kg prepared plums", "1 tsp bottled lemon juice").lemon_juice
    more = run("1 kg prepared plums", "1 cup bottled lemon juice").lemon_juice
    assert less.needed_g == pytest.approx(plain, rel=1e-3)
    assert more.measure == "1 cup"
    assert more.grams == pytest.approx(measures.CUP_ML * facts.acidulant(LEMON).g_per_ml.typical)
    assert run("1 kg prepared strawberries", "2 tbsp bottled lemon juice").lemon_juice.measure == "2 tbsp"


def test_another_acid_line_takes_the_place_of_lemon_juice() -> None:
    result = run("1 kg prepared plums", "1 1/2 tsp citric acid")
    assert result.lemon_juice.grams == 0.0
    assert result.storage == "shelf"
    assert ingredient(result, "citric_acid").measure == "1 1/2 tsp"


def test_a_sweetener_name_is_sized_to_a_stated_sweetness() -> None:
    sugar = ingredient(run("1 kg prepared plums", sweetener="sugar", sweetness=20, units="metric"), "sugar").grams
    honey = ingredient(run("1 kg prepared plums", sweetener="honey", sweetness=20, units="metric"), "honey").grams
    assert sugar == pytest.approx(200.0, abs=1.0)
    assert honey == pytest.approx(200.0 / facts.sweetener("honey").sweetness.typical, abs=1.0)
    assert not any(each.role == "sweetener" for each in run("1 kg prepared plums").ingredients)


def test_sweetness_goes_up_with_what_is_asked() -> None:
    grams = [
        ingredient(run("1 kg prepared plums", sweetener="honey", sweetness=percent, units="metric"), "honey").grams
        for percent in (5, 10, 16, 40)
    ]
    assert grams == sorted(grams)
    assert grams[-1] == pytest.approx(8.0 * grams[0], rel=0.02)
    assert run("1 kg prepared plums", sweetener="honey", sweetness=0).solids_percent.typical < 16.0


def test_a_named_sweetener_makes_up_what_the_lines_leave_open() -> None:
    alone = ingredient(run("1 kg prepared plums", sweetener="sugar", sweetness=20, units="metric"), "sugar").grams
    beside = run("1 kg prepared plums", "100 g honey", sweetener="sugar", sweetness=20, units="metric")
    assert ingredient(beside, "honey").grams == 100.0
    assert ingredient(beside, "sugar").grams == pytest.approx(alone - 100.0 * facts.sweetener("honey").sweetness.typical, abs=2.0)


@pytest.mark.parametrize("pectin", ["1 packet standard pectin", "1.75 oz no-sugar pectin", "1 pouch liquid pectin"])
def test_calcium_water_is_for_calcium_set_pectin_only(pectin: str) -> None:
    result = settled(run("1 kg prepared plums", pectin, "500 g sugar"))
    assert result.calcium_water.ml == 0.0
    assert result.gel_set.strength == "none"
    assert not any(finding.id in ("no-calcium-water", "calcium-optional") for finding in result.findings)


def test_firmer_takes_more_pectin_and_more_calcium() -> None:
    soft, medium, firm = (run("1 kg prepared plums", set=each) for each in ("soft", "medium", "firm"))
    assert soft.pectin.needed_g < medium.pectin.needed_g < firm.pectin.needed_g
    assert soft.calcium_water.calcium_mg < medium.calcium_water.calcium_mg < firm.calcium_water.calcium_mg
    assert medium.gel_set.strength == "medium"


# ---------------------------------------------------------------- decided jumps


def batch_of(*texts: str, **more: Any) -> Batch:
    return assemble.put_together(several.read_lines(list(texts)), Settings(draws=0, **more))


def test_the_doses_are_those_that_the_pot_of_them_asks_for() -> None:
    batch = batch_of("1 kg prepared plums", "300 g prepared pears")
    found = dosing.doses_of(batch, shelf_open=True)
    pot = dosing.pot_of(batch, found.doses)
    regime = dosing.regime_of(pot, for_shelf=True)
    assert regime == dosing.Regime(for_shelf=True, sour_enough=False, calcium_left_out=False, boiled_down=False)
    again = dosing.asked(pot, regime)
    assert again.lemon_g == pytest.approx(found.doses.lemon_g, rel=1e-5)
    assert again.pectin_g == pytest.approx(found.doses.pectin_g, rel=1e-5)
    assert again.calcium_water_ml == pytest.approx(found.doses.calcium_water_ml, rel=1e-5)
    assert found.solution.converged


@pytest.mark.parametrize("lines", [("1 kg prepared plums",), ("1 kg prepared guavas",), ("1 kg black currants", "500 g water")])
@pytest.mark.parametrize("for_shelf", [True, False])
def test_within_a_regime_nothing_jumps(lines: tuple[str, ...], for_shelf: bool) -> None:
    """A trial far off, past every limit, changes nothing of what the next one asks for; and a small step is a small step."""
    batch = assemble.put_together(several.read_lines(list(lines)), Settings(draws=0), sweetener="honey")
    start = Doses(lemon_g=40.0, sweetener_g=(150.0,), pectin_g=8.0, calcium_water_ml=10.0)
    regime = dosing.regime_of(dosing.pot_of(batch, start), for_shelf=for_shelf)

    def asked(step: float) -> tuple[float, float, float]:
        trial = Doses(lemon_g=400.0 * step, sweetener_g=(3000.0 * step,), pectin_g=40.0 * step, calcium_water_ml=4000.0 * step)
        found = dosing.asked(dosing.pot_of(batch, trial, boiled_down=regime.boiled_down), regime)
        return found.lemon_g, found.pectin_g, found.calcium_water_ml

    row = [asked(step / 400.0) for step in range(401)]
    for before, after in itertools.pairwise(row):
        assert all(abs(new - old) < 5.0 for old, new in zip(before, after, strict=True))
    assert [asked(step / 400.0) for step in reversed(range(401))] == row[::-1]


def test_the_lemon_juice_is_worked_out_with_the_sweetener_in_the_pot() -> None:
    """The water of a syrup thins the acid, and its ash takes some of it; the solution itself must know."""
    read = several.read_lines(["1 kg prepared strawberries"])
    syrup = assemble.put_together(read, Settings(draws=0), sweetener="maple_syrup")
    alone = dosing.doses_of(batch_of("1 kg prepared strawberries"), shelf_open=True).doses.lemon_g
    assert dosing.doses_of(syrup, shelf_open=True).doses.lemon_g > 1.2 * alone


def test_out_of_reach_is_a_decision_too() -> None:
    found = dosing.doses_of(batch_of("1 kg prepared guavas"), shelf_open=True)
    assert not found.for_shelf
    assert found.doses.lemon_g <= 60.0


def test_doses_that_did_not_settle_are_still_sour_enough_or_cold(monkeypatch: pytest.MonkeyPatch) -> None:
    """The documented way out: the pot is judged as it is measured out, and every answer says so."""
    half = dosing.fixed_point

    def cut_short(function: Any, start: Any) -> SystemRoot:
        values = tuple(value / 2.0 for value in half(function, start).values)
        return SystemRoot(values=values, converged=False, residual=0.01, iterations=60)

    monkeypatch.setattr(dosing, "fixed_point", cut_short)
    for fruit in ("plum", "pear", "guava", "strawberry"):
        result = run(line(fruit, 1000), sweetener="maple syrup")
        assert not result.solution.converged
        assert (result.storage == "shelf") == (result.acidity.ph.high <= 4.00)
    assert run(line("plum", 1000)).storage == "shelf"


def test_rich_fruit_gets_no_calcium_water_and_is_told_so() -> None:
    result = run("1 kg black currants")
    assert result.calcium_water.ml == 0.0
    assert any(finding.id == "no-calcium-water" for finding in result.findings)


# ---------------------------------------------------------------- cold, and hopeless


def test_kept_cold_the_lemon_is_for_taste() -> None:
    shelf, cold = (run("1 kg prepared plums", store=store).lemon_juice.needed_g for store in ("shelf", "cold"))
    assert cold < 1.0  # plums are below 3.6 as they are, typically
    assert shelf > 40.0
    pears = run("1 kg prepared pears", store="cold")
    assert 0.0 < pears.lemon_juice.needed_g < 60.0
    assert pears.acidity.ph.typical == pytest.approx(3.60, abs=0.02)


def test_the_heat_shy_and_the_too_large_are_cold_with_the_reason() -> None:
    shy = next(key for key in facts.keys("sweetener") if not facts.sweetener(key).stands_process)
    for options, found in (({"sweetener": called(shy, "sweetener")}, "heat-shy-sweetener"), ({"jar": "quart"}, "jar-too-large")):
        result = run("1 kg strawberries", **options)
        assert (result.storage, result.process) == ("cold", None)
        assert found in {finding.id for finding in result.findings}


@pytest.mark.parametrize("key", ["banana", "elderberry", "white_peach", "fig", "guava"])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_dose_for_taste_stays_within_its_cap(key: str, units: str) -> None:
    """At most 60 g per kg of fruit where the shelf is out of reach."""
    result = settled(run(line(key, 1000), units=units))
    assert result.storage == "cold"
    assert result.lemon_juice.grams <= 60.0 + 1e-6


@pytest.mark.parametrize(
    ("lines", "finding"),
    [
        (["3 lb plums", "1/2 tsp calcium-set pectin"], "set-none"),
        (["3 lb plums", "12 tsp calcium-set pectin"], "set-firm"),
        (["3 lb plums", "3 1/2 tsp calcium-set pectin", "100 tsp calcium water"], "too-much-calcium"),
        (["3 lb plums", "1 packet standard pectin"], "needs-sugar"),
    ],
)
def test_what_was_written_for_the_set_is_remarked_on(lines: list[str], finding: str) -> None:
    assert finding in {each.id for each in run(*lines).findings}
    assert run(*lines).order_of_work


def test_why_no_more_lemon_juice_is_said() -> None:
    ids = {each.id for each in run(line("guava", 1000)).findings}
    assert {"measure", "lemon-out-of-reach"} <= ids
    alone = run(line("plum", 1000), reading="plum TA 1.2")
    assert "reading-alone" in {each.id for each in alone.findings}
    assert alone.storage == "shelf"
    assert alone.lemon_juice.grams > 0.0


def test_asked_for_cold_nobody_is_sent_to_a_meter() -> None:
    result = run(line("plum", 1000), store="cold")
    assert result.storage == "cold"
    assert "measure" not in {each.id for each in result.findings}


def test_frozen_fruit_is_thawed_and_pectin_without_sweetener_gets_juice_free_of_calcium() -> None:
    work = run("1 lb frozen blackberries").order_of_work
    mixing = next(step for step in work if "mash" in step)
    assert mixing.startswith("Thaw")
    assert mixing.index("juice aside for the pectin") < mixing.index("calcium water")


@pytest.mark.parametrize("key", ["refrigerated-apple-spread", "refrigerated-grape-spread", "strawberry-freezer"])
def test_a_tested_recipe_for_the_cold_is_never_for_the_shelf(key: str) -> None:
    """Its agency keeps it cold; that it is tested is no reason for the shelf."""
    result = jamcalc.check(key, draws=0)
    assert (result.storage, result.process) == ("cold", None)


def test_where_a_tested_recipe_is_kept_is_what_its_agency_says() -> None:
    """One for the shelf, were it printed for the refrigerator: the same pot is cold."""
    batch = jamcalc.check("peach-pineapple-spread", draws=0).batch
    assert batch.standing == "tested"
    for keep, kept in (("cold", "cold"), ("shelf", "shelf"), (None, "shelf")):
        assert solve(replace(batch, keep=keep)).verdict.storage == kept


def test_reasons_stand_in_the_order_in_which_they_become_known() -> None:
    """That it is not cooked is known of the lines; that it fills no jar once all is dosed."""
    reasons = [finding.id for finding in solve(batch_of("100 g prepared plums", boil_min=0.0, simmer_min=0.0)).verdict.findings]
    assert reasons == ["not-hot-packed", "part-jar"]


def test_without_a_floor_a_sour_pot_gets_not_a_drop() -> None:
    """Rhubarb is at pH 3.1 to 3.4 (FDA): nothing is to be soured."""
    assert solve(batch_of("2 lb rhubarb")).needed.lemon_g == 0.0


def test_a_height_without_minutes_is_a_reason_and_so_is_a_jar_and_one_is_enough() -> None:
    """No table goes above 10,000 ft, and none is for quarts: where the jar is too large its height is not asked about."""
    for more, reasons in (({"altitude_ft": 11_000.0}, ["altitude"]), ({"jar": "quart", "altitude_ft": 11_000.0}, ["jar-too-large"])):
        found = solve(batch_of("3 kg strawberries", **more))
        assert (found.verdict.storage, found.process) == ("cold", None)
        assert [finding.id for finding in found.verdict.findings] == reasons


def test_a_reading_above_all_that_was_worked_out_is_said_with_both_figures() -> None:
    """Strawberries that a meter puts at 4.40, in a pot that the tables put under it."""
    plain, read = (solve(batch_of("1 kg strawberries", batch_ph=ph)) for ph in (None, 4.4))
    (note,) = read.verdict.notes
    assert "reads pH 4.40, " in note.text
    assert f"at most {batch_acidity.high_side_ph(read.pot.amounts):.2f}" in note.text
    assert plain.verdict.notes == ()


@pytest.mark.parametrize("fruit", ["plum", "rhubarb"])
@pytest.mark.parametrize("asked_g", [None, 3.0, 500.0])
def test_what_rounding_asks_for_is_never_less_than_was_needed(fruit: str, asked_g: float | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pot that whole spoons have thinned gets what the shelf then asks for, where that is more; nothing is taken out of it."""
    batch = batch_of(line(fruit, 1000))
    dosed = dosing.doses_of(batch, shelf_open=True)
    assert (dosed.doses.lemon_g > 3.0) == (fruit == "plum")
    monkeypatch.setattr(batch_acidity, "sour_enough", lambda _: False)
    monkeypatch.setattr(batch_acidity, "lemon_for_shelf_g", lambda _: asked_g)
    needed, _, _ = solver._measured_out(batch, dosed)
    assert needed.lemon_g == max(dosed.doses.lemon_g, asked_g or 0.0)


# ---------------------------------------------------------------- another acid


@pytest.mark.parametrize("acid", ["bottled_lime_juice", "citric_acid"])
@pytest.mark.parametrize("fruit", ["plum", "pear", "sweet_cherry"])
def test_where_a_swap_is_enough_no_more_of_it_is_dosed(fruit: str, acid: str) -> None:
    lemon, other = (solve(batch_of(line(fruit, 1000), acid=key)) for key in (LEMON, acid))
    assert other.acid is not None
    assert other.acid == swapping.dose(lemon.pot.doses.lemon_g, acid, "us")


def test_of_the_cooks_own_lemon_juice_nothing_is_swapped() -> None:
    """She squeezes a tablespoon; of what is needed beyond it the other acid takes the place, and of nothing where that is enough."""
    lemon, other = (solve(batch_of("1 kg prepared plums", "1 tbsp bottled lemon juice", acid=acid)) for acid in (LEMON, "citric_acid"))
    own_g = lemon.asked.acids[0].grams
    assert other.acid == swapping.dose(lemon.pot.doses.lemon_g - own_g, "citric_acid", "us")
    assert other.pot.doses.lemon_g == own_g
    assert solve(batch_of("1 kg prepared plums", "1 cup bottled lemon juice", acid="citric_acid")).acid is None
    as_written = replace(batch_of("1 kg prepared plums", "1 tbsp bottled lemon juice", acid="citric_acid"), dose_acid=False)
    assert solve(as_written).acid is None


def test_a_few_drops_are_swapped_too() -> None:
    lemon, other = (solve(batch_of("10 g prepared plums", acid=acid)) for acid in (LEMON, "citric_acid"))
    assert 0.0 < lemon.pot.doses.lemon_g < 1.0
    assert other.acid is not None
    assert other.pot.doses.lemon_g == 0.0


@pytest.mark.parametrize("acid", ["bottled_lime_juice", "citric_acid"])
def test_a_swap_that_falls_short_is_raised_until_the_shelf_holds(acid: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were an acid half as strong as it is, more of it would be dosed: as much as just holds, and a measure over."""
    plain = solve(batch_of(line("plum", 1000), acid=acid))
    enough = swapping.dose

    def weak(lemon_g: float, key: str, units: str) -> AcidDose:
        return enough(0.55 * lemon_g, key, units)

    monkeypatch.setattr(swapping, "dose", weak)
    raised = solve(batch_of(line("plum", 1000), acid=acid))
    assert (raised.verdict.storage, plain.verdict.storage) == ("shelf", "shelf")
    assert batch_acidity.sour_enough(raised.pot.amounts)
    assert raised.acid is not None
    assert plain.acid is not None
    first = weak(plain.measured.doses.lemon_g or solve(batch_of(line("plum", 1000))).pot.doses.lemon_g, acid, "us")
    assert first.grams < raised.acid.grams <= plain.acid.grams


# ---------------------------------------------------------------- the set that is to be expected


def test_pectin_is_a_share_of_what_is_in_the_pot_at_the_end() -> None:
    """The cook's own 3 tsp at 3 g (a supplier's spoon), over the finished mass."""
    result = run("1 kg prepared plums", "3 tsp calcium-set pectin")
    assert result.gel_set.pectin_percent == pytest.approx(100.0 * 9.0 / result.yield_.mass_g.typical)


def test_calcium_is_told_by_the_gram_of_pectin() -> None:
    """Two teaspoons of calcium water more, 14.6 mg each, over 9 g of pectin; where there is no such pectin it is none."""
    little, much = (run("1 kg prepared plums", "3 tsp calcium-set pectin", f"{spoons} tsp calcium water") for spoons in (2, 4))
    more = much.gel_set.calcium_mg_per_g_pectin - little.gel_set.calcium_mg_per_g_pectin
    assert more == pytest.approx(2.0 * 14.6 / 9.0, rel=1e-3)  # a little of the fruit's own is boiled down alike
    without = run("1 kg prepared plums", "1 packet standard pectin").gel_set
    assert (without.calcium_mg_per_g_pectin, without.pectin_percent) == (0.0, 0.0)


def factor(times: float) -> Taught:
    return Taught(value=math.log(times), sd=0.05, next_sd=0.1, table=0.0, table_sd=0.2, batches=9, lots=0.1)


@pytest.mark.parametrize(
    ("pectin", "calcium", "strength"),
    [
        (1.0, 1.0, "medium"),
        (0.3, 1.0, "none"),  # under seven tenths of a soft dose, and a third as much of it as for a medium one
        (1.6, 1.6, "firm"),  # a medium dose is four fifths of a firm one
        (1.6, 0.4, "none"),  # more pectin wants more calcium, and there is a quarter for each of its sites
        (1.0, 0.3, "none"),  # under half of what is wanted sets nothing
        (1.0, 0.7, "soft"),  # and under four fifths of it is soft at best
        (1.5, 1.0, "soft"),
    ],
)
def test_what_the_book_knows_of_pectin_and_calcium_moves_the_set_to_be_expected(pectin: float, calcium: float, strength: str) -> None:
    """Of plums as dosed by the tables, calcium as for a medium set; one dose, whatever the book says of it."""
    tables = solve(batch_of("1 kg prepared plums"))
    learned = Learned(pectin=factor(pectin), calcium=factor(calcium))
    pot = dosing.pot_of(replace(tables.pot.batch, learned=learned), tables.pot.doses)
    assert gel_set(pot, tables.calcium).strength == strength


def test_calcium_that_the_book_holds_to_be_weak_is_not_too_much() -> None:
    pot = solve(batch_of("3 lb plums", "3 1/2 tsp calcium-set pectin", "100 tsp calcium water")).pot
    for times, too_much in ((1.0, True), (0.05, False)):
        known = dosing.pot_of(replace(pot.batch, learned=Learned(calcium=factor(times))), pot.doses)
        assert gel_set(known, solve(pot.batch).calcium).too_much_calcium == too_much


def test_calcium_is_too_much_by_the_sites_of_both_pectins() -> None:
    """2.0 meq in a gram of the powder (a maker's figure), half of 1.9 in a gram of the fruit's own; apple juice has little of that."""
    plain = solve(batch_of("1 kg apple juice"))
    seen = set()
    for spoons in range(4, 60):
        pot = dosing.pot_of(plain.pot.batch, replace(plain.pot.doses, calcium_water_ml=spoons * measures.TSP_ML))
        sites_meq = 2.0 * pot.doses.pectin_g + 0.5 * 1.9 * pot.mixture.native_pectin_g
        calcium_meq = 2.0 * (pot.mixture.calcium_available_mg + 14.6 * spoons) / 40.08
        too_much = calcium_meq / sites_meq > setting.most_ratio(pot.solids_percent)
        assert gel_set(pot, plain.calcium).too_much_calcium == too_much, spoons
        seen.add(too_much)
    assert seen == {False, True}


def test_a_little_pectin_has_its_calcium_too() -> None:
    """0.4 g in a taste of jam: two teaspoons of calcium water, 14.6 mg each, and at most what the fruit holds."""
    told = run("40 g prepared plums", "2 tsp calcium water", "0.4 g calcium-set pectin").gel_set
    assert 29.2 / 0.4 < told.calcium_mg_per_g_pectin <= (29.2 + told.calcium_from_fruit_mg) / 0.4


@pytest.mark.parametrize("fruit", ["rose_hip", "black_currant", "red_currant", "strawberry"])
def test_no_set_is_expected_of_calcium_where_there_is_no_pectin_for_it(fruit: str) -> None:
    """However much pectin the fruit has of its own: that sets with sugar."""
    assert run(line(fruit, 1000), "1 packet standard pectin").gel_set.strength == "none"
