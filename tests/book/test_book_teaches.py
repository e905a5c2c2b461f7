"""What the book has taught, where it shows: the next answer, its JSON, its steps, facts, and what it costs."""

from __future__ import annotations

import json
import os
import random
import sqlite3
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from book_sample import finish, jars, kept, papers

import jamcalc
from jamcalc.answers import from_book
from jamcalc.cli.main import main
from jamcalc.kept.entries import Papers
from jamcalc.lessons.basis import KEY
from jamcalc.nouns.learned import Learned, Taught

PLUMS = ["3 lb plums"]


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    found = tmp_path / "book.sqlite"
    monkeypatch.setenv("JAMCALC_BOOK", str(found))
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))
    return found


Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """The command line, in this process, with the book at `path`."""

    def command(*words: str) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(list(words))
        out, error = capsys.readouterr()
        return code, out, error

    return command


@pytest.fixture
def asked(run: Run) -> Callable[..., dict[str, Any]]:
    """The JSON of a batch of plums, with more options."""

    def answer(*more: str) -> dict[str, Any]:
        code, out, _ = run("batch", *PLUMS, "--sweetener", "honey", "--json", *more)
        assert code == 0
        found: dict[str, Any] = json.loads(out)
        return found

    return answer


Asked = Callable[..., dict[str, Any]]


def teach(path: Path, *batches: dict[str, Any]) -> None:
    """Keep a batch of plums for each, answered with the book, and enter what came of it."""
    with jamcalc.Book(path) as book:
        for said in batches:
            number = book.keep(jamcalc.batch(PLUMS, sweetener="honey", book=book))
            book.finish(number, **said)


def moved(answer: dict[str, Any]) -> dict[str, tuple[int, Any, Any]]:
    return {each["what"]: (each["from_batches"], each["without"], each["with"]) for each in answer["learned"]}


def test_an_answer_that_the_book_has_not_moved_is_as_without(path: Path, asked: Asked) -> None:
    assert asked() == asked("--no-book")
    jamcalc.Book(path).keep(jamcalc.batch(PLUMS, sweetener="honey"))  # nothing has come of it yet
    assert asked() == asked("--no-book")
    assert "learned" not in asked()


def test_the_next_answer_says_what_the_book_has_moved(path: Path, asked: Asked) -> None:
    teach(path, *[{"jars": "5 half-pints", "over": "1 tbsp", "found": "runny"}] * 4)
    without, answer = asked("--no-book"), asked()
    found = moved(answer)
    assert found["jars"] == (4, without["yield"]["jars"]["expected"], answer["yield"]["jars"]["expected"])
    assert found["pectin"] == (4, without["pectin"]["g"], answer["pectin"]["g"])
    assert answer["yield"]["jars"]["expected"] == pytest.approx(5.06, abs=0.2)  # a half-pint holds 16 tablespoons
    assert answer["pectin"]["g"] > 1.1 * without["pectin"]["g"]
    wide, narrow = (each["yield"]["jars"]["high"] - each["yield"]["jars"]["low"] for each in (without, answer))
    assert narrow < 0.7 * wide
    said = {each["id"]: each["text"] for each in answer["findings"]}
    assert said["book-soft"].startswith("4 of your last 4 batches came out soft: a spoon of your pectin does about ")
    assert "by the tables 5." in said["from-book"]
    short = without["yield"]["jars"]["expected"] - answer["yield"]["jars"]["expected"]
    assert f"your pot boils off more, or keeps more: about {short:.1f} jar a batch" in said["from-book"]


def test_pectin_and_calcium_stay_within_the_leaflets(path: Path, asked: Asked) -> None:
    """data/setting.toml: 0.25 to 1.5 % of pectin, 5 to 16 mg of added calcium to the gram; a spoon more or less for rounding."""
    for found in ("runny", "stiff"):
        path.unlink(missing_ok=True)
        teach(path, *[{"found": found}] * 6)
        answer = asked()
        assert 0.24 <= answer["set"]["pectin_percent"] <= 1.55
        assert 4.8 <= answer["calcium_water"]["calcium_mg"] / answer["pectin"]["g"] <= 16.5


def test_sets_that_were_too_stiff_take_pectin_away(path: Path, asked: Asked) -> None:
    before = asked("--no-book")
    teach(path, *[{"found": "stiff"}] * 3)
    answer = asked()
    assert answer["pectin"]["g"] < before["pectin"]["g"]
    assert "3 of your last 3 batches came out stiff" in next(each["text"] for each in answer["findings"] if each["id"] == "book-stiff")
    assert asked("--no-book") == before


