"""Fruit by the piece and by the container, against the printed tables; both ends of the weight held by the dose."""

from __future__ import annotations

import itertools

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError
from jamcalc.nouns.said import Line
from jamcalc.reading import counts, several
from jamcalc.reading.lines import read_line
from jamcalc.words import units

LB = 453.59237  # NIST Handbook 44, Appendix C

# USDA National Nutrient Database, Release 28 (2015), tables WEIGHT and FOOD_DES: household weight of the edible part [g], refuse [%].
# The documentation (p. 31) says that these weights are of edible material.
SR28 = {
    "small apples": (149, 10), "medium apples": (182, 10), "large apples": (223, 10), "medium apricots": (35, 7),
    "small bananas": (101, 36), "large bananas": (136, 36), "medium figs": (50, 1), "medium grapefruit": (246, 49),
    "medium kiwis": (69, 24), "medium limes": (67, 16), "large mangoes": (336, 29), "medium nectarines": (142, 9),
    "small oranges": (96, 27), "large oranges": (184, 27), "small papayas": (157, 38), "small peaches": (130, 4),
    "medium peaches": (150, 4), "large peaches": (175, 4), "extra large peaches": (224, 4), "medium pears": (178, 10),
    "large pears": (230, 10), "medium pineapples": (905, 49), "medium plums": (66, 6), "medium quinces": (92, 39),
    "stalks rhubarb": (51, 25), "medium strawberries": (12, 6), "extra large strawberries": (27, 6), "large tangerines": (120, 26),
    "medium tomatoes": (123, 9), "large tomatoes": (182, 9),
}  # fmt: skip

# lb net. Westerfield and Coolong, University of Georgia Extension, Table 2 (retail containers); Robson, University of Illinois
# Extension, 2009 (bushels); Washington State, pack size converter (flats, lugs): low and high as printed.
PRINTED_LB = {
    "1 bushel apples": (42, 48), "1 peck apples": (10, 14), "1 bushel peaches": (48, 52), "1 lug peaches": (19, 22),
    "1 bushel pears": (48, 50), "1 lug pears": (21, 24), "1 bushel plums": (50, 56), "1 peck plums": (11, 15),
    "1 bushel grapes": (44, 50), "1 lug grapes": (23, 28), "1 dry quart strawberries": (1.25, 1.65),
    "1 crate strawberries": (36, 36), "1 6-quart tray blueberries": (9, 12), "1 dry quart blueberries": (1.5, 2),
    "1 dry pint blueberries": (0.75, 1), "1 dry quart sweet cherries": (1.5, 1.75), "1 dry quart raspberries": (1.25, 1.5),
    "1 flat raspberries": (4, 4.5), "1 bushel tomatoes": (50, 60), "1 dry quart blackberries": (1.25, 1.5),
}  # fmt: skip


def ends(line: Line) -> tuple[float, float, float]:
    amount = line.amount
    assert amount.grams is not None
    return (amount.light_g or amount.grams, amount.grams, amount.heavy_g or amount.grams)


@pytest.mark.parametrize(("text", "printed"), SR28.items())
def test_a_piece_weighs_what_the_national_table_prints(text: str, printed: tuple[float, float]) -> None:
    edible_g, refuse = printed
    light, typical, heavy = ends(read_line(f"6 {text}"))
    assert typical / 6 == pytest.approx(edible_g / (1 - refuse / 100), rel=0.02, abs=0.6)
    assert light < typical < heavy


@pytest.mark.parametrize(("text", "printed"), PRINTED_LB.items())
def test_a_container_weighs_what_its_table_prints(text: str, printed: tuple[float, float]) -> None:
    light, typical, heavy = ends(read_line(text))
    assert light <= printed[0] * LB * 1.001
    assert heavy >= printed[1] * LB * 0.999
    assert printed[0] * LB <= typical * 1.001
    assert typical <= printed[1] * LB * 1.001


