"""A year in the life of one invented kitchen: 24 batches from the command line, then the season, the shelf, a card, a meter's verdict.

    python tests/year_in_the_life.py [FOLDER]

Writes the book, what each screen said and the printed pages into FOLDER, or into a temporary one. The kitchen, its fruit and what came
of it are made up; nothing here is a figure. Run by test_book_year.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from jamcalc.cli.main import main

ALTITUDE = "1250 ft"


class Made(NamedTuple):
    """One batch: the day, what was asked, and what came of it; words of `finish`, then of `book take`."""

    day: str
    asked: tuple[str, ...]
    came: str
    taken: tuple[str, ...] = ()


YEAR = (
    Made("2026-05-24", ("3 lb rhubarb", "--sweetener", "sugar"), "--jars 6 --ph 3.15 --processed 15 --found well", ("4",)),
    Made("2026-06-03", ("4 cups mashed strawberries", "--sweetener", "honey"), "--jars 5 --ph 3.62 --processed 15 --found runny", ("5",)),
    Made("2026-06-07", ("6 cups mashed strawberries", "--sweetener", "sugar"), "--jars 7 --over '1/2 cup' --processed 15", ("3",)),
    Made("2026-06-12", ("2 lb strawberries", "1 1/2 lb rhubarb", "--sweetener", "honey"), "--jars 7 --ph 3.31", ("2",)),
    Made("2026-06-20", ("2 lb gooseberries", "--sweetener", "sugar"), "--jars 4 --ph 3.05 --processed 15 --found stiff"),
    Made("2026-06-27", ("3 lb sweet cherries", "--sweetener", "honey"), "--jars 5 --ph 3.88 --processed 15 --found well", ("1",)),
    Made("2026-07-14", ("3 lb plums", "1 1/2 lb blackberries", "--sweetener", "honey"), "--jars '8 half-pints' --over '1/4 cup' --ph 3.52 "
         "--brix 21 --processed 15 --boil 3 --found well --note 'the patch by the gate'", ("2", "1")),
    Made("2026-07-18", ("4 lb apricots", "--sweetener", "sugar"), "--jars 9 --ph 3.6 --processed 15 --unsealed 1 --found well"),
    Made("2026-07-22", ("3 lb blueberries", "--sweetener", "honey"), "--jars 5 --ph 3.4 --processed 15 --found well", ("2",)),
    Made("2026-07-25", ("2 lb raspberries", "--sweetener", "honey"), "--jars 4 --ph 3.3 --processed 15 --found well", ("4",)),
    Made("2026-08-01", ("3 lb peaches", "--sweetener", "sugar"), "--jars 6 --ph 4.28 --processed 15 --found runny"),
    Made("2026-08-02", ("3 lb peaches", "1 lb raspberries", "--sweetener", "honey"), "--jars 7 --ph 3.71 --processed 15 --found well"),
    Made("2026-08-09", ("3 lb blackberries", "--sweetener", "honey"), "--jars 5 --ph 3.5 --processed 15 --found well", ("1",)),
    Made("2026-08-15", ("4 lb plums", "--sweetener", "honey"), "--jars 7 --ph 3.41 --processed 15 --found well"),
    Made("2026-08-16", ("3 lb figs", "--sweetener", "honey"), "--jars 5 --ph 4.5 --stored refrigerator --found well", ("3",)),
    Made("2026-08-23", ("3 lb plums", "--jar", "pint", "--sweetener", "sugar"), "--jars '3 pints' --processed 10 --found well"),
    Made("2026-09-04", ("2 lb pears", "1 lb plums", "--sweetener", "honey"), "--jars 5 --ph 3.9 --processed 15 --found well"),
    Made("2026-09-12", ("3 lb Concord grapes", "--sweetener", "sugar"), "--jars 5 --ph 3.4 --processed 15 --found well"),
    Made("2026-09-19", ("2 lb elderberries", "1 lb apples", "--sweetener", "honey"), "--jars '2 pints, 1 half-pint' --stored freezer"),
    Made("2026-09-26", ("3 lb apples", "--sweetener", "honey"), "--jars 6 --ph 3.6 --processed 15 --found grainy"),
    Made("2026-10-03", ("2 lb apples", "1 lb cranberries", "--sweetener", "sugar"), "--jars 6 --ph 3.2 --processed 15 --found stiff"),
    Made("2026-10-10", ("2 lb mango", "--sweetener", "sugar"), "--jars 4 --ph 4.0 --stored refrigerator"),
    Made("2026-11-14", ("2 lb cranberries", "1 cup orange juice", "--sweetener", "sugar"), "--jars 5 --ph 2.9 --processed 15 --found well"),
    Made("2026-11-21", ("2 lb frozen blueberries", "--sweetener", "honey"), ""),
)  # fmt: skip


def run(*words: str, code: int = 0) -> str:
    """One command; its screen. What it says beside the screen is put under it."""
    out, err = io.TextIOWrapper(io.BytesIO(), encoding="utf-8"), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        found = main(words)
    out.flush()
    assert found == code, (words, found, err.getvalue())
    return out.buffer.getvalue().decode("utf-8") + err.getvalue()  # type: ignore[attr-defined]


def live() -> None:
    """The whole year, in the current folder."""
    import shlex

    for number, made in enumerate(YEAR, 1):
        run("batch", *made.asked, "--altitude", ALTITUDE, "--keep", "--date", made.day)
        if made.came:
            run("finish", str(number), *shlex.split(made.came), *(() if "--stored" in made.came else ("--stored", "pantry")))
        for count in made.taken:
            run("book", "take", str(number), count)


SCREENS = {
    "list": ("book", "--all", "--date", "2026-11-22"),
    "season": ("book", "--season", "2026", "-o", "season.html"),
    "shelf": ("book", "--shelf", "--date", "2026-11-22"),
    "batch-7": ("book", "7", "--date", "2026-11-22"),
    "batch-11": ("book", "11", "--date", "2026-08-02"),
    "card-7": ("card", "7"),
    "page-7": ("card", "7", "-o", "card.html"),
}


def screens() -> dict[str, str]:
    """What is shown at the end of the year, by name."""
    return {name: run(*words) for name, words in SCREENS.items()}


def main_in(folder: Path) -> dict[str, str]:
    """The year in a folder; every screen is written there too."""
    own = {"JAMCALC_BOOK": "book.sqlite", "JAMCALC_KITCHEN": "kitchen.toml"}
    with contextlib.chdir(folder), mock.patch.dict(os.environ, own):
        live()
        shown = screens()
        for name, text in shown.items():
            Path(f"{name}.txt").write_text(text, encoding="utf-8")
    return shown


if __name__ == "__main__":
    place = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp())
    place.mkdir(parents=True, exist_ok=True)
    for shown_text in main_in(place).values():
        print(shown_text)
    print(f"all of it in {place}")
