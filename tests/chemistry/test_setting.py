"""Pectin and calcium: household doses and published gels, then laws."""

from __future__ import annotations

import itertools

import pytest

from jamcalc.chemistry import setting

# Fruit of the cases: grams, soluble solids %, texture, own pectin % (Belitz, Food Chemistry 2009, table 18.3, and memory),
# calcium mg per 100 g (USDA SR28), share of it within reach.
STRAWBERRY = (928.0, 8.0, "berry", 0.5, 16.0, 0.7)
RASPBERRY = (490.0, 8.5, "berry", 0.4, 25.0, 0.6)
BLUEBERRY_HALF = (480.0, 12.5, "berry", 0.4, 6.0, 0.7)
BLUEBERRY = (960.0, 12.5, "berry", 0.4, 6.0, 0.7)
MIXED = (980.0, 9.5, "berry", 0.45, 22.0, 0.65)
APRICOT = (980.0, 11.5, "fleshy", 1.0, 13.0, 0.7)
GRAPE_JUICE = (1012.0, 16.0, "juice", 0.05, 11.0, 0.7)
ONE_CUP_BERRY = (240.0, 9.5, "berry", 0.45, 22.0, 0.65)


def dose(fruits, sugar_g, other_g=0.0, ph=3.3, firmness="medium"):
    """Teaspoons of pectin and of calcium water, and R over the added pectin; lemon juice taken as 8 % solids."""
    batch_g = sum(fruit[0] for fruit in fruits) + sugar_g + other_g
    solids = 100.0 * (sum(fruit[0] * fruit[1] / 100.0 for fruit in fruits) + sugar_g + 0.08 * other_g) / batch_g
    credit = setting.texture_credit_percent([(fruit[0] / batch_g, fruit[2], fruit[3]) for fruit in fruits])
    pectin_g = setting.pectin_percent(solids, credit, firmness) / 100.0 * batch_g
    on_hand_mg = sum(fruit[0] * fruit[4] / 100.0 * fruit[5] for fruit in fruits)
    need = setting.calcium_to_add(pectin_g, solids, ph, 0.05, on_hand_mg, firmness)
    ratio = setting.calcium_ratio(pectin_g, on_hand_mg + need.added_mg)
    return pectin_g / setting.pectin_g_per_tsp(), need.added_mg / setting.calcium_water_mg_per_tsp(), ratio


# Household and extension recipes for calcium-set pectin; the tolerance is a factor either way (kitchens differ that much).
# No recipe prints its pH: strawberry 3.4, apricot 3.5, blends 3.3, and 3.2 with a quarter cup of lemon juice in berries or grape juice.
HOUSEHOLD = {
    "strawberry, 3/4 cup sugar (three recipe pages)": ([STRAWBERRY], 150, 0, 3.4, 2, 1.35, 2, 1.35),
    "strawberry, 2 cups sugar (same)": ([STRAWBERRY], 400, 0, 3.4, 2, 1.35, 2, 1.35),
    "raspberry and blueberry (hilltopacres.ca)": ([RASPBERRY, BLUEBERRY_HALF], 250, 30, 3.2, 2, 1.35, 2, 1.35),
    "blueberry (katesapartmentsteading, 2012)": ([BLUEBERRY], 200, 61, 3.2, 2, 1.35, 2, 1.35),
    "apricot (spanel.com)": ([APRICOT], 250, 61, 3.5, 3, 1.35, 4, 1.6),
    "white grape juice (sallyjadlow.com)": ([GRAPE_JUICE], 200, 61, 3.2, 4, 1.35, 4, 1.35),
    "one cup berries (Oregon State Univ. Extension, 2015)": ([ONE_CUP_BERRY], 75, 15, 3.3, 0.5, 1.35, 24 / 14.6, 3.0),
    "strawberry, uncooked, 3/4 cup water (kitchencommons.net)": ([STRAWBERRY], 200, 177, 3.4, 3, 1.35, 4, 1.6),
}


