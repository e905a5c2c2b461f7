"""The high side of pH is a bound: of drawn batches, in an independent solver, for waters and sweeteners that lie beyond any jam."""

from __future__ import annotations

import random
from typing import Any

import numpy
import pytest

import jamcalc
from jamcalc import api, facts
from jamcalc.chemistry.acidity import AcidPool, fruit_pool, pooled
from jamcalc.chemistry.many_pools import highest_ph
from jamcalc.formula import assemble, batch_acidity
from jamcalc.formula.solver import Solved, solve
from jamcalc.nouns.asked import Settings
from jamcalc.nouns.known import Estimate
from jamcalc.reading import several

FRUITS = [*facts.keys("fruit"), *facts.keys("juice")]
FIT = [key for key in FRUITS if facts.fruit(key).fit.fitness == "fit"]
SWEETENERS = ["sugar", "honey", "maple syrup", "brown sugar", "coconut sugar", "apple juice concentrate", "white grape juice concentrate"]


def random_lines(draw: random.Random, kinds: list[str], most: int = 5) -> tuple[list[str], list[str]]:
    """Ingredient lines and readings of one batch: fruit, a sweetener, water, and a meter now and then."""
    keys = draw.sample(kinds, draw.randint(1, most))
    written = [f"{draw.randint(50, 1500)} g prepared {facts.fruit(key).plural}" for key in keys]
    readings = []
    for key in keys:
        fruit = facts.fruit(key)
        if draw.random() < 0.35:
            ph = draw.uniform(max(1.6, fruit.ph.low), fruit.ph.high)
            titratable = draw.uniform(fruit.titratable_percent.low, fruit.titratable_percent.high)
            readings.append(f"{fruit.name} pH {ph:.2f}" + (f" TA {titratable:.2f}" if draw.random() < 0.5 else ""))
    if draw.random() < 0.7:
        written.append(f"{draw.randint(20, 900)} g {draw.choice(SWEETENERS)}")
    if draw.random() < 0.4:
        written.append(f"{draw.randint(20, 900)} g water")
    return written, readings


def batches(seed: int, count: int, kinds: list[str], most: int = 5) -> list[Solved]:
    """So many random batches, dosed; the same ones in every run."""
    draw = random.Random(seed)
    found: list[Solved] = []
    while len(found) < count:
        written, readings = random_lines(draw, kinds, most)
        read = several.read_lines(written)
        found.append(solve(assemble.put_together(read, Settings(draws=0), readings=api.readings_from(readings))))
    return found


# ---------------------------------------------------------------- no assignment gives more

DRAWS_EACH = 100


