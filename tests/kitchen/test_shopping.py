"""What to set out and buy: the answer's own amounts, less what the kitchen file says is there."""

from __future__ import annotations

import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

import jamcalc
from jamcalc.kitchen import household
from jamcalc.kitchen import packages as packages_module
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.nouns.outcome import BatchResult, BuyLine
from jamcalc.screens.answer_screen import answer
from jamcalc.screens.layout import console

STORES = Kitchen(
    jars_on_hand=(("half-pint", 7), ("pint", 2)),
    lids=6,
    lemon_juice_ml=118.3,
    pectin_g=20.0,
    calcium_powder_g=1.0,
    sweeteners_g=(("honey", 500.0), ("sugar", 2000.0)),
)


def batch(*lines: str, **options: object) -> BatchResult:
    return jamcalc.batch(list(lines), draws=0, **options)  # type: ignore[arg-type]


def bought(result: BatchResult) -> dict[str, BuyLine]:
    return {line.item: line for line in result.to_buy}


def test_every_line_is_the_batch_less_the_stores() -> None:
    result = batch("9 lb plums", sweetener="honey", kitchen=STORES)
    lines = bought(result)
    needed = {
        "plums": 9 * 453.59237,
        "honey": next(each.grams for each in result.ingredients if each.item == "honey"),
        "bottled lemon juice": result.lemon_juice.ml,
        "calcium-set pectin": result.pectin.grams,
    }
    for item, amount in needed.items():
        assert lines[item].needed == pytest.approx(amount)
    for line in result.to_buy:
        assert line.to_buy == pytest.approx(max(0.0, line.needed - (line.on_hand or 0.0)))
        assert (line.to_buy_text == "-") == (line.to_buy == 0.0)
    assert lines["plums"].to_buy == 0.0
    assert lines["honey"].on_hand == 500.0
    assert lines["bottled lemon juice"].on_hand == 118.3


def test_jars_and_lids_cover_the_high_end() -> None:
    result = batch("9 lb plums", sweetener="honey", kitchen=STORES)
    lines = bought(result)
    assert result.kitchen is not None
    assert result.kitchen.more_jars is not None
    assert (lines["pints"].needed, lines["pints"].to_buy) == (2, 0)
    assert (lines["half-pints"].needed, lines["half-pints"].to_buy) == (7 + result.kitchen.more_jars.count, result.kitchen.more_jars.count)
    assert lines["new lids"].needed == lines["pints"].needed + lines["half-pints"].needed


@pytest.mark.parametrize(("line", "makings"), [("2 tsp calcium water", 1), ("24 tsp calcium water", 1), ("25 tsp calcium water", 2)])
def test_calcium_powder_goes_by_the_jar_of_calcium_water(line: str, makings: int) -> None:
    """Half a teaspoon of powder in half a cup of water makes 24 teaspoons: every leaflet of a calcium-set pectin."""
    powder = bought(batch("4 lb plums", line, on_hand="11 half-pints"))["calcium powder"]
    assert powder.needed == pytest.approx(makings * 2.2)
    assert powder.needed_text.startswith(f"{'1/2' if makings == 1 else '1'} tsp")


def test_what_the_file_does_not_say_is_not_known() -> None:
    lines = bought(batch("3 lb plums", sweetener="honey", kitchen=Kitchen(lids=12)))
    assert lines["honey"].on_hand is None
    assert lines["honey"].on_hand_text == "?"
    assert lines["honey"].to_buy == lines["honey"].needed
    assert lines["half-pints"].on_hand is None
    assert lines["new lids"].to_buy == 0


def test_a_file_that_names_other_sweeteners_has_none_of_this_one() -> None:
    line = bought(batch("3 lb plums", sweetener="maple syrup", kitchen=STORES))["maple syrup"]
    assert (line.on_hand, line.on_hand_text) == (0.0, "-")


def test_fruit_for_the_jars_wanted_is_still_to_be_bought() -> None:
    line = bought(batch("plums", want="8 half-pints"))["plums"]
    assert line.to_buy == line.needed > 0


def test_no_calcium_powder_where_none_is_used() -> None:
    assert "calcium powder" not in bought(batch("3 lb plums", "1 packet standard pectin", on_hand="11 half-pints"))


def test_a_plain_batch_has_no_shopping_list() -> None:
    assert batch("3 lb plums", kitchen=Kitchen(altitude_ft=4300, pectin_g_per_tsp=3.1)).to_buy == ()


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_screen_keeps_to_80_columns_in_plain_words(units: str) -> None:
    kitchen = Kitchen(altitude_ft=4300, jars_on_hand=(("250-ml", 9), ("500-ml", 2)), pots=(Pot(quarts=4), Pot(quarts=5)), pectin_g=20.0)
    result = batch("9 lb plums", "2 lb pears", sweetener="honey", kitchen=kitchen, units=units)
    stream = io.StringIO()
    console(stream, color=False).print(answer(result, units=units))
    shown = stream.getvalue()
    assert max(map(len, shown.splitlines())) <= 80
    assert "To set out and buy" in shown
    assert "jars of 250 mL" in shown
    assert "jar jar" not in shown
    assert "your pots take 2 at a time" in " ".join(shown.split())


# ---------------------------------------------------------------- in what shops sell


