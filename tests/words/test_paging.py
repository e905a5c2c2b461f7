"""Long texts by the screenful: nothing is lost, and nothing is cut that belongs together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import jamcalc
from jamcalc.guide import guide_screen
from jamcalc.screens.output import plain_text
from jamcalc.words import paging

ANSWERS = [
    jamcalc.batch(["3 lb plums"], sweetener="honey"),
    jamcalc.batch(["4 lb mangoes", "2 lb pears", "1 lb figs"], jar="quart"),
    jamcalc.batch(["15 lb apples", "4 lb pears", "2 lb plums"], altitude="4300 ft", on_hand="6 half-pints"),
]
SCREENS = [plain_text(form(answer)) for answer in ANSWERS for form in (guide_screen.short_form, guide_screen.long_form)]


@given(st.lists(st.sampled_from(["", "Head", "  - item", "    more", "  ----", "┏━━┓", "┃  ┃", "┗━━┛"]), max_size=80), st.integers(5, 30))
def test_every_line_is_on_one_page_and_no_page_is_too_long(lines: list[str], height: int) -> None:
    found = paging.pages("\n".join(lines), height)
    assert [line for page in found for line in page.splitlines() if line] == [line for line in lines if line]
    assert all(len(page.splitlines()) <= height for page in found)


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("height", [22, 30])
def test_boxes_tables_and_headings_stay_whole(screen: str, height: int) -> None:
    found = paging.pages(screen, height, last=height - 3)
    assert len(found) > 1 or len(screen.splitlines()) <= height - 3
    for page in found:
        lines = page.splitlines()
        assert sum(line[:1] in "┏╔█" for line in lines if line) == sum(line[:1] in "┗╚█" for line in lines if line), page
        if any(line.strip() and set(line) <= set(" -") for line in lines):
            rule = next(number for number, line in enumerate(lines) if line.strip() and set(line) <= set(" -"))
            assert rule >= 2 or lines[0].startswith("  what"), "a table comes with its heading"
        assert lines[-1].startswith((" ", "┗", "╚")) or len(lines) > 2, "no heading alone at the foot"
    for page in found[1:]:
        first = page.splitlines()[0]
        assert len(first) - len(first.lstrip()) <= 3, "an item is not begun in its middle"


def test_a_last_page_leaves_room() -> None:
    text = "\n".join(f"line {number}" for number in range(30))
    assert [len(page.splitlines()) for page in paging.pages(text, 20, last=12)] == [20, 10]
    assert [len(page.splitlines()) for page in paging.pages(text, 20, last=9)] == [20, 8, 2]
    assert paging.pages("", 20) == [""]


def test_no_page_ends_within_a_sentence() -> None:
    told = ["pH about 4.4 (4.1 to 5.0); before the lemon juice about 5.1", "(4.7 to 6.1)."]
    text = "\n".join([*(f"line {number}" for number in range(9)), *told, *(f"line {number}" for number in range(9))])
    first, *_ = paging.pages(text, 10)
    assert first.splitlines()[-1] == "line 8"
    assert [line for page in paging.pages(text, 10) for line in page.splitlines()] == text.splitlines()
