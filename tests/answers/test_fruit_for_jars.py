"""From the jars wanted back to the fruit: what is asked for comes out, and what cannot be read is said in one line."""

from __future__ import annotations

import re

import pytest

import jamcalc
from jamcalc.errors import InputError, JamcalcError, NotPossible, UnknownItem
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.measures import OUNCE_G
from jamcalc.words.phrases import bought, joined
from jamcalc.words.units import read_amount

SETS = [
    (["plums", "blackberries"], "2:1", "8 half-pints", {}),
    (["strawberries"], None, "5 half-pints", {"sweetener": "honey"}),
    (["frozen raspberries", "apple juice"], "3:2", "6 half-pints", {"sweetener": "sugar"}),
    (["peaches", "sour cherries", "rhubarb"], "5:3:2", "4 pints", {"sweetener": "maple syrup", "altitude": "4300 ft"}),
    (["blueberries"], "1", "12 quarter-pints", {"units": "metric", "sweetener": "allulose"}),
    (["pineapple", "red currants"], None, "9 250 mL jars", {"units": "metric", "set": "firm", "simmer": 10}),
]


def want(names: list[str], jars: str, parts: str | None = None, **options: object) -> BatchResult:
    return jamcalc.batch(names, want=jars, parts=parts, draws=0, **options)  # type: ignore[arg-type]


@pytest.mark.parametrize(("names", "parts", "jars", "options"), SETS)
def test_want_and_then_batch_returns_the_jars(names: list[str], parts: str | None, jars: str, options: dict[str, object]) -> None:
    wanted = float(jars.split()[0])
    asked = want(names, jars, parts, **options)
    lines = [line.text for line in asked.batch.lines]
    again = jamcalc.batch(lines, jar=asked.yield_.jar, draws=0, **options)  # type: ignore[arg-type]
    assert again.yield_.jars.expected == asked.yield_.jars.expected
    assert again.yield_.full_jars == wanted
    # no more than one step of the scale, or a quarter cup of juice, of each fruit too much, and what spoons and cups round
    steps_g = sum(60 if "juice" in line else 10 if options.get("units") else OUNCE_G for line in lines)
    assert again.yield_.jars.expected - wanted < 1.2 * steps_g / asked.yield_.mass_g.typical * wanted + 0.01 * wanted


@pytest.mark.parametrize(("names", "parts", "jars", "options"), SETS[:4])
def test_parts_are_parts_of_prepared_fruit_by_weight(names: list[str], parts: str | None, jars: str, options: dict[str, object]) -> None:
    asked = want(names, jars, parts, **options)
    shares = [float(part) for part in (parts or ":".join("1" for _ in names)).split(":")]
    total = sum(part.grams for part in asked.batch.fruits)
    for part, share in zip(asked.batch.fruits, shares, strict=True):
        assert part.grams == pytest.approx(total * share / sum(shares), abs=60)


def test_the_fruit_is_bought_by_the_ounce_or_ten_grams() -> None:
    (line,) = want(["plums"], "8 half-pints").batch.lines
    assert line.amount.grams is not None
    assert line.amount.grams / OUNCE_G == pytest.approx(round(line.amount.grams / OUNCE_G))
    (line,) = want(["plums"], "8 half-pints", units="metric").batch.lines
    assert line.amount.grams is not None
    assert line.amount.grams % 10 == 0


def test_the_same_question_twice_has_the_same_answer() -> None:
    assert want(["plums"], "8 half-pints").to_dict() == want(["plums"], "8 half-pints").to_dict()


def test_it_says_what_to_buy_and_in_which_proportion() -> None:
    finding = want(["plums", "blackberries"], "8 half-pints", "2:1").findings[0]
    assert finding.id == "want"
    assert finding.text.startswith("For 8 half-pints buy or pick ")
    assert finding.text.endswith("That is 2:1 by weight of prepared fruit.")


def test_it_names_the_weight_to_buy_where_fruit_is_named_ready_for_the_pot() -> None:
    asked = want(["mashed strawberries", "plums", "apple juice"], "8 pints")
    berries = asked.batch.fruits[0]
    text = asked.findings[0].text
    mashed, plums, juice = (line.text for line in asked.batch.lines)
    assert f"buy or pick {bought(berries.as_bought_g, 'us')} strawberries (for {mashed}), {plums} and {juice}." in text
    metric = want(["mashed strawberries"], "8 pints", units="metric")
    assert f"{bought(metric.batch.fruits[0].as_bought_g, 'metric')} strawberries" in metric.findings[0].text