# Cup of the whole berry, edible, and refuse: SR28, WEIGHT. Two US dry pints are 1101.221 mL (Handbook 44, Appendix C).
@pytest.mark.parametrize(
    ("fruit", "cup_g", "refuse"), [("strawberries", 144, 6), ("raspberries", 123, 4), ("blueberries", 148, 5), ("blackberries", 144, 4)]
)
def test_a_dry_pint_is_larger_than_a_liquid_one(fruit: str, cup_g: float, refuse: float) -> None:
    light, typical, heavy = ends(read_line(f"1 pint {fruit}"))
    struck_g = cup_g / (1 - refuse / 100) * 550.6104713575 / 236.5882365
    assert 0.9 * struck_g < typical < 1.1 * struck_g
    assert light <= struck_g <= heavy
    assert ends(read_line(f"2 dry pints {fruit}")) == ends(read_line(f"2 pints of {fruit}"))


def test_a_bushel_is_four_pecks_and_two_halves() -> None:
    # Handbook 44, Appendix C: 2150.42 cubic inches, 4 pecks
    bushel, half, peck = (read_line(f"{each} quinces").amount.grams or 0 for each in ("1 bushel", "half a bushel", "1 peck"))
    assert (half, peck) == (pytest.approx(bushel / 2), pytest.approx(bushel / 4))


def test_a_form_makes_a_pint_liquid_and_other_fruit_needs_one() -> None:
    assert read_line("2 pints mashed strawberries").amount.ml == pytest.approx(946.353, rel=1e-4)
    assert read_line("2 pints apple juice").amount.ml == pytest.approx(946.353, rel=1e-4)
    with pytest.raises(InputError, match="mashed peaches"):
        read_line("2 pints peaches")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a flat of strawberries", '"8 dry quarts strawberries" (about 12 lb) or "12 dry pints strawberries" (about 9 lb)'),
        ("2 flats strawberries", "two things"),
        ("6 peaches", "small (about 135 g each), medium (about 156 g each)"),
        ("a dozen peaches", '"12 medium peaches"'),
        ("3 plums", "medium (about 70 g each)"),
        ("a huge plum", "does not begin"),
        ("6 large plums", "medium (about 70 g each)"),
        ("1 bag plums", "no weight is held for a bag of plums"),
        ("a lug of quinces", "held of quinces are bushel (about 48 lb)"),
        ("4 gooseberries", "lb"),
        ("juice of 3 grapefruit", "lemon, lime and orange only"),
        ("6 large plumz", "plum"),
        ("9 bushels of plums", "more than 100 kg"),
        ("0 large peaches", "above zero"),
        ("0 bushels apples", "above zero"),
        ("2 bushels", "unit"),
        ("juice of 0 lemons", "too little"),
        ("juice of 1/0 lemons", "does not begin"),
        ("a (1/0 oz) bag plums", ""),
        ("1/0 dozen medium plums", "zero"),
    ],
)
def test_what_is_not_held_is_asked_back_in_one_line(text: str, said: str) -> None:
    with pytest.raises(JamcalcError) as caught:
        read_line(text)
    assert said in str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 300


def test_fresh_juice_is_counted_at_the_least() -> None:
    lemon = read_line("juice of 2 lemons")
    assert (lemon.role, lemon.item, lemon.amount.ml) == ("acid", "fresh_lemon_juice", pytest.approx(4 * 14.7868, rel=1e-4))
    assert 2.5 < (read_line("juice of 1/8 lemon").amount.ml or 0) <= 3.75
    assert read_line("the juice of a lime").amount.ml == pytest.approx(14.7868, rel=1e-4)
    assert read_line("3 lemons, juiced".replace(",", "")).amount.ml == pytest.approx(6 * 14.7868, rel=1e-4)
    assert [finding.id for finding in lemon.findings] == ["weigh", "fresh-lemon"]


def test_what_was_taken_is_said_and_can_be_written_out() -> None:
    line = read_line("6 large peaches")
    assert "6 large peaches: taken as 2 lb 7 oz, 1092 g; as bought it weighs 930 to 1254 g: weigh it" in line.findings[0].text
    assert line.findings[0].sources == ("SR28",)
    again = read_line(line.strict)
    assert (again.item, again.form, again.amount.grams) == (line.item, line.form, line.amount.grams)
    assert read_line(line.text) == line


