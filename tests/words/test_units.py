"""The reader of numbers and units: every good and bad form, against exact factors."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from jamcalc.errors import InputError
from jamcalc.words import quantities, units

# Exact factors: NIST Handbook 44, Appendix C, General Tables of Units of Measurement (1 lb = 453.59237 g; 1 US gallon = 231 in3)
LB, OZ, CUP = 453.59237, 28.349523125, 236.5882365
# UK: gallon 4.54609 L, Weights and Measures Act 1985 (memory)
UK_GALLON = 4546.09

GRAMS = {
    "2 g": 2,
    "2.5 kg": 2500,
    "500 mg": 0.5,
    "1 lb": LB,
    "1 1/2 lb": 1.5 * LB,
    "1-1/2 lb": 1.5 * LB,
    "1½ lb": 1.5 * LB,
    "1 ½ lb": 1.5 * LB,
    "1-½ lb": 1.5 * LB,
    "½ lb": LB / 2,
    "1/4 lb": LB / 4,
    "1⁄4 lb": LB / 4,
    ".5 lb": LB / 2,
    "3/2 lb": 1.5 * LB,
    "3 lb 4 oz": 3 * LB + 4 * OZ,
    "3 lb and 4 oz": 3 * LB + 4 * OZ,
    "3 lb + 4 oz": 3 * LB + 4 * OZ,
    "3lb 4oz": 3 * LB + 4 * OZ,
    "1 kg 200 g": 1200,
    "2 lbs": 2 * LB,
    "2 Lbs.": 2 * LB,
    "2 pounds": 2 * LB,
    "8 ounces": 8 * OZ,
    "100 Grams": 100,
    "3 kilos": 3000,
    "  3   lb ": 3 * LB,
    "3\u00a0lb": 3 * LB,
    "100 kg": 100_000,
}
MILLILITRES = {
    "1 cup": CUP,
    "4 cups": 4 * CUP,
    "1 Cup": CUP,
    "1/4 cup + 1 tbsp": CUP * 5 / 16,
    "1/4 cup plus 1 tbsp": CUP * 5 / 16,
    "1 cup 2 tbsp": CUP * 18 / 16,
    "1 tbsp": CUP / 16,
    "1 Tbsp": CUP / 16,
    "1 TBSP": CUP / 16,
    "2 tablespoons": CUP / 8,
    "1 tbs": CUP / 16,
    "1 level tbsp": CUP / 16,
    "1 tsp": CUP / 48,
    "3 teaspoons": CUP / 16,
    "8 fl oz": CUP,
    "8 fl. oz.": CUP,
    "8 floz": CUP,
    "8 fluid ounces": CUP,
    "1 pint": 2 * CUP,
    "1 pt": 2 * CUP,
    "1 quart": 4 * CUP,
    "2 qts": 8 * CUP,
    "1 gallon": 16 * CUP,
    "1 US cup": CUP,
    "250 mL": 250,
    "250 ml": 250,
    "250 ML": 250,
    "1.5 L": 1500,
    "2 litres": 2000,
    "1 imperial pint": UK_GALLON / 8,
    "1 imperial cup": UK_GALLON / 16,
    "1 imperial fl oz": UK_GALLON / 160,
    "1 metric cup": 250,
    "1 metric tablespoon": 15,
    "2 metric tsp": 10,
    "100 L": 100_000,
}


@pytest.mark.parametrize(("text", "grams"), GRAMS.items())
def test_weights(text: str, grams: float) -> None:
    amount, rest = units.read_amount(text + " plums")
    assert (amount.grams, amount.ml, amount.count, rest) == (pytest.approx(grams, rel=1e-12), None, None, "plums")


@pytest.mark.parametrize(("text", "ml"), MILLILITRES.items())
def test_volumes(text: str, ml: float) -> None:
    amount, rest = units.read_amount(text + " of mashed plums")
    assert (amount.grams, amount.ml, amount.count, rest) == (None, pytest.approx(ml, rel=1e-12), None, "mashed plums")


@pytest.mark.parametrize("text", [*GRAMS, *MILLILITRES, "1 packet", "2 1/2 packets", "2 pouches", "1 pouch"])
def test_amount_as_written_back_is_the_same_amount(text: str) -> None:
    amount, _ = units.read_amount(text)
    assert units.read_amount(amount.text)[0] == amount
    assert amount.text.isascii()


def test_packets_are_counted() -> None:
    for text in ("2 packets", "2 boxes", "2 pouches", "2 packages"):
        assert units.read_amount(text + " standard pectin")[0].count == 2


REFUSED = {
    "": "empty",
    "   ": "empty",
    "3 plums": "lb",
    "3": "unit is missing",
    "plums": "does not begin with an amount",
    "2,5 kg plums": "2.5",
    "1,300 g plums": "comma",
    "1 T honey": "tbsp",
    "1 t honey": "tsp",
    "1 c honey": "cup",
    "1 C honey": "cup",
    "0 lb plums": "above zero",
    "0/4 lb plums": "above zero",
    "1 lb 0 oz plums": "above zero",
    "-2 lb plums": "sign",
    "\u22122 lb plums": "sign",
    "+2 lb plums": "sign",
    "NaN lb plums": "does not begin",
    "inf lb plums": "does not begin",
    "1e400 g plums": "exponent",
    "1E3 g plums": "exponent",
    "1e-3 g plums": "exponent",
    "9**9**9 g plums": "unit is missing",
    "9^9 g plums": "unit is missing",
    "(2) lb plums": "does not begin",
    "101 kg plums": "100 kg",
    "100.1 L water": "100 L",
    "99999999999999999999999999999999 mg plums": "100 kg",
    "0.0000001 g plums": "too little",
    "1/0 lb plums": "zero",
    "1 1/0 lb plums": "zero",
    "1 3/2 lb plums": "less than one",
    "1/2/3 lb plums": "number cannot be read",
    "1.2.3 lb plums": "number cannot be read",
    "2. lb plums": "number cannot be read",
    "2-3 lb plums": "range",
    "2 to 3 lb plums": "range",
    "2\u20133 lb plums": "range",
    "3 bushels plums": "bushels",
    "3 heaped tbsp sugar": "heaped",
    "1 imperial lb plums": "imperial",
    "1 metric quart plums": "metric",
    "4 oz 3 lb plums": "fall",
    "1 lb 2 cups plums": "one kind",
    "1 lb 1 lb plums": "fall",
    "1/4 cup + honey": "does not begin",
    "\u0663 lb plums": "does not begin",
    "3\x1b[31m lb plums": "control",
    "3 lb plums\x00": "control",
    "101 packets pectin": "packets",
    "0 packets pectin": "packet",
}


@pytest.mark.parametrize(("text", "said"), REFUSED.items())
def test_refused_in_one_line_that_helps(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        units.read_amount(text)
    message = str(caught.value)
    assert said in message
    assert message.isprintable()
    assert len(message) < 260


@pytest.mark.parametrize("text", ["9" * 2_000_000, "(" * 40_000, "3 lb " + "plum " * 400_000, "1/" * 60, "1 " * 60, "½" * 120])
def test_long_text_is_refused_before_it_is_read(text: str) -> None:
    with pytest.raises(InputError):
        units.read_amount(text)


def test_shown_is_fit_to_repeat() -> None:
    assert units.shown("3 lb plums") == "3 lb plums"
    assert units.shown("\x1b[31mred\x1b[0m\x07 \x1b]0;title\x07plum\r\n") == "red plum"
    assert units.shown("[bold]plum[/bold]") == "(bold)plum(/bold)"
    assert units.shown("a\u202eb\u200bc\ud800") == "a b c"
    assert units.shown("p" * 61) == "p" * 57 + "..."
    assert units.shown("p" * 60) == "p" * 60
    assert len(units.shown("\x1b[" * 1_000_000)) <= 60
    assert len(units.shown("9" * 2_000_000, 20)) == 20


@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("4300 ft", 4300),
        ("4300ft", 4300),
        ("4300 feet", 4300),
        ("0 ft", 0),
        ("-500ft", -500),
        ("-500 ft", -500),
        ("\u2212500 ft", -500),
        ("1300 m", 1300 / 0.3048),  # 1 ft = 0.3048 m exactly, NIST Handbook 44 Appendix C
        ("1300 metres", 1300 / 0.3048),
        ("4,300 ft", 4300),
        ("1,310 m", 1310 / 0.3048),
        ("-1,000 ft", -1000),
        ("4300", 4300),
        ("4,300", 4300),
    ],
)
def test_altitude(text: str, feet: float) -> None:
    assert quantities.read_altitude_ft(text) == pytest.approx(feet, rel=1e-12)


@pytest.mark.parametrize("text", ["", "12 parsecs", "nan ft", "1e9 m", "40000 ft", "-9000 ft", "99999999999 m", "high", "5 ft 3"])
def test_altitude_refused_with_the_units_to_write(text: str) -> None:
    with pytest.raises(InputError, match="4300 ft"):
        quantities.read_altitude_ft(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4,300,000 ft", "comma"),
        ("1,5 m", "write a point for a comma"),
        ("1,3000 m", "write a point for a comma"),
    ],
)
def test_a_comma_in_an_altitude_is_named(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        quantities.read_altitude_ft(text)


def test_headspace_and_minutes() -> None:
    # 1 in = 25.4 mm exactly, NIST Handbook 44 Appendix C
    assert quantities.read_headspace_mm("1/4 in") == pytest.approx(6.35)
    assert quantities.read_headspace_mm('1/2"') == pytest.approx(12.7)
    assert quantities.read_headspace_mm("6 mm") == 6
    assert quantities.read_headspace_mm("1 cm") == 10
    assert (quantities.read_minutes("10"), quantities.read_minutes("2 1/2 min"), quantities.read_minutes("0")) == (10, 2.5, 0)


@pytest.mark.parametrize("text", ["", "1/4", "0 in", "-1 in", "3 in", "1 furlong", "1/4 in of air"])
def test_headspace_refused(text: str) -> None:
    with pytest.raises(InputError, match="1/4 in"):
        quantities.read_headspace_mm(text)


@pytest.mark.parametrize("text", ["", "-1", "1441", "1 h", "ten", "1e2", "nan"])
def test_minutes_refused(text: str) -> None:
    with pytest.raises(InputError, match="minutes"):
        quantities.read_minutes(text)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("8 half-pints", (8, 8, "half-pints")),
        ("about 8 half-pints", (8, 8, "half-pints")),
        ("5 to 6 half-pints", (5, 6, "half-pints")),
        ("5-6 half-pints", (5, 6, "half-pints")),
        ("5 or 6 half pints", (5, 6, "half pints")),
        ("2.5 to 2.5 pints", (2.5, 2.5, "pints")),
        ("2 1/2 pints", (2.5, 2.5, "pints")),
        ("9 250 mL jars", (9, 9, "250 mL jars")),
        ("4 8-oz jars", (4, 4, "8-oz jars")),
        ("7 jars of 250 mL", (7, 7, "250 mL jar")),
        ("1 clip jar of 500 mL", (1, 1, "500 mL clip jar")),
        ("7 jars of jam", (7, 7, "jars of jam")),
    ],
)
def test_jar_count(text: str, read: tuple[float, float, str]) -> None:
    assert quantities.read_jar_count(text) == read


@pytest.mark.parametrize(
    "text", ["", "8", "half-pints", "0 pints", "6 to 5 pints", "10001 pints", "-1 pints", "8 [red]pints", "5 to 6", "8 1/2 pint jars"]
)
def test_jar_count_refused(text: str) -> None:
    with pytest.raises(InputError):
        quantities.read_jar_count(text)


@pytest.mark.parametrize("text", ["many", "half-pints", "a few pints", "about", "about many"])
def test_a_jar_count_without_a_number_is_told_of_jars(text: str) -> None:
    with pytest.raises(InputError, match='a number and a jar, such as "8 half-pints"'):
        quantities.read_jar_count(text)


def test_our_factors_are_pints_own() -> None:
    """The short unit file agrees with the file that comes with pint."""
    from pint import UnitRegistry

    theirs = UnitRegistry()
    for unit in ("pound", "ounce", "milligram"):
        assert units.convert(1, unit, "gram") == pytest.approx(theirs.Quantity(1, unit).to("gram").magnitude, rel=1e-12)
    for unit in (
        "teaspoon",
        "tablespoon",
        "cup",
        "pint",
        "quart",
        "gallon",
        "fluid_ounce",
        "imperial_pint",
        "imperial_cup",
        "imperial_fluid_ounce",
    ):
        assert units.convert(1, unit, "milliliter") == pytest.approx(theirs.Quantity(1, unit).to("milliliter").magnitude, rel=1e-12)
    for unit in ("inch", "foot", "meter"):
        assert units.convert(1, unit, "millimeter") == pytest.approx(theirs.Quantity(1, unit).to("millimeter").magnitude, rel=1e-12)


@pytest.mark.parametrize("text", ["no sugar", "without added sugar", "No pectin"])
def test_what_is_not_wanted_is_left_out(text: str) -> None:
    with pytest.raises(InputError, match="leave it out"):
        units.read_amount(text)


def test_reading_the_module_does_not_load_pint() -> None:
    import subprocess

    code = "import sys, jamcalc.words.units; print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2])
    assert done.stdout.strip() == "False"