def drawn(solved: Solved, random_numbers: Any) -> AcidPool:
    """The finished pot, with every fruit anywhere in its ranges, ash and water anywhere in theirs: a pool of as many arrays."""

    def within(span: Estimate) -> Any:
        # as many at the ends as between them: that is where the most is
        inside = random_numbers.uniform(span.low, span.high, DRAWS_EACH)
        ends = random_numbers.choice([span.low, span.high], DRAWS_EACH)
        return numpy.where(random_numbers.uniform(size=DRAWS_EACH) < 0.5, inside, ends)

    pools = []
    by_kind: dict[Any, Any] = {}
    batch, doses = solved.pot.batch, solved.pot.doses
    for part in batch.fruits:
        fruit, reading = part.fruit, part.reading
        if (fruit.key, reading) not in by_kind:
            ph: Estimate = fruit.ph
            if reading is not None and reading.ph is not None:
                ph = Estimate(low=reading.ph - 0.1, typical=reading.ph, high=reading.ph + 0.1)
            measured = reading is not None and reading.titratable_percent is not None
            by_kind[fruit.key, reading] = fruit_pool(
                ph=within(ph),
                titratable_percent=reading.titratable_percent if measured else within(fruit.titratable_percent),
                titrated_as=fruit.titrated_as,
                acid_share=fruit.acid_share,
                water_kg_per_kg=fruit.water_percent.typical / 100.0,
                strong_ion_limit_eq_per_kg=None if measured else batch_acidity.mineral_limit_eq_per_kg(fruit.potassium_mg),
            )
        pools.append(by_kind[fruit.key, reading].times(part.grams / 1000.0))
    for sweet, grams in zip(batch.sweeteners, doses.sweetener_g, strict=True):
        sweetener, kilograms = sweet.sweetener, grams / 1000.0
        water = sweetener.water_percent.typical / 100.0
        if sweetener.ph is not None:
            limit = sweetener.potassium_mg
            pools.append(
                fruit_pool(
                    ph=within(sweetener.ph),
                    titratable_percent=within(sweetener.titratable_percent),
                    titrated_as=sweetener.titrated_as,
                    acid_share=sweetener.acid_share,
                    water_kg_per_kg=water,
                    strong_ion_limit_eq_per_kg=None if limit is None else batch_acidity.mineral_limit_eq_per_kg(limit),
                ).times(kilograms)
            )
            continue
        ash = sweetener.strong_ion_meq_per_kg
        ash_eq = (within(ash) if ash is not None else numpy.zeros(DRAWS_EACH)) / 1000.0
        pools.append(AcidPool(acid_mol={"malic": ash_eq / 2.0}, strong_ion_eq=ash_eq, water_kg=water).times(kilograms))
    hard_eq = random_numbers.uniform(0.0, batch_acidity.HARD_WATER_EQ_PER_KG, DRAWS_EACH) * batch.water_g / 1000.0
    water_kg = (batch.water_g + doses.calcium_water_ml) / 1000.0
    pools.append(AcidPool(acid_mol={}, strong_ion_eq=hard_eq, water_kg=water_kg))
    pools.append(batch_acidity.lemon_pool("weak").times(doses.lemon_g))
    return pooled(pools)


@pytest.mark.parametrize("seed", range(4))
def test_no_assignment_inside_the_ranges_gives_more_than_the_high_side(seed: int) -> None:
    """10,000 draws over 100 batches: even before the margin the corner is the highest of them."""
    random_numbers = numpy.random.default_rng(seed)
    close = 0
    for solved in batches(seed, 25, FRUITS):
        most = highest_ph(drawn(solved, random_numbers))
        corner = batch_acidity.high_side_ph(solved.pot.amounts) - batch_acidity.MODEL_MARGIN_PH
        assert most <= corner + 2e-3 or corner >= 10.0, solved.pot.batch.title
        assert solved.acidity.ph.high >= round(min(most, 10.0) + 0.1, 2) - 0.01
        close += corner - most < 0.05
    assert close > 10  # and a bound that is reached, not one far off


# ---------------------------------------------------------------- an independent solver

# log K of protonation at 25 degC and zero ionic strength. Citrate, oxalate, acetate: NIST Standard Reference Database 46 as
# carried by MINTEQA2 v4; malate, tartrate, quinate: CRC Handbook, memory.
ORGANIC_ACIDS = """
SOLUTION_MASTER_SPECIES
 Cit Cit-3 0 189.10 189.10
 Mal Mal-2 0 132.07 132.07
 Tar Tar-2 0 148.07 148.07
 Oxa Oxa-2 0 88.02 88.02
 Qui Qui- 0 191.16 191.16
 Ace Ace- 0 59.04 59.04
SOLUTION_SPECIES
 Cit-3 = Cit-3; log_k 0
 Cit-3 + H+ = HCit-2; log_k 6.396
 Cit-3 + 2H+ = H2Cit-; log_k 11.157
 Cit-3 + 3H+ = H3Cit; log_k 14.285
 Mal-2 = Mal-2; log_k 0
 Mal-2 + H+ = HMal-; log_k 5.097
 Mal-2 + 2H+ = H2Mal; log_k 8.556
 Tar-2 = Tar-2; log_k 0
 Tar-2 + H+ = HTar-; log_k 4.366
 Tar-2 + 2H+ = H2Tar; log_k 7.402
 Oxa-2 = Oxa-2; log_k 0
 Oxa-2 + H+ = HOxa-; log_k 4.266
 Oxa-2 + 2H+ = H2Oxa; log_k 5.516
 Qui- = Qui-; log_k 0
 Qui- + H+ = HQui; log_k 3.46
 Ace- = Ace-; log_k 0
 Ace- + H+ = HAce; log_k 4.757
END
"""
ELEMENTS = {"citric": "Cit", "malic": "Mal", "tartaric": "Tar", "oxalic": "Oxa", "quinic": "Qui", "phosphoric": "P", "acetic": "Ace"}