@pytest.mark.parametrize("case", HOUSEHOLD.values(), ids=HOUSEHOLD.keys())
def test_household_doses(case):
    fruits, sugar_g, other_g, ph, pectin_tsp, pectin_factor, calcium_tsp, calcium_factor = case
    got_pectin, got_calcium, ratio = dose(fruits, sugar_g, other_g, ph)
    assert pectin_tsp / pectin_factor <= got_pectin <= pectin_tsp * pectin_factor
    assert calcium_tsp / calcium_factor <= got_calcium <= calcium_tsp * calcium_factor
    assert 0.2 <= ratio <= 0.8  # 40-50 % of free carboxyl reacted is good, 80-90 % spoiled (Mechanism of gel formation, abstract)


def test_a_dose_that_a_cook_found_too_stiff():
    """wholegrain100.com: three berries with 2 tsp of each too stiff, 1 tsp of each liked."""
    soft_pectin, soft_calcium, _ = dose([MIXED], 200, 30, firmness="soft")
    medium_pectin, medium_calcium, _ = dose([MIXED], 200, 30)
    assert soft_pectin <= 1.6
    assert soft_calcium <= 1.6
    assert medium_pectin <= 2.6
    assert medium_calcium <= 2.6


SOFTER, MORE_CALCIUM = {"soft": 0.75, "medium": 1.0, "firm": 1.3}, {"soft": 0.85, "medium": 1.0, "firm": 1.15}


@pytest.mark.parametrize("firmness", ["soft", "medium", "firm"])
@pytest.mark.parametrize(("solids", "batch_g"), [(20, 1067), (35, 1313), (50, 1708)])
def test_the_dose_is_that_of_the_formulas_as_they_are_printed(solids, batch_g, firmness):
    """928 g of crushed strawberries at pH 3.4 with 0.05 mol/L citrate, worked out once more from the figures of LM-HOUSEHOLD, LM-TRADER,
    LM-CHART and LM-MAKER: s (1.05 - 0.0075 solids) less 0.30 for berries and 0.15 of their own pectin; R = q (0.40 - 0.004 solids) at
    pH 3.3 and 0.05 mol/L; 40.2 mg of calcium to a gram of pectin at R = 1; 5 to 16 mg added to a gram."""
    credit = setting.texture_credit_percent([(928 / batch_g, "berry", 0.5)])
    assert credit == pytest.approx(928 / batch_g * (0.30 + 0.15 * 0.5))
    percent = setting.pectin_percent(solids, credit, firmness)
    assert percent == pytest.approx(SOFTER[firmness] * (1.05 - 0.0075 * solids) - credit)
    grams, on_hand_mg = percent * batch_g / 100, 928 * 0.16 * 0.7
    free = setting.free_calcium_fraction(3.3, 0.05) / setting.free_calcium_fraction(3.4, 0.05)
    ratio = MORE_CALCIUM[firmness] * (0.40 - 0.004 * solids) * free
    assert setting.wanted_ratio(solids, 3.4, 0.05, firmness) == pytest.approx(ratio)
    need = setting.calcium_to_add(grams, solids, 3.4, 0.05, on_hand_mg, firmness)
    assert need.wanted_mg == pytest.approx(ratio * 40.2 * grams, rel=0.005)
    assert need.added_mg == pytest.approx(min(max(5 * grams, need.wanted_mg - on_hand_mg), 16 * grams))
    whole = setting.calcium_ratio(grams, on_hand_mg + need.added_mg)
    assert setting.strength(percent, credit, solids, whole, setting.wanted_ratio(solids, 3.4, 0.05, "medium")) == firmness


@pytest.mark.parametrize("firmness", ["soft", "medium", "firm"])
def test_no_more_than_16_mg_of_calcium_is_added_to_a_gram_of_pectin(firmness):
    """The strongest household dose seen (LM-HOUSEHOLD). Mild fruit full of citrate would ask for several times that."""
    need = setting.calcium_to_add(6.0, 10.0, 4.2, 0.08, 0.0, firmness)
    assert need.wanted_mg > 2 * 16 * 6.0
    assert need.added_mg == pytest.approx(16 * 6.0)


