"""Ingredient lines, readings and jars as a cook writes them; refusals that say what to write instead."""

from __future__ import annotations

import pytest

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError, UnknownItem
from jamcalc.reading import lines, several
from jamcalc.reading.extras import unfit_extras
from jamcalc.reading.readings import read_jars, read_reading

# Exact factors: NIST Handbook 44, Appendix C
LB, OZ, CUP = 453.59237, 28.349523125, 236.5882365


def key(name: str, *kinds: str) -> str:
    return facts.lookup(name, kinds or ("fruit", "juice", "vegetable", "sweetener", "acid")).key


FRUIT = [
    # line, name, grams, mL, form
    ("3 lb plums", "plum", 3 * LB, None, "as bought"),
    ("1 lb plum", "plum", LB, None, "as bought"),
    ("1 1/2 lb frozen raspberries", "raspberry", 1.5 * LB, None, "frozen"),
    ("1 lb thawed raspberries", "raspberry", LB, None, "frozen"),
    ("900 g prepared peaches", "peach", 900, None, "prepared"),
    ("900 g peeled pitted peaches", "peach", 900, None, "prepared"),
    ("900 g peeled and pitted peaches", "peach", 900, None, "prepared"),
    ("900 g hulled strawberries", "strawberry", 900, None, "prepared"),
    ("900 g peaches peeled", "peach", 900, None, "prepared"),
    ("900 g frozen prepared peaches", "peach", 900, None, "frozen"),
    ("900 g whole strawberries", "strawberry", 900, None, "as bought"),
    ("900 g mashed strawberries", "strawberry", 900, None, "mashed"),
    ("4 cups mashed strawberries", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups crushed Strawberries", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups strawberries (crushed)", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups frozen crushed strawberries", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups pureed strawberries", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups puréed strawberries", "strawberry", None, 4 * CUP, "mashed"),
    ("4 cups ground peaches", "peach", None, 4 * CUP, "mashed"),
    ("4 cups finely chopped peaches", "peach", None, 4 * CUP, "chopped"),
    ("4 cups peeled and diced peaches", "peach", None, 4 * CUP, "chopped"),
    ("1 quart sliced peaches", "peach", None, 4 * CUP, "chopped"),
    ("2 pints of whole strawberries", "strawberry", None, 4 * CUP, "whole"),
    ("3 cups apple juice", "apple juice", None, 3 * CUP, "juice"),
    ("3 cups unsweetened apple juice", "apple juice", None, 3 * CUP, "juice"),
    ("3 cups bottled apple juice", "apple juice", None, 3 * CUP, "juice"),
    ("4 cups peaches (finely chopped)", "peach", None, 4 * CUP, "chopped"),
    ("500 g apple juice", "apple juice", 500, None, "juice"),
]


@pytest.mark.parametrize(("text", "name", "grams", "ml", "form"), FRUIT)
def test_fruit(text: str, name: str, grams: float | None, ml: float | None, form: str) -> None:
    line = lines.read_line(text)
    assert (line.role, line.item, line.form) == ("fruit", key(name), form)
    assert line.amount.grams == (None if grams is None else pytest.approx(grams, rel=1e-12))
    assert line.amount.ml == (None if ml is None else pytest.approx(ml, rel=1e-12))


OTHER = [
    ("1/4 cup bottled lemon juice", "acid", "bottled lemon juice"),
    ("2 tbsp bottled lime juice", "acid", "bottled lime juice"),
    ("1/2 tsp citric acid", "acid", "citric acid"),
    ("1 oz citric acid", "acid", "citric acid"),
    ("3/4 cup honey", "sweetener", "honey"),
    ("8 oz honey", "sweetener", "honey"),
    ("1/2 cup packed brown sugar", "sweetener", "brown sugar"),
    ("1 cup stevia blend (erythritol)", "sweetener", "stevia erythritol blend"),
    ("6 fl oz frozen apple juice concentrate", "sweetener", "apple juice concentrate"),
]


@pytest.mark.parametrize(("text", "role", "name"), OTHER)
def test_sweeteners_and_acids(text: str, role: str, name: str) -> None:
    line = lines.read_line(text)
    assert (line.role, line.item, line.form) == (role, key(name), "as bought")


PECTIN = [
    ("2 tsp calcium-set pectin", "pectin", "calcium-set"),
    ("2 tsp calcium set pectin", "pectin", "calcium-set"),
    ("2 tsp low-methoxyl pectin", "pectin", "calcium-set"),
    ("6 g LM pectin", "pectin", "calcium-set"),
    ("2 tsp calcium-set pectin powder", "pectin", "calcium-set"),
    ("1 packet standard pectin", "pectin", "standard"),
    ("1 box regular powdered pectin", "pectin", "standard"),
    ("4 1/2 tbsp standard pectin", "pectin", "standard"),
    ("1.75 oz no-sugar pectin", "pectin", "no-sugar"),
    ("1 packet no-sugar-needed pectin", "pectin", "no-sugar"),
    ("1 pouch liquid pectin", "pectin", "liquid"),
    ("3 fl oz liquid pectin", "pectin", "liquid"),
    ("2 tsp calcium water", "calcium water", "calcium water"),
    ("1/2 cup water", "liquid", "water"),
    ("1/2 cup cold water", "liquid", "water"),
    ("100 g water", "liquid", "water"),
]


@pytest.mark.parametrize(("text", "role", "item"), PECTIN)
def test_pectin_and_water(text: str, role: str, item: str) -> None:
    line = lines.read_line(text)
    assert (line.role, line.item) == (role, item)


def test_packets_are_a_count_with_what_they_hold() -> None:
    # the net contents on US boxes: 1.75 oz (49.6 g) of powder, 85 mL of liquid (common practice)
    powder = lines.read_line("2 packets standard pectin").amount
    assert (powder.grams, powder.ml, powder.count) == (pytest.approx(2 * 1.75 * OZ, rel=1e-3), None, 2)
    liquid = lines.read_line("1 pouch liquid pectin").amount
    assert (liquid.grams, liquid.ml, liquid.count) == (None, 85, 1)


def test_ground_cherry_is_a_fruit_not_a_cherry_that_was_ground() -> None:
    assert lines.read_line("2 lb ground cherries").item == key("ground cherry")
    assert lines.read_line("2 cups mashed ground cherries").item == key("ground cherry")
    with pytest.raises(InputError, match="form"):
        lines.read_line("2 cups ground cherries")


@pytest.mark.parametrize("name", ["cherries", "peaches", "nectarines"])
def test_ambiguous_fruit_is_read_cautiously_and_says_so(name: str) -> None:
    line = lines.read_line(f"3 lb {name}")
    assert line.findings


def test_cherries_are_sweet() -> None:
    assert lines.read_line("3 lb cherries").item == key("sweet cherry")
    assert not lines.read_line("3 lb sour cherries").findings


def test_lemon_juice_is_fresh_unless_called_bottled() -> None:
    assert [f.id for f in lines.read_line("1/4 cup lemon juice").findings] == ["fresh-lemon"]
    assert [f.id for f in lines.read_line("1/4 cup fresh lemon juice").findings] == ["fresh-lemon"]
    assert not lines.read_line("1/4 cup bottled lemon juice").findings


def test_spoons_that_differ_between_countries_say_so() -> None:
    assert "metric-tablespoon" in [f.id for f in lines.read_line("1 metric tablespoon bottled lemon juice").findings]
    assert "imperial-spoon" in [f.id for f in lines.read_line("1 imperial tbsp honey").findings]
    assert not lines.read_line("1 metric cup honey").findings


REFUSED = {
    "4 cups strawberries": "mashed strawberries",
    "1 pint of peaches": "whole berries fill half again",
    "1 imperial pint strawberries": "mashed strawberries",
    "2 pints hulled strawberries": "mashed strawberries",
    "4 cups frozen strawberries": "mashed strawberries",
    "4 cups mashed whole strawberries": "mashed and whole",
    "3 plums": "lb plums",
    "8 oz bottled lemon juice": "8 fl oz",
    "8 oz water": "8 fl oz",
    "1/2 oz calcium water": "fl oz",
    "8 oz apple juice": "8 fl oz",
    "6 oz apple juice concentrate": "6 fl oz",
    "8 oz cider vinegar": "8 fl oz",
    "3 oz liquid pectin": "3 fl oz",
    "1 cup pectin": "calcium-set pectin, standard pectin, no-sugar pectin or liquid pectin",
    "1 cup powdered pectin": "which pectin",
    "1 cup low-sugar pectin": "which pectin",
    "1 packet calcium-set pectin": "teaspoons or grams",
    "1 packet honey": "pectin only",
    "1 packet plums": "pectin only",
    "1 packet calcium water": "pectin only",
    "1/2 tsp calcium powder": "calcium water",
    "3 lb": "no item",
    "3 lb plums 2 lb peaches": "one ingredient",
    "3 lb 42": "unit",
    "3 lb [bold]plums[/]": "no item",
    "3 lb <b>plums</b>": "no item",
    "3 lb plums; rm": "no item",
    "3 lb " + "plum" * 20: "no item",
    "1/2 cup stevia blend": "stevia erythritol blend",
    "1/2 cup stevia": "stevia extract",
    "2 lb frozen mixed berries": "each kind on a line of its own",
    "4 cups fruit": "each kind on a line of its own",
    "splash of water": '"2 tbsp water"',
    "a good splash water": '"2 tbsp water"',
    "squeeze of lemon juice": '"1 tbsp lemon juice"',
    "a few plums": '"12 oz plums"',
    "1 cup unsweetened": "no line",
}


SPICES = [
    "1/2 tsp cinnamon", "1/2 tsp ground cinnamon", "1 tsp vanilla", "1 tsp vanilla extract", "1 cinnamon stick", "2 star anise",
    "3 cloves", "pinch of salt", "1 tsp lemon zest", "zest of 1 lemon", "1 tsp almond extract", "1 tsp ground ginger", "1/4 tsp nutmeg",
    "1 vanilla bean", "1/4 tsp cardamom and mace",
]  # fmt: skip


@pytest.mark.parametrize("text", SPICES)
def test_a_spice_is_shown_where_it_belongs(text: str) -> None:
    with pytest.raises(InputError, match="not needed for the sums: leave the line out here, and name it under extras"):
        lines.read_line(text)
    assert unfit_extras((text,)) == (), "a recipe file takes it"


@pytest.mark.parametrize("text", ["1 tbsp fresh ginger", "2 cups mint leaves", "3 sprigs of thyme", "1 bay leaf"])
def test_a_herb_or_root_that_may_be_fresh_is_not_waved_through(text: str) -> None:
    with pytest.raises(JamcalcError) as caught:
        lines.read_line(text)
    assert "leave the line out here" not in str(caught.value)


@pytest.mark.parametrize("text", ["1 tbsp fresh ginger", "2 cups mint leaves", "1 bay leaf"])
def test_what_may_be_fresh_is_told_what_that_means(text: str) -> None:
    with pytest.raises(InputError, match="fresh it is for no jar on a shelf"):
        lines.read_line(text)


@pytest.mark.parametrize("text", ["2 cloves garlic", "3 lb plumz", "1 cup maple", "1 cup lemon curd"])
def test_what_is_no_spice_is_not_taken_for_one(text: str) -> None:
    with pytest.raises(JamcalcError) as caught:
        lines.read_line(text)
    assert "extras" not in str(caught.value)


@pytest.mark.parametrize(("text", "said"), REFUSED.items())
def test_refused_in_one_line_that_says_what_to_write(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        lines.read_line(text)
    message = str(caught.value)
    assert said in message
    assert message.isprintable()
    assert "[" not in message
    assert len(message) < 300


def test_unknown_item_names_the_near_ones() -> None:
    with pytest.raises(UnknownItem, match="plum") as caught:
        lines.read_line("3 lb mashed plumz")
    assert caught.value.near
    with pytest.raises(UnknownItem):
        lines.read_line("3 lb candied angelica")


def test_nothing_typed_comes_back_raw() -> None:
    for text in ("3 lb \x1b[31mplums", "3 lb [bold red]plums", "\x1b]0;x\x07", "3 lb plums\u202e", "3 lb pl\x00ms"):
        with pytest.raises(JamcalcError) as caught:
            lines.read_line(text)
        message = str(caught.value)
        assert message.isprintable()
        assert "[" not in message


# ---------------------------------------------------------------- several words


def test_words_without_quotes_are_joined() -> None:
    assert several.read_lines(["3", "lb", "plums"]) == (lines.read_line("3 lb plums"),)
    assert several.read_lines(["3lb", "plums"]) == (lines.read_line("3lb plums"),)
    assert several.read_lines(["3", "lb", "4", "oz", "plums"]) == (lines.read_line("3 lb 4 oz plums"),)


def test_quoted_lines_stay_apart() -> None:
    assert [line.role for line in several.read_lines(["3 lb plums", "1/2 cup honey"])] == ["fruit", "sweetener"]


@pytest.mark.parametrize(
    "words",
    [
        ["3", "lb", "plums", "1", "lb", "peaches"],
        ["3", "lb", "plums", "1/2", "cup", "honey"],
        ["3 lb plums", "1", "lb", "peaches"],
        ["3 lb plums", "honey"],
        ["3"] * 61,
        ["plum"] * 40,
    ],
)
def test_words_that_are_no_line_ask_for_quotes(words: list[str]) -> None:
    with pytest.raises(InputError, match="quote"):
        several.read_lines(words)


def test_the_error_of_a_quoted_or_joined_line_is_its_own() -> None:
    with pytest.raises(InputError, match="mashed strawberries"):
        several.read_lines(["3 lb plums", "4 cups strawberries"])
    with pytest.raises(InputError, match="mashed strawberries"):
        several.read_lines(["4", "cups", "strawberries"])
    with pytest.raises(UnknownItem):
        several.read_lines(["3", "lb", "plumz"])
    with pytest.raises(InputError, match="no ingredient"):
        several.read_lines([])
    with pytest.raises(InputError, match="empty"):
        several.read_lines([""])


# ---------------------------------------------------------------- readings, jars, names


def test_readings() -> None:
    reading = read_reading("plum pH 3.4 TA 1.2 Brix 12")
    assert (reading.item, reading.ph, reading.titratable_percent, reading.soluble_solids_percent) == (key("plum"), 3.4, 1.2, 12)
    assert reading.titrated_as is None
    for glued in ("plum pH3.4 TA 1.2 Brix 12", "plum pH=3.4 TA=1.2 Brix=12", "plum ph: 3.4 ta1.2 brix 12"):
        assert read_reading(glued) == reading
    assert read_reading("plums TA 1.2% tartaric ph 3.4").titrated_as == "tartaric"
    assert read_reading("plum TA 1.2 as malic").titrated_as == "malic"
    assert read_reading("apple juice brix 11").item == key("apple juice")
    batch = read_reading("batch pH 3.9")
    assert (batch.item, batch.ph) == ("batch", 3.9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("plum", "plum pH 3.4"),
        ("pH 3.4", "plum pH 3.4"),
        ("plum pH", "plain number"),
        ("plum pH -1", "plain number"),
        ("plum pH nan", "plain number"),
        ("plum pH 1e1", "plain number"),
        ("plum pH 3,4", "comma"),
        ("plum pH 14.1", "between 0 and 14"),
        ("plum TA 0", "between 0 and 15"),
        ("plum TA 16", "between 0 and 15"),
        ("plum Brix 81", "between 0 and 80"),
        ("plum Brix 0", "between 0 and 80"),
        ("plum pH 3.4 pH 3.5", "twice"),
        ("plum pH 3.4 tartaric", "tartaric"),
        ("plum TA 1.2 sulfuric", "sulfuric"),
        ("plum pH 3.4 sugar 12", "sugar"),
        ("batch TA 1.2", "batch pH 3.9"),
        ("3 lb plums pH 3.4", "no item"),
        ("[red]plum pH 3.4", "no item"),
        ("honey pH 3.4", "honey"),
        ("plumz pH 3.4", "plum"),
        ("plum pH " + "3" * 200, "too long"),
    ],
)
def test_reading_refused(text: str, said: str) -> None:
    with pytest.raises(JamcalcError, match=said.replace("(", r"\(")) as caught:
        read_reading(text)
    assert str(caught.value).isprintable()


def test_jars() -> None:
    half_pint = key("half-pint", "jar")
    assert read_jars("8 half-pints") == (8, 8, half_pint)
    assert read_jars("5 to 6 half pints") == (5, 6, half_pint)
    assert read_jars("2.5 to 2.5 pints") == (2.5, 2.5, key("pint", "jar"))
    assert read_jars("9 250 mL jars") == (9, 9, key("250 mL", "jar"))
    with pytest.raises(UnknownItem):
        read_jars("8 thimbles")
    with pytest.raises(UnknownItem):
        read_jars("8 plums")


def test_a_name_alone() -> None:
    assert lines.read_item("honey", ("sweetener",)).key == key("honey")
    with pytest.raises(UnknownItem):
        lines.read_item("honey", ("fruit",))
    for text in ("", "[b]honey", "h" * 100_000, "honey\x1b[1m", "honey, sugar"):
        with pytest.raises(InputError):
            lines.read_item(text, ("sweetener",))
