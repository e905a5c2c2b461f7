"""A line on standard error: one line for a script, whole words for eyes."""

from __future__ import annotations

import io
import sys

import pytest

from jamcalc.words import complaint

LONG = 'altitude "tall" cannot be read: write feet or meters, such as "4300 ft" or "1300 m", and where it is deep a minus before the number'


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def complained(stream: io.StringIO, monkeypatch: pytest.MonkeyPatch, columns: int) -> str:
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setattr(sys, "stderr", stream)
    complaint.complain(LONG)
    return stream.getvalue()


def test_a_script_reads_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    assert complained(io.StringIO(), monkeypatch, 40) == f"jamcalc: {LONG}\n"


@pytest.mark.parametrize(("columns", "most"), [(200, 80), (80, 80), (60, 60), (3, 50)])
def test_at_a_terminal_no_word_and_no_measure_is_broken(monkeypatch: pytest.MonkeyPatch, columns: int, most: int) -> None:
    text = complained(_Terminal(), monkeypatch, columns)
    rows = text.splitlines()
    assert max(map(len, rows)) <= most
    assert " ".join(text.split()) == f"jamcalc: {LONG}"
    assert any('"4300 ft"' in row for row in rows)
    assert any('"1300 m"' in row for row in rows)