def test_published_gels():
    """Garnier et al. 1992: no sugar, gels from R 0.336 (0.364 by NMR). Lofgren, Hermansson 2007: 0.4 % conventional pectin (2.74 meq/g
    of free carboxyl at DM 33) with 68 mg calcium per g is coherent at 30 % sucrose and broken to micro-gels at 45 and 60 %."""
    assert 0.34 <= setting.wanted_ratio(0.0, 3.3, 0.05, "medium") <= 0.50
    assert not setting.too_much_calcium(0.4, 0.0, 0.4 * 68, 30, carboxyl_meq_per_g=2.74)
    assert setting.too_much_calcium(0.4, 0.0, 0.4 * 68, 45, carboxyl_meq_per_g=2.74)
    assert setting.too_much_calcium(0.4, 0.0, 0.4 * 68, 60, carboxyl_meq_per_g=2.74)


@pytest.mark.parametrize(("texture", "native"), [("berry", 0.5), ("juice", 0.0)])
def test_trade_dose(texture, native):
    """Japanese trader: about 10 g per kg jam (6 to 12), calcium lactate 5 % of the pectin, which is 6.5 mg added per g (4 to 8)."""
    percent = setting.pectin_percent(45.0, setting.texture_credit_percent([(0.55, texture, native)]), "firm")
    need = setting.calcium_to_add(10 * percent, 45.0, 3.3, 0.05, 60.0, "firm")
    assert 6.0 <= 10 * percent <= 12.0
    assert 4.0 <= need.added_mg / (10 * percent) <= 8.0


def test_free_calcium_at_the_table_and_between():
    assert setting.free_calcium_fraction(3.0, 0.05) == pytest.approx(0.816)  # NIST SRD 46 constants, ionic strength 0.1
    assert setting.free_calcium_fraction(3.8, 0.05) == pytest.approx(0.445)
    assert setting.free_calcium_fraction(3.3, 0.05) == pytest.approx(0.706, abs=0.003)  # solved directly, not read between
    assert setting.free_calcium_fraction(2.0, 0.0) == 0.955
    assert setting.free_calcium_fraction(5.0, 1.0) == 0.161


def test_free_calcium_falls_with_ph_and_citrate():
    steps = [value / 50 for value in range(135, 216)]
    for citrate in (0.0, 0.01, 0.02, 0.06, 0.2):
        values = [setting.free_calcium_fraction(ph, citrate) for ph in steps]
        assert all(first >= second for first, second in itertools.pairwise(values))
        assert all(first - second < 0.02 for first, second in itertools.pairwise(values))  # no jump
    assert setting.free_calcium_fraction(3.4, 0.02) > setting.free_calcium_fraction(3.4, 0.04)


def test_more_solids_less_pectin_firmer_more_pectin():
    for firmness in ("soft", "medium", "firm"):
        values = [setting.pectin_percent(solids, 0.1, firmness) for solids in range(0, 101)]
        assert all(first >= second for first, second in itertools.pairwise(values))
    assert setting.pectin_percent(20, 0.3, "soft") < setting.pectin_percent(20, 0.3, "medium") < setting.pectin_percent(20, 0.3, "firm")
    assert setting.pectin_percent(20, 5.0, "soft") == 0.25  # never less
    assert setting.pectin_percent(-10, -5.0, "firm") == 1.5  # never more
    assert setting.pectin_percent(65, 0.1, "medium") == setting.pectin_percent(90, 0.1, "medium")


def test_credit_is_shared_by_mass():
    both = setting.texture_credit_percent([(0.4, "berry", 0.5), (0.4, "fleshy", 0.9)])
    assert both == pytest.approx(0.4 * (0.30 + 0.15 * 0.5) + 0.4 * (0.10 + 0.15 * 0.9))
    assert setting.texture_credit_percent([]) == 0.0


