"""Laws: what must hold for every batch, whatever the figures in the tables.

Batches are drawn by hypothesis, the same ones in every run. Amounts start at 2 kg of fruit because the steam lost
in the pot grows less than the batch does.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import jamcalc
from jamcalc import facts
from jamcalc.chemistry import acidity
from jamcalc.formula import batch_acidity
from jamcalc.jars import filling

LAWFUL = settings(derandomize=True, deadline=None, max_examples=60)
FRUITS = sorted(key for key in facts.keys("fruit") if facts.fruit(key).kind == "fruit")
LEMON_PH = 2.6  # a cranberry can be sourer than the juice, which then draws it towards its own pH

fruits = st.lists(st.sampled_from(FRUITS), min_size=1, max_size=3, unique=True)
shares = st.lists(st.floats(0.2, 1.0), min_size=3, max_size=3)
sweeteners = st.sampled_from([None, "honey", "sugar", "maple syrup", "allulose"])


def lines(names: list[str], weights: list[float], total_g: float) -> list[str]:
    used = weights[: len(names)]
    grams = [round(weight / sum(used) * total_g) for weight in used]
    return [f"{gram} g prepared {facts.fruit(name).plural}" for name, gram in zip(names, grams, strict=True)]


@LAWFUL
@given(names=fruits, weights=shares, sweetener=sweeteners)
def test_twice_the_fruit_is_twice_the_batch(names: list[str], weights: list[float], sweetener: str | None) -> None:
    single = lines(names, weights, 2000.0)
    double = [f"{2 * int(line.split()[0])} {line.split(maxsplit=1)[1]}" for line in single]
    one, two = (jamcalc.batch(each, sweetener=sweetener, draws=0) for each in (single, double))
    # Spoons and cups bring their rounding into the sweetness and the water, hence half a per cent, or a gram.
    assert two.lemon_juice.needed_g == pytest.approx(2.0 * one.lemon_juice.needed_g, rel=0.005, abs=1.0)
    for result in (one, two):
        # Acid that the shelf rests on is never measured down; a dose for taste alone may be, to stay within its cap.
        least = 1.0 if result.storage == "shelf" else 0.8
        assert least * result.lemon_juice.needed_g - 1e-9 <= result.lemon_juice.grams <= 1.04 * result.lemon_juice.needed_g + 1.0
    assert two.acidity.ph.typical == pytest.approx(one.acidity.ph.typical, abs=0.02 + 1e-9)
    assert two.acidity.ph.high == pytest.approx(one.acidity.ph.high, abs=0.02 + 1e-9)
    assert two.pectin.needed_g == pytest.approx(2.0 * one.pectin.needed_g, rel=0.05)
    assert two.yield_.jars.expected == pytest.approx(2.0 * one.yield_.jars.expected, rel=0.05)
    assert two.storage == one.storage


@LAWFUL
@given(names=fruits, weights=shares, lemon_g=st.integers(0, 200), more_g=st.integers(5, 200))
def test_more_lemon_never_raises_ph(names: list[str], weights: list[float], lemon_g: int, more_g: int) -> None:
    def ph(grams: int) -> tuple[float, float]:
        juice = [f"{grams} g bottled lemon juice"] if grams else []
        found = jamcalc.check({"title": "A batch", "ingredients": lines(names, weights, 2000.0) + juice}, draws=0).acidity.ph
        return found.typical, found.high

    for less, more in zip(ph(lemon_g), ph(lemon_g + more_g), strict=True):
        assert more <= max(less, LEMON_PH)


@LAWFUL
@given(names=st.lists(st.sampled_from(FRUITS), min_size=2, max_size=2, unique=True), share=st.floats(0.05, 0.95))
def test_a_blend_lies_between_its_parts(names: list[str], share: float) -> None:
    first, second = lines(names, [share, 1.0 - share], 2000.0)

    def ph(*parts: str) -> float:
        return jamcalc.check({"title": "A batch", "ingredients": list(parts)}, draws=0).acidity.ph.typical

    ends = sorted((ph(first), ph(second)))
    # Ionic strength differs between blend and parts, and each pH is rounded to 0.01.
    assert ends[0] - 0.03 <= ph(first, second) <= ends[1] + 0.03


@LAWFUL
@given(names=fruits, weights=shares, sweetener=sweeteners)
def test_what_goes_in_comes_out(names: list[str], weights: list[float], sweetener: str | None) -> None:
    result = jamcalc.batch(lines(names, weights, 2000.0), sweetener=sweetener, boil=3, draws=0)
    poured = math.fsum(ingredient.grams for ingredient in result.ingredients)
    steam = filling.boil_off_g(3.0, 0.0, False, poured, poured)
    assert result.yield_.mass_g.typical == pytest.approx(poured - steam, abs=0.5)


@LAWFUL
@given(
    name=st.sampled_from(FRUITS),
    ph=st.floats(2.4, 6.0),
    titratable=st.floats(0.05, 3.0),
    limit=st.one_of(st.none(), st.floats(0.02, 0.2)),
)
def test_a_fruit_alone_keeps_its_ph(name: str, ph: float, titratable: float, limit: float | None) -> None:
    """Also where the mineral limit takes salts away: it must take the acids with them."""
    fruit = facts.fruit(name)
    water = fruit.water_percent.typical / 100.0
    assume(titratable * 10.0 / 67.0 / water > 1.05 * 10.0**-ph)  # more acid than its own hydrogen ions
    pool = acidity.fruit_pool(
        ph=ph,
        titratable_percent=titratable,
        titrated_as=fruit.titrated_as,
        acid_share=fruit.acid_share,
        water_kg_per_kg=water,
        strong_ion_limit_eq_per_kg=limit,
    )
    assume(pool.strong_ion_eq / water < 0.4)  # beyond any fruit; activities hold to an ionic strength of 0.5
    assert acidity.pool_ph(pool) == pytest.approx(ph, abs=0.005)
    assert limit is None or pool.strong_ion_eq <= limit * 1.001


@pytest.mark.parametrize("name", FRUITS)
def test_every_fruit_of_the_table_keeps_its_ph_at_every_corner(name: str) -> None:
    result = jamcalc.check({"title": "Fruit alone", "ingredients": [f"2 kg prepared {facts.fruit(name).plural}"]}, draws=0)
    fruit, found = facts.fruit(name), result.acidity.ph_before_lemon
    assert found.typical == pytest.approx(fruit.ph.typical, abs=0.011)
    assert found.high == pytest.approx(fruit.ph.high + batch_acidity.MODEL_MARGIN_PH, abs=0.011)


def test_a_measured_fruit_keeps_its_reading_and_is_never_capped() -> None:
    """Titratable acidity of 2.5 at pH 4.2 is more salt than a plum's potassium: for a table value it would be cut."""
    recipe = {"title": "Measured plums", "ingredients": ["2 kg prepared plums"]}
    measured = jamcalc.check(recipe, reading="plum pH 4.2 TA 2.5", draws=0).acidity
    assert measured.ph_before_lemon.typical == pytest.approx(4.2, abs=0.011)
    assert measured.ph_before_lemon.high == pytest.approx(4.2 + batch_acidity.READING_MARGIN_PH + batch_acidity.MODEL_MARGIN_PH, abs=0.011)
    assert measured.titratable_percent.typical > 2.0  # as citric acid, a little less than as malic


QUESTION = ["1500 g prepared plums", "500 g prepared blackberries"]


def test_the_same_question_gets_the_same_answer_in_any_process() -> None:
    command = [sys.executable, "-c", f"import json, jamcalc; print(json.dumps(jamcalc.batch({QUESTION!r}, sweetener='honey').to_dict()))"]
    answers = {
        subprocess.run(command, env={**os.environ, "PYTHONHASHSEED": seed}, check=True, capture_output=True, text=True).stdout.strip()
        for seed in ("1", "2")
    }
    first, second = (json.dumps(jamcalc.batch(QUESTION, sweetener="honey").to_dict()) for _ in range(2))
    assert answers == {first} == {second}
