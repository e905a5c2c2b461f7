"""`check` takes the lines themselves, as it takes a file: exactly as written, nothing added."""

from __future__ import annotations

import json

import pytest

import jamcalc
from jamcalc.cli.main import main

LINES = ["3 lb plums", "1/2 cup honey", "1/2 cup bottled lemon juice", "4 tsp calcium-set pectin", "4 tsp calcium water"]


def answered(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, object]]:
    code = main(["check", *words, "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_lines_are_checked_as_a_file_with_the_same_lines_is(capsys: pytest.CaptureFixture[str]) -> None:
    _, from_lines = answered(capsys, *LINES)
    from_file = jamcalc.check({"title": "Plum spread", "kind": "spread", "ingredients": LINES}).to_dict()
    assert from_lines["ingredients"] == from_file["ingredients"]
    assert from_lines["acidity"] == from_file["acidity"]
    assert from_lines["storage"] == from_file["storage"] == "shelf"
    assert from_lines["title"] == "Plum spread"
    assert jamcalc.check(LINES).to_dict()["acidity"] == from_file["acidity"]


def test_nothing_is_added_and_nothing_is_promised(capsys: pytest.CaptureFixture[str]) -> None:
    code, answer = answered(capsys, "3 lb mangoes", "1/2 cup sugar")
    assert (code, answer["storage"]) == (1, "cold")
    assert answer["lemon_juice"]["g"] == 0.0  # type: ignore[index]
    _, answer = answered(capsys, "2 lb apricots")
    assert answer["storage"] == "cold"


def test_one_line_and_words_without_quotes(capsys: pytest.CaptureFixture[str]) -> None:
    _, answer = answered(capsys, "2 lb strawberries and 1/2 cup sugar")
    assert [part["item"] for part in answer["ingredients"]][:2] == ["strawberry", "sugar"]  # type: ignore[attr-defined,index]
    _, answer = answered(capsys, "3", "lb", "plums")
    assert answer["title"] == "Plum spread"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["strawberry-rhubarb", "3 lb plums"], "a word too many"),
        (["3 lb plums", "1 cup of love"], "love"),
        (["my plums.toml"], "no such file"),
        (["plums"], "no such file"),
        (["3 cups plums"], "mashed"),
    ],
)
def test_what_cannot_be_read_is_one_line(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", *words]) == 2
    said = capsys.readouterr()
    assert says in said.err
    assert not said.out
    assert "Traceback" not in said.err