def test_what_is_for_the_shelf_is_as_sour_in_an_independent_solver() -> None:
    """PHREEQC (Parkhurst and Appelo 2013, USGS Techniques and Methods 6-A43) at the worst corner of 400 final mixtures, with the margin."""
    phreeqc = pytest.importorskip("phreeqc", reason="the independent geochemical solver is not installed (test extra)")
    program = phreeqc.Phreeqc()
    program.LoadBuiltInDatabase("phreeqc.dat")
    assert program.RunString(ORGANIC_ACIDS) == 0, program.GetErrorString()
    asked, worst = 0, 0.0
    for solved in batches(400, 400, FIT, most=4):
        if solved.verdict.storage != "shelf":
            continue
        asked += 1
        pool = solved.pot.amounts.cautious_pool()
        for place in range(len(pool.strong_ion_eq)):
            water = float(numpy.broadcast_to(pool.water_kg, pool.strong_ion_eq.shape)[place])
            moles = {acid: float(numpy.broadcast_to(mol, pool.strong_ion_eq.shape)[place]) / water for acid, mol in pool.acid_mol.items()}
            amounts = "".join(f" {ELEMENTS[acid]} {amount!r}\n" for acid, amount in moles.items() if amount > 0.0)
            potassium = float(pool.strong_ion_eq[place]) / water
            solution = f"SOLUTION 1\n pH 4 charge\n units mol/kgw\n{amounts} K {potassium!r}\n"
            output = "SELECTED_OUTPUT\n -reset false\n -pH true\n -high_precision true\nEND"
            assert program.RunString(solution + output) == 0, program.GetErrorString()
            worst = max(worst, float(program.GetSelectedOutput()["pH"][-1]) + batch_acidity.MODEL_MARGIN_PH)
    assert asked > 150
    assert 3.9 < worst <= 4.03


# ---------------------------------------------------------------- measured fruit, waters, alkaline sweeteners

MEASURED = [
    (["1 kg prepared mulberries", "300 g brown sugar"], "mulberry pH 3.81"),
    (["1 kg prepared pears", "300 g brown sugar"], "pear pH 3.81"),
    (["1 kg prepared pears", "900 g water"], "pear pH 3.81"),
    (["1 kg prepared peaches", "400 g maple syrup"], "peach pH 3.85"),
    (["1 kg prepared apricots", "800 g water", "300 g coconut sugar"], "apricot pH 3.7"),
    (["1 kg prepared plums", "500 g brown sugar"], "plum pH 3.79"),
]


@pytest.mark.parametrize(("lines", "reading"), MEASURED)
def test_a_measured_fruit_counts_with_either_acidity(lines: list[str], reading: str) -> None:
    result = jamcalc.batch(lines, reading=reading, draws=0)
    fruit = facts.fruit(result.batch.fruits[0].fruit.key)
    highs = []
    for percent in (fruit.titratable_percent.low, fruit.titratable_percent.high):
        held = [f"{lines[0]}", *lines[1:]]
        grams = f"{result.lemon_juice.grams} g bottled lemon juice"
        recipe = {"title": "As dosed", "ingredients": [*held, grams] if result.lemon_juice.grams else held}
        highs.append(jamcalc.check(recipe, reading=f"{reading} TA {percent}", draws=0).acidity.ph.high)
    assert result.acidity.ph.high >= max(highs) - 0.03  # a measured acidity is not held to the mineral limit, a table's is
    assert (result.storage == "shelf") == (result.acidity.ph.high <= 4.00)