def test_jars_without_what_was_over_are_no_shortfall(path: Path, asked: Asked) -> None:
    """The tables say 5.7: five full jars and an unknown rest are what they say."""
    teach(path, *[{"jars": "5 half-pints"}] * 6)
    answer = asked()
    assert answer["yield"]["full_jars"] == asked("--no-book")["yield"]["full_jars"] == 5
    assert "boils off" not in next((each["text"] for each in answer["findings"] if each["id"] == "from-book"), "")


@pytest.mark.parametrize("nothing", ["0", "none", "0 cup"])
def test_nothing_over_can_be_said(path: Path, run: Run, asked: Asked, nothing: str) -> None:
    jamcalc.Book(path).keep(jamcalc.batch(PLUMS, sweetener="honey"))
    code, out, _ = run("finish", "1", "--jars", "5 half-pints", "--over", nothing, "--json")
    assert (code, json.loads(out)["batches"][0]["over_ml"]) == (0, 0.0)
    assert moved(asked())["jars"][2] < 5.5  # 5 for 5.7


def test_working_shows_the_step_of_each_figure(path: Path, asked: Asked) -> None:
    teach(path, {"jars": "5 half-pints", "ph": 3.4, "brix": 24, "found": "well"})
    steps = {each["what"]: each for each in asked()["working"]}
    assert {"jars filled, times the table", "pH of your plums", "soluble solids of your plums"} <= set(steps)
    assert steps["pH of your plums"]["how"].startswith("table 3.45 (")
    assert "then 1 batch of yours" in steps["pH of your plums"]["how"]


def test_what_is_likely_moves_and_the_high_side_does_not(path: Path, asked: Asked) -> None:
    teach(path, *[{"ph": 3.1}] * 6)
    without, answer = asked("--no-book"), asked()
    assert answer["acidity"]["ph"]["typical"] < without["acidity"]["ph"]["typical"] - 0.1
    assert answer["acidity"]["ph"]["high"] == without["acidity"]["ph"]["high"]
    assert answer["lemon_juice"] == without["lemon_juice"]


def test_a_reading_of_this_lot_is_asked_for_where_earlier_ones_were_low(path: Path, asked: Asked) -> None:
    with jamcalc.Book(path) as book:
        for ph in (3.4, 3.5):
            book.keep(jamcalc.batch(PLUMS, sweetener="honey", reading=f"plum pH {ph}"))
    without, answer = asked("--no-book"), asked()
    said = next(each["text"] for each in answer["findings"] if each["id"] == "worth-measuring")
    assert said.startswith("Your plums read pH 3.4 to 3.5 in 2 batches: measure these. At 3.8 or lower ")
    assert answer["lemon_juice"] == without["lemon_juice"]  # and no more than that


def test_a_high_reading_raises_the_high_end_and_says_so(path: Path, asked: Asked) -> None:
    jamcalc.Book(path).keep(jamcalc.batch(PLUMS, sweetener="honey", reading="plum pH 4.5"))
    without, answer = asked("--no-book"), asked()
    assert answer["acidity"]["ph_before_lemon"]["high"] > without["acidity"]["ph_before_lemon"]["high"]
    assert answer["lemon_juice"]["g"] > without["lemon_juice"]["g"]
    said = next(each["text"] for each in answer["findings"] if each["id"] == "book-high")
    assert said.startswith("Your plums came out as high as pH 4.6 in batch 1; the tables end at 4.3.")
    assert moved(answer)["high pH of plums"] == (1, 4.3, 4.6)


def test_a_batch_that_read_above_its_high_side_raises_the_high_end_too(path: Path, asked: Asked) -> None:
    teach(path, {"ph": 4.15})  # the answer's high side was 4.00
    assert asked()["lemon_juice"]["g"] > asked("--no-book")["lemon_juice"]["g"]


def test_facts_have_hers_beside_the_table(path: Path, run: Run) -> None:
    _, plain, _ = run("facts", "plum")
    assert "Yours" not in plain
    teach(path, {"ph": 3.4}, {"ph": 3.5})
    _, out, _ = run("facts", "plum")
    assert "from 2 of your batches; table 3.45" in " ".join(out.split())
    _, out, _ = run("facts", "plum", "--json")
    assert json.loads(out)["yours"]["ph"]["from_batches"] == 2
    _, out, _ = run("facts", "peach", "--json")
    assert "yours" not in json.loads(out)


