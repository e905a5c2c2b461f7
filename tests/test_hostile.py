"""The harness of hostile.py: a few of each kind find nothing, and faults that are planted are found."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("resource", reason="no resource limits here")
if not hasattr(os, "fork"):
    pytest.skip("no fork here", allow_module_level=True)

from hostile import Bounds, Seen, problems
from hostile_cases import Case

TESTS = Path(__file__).parent
BATCH = Case(words=["batch", "3 lb plums"])
JSON = Case(words=["batch", "3 lb plums", "--json"])
GENEROUS = Bounds(seconds=60.0)  # a slow machine is no fault


def run(*words: str) -> subprocess.CompletedProcess[str]:
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join((str(TESTS), str(TESTS.parent)))}
    return subprocess.run([sys.executable, *words], capture_output=True, text=True, cwd=TESTS, env=surroundings, timeout=600, check=False)


def test_a_few_of_each_find_nothing() -> None:
    few = {"lines": 120, "batches": 60, "files": 60, "real": 3, "signals": 3, "kills": 3, "seconds": 60}
    done = run("hostile.py", *(f"--{what}={count}" for what, count in few.items()))
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    for count in ("120 lines", "60 batches", "60 files", "3 real processes", "3 signals"):
        assert f"{count}: exit codes " in done.stdout
    assert done.stdout.endswith("nothing wrong\n")
    assert "20 of 20 racing writes" in done.stdout
    batches = re.search(r"60 batches: exit codes (\d+) x 0", done.stdout)
    assert batches is not None
    assert int(batches[1]) > 30, "most batches are to be worked out, or little is tried"


PH = {"low": 3.0, "typical": 3.2, "high": 3.5}
ANSWER = {"storage": "cold", "process": None, "standing": "calculated", "findings": [], "acidity": {"ph": PH}, "water_activity": 0.98,
          "yield": {"jars": {"expected": 4.1, "heat": 5}}, "solids_percent": {"low": 20, "high": 25}, "grams": 3}  # fmt: skip


def answer(**other: object) -> str:
    return json.dumps(ANSWER | other)


def test_what_is_as_it_should_be_is_not_found_fault_with() -> None:
    assert problems(BATCH, Seen(code=0, out="Plum spread\nNone of your jars will do\n"), GENEROUS) == []
    assert problems(BATCH, Seen(code=2, err="jamcalc: no such thing\n"), GENEROUS) == []
    assert problems(JSON, Seen(code=0, out=answer()), GENEROUS) == []


@pytest.mark.parametrize(
    ("case", "seen", "word"),
    [
        (BATCH, Seen(code=0, err="Traceback (most recent call last):"), "traceback"),
        (BATCH, Seen(error="ValueError at x.py:1"), "ValueError"),
        (BATCH, Seen(code=70, err="jamcalc: a fault of the program"), "exit code 70"),
        (BATCH, Seen(code=0, seconds=61.0), "61.0 s"),
        (BATCH, Seen(code=0, megabytes=301.0), "301 MB"),
        (BATCH, Seen(code=0, out="\x1b[31m"), "control character"),
        (BATCH, Seen(code=2, out="half an answer", err="jamcalc: no\n"), "an answer beside"),
        (BATCH, Seen(code=2), "no reason"),
        (BATCH, Seen(code=1, err="jamcalc: no\nand no\n"), "line of its own"),
        (BATCH, Seen(code=0, out="pH about nan"), "a number that is none"),
        (BATCH, Seen(code=0, files={"out.json": b'{"pH": NaN}'}), "NaN in JSON"),
        (BATCH, Seen(code=0, files={"out.html": b"<b><SCRIPT>"}), "a script"),
        (JSON, Seen(code=0, out="Plum spread"), "JSON"),
        (JSON, Seen(code=0, out=answer(grams=-0.1)), ".grams: -0.1"),
        (JSON, Seen(code=0, out=answer(acidity={"ph": PH | {"typical": 2.9}})), "no range"),
        (JSON, Seen(code=0, out=answer(acidity={"ph": PH | {"high": 14.5}})), "pH"),
        (JSON, Seen(code=0, out=answer(**{"yield": {"jars": {"expected": 0.0, "heat": 1}}})), "jars"),
        (JSON, Seen(code=0, out=answer(solids_percent={"low": 20, "high": 100.5})), "solids"),
        (JSON, Seen(code=0, out=answer(storage="shelf")), "without minutes"),
        (JSON, Seen(code=0, out=answer(storage="shelf", acidity={"ph": PH | {"high": 4.1}})), "on the shelf"),
        (JSON, Seen(code=0, out=answer(title=" ")), "empty"),
    ],
)
def test_a_planted_fault_is_found(case: Case, seen: Seen, word: str) -> None:
    assert word in "; ".join(problems(case, seen, GENEROUS))


PLANTED = """
import os
from hostile import Bounds, reports
from hostile_cases import Case

def main(words):
    if words[0] == "dies":
        os._exit(7)
    if words[0] == "raises":
        raise KeyError("x")
    if words[0] == "eats":
        bytearray(400 << 20)
    while words[0] == "hangs":
        pass
    return 0

words = ("good", "dies", "raises", "good", "eats", "hangs", "good")
for case, report in reports([Case(words=[word]) for word in words], Bounds(seconds=0.2), main):
    print(case.words[0], report.code, report.found)
"""


def test_a_child_that_dies_or_hangs_costs_one_case() -> None:
    done = run("-c", PLANTED)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert [line.split()[0] for line in lines] == ["good", "dies", "raises", "good", "eats", "hangs", "good"]
    assert lines[0] == lines[3] == lines[6] == "good 0 []"
    assert "exit code 7" in lines[1]
    assert "KeyError" in lines[2]
    assert "MB" in lines[4]
    assert "SIGPROF" in lines[5]
