"""A recipe in plain text at the command line: as good as a recipe file wherever one is expected, and written as one with -o."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from jamcalc.cli.main import main

TEXT = """\
Plum and honey jam
Makes 5 half-pints
A tree behind the barn gives most of them.

3 lb plums
1/2 cup honey
1/2 cup bottled lemon juice
4 tsp calcium-set pectin
4 tsp calcium water
1 cinnamon stick

Mash the plums, boil hard 1 minute, leave 1/4 inch headspace.
Process 10 minutes.
"""


@pytest.fixture(autouse=True)
def scratch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path / "book.sqlite"))
    Path("plum.txt").write_text(TEXT)


def answered(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, object]]:
    code = main([*words, "--json"])
    return code, json.loads(capsys.readouterr().out)


def same(answer: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in answer.items() if key != "findings"}


def test_a_text_is_checked_and_what_was_taken_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "plum.txt"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Plum and honey jam" in said
    assert 'Kept as a note: "A tree behind the barn gives most of them."' in said
    assert "Set aside, and left out of the sums: 1 cinnamon stick." in said


@pytest.mark.parametrize("name", ["plum.md", "plum", "plum.recipe"])
def test_by_any_ending_and_from_standard_input(name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    Path(name).write_text(TEXT)
    first = answered(capsys, "check", "plum.txt")
    assert answered(capsys, "check", name) == first
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TEXT.encode())))
    assert answered(capsys, "check", "-") == first


def test_lines_alone_on_standard_input(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"3 lb plums\n1/2 cup honey\n1/2 cup bottled lemon juice\n")))
    code, answer = answered(capsys, "check", "-")
    assert (code, answer["title"]) == (0, "Plum spread")


def test_written_as_a_recipe_file_it_gives_the_same_answer(capsys: pytest.CaptureFixture[str]) -> None:
    first = answered(capsys, "check", "plum.txt", "-o", "plum.toml", "--altitude", "4300 ft")
    assert "# A tree behind the barn gives most of them.\n" in Path("plum.toml").read_text()
    second = answered(capsys, "check", "plum.toml")
    assert (first[0], same(first[1])) == (second[0], same(second[1]))


def test_files_are_written_by_the_usual_rules(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "plum.txt", "-o", "plum.toml"]) == 0
    assert main(["check", "plum.txt", "-o", "plum.toml"]) == 0
    Path("plum.toml").write_text('ingredients = ["1 lb plums"]\n')
    assert main(["check", "plum.txt", "-o", "plum.toml"]) == 1
    said = capsys.readouterr()
    assert "SHELF" in said.out
    assert "--replace" in said.err
    assert "1 lb plums" in Path("plum.toml").read_text()
    assert main(["check", "plum.txt", "-o", "plum.toml", "--replace"]) == 0
    assert "3 lb plums" in Path("plum.toml").read_text()
    assert main(["check", "plum.txt", "-o", "plum.txt", "--replace"]) == 1
    assert main(["check", "plum.toml", "-o", "plum.toml", "--replace"]) == 1
    assert Path("plum.txt").read_text() == TEXT


def test_a_tested_recipe_that_is_written_stays_tested(capsys: pytest.CaptureFixture[str]) -> None:
    name = _a_tested_one()
    assert main(["check", name, "-o", "copy.toml", "--altitude", "2000 ft"]) in (0, 1)
    capsys.readouterr()
    assert answered(capsys, "check", "copy.toml")[1]["standing"] == "tested"


def _a_tested_one() -> str:
    from jamcalc.reading import supplied
    from jamcalc.recipes import tested

    return next(name for name in supplied.names() if tested.unchanged(tested.shipped(name)))


def test_lines_are_written_too(capsys: pytest.CaptureFixture[str]) -> None:
    first = answered(capsys, "check", "3 lb plums", "1/2 cup bottled lemon juice", "-o", "mine.toml")
    second = answered(capsys, "check", "mine.toml")
    assert same(first[1]) == same(second[1])


def test_scale_card_and_compare_take_a_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scale", "plum.txt", "--times", "2"]) == 0
    assert "6 lb" in capsys.readouterr().out
    assert main(["card", "plum.txt"]) == 0
    assert "Plum and honey jam" in capsys.readouterr().out
    assert main(["compare", "plum.txt", "strawberry-rhubarb"]) == 0
    assert "Plum and honey jam" in capsys.readouterr().out


def test_every_row_that_stops_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    Path("plum.txt").write_text("Plum jam\n3 lb plmus\n1/2 cup honey or sugar\n1/2 cup bottled lemon juice\n")
    assert main(["check", "plum.txt", "-o", "plum.toml"]) == 2
    said = capsys.readouterr()
    assert not said.out
    assert [line.split(": ")[2] for line in said.err.splitlines()] == ["row 2", "row 3"]
    assert not Path("plum.toml").exists()


def test_a_torn_recipe_file_keeps_its_own_complaint(capsys: pytest.CaptureFixture[str]) -> None:
    Path("torn.txt").write_text('title = "Plum"\ningredients = ["3 lb plums"\n')
    assert main(["check", "torn.txt"]) == 2
    assert "not TOML" in capsys.readouterr().err