def packages(result: BatchResult) -> dict[str, str]:
    return {line.item: line.buy.measure for line in result.to_buy if line.buy is not None}


def test_what_is_missing_is_said_in_packages() -> None:
    result = batch("plums", "blueberries", want="20 half-pints", sweetener="honey", kitchen=STORES)
    said = packages(result)
    assert said["bottled lemon juice"] == "1 bottle of 15 fl oz" if result.lemon_juice.ml > 118.3 else "bottled lemon juice" not in said
    assert said["calcium-set pectin"] == "1 packet of 1 oz"
    assert said["calcium powder"] == "1 envelope of 5 g, with the pectin"
    assert said["honey"] == "1 jar of 1 lb"
    assert said["plums"].endswith(" lb")
    assert said["blueberries"].endswith(" lb")
    assert re.fullmatch(r"[12] cases of 12|1 case of 12", said["half-pints"])
    assert said["new lids"] == "none: new jars bring theirs"


def test_lids_by_the_box_where_the_jars_are_there() -> None:
    kitchen = Kitchen(jars_on_hand=(("half-pint", 30),), lids=2)
    result = batch("9 lb plums", sweetener="honey", kitchen=kitchen)
    missing = bought(result)["new lids"].to_buy
    assert 12 < missing <= 24
    assert packages(result)["new lids"] == "2 boxes of 12"


@given(
    st.sampled_from(["bottled_lemon_juice", "calcium-set", "sugar", "maple_syrup", "lids", "half-pint", "honey", "calcium_powder"]),
    st.floats(0.01, 20_000.0),
    st.sampled_from([(), (("bottled_lemon_juice", 946.0), ("honey", 340.2), ("lids", 24.0), ("maple_syrup", 300.0))]),
)
def test_packages_hold_what_is_missing_and_one_fewer_would_not(key: str, missing: float, own: tuple[tuple[str, float], ...]) -> None:
    unit = "mL" if key == "bottled_lemon_juice" else "each" if key in ("lids", "half-pint") else "g"
    found = packages_module.needed(key, missing, unit, Kitchen(packages=own), "us")  # type: ignore[arg-type]
    assert found is not None
    assert found.count == int(found.count)
    assert (found.count - 1) * found.holds < missing + 1e-3
    assert missing <= found.count * found.holds * (1 + 1e-5)
    assert packages_module.needed(key, 0.0, unit, Kitchen(), "us") is None  # type: ignore[arg-type]


@given(st.floats(1.0, 50_000.0), st.sampled_from(["us", "metric"]), st.sampled_from(["plum", "blueberry"]))
def test_fruit_is_never_rounded_down(missing_g: float, units: str, key: str) -> None:
    found = packages_module.fruit(key, missing_g, units)
    assert found is not None
    assert missing_g <= found.count * found.holds * (1 + 1e-5) < missing_g + 0.5 * 453.6 + 1
    assert ("flat" in found.measure) == (key == "blueberry" and missing_g >= 0.75 * 9 * 453.59237)  # 9 lb: the lightest flat of 12 pints


@pytest.mark.parametrize(
    ("setting", "item", "us", "metric"),
    [
        ("32 fl oz lemon juice", "bottled lemon juice", "1 bottle of 32 fl oz", "1 bottle of 946 mL"),
        ("100 mL bottled lemon juice", "bottled lemon juice", "3 bottles of 3.38 fl oz", "3 bottles of 100 mL"),
        ("1/4 lb pectin", "calcium-set pectin", "1 packet of 4 oz", "1 packet of 113 g"),
        ("12 oz honey", "honey", "2 jars of 12 oz", "2 jars of 340 g"),
        ("48 oz honey", "honey", "1 jar of 3 lb", "1 jar of 1,361 g"),
    ],
)
def test_the_kitchen_file_has_its_own_sizes(setting: str, item: str, us: str, metric: str) -> None:
    fields, problems = household.fields({"packages": [setting], "jars": "40 half-pints"})
    assert not problems
    kitchen = Kitchen(**fields)
    lines = ("9 lb plums", "2 cups honey", "1 cup bottled lemon juice", "12 tsp calcium-set pectin")
    assert packages(batch(*lines, kitchen=kitchen))[item] == us
    assert packages(batch(*lines, kitchen=kitchen, units="metric"))[item] == metric


def test_a_sweetener_with_no_usual_package_has_none_unless_the_file_says() -> None:
    kitchen = Kitchen(lids=12)
    assert "xylitol" not in packages(batch("3 lb plums", sweetener="xylitol", kitchen=kitchen))
    own = Kitchen(packages=(("xylitol", 1000.0),))
    assert packages(batch("3 lb plums", sweetener="xylitol", kitchen=own, units="metric"))["xylitol"] == "1 package of 1,000 g"


def test_a_script_gets_the_packages_too() -> None:
    rows = batch("plums", want="8 half-pints", sweetener="honey").to_dict()["to_buy"]
    by_item = {row["item"]: row for row in rows}
    assert by_item["honey"]["buy"] == {"count": 1, "package": "jar", "size": "1 lb", "measure": "1 jar of 1 lb"}
    assert by_item["plums"]["buy"]["package"] == "lb"
    assert by_item["plums"]["buy"]["size"] is None
    assert {"item", "unit", "needed", "on_hand", "to_buy", "measure", "to_buy_measure", "buy"} == set(rows[0])
