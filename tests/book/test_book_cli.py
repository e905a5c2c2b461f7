"""The batch book from the command line: what is printed, where it goes, the exit codes, and that no calculation is ever lost."""

from __future__ import annotations

import json
import os
import re
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from book_sample import kept

from jamcalc.book.finishing import ask
from jamcalc.book.store import Book
from jamcalc.cli.main import main
from jamcalc.words.conversation import Talk

PLUMS = ("batch", "3 lb plums", "--sweetener", "honey")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(autouse=True)
def _own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_BOOK", "book.sqlite")
    monkeypatch.setenv("JAMCALC_KITCHEN", "kitchen.toml")
    monkeypatch.setattr("jamcalc.book.file.WAIT_S", 0.2)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def called(*words: str) -> tuple[int, str, str]:
        code = main(words)
        done = capsys.readouterr()
        return code, done.out, done.err

    return called


def answer(run: Run, *words: str, code: int = 0) -> dict[str, Any]:
    found = run(*words, "--json")
    assert found[0] == code, found[2]
    value: dict[str, Any] = json.loads(found[1])
    return value


def one(run: Run, *words: str) -> dict[str, Any]:
    (batch,) = answer(run, *words)["batches"]
    assert isinstance(batch, dict)
    return batch


# ---------------------------------------------------------------- keep


def test_keep_prints_the_number_and_the_book_has_it(run: Run) -> None:
    kept_ = answer(run, *PLUMS, "--keep", "--altitude", "4300 ft", "--title", "Our plums", "--date", "2026-07-14")
    assert kept_["number"] == 1
    code, out, err = run(*PLUMS, "--keep")
    assert (code, "kept as batch 2" in err) == (0, True)
    assert "Plum spread" in out
    first, second = answer(run, "book")["batches"]
    assert (first["number"], first["title"], first["made"], first["storage"]) == (1, "Our plums", "2026-07-14", "shelf")
    assert first["jars_predicted"] == kept_["yield"]["jars"]["expected"]
    assert first["ph_predicted"] == kept_["acidity"]["ph"]
    assert (first["jars_filled"], first["jars_left"], first["ph_read"], first["set_judged"]) == (None, None, None, None)
    assert (first["best_by"], second["number"]) == ("2027-07-14", 2)


def test_what_was_asked_and_answered_and_used_is_kept_as_it_was(run: Run) -> None:
    said = answer(run, *PLUMS, "--keep", "--altitude", "4300 ft")
    batch = one(run, "book", "1")
    assert batch["answer"] == {key: value for key, value in said.items() if key != "number"}
    assert batch["asked"]["words"] == ["3 lb plums"]
    assert batch["asked"]["options"]["altitude"] == "4300 ft"
    assert batch["asked"]["settings"]["altitude_ft"] == 4300.0
    assert batch["figures"]["plum"]["ph"]["sources"]
    assert re.fullmatch(r"\d+\.\d+\.\d+", batch["version"])
    _, out, _ = run("book", "1", "--full")
    assert "In the pot" in out.split("As it was answered")[1]


def test_scale_keeps_too_and_a_refused_batch_is_not_kept(run: Run) -> None:
    assert answer(run, "scale", "strawberry-rhubarb", "--times", "2", "--keep")["number"] == 1
    code, _, err = run("batch", "3 lb elderberries", "--store", "shelf", "--keep")
    assert code == 1
    assert "not kept" in err
    assert len(answer(run, "book")["batches"]) == 1


def test_options_that_contradict_each_other_are_said(run: Run) -> None:
    for words in (("--keep", "--no-book"), ("--date", "2026-07-14")):
        assert run(*PLUMS, *words)[0] == 2
    assert run("book", "--shelf", "--season", "2026")[0] == 2
    assert run("book", "--thrown")[0] == 2
    assert run("book", "1", "2")[0] == 2


