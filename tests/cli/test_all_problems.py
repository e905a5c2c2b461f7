"""Every problem of one command is told at once, a line each: bad lines, bad values of options, bad readings."""

from __future__ import annotations

import pytest

import jamcalc
from jamcalc.cli.main import main
from jamcalc.errors import InputError, RecipeError, UnknownItem

BAD_OPTIONS = [
    "--set",
    "rubbery",
    "--store",
    "attic",
    "--altitude",
    "up high",
    "--boil",
    "long",
    "--reading",
    "plum pH 44",
    "--sweetener",
    "hony",
]
SAID = ["rubbery", "attic", "up high", "long", "between 0 and 14", "hony"]


def told(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err.splitlines()


def test_a_bad_line_and_bad_options_are_told_together(capsys: pytest.CaptureFixture[str]) -> None:
    rows = told(["batch", "3 lb plumz", "1/2 cup honey", *BAD_OPTIONS], capsys)
    assert len(rows) == len(SAID) + 1
    for words in ("plumz", *SAID):
        assert sum(words in row for row in rows) == 1, words


@pytest.mark.parametrize("given", [["--altitude", "up high", "--boil", "long"], ["--boil", "long", "--altitude", "up high"]])
def test_two_bad_values_that_are_read_late_are_told_together(given: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert len(told(["batch", "3 lb plums", *given], capsys)) == 2


def test_check_tells_lines_and_options_together(capsys: pytest.CaptureFixture[str]) -> None:
    rows = told(["check", "3 lb plumz", "1 cup sugarr", "--altitude", "up high"], capsys)
    assert [next(word for word in ("plumz", "sugarr", "up high") if word in row) for row in rows] == ["plumz", "sugarr", "up high"]


def test_no_line_at_all_and_a_bad_option_are_told_together(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(told(["batch", "--set", "rubbery"], capsys)) == 2


def test_one_problem_stays_the_error_that_it_is() -> None:
    with pytest.raises(UnknownItem) as caught:
        jamcalc.batch(["3 lb plumz"])
    assert caught.value.near
    with pytest.raises(InputError, match="altitude") as other:
        jamcalc.batch(["3 lb plums"], altitude="up high")
    assert not isinstance(other.value, RecipeError)


def test_python_is_told_all_of_them_too() -> None:
    with pytest.raises(RecipeError) as caught:
        jamcalc.batch(["3 lb plumz", "2 lb pearz"], altitude="up high", reading=["plum pH 44", "pear pH 3.9"], on_hand="11 buckets")
    assert len(caught.value.problems) == 5
