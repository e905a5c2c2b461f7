"""The chemistry of sourness: each step of it, then one fruit, one mixture and one dose.

Charges at a pH are worked out here once more, from the constants as a textbook prints them.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import numpy
import pytest
from scipy.optimize import brentq

from jamcalc import facts
from jamcalc.chemistry import acidity, many_pools
from jamcalc.chemistry.acidity import AcidPool
from jamcalc.errors import UnknownItem
from jamcalc.formula import batch_acidity

KEYS = [*facts.keys("fruit"), *facts.keys("juice"), *facts.keys("vegetable")]


# ---------------------------------------------------------------- the steps


def mean_charge(pkas: list[float], ph: float) -> float:
    """Mean negative charge of an acid: sum of i 10^(i pH - sum pKa) over 1 + the same without the i."""
    terms = [10.0 ** (count * ph - sum(pkas[:count])) for count in range(1, len(pkas) + 1)]
    return sum(count * term for count, term in enumerate(terms, 1)) / (1.0 + sum(terms))


@pytest.mark.parametrize(
    ("acid", "ph", "charge"),
    [
        ("acetic", 4.756, 0.5),  # half way at its own constant
        ("quinic", 3.46, 0.5),
        ("malic", 4.278, 1.0),  # an acid with two protons carries one charge half way between its constants
        ("tartaric", 3.701, 1.0),
        ("citric", 3.128, 0.5173),  # the second step adds a little: (1 + 2 x 0.02328) / (2 + 0.02328)
        ("phosphoric", 4.673, 1.0),
    ],
)
def test_mean_charge_in_an_ideal_solution(acid: str, ph: float, charge: float) -> None:
    found, *_ = acidity._charges({acid: 1.0}, 10.0**ph, 0.0)
    assert found == pytest.approx(mean_charge(list(facts.acid_constants(acid).pka), ph), abs=1e-9)
    assert found == pytest.approx(charge, abs=0.0005)


@pytest.mark.parametrize("acid", ["citric", "malic", "tartaric", "oxalic", "quinic", "phosphoric", "acetic"])
@pytest.mark.parametrize("ph", [2.0, 3.3, 4.0, 6.5, 8.1])
def test_charge_and_square_at_any_ph(acid: str, ph: float) -> None:
    pkas = list(facts.acid_constants(acid).pka)
    charge, squares, _, hydrogen, hydroxide = acidity._charges({acid: 0.5}, 10.0**ph, 0.0)
    assert charge == pytest.approx(0.5 * mean_charge(pkas, ph), rel=1e-9)
    terms = [10.0 ** (count * ph - sum(pkas[:count])) for count in range(1, len(pkas) + 1)]
    assert squares == pytest.approx(0.5 * sum(count**2 * term for count, term in enumerate(terms, 1)) / (1.0 + sum(terms)), rel=1e-9)
    assert hydrogen == pytest.approx(10.0**-ph)
    assert hydrogen * hydroxide == pytest.approx(10.0**-13.995)


# Mixed constants at an ionic strength of 0.1 (hydrogen ion as activity, all else as concentration), from Davies' formula
# with the constants of data/acids.toml; worked out by a separate program and rounded to 0.01.
MIXED_PKA = {
    "citric": (3.02, 4.44, 5.86),
    "malic": (3.35, 4.78),
    "tartaric": (2.93, 4.04),
    "oxalic": (1.14, 3.95),
    "quinic": (3.35,),
    "phosphoric": (2.04, 6.88, 11.82),
    "acetic": (4.65,),
}


@pytest.mark.parametrize("acid", MIXED_PKA)
def test_mixed_constants_at_an_ionic_strength_of_a_tenth(acid: str) -> None:
    f = acidity.davies(0.1)
    for step, (pka, mixed) in enumerate(zip(facts.acid_constants(acid).pka, MIXED_PKA[acid], strict=True), 1):
        assert pka + ((step - 1) ** 2 - step**2) * f == pytest.approx(mixed, abs=0.006)
    # and the charges do follow them
    charge, *_ = acidity._charges({acid: 1.0}, 10.0**3.6, 0.1)
    assert charge == pytest.approx(mean_charge(list(MIXED_PKA[acid]), 3.6), abs=0.01)


def test_davies_by_hand() -> None:
    # 0.509 (0.316228 / 1.316228 - 0.03) = 0.107018
    assert acidity.davies(0.1) == pytest.approx(0.10702, abs=1e-5)
    assert acidity.davies(0.0) == 0.0


# ---------------------------------------------------------------- mixtures


def test_pure_water_is_neutral() -> None:
    assert acidity.mixture_ph({}) == pytest.approx(6.9975, abs=0.002)


def test_ideal_weak_acid_by_hand() -> None:
    # 0.1 mol/kg acetic acid: h = (-K + sqrt(K^2 + 4 K c)) / 2 = 1.3158e-3
    assert acidity.mixture_ph({"acetic": 0.1}, activities=False) == pytest.approx(2.8808, abs=0.0005)


def test_a_strong_base_as_much_as_a_one_proton_acid_gives_its_salt() -> None:
    assert acidity.mixture_ph({"acetic": 0.1}, 0.05, activities=False) == pytest.approx(4.756, abs=0.001)


def test_activities_lower_the_ph_of_a_salt() -> None:
    ideal, real = (acidity.mixture_ph({"citric": 0.05}, 0.05, activities=each) for each in (False, True))
    assert 0.1 < ideal - real < 0.25


@pytest.mark.parametrize("acid", ["citric", "malic", "tartaric", "oxalic", "quinic", "phosphoric", "acetic"])
def test_more_acid_is_lower_and_more_salt_is_higher(acid: str) -> None:
    by_acid = [acidity.mixture_ph({acid: amount}, 0.05) for amount in (0.01, 0.03, 0.1, 0.3, 1.0)]
    assert by_acid == sorted(by_acid, reverse=True)
    by_salt = [acidity.mixture_ph({acid: 0.1}, salt) for salt in (0.0, 0.02, 0.05, 0.1, 0.3)]
    assert by_salt == sorted(by_salt)


@pytest.mark.parametrize("bad", [-1e-9, -1.0, float("nan")])
def test_an_amount_below_zero_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="citric"):
        acidity.mixture_ph({"citric": bad})


def test_an_unknown_acid_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UnknownItem, match="citric, malic") as caught:
        acidity.mixture_ph({"lactic": 0.1})
    assert "citric" in caught.value.near


@pytest.mark.parametrize(
    ("acids", "salt"),
    [
        ({"citric": 1e-15}, 0.0),
        ({"citric": 50.0}, 0.0),
        ({"acetic": 0.0}, 0.0),
        ({"phosphoric": 1e6}, 3e5),
        (dict.fromkeys(MIXED_PKA, 50.0), 200.0),
    ],
)
def test_absurd_mixtures_have_a_ph_on_the_scale(acids: dict[str, float], salt: float) -> None:
    """What no kitchen holds must neither hang nor overflow."""
    assert 0.0 <= acidity.mixture_ph(acids, salt) <= 14.0


@pytest.mark.parametrize("salt", [1e9, -1e9, 50.0, -50.0])
def test_salt_that_nothing_balances_has_no_ph(salt: float) -> None:
    with pytest.raises(ValueError, match="no pH"):
        acidity.mixture_ph({}, salt)


# ---------------------------------------------------------------- one fruit


def corners(key: str) -> Iterator[tuple[float, float]]:
    fruit = facts.fruit(key)
    for ph in (fruit.ph.low, fruit.ph.typical, fruit.ph.high):
        for titratable in (fruit.titratable_percent.low, fruit.titratable_percent.typical, fruit.titratable_percent.high):
            yield ph, titratable


def kilogram(key: str, ph: float, titratable: float, limit: float | None) -> AcidPool:
    fruit = facts.fruit(key)
    return acidity.fruit_pool(
        ph=ph,
        titratable_percent=titratable,
        titrated_as=fruit.titrated_as,
        acid_share=fruit.acid_share,
        water_kg_per_kg=fruit.water_percent.typical / 100.0,
        strong_ion_limit_eq_per_kg=limit,
    )


def mineral_limit(key: str) -> float:
    return batch_acidity.MINERAL_LIMIT * facts.fruit(key).potassium_mg.typical * 10.0 / batch_acidity.POTASSIUM_MG_PER_EQ


def ionic_strength(pool: AcidPool, ph: float) -> float:
    """Of a pool at a pH, with the charges that its acids have near a tenth."""
    acids = {acid: mol / pool.water_kg for acid, mol in pool.acid_mol.items()}
    _, squares, _, hydrogen, hydroxide = acidity._charges(acids, 10.0**ph, 0.1)
    return float(0.5 * (abs(pool.strong_ion_eq) / pool.water_kg + squares + hydrogen + hydroxide))


DRIED_UNDER_PERCENT = 25.0  # water: dates and raisins
VALID_TO = 0.5  # mol/kg: the activities are good for no more, and no fresh fruit holds more


@pytest.mark.parametrize("key", KEYS)
def test_a_capped_fruit_keeps_its_ph(key: str) -> None:
    limit = mineral_limit(key)
    for ph, titratable in corners(key):
        pool = kilogram(key, ph, titratable, limit)
        assert pool.strong_ion_eq <= limit * (1.0 + 1e-6)
        if key == "date":  # a fifth water: its salts are beyond the activities, and it is never for a calculated shelf
            assert ionic_strength(pool, ph) > VALID_TO
            continue
        assert acidity.pool_ph(pool) == pytest.approx(ph, abs=1e-4)


@pytest.mark.parametrize("key", KEYS)
def test_an_uncapped_fruit_keeps_its_ph(key: str) -> None:
    for ph, titratable in corners(key):
        pool = kilogram(key, ph, titratable, None)
        if ionic_strength(pool, ph) <= VALID_TO and ph <= 6.0:  # near the end point of the titration it says nothing of the acids
            assert acidity.pool_ph(pool) == pytest.approx(ph, abs=1e-4)


@pytest.mark.parametrize("key", [key for key in KEYS if facts.fruit(key).ph.typical <= 4.6])
def test_a_fruit_titrates_to_its_acidity(key: str) -> None:
    fruit = facts.fruit(key)
    acid = facts.acid_constants(fruit.titrated_as)
    pool = kilogram(key, fruit.ph.typical, fruit.titratable_percent.typical, None)
    if fruit.water_percent.typical < DRIED_UNDER_PERCENT:  # its salts are beyond the activities
        assert ionic_strength(pool, fruit.ph.typical) > VALID_TO
        return
    titratable_eq = fruit.titratable_percent.typical * 10.0 / (acid.molar_mass / acid.protons)
    assert acidity.pool_titratable_eq(pool, fruit.ph.typical) == pytest.approx(titratable_eq, rel=0.05)


def test_the_cap_takes_acids_and_salts_together() -> None:
    """Blackberry at its sourest and saltiest: without the cap it would hold several times its potassium."""
    fruit, limit = facts.fruit("blackberry"), mineral_limit("blackberry")
    free = kilogram("blackberry", 4.5, 1.7, None)
    capped = kilogram("blackberry", 4.5, 1.7, limit)
    assert free.strong_ion_eq > 2.0 * limit
    assert capped.strong_ion_eq == pytest.approx(limit, rel=1e-6)
    factors = {acid: capped.acid_mol[acid] / free.acid_mol[acid] for acid in fruit.acid_share}
    assert max(factors.values()) - min(factors.values()) < 1e-9
    assert max(factors.values()) < 0.5


def test_a_cap_that_is_not_reached_changes_nothing() -> None:
    free, capped = (kilogram("strawberry", 3.3, 0.85, limit) for limit in (None, 10.0))
    assert capped.strong_ion_eq == pytest.approx(free.strong_ion_eq, rel=1e-9)


def test_less_acid_than_the_hydrogen_ions_alone_is_no_negative_acid() -> None:
    pool = kilogram("lemon", 2.0, 0.01, None)
    assert all(amount == 0.0 for amount in pool.acid_mol.values())
    assert acidity.pool_ph(pool) == pytest.approx(2.0, abs=0.01)


# ---------------------------------------------------------------- pools


def test_pools_add() -> None:
    one = AcidPool(acid_mol={"citric": 0.02, "malic": 0.01}, strong_ion_eq=0.03, water_kg=0.9)
    other = AcidPool(acid_mol={"malic": 0.04, "oxalic": 0.001}, strong_ion_eq=-0.01, water_kg=0.2)
    both = acidity.pooled([one, other])
    assert both.acid_mol == pytest.approx({"citric": 0.02, "malic": 0.05, "oxalic": 0.001})
    assert both.strong_ion_eq == pytest.approx(0.02)
    assert both.water_kg == pytest.approx(1.1)
    assert acidity.pool_ph(acidity.pooled([one, one])) == pytest.approx(acidity.pool_ph(one), abs=1e-6)
    assert acidity.pool_ph(one.times(7.3)) == pytest.approx(acidity.pool_ph(one), abs=1e-6)


def test_a_blend_is_not_an_average_of_ph() -> None:
    """A kilogram of lemon is worth far more than a kilogram of banana."""
    lemon, banana = kilogram("lemon", 2.4, 5.0, None), kilogram("banana", 5.0, 0.4, mineral_limit("banana"))
    found = acidity.pool_ph(acidity.pooled([lemon, banana]))
    assert found < (2.4 + 5.0) / 2.0 - 0.5


def test_arrays_and_floats_agree() -> None:
    ph = numpy.linspace(2.9, 4.4, 7)
    titratable = numpy.linspace(0.6, 2.0, 7)
    limit = mineral_limit("plum")
    fruit = facts.fruit("plum")
    arrays = acidity.fruit_pool(
        ph=ph,
        titratable_percent=titratable,
        titrated_as=fruit.titrated_as,
        acid_share=fruit.acid_share,
        water_kg_per_kg=fruit.water_percent.typical / 100.0,
        strong_ion_limit_eq_per_kg=limit,
    )
    juice = batch_acidity.lemon_pool("typical").times(40.0)
    drawn = acidity.drawn_ph(acidity.pooled([arrays, juice]), fruit.ph.typical)
    for index in range(7):
        single = kilogram("plum", float(ph[index]), float(titratable[index]), limit)
        assert arrays.strong_ion_eq[index] == pytest.approx(single.strong_ion_eq, rel=1e-5)
        assert drawn[index] == pytest.approx(acidity.pool_ph(acidity.pooled([single, juice])), abs=0.0011)


# ---------------------------------------------------------------- the dose


def test_the_dose_brings_the_ph_to_the_target() -> None:
    fruit, juice = kilogram("plum", 4.3, 1.9, mineral_limit("plum")), batch_acidity.lemon_pool("weak")
    found = many_pools.dose_for_ph(fruit, juice, 3.9, 300.0)
    assert found is not None
    assert acidity.pool_ph(acidity.pooled([fruit, juice.times(found)])) == pytest.approx(3.9, abs=1e-4)


def test_the_dose_falls_as_the_target_rises() -> None:
    fruit, juice = kilogram("plum", 4.3, 1.9, mineral_limit("plum")), batch_acidity.lemon_pool("weak")
    doses = [many_pools.dose_for_ph(fruit, juice, target, 500.0) for target in (3.6, 3.8, 3.9, 4.0, 4.2, 4.4)]
    grams = [dose for dose in doses if dose is not None]
    assert len(grams) == 6
    assert grams == sorted(grams, reverse=True)
    assert grams[-1] == 0.0  # sour enough as it is


def test_a_dose_out_of_reach_is_none() -> None:
    fruit, juice = kilogram("banana", 5.3, 0.5, mineral_limit("banana")), batch_acidity.lemon_pool("weak")
    needed = many_pools.dose_for_ph(fruit, juice, 3.9, 1000.0)
    assert needed is not None
    assert many_pools.dose_for_ph(fruit, juice, 3.9, 0.99 * needed) is None
    assert many_pools.dose_for_ph(fruit, juice, 3.9, 1.01 * needed) is not None
    assert many_pools.dose_for_ph(fruit, juice, 2.0, 1e6) is None  # no amount of juice is sourer than juice


@pytest.mark.parametrize("key", ["plum", "mango", "banana", "strawberry", "fig", "melon"])
def test_more_juice_never_raises_the_ph(key: str) -> None:
    fruit = facts.fruit(key)
    pool = kilogram(key, fruit.ph.high, fruit.titratable_percent.high, mineral_limit(key))
    found = [
        acidity.pool_ph(acidity.pooled([pool, batch_acidity.lemon_pool("weak").times(grams)])) for grams in (0, 5, 20, 60, 150, 400, 2000)
    ]
    assert found == sorted(found, reverse=True)
    assert math.isclose(found[0], fruit.ph.high, abs_tol=1e-4)


# ---------------------------------------------------------------- many pools at once, and pools beyond the search


def many() -> tuple[acidity.AcidPool, list[acidity.AcidPool]]:
    """Ten pools, as arrays and one by one."""
    ones = [kilogram("plum", 3.4 + 0.1 * place, 0.8 + 0.1 * place, mineral_limit("plum")) for place in range(10)]
    together = acidity.AcidPool(
        acid_mol={acid: numpy.array([pool.acid_mol[acid] for pool in ones]) for acid in ones[0].acid_mol},
        strong_ion_eq=numpy.array([pool.strong_ion_eq for pool in ones]),
        water_kg=numpy.array([pool.water_kg for pool in ones]),
    )
    return together, ones


def test_the_highest_of_many_is_the_highest_one_by_one() -> None:
    together, ones = many()
    assert many_pools.highest_ph(together) == pytest.approx(max(acidity.pool_ph(pool) for pool in ones), abs=1e-5)
    assert many_pools.highest_ph(ones[3]) == pytest.approx(acidity.pool_ph(ones[3]), abs=1e-5)


def odd_pools(count: int) -> list[acidity.AcidPool]:
    """Pools that no jam is: from next to nothing in water to syrups of acid, with salts of either sign."""
    draw = random.Random(7)
    acids = ("citric", "malic", "tartaric", "oxalic", "quinic", "phosphoric", "acetic")
    return [
        acidity.AcidPool(
            acid_mol={acid: 10.0 ** draw.uniform(-7, 0.5) for acid in draw.sample(acids, draw.randint(1, 4))},
            strong_ion_eq=draw.choice((0.0, 1.0, 1.0, -1.0)) * 10.0 ** draw.uniform(-6, 0.3),
            water_kg=10.0 ** draw.uniform(-1, 1),
        )
        for _ in range(count)
    ]


def bracketed_ph(pool: acidity.AcidPool) -> float:
    """The pH by Brent's method between the ends of the search, with the ionic strength settled at each step."""
    per_kg = {acid: mol / pool.water_kg for acid, mol in pool.acid_mol.items()}
    balance = acidity.Balance(per_kg, pool.strong_ion_eq / pool.water_kg)
    if balance.surplus(acidity.LOWEST_POT_PH) < 0.0:
        return acidity.LOWEST_POT_PH
    if balance.surplus(acidity.HIGHEST_POT_PH) > 0.0:
        return acidity.HIGHEST_POT_PH
    return float(brentq(balance.surplus, acidity.LOWEST_POT_PH, acidity.HIGHEST_POT_PH, xtol=1e-9))