def test_the_answer_asks_to_weigh_and_widens_the_jars() -> None:
    counted = jamcalc.batch(["12 large peaches"], draws=0)
    weighed = jamcalc.batch([read_line("12 large peaches").strict], draws=0)
    assert any(each.id == "weigh" for each in counted.findings)
    assert counted.yield_.jars.expected == pytest.approx(weighed.yield_.jars.expected, rel=0.02)
    assert counted.yield_.jars.low < weighed.yield_.jars.low
    assert counted.yield_.jars.high > weighed.yield_.jars.high
    grams = [each.as_bought_g for each in counted.ingredients if each.role == "fruit"]
    assert grams == [pytest.approx(2184)]


@pytest.mark.parametrize(
    "texts",
    [("6 large peaches", "2 pints blackberries"), ("1 peck apples", "2 lb sweet cherries", "5 medium pears"), ("a dozen medium plums",)],
)
def test_the_dose_holds_the_high_side_at_every_end(texts: tuple[str, ...]) -> None:
    counted = jamcalc.batch(list(texts), draws=0)
    lemon_g, rest = counted.lemon_juice.grams, counted.acidity.ph.high
    assert counted.storage == "cold" or rest <= 4.00
    lines = several.read_lines(list(texts))
    highest = []
    for weights in itertools.product(*({ends(line)[0], ends(line)[2]} for line in lines)):
        at_ends = [f"{grams:.3f} g {units.read_amount(line.strict)[1]}" for grams, line in zip(weights, lines, strict=True)]
        written = [
            f"{lemon_g:.3f} g bottled lemon juice",
            f"{counted.pectin.grams:.3f} g calcium-set pectin",
            f"{counted.calcium_water.ml:.2f} mL calcium water",
        ]
        highest.append(jamcalc.check({"title": "at the ends", "kind": "jam", "ingredients": [*at_ends, *written]}, draws=0).acidity.ph.high)
    assert max(highest) <= rest + 0.011


def test_every_weight_names_a_fruit_and_is_sold_as_it_says() -> None:
    held = facts.table("counts")
    fruits = {key for kind in ("fruit", "juice", "vegetable") for key in facts.keys(kind)}  # type: ignore[arg-type]
    named = {*held["container"], *held["count"], *held["same"], *held["same"].values(), *held["same_count"], *held["two_ways"]}
    assert named <= fruits
    assert all(counts.sold_dry(key) for key in ("strawberry", "blueberry", "sour_cherry", "red_currant", "black_currant", "gooseberry"))
    assert not any(counts.sold_dry(key) for key in ("peach", "apple", "rhubarb", "pear"))


@pytest.mark.parametrize("inside", ["about 8 white", "8 white ones", "900 g white", "2 lb, white", "3 flat", "1 lb figs", "6 ripe mangoes"])
def test_brackets_that_may_name_another_fruit_are_not_left_aside(inside: str) -> None:
    with pytest.raises(InputError):
        read_line(f"2 lb peaches ({inside})")


def test_a_second_measure_in_brackets_is_left_aside_and_said() -> None:
    for text, plain in (
        ("4 cups mashed strawberries (about 2 lb)", "4 cups mashed strawberries"),
        ("4 cups (about 2 lb) mashed strawberries", "4 cups mashed strawberries"),
        ("3 kg (6.6 lb) plums", "3 kg plums"),
        ("2 lb (about 6 large) peaches", "2 lb peaches"),
        ("2 lb peaches (about 8 medium peaches)", "2 lb peaches"),
        ("2 lb white peaches (900 g)", "2 lb white peaches"),
        ("1/4 cup bottled lemon juice (about 2 lemons)", "1/4 cup bottled lemon juice"),
    ):
        line, wanted = read_line(text), read_line(plain)
        assert (line.item, line.form, line.amount) == (wanted.item, wanted.form, wanted.amount)
        assert line.findings[-1].id == "set-aside"
        assert read_line(line.text) == line
    assert not read_line("1 cup stevia blend (erythritol)").findings
    assert read_line("2 (12 oz) bags cranberries").amount.grams == pytest.approx(680, rel=0.001)
    assert read_line("1 cup sugar divided").item == "sugar"
    assert read_line("juice and zest of 1 lemon").amount.ml == pytest.approx(29.57, rel=0.001)
