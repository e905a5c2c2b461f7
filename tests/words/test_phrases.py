"""Numbers as words, strangers' text made harmless, and the ruler's columns."""

from __future__ import annotations

import pytest

from jamcalc.nouns.known import Estimate
from jamcalc.nouns.outcome import JarCount
from jamcalc.words import phrases


def ph(low: float, typical: float, high: float) -> Estimate:
    return Estimate(low=low, typical=typical, high=high)


def ruler(range_: Estimate, columns: int = 3) -> dict[str, str]:
    zones = ("may stand on a shelf", "measure it", "cold only")
    lines = phrases.ruler(range_, shelf_ph=4.0, wall_ph=4.6, zones=zones, columns_per_tenth=columns)
    return dict(zip(("labels", "bar", "scale", "numbers", "words"), lines, strict=True))


@pytest.mark.parametrize(
    ("text", "clean"),
    [
        ("plum \x1b[31mred\x1b[0m", "plum [31mred[0m"),
        ("two\r\nlines\tof\x00text", "two lines oftext"),
        ("[cup] and [/oops]", "[cup] and [/oops]"),
        ("½ cup, 1½ cups", "1/2 cup, 1 1/2 cups"),
        ("right\u202eleft\u200b", "rightleft"),
        ("half a pair \ud800", "half a pair"),
        ("crème", "crème"),
        ("", ""),
    ],
)
def test_plain(text: str, clean: str) -> None:
    assert phrases.plain(text) == clean


def test_plain_cuts_and_does_not_read_on() -> None:
    assert phrases.plain("x" * 2_000_000, 60) == "x" * 57 + "..."


@pytest.mark.parametrize(
    ("grams", "text"), [(1279.4, "1,279 g"), (12.04, "12 g"), (6.12, "6.1 g"), (9.97, "10 g"), (6.0, "6 g"), (0.0, "0 g")]
)
def test_weight(grams: float, text: str) -> None:
    assert phrases.weight(grams) == text


@pytest.mark.parametrize(
    ("grams", "units", "text"),
    [
        (1360.8, "us", "3 lb"),
        (680.4, "us", "1 lb 8 oz"),
        (85, "us", "3 oz"),
        (453, "us", "1 lb"),
        (1360.8, "metric", "1.36 kg"),
        (680.4, "metric", "680 g"),
    ],
)
def test_bought(grams: float, units: str, text: str) -> None:
    assert phrases.bought(grams, units) == text


def test_ph_ends_are_rounded_outward() -> None:
    assert phrases.ph_words(ph(3.14, 3.45, 4.0)) == "about 3.5 (3.1 to 4.0)"
    assert phrases.ph_words(ph(3.19, 3.44, 4.01)) == "about 3.4 (3.1 to 4.1)"
    assert phrases.ph_words(ph(3.9, 3.9, 3.9)) == "about 3.9"


def test_about() -> None:
    assert phrases.about(ph(19.4, 22.03, 25.2), unit=" %") == "about 22 % (19 to 25)"
    assert phrases.about(ph(22, 22.1, 22.2)) == "about 22"


def test_jars() -> None:
    jars = JarCount(low=4.4, expected=4.9, high=5.5, heat=6)
    assert phrases.jar_count_words(jars, "half-pint") == "about 5 half-pints (4 to 6); heat 6"
    assert phrases.jar_words("pint", 1) == "1 pint"
    assert phrases.jar_words("250 mL jar", 3) == "3 jars of 250 mL"
    assert phrases.jar_words("500 mL clip jar", 1) == "1 clip jar of 500 mL"
    assert phrases.jar_words("pint-and-a-half", 2) == "2 pint-and-a-half jars"
    assert (phrases.one_jar("half-pint"), phrases.one_jar("250 mL jar")) == ("half-pint jar", "250 mL jar")


@pytest.mark.parametrize(
    ("ml", "units", "text"),
    [(10, "us", ""), (60, "us", "about 60 mL (1/4 cup)"), (178, "metric", "about 180 mL"), (420, "us", "about 420 mL")],
)
def test_over(ml: float, units: str, text: str) -> None:
    assert phrases.over_words(ml, units) == text


