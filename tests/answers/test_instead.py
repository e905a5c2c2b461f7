"""A cold answer says what acid was left out and gives the command to run instead; the command is run here and does what it says."""

from __future__ import annotations

import json
import shlex
import subprocess
import sys
from typing import Any

import pytest

import jamcalc
from jamcalc.answers import instead
from jamcalc.nouns.outcome import BatchResult


def batch(*lines: str, **options: Any) -> BatchResult:
    return jamcalc.batch(list(lines), **{"draws": 0, **options})


def said(result: BatchResult) -> str:
    texts = [finding.text for finding in result.findings if finding.id in ("acid-left-out", "run-instead")]
    assert len(texts) == 1, [finding.id for finding in result.findings]
    return texts[0]


def run(text: str) -> dict[str, Any]:
    _, _, command = text.partition("jamcalc batch ")
    assert command
    done = subprocess.run(
        [sys.executable, "-m", "jamcalc", "batch", *shlex.split(command), "--json"],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)  # type: ignore[no-any-return]


FOR_THE_SHELF = [
    (["3 lb plums"], {"jar": "quart", "sweetener": "honey"}),
    (["3 lb plums"], {"jar": "500 mL", "store": "shelf"}),
    (["3 lb apricots", "1 lb raspberries"], {"jar": "pint-and-a-half", "altitude": "4300 ft", "acid": "citric acid"}),
    (["2 lb mangoes", "2 lb plums"], {"sweetener": "honey", "reading": ["mango pH 3.9", "plum pH 3.6"]}),
    (["2 lb strawberries", "1 lb bananas", "1/2 cup honey"], {"title": "Mom's $5 jam"}),
    (["3 lb peaches", "1 lb white peaches"], {"set": "soft", "altitude": 4300.0}),
    (["3 lb plums", "8 oz bell peppers"], {"sweetener": "sugar"}),
    (["3 lb plums"], {"sweetener": "aspartame"}),
    (["3 lb plums"], {"boil": 0, "sweetener": "honey"}),
    (["3 lb plums"], {"store": "cold", "sweetener": "honey", "altitude": "-100 ft"}),
    (["plums"], {"want": "4 quarts", "sweetener": "honey"}),
    (["2 lb figs", "2 lb plums"], {"jar": "quart", "boil": 0}),
]


@pytest.mark.parametrize(("lines", "options"), FOR_THE_SHELF)
def test_what_was_left_out_and_the_command_that_puts_it_back(lines: list[str], options: dict[str, Any]) -> None:
    result = batch(*lines, **options)
    assert result.storage == "cold"
    text = said(result)
    answer = run(text)
    assert answer["storage"] == "shelf"
    acid = answer["acid"] or answer["lemon_juice"]
    if acid["g"] > 0.5 + result.lemon_juice.grams:
        assert "left out" in text
        assert acid["measure"] in text


@pytest.mark.parametrize(
    ("lines", "options"),
    [
        (["2 lb mangoes"], {}),
        (["2 lb white peaches"], {"store": "shelf"}),
        (["3 lb plums"], {"altitude": "10500 ft"}),
        (["3 lb plums"], {"altitude": "10500 ft", "jar": "quart"}),
        (["2 lb elderberries"], {"sweetener": "honey"}),
        (["1 lb plums", "4 cups water"], {}),
    ],
)
def test_where_nothing_helps_the_command_asks_for_the_cold(lines: list[str], options: dict[str, Any]) -> None:
    result = batch(*lines, **options)
    assert result.storage == "cold"
    text = said(result)
    assert "left out" in text
    answer = run(text)
    assert answer["storage"] == "cold"
    assert answer["refused"] is None


def test_a_sour_batch_has_nothing_left_out() -> None:
    text = said(batch("2 lb rhubarb", jar="quart"))
    assert "left out" not in text
    assert run(text)["storage"] == "shelf"


@pytest.mark.parametrize("result", [batch("3 lb plums"), batch("2 lb rhubarb"), batch("3 lb plums", reading="batch pH 4.3")])
def test_nothing_is_said_where_it_is_for_the_shelf_or_for_a_meter(result: BatchResult) -> None:
    assert not {"acid-left-out", "run-instead"} & {finding.id for finding in result.findings}


@pytest.mark.parametrize("text", ["3 lb plums", "a$b", 'say "hi"', "it's", "back\\slash", "`x`", "!", "-500 ft", "plum"])
def test_what_is_spelled_is_read_back(text: str) -> None:
    assert shlex.split(instead.spelled([text], {"title": text}))[2:] == [text, "--title", text]


def test_an_option_that_has_no_place_in_the_order_is_spelled_all_the_same() -> None:
    assert instead.spelled(["plum"], {"stir": 5.0, "jar": "pint", "draws": 9}) == "jamcalc batch plum --jar pint --stir 5"


def test_a_recipe_in_a_jar_too_large_is_checked_in_pints() -> None:
    result = jamcalc.check("strawberry-rhubarb", jar="quart", altitude="4300 ft", draws=0)
    assert result.refused
    _, _, command = said(result).partition("jamcalc check ")
    words = shlex.split(command)
    assert words[0] == "strawberry-rhubarb"
    done = subprocess.run(
        [sys.executable, "-m", "jamcalc", "check", *words, "--json"], capture_output=True, text=True, timeout=300, check=False
    )
    assert json.loads(done.stdout)["yield"]["jar"] == "pint"
    assert "jar-too-large" not in done.stdout