# ---------------------------------------------------------------- finish


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["--jars", "6 half-pints"], {"jars_filled": [{"jar": "half-pint", "count": 6}], "jars_left": 6}),
        (["--jars", "6"], {"jars_filled": [{"jar": "half-pint", "count": 6}]}),
        (["--jars", "5 jars"], {"jars_filled": [{"jar": "half-pint", "count": 5}]}),
        (["--jars", "4 half-pints", "--jars", "1 quarter-pint"], {"jars_left": 5}),
        (["--jars", "4 half-pints, 1 quarter-pint"], {"jars_left": 5}),
        (["--ph", "3.52", "--brix", "22.5"], {"ph_read": 3.52, "brix_read": 22.5}),
        (["--over", "1/4 cup"], {"over_ml": pytest.approx(59.15, abs=0.01)}),
        (["--found", "well", "--boil", "3", "--processed", "10"], {"set_judged": "well", "boil_min": 3.0, "process_min": 10.0}),
        (
            ["--stored", "freezer", "--jars", "2", "--date", "2026-07-01"],
            {"best_by": "2027-07-01", "place": "freezer", "made": "2026-07-01"},
        ),
        (["--note", '  [bold]x[/bold]  "y" '], {"notes": ['[bold]x[/bold] "y"']}),
        (["--jars", "6", "--unsealed", "1"], {"unsealed": 1, "jars_left": 6, "unsealed_left": [{"jar": "half-pint", "count": 1}]}),
    ],
)
def test_finish_says_what_came_of_it(run: Run, words: list[str], expected: dict[str, Any]) -> None:
    run(*PLUMS, "--keep", "--date", "2026-07-14")
    batch = one(run, "finish", "1", *words)
    assert {key: batch[key] for key in expected} == expected
    assert one(run, "book", "1")["history"][0]["kind"] == "finish"
    assert run("book", "1")[0] == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["x", "--ph", "3.5"], "is no number of a batch"),
        (["1"], "what came of batch 1?"),
        (["1", "--ph", "3,5"], "write a number from 0 to 14 with a point"),
        (["1", "--ph", "15"], "write a number from 0 to 14"),
        (["1", "--jars", "many"], "--jars: "),
        (["1", "--jars", "0"], "no jar was filled"),
        (["1", "--jars", "6 half-pints", "--unsealed", "7"], "7 half-pints, and the batch has 6 half-pint jars"),
        (["1", "--jars", "6 half-pints", "--unsealed", "1 pint"], "1 pint, and the batch has no pint jars"),
        (["1", "--over", "3 oz"], "write what was over as a volume"),
        (["1", "--date", "14 July"], "write the day as 2026-07-14"),
        (["1", "--found", "strange"], "well, runny, weeping, stiff or grainy"),
        (["1", "--used", "3 lb plumbs"], "plum"),
        (["9", "--ph", "3.5"], "no batch 9"),
    ],
)
def test_what_cannot_be_read_is_one_line_and_changes_nothing(run: Run, words: list[str], said: str) -> None:
    run(*PLUMS, "--keep")
    before = Path("book.sqlite").read_bytes()
    code, _, err = run("finish", *words)
    assert (code, err.count("\n")) == (2, 1), err
    assert said in err
    assert Path("book.sqlite").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "mark"),
    [(["--ph", "4.35"], "ph-read"), (["--processed", "5"], "minutes-under"), (["--jars", "2 pints"], "larger-jar"),
     (["--jars", "6", "--unsealed", "2"], "unsealed")],
)  # fmt: skip
def test_jars_come_off_the_shelf_at_once_and_stay_marked(run: Run, words: list[str], mark: str) -> None:
    run(*PLUMS, "--keep")
    batch = one(run, "finish", "1", *words)
    assert [each["id"] for each in batch["off_shelf"]] == [mark]
    assert "Within 24 hours" in batch["todo"]
    assert "discard" in batch["todo"]
    run("finish", "1", "--note", "later", "--jars", words[1] if mark in ("larger-jar", "unsealed") else "5")
    for command in (("book",), ("book", "1"), ("book", "--shelf")):
        assert "!!" in run(*command)[1]
    assert "off the shelf" in run("card", "1")[2]


def test_corrections_are_added_and_the_history_shows(run: Run) -> None:
    run(*PLUMS, "--keep")
    run("finish", "1", "--jars", "6 half-pints", "--ph", "3.4")
    run("finish", "1", "--jars", "5 half-pints")
    batch = one(run, "book", "1")
    assert (batch["jars_left"], batch["ph_read"]) == (5, 3.4)
    assert [each["jars_filled"][0]["count"] for each in batch["history"]] == [6, 5]
    assert "6 half-pints filled; pH 3.40" in run("book", "1")[1]


