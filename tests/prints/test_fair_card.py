"""The fair card of every recipe that comes with the program: the date on one line, nothing broken, type as large as there is room for."""

from __future__ import annotations

import pytest

import jamcalc
from jamcalc import api
from jamcalc.labels.card import CardRequest, content
from jamcalc.nouns.label import Card
from jamcalc.prints import fair_back, fair_page, paper
from jamcalc.reading import supplied

NAMES = sorted(supplied.names())


def card(name: str) -> Card:
    return jamcalc.card(name, date="2026-09-30", altitude="4300 ft").card


@pytest.mark.parametrize("name", NAMES)
def test_the_date_stands_on_one_line(name: str) -> None:
    """The longest month there is."""
    cells, size = fair_page._band_set(card(name))
    date = next(cell for cell in cells if cell.dated)
    assert date.value == "September\u00a030,\u00a02026"
    assert size >= fair_page.WHOLE_DATE_PT


def test_a_date_that_would_make_the_band_too_small_goes_over_two_lines() -> None:
    crowded = jamcalc.card("peach-pineapple-spread", date="2026-09-30", altitude="4300 ft", jar="half-pint", method="W" * 18).card
    cells, _ = fair_page._band_set(crowded)
    assert next(cell for cell in cells if cell.dated).value == "September\u00a030, 2026"


def test_bold_words_are_counted_as_wide_as_they_are() -> None:
    """NimbusRoman-Bold.afm: p 556, i 278, n 556, t 333."""
    assert paper.longest_word_em("pint", bold=True) >= 1.723


@pytest.mark.parametrize("name", NAMES)
def test_the_recipe_line_begins_as_a_sentence_does_and_names_a_year_once(name: str) -> None:
    said = card(name).value("recipe")
    assert said[0].isupper()
    assert not [word for word in said.replace(",", " ").split() if word.isdigit() and len(word) == 4 and said.count(word) > 1]


@pytest.mark.parametrize("name", NAMES)
def test_the_back_is_set_as_large_as_its_sides_allow(name: str) -> None:
    """The next size up would take another side, whatever the title."""
    words = card(name)
    sides = fair_back.back(words)
    size = float(sides[0].split("font-size:")[1].split("pt")[0])
    assert size >= paper.SMALLEST_PT
    if size < fair_back.TEXT_SIZES_PT[0] and len(sides) == 1:
        used = sum(height for height, _, _ in fair_back._blocks(words, size + 0.25))
        foot = paper.lines(fair_back._foot(words), size + 0.25, fair_page.WIDTH_PT) * (size + 0.25) * fair_page.LEADING
        title_pt = float(sides[0].split('<h1 dir="auto" style="font-size:')[1].split("pt")[0])
        title_lines = paper.lines(words.title, title_pt, fair_back.TITLE_PT / paper.BOLD)
        title = title_lines * 1.1 * (fair_back.TITLE_SIZES_PT[-1] if title_lines == 1 else title_pt)
        assert used + foot + title + 15.0 > fair_page.HEIGHT_PT - 0.5  # the rule, and room above the rows, the steps and the foot


@pytest.mark.parametrize("lines", [["3 lb plums", "1 1/2 lb frozen blackberries"], ["3 lb figs"], ["4 lb pears"]])
def test_the_back_of_a_usual_batch_is_set_in_nine_points_or_more(lines: list[str]) -> None:
    words = content(api.batch(lines, sweetener="honey", altitude="4300 ft"), CardRequest(date="2026-09-30", exhibitor="A. Maker"))
    sides = fair_back.back(words)
    assert len(sides) == 1
    assert float(sides[0].split("font-size:")[1].split("pt")[0]) >= 9.0
