"""Findings at the guide's prompt: nothing of them can only be typed at a command line."""

from __future__ import annotations

from typing import Any

import pytest

import jamcalc
from jamcalc.guide import in_words


@pytest.mark.parametrize(
    ("lines", "options"),
    [
        (["3 lb plums"], {"sweetener": "honey"}),
        (["3 lb plums"], {"jar": "quart"}),
        (["3 lb plums", "1 lb figs"], {"boil": 0}),
        (["3 lb plums"], {"sweetener": "aspartame"}),
        (["3 lb plums"], {"store": "cold", "jar": "pint"}),
        (["3 lb pluots"], {}),
        (["3 lb honeycrisp apples"], {}),
        (["2 lb golden delicious apples"], {}),
        (["2 lb mangoes", "1 lb pears"], {"altitude": "11000 ft"}),
    ],
)
def test_no_option_and_no_command_is_named_at_the_prompt(lines: list[str], options: dict[str, Any]) -> None:
    result = jamcalc.batch(lines, draws=0, **options)
    told = in_words.findings((*result.findings, *result.cautions))
    assert not [finding.text for finding in told if "--" in finding.text or "jamcalc " in finding.text]
    typed = [finding for finding in (*result.findings, *result.cautions) if "--" in finding.text and finding.kind != "asked"]
    assert all(finding.at_prompt for finding in typed)


def test_a_complaint_keeps_what_is_wrong() -> None:
    assert in_words.complaint("a.db is not a file: name another with --book") == "a.db is not a file"
    assert in_words.complaint("It is damaged: put a backup in its place, or name another with --book") == (
        "It is damaged: put a backup in its place"
    )