def test_used_lines_are_weighed_where_they_tell_it(run: Run) -> None:
    run(*PLUMS, "--keep")
    run("finish", "1", "--used", "2 lb plums", "--used", "1/4 cup bottled lemon juice")
    fruit, lemon = one(run, "book", "1")["history"][0]["used"]
    assert (fruit["role"], lemon["role"], lemon["line"]) == ("fruit", "acid", "1/4 cup bottled lemon juice")
    assert 800 < fruit["grams"] < 907.2  # two pounds less their stones


# ---------------------------------------------------------------- take, shelf, season


def test_jars_are_taken_and_no_more_than_there_are(run: Run) -> None:
    run(*PLUMS, "--keep")
    assert run("book", "take", "1", "2")[0] == 1, "nobody counted them yet"
    run("finish", "1", "--jars", "6 half-pints", "--jars", "2 quarter-pints")
    assert run("book", "take", "1", "2")[0] == 2, "of which?"
    assert one(run, "book", "take", "1", "2 half-pints")["jars_left"] == 6
    assert run("book", "take", "1", "5 half-pints")[0] == 1
    assert one(run, "book", "take", "1", "2 quarter-pints", "--thrown")["jars_left"] == 4
    assert one(run, "book", "take", "1")["jars_left"] == 3
    assert [each["kind"] for each in one(run, "book", "1")["history"]] == ["finish", "taken", "thrown", "taken"]


def test_the_shelf_has_what_is_past_on_top(run: Run) -> None:
    for day, place in (("2026-06-01", "pantry"), ("2026-07-01", "refrigerator"), ("2026-05-01", "freezer")):
        run(*PLUMS, "--keep", "--date", day)
        number = str(len(answer(run, "book")["batches"]))
        run("finish", number, "--jars", "3", "--stored", place)
    found = answer(run, "book", "--shelf", "--date", "2026-08-01")["shelf"]
    assert [(row["number"], row["date"], row["date_kind"], row["past"]) for row in found] == [
        (2, "2026-07-22", "use by", True),
        (3, "2027-05-01", "use by", False),
        (1, "2027-06-01", "best by", False),
    ]
    text = run("book", "--shelf", "--date", "2026-08-01")[1]
    assert text.index("past") < text.index("freezer")
    assert max(map(len, text.splitlines())) <= 80


def test_the_season_counts_what_was_put_up(run: Run) -> None:
    run(*PLUMS, "--keep", "--date", "2026-07-14")
    run("finish", "1", "--jars", "5 half-pints", "--ph", "3.4")
    run(*PLUMS, "--keep", "--date", "2026-09-01")
    run("finish", "2", "--jars", "7 half-pints")
    run(*PLUMS, "--keep", "--date", "2025-09-01")
    found = answer(run, "book", "--season", "2026", "-o", "season.html")
    assert (found["season"]["jars"], found["season"]["batches"]) == (12, 2)
    assert found["season"]["fruit_g"] == pytest.approx(2 * 3 * 453.59237, abs=0.1)
    assert [(each["month"], sum(part["jars"] for part in each["fruits"])) for each in found["season"]["by_month"]] == [
        ("July", 5),
        ("August", 0),
        ("September", 7),
    ]
    page = Path("season.html").read_text(encoding="utf-8")
    assert page.count("<svg") == page.count("</svg>") == 3
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    assert "Season 2026: 2 batches, 12 jars, 6 lb of fruit" in run("book", "--season", "2026")[1]
    assert run("book", "--season", "26")[0] == 2


def test_a_title_is_neither_markup_nor_html(run: Run) -> None:
    run(*PLUMS, "--keep", "--title", "[red]<script>x</script>[/]", "--date", "2026-07-14")
    run("finish", "1", "--jars", "5")
    for words in (("book",), ("book", "1"), ("book", "--shelf"), ("book", "--season", "2026", "-o", "x.html")):
        assert "[red]<" in "".join(run(*words)[1].split())
    assert "<script>" not in Path("x.html").read_text(encoding="utf-8")


# ---------------------------------------------------------------- a kept batch as a source