def test_a_metric_kitchen_buys_in_the_unit_of_the_table() -> None:
    """5,040 g of plums are 5.04 kg wherever they stand."""
    asked = want(["plums", "blackberries"], "30 half-pints", units="metric")
    lines = [f"{bought(part.as_bought_g, 'metric')} {part.plural}" for part in asked.batch.fruits]
    assert all(line.partition(" ")[2].startswith("kg") for line in lines)
    assert f"buy or pick {joined(lines)}." in asked.findings[0].text
    more = jamcalc.batch(["2 kg plums"], want="20 half-pints", units="metric", draws=0)
    assert re.search(r"take [0-9.]+ times this fruit: [0-9]\.[0-9]{2} kg plums\.", more.findings[0].text)


def test_words_without_quotes_may_be_one_fruit_or_several() -> None:
    assert [part.fruit.key for part in want(["sour", "cherries"], "4 half-pints").batch.fruits] == ["sour_cherry"]
    assert [part.fruit.key for part in want(["plums", "pears"], "4 half-pints").batch.fruits] == ["plum", "pear"]


def test_lines_with_amounts_are_compared_as_before() -> None:
    asked = want(["3 lb plums", "2 cups mashed blackberries", "1/2 cup honey"], "11 half-pints").findings[0].text
    factor = float(asked.split("take ")[1].split(" times")[0])
    text, rest = asked.split("times this fruit: ")[1].split(" plums and ")
    assert read_amount(text)[0].grams == pytest.approx(3 * 16 * OUNCE_G * factor, rel=0.01)
    assert rest.endswith(" mashed blackberries.")


@pytest.mark.parametrize("jars", ["1 quarter-pint", "0.5 half-pints"])
def test_a_taste_of_jam(jars: str) -> None:
    assert want(["plums"], jars).yield_.jars.expected >= float(jars.split()[0])


@pytest.mark.parametrize(
    ("names", "jars", "parts", "says"),
    [
        (["plums", "pears"], "8 half-pints", "2:1:1", "3 parts for 2 fruits"),
        (["plums"], "8 half-pints", "2:1", "2 parts for 1 fruit"),
        (["plums", "pears"], "8 half-pints", "2:0", "a part of nothing"),
        (["plums", "pears"], "8 half-pints", "-2:1", "cannot be read"),
        (["plums", "pears"], "8 half-pints", "1e9:1", "cannot be read"),
        (["plums", "pears"], "8 half-pints", "2:" * 5000, "cannot be read"),
        (["plums", "2 lb pears"], "8 half-pints", None, "give every line its amount"),
        (["plums", "1/2 cup honey"], "8 half-pints", None, "--sweetener NAME"),
        (["plums", "honey"], "8 half-pints", None, '"honey" is no fruit'),
        (["plums", "calcium-set pectin"], "8 half-pints", None, "is no fruit"),
        (["plums", "pears"], None, "2:1", "--parts goes with fruit names alone"),
        (["3 lb plums"], "8 half-pints", "2:1", "--parts goes with fruit names alone"),
        (["plums"], "8", None, "which jar"),
        (["plums", ""], "8 half-pints", None, ""),
    ],
)
def test_what_cannot_be_read_is_one_line(names: list[str], jars: str | None, parts: str | None, says: str) -> None:
    with pytest.raises(InputError) as caught:
        jamcalc.batch(names, want=jars, parts=parts)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300


def test_an_unknown_fruit_has_its_near_names() -> None:
    with pytest.raises(UnknownItem, match="plum"):
        want(["plumz", "pears"], "8 half-pints")


@pytest.mark.parametrize("jars", ["500 pints", "300 half-pints"])
def test_more_than_a_kitchen_may_put_up(jars: str) -> None:
    with pytest.raises(NotPossible, match="more than 100 kg"):
        want(["pineapple"], jars)


def test_fruit_that_must_not_be_canned_is_still_answered() -> None:
    """As for any batch: cold, with the reason."""
    try:
        assert want(["elderberries"], "4 half-pints").storage == "cold"
    except JamcalcError as error:  # pragma: no cover - shown if ever it is refused
        pytest.fail(str(error))


def test_fruit_by_the_container_is_fruit_on_hand() -> None:
    asked = want(["half a bushel of plums"], "8 half-pints")
    assert asked.findings[0].id == "want"
    assert "times this fruit" in asked.findings[0].text