def test_newton_s_method_finds_what_a_bracketed_search_finds() -> None:
    settled = 0
    for pool in odd_pools(400):
        per_kg = {acid: mol / pool.water_kg for acid, mol in pool.acid_mol.items()}
        settled += acidity.Balance(per_kg, pool.strong_ion_eq / pool.water_kg).ph(acidity.START_PH) is not None
        assert acidity.pool_ph(pool) == pytest.approx(bracketed_ph(pool), abs=2e-5), pool
    assert settled > 300  # and most without the other


def test_groups_side_by_side_are_as_each_alone() -> None:
    pools = odd_pools(40)
    together, _ = many()
    groups = [together, *pools[:20], together, pools[21]]
    assert many_pools.highest_of_each(groups) == pytest.approx([many_pools.highest_ph(group) for group in groups], abs=2e-5)


def test_none_above_is_what_the_highest_says() -> None:
    together, ones = many()
    for pool in (together, *ones):
        highest = many_pools.highest_ph(pool)
        assert many_pools.none_above_ph(pool, highest + 0.001)
        assert not many_pools.none_above_ph(pool, highest - 0.001)


@pytest.mark.parametrize("target", [3.2, 3.5, 3.9])
def test_the_dose_of_many_is_the_largest_one_by_one(target: float) -> None:
    together, ones = many()
    juice = batch_acidity.lemon_pool("weak")
    each = [many_pools.dose_for_ph(pool, juice, target, 2000.0) for pool in ones]
    assert many_pools.dose_for_ph(together, juice, target, 2000.0) == pytest.approx(
        max(dose for dose in each if dose is not None), rel=1e-4
    )
    assert many_pools.dose_for_ph(together, juice, target, 5.0) is None


def test_what_lies_beyond_the_search_is_held_to_its_ends() -> None:
    lye = acidity.AcidPool(acid_mol={"citric": 0.001}, strong_ion_eq=0.1, water_kg=1.0)
    acid = acidity.AcidPool(acid_mol={"oxalic": 20.0}, strong_ion_eq=-2.0, water_kg=1.0)
    assert acidity.pool_ph(lye) == acidity.HIGHEST_POT_PH
    assert acidity.pool_ph(acid) == acidity.LOWEST_POT_PH
    for pool in (lye, acid):  # what cannot be worked out is no acid batch
        assert many_pools.highest_ph(pool) == acidity.HIGHEST_POT_PH