def test_a_bare_number_is_a_kept_batch_and_a_file_is_a_path(run: Run) -> None:
    kept_ = answer(run, *PLUMS, "--keep", "--altitude", "4300 ft", "--reading", "plum pH 3.2", "--date", "2026-07-14")
    checked = answer(run, "check", "1")
    assert checked["acidity"]["ph"] == kept_["acidity"]["ph"]
    assert checked["process"]["minutes"] == kept_["process"]["minutes"] == 20
    assert checked["process"]["altitude_ft"] == 4300
    assert answer(run, "scale", "1", "--times", "2")["ingredients"][0]["grams"] == pytest.approx(
        2 * kept_["ingredients"][0]["grams"], rel=0.03
    )
    fields = run("card", "1")[1]
    assert re.search(r"LOT +1\n", fields)
    assert re.search(r"July 14, 2026", fields)
    Path("1").write_text('title = "A file"\ningredients = ["2 lb plums"]\n', encoding="utf-8")
    assert answer(run, "check", "./1")["title"] == "A file"
    assert answer(run, "check", "1")["title"] == kept_["title"]
    assert run("check", "9")[0] == 2


def test_a_card_of_jars_off_the_shelf_says_cold(run: Run) -> None:
    run(*PLUMS, "--keep")
    run("finish", "1", "--ph", "4.4", "--jars", "5")
    assert answer(run, "check", "1")["storage"] == "cold"
    assert "refrigerated" in run("card", "1")[1]


# ---------------------------------------------------------------- out and in


@pytest.mark.parametrize("ending", [".jsonl", ".csv"])
def test_export_import_export_gives_the_same_bytes(run: Run, ending: str) -> None:
    run(*PLUMS, "--keep", "--date", "2026-07-14", "--title", 'Plum "½" spread')
    run("finish", "1", "--jars", "6", "--ph", "3.4", "--note", "=1+1", "--used", "3 lb plums")
    run("book", "take", "1", "2")
    run("scale", "strawberry-rhubarb", "--times", "2", "--keep")
    assert run("book", "--export", f"a{ending}")[0] == 0
    assert run("book", "--import", f"a{ending}", "--book", "other.sqlite")[0] == 0
    assert run("book", "--export", f"b{ending}", "--book", "other.sqlite")[0] == 0
    assert Path(f"a{ending}").read_bytes() == Path(f"b{ending}").read_bytes()
    assert answer(run, "book") == answer(run, "book", "--book", "other.sqlite")
    assert run("book", "--import", f"a{ending}")[0] == 0, "once more changes nothing"
    assert len(answer(run, "book")["batches"]) == 2


def test_a_file_that_is_there_is_not_written_over(run: Run) -> None:
    run(*PLUMS, "--keep")
    Path("a.jsonl").write_text("mine", encoding="utf-8")
    for words in (("--export", "a.jsonl"), ("--backup", "a.jsonl")):
        code, _, err = run("book", *words)
        assert (code, "--replace" in err) == (1, True)
        assert Path("a.jsonl").read_text(encoding="utf-8") == "mine"
    assert run("book", "--export", "a.jsonl", "--replace")[0] == 0
    assert run("book", "--export", "a.jsonl")[0] == 0, "the same content is no fault"
    for words in (("--backup", "book.sqlite", "--replace"), ("--export", "book.txt"), ("--import", "none.jsonl"), ("--import", ".")):
        assert run("book", *words)[0] == 2


def test_a_backup_is_a_book(run: Run) -> None:
    run(*PLUMS, "--keep")
    assert run("book", "--backup", "copy.sqlite")[0] == 0
    assert answer(run, "book", "--book", "copy.sqlite") == answer(run, "book")


# ---------------------------------------------------------------- no calculation is lost


def damaged() -> None:
    Path("book.sqlite").write_bytes(b"not a book" * 100)


def newer() -> None:
    with Book("book.sqlite") as book:
        book.keep(kept())
    with sqlite3.connect("book.sqlite") as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()


def folder() -> None:
    Path("book.sqlite").mkdir()


def another() -> None:
    with sqlite3.connect("book.sqlite") as connection:
        connection.execute("CREATE TABLE x (y)")
    connection.close()


