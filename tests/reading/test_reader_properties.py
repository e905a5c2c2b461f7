"""Whatever is typed: a line, or one clear error in one line; never anything else, and never much work."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from types import FrameType, ModuleType
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from jamcalc.errors import JamcalcError
from jamcalc.nouns.said import Line
from jamcalc.reading import lines, several
from jamcalc.reading.readings import read_jars, read_reading
from jamcalc.words import quantities
from jamcalc.words.units import MAX_TEXT

FEW = settings(deadline=None, derandomize=True, max_examples=200)

NUMBERS = st.one_of(
    st.integers(0, 400).map(str),
    st.floats(0.001, 400).map(lambda x: f"{x:.3f}"),
    st.tuples(st.integers(0, 12), st.integers(0, 9)).map(lambda f: f"{f[0]}/{f[1]}"),
    st.tuples(st.integers(0, 12), st.integers(0, 9), st.integers(0, 9)).map(lambda f: f"{f[0]} {f[1]}/{f[2]}"),
    st.sampled_from(
        ["½", "1½", "1-1/2", "1e400", "nan", "-2", "2,5", "9**9", "1⁄2", "٣", "", "half a", "two", "a", "1 1/2 dozen", "juice of", "two 12"]
    ),
)
UNIT_WORDS = (
    "g kg mg oz lb lbs tsp tbsp Tbsp cup cups pint quart gallon mL L T t c imperial metric packet pouch fl # bushel peck flat lug bunch "
    "bag dozen dry small medium large stalks"
)
UNITS = st.sampled_from(UNIT_WORDS.split())
FORMS = st.sampled_from(["", "mashed", "chopped", "whole", "frozen", "prepared", "peeled and diced", "of", "finely chopped", "heaped"])
ITEMS = st.sampled_from(
    ["plums", "strawberries", "peach", "apple juice", "lemon juice", "bottled lemon juice", "honey", "stevia blend", "pectin", "water",
     "calcium water", "calcium-set pectin", "liquid pectin", "plumz", "[bold]plums", "\x1b[31mplums", "ground cherries", "(", "", "💥"]
)  # fmt: skip
WORDS = st.one_of(NUMBERS, UNITS, FORMS, ITEMS, st.text(max_size=12))


def outcome(read: Callable[[Any], Any], typed: object) -> Any:
    """What was read, or the checked message of the one kind of error that may come."""
    try:
        return read(typed)
    except JamcalcError as error:
        return str(error)


def answer_or_error(text: str) -> None:
    line = outcome(lines.read_line, text)
    if isinstance(line, str):
        assert_clear(line)
        return
    assert isinstance(line, Line)
    amount = line.amount
    assert (amount.grams is None) != (amount.ml is None)
    assert 0 < (amount.grams or amount.ml or 0) <= 100_000 * (1 + 1e-9)
    assert amount.count is None or line.role == "pectin"
    if line.role == "fruit" and amount.ml is not None:
        assert line.form in ("mashed", "chopped", "whole", "juice")
    assert line.text.isprintable()
    again = lines.read_line(line.text)  # what is kept and shown reads as the same line
    assert (again.item, again.amount, again.form) == (line.item, line.amount, line.form)


def assert_clear(message: str) -> None:
    assert message
    assert message.isprintable()
    assert "[" not in message
    assert len(message) < 400


@FEW
@given(st.tuples(NUMBERS, UNITS, FORMS, ITEMS).map(" ".join))
def test_likely_lines(text: str) -> None:
    answer_or_error(text)


@FEW
@given(st.lists(WORDS, max_size=9).map(" ".join))
def test_unlikely_lines(text: str) -> None:
    answer_or_error(text)


@FEW
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    answer_or_error(text)


@FEW
@given(st.lists(WORDS, max_size=12))
@example(["3 lb plums", "1/2 cup honey"])
def test_any_words_of_a_command(words: list[str]) -> None:
    read = outcome(several.read_lines, words)
    if isinstance(read, str):
        for problem in read.split("\n"):  # a line for each
            assert_clear(problem)
    else:
        assert all(isinstance(line, Line) for line in read)


@FEW
@given(
    st.one_of(
        st.text(max_size=60), st.tuples(NUMBERS, st.sampled_from(["ft", "m", "in", "mm", "min", "half-pints", "to 6 pints"])).map(" ".join)
    ),
    st.sampled_from([quantities.read_altitude_ft, quantities.read_headspace_mm, quantities.read_minutes, read_jars, read_reading]),
)
def test_other_readers(text: str, read: Callable[[str], Any]) -> None:
    answer = outcome(read, text)
    if isinstance(answer, str):
        assert_clear(answer)


@FEW
@given(
    st.floats(0.01, 99),
    st.sampled_from([("g", 1.0), ("kg", 1000.0), ("oz", 28.349523125), ("lb", 453.59237)]),  # NIST Handbook 44, Appendix C, exact
)
def test_weight_is_number_times_factor(value: float, unit: tuple[str, float]) -> None:
    number = f"{value:.6f}"
    assert lines.read_line(f"{number} {unit[0]} plums").amount.grams == pytest.approx(float(number) * unit[1], rel=1e-9)


def characters_read(work: Callable[[], object]) -> int:
    """How many characters the functions of Python and its library are given to read: for each call of one, the longest text in reach.

    `len` and `isinstance` read none, nor do the methods of lists and classes; a function of the package only what it calls.
    """
    total = 0

    def count(frame: FrameType, event: str, called: Any) -> None:
        nonlocal total
        ours = frame.f_globals.get("__name__", "").startswith(("jamcalc", __name__))
        reads = called not in (len, isinstance) and isinstance(getattr(called, "__self__", None), str | re.Pattern | ModuleType)
        if (event == "c_call" and reads) or (event == "call" and not ours):
            texts = [each for each in (*frame.f_locals.values(), getattr(called, "__self__", "")) if isinstance(each, str)]
            total += max(map(len, texts), default=0)

    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(None)
    return total


def in_one_word(text: str) -> object:
    """The lines in one word of a command."""
    return several.read_lines([text])


ENDLESS = ["9" * 2_000_000, "3 lb " + "mashed " * 300_000, "1/" * 1_000_000, " " * 2_000_000, "½" * 2_000_000, "\x1b[" * 1_000_000,
           "cinnamon " * 200_000, "plum pH " + "3" * 2_000_000]  # fmt: skip


@pytest.mark.parametrize("text", ENDLESS)
@pytest.mark.parametrize("read", [lines.read_line, read_reading, read_jars, quantities.read_altitude_ft, in_one_word])
def test_the_work_is_bounded_by_the_cap(read: Callable[[str], Any], text: str) -> None:
    assert len(outcome(read, text)) < 400
    assert characters_read(lambda: outcome(read, text)) < 50 * MAX_TEXT


def test_the_count_sees_work_without_a_bound() -> None:
    assert characters_read(lambda: ENDLESS[0].lower()) >= len(ENDLESS[0])
    assert characters_read(lambda: re.split(",", ENDLESS[1])) >= len(ENDLESS[1])