def test_calcium_floor_optional_and_left_out():
    wanted = setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, 0.0, "medium").wanted_mg
    assert setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, 0.0, "medium").added_mg == pytest.approx(wanted)
    assert setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, wanted, "medium").added_mg == pytest.approx(30.0)  # 5 mg per g
    some, plenty = (setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, wanted * times, "medium") for times in (1.99, 2.01))
    assert (some.optional, plenty.optional) == (False, True)
    assert plenty.added_mg == pytest.approx(30.0)
    flooded = setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, wanted * 4.01, "medium")
    assert flooded.left_out
    assert flooded.added_mg == 0.0


def test_calcium_is_continuous_on_a_frozen_branch():
    needs = [setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, float(mg), "medium", left_out=False).added_mg for mg in range(0, 601)]
    assert all(0.0 <= first - second <= 1.0 + 1e-9 for first, second in itertools.pairwise(needs))
    assert setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, 0.0, "medium", left_out=True).added_mg == 0.0


def test_more_citrate_wants_more_calcium():
    ratios = [setting.wanted_ratio(20.0, 3.4, citrate, "medium") for citrate in (0.01, 0.03, 0.05, 0.08)]
    assert ratios == sorted(ratios)
    assert ratios[0] < ratios[-1]


def test_native_pectin_takes_up_calcium():
    assert setting.calcium_ratio(6.0, 40.2 * 6.0) == pytest.approx(1.0, abs=0.001)
    assert setting.calcium_ratio(6.0, 241.0, native_pectin_g=5.0) < setting.calcium_ratio(6.0, 241.0)
    assert setting.calcium_ratio(0.0, 10.0) == float("inf")
    assert not setting.too_much_calcium(0.0, 0.0, 500.0, 20.0)  # a jam without calcium-set pectin
    assert all(setting.wanted_ratio(solids, 3.3, 0.05, "firm") < setting.most_ratio(solids) for solids in range(0, 101))


@pytest.mark.parametrize(
    ("added", "ratio", "expected"),
    [
        (0.0, 1.0, "none"), (0.05, 1.0, "none"), (0.27, 1.0, "soft"), (0.57, 1.0, "medium"), (0.9, 1.0, "firm"),
        (0.9, 0.5, "firm"), (0.9, 0.22, "soft"), (0.9, 0.10, "none"), (0.57, 0.0, "none"),
    ],
)  # fmt: skip
def test_set_to_expect(added, ratio, expected):
    """0.27 % is the half dose (1 tsp in 4 cups) that two published blueberry and berry recipes use and call right."""
    wanted = setting.wanted_ratio(20.0, 3.3, 0.05, "medium")
    assert setting.strength(added, 0.32, 20.0, ratio, wanted) == expected


def test_every_household_dose_is_expected_to_set():
    """Published recipes lie at R 0.28 to 0.8 and are all said to set, at about 20 % solids."""
    wanted = setting.wanted_ratio(20.0, 3.3, 0.05, "medium")
    for ratio in (0.28, 0.4, 0.8):
        assert setting.strength(0.57, 0.32, 20.0, ratio, wanted) == "medium"


def test_the_cook_may_weigh_her_own():
    assert (setting.pectin_g_per_tsp(), setting.pectin_g_per_tsp(2.6)) == (3.0, 2.6)
    assert (setting.calcium_water_mg_per_tsp(), setting.calcium_water_mg_per_tsp(29.2)) == (14.6, 29.2)


# ---------------------------------------------------------------- the edges of each rule, as its docstring states them

