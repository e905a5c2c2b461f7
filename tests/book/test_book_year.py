"""The invented year of 24 batches, told by the command line: what the screens must say at its end."""

from __future__ import annotations

from pathlib import Path

import pytest
from year_in_the_life import YEAR, main_in


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return main_in(tmp_path_factory.mktemp("year"))


def test_every_screen_fits_80_columns(shown: dict[str, str]) -> None:
    for name, text in shown.items():
        assert max((len(line) for line in text.splitlines() if not line.startswith("jamcalc:")), default=0) <= 80, name


def test_the_list_has_all_24_and_marks_what_is_off_the_shelf(shown: dict[str, str]) -> None:
    rows = [line for line in shown["list"].splitlines() if line[:2].strip().isdigit()]
    assert len(rows) == len(YEAR) == 24
    assert [line[:2].strip() for line in rows if "!!" in line] == ["8", "11", "16"]


def test_the_season_adds_up(shown: dict[str, str]) -> None:
    """127 jars: the sum of the jars in YEAR, counted by hand."""
    assert "Season 2026: 24 batches, 127 jars" in shown["season"]
    assert "June      #########################      28" in shown["season"]


def test_the_meter_took_batch_11_off_the_shelf(shown: dict[str, str]) -> None:
    assert "OFF THE SHELF" in shown["batch-11"]
    assert "It read pH 4.28, over 4.20" in shown["batch-11"]
    assert "put them in the refrigerator" in shown["batch-11"]
    shelf = shown["shelf"].splitlines()
    marked = [line[:2].strip() for line in shelf[2:7]]
    assert marked == ["8", "11", "15", "16", "22"], "what is off the shelf or past its date stands on top"


def test_the_card_of_batch_7_has_its_number_and_day(shown: dict[str, str]) -> None:
    assert "LOT          7" in shown["card-7"]
    assert "July 14, 2026" in shown["card-7"]


def test_the_printed_pages_are_whole(shown: dict[str, str], tmp_path_factory: pytest.TempPathFactory) -> None:
    assert "wrote season.html" in shown["season"]
    page = (Path(tmp_path_factory.getbasetemp()) / "year0" / "season.html").read_text(encoding="utf-8")
    assert page.count("<svg") == page.count("</svg>") == 3
    assert page.rstrip().endswith("</html>")
