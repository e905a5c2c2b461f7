"""Text and TOML within bounds: whatever a file holds, an answer in bounded time and memory.

Time and memory are bounded in a child by limits of the system (setrlimit), far above what the work takes and far below what it
took before there were bounds: seconds of processor time, not of a clock, so that a slow or busy machine changes nothing.
"""

from __future__ import annotations

import contextlib
import os
import subprocess
import sys
import textwrap
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import jamcalc
from jamcalc.reading import textfile
from jamcalc.reading.textfile import Unreadable, statement_end, toml

CAP = 64_000

# Each is repeated up to the cap; the first is what took 14 s and 4 GB.
ENDLESS = {
    "dots": "a" + ".a" * 31_900 + " = 1",
    "dots with spaces": "a" + " . a" * 15_900 + " = 1",
    "dots of quoted words": '"a"' + '."a"' * 15_900 + " = 1",
    "dots in a header": "[a" + ".a" * 31_900 + "]",
    "dots in headers": ("[a" + ".b" * 150 + "]\n") * 200,
    "dots within": "k = {a" + ".a" * 31_900 + " = 1}",
    "lists": "a = " + "[" * 60_000,
    "lists in lines": "a=[[#\n" * 10_600,
    "tables": "a = " + "{b = " * 12_700,
    "lines": "a\n" * 31_900,
    "keys": "".join(f"k{number}=1\n" for number in range(7_000)),
    "keys of the source": "source = {" + ", ".join(f"k{number} = 1" for number in range(5_000)) + "}",
    "entries": "ingredients = [" + '"1 cup plumz",' * 4_500 + "]",
    "numbers": "boil_min = " + "9" * 60_000,
    "escapes": 'title = "' + "\\u0041" * 10_000 + '"',
    "quotes": '"""\\' * 15_900,
    "open text": "a = '''" + "''\n" * 300 + "'" * 60_000,
    "tables in a list": "[[a]]\n" * 10_600,
    "a text after four quotes": 'a = """b""""' + "[" * 60_000,
}

BOUNDED = """
    import resource, sys
    from pathlib import Path
    from jamcalc import errors
    from jamcalc.kitchen import home_file
    from jamcalc.reading import recipefile
    from jamcalc.words import units
    units.convert(1.0, "cup", "milliliter")  # pint and numpy are there before the limits
    held = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (held + 200_000_000,) * 2)
    for place in map(Path, sys.argv[1:]):
        used = int(resource.getrusage(resource.RUSAGE_SELF).ru_utime)
        resource.setrlimit(resource.RLIMIT_CPU, (used + 6, used + 6))
        try:
            recipefile.read(place)
        except errors.JamcalcError as error:
            assert "\\n" in str(error) or len(str(error)) < 300, place
        found, problems = home_file.read(place)
        assert problems, place
    print("all read")
"""


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="needs Linux's account of memory and its limits")
def test_any_file_up_to_the_cap_is_answered_within_bounds(tmp_path: Path) -> None:
    places = []
    for name, text in ENDLESS.items():
        assert 1_000 < len(text) <= CAP, name
        for ending, cut in (("toml", CAP), ("kitchen", 20_000)):
            places.append(tmp_path / f"{name}.{ending}")
            places[-1].write_text(text[:cut], encoding="utf-8")
    child = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(BOUNDED), *map(str, places)], capture_output=True, text=True, timeout=600, check=False,
        env={**os.environ, "PYTHONPATH": str(Path(jamcalc.__file__).parent.parent), "OPENBLAS_NUM_THREADS": "1"},
    )  # fmt: skip
    assert (child.returncode, child.stdout, child.stderr) == (0, "all read\n", "")


# ---------------------------------------------------------------- TOML that is within them is read as tomllib reads it

WORDS = st.text(max_size=12) | st.sampled_from(["a.b.c.d.e.f.g.h.i.j.k", "[[[[[[[[[[", "#", '"', "'", '"""', "'''", "\\", "=", "\n"])
KEYS = st.from_regex(r"[a-z]{1,3}(\.[a-z]{1,3}){0,2}", fullmatch=True)


def toml_string(text: str) -> st.SearchStrategy[str]:
    """The ways in which TOML writes a text."""
    plain = "".join(char if char.isprintable() and char not in '"\\' else f"\\U{ord(char):08X}" for char in text)
    ways = [f'"{plain}"', f'"""{plain}"""', f'"""\n{plain}"""']
    if text.isprintable() and "'" not in text:
        ways += [f"'{text}'", f"'''{text}'''"]
    return st.sampled_from(ways)


SURE = st.characters(exclude_categories=["Cs"])
STRINGS = st.text(SURE, max_size=12).flatmap(toml_string) | WORDS.filter(lambda text: "\ud800" not in text).flatmap(toml_string)
SINGLE = STRINGS | st.integers(-99, 99).map(str) | st.sampled_from(["true", "1.5", "1979-05-27T07:32:00.999", "07:32:00", "inf"])
VALUES = st.recursive(
    SINGLE, lambda inner: st.lists(inner, max_size=3).map(lambda parts: "[" + ", # a ] comment\n".join(parts) + "\n]"), max_leaves=6
)
DOCUMENTS = st.lists(st.tuples(KEYS, VALUES).map(" = ".join), max_size=6).map(lambda lines: "\n# [a] comment = '\n".join(lines) + "\n")


@given(DOCUMENTS, st.integers(0, 400), st.booleans())
@example('a = """b"""""\nc = 1\n', 0, False)
def test_within_the_bounds_toml_is_what_the_library_reads(text: str, at: int, torn: bool) -> None:
    text = text[:at] if torn else text
    assert outcome(toml, text) == outcome(tomllib.loads, text)


def outcome(read: Any, text: str) -> Any:
    try:
        return repr(read(text))
    except ValueError as error:
        return str(error).removeprefix("not TOML: ")


@given(st.lists(st.tuples(KEYS, VALUES).map(" = ".join), min_size=1, max_size=4))
def test_each_statement_ends_where_the_library_is_content(statements: list[str]) -> None:
    lines = "\n".join(statements).split("\n")
    first = 0
    for statement in statements:
        after = statement_end(lines, first, 1_000)
        assert after is not None
        assert "\n".join(lines[first:after]) == statement
        with contextlib.suppress(tomllib.TOMLDecodeError):  # a key twice, or below a value
            toml(statement)
        first = after
    assert first == len(lines)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("\n" * 1_001, "more than 1000 lines"), ("a" + ".a" * 9 + " = 1", "nested too deeply"), ("a = " + "[" * 9, "nested too deeply"),
        ("a = 1\na = 2", "not TOML: Cannot overwrite"), ("a = " + "9" * 5_000, "not TOML: "),
    ],
)  # fmt: skip
def test_what_is_beyond_is_said(text: str, said: str) -> None:
    with pytest.raises(Unreadable, match=said):
        toml(text)
    assert textfile.MOST_LINES == 1_000
