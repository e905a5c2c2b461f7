"""The book on narrow screens: no date, no title and no number of jars is cut, and jars off the shelf have the frame of a refusal."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date

import pytest
from book_sample import finish, jars, with_entries
from rich.console import RenderableType
from rich.text import Text

from jamcalc.kept.entries import Kept
from jamcalc.kept.season import season
from jamcalc.kept.shelf import rows
from jamcalc.screens import book_screen, layout
from jamcalc.screens.layout import Framed

TODAY = date(2026, 11, 27)
BATCHES = (
    with_entries(finish(ph=3.52, filled=jars(half_pint=16, pint=12), found="weeping", processed_min=5), number=1017),
    with_entries(finish(filled=jars(half_pint=4), unsealed=jars(half_pint=1)), number=2, title="Rhubarb and strawberry spread"),
    with_entries(number=3, title="Elderberry spread", storage="cold"),
)
WHOLE = {
    "list": {"2026-07-14", "2027-07-14", "1017", "2", "28", "3.52", "weeping", "discard", "strawberry", "Elderberry", "!!"},
    "shelf": {"1017", "16 half-pints", "12 pints", "best by 2027-07-14", "strawberry", "discard", "off the shelf", "pantry"},
    "season": {"1017", "strawberry", "Elderberry", "Jars by month", "6.2", "3.52", "predicted", "filled", "32 from 9 lb"},
}


def printed(screen: RenderableType, *, width: int, encoding: str = "utf-8") -> str:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    layout.console(stream, color=False, width=width).print(layout.Trimmed(screen))
    stream.flush()
    return raw.getvalue().decode(encoding)


def screen(name: str) -> RenderableType:
    if name == "list":
        return book_screen.book(BATCHES, TODAY)
    if name == "shelf":
        return book_screen.shelf(rows(BATCHES, TODAY), TODAY)
    return book_screen.season(season(BATCHES, 2026))


@pytest.mark.parametrize("width", [80, 60, 50])
@pytest.mark.parametrize("name", WHOLE)
def test_nothing_is_cut_on_a_narrow_screen(name: str, width: int) -> None:
    text = printed(screen(name), width=width)
    lost = {whole for whole in WHOLE[name] if not re.search(rf"(?<!\w){re.escape(whole)}(?!\w)", " ".join(text.split()))}
    assert not lost, text
    assert not [line for line in text.splitlines() if len(line) > width or line != line.rstrip()]
    assert "\u2026" not in text


def test_a_batch_is_not_read_as_a_number_of_its_warning() -> None:
    """ "2 1 jar that did not seal" would be 21 jars to a quick eye."""
    for name in ("list", "shelf"):
        warnings = printed(screen(name), width=80).partition("Off the shelf")[2]
        assert "batch 2: 1 jar that did not seal" in " ".join(warnings.split())


def test_every_reason_is_told_of_a_batch_in_jars_of_two_sizes() -> None:
    warnings = " ".join(printed(screen("shelf"), width=80).partition("Off the shelf")[2].split())
    assert "5 minutes in boiling water, and the answer asks for 10" in warnings
    assert "larger than the answer was for" in warnings


def test_jars_are_named_once_in_a_reason() -> None:
    """The frame of batch 1017 said "Pint: pint jar: larger ..."."""
    text = printed(book_screen.batch(BATCHES[0], TODAY), width=80)
    assert "Pint jar: larger than the answer was for" in text
    assert "int: pint jar" not in text.lower()
    assert "Half-pint: 5 minutes in boiling water" in text


def test_a_batch_that_is_off_the_shelf_is_not_said_to_be_in_the_pantry() -> None:
    places = {batch.number: line for batch in BATCHES for line in _lines(batch) if line.startswith("where")}
    assert "off the shelf, to be discarded" in places[1017]
    assert "pantry, best by" in places[2]  # one of its jars did not seal; where the others are


def _lines(batch: Kept) -> list[str]:
    return printed(book_screen.batch(batch, TODAY), width=80).splitlines()


def test_jars_that_did_not_seal_are_told_from_the_others_of_their_batch() -> None:
    rows_there = [line for line in printed(screen("shelf"), width=80).splitlines() if "half-pint" in line]
    assert any("1 half-pint " in line and "not sealed" in line for line in rows_there)
    assert any("3 half-pints " in line and "not sealed" not in line for line in rows_there)


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_jars_off_the_shelf_have_the_frame_of_a_refusal(encoding: str) -> None:
    frames = layout._FRAMES if encoding == "utf-8" else layout._ASCII_FRAMES
    head = next(line for line in printed(book_screen.batch(BATCHES[0], TODAY), width=80, encoding=encoding).splitlines() if "OFF" in line)
    assert (head[0], head[-1]) == (frames["refused"].top_left, frames["refused"].top_right)


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_an_answer_that_was_kept_is_shown_as_this_terminal_can(encoding: str) -> None:
    """On an ASCII terminal its frames were shown as escapes, 480 columns of them; and what a stranger's book holds moves no cursor."""
    framed = [Framed(kind, "HEAD", Text("said")) for kind in ("shelf", "cold", "refused")]
    answered = "".join(printed(frame, width=80) for frame in framed)
    assert printed(book_screen.as_answered(answered), width=80, encoding=encoding).splitlines()[3:] == [
        line for frame in framed for line in printed(frame, width=80, encoding=encoding).splitlines()
    ]
    hostile = printed(book_screen.as_answered("plums\x1b[2J\x07\rpears\n  figs"), width=80, encoding=encoding)
    assert hostile.splitlines()[3:] == ["plums[2J", "pears", "  figs"]


def test_the_command_that_is_offered_names_a_batch_that_is_there() -> None:
    text = printed(screen("shelf"), width=80)
    number = re.search(r"jamcalc book take ([0-9]+) 1", text)
    assert number is not None
    assert int(number[1]) in {batch.number for batch in BATCHES}
    assert "take" not in printed(book_screen.shelf((), TODAY), width=80)


@pytest.mark.parametrize("count", [1, 2])
def test_batches_not_finished_are_counted_in_words(count: int) -> None:
    unfinished = tuple(replace(BATCHES[2], number=number) for number in range(count))
    text = printed(book_screen.season(season(unfinished, 2026)), width=80)
    assert ("1 batch not finished yet: its jars are not counted." if count == 1 else "2 batches not finished yet: their jars") in text
