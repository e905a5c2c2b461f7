"""README and DEVELOPERS say what is so: pictures, tables and examples are what comes out now.

Blocks between `<!-- NAME -->` and `<!-- end -->` are made here, pictures in pictures.py. After a change that is meant, write them anew:

    python tests/test_readme.py
"""

from __future__ import annotations

import ast
import contextlib
import io
import os
import re
import shlex
import sys
import tempfile
import tomllib
from collections.abc import Callable
from pathlib import Path
from unittest import mock
from xml.etree import ElementTree

import benchmark
import pictures
import pytest
from book_sample import finish, jars, papers, with_entries
from test_architecture import FLOW, INSIDE, PACKAGE, folder_of, outside, tree

import jamcalc
from jamcalc import facts
from jamcalc.cli.command_table import COMMANDS
from jamcalc.cli.main import main
from jamcalc.pasted import reader
from jamcalc.reading import recipefile, supplied

HERE = Path(__file__).parent
README = HERE.parent / "README.md"
DEVELOPERS = HERE.parent / "DEVELOPERS.md"
RECIPE = "recipe.toml"
TEXT = README.read_text(encoding="utf-8")


def command(mark: str) -> str:
    """The shell block after <!-- mark -->, found as .ci/run finds it."""
    found = re.search(rf"<!-- {mark} -->\s*```sh\n(.*?)```", TEXT, re.DOTALL)
    assert found, mark
    return found[1].strip()


def run(words: list[str]) -> tuple[int, str]:
    """One command in this process, in an empty folder and without a kitchen file: exit code and what it printed."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder), contextlib.redirect_stderr(io.StringIO()):
        printed = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
        own = {"JAMCALC_KITCHEN": str(Path(folder) / "kitchen.toml"), "JAMCALC_BOOK": str(Path(folder) / "book.sqlite")}
        with mock.patch.dict(os.environ, own), contextlib.redirect_stdout(printed):
            if words[0] in ("book", "finish") or "7" in words:
                _keep_seven()
            if RECIPE in words:
                Path(RECIPE).write_text(recipe_file(), encoding="utf-8")
            code = main(words)
        printed.flush()
        return code, printed.buffer.getvalue().decode("utf-8")  # type: ignore[attr-defined]


def recipe_file() -> str:
    """The recipe file that README shows whole."""
    (found,) = re.findall(r"^```toml\n(.*?)^```", TEXT, re.MULTILINE | re.DOTALL)
    return found


def _keep_seven() -> None:
    """Seven batches with jars in the book, for the examples that name one."""
    with jamcalc.Book() as book:
        for _ in range(7):
            book.keep(with_entries(finish(filled=jars(half_pint=6)), papers=papers()))


# ---------------------------------------------------------------- what README quotes


Row = tuple[str, float, float, float, float, float]  # name; stated low, high; worked out low, expected, high: in jars


def shipped_yields() -> list[Row]:
    """What the recipes that come with the program state, and what the balance makes of them; their variants left out."""
    printed = tomllib.loads((HERE / "printed_recipes.toml").read_text(encoding="utf-8"))["recipe"]
    variants = {each["name"] for each in printed if "variant_of" in each}
    rows = []
    for name in sorted(set(supplied.names()) - variants):
        stated = recipefile.read(name).stated_yield
        if stated is not None:
            made = jamcalc.check(name, draws=0).yield_
            assert made.jar == stated.jar, name
            each = facts.jar(stated.jar).fill_ml.typical / facts.jar("half-pint").fill_ml.typical
            counts = (stated.low, stated.high, made.jars.low, made.jars.expected, made.jars.high)
            rows.append((name, *(each * count for count in counts)))
    return rows


def printed_yields() -> list[Row]:
    """The same for the printed recipes of the tests."""
    rows = []
    for case in tomllib.loads((HERE / "published" / "yields.toml").read_text(encoding="utf-8"))["case"]:
        made = jamcalc.check(case["inputs"], draws=0).yield_.jars
        rows.append((case["id"], *case["expected"], made.low, made.expected, made.high))
    return rows


def agreement(rows: list[Row]) -> tuple[int, float]:
    """How many are within a jar of the stated range, and the mean difference from its middle [jars]."""
    within = sum(low - 1.0 <= ours <= high + 1.0 for _, low, high, _, ours, _ in rows)
    return within, sum(ours - (low + high) / 2.0 for _, low, high, _, ours, _ in rows) / len(rows)


def yields() -> str:
    """README's table of jars, stated and worked out, in half-pints: a pint is two."""
    lines = ["| recipe | stated | worked out (range), half-pints |", "|---|---|---|"]
    for name, low, high, least, ours, most in shipped_yields():
        stated = f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"
        lines.append(f"| {name} | {stated} | {ours:.1f} ({least:.1f} to {most:.1f}) |")
    for what, rows in (("these", shipped_yields()), ("the printed recipes in `tests/published/yields.toml`", printed_yields())):
        within, bias = agreement(rows)
        lines += ["", f"Of {what}, {within} of {len(rows)} are within a jar of the stated range; mean difference {bias:+.2f} jar."]
    return "\n".join(lines)


