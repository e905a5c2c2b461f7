"""What to set out and buy: the answer's own amounts, less what the kitchen file says is there."""

from __future__ import annotations

import io

import pytest

import jamcalc
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
    console(stream, colour=False).print(answer(result, units=units))
    shown = stream.getvalue()
    assert max(map(len, shown.splitlines())) <= 80
    assert "To set out and buy" in shown
    assert "jars of 250 mL" in shown
    assert "jar jar" not in shown
    assert "your pots take 2 at a time" in " ".join(shown.split())