def test_a_slip_is_told_at_once(path: Path, run: Run) -> None:
    teach(path, *[{"jars": "6 half-pints"}] * 3)
    with jamcalc.Book(path) as book:
        book.keep(jamcalc.batch(PLUMS, sweetener="honey"))
    code, _, said = run("finish", "4", "--jars", "16 half-pints")
    assert code == 0
    assert "The jars of batch 4: far from what was expected" in said
    _, _, said = run("finish", "4", "--jars", "6 half-pints")
    assert "far from" not in said


def test_a_slip_of_two_readings_names_them_as_they_are_written(path: Path, run: Run) -> None:
    teach(path, *[{"jars": "6 half-pints", "brix": 22.0, "ph": 3.4}] * 3)
    with jamcalc.Book(path) as book:
        book.keep(jamcalc.batch(PLUMS, sweetener="honey"))
    _, _, said = run("finish", "4", "--jars", "16 half-pints", "--brix", "50", "--ph", "4.5")
    named = said.partition("jamcalc: ")[2].partition(" of batch 4:")[0]
    assert named.startswith("The ")
    assert {"Brix", "pH"} & set(named.split())
    assert not {"brix", "ph"} & set(named.split())


def test_a_book_that_cannot_be_read_stops_no_batch(path: Path, run: Run) -> None:
    teach(path, {"jars": "6 half-pints"})
    with sqlite3.connect(path) as connection:
        connection.execute("DROP TABLE season_sum")
    connection.close()
    code, out, said = run("batch", *PLUMS, "--sweetener", "honey", "--json")
    assert code == 0
    assert "learned" not in json.loads(out)
    assert [line for line in said.splitlines() if line.endswith("the answer is from the tables alone")] == said.splitlines()


def test_fruit_for_jars_wanted_goes_by_her_pot(path: Path, run: Run) -> None:
    def pounds() -> float:
        code, out, _ = run("batch", "plums", "--want", "8 half-pints", "--sweetener", "honey", "--json")
        assert code == 0
        return float(json.loads(out)["ingredients"][0]["as_bought_g"])

    before = pounds()
    teach(path, *[{"jars": "5 half-pints", "over": "1 tbsp"}] * 5)
    assert pounds() > 1.05 * before


def test_without_a_book_nothing_of_it_is_loaded(path: Path) -> None:
    import subprocess

    code = (
        "import sys; from jamcalc.cli.main import main; main(['batch', '3 lb plums', '--sweetener', 'honey', '--json']);"
        "of_book = ('sqlite3', 'jamcalc.book', 'jamcalc.kept', 'jamcalc.lessons');"
        "print([name for name in sys.modules if name.startswith(of_book)], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ})
    assert done.stderr.strip().splitlines()[-1] == "[]"


@pytest.mark.parametrize("batches", [10_000 if os.environ.get("JAMCALC_MANY") else 500])
def test_what_many_batches_teach_is_read_in_a_moment(path: Path, batches: int) -> None:
    """The aim: 20 ms with 10,000 batches; the best of some, for the machine has other things to do."""
    draw, plain = random.Random(1), papers()
    basis = {"jars": 6.2, "pectin_needed_g": 10.0, "pectin_g": 10.0, "read": [{"item": "plum", "ph": 3.5, "solids_percent": 12.0}]}
    asked_for = Papers(asked=json.dumps({KEY: basis}), answer=plain.answer, recipe="", screen="", figures=())
    with jamcalc.Book(path) as book:
        book.add(
            kept(
                uid=f"{draw.getrandbits(128):032x}",
                made=kept().made.replace(year=draw.randint(2007, 2026)),
                entries=(finish(filled=jars(half_pint=draw.choice([5, 6, 6, 7])), found=draw.choice(["well", "well", "runny"])),),
                papers=asked_for,
            )
            for _ in range(batches)
        )
    times = []
    for _ in range(7):
        begun = time.perf_counter()
        with jamcalc.Book(path, reading=True) as book:
            learned = book.learned(["plum", "blackberry"])
        times.append(time.perf_counter() - begun)
    assert learned != Learned()
    assert min(times) < 0.02, times


@pytest.mark.parametrize(("off", "said"), [(0.4, "0.4 jar a batch"), (-1.0, "1.0 jar a batch"), (2.2, "2.2 jars a batch")])
def test_more_than_one_jar_is_jars(off: float, said: str) -> None:
    sure = Taught(value=-0.2, sd=0.01, next_sd=0.02, table=0.0, table_sd=0.1, batches=4, lots=4.0)
    assert from_book._why(sure, off).endswith(said)