DEMAND = 1.05 - 0.0075 * 20.0  # % of pectin for a medium set at 20 % solids


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (0.7 * 0.75 * 0.99, "none"), (0.7 * 0.75 * 1.01, "soft"),
        ((0.75 * 1.0) ** 0.5 * 0.99, "soft"), ((0.75 * 1.0) ** 0.5 * 1.01, "medium"),
        ((1.0 * 1.3) ** 0.5 * 0.99, "medium"), ((1.0 * 1.3) ** 0.5 * 1.01, "firm"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("credit", [0.0, 0.3])
def test_a_set_changes_its_name_half_way_between_two_doses(share, expected, credit):
    """Geometrically; nothing under the low end, 0.7, of what a soft dose is sure to (judgement)."""
    wanted = setting.wanted_ratio(20.0, 3.3, 0.05, "medium")
    assert setting.strength(share * DEMAND - credit, credit, 20.0, 2 * wanted, wanted) == expected
    assert setting.strength(0.0, share * DEMAND, 20.0, 2 * wanted, wanted) == "none"  # none of it, no set


@pytest.mark.parametrize(("times", "expected"), [(0.495, "none"), (0.505, "soft"), (0.81, "soft"), (0.83, "firm")])
def test_calcium_under_half_sets_nothing_and_under_four_fifths_a_soft_set_at_best(times, expected):
    wanted = setting.wanted_ratio(20.0, 3.3, 0.05, "medium")
    assert setting.strength(1.5 * DEMAND, 0.0, 20.0, times * wanted, wanted) == expected
    assert setting.strength(1.5 * DEMAND, 0.0, 20.0, 0.5 * wanted, wanted) == "soft"  # just half is not under half
    assert setting.strength(1.5 * DEMAND, 0.0, 20.0, 0.82 * wanted, wanted) == "firm"


@pytest.mark.parametrize("solids", [0.0, 20.0, 45.0, 65.0, 80.0])
def test_grain_begins_at_the_line_between_the_two_published_gels(solids):
    """R = 2.30 - 0.03 solids, held from 65 % (LOFGREN-2007), over added pectin and half of the fruit's own at 1.9 meq/g."""
    most = 2.30 - 0.03 * min(solids, 65.0)
    assert setting.most_ratio(solids) == pytest.approx(most)
    for native_g in (0.0, 4.0):
        edge_mg = most / 2.0 * 40.078 * (2.006 * 6.0 + 0.5 * 1.9 * native_g)
        assert not setting.too_much_calcium(6.0, native_g, 0.99 * edge_mg, solids)
        assert setting.too_much_calcium(6.0, native_g, 1.01 * edge_mg, solids)


def test_calcium_is_left_out_from_four_times_what_is_wanted():
    wanted_mg = setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, 0.0, "medium").wanted_mg
    just_under, just_over = (setting.calcium_to_add(6.0, 20.0, 3.3, 0.05, times * wanted_mg, "medium") for times in (3.97, 4.03))
    assert (just_under.left_out, just_under.added_mg) == (False, pytest.approx(30.0))
    assert (just_over.left_out, just_over.added_mg) == (True, 0.0)
    assert just_under.on_hand_mg == 3.97 * wanted_mg


@pytest.mark.parametrize(
    ("ph", "citrate", "free"),
    [
        (3.0, 0.03, 0.874), (4.2, 0.08, 0.161), (2.8, 0.01, 0.955),
        (3.1, 0.03, (0.874 + 0.825) / 2), (3.0, 0.04, (0.874 + 0.816) / 2), (3.05, 0.03, 0.874 - (0.874 - 0.825) / 4),
        (3.1, 0.04, (0.874 + 0.825 + 0.816 + 0.747) / 4), (3.0, 0.065, (0.816 + 0.742) / 2), (3.0, 0.015, 0.941 - (0.941 - 0.874) / 4),
        (2.0, 0.03, 0.910), (5.0, 0.03, 0.348), (3.0, 0.5, 0.742), (3.0, 0.0, 0.941),
    ],
)  # fmt: skip
def test_between_the_rows_of_the_table_it_is_read_by_straight_lines(ph, citrate, free):
    assert setting.free_calcium_fraction(ph, citrate) == pytest.approx(free, abs=1e-9)
