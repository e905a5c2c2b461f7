"""The command line as its users meet it: good uses of every command, and what is said of a bad one.

Most run in this process; what only a real process shows (pipes, closed and full outputs, encodings, Ctrl-C) runs in one.
"""

from __future__ import annotations

import io
import json
import os
import re
import select
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest
from book_sample import kept

import jamcalc
from jamcalc.cli import commands, main
from jamcalc.cli.command_table import COMMANDS, ELSEWHERE
from jamcalc.errors import InputError
from jamcalc.kitchen import home_file
from jamcalc.reading import recipefile, recipetext, safefile, supplied

PLUMS = "3 lb plums"


@pytest.fixture(autouse=True)
def own_kitchen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test sees the kitchen file or the batch book of whoever runs it, nor the folder it is run in."""
    place = tmp_path / "kitchen.toml"
    monkeypatch.setenv("JAMCALC_KITCHEN", str(place))
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)
    return place


class Said:
    """What one run left behind."""

    def __init__(self, code: int, out: str, err: str) -> None:
        self.code, self.out, self.err = code, out, err

    @property
    def json(self) -> dict[str, object]:
        return json.loads(self.out)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    def run_one(*words: str) -> Said:
        code = main.main(words)
        captured = capsys.readouterr()
        return Said(code, captured.out, captured.err)

    return run_one


def assert_one_line(said: Said, *words: str) -> None:
    assert said.code == 2
    assert said.out == ""
    assert said.err.startswith("jamcalc: ")
    assert said.err.count("\n") == 1
    assert said.err.endswith("\n")
    assert said.err[:-1].isprintable()
    assert len(said.err) < 400
    for word in words:
        assert word in said.err


# ---------------------------------------------------------------- bad lines

BAD_LINES = [
    ("", "empty", '"3 lb plums"'),
    ("   ", "empty"),
    ("9**9**9 g plums", "9**9**9 g plums", "unit"),
    ("3 lb plums " * 200_000, "too long"),
    ("(" * 40_000, "too long"),
    ("NaN lb plums", "NaN lb plums", "does not begin with an amount"),
    ("inf lb plums", "does not begin with an amount"),
    ("-2 lb plums", "-2 lb plums", "above zero"),
    ("0 lb plums", "above zero"),
    ("1/0 lb plums", "divides by zero"),
    ("1e400 g plums", "exponent"),
    ("2,5 kg plums", "comma", "2.5"),
    ("101 kg plums", "more than 100 kg"),
    ("3 plums", "which size"),
    ("3 lb", "no item"),
    ("4 cups strawberries", "form", "mashed strawberries"),
    ("3 lb strawbery", "strawbery", "strawberry"),
    ("3 lb plumbs", "plumbs", "plum"),
    ("8 oz apple juice", "8 fl oz"),
    ("1 packet pectin", "which pectin", "calcium-set pectin"),
    ("2 tsp stevia blend", "which stevia"),
    ("3 lb [red]plums[/red]", "(red)plums(/red)"),
    ("3 lb \x1b[31mplums\x1b[0m", "control characters"),
    ("3 lb plums\x1b]0;title\x07", "control characters"),
    ("3 lb plu\0ms", "control characters"),
    ("3 lb plums\u202e", "control characters"),
    ("3 lb \udcff\udcfeplums", "control characters"),
    ("\u0663 lb plums", "does not begin with an amount"),
    ("3 lb plums; rm -rf /", "does not begin with an amount"),
    ("__import__('os')", "does not begin with an amount"),
    ("3 lb " + "a" * 100, "..."),
]


@pytest.mark.parametrize(("line", "words"), [(line, words) for line, *words in BAD_LINES], ids=[repr(line[0])[:30] for line in BAD_LINES])
def test_bad_line(run, line: str, words: list[str]) -> None:
    assert_one_line(run("batch", line), *words)


# ---------------------------------------------------------------- bad options

BAD_USES: list[tuple[list[str], list[str]]] = [
    (["batch"], ['batch "3 lb plums"']),
    (["batch", PLUMS, "--frobnicate"], ["no option --frobnicate", "jamcalc batch --help"]),
    (["batch", PLUMS, "--alt", "4300 ft"], ["no option --alt", "--altitude"]),
    (["batch", PLUMS, "--sweet", "honey"], ["--sweetener or --sweetness"]),
    (["batch", PLUMS, "--jso"], ["--json"]),
    (["batch", PLUMS, "--sweetner", "honey"], ["did you mean --sweetener?"]),
    (["batch", PLUMS, "-x"], ["no option -x"]),
    (["batch", PLUMS, "--json=yes"], ["--json takes no value"]),
    (["batch", PLUMS, "--altitude"], ["--altitude needs a value", '"4300 ft"']),
    (["batch", PLUMS, "--altitude", "--json"], ["--altitude needs a value"]),
    (["batch", PLUMS, "--altitude", ""], ["--altitude is empty"]),
    (["batch", PLUMS, "--altitude=100 ft", "--altitude", "200 ft"], ["--altitude stands twice"]),
    (["batch", PLUMS, "--altitude", "3 parsecs"], ["3 parsecs", "feet or meters"]),
    (["batch", PLUMS, "--altitude", "99999 ft"], ["no place to cook"]),
    (["batch", PLUMS, "--set", "hard"], ['--set "hard"', "soft, medium or firm"]),
    (["batch", PLUMS, "--set"], ["--set needs a value", "soft, medium or firm"]),
    (["batch", PLUMS, "--store", "oven"], ["shelf or cold"]),
    (["batch", PLUMS, "--units", "\x1b[31mimperial"], ["us or metric"]),
    (["batch", PLUMS, "--jar", "bucket"], ["bucket", "jamcalc facts lists"]),
    (["batch", PLUMS, "--jar", "pimt"], ["pimt", "nearest name is"]),
    (["batch", PLUMS, "--want", "eight"], ["--want", "8 half-pints"]),
    (["batch", PLUMS, "--want", "0 half-pints"], ["0 half-pints"]),
    (["batch", PLUMS, "--want", "8 half-pints", "--jar", "pint"], ["two jars"]),
    (["batch", PLUMS, "--on-hand", "fish"], ["fish", "11 half-pints"]),
    (["batch", PLUMS, "--parts", "2:1"], ["--parts"]),
    (["batch", PLUMS, "--boil", "-5"], ["-5", "minutes"]),
    (["batch", PLUMS, "--simmer", "9999"], ["9999", "up to 1440"]),
    (["batch", PLUMS, "--headspace", "3 miles"], ["3 miles", "1/4 in"]),
    (["batch", PLUMS, "--sweetness", "nan"], ["sweetness", "0 to 150"]),
    (["batch", PLUMS, "--pectin-spoon", "0"], ["pectin-spoon"]),
    (["batch", PLUMS, "--calcium-spoon", "inf"], ["calcium-spoon"]),
    (["batch", PLUMS, "--title", "x" * 1000], ["1000 characters", "200"]),
    (["batch", PLUMS, "--title", "\x1b[31mred"], ["--title", "control characters"]),
    (["card", "raspberry-blueberry", "--class", "a\x1b[31mb"], ["--class", "control characters"]),
    (["card", "raspberry-blueberry", "--lot", "7\u202e"], ["--lot", "control characters"]),
    (["card", "raspberry-blueberry", "--name", "\x07"], ["--name", "control characters"]),
    (["batch", PLUMS, "--sweetener", "honney"], ["honney", "honey"]),
    (["batch", PLUMS, "--sweetener", "plums"], ["no sweetener"]),
    (["batch", PLUMS, "1/2 cup honey", "--sweetener", "honey"], ["1/2 cup honey", "not both"]),
    (["batch", PLUMS, "--sweetener", "honey", "--sweetener", "sugar"], ["--sweetener stands twice"]),
    (["batch", PLUMS, "2 tsp calcium-set pectin", "3 tsp calcium-set pectin"], ["twice"]),
    (["batch", "1/2 cup honey"], ["no fruit"]),
    (["batch", "1 g plums", "1 kg citric acid"], ["citric acid", "tenth"]),
    (["batch", *["100 kg plums"] * 60], ["6000 kg", "100 kg"]),
    (["batch", *[PLUMS] * 500], ["500", "at most 60"]),
    (["batch", PLUMS, "--reading", "plum pH 15"], ["plum pH 15", "between 0 and 14"]),
    (["batch", PLUMS, "--reading", "plum pH -1"], ["plum pH -1"]),
    (["batch", PLUMS, "--reading", "batch pH 0"], ["pH 0", "meter"]),
    (["batch", PLUMS, "--reading", "batch pH 14"], ["pH 14", "meter"]),
    (["batch", PLUMS, "--reading", "plum pH 0.5"], ["pH 0.5", "meter"]),
    (["batch", PLUMS, "--reading", "peach pH 3.5"], ["peach", "plum"]),
    (["batch", PLUMS, "--reading", "plum pH 3", "--reading", "plum pH 4"], ["two readings"]),
    (["batch", PLUMS, "--kitchen", "not-there.toml"], ["not-there.toml", "no such file"]),
    (["batch", PLUMS, "-o", "plum.exe"], ["plum.exe", ".toml"]),
    (["batch", PLUMS, "-o", "not-there/plum.toml"], ["not-there/plum.toml", "no such folder"]),
    (["batch", PLUMS, "-o", "/dev/full"], ["/dev/full"]),
    (["batch", PLUMS, "-o", "a" * 300 + ".txt"], ["cannot be written"]),
    (["batch", PLUMS, "-o", "\0.toml"], ["control characters"]),
    (["batch", PLUMS, "-o"], ["--output needs a value"]),
    (["batch", "3", "lb", "plums", "1", "cup", "honey"], ["quotes"]),
    (["batch", PLUMS, "honey"], ["honey", "quotes"]),
    (["batch", PLUMS, "--", "--json"], ["--json", "quotes"]),
    (["check"], ["check needs a recipe file"]),
    (["check", ""], ["RECIPE is empty"]),
    (["check", "raspbery-blueberry"], ["raspbery-blueberry", "raspberry-blueberry"]),
    (["check", "no\udcffsuch"], ["no such file"]),
    (["check", "x" * 5000], ["cannot be read"]),
    (["check", "raspberry-blueberry", "peach"], ["peach", "a word too many"]),
    (["check", "raspberry-blueberry", "--want", "8 half-pints"], ["no option --want"]),
    (["check", "raspberry-blueberry", "--found", "odd"], ["runny, weeping, stiff or grainy"]),
    (["scale", "raspberry-blueberry"], ["--times 1.5"]),
    (["scale", "raspberry-blueberry", "--times", "2", "--want", "9 half-pints"], ["--times and --want"]),
    (["scale", "raspberry-blueberry", "--times", "nan"], ["nan"]),
    (["scale", "raspberry-blueberry", "--times", "-1"], ["-1"]),
    (["scale", "raspberry-blueberry", "--times", "100000"], ["no batch"]),
    (["scale", "raspberry-blueberry", "--fruit", "5 lb kiwis"], ["kiwis", "new formula"]),
    (["scale", "raspberry-blueberry", "--sweetener", "none"], ["sweetener"]),
    (["process", "3 lb plums"], ["a word too many", "options only"]),
    (["process", "--jar", "xx"], ["no jar"]),
    (["process", "--own", "lots"], ["lots"]),
    (["facts", "plumm"], ["plumm", "plum"]),
    (["facts", ""], ["empty"]),
    (["facts", "pectin"], ["3 g", "--working", "--pectin-spoon"]),
    (["facts", "calcium", "water"], ["calcium water", "14.6 mg", "--calcium-spoon"]),
    (["facts", "../../etc/passwd"], ["../../etc/passwd"]),
    (["recipes", "x"], ["a word too many"]),
    (["kitchen", "altitude"], ["SETTING=VALUE"]),
    (["kitchen", "=1"], ["SETTING=VALUE"]),
    (["kitchen", "altitud=1 ft"], ["altitud", "did you mean altitude?"]),
    (["kitchen", "altitude=far up"], ["far up"]),
    (["kitchen", "altitude=1 ft", "altitude=2 ft"], ["twice"]),
    (["card", "raspberry-blueberry", "--date", "2026-02-30"], ["2026-02-30", "2026-07-14"]),
    (["card", "raspberry-blueberry", "--kind", "lid"], ["--kind", "-o FILE.html"]),
    (["card", "raspberry-blueberry", "-o", "card.toml"], ["card.toml", ".html"]),
    (["card", "raspberry-blueberry", "--kind", "lid", "--kitchen-page", "-o", "x.html"], ["together"]),
    (["frob"], ['no command "frob"', "batch, check, scale"]),
    (["labels"], ["jamcalc card", "--kind front"]),
    (["didn't set"], ["jamcalc check", "--found runny"]),
    (["bach"], ["did you mean batch?"]),
    (["BATCH", PLUMS], ["did you mean batch?"]),
    ([PLUMS], ["jamcalc batch"]),
    (["\x1b[31m"], ["no command"]),
    (["--json", "batch", PLUMS], ["--json before the command"]),
    (["--version", "x"], ["--version"]),
]


@pytest.mark.parametrize(
    ("words", "expected"), BAD_USES, ids=[" ".join(words)[:60].encode("ascii", "replace").decode() for words, _ in BAD_USES]
)
def test_bad_use(run, words: list[str], expected: list[str]) -> None:
    assert_one_line(run(*words), *expected)


def test_nothing_is_written_where_a_use_is_bad(run, tmp_path: Path) -> None:
    run("batch", "3 lb plumbs", "-o", "plum.toml")
    run("kitchen", "altitude=1 ft", "pots=x")
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- bad files


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "ingredients"),
        (b"hello there\n", "not TOML"),
        (bytes(range(256)), "not a text file"),
        ("title = 'x'".encode("utf-16"), "UTF-16"),
        (b"\xe9", "UTF-8"),
        (b"a = 1\n" * 20_000, "64 KB"),
        (b"a=" + b"[" * 5_000, "nested"),
        (b"a = " + b"9" * 5_000, "not TOML"),
    ],
)
def test_bad_recipe_file(run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes, expected: str) -> None:
    (tmp_path / "bad.toml").write_bytes(content)
    assert_one_line(run("check", "bad.toml"), "bad.toml", expected)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content)))
    assert_one_line(run("check", "-"), "standard input", expected)


def test_every_problem_of_a_recipe_file_has_its_line(run, tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text('titel = "x"\nkind = "soup"\ningredients = ["3 cups plums", "2 lb plumbs"]\n', encoding="utf-8")
    said = run("check", "bad.toml")
    assert said.code == 2
    assert said.out == ""
    lines = said.err.splitlines()
    assert len(lines) == 4
    assert all(line.startswith("jamcalc: bad.toml: ") for line in lines)
    for key in ("titel", "kind", "ingredients[1]", "ingredients[2]"):
        assert key in said.err


def test_a_folder_is_no_recipe(run, tmp_path: Path) -> None:
    assert_one_line(run("check", str(tmp_path)), "folder")


@pytest.mark.parametrize("content", [b'altitude = "4300 f', b"[kitchen]\n", b"\xff\xfe", b"x" * 30_000])
def test_a_torn_kitchen_file_is_named_and_the_batch_answered(run, own_kitchen: Path, content: bytes) -> None:
    own_kitchen.write_bytes(content)
    said = run("batch", PLUMS, "--json")
    assert said.code == 0
    assert said.json["process"]["altitude_ft"] is None
    assert "kitchen" in said.err


def test_a_file_that_is_no_kitchen_file_is_not_complained_of_line_by_line(run, own_kitchen: Path) -> None:
    own_kitchen.write_text("a\n" * 300, encoding="utf-8")
    said = run("process")
    assert said.code == 0
    assert said.err.count("\n") == 9
    assert "292 more" in said.err


def test_a_device_is_never_written_over(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    for write in (lambda place: safefile.write_whole(place, "x"), lambda place: home_file.change(place, {"lids": "24"})):
        with pytest.raises(InputError, match="not a file"):
            write(tmp_path / "pipe.toml")
    assert (tmp_path / "pipe.toml").is_fifo()


# ---------------------------------------------------------------- good uses


def test_options_and_lines_come_in_any_order(run) -> None:
    usual = run("batch", PLUMS, "1 lb pears", "--sweetener", "honey", "--altitude", "4300 ft", "--json")
    assert usual.code == 0
    assert usual.err == ""
    for words in (
        ["--json", "--altitude=4300 ft", PLUMS, "--sweetener=honey", "1 lb pears"],
        ["--sweetener", "honey", "--json", "--altitude", "4300ft", "--", PLUMS, "1 lb pears"],
    ):
        assert run("batch", *words).out == usual.out


def test_words_without_quotes_make_one_line(run) -> None:
    quoted = run("batch", PLUMS, "--sweetener", "honey", "--json")
    assert run("batch", "3", "lb", "plums", "--sweetener", "honey", "--json").out == quoted.out
    assert run("batch", "3", "lb", "--sweetener", "honey", "plums", "--json").out == quoted.out


@pytest.mark.parametrize("words", [["--altitude=-500ft"], ["--altitude", "-500ft"], ["--altitude", "-500 ft"]])
def test_a_height_below_the_sea(run, words: list[str]) -> None:
    assert run("process", "--json", *words).json["altitude_ft"] == -500


def test_the_json_of_a_batch(run) -> None:
    answer = run("batch", PLUMS, "--altitude", "4300 ft", "--json").json
    assert answer["schema"] == "jamcalc/1"
    assert answer["command"] == "batch"
    assert answer == jamcalc.batch([PLUMS], altitude="4300 ft").to_dict()


def test_refused_is_1_with_the_whole_answer_and_the_reason(run) -> None:
    said = run("batch", PLUMS, "--altitude", "11000 ft", "--json")
    assert said.code == 1
    assert said.json["refused"] in said.err
    assert said.json["ingredients"]
    shown = run("check", "raspberry-blueberry", "--jar", "quart")
    assert shown.code == 1
    assert "raspberries" in shown.out
    assert shown.err.count("\n") == 1


def test_impossible_is_1_with_the_reason_in_the_json_too(run) -> None:
    said = run("scale", "raspberry-blueberry", "--times", "2", "--jar", "quart", "--json")
    assert said.code == 1
    assert said.json["command"] == "scale"
    assert said.json["refused"] in said.err


@pytest.mark.parametrize(("ending", "begins"), [(".toml", "title = "), (".json", "{"), (".txt", "Plum spread")])
def test_an_answer_is_written_to_a_file(run, tmp_path: Path, ending: str, begins: str) -> None:
    said = run("batch", PLUMS, "-o", f"plum{ending}")
    assert said.code == 0
    assert said.err == f"jamcalc: wrote plum{ending}\n"
    assert "Plum spread" in said.out
    assert (tmp_path / f"plum{ending}").read_text(encoding="utf-8").startswith(begins)


def test_a_file_that_cannot_be_written_leaves_standard_output_empty(run, tmp_path: Path) -> None:
    (tmp_path / "plum.toml").mkdir()
    assert_one_line(run("batch", PLUMS, "-o", "plum.toml"), "plum.toml", "not a file")


def test_check_reads_a_name_a_path_and_standard_input_alike(run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = recipetext.write_text(recipefile.read("raspberry-blueberry"))
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    by_name = run("check", "raspberry-blueberry", "--json")
    assert by_name.code == 0
    assert by_name.json["command"] == "check"
    by_path = run("check", "own.toml", "--json", "-o", "answer.json")
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    assert run("check", "-", "--json").json["acidity"] == by_path.json["acidity"] == by_name.json["acidity"]
    assert json.loads((tmp_path / "answer.json").read_text(encoding="utf-8")) == by_path.json


@pytest.mark.parametrize("way", [["--times", "2"], ["--fruit", "5 lb raspberries"], ["--want", "9 half-pints"], ["--sweetener", "honey"]])
def test_scale_and_check_what_it_wrote(run, way: list[str]) -> None:
    said = run("scale", "raspberry-blueberry", *way, "-o", "more.toml", "--json")
    assert said.code == 0
    assert said.json["scaled"]["factor"] > 0
    assert run("check", "more.toml").code == 0


AGAVE = str(Path(__file__).parents[1].joinpath("recipes") / "strawberry-agave.toml")


def test_the_label_of_a_swap_names_no_sweetener_that_is_gone(run) -> None:
    assert run("scale", AGAVE, "--sweetener", "honey", "--times", "1", "-o", "x.toml").code == 0
    assert "agave" not in run("card", "x.toml").out.lower()


@pytest.mark.parametrize("way", [["--times", "2"], ["--sweetener", "honey"]])
def test_a_scaled_recipe_is_called_what_it_is_to_be_called(run, way: list[str]) -> None:
    """On the screen, in the JSON and in the file; a name makes no other recipe of it."""
    named = ["scale", AGAVE, *way, "--title", "Our  best"]
    assert run(*named).out.startswith("Our best")
    said = run(*named, "-o", "best.toml", "--json")
    assert said.json["title"] == recipefile.read("best.toml").title == "Our best"
    own = run("scale", AGAVE, *way, "--json").json
    assert own["title"] != "Our best"
    assert {key for key in own if own[key] != said.json[key]} == {"title"}


def test_a_recipe_that_cannot_be_scaled_is_called_so_too(run) -> None:
    said = run("scale", "raspberry-blueberry", "--times", "2", "--jar", "quart", "--title", "Our best", "--json")
    assert said.code == 1
    assert said.json["title"] == "Our best"


def test_a_scaled_screen_begins_with_its_title_and_says_numbers_as_a_cook_does(run) -> None:
    said = run("scale", AGAVE, "--times", "2.297", "--full")
    assert said.out.startswith("Strawberry jam with agave\n")
    assert said.out.index("Scaled") < said.out.index("In the pot")
    text = " ".join(said.out.split())
    assert "stated yield 16 half-pints, the recipe's own yield, scaled" in text
    assert "In each of 3 equal pots" in text
    swapped = run("scale", AGAVE, "--times", "1", "--sweetener", "honey").out
    assert "stated yield" not in swapped
    assert [line.split()[-1] for line in swapped.splitlines() if "agave syrup" in line] == ["out"]
    assert next(line for line in swapped.splitlines() if line.strip().startswith("honey ")).split()[-1] == "new"


def test_gelatin_is_shared_out_to_the_pots_too(run) -> None:
    text = " ".join(run("scale", "refrigerated-apple-spread", "--times", "5", "--full").out.split())
    assert "also 3 tbsp + 1 tsp unflavored gelatin" in text


def test_readings_that_a_file_cannot_hold_are_named(run, tmp_path: Path) -> None:
    readings = ["--reading", "plum pH 3.40 TA 1.2 tartaric Brix 12", "--reading", "batch pH 3.9"]
    said = run("batch", PLUMS, *readings, "-o", "my.toml", "--json")
    again = '--reading "plum pH 3.4 TA 1.2 tartaric Brix 12" --reading "batch pH 3.9"'
    note = f"eadings are not in a recipe file: for the same numbers check it with {again}"
    assert said.err == f"jamcalc: r{note}\njamcalc: wrote my.toml\n"
    assert (tmp_path / "my.toml").read_text(encoding="utf-8").startswith(f"# R{note}\ntitle = ")
    checked = run("check", "my.toml", *readings, "--json").json
    assert checked["acidity"]["ph"] == said.json["acidity"]["ph"]
    run("batch", PLUMS, "-o", "plain.toml")
    assert "eading" not in (tmp_path / "plain.toml").read_text(encoding="utf-8")


def test_process(run) -> None:
    found = run("process", "--altitude", "4300 ft", "--jar", "pint", "--json").json
    assert found["jar"] == "pint"
    assert found["minutes"] == 30
    assert len(found["by_band"]) == 5
    assert "30 minutes" in run("process", "--altitude", "1310.64 m", "--jar", "pint").out


@pytest.mark.parametrize("words", [["--altitude", "11000 ft"], ["--jar", "quart"]])
def test_no_process_is_1_and_whole(run, words: list[str]) -> None:
    said = run("process", *words)
    assert said.code == 1
    assert said.out == ""
    assert said.err.count("\n") == 1
    whole = run("process", *words, "--json")
    assert whole.code == 1
    assert whole.err == said.err
    assert set(whole.json) > {"jar", "minutes", "altitude_ft", "boiling_point_c", "by_band"}
    assert whole.json["minutes"] is None
    assert whole.json["refused"] in said.err


def test_facts_lists_by_kind(run) -> None:
    listed = run("facts", "--json").json
    assert set(listed) == {"fruits", "juices", "vegetables", "sweeteners", "acids", "jars"}
    assert "plum" in listed["fruits"]
    said = run("facts")
    assert said.code == 0
    assert "plum" in said.out
    assert "honey" in said.out


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        (["plum"], "fruit"),
        (["sour", "cherries"], "fruit"),
        (["cherries"], "fruit"),
        (["honey"], "sweetener"),
        (["citric acid"], "acid"),
        (["250 mL"], "jar"),
    ],
)
def test_facts_of_an_item(run, words: list[str], kind: str) -> None:
    found = run("facts", *words, "--json").json
    assert found["kind"] == kind
    assert found["sources"] or kind == "acid"  # citric acid is a pure substance; its spoonful is common practice
    assert run("facts", *words).out


def test_an_ambiguous_name_takes_the_cautious_reading_and_says_so(run) -> None:
    assert "sweet" in run("facts", "cherries").out.splitlines()[0]


def test_recipes_are_listed(run) -> None:
    listed = run("recipes", "--json").json
    assert [each["name"] for each in listed] == list(supplied.names())
    entries = " ".join(run("recipes").out.split()).split(" - ")[1:]
    assert sorted(entry.partition(":")[0] for entry in entries) == list(supplied.names())
    cold = {entry.partition(":")[0] for entry in entries if "(kept cold)" in entry}
    assert cold == {each["name"] for each in listed if each["keep"] == "cold"}
    assert run("recipes").out.index("Tested: ") < run("recipes").out.index("United States Department of Agriculture")


def test_kitchen_shows_and_changes(run, own_kitchen: Path) -> None:
    assert "not there yet" in run("kitchen").out
    said = run("kitchen", "altitude=4300 ft", "jars=11 half-pints, 5 pints", "lids=24")
    assert said.code == 0
    assert "4300 ft" in said.out
    assert "11 half-pints, 5 pints" in said.out
    assert run("process", "--json").json["altitude_ft"] == 4300
    assert run("process", "--altitude", "0 ft", "--json").json["altitude_ft"] == 0
    assert run("kitchen", "altitude=", "--json").json["settings"] == {"jars": ["11 half-pints", "5 pints"], "lids": 24}
    assert "altitude" not in own_kitchen.read_text(encoding="utf-8").replace(home_file.HEADER, "")


def test_kitchen_shows_what_was_written(run, own_kitchen: Path) -> None:
    written = {"altitude": "1300 m", "pots": ["8 quart, 10 in across"], "jars": ["11 half-pints", "5 pints"], "lemon_juice": "4 fl oz",
               "sweeteners": ["2 cups honey", "1 1/2 lb sugar"], "calcium_powder": "0.5 oz"}  # fmt: skip
    home_file.change(own_kitchen, written)
    shown = run("kitchen").out
    for value in written.values():
        assert (value if isinstance(value, str) else ", ".join(value)) in shown
    assert run("kitchen", "--json").json["settings"] == written
    own_kitchen.write_text('sweeteners = ["2  cups\\thoney", "a jar of it"]\n', encoding="utf-8")
    assert run("kitchen", "--json").json["settings"] == {"sweeteners": ["2 cups honey"]}, "only what could be read, on one line"


def test_another_kitchen_file_is_made_and_used(run, own_kitchen: Path) -> None:
    run("kitchen", "--kitchen", "hut.toml", "altitude=6200 ft")
    assert not own_kitchen.exists()
    assert run("process", "--kitchen", "hut.toml", "--json").json["altitude_ft"] == 6200


def test_all_that_is_wrong_with_a_change_is_said(run, own_kitchen: Path) -> None:
    said = run("kitchen", "altitude=1 ft", "pots=x", "y=2")
    assert said.code == 2
    assert said.out == ""
    assert said.err.count("\n") == 2
    assert not own_kitchen.exists()


def test_a_card_names_its_blanks(run, tmp_path: Path) -> None:
    said = run("card", "raspberry-blueberry")
    assert said.code == 0
    assert "CLASS" in said.out
    assert "class, lot" in said.err
    strict = run("card", "raspberry-blueberry", "--strict", "-o", "card.html")
    assert strict.code == 1
    assert not (tmp_path / "card.html").exists()
    whole = ["--class", "12", "--lot", "3", "--date", "2026-07-14", "--altitude", "6200 ft", "--strict", "--json"]
    full = run("card", "strawberry-rhubarb", *whole)
    assert full.code == 0
    assert full.json["blanks"] == []
    assert full.json["fields"]["time"] == "25 min"
    assert {"nutrition", "claims"} <= set(full.json)


def test_nutrition_claims_and_net_weight_are_printed_when_asked_for(run, tmp_path: Path) -> None:
    plain = run("card", "raspberry-blueberry").out
    said = run("card", "raspberry-blueberry", "--nutrition").out
    assert said.startswith(plain.rstrip())
    assert "Estimate from food tables, not a laboratory value." in said
    assert "no  no added sugar: sugar added" in said
    assert max(map(len, said.splitlines())) <= 60
    assert run("card", "raspberry-blueberry", "--unrounded").out != said
    run("card", "raspberry-blueberry", "--kind", "front", "--weight", "-o", "front.html")
    assert "net weight about" in (tmp_path / "front.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "shape",
    [
        [],
        ["--kind", "recipe"],
        ["--kind", "front"],
        ["--kind", "gift"],
        ["--kind", "lid"],
        ["--sheet", "a4"],
        ["--sheet", "letter", "--kind", "lid"],
        ["--kitchen-page"],
    ],
)
def test_a_card_is_written_as_a_page(run, tmp_path: Path, shape: list[str]) -> None:
    said = run("card", "raspberry-blueberry", *shape, "--title", "<b>Red</b> & black", "-o", "card.html")
    assert said.code == 0
    assert said.out == ""
    page = (tmp_path / "card.html").read_text(encoding="utf-8")
    assert "&lt;b&gt;Red&lt;/b&gt; &amp; black" in page
    assert "<b>Red" not in page
    assert "Print at 100 %, no margins" in page


@pytest.mark.parametrize("shape", [["--kind", "gift"], ["--kind", "front"], ["--kitchen-page"]])
def test_no_fair_and_no_law_beside_what_is_for_the_kitchen(run, shape: list[str]) -> None:
    said = run("card", "strawberry-rhubarb", *shape, "--date", "2026-07-14", "-o", "label.html").err
    assert said == "jamcalc: wrote label.html\n"
    assert "fair" in run("card", "strawberry-rhubarb", "--kind", "recipe", "-o", "back.html").err


def test_method_and_recipe_in_the_makers_words(run) -> None:
    said = run("card", "strawberry-rhubarb", "--method", "steam canner", "--recipe", "Leaflet 12, 2021", "--altitude", "900 ft", "--json")
    assert (said.json["fields"]["method"], said.json["fields"]["recipe"]) == ("steam canner", "Leaflet 12, 2021")
    assert said.json["fields"]["time"] == "10 min"
    blank = run("card", "strawberry-rhubarb", "--method", "pressure canner", "--altitude", "900 ft", "--json")
    assert blank.json["fields"]["time"] is None


def test_a_full_front_goes_on_over_the_page_and_says_so(run, tmp_path: Path) -> None:
    fruits = ", ".join(
        f'"1 lb {fruit}"' for fruit in ("plums", "strawberries", "raspberries", "blackberries", "sour cherries", "gooseberries")
    )
    rest = '"1/2 cup honey", "1/2 cup bottled lemon juice", "4 tsp calcium-set pectin", "4 tsp calcium water"'
    extras = '"1 cinnamon stick", "2 tsp vanilla extract", "1 tsp ground ginger", "1 tsp ground nutmeg", "2 tsp orange zest"'
    (tmp_path / "long.toml").write_text(f'title = "All"\nkind = "spread"\ningredients = [{fruits}, {rest}]\nextras = [{extras}]\n')
    long = ["--recipe", ("An invented booklet of the county, " * 6)[:199], "--title", "Windfall " * 22, "--class", "Low-sugar spreads"]
    said = run("card", "long.toml", *long, "--altitude", "4300 ft", "-o", "card.html")
    assert "the other side" in said.err
    assert (tmp_path / "card.html").read_text(encoding="utf-8").count('<section class="leaf"') >= 2


# ---------------------------------------------------------------- help


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_a_command(run, command: str) -> None:
    said = run(command, "--help")
    assert said.code == 0
    assert said.out == run("help", command).out == run(command, PLUMS, "-h").out
    assert said.out.isascii()
    assert max(map(len, said.out.splitlines())) <= 79
    blocks = said.out.split("\n\n")
    assert max(len(block.splitlines()) for block in blocks) <= 16, "a wall of options is not read: they stand in groups"
    for option in COMMANDS[command].options:
        assert len(re.findall(rf"^  {option.name}(?=[ ,\n])", said.out, re.MULTILINE)) == 1


@pytest.mark.parametrize("words", [["--help"], ["-h"], ["help"], ["--help", "plums"]])
def test_the_overview_names_every_command(run, words: list[str]) -> None:
    said = run(*words)
    assert said.code == 0
    assert max(map(len, said.out.splitlines())) <= 79
    missing = [command for command in COMMANDS if f"\n  {command}" not in said.out]
    assert not missing, "each command has its lines in OVERVIEW of cli/main, which is printed before any table is read"


def test_version(run) -> None:
    assert run("--version").out == f"jamcalc {jamcalc.__version__}\n"


def test_alone_and_not_at_a_terminal_it_is_wrong_usage(run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    said = run()
    assert said.code == 2
    assert said.out == ""
    assert said.err == main.OVERVIEW


# ---------------------------------------------------------------- real processes

JAMCALC = [sys.executable, "-m", "jamcalc"]
HOME = str(Path(jamcalc.__file__).parent.parent)


def process(*words: str | bytes, shell: str = "", **environment: str) -> subprocess.CompletedProcess[bytes]:
    """jamcalc in a process of its own; `shell` is what a shell does with it, in which "$@" is the command."""
    command = ["sh", "-c", shell, "sh", *JAMCALC, *words] if shell else [*JAMCALC, *words]
    return subprocess.run(command, capture_output=True, timeout=300, env={**os.environ, "PYTHONPATH": HOME, **environment}, check=False)


def test_a_reader_that_goes_away() -> None:
    done = process("batch", PLUMS, "--working", shell='"$@" | head -n 1')
    assert done.stdout.startswith(b"Plum spread")
    assert done.stdout.count(b"\n") == 1
    assert done.stderr == b""
    done = process("facts", "plum", shell='{ "$@"; echo $? >&2; } | true')
    assert done.stderr == b"0\n"


def test_closed_outputs() -> None:
    assert process("batch", PLUMS, shell='"$@" >&-').returncode == 0
    done = process("batch", "3 lb plumbs", shell='"$@" 2>&-')
    assert (done.returncode, done.stdout) == (2, b"")
    done = process("check", "-", shell='"$@" <&-')
    assert done.returncode == 2
    assert b"standard input is closed" in done.stderr


WORKS = {
    "batch": [PLUMS], "check": ["strawberry-rhubarb"], "scale": ["strawberry-rhubarb", "--times", "2"],
    "process": [], "card": ["strawberry-rhubarb"], "facts": ["plum"], "kitchen": [], "recipes": [], "book": ["1"],
    "finish": ["1", "--ph", "3.5"], "compare": ["strawberry-rhubarb", "raspberry-blueberry"], "--version": [], "--help": [],
}  # fmt: skip


def test_every_command_has_words_that_work() -> None:
    missing = sorted(set(COMMANDS) - set(WORKS))
    assert not missing, f"give {', '.join(missing)} words that work, in WORKS above: they are run in several ways"


# What is run as well, since some options are asked for only then; compare asks copies of its options, one for each source.
BESIDES = {
    **{command: [[*WORKS[command], "-o", "answer.txt"]] for command in ("batch", "check", "scale", "compare")},
    "card": [["strawberry-rhubarb", "-o", "card.html"]],
    "book": [[], ["--season", "2026", "-o", "season.html"]],
}
READ_OFF_COPIES = {"compare": {"altitude", "book", "jar", "kitchen", "units"}}


@pytest.mark.parametrize("command", COMMANDS)
def test_no_option_is_taken_and_left_lying(command: str) -> None:
    asked: set[str] = set()

    class Options(SimpleNamespace):
        def __getattribute__(self, name: str) -> object:
            asked.add(name)
            return super().__getattribute__(name)

    with jamcalc.Book() as book:
        book.keep(kept())
    held = COMMANDS[command]
    for words in (WORKS[command], *BESIDES.get(command, [])):
        commands.run(command, Options(**vars(held.read(words))))
    idle = sorted({option.attribute for option in held.options} - asked - READ_OFF_COPIES.get(command, set()))
    assert not idle, f"{command} takes {', '.join(idle)} and does nothing with it: pass it on in the command's function"


@pytest.mark.parametrize("command", WORKS)
def test_every_command_with_every_stream_closed(command: str) -> None:
    """The exit code stands, and nothing is said where it can be said no more."""
    if command in ("book", "finish"):
        with jamcalc.Book() as book:
            book.keep(kept())
    for closed in ("<&-", ">&-", "<&- >&- 2>&-"):
        done = process(command, *WORKS[command], shell=f'"$@" {closed}')
        assert done.returncode == 0, (closed, done.stderr)
        assert b"Traceback" not in done.stderr
        assert (done.stdout == b"") == (">&-" in closed)


@pytest.mark.parametrize("command", ["check", "scale", "card"])
def test_an_input_that_cannot_be_read_is_not_called_an_output(tmp_path: Path, command: str) -> None:
    more = ["--times", "2"] if command == "scale" else []
    (tmp_path / "written").touch()
    for outputs in ("", ">&-"):  # open for writing alone; where output is closed too, the line must come out all the same
        done = process(command, "-", *more, shell=f'"$@" 0>"{tmp_path / "written"}" {outputs}')
        assert done.returncode == 2
        assert done.stderr.startswith(b"jamcalc: standard input: cannot be read (")
        assert done.stderr.count(b"\n") == 1


def test_an_input_that_does_not_wait_is_waited_for() -> None:
    """A program that shares its pipe may have set it so; what has come by then is not the whole recipe."""
    ours, theirs = os.pipe()
    os.set_blocking(ours, False)
    with subprocess.Popen([*JAMCALC, "check", "-", "--json"], stdin=ours, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          env={**os.environ, "PYTHONPATH": HOME}) as running:  # fmt: skip
        text = (Path(HOME) / "recipes" / "strawberry-rhubarb.toml").read_bytes()
        os.write(theirs, text[:100])
        until = time.monotonic() + 60
        while not os.get_blocking(ours):  # one pipe, two ends of it: what is set on theirs is seen here
            assert running.poll() is None, "it has taken a part for the whole"
            assert time.monotonic() < until
            time.sleep(0.01)
        os.write(theirs, text[100:])
        os.close(theirs)
        os.close(ours)
        out, err = running.communicate(timeout=60)
    assert running.returncode == 0, err
    assert json.loads(out)["title"]


def test_in_a_folder_that_is_gone(tmp_path: Path) -> None:
    """Answers as ever; what should be written there is refused in a line."""
    gone = tmp_path / "gone"
    shell = f'mkdir "{gone}" && cd "{gone}" && rmdir "{gone}" && "$@"'
    assert process("batch", PLUMS, shell=shell).returncode == 0
    for words in (["batch", PLUMS, "-o", "plum.toml"], ["card", "strawberry-rhubarb", "-o", "card.html"],
                  ["kitchen", "altitude=4300 ft", "--kitchen", "k.toml"]):  # fmt: skip
        done = process(*words, shell=shell)
        assert (done.returncode, done.stdout) == (2, b""), words
        assert b"cannot be written: no such file or directory" in done.stderr


def test_a_fault_of_the_program_is_told_in_one_line(tmp_path: Path) -> None:
    """As a program; called from Python, it goes through to whoever calls."""
    broken = "import sys; from jamcalc import api; from jamcalc.cli.main import main; api.batch = lambda *a, **b: 1 / 0; sys.exit(main())"
    done = subprocess.run([sys.executable, "-c", broken, "batch", PLUMS], capture_output=True, timeout=60, check=False,
                          env={**os.environ, "PYTHONPATH": HOME})  # fmt: skip
    assert (done.returncode, done.stdout) == (70, b"")
    told = "a fault of the program, not yours: ZeroDivisionError (<string>, line 1); please report it with what you typed"
    assert done.stderr.decode() == f"jamcalc: {told}\n"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize("words", [["batch", PLUMS], ["batch", PLUMS, "--json"], ["--version"]])
def test_a_full_disk(words: list[str]) -> None:
    done = process(*words, shell='"$@" >/dev/full')
    assert done.returncode == 2
    assert done.stderr == b"jamcalc: the answer cannot be written: no space left on device\n"
    assert process("batch", "3 lb plumbs", shell='"$@" 2>/dev/full').returncode == 2


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_outputs_that_are_not_unicode(encoding: str) -> None:
    done = process("batch", PLUMS, "--title", "Cr\u00e8me de prune \u6843", PYTHONIOENCODING=encoding)
    assert done.returncode == 0
    assert done.stdout.decode(encoding)
    done = process("batch", "3 lb pl\u00fcm\u6843", PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stdout, done.stderr.count(b"\n")) == (2, b"", 1)


def test_bytes_that_are_no_text() -> None:
    done = process("batch", b"3 lb \xff\xfeplums")
    assert (done.returncode, done.stdout, done.stderr.count(b"\n")) == (2, b"", 1)
    assert done.stderr.isascii()


@pytest.mark.parametrize(("columns", "widest"), [("20", 50), ("200", 80)])
def test_the_width_of_the_terminal(columns: str, widest: int) -> None:
    done = process("batch", PLUMS, "--working", COLUMNS=columns, NO_COLOR="1")
    assert max(len(line) for line in done.stdout.decode().splitlines()) <= widest
    assert b"\x1b" not in done.stdout


def test_interrupted_it_says_nothing() -> None:
    # it reads all of this and waits for more, so the signal finds it at work: the full pipe takes more only once it is being read
    with subprocess.Popen([*JAMCALC, "check", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # which a job in the background ignores
                          env={**os.environ, "PYTHONPATH": HOME}) as running:  # fmt: skip
        assert running.stdin is not None
        running.stdin.write(b"#" * recipefile.MOST_BYTES)
        running.stdin.flush()
        assert select.select([], [running.stdin], [], 300)[1]
        running.send_signal(signal.SIGINT)
        running.wait(timeout=300)  # before its input ends: an end that came first would be answered
        out, err = running.communicate()
    assert (running.returncode, out, err) == (130, b"", b"")


@pytest.mark.parametrize("sample", sorted(set(ELSEWHERE.values())))
def test_what_is_to_be_written_instead_works(run, sample: str) -> None:
    assert run(*shlex.split(sample.partition(" (")[0])[1:]).code == 0


def test_a_batch_kept_without_an_altitude_says_where_its_minutes_hold(run) -> None:
    """The lowest band's minutes alone would be read as those of any kitchen."""
    run("batch", PLUMS, "--keep")
    run("batch", PLUMS, "--keep", "--altitude", "4300 ft")
    low, known = run("book", "1").out, run("book", "2").out
    assert "10 minutes for a half-pint at 0-1,000 ft, more above that" in " ".join(low.split())
    assert "20 minutes for a half-pint" in known
    assert "1,000 ft" not in known


def test_who_asks_for_jars_is_told_where_the_list_to_buy_is(run) -> None:
    words = ("batch", "plums", "--want", "12 half-pints")
    assert "what to buy" in run(*words).out
    assert "To set out and buy" in run(*words, "--full").out
    assert "what to buy" not in run("batch", PLUMS).out


def test_one_of_a_thing_is_one(run) -> None:
    """Jars, batches and a scaled yield, wherever they are counted."""
    small = run("batch", "8 oz plums", "--keep", "--date", "2026-07-14").out
    assert "1 jar, expect 1 half-pint" in small
    assert "Season 2026: 1 batch, 0 jars" in run("book", "--season", "2026").out
    run("finish", "1", "--jars", "1 half-pint")
    assert "1 batch, 1 jar," in run("book", "--season", "2026").out
    assert "1 half-pint, the recipe's own yield" in run("scale", "strawberry-rhubarb", "--want", "1 half-pint", "--full").out