@pytest.mark.parametrize("reading", ["plum pH 3.60", "plum pH 3.60 TA 1.2"])
def test_a_reading_of_one_fruit_is_good_for_a_tenth_and_the_model_for_another(reading: str) -> None:
    ph = jamcalc.check({"title": "Plums", "ingredients": ["1 kg prepared plums"]}, reading=reading, draws=0).acidity.ph
    assert (ph.low, ph.typical, ph.high) == (3.50, 3.60, 3.80)
    batch = jamcalc.check({"title": "Plums", "ingredients": ["1 kg prepared plums"]}, reading="batch pH 3.60", draws=0).acidity.ph
    assert (batch.low, batch.typical, batch.high) == (3.50, 3.60, 3.70)


@pytest.mark.parametrize("fruit", ["plum", "peach", "apricot", "pear", "blackberry", "nectarine"])
def test_an_acidity_without_its_ph_is_dosed_from_the_tables_ph(fruit: str) -> None:
    key = facts.fruit(fruit)
    result = jamcalc.batch([f"1 kg {key.plural}"], reading=f"{fruit} TA {key.titratable_percent.typical}", draws=0)
    plain = jamcalc.batch([f"1 kg {key.plural}"], draws=0)
    assert (result.storage, plain.storage) == ("shelf", "shelf")
    assert 0.0 < result.lemon_juice.grams <= plain.lemon_juice.grams
    assert "reading-alone" in {finding.id for finding in result.findings}


@pytest.mark.parametrize(("reading", "said"), [("4.15", True), ("4.5", True), ("3.9", False), ("3.2", False)])
def test_a_reading_above_the_range_asks_for_the_meter_to_be_checked(reading: str, said: bool) -> None:
    result = jamcalc.batch(["1 kg strawberries"], reading=f"batch pH {reading}", draws=0)
    assert ("reading-high" in {finding.id for finding in result.findings}) == said
    assert result.storage == ("shelf" if float(reading) <= 4.2 else "cold")
    for end in ("low", "typical", "high"):
        assert getattr(result.acidity.ph_before_lemon, end) >= getattr(result.acidity.ph, end)


WATERS = ["1 cup water", "500 g water", "3 L water", "20 L water", "40 kg water"]
THIN = ["2 lb corn", "1 lb carrots", "1 kg prickly pears", "2 lb coconut", "42 g blueberries", "1 kg figs", "1 lb cranberries", "1 g lemon"]


@pytest.mark.parametrize("water", WATERS)
@pytest.mark.parametrize("fruit", THIN)
def test_any_amount_of_water_is_answered(fruit: str, water: str) -> None:
    result = jamcalc.batch([fruit, water])
    ph = result.acidity.ph
    assert ph.low <= ph.typical <= ph.high
    if ph.high > 4.0:
        assert result.storage == "cold"


@pytest.mark.parametrize("sweetener", ["coconut sugar", "brown sugar", "maple syrup", "white grape juice concentrate", "xylitol"])
@pytest.mark.parametrize("fruit", ["1 g mulberries", "1 lb cranberries", "10 g lemons", "1 kg pears", "5 g corn"])
@pytest.mark.parametrize("kilograms", [1, 40])
def test_any_amount_of_alkaline_sweetener_is_answered(fruit: str, sweetener: str, kilograms: int) -> None:
    for reading in (None, "batch pH 4.1"):
        result = jamcalc.batch([fruit, f"{kilograms} kg {sweetener}"], reading=reading)
        assert result.acidity.ph.low <= result.acidity.ph.typical <= result.acidity.ph.high
        assert result.storage == "cold" or reading is not None or result.acidity.ph.high <= 4.0


def test_what_lies_beyond_the_search_counts_as_over_the_wall() -> None:
    result = jamcalc.batch(["42 g blueberries", "488 g water"], draws=0)
    assert result.acidity.ph.high > 4.6
    assert {"thinned", "ph-over-limit"} <= {finding.id for finding in result.findings}
