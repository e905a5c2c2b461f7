"""`compare`: each source as `check` answers it, side by side, and what differs marked."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import jamcalc
from jamcalc.cli.main import main

ONE, OTHER = "strawberry-rhubarb", "peach-pineapple-spread"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_BOOK", "book.sqlite")
    monkeypatch.setenv("JAMCALC_KITCHEN", "kitchen.toml")

    def called(*words: str) -> tuple[int, str, str]:
        code = main(words)
        done = capsys.readouterr()
        return code, done.out, done.err

    return called


def compared(run: Run, *words: str) -> dict[str, Any]:
    code, out, _ = run("compare", *words, "--json")
    assert code == 0
    answer: dict[str, Any] = json.loads(out)
    return answer


def test_each_column_is_what_check_says(run: Run) -> None:
    answer = compared(run, ONE, OTHER)
    for recipe, name in zip(answer["recipes"], (ONE, OTHER), strict=True):
        assert recipe == json.loads(json.dumps(jamcalc.check(name).to_dict()))
    rows = {row["what"]: row for row in answer["compared"]}
    assert rows["standing"]["values"] == ["published", "tested"]
    assert rows["boiled in its jars"]["values"] == ["10 min at 0-1,000 ft", "15 min at 0-1,000 ft"]
    assert all(row["differs"] == (len(set(row["values"])) > 1) for row in rows.values())


def test_a_recipe_beside_itself_differs_in_nothing(run: Run) -> None:
    assert not any(row["differs"] for row in compared(run, ONE, ONE)["compared"])


def test_what_stands_a_jar_is_the_dose_over_the_jars(run: Run) -> None:
    answer = compared(run, ONE, OTHER)
    a_jar = next(row["values"][1] for row in answer["compared"] if row["what"] == "acid a jar")
    peach = answer["recipes"][1]
    assert float(a_jar.split()[0]) == pytest.approx(peach["lemon_juice"]["g"] / peach["yield"]["jars"]["expected"], abs=0.05)


def test_kept_batches_files_and_recipes_that_must_not_be_made(run: Run, tmp_path: Path) -> None:
    run("batch", "3 lb plums", "--sweetener", "honey", "--keep")
    run("finish", "1", "--ph", "4.7")
    (tmp_path / "mango.toml").write_text('title = "[bold]Mango[/oops]"\nkind = "jam"\ningredients = ["2 lb mangoes", "1 cup sugar"]\n')
    answer = compared(run, "1", "mango.toml", ONE, OTHER)
    kept = next(row["values"] for row in answer["compared"] if row["what"] == "kept")
    assert kept[:2] == ["do not make as written"] * 2
    assert answer["recipes"][0]["storage"] == "cold"
    code, out, _ = run("compare", "mango.toml", ONE, "-o", "both.txt")
    assert code == 0
    assert "[bold]Mango[/oops]" in " ".join(out.split())
    assert (tmp_path / "both.txt").exists()
    assert all(line == line.rstrip() and len(line) <= 80 for line in out.splitlines())


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([ONE], "compare needs"),
        ([ONE] * 5, "takes 2 to 4"),
        ([ONE, "no-such-recipe"], "no such file"),
        (["-", "-"], "write - once"),
        (["", ONE], "SOURCE is empty"),
    ],
)
def test_what_cannot_be_compared_is_one_line(run: Run, words: list[str], says: str) -> None:
    code, out, err = run("compare", *words)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert says in err


@pytest.mark.parametrize("width", [80, 60, 50])
def test_no_word_is_broken_on_a_narrow_screen(run: Run, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    _, printed, _ = run("compare", ONE, "raspberry-blueberry", "apricot-plum")
    assert max(map(len, printed.splitlines())) <= width
    for word in ("Strawberry", "half-pints", "sweetener", "published", "calcium"):
        assert word in printed
