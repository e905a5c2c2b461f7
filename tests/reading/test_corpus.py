"""Lines as people write them (corpus.toml): read with the right item and amount, or asked back in one line that names the choice."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from jamcalc.errors import JamcalcError
from jamcalc.reading.lines import read_line
from jamcalc.reading.several import read_lines

CORPUS = tomllib.loads(Path(__file__).with_name("corpus.toml").read_text(encoding="utf-8"))


def test_the_corpus_is_large_and_nearly_all_of_it_is_read() -> None:
    read, asked = len(CORPUS["read"]), len(CORPUS["asked"])
    assert read + asked >= 220
    assert read / (read + asked) >= 0.95


@pytest.mark.parametrize(("text", "wanted"), CORPUS["read"].items())
def test_a_line_is_read_as_it_is_meant(text: str, wanted: list[str | float]) -> None:
    (line,) = read_lines([text])
    role, item, amount, unit, tolerance = wanted
    assert (line.role, line.item) == (role, item)
    assert (line.amount.grams if unit == "g" else line.amount.ml) == pytest.approx(amount, rel=float(tolerance))


@pytest.mark.parametrize("text", CORPUS["read"])
def test_a_line_written_out_reads_back_to_the_same(text: str) -> None:
    (line,) = read_lines([text])
    assert read_line(line.text) == line
    plain = read_line(line.strict)
    assert (plain.role, plain.item, plain.form) == (line.role, line.item, line.form)
    for one, other in ((plain.amount.grams, line.amount.grams), (plain.amount.ml, line.amount.ml)):
        assert one == (None if other is None else pytest.approx(other, rel=0.005, abs=0.5))


@pytest.mark.parametrize(("text", "said"), CORPUS["asked"].items())
def test_what_is_not_clear_is_asked_back_in_one_line(text: str, said: str) -> None:
    with pytest.raises(JamcalcError) as caught:
        read_lines([text])
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)
