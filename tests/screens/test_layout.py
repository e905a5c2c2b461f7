"""Names in columns: all of them, in order, in as few rows as the width allows."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jamcalc.screens.layout import InColumns, console


def rows(names: list[str], width: int) -> list[str]:
    stream = io.StringIO()
    console(stream, width=width).print(InColumns(names))
    return stream.getvalue().splitlines()


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")


def test_names_stand_one_below_the_other() -> None:
    assert rows(["plum", "blackberry", "fig", "pear", "quince"], 50) == ["plum   blackberry   fig   pear   quince"]
    assert [row.split() for row in rows([letter * 20 for letter in "abcde"], 50)] == [
        ["a" * 20, "d" * 20],
        ["b" * 20, "e" * 20],
        ["c" * 20],
    ]
    assert rows([letter * 40 for letter in "abc"], 50) == [letter * 40 for letter in "abc"]


@given(names=st.lists(st.text("abcdef", min_size=1, max_size=70), min_size=1, max_size=40), width=st.integers(70, 120))
def test_every_name_is_there_and_no_row_is_too_wide(names: list[str], width: int) -> None:
    shown = rows(names, width)
    assert all(len(row) <= width for row in shown)
    cells = [row.split() for row in shown]
    by_column = [row[column] for column in range(len(cells[0])) for row in cells if column < len(row)]
    assert by_column == names


def test_a_name_that_is_wider_than_the_screen_is_folded() -> None:
    assert "".join(rows(["x" * 120, "plum"], 50)) == "x" * 120 + "plum"
