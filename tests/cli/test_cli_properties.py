"""Whatever is typed: an answer or one clear line, never a traceback. Argument lists put together from good and bad pieces."""

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


def may_have_several_lines(typed: list[str]) -> bool:
    """A kitchen changed for the worse, a recipe on standard input, and several ingredients have a line for each problem."""
    return typed[0] in ("kitchen", "batch", "check") or any(word.startswith("--kitchen") for word in typed) or "-" in typed


SUPPRESSED = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@settings(max_examples=150, derandomize=True, deadline=None, suppress_health_check=SUPPRESSED)
@given(st.one_of(likely(), unlikely()))
@example(["batch", "3 lb plums", "--altitude", "10001 ft"])  # understood, and not to be made as asked
@example(["check", "3 lb plums", "half a cup", "2 lb plumz"])  # a line for each problem
def test_an_answer_or_one_line(typed: list[str]) -> None:
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
        assert complaint.startswith("jamcalc: ")
        assert complaint.endswith("\n")
        assert complaint.count("\n") == 1 or may_have_several_lines(typed)
        assert all(line.isprintable() for line in complaint.splitlines())
    elif "--json" in typed and "--help" not in typed and "help" not in typed and "--" not in typed:
        assert isinstance(json.loads(said), (dict, list))
    if code == 1:
        assert complaint.startswith("jamcalc: ")