def test_kitchen_numbers_in_both_units() -> None:
    assert phrases.altitude(4300, "us") == "4,300 ft"
    assert phrases.altitude(-500, "metric") == "-152 m"
    assert phrases.temperature(95.57, "us") == "204 F"
    assert phrases.temperature(95.57, "metric") == "96 C"
    assert phrases.headspace(6.35, "us") == "1/4 in"
    assert phrases.headspace(12.7, "metric") == "13 mm"
    assert phrases.headspace(25.4, "us") == "1 in"


@pytest.mark.parametrize("columns", [2, 3])
def test_ruler_marks_stand_where_they_should(columns: int) -> None:
    lines = ruler(ph(3.12, 3.46, 3.98), columns)
    at = {tenth: phrases.RULER_MARGIN + (tenth - 28) * columns for tenth in (28, 31, 35, 40, 46, 50)}
    assert [i for i, c in enumerate(lines["words"]) if c == "^"] == [at[40], at[46]]
    assert [i for i, c in enumerate(lines["bar"]) if c == "|"] == [at[31], at[40]]
    assert lines["bar"].index("O") == at[35]
    assert lines["scale"].index("+") == at[28]
    assert lines["scale"].rindex("+") == at[50]
    for number in ("2.8", "4.0", "4.6", "5.0"):
        assert lines["numbers"].index(number) + 1 == at[round(float(number) * 10)]
    assert lines["labels"].split()[:2] == ["low", "3.1"]
    assert max(map(len, lines.values())) <= (78 if columns == 3 else 56)
    assert lines["words"].split("^")[0].strip() == "may stand on a shelf"


@pytest.mark.parametrize("columns", [2, 3])
@pytest.mark.parametrize(
    "range_",
    [ph(2.1, 2.5, 2.7), ph(5.2, 5.5, 6.3), ph(2.0, 4.0, 6.0), ph(3.9, 3.9, 3.9), ph(4.8, 4.9, 5.0), ph(2.8, 2.85, 2.9), ph(0, 7, 14)],
)
def test_ruler_holds_every_range(range_: Estimate, columns: int) -> None:
    lines = ruler(range_, columns)
    low, _, high = phrases.ph_tenths(range_)
    assert max(map(len, lines.values())) <= (78 if columns == 3 else 56)
    assert ("<" in lines["bar"]) == (low < 28)
    assert (">" in lines["bar"]) == (high > 50)
    assert f"high {high / 10:.1f}" in lines["labels"]
    assert all(line.isascii() for line in lines.values())


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("add 2 tbsp + 1 1/2 tsp of juice", ["add", "2 tbsp", "+", "1 1/2 tsp", "of", "juice"]),
        ("about 3.3 (3.1 to 4.0), 4,300 ft, 20 min", ["about", "3.3", "(3.1 to 4.0),", "4,300 ft,", "20 min"]),
        ("a meter set at pH 4 and 7", ["a", "meter", "set", "at", "pH 4", "and", "7"]),
        ('run "3 lb plums" --sweetener honey --jar "250 mL"', ["run", '"3 lb plums"', "--sweetener honey", '--jar "250 mL"']),
        ("Save    8 recipe  11 gift label", ["Save", "", "", "", "8 recipe", "", "11 gift label"]),
        ("3 weeks, 1 gram", ["3 weeks,", "1", "gram"]),
    ],
)
def test_what_is_read_as_one_is_not_broken(text: str, pieces: list[str]) -> None:
    held = phrases.unbroken(text)
    assert [phrases.loose(piece) for piece in held.split(" ")] == pieces
    assert phrases.loose(held) == text
    assert phrases.HOLD not in phrases.plain(held)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1279 g", "1,279 g"),
        ("4700 mL mashed", "4,700 mL mashed"),
        ("2 lb 13 oz (1279 g), about 12500 g", "2 lb 13 oz (1,279 g), about 12,500 g"),
        ("999 g, 0.1234 g, 1,279 g, batch 1279", "999 g, 0.1234 g, 1,279 g, batch 1279"),
    ],
)
def test_thousands_have_a_comma_where_they_are_shown(text: str, shown: str) -> None:
    assert phrases.grouped(text) == shown