@pytest.mark.parametrize("spoil", [damaged, newer, folder, another], ids=lambda each: each.__name__)
def test_the_answer_comes_whatever_is_wrong_with_the_book(run: Run, spoil: Callable[[], None]) -> None:
    plain = run(*PLUMS)[1]
    spoil()
    code, out, err = run(*PLUMS)
    assert (code, out, err.count("\n")) == (0, plain, 1)
    assert "the book" in err
    code, out, err = run(*PLUMS, "--keep")
    assert (code, out) == (1, plain)
    assert "not kept: the book" in err
    assert answer(run, *PLUMS, "--keep", code=1)["number"] is None
    assert run(*PLUMS, "--no-book")[2] == ""
    for words in (("book",), ("book", "--shelf"), ("finish", "1", "--ph", "3.5"), ("check", "1"), ("book", "--export", "x.csv")):
        code, _, err = run(*words)
        assert (code, err.count("\n")) == (2, 1), err


def test_a_locked_book_keeps_nothing_and_answers(run: Run) -> None:
    run(*PLUMS, "--keep")
    other = sqlite3.connect("book.sqlite", isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    code, out, err = run(*PLUMS, "--keep")
    other.close()
    assert (code, "Plum spread" in out, "by another program" in err) == (1, True, True)


def test_a_missing_book_is_an_empty_one_unless_it_was_named(run: Run) -> None:
    code, out, err = run("book")
    assert (code, err) == (0, "")
    assert "The book is empty" in out
    assert answer(run, "book") == {"schema": "jamcalc-book/1", "batches": []}
    assert answer(run, "book", "--shelf")["shelf"] == []
    assert run("book", "--book", "none.sqlite")[0] == 2
    code, _, err = run(*PLUMS, "--book", "none.sqlite")
    assert (code, err.count("\n")) == (0, 1)
    assert run("finish", "1", "--ph", "3.5")[0] == 2
    assert list(Path().iterdir()) == [], "no file is made"


def test_whoever_has_no_book_pays_nothing_for_it() -> None:
    code = "import sys; from jamcalc.cli.main import main; main(['batch', '3 lb plums', '--sweetener', 'honey'])"
    of_book = ("sqlite3", "jamcalc.book", "jamcalc.kept", "jamcalc.lessons")
    report = f"; print('LOADED', *[name for name in sys.modules if name.startswith({of_book})], file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code + report], capture_output=True, text=True, check=True, timeout=120, env=os.environ)
    assert done.stderr == "LOADED\n"
    assert list(Path().iterdir()) == []


# ---------------------------------------------------------------- asked at a terminal


def test_questions_are_skipped_taken_back_and_asked_again() -> None:
    typed = iter(["?", "6 half-pints", "", "3,5", "back", "1/4 cup", "3.52", "", "10", "0", "good", "well", "pantry", "", "a little sharp"])
    shown: list[str] = []
    said = ask(Talk(ask=lambda _: next(typed), show=shown.append), kept(number=7), date(2026, 7, 15))
    assert (said.jars, said.over, said.ph, said.brix, said.processed) == (["6 half-pints"], "1/4 cup", "3.52", None, "10")
    assert (said.unsealed, said.found, said.stored, said.boil, said.note) == (["0"], "well", "pantry", None, "a little sharp")
    assert any("3,5" in line for line in shown)
    assert any("well, runny" in line for line in shown)


def test_stop_writes_what_was_said() -> None:
    typed = iter(["6", "stop"])
    said = ask(Talk(ask=lambda _: next(typed), show=lambda _: None), kept(number=7), date(2026, 7, 15))
    assert (said.jars, said.ph) == (["6"], None)


@pytest.mark.parametrize("ph", ["4.21", "4.4", "4.61"])
def test_a_formula_that_was_read_too_mild_is_scaled_for_the_cold(run: Run, ph: str) -> None:
    """Another pot of it may be as mild: FDA, 21 CFR 114.80(a)(2), pH is shown by measuring."""
    run(*PLUMS, "--keep")
    assert answer(run, "scale", "1", "--times", "2")["storage"] == "shelf"
    run("finish", "1", "--ph", ph)
    scaled = answer(run, "scale", "1", "--times", "2")
    assert (scaled["storage"], scaled["process"]) == ("cold", None)
    run("scale", "1", "--times", "2", "-o", "two.toml")
    assert answer(run, "check", "two.toml")["storage"] == "cold"
