"""A line opens the data files that it needs, and no others: traced, not timed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

TRACE = """
import json, sys
opened = set()
def seen(event, args):
    if event == "open" and isinstance(args[0], str) and "/jamcalc/data/" in args[0].replace("\\\\", "/"):
        opened.add(args[0].replace("\\\\", "/").partition("/jamcalc/data/")[2])
sys.addaudithook(seen)
import jamcalc
try:
    jamcalc.batch(sys.argv[1:])
except jamcalc.JamcalcError:
    pass
print(json.dumps([sorted(opened), sorted(name for name in sys.modules if name.startswith("jamcalc."))]))
"""
# What every answer rests on, whatever the fruit: the rule, the chemistry, jars and times, and the acids that a dose may be measured in.
ALWAYS = {
    *(
        "acids",
        "cautions",
        "density",
        "filling",
        "items",
        "jars",
        "kitchen",
        "limits",
        "process",
        "setting",
        "solutes",
        "sources",
        "sweetness",
    ),
    *("acidulant/bottled_lemon_juice", "acidulant/bottled_lime_juice", "acidulant/citric_acid"),
}


def traced(tmp_path: Path, *lines: str) -> tuple[set[str], set[str]]:
    """The data files that a batch opens, and the modules that it loads."""
    nowhere = {**os.environ, "JAMCALC_KITCHEN": str(tmp_path / "none.toml"), "JAMCALC_BOOK": str(tmp_path / "none.db")}
    done = subprocess.run([sys.executable, "-c", TRACE, *lines], capture_output=True, text=True, check=True, env=nowhere)
    opened, modules = json.loads(done.stdout)
    return {name.removesuffix(".toml") for name in opened if name != "units.txt"}, set(modules)


def test_a_plain_line_opens_its_fruit_and_no_names_or_containers(tmp_path: Path) -> None:
    opened, modules = traced(tmp_path, "3 lb plums")
    assert opened - ALWAYS == {"fruit/plum"}
    idle = {"jamcalc.words.wording", "jamcalc.reading.counts", "jamcalc.facts.preserved"}
    assert not modules & idle


@pytest.mark.parametrize(
    ("line", "more"),
    [
        ("3 lb peaches", {"fruit/peach", "read_as"}),
        ("6 large apples", {"fruit/apple", "counts", "read_as"}),
        ("2 lb aronia", {"fruit/aronia"}),
        ("2 lb honeycrisp apples", {"fruit/apple", "read_as", "names"}),
    ],
)
def test_what_else_a_line_opens(tmp_path: Path, line: str, more: set[str]) -> None:
    assert traced(tmp_path, line)[0] - ALWAYS <= more
