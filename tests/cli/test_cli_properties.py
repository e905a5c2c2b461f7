"""Whatever is typed: an answer or a clear line for each problem, never a traceback. Argument lists from good and bad pieces."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from pathlib import Path

import pytest
from command_lines import BAD_LINES, BAD_OPTIONS, LIKELY, LINES, OPTIONS, VALUES
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from jamcalc.cli import main
from jamcalc.cli.command_table import COMMANDS

pieces = st.one_of(
    st.sampled_from(LINES),
    st.sampled_from(BAD_LINES),
    st.sampled_from(VALUES),
    st.sampled_from(OPTIONS),
    st.tuples(st.sampled_from(OPTIONS), st.sampled_from(VALUES)).map("=".join),
    st.sampled_from(BAD_OPTIONS),
    st.text(max_size=20),
)


@st.composite
def likely(draw: st.DrawFn) -> list[str]:
    """What somebody might mean: the words and options of one command, values that are often right."""
    command = draw(st.sampled_from([*COMMANDS.values()]))
    words = draw(st.lists(st.sampled_from(LIKELY.get(command.words, [""])), min_size=command.least, max_size=command.most or command.least))
    for option in draw(st.lists(st.sampled_from(command.options), max_size=3, unique=True)):
        values = [option.example.strip('"'), *option.allowed] if draw(st.integers(0, 4)) else VALUES
        words.append(f"{option.name}={draw(st.sampled_from(values))}" if option.value else option.name)
    return [command.name, *draw(st.permutations(words))]


@st.composite
def unlikely(draw: st.DrawFn) -> list[str]:
    """Pieces of everything in any order."""
    return [draw(st.sampled_from([*COMMANDS, "frob", "", "--json", "help", "BATCH"])), *draw(st.lists(pieces, max_size=5))]


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))


SUPPRESSED = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@settings(max_examples=600, derandomize=True, deadline=None, suppress_health_check=SUPPRESSED)
@given(st.one_of(likely(), unlikely()))
@example(["batch", "3 lb plums", "--altitude", "10001 ft"])  # understood, and not to be made as asked
@example(["check", "3 lb plums", "half a cup", "2 lb plumz"])  # a line for each problem
@example(["finish", "", "--found=honey"])
@example(["book", "\x1b[31m", "--backup", "copy.sqlite"])
def test_an_answer_or_a_line_for_each_problem(typed: list[str]) -> None:
    out, err = io.StringIO(), io.StringIO()
    before = sys.stdin
    sys.stdin = io.TextIOWrapper(io.BytesIO(b'ingredients = ["3 lb plums"]\n'))
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main.main(typed)
    finally:
        sys.stdin = before
    said, complaint = out.getvalue(), err.getvalue()
    assert code in (0, 1, 2)
    for text in (said, complaint):
        assert not any(character in text for character in "\x1b\x00\x07\r") or text.isspace()
    if code == 2:
        assert said == ""
        assert complaint.endswith("\n")
        assert complaint.count("\n") == len(set(complaint.splitlines()))  # each problem is told once
        assert all(line.startswith("jamcalc: ") and line.isprintable() for line in complaint.splitlines())
    elif "--json" in typed and "--help" not in typed and "help" not in typed and "--" not in typed:
        assert isinstance(json.loads(said), (dict, list))
    if code == 1:
        assert complaint.startswith("jamcalc: ")
