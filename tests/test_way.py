"""DEVELOPERS leads where it says: the measured way of a line to the jar count, and the places that it names exist."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
import walk
from test_architecture import PACKAGE

PAGE = (Path(__file__).parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")


def block(name: str) -> str:
    return PAGE.partition(f"<!-- {name} -->")[2].partition("<!-- end -->")[0]


def test_the_way_to_the_jar_count_is_the_one_that_is_gone() -> None:
    entered = [f"{module}.{function}" for module, function in walk.walk()]
    steps = re.findall(r"`([a-z_/]+\.[a-z_]+)`", block("way"))
    assert entered == steps
    assert len(entered) < 30


PLACES = sorted(set(re.findall(r"`(\.?(?:[a-z_]+/)+(?:[a-z_]+(?:\.[A-Za-z_]+)?)?)`", PAGE)))
ANSWERS = {  # what somebody asks first, and a place that the page must name for it
    "the pot rule": "jars/canner.pots_needed",
    "the pH that decides": "formula/storage.decide",
    "where a card's blank is drawn": "prints/fair_page",
    "where `--want` is answered": "api/wanted.compared",
    "a pear's potassium and its source": "data/fruit/pear.toml",
    "where the book enters an answer": "answers/from_book.told",
    "a limit, such as 4.0 or 4.6": "data/limits.toml",
}


@pytest.mark.parametrize("asked", ANSWERS)
def test_what_is_asked_first_is_answered(asked: str) -> None:
    (answer,) = re.findall(rf"^- \*\*{re.escape(asked)}\*\*: (.*(?:\n  .*)*)$", PAGE, re.MULTILINE)
    assert f"`{ANSWERS[asked]}`" in answer


def names_in(module: Path) -> set[str]:
    """Whatever a module defines or binds."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    bound = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
    return bound | {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.ClassDef)}


@pytest.mark.parametrize("place", PLACES)
def test_a_place_that_is_named_exists(place: str) -> None:
    """A folder, a file, a module, or a name in a module; in the package or in the checkout."""
    for folder in (PACKAGE, PACKAGE.parent):
        path = folder / place
        if path.exists() or path.with_name(f"{path.name}.py").exists():
            return
        module, _, name = place.rpartition(".")
        if (folder / f"{module}.py").is_file():
            assert name in names_in(folder / f"{module}.py")
            return
    pytest.fail("no such place: where has it gone?")
