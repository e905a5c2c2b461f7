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


PLACES = re.findall(r"`((?:[a-z]+/)?[a-z_]+\.[a-z_]+)`", PAGE.partition("## Where is it?")[2].partition("## Folders")[0])


def test_places_are_named() -> None:
    assert {"jars/canner.pots_needed", "formula/storage.decide", "api/wanted.compared"} <= set(PLACES)


@pytest.mark.parametrize("place", [place for place in PLACES if "/" in place])
def test_a_place_that_is_named_exists(place: str) -> None:
    module, _, name = place.rpartition(".")
    if name in ("toml", "md"):
        assert (PACKAGE / place).is_file()
        return
    tree = ast.parse((PACKAGE / f"{module}.py").read_text(encoding="utf-8"))
    assert name in [node.name for node in tree.body if isinstance(node, ast.FunctionDef)]