def layers() -> str:
    """DEVELOPERS' table of folders, in the order of the flow; a library in bold where a folder is its door."""
    lines = ["| folder | what it is | modules |", "|---|---|---|"]
    for place in FLOW:
        inside = [module for module in INSIDE if folder_of(module) == place]
        if not inside:
            continue
        purpose = " ".join((ast.get_docstring(tree(place)) or "").split("\n\n")[0].split())
        libraries = sorted({"pint", "scipy", "rich"} & {library for module in inside for library in outside(tree(module))})
        bold = f" (**{', '.join(libraries)}**)" if libraries else ""
        names = ", ".join(module.partition(".")[2] for module in inside if "." in module)
        lines.append(f"| `{place}`{'' if (PACKAGE / place).is_dir() else '.py'}{bold} | {purpose} | {names} |")
    return "\n".join(lines)


def items() -> str:
    """How many items are held."""
    edible = sum(len(facts.keys(kind)) for kind in ("fruit", "juice", "vegetable"))
    return f"Figures cover {edible} fruits, juices and vegetables and {len(facts.keys('sweetener'))} sweeteners, mostly from US tables."


BLOCKS: dict[str, tuple[Path, Callable[[], str]]] = {
    "yields": (README, yields),
    "layers": (DEVELOPERS, layers),
    "items": (README, items),
}


def between(name: str) -> re.Pattern[str]:
    """Where a block stands in its page."""
    return re.compile(rf"(?<=<!-- {name} -->\n).*?(?=\n<!-- end -->)", re.DOTALL)


# ---------------------------------------------------------------- the tests


@pytest.mark.parametrize("name", BLOCKS)
def test_block_is_what_comes_out_now(name: str) -> None:
    page, made = BLOCKS[name]
    found = between(name).findall(page.read_text(encoding="utf-8"))
    assert len(found) == 1
    assert found[0] == made(), "if the change is meant: python tests/test_readme.py"


def test_recipes_that_come_with_the_program_make_the_jars_they_state() -> None:
    rows = shipped_yields()
    within, bias = agreement(rows)
    print("\n" + yields())
    assert within >= 0.8 * len(rows)
    assert abs(bias) <= 0.4


def examples() -> list[list[str]]:
    """Every `jamcalc ...` in README that is an example: the words after the name."""
    return [shlex.split(line) for line in re.findall(r"^    jamcalc (.+)$", TEXT, re.MULTILINE)]


@pytest.mark.parametrize("words", examples(), ids=" ".join)
def test_example_runs(words: list[str]) -> None:
    assert run(words)[0] == 0


def test_every_command_has_an_example_that_is_run() -> None:
    missing = set(COMMANDS) - {words[0] for words in examples()}
    assert not missing, "show one in README, on a line of its own indented by four"


def test_the_recipe_in_plain_text_is_one() -> None:
    text = re.search(r"```text\n(.+?)```", TEXT, re.DOTALL)
    assert text
    recipe = reader.from_text(text[1])
    assert (len(recipe.lines), len(recipe.steps), recipe.process_min, recipe.boil_min, recipe.notes) == (5, 3, 10, 1, ())
    assert jamcalc.check(recipe).storage == "shelf"


def test_the_recipe_file_is_one() -> None:
    code, said = run(["check", RECIPE])
    assert code == 0
    assert said.startswith("Plum and blackberry spread")


@pytest.mark.parametrize("name", pictures.PICTURES)
def test_picture_is_what_comes_out_now(name: str) -> None:
    held = (pictures.FOLDER / name).read_bytes().decode("utf-8")
    assert held == pictures.PICTURES[name](), "if the change is meant: python tests/test_readme.py"
    assert f'src=".pictures/{name}"' in TEXT or f"(.pictures/{name})" in TEXT
    ElementTree.fromstring(held)  # or a browser shows nothing of it


@pytest.mark.parametrize("name", pictures.PICTURES)
def test_picture_takes_nothing_from_outside(name: str) -> None:
    held = (pictures.FOLDER / name).read_text(encoding="utf-8")
    assert set(re.findall(r"\b\w+:/+[^\"' ]+", held)) <= {pictures.SVG, pictures.XHTML}
    assert not re.search(r"url\(|@import|@font-face|<script|<image|\b(href|src)=", held)


def test_no_picture_is_idle() -> None:
    assert {each.name for each in pictures.FOLDER.iterdir()} == set(pictures.PICTURES)


def test_python_example_runs() -> None:
    found = re.findall(r"^```python\n(.*?)^```", TEXT, re.MULTILINE | re.DOTALL)
    assert len(found) == 1
    exec(found[0], {})


def test_speed_table_has_the_rows_of_the_benchmark() -> None:
    found = between("benchmark").findall(TEXT)
    assert len(found) == 1
    assert [line.split(" | ")[0].strip("| ") for line in found[0].splitlines()[2:]] == list(benchmark.ROWS)


def test_first_command_and_tests_stand_once_each() -> None:
    for mark in ("first run", "tests"):
        assert TEXT.count(f"<!-- {mark} -->") == 1
        assert "python3 -m venv .venv" in command(mark)
    assert command("tests").endswith(".venv/bin/python -m pytest")


def write_anew() -> None:
    """Put what comes out now into the pages and the pictures."""
    pictures.write_anew()
    for name, (page, made) in BLOCKS.items():
        block = made()
        page.write_text(between(name).sub(lambda _, block=block: block, page.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    write_anew()
