"""Help pages on a narrow terminal: no word broken, nothing lost."""

from __future__ import annotations

import pytest

from jamcalc.cli.command_table import COMMANDS
from jamcalc.cli.main import OVERVIEW
from jamcalc.cli.options import HELP_WIDTH, narrowed

PAGES = {"": OVERVIEW, **{name: command.help_text() for name, command in COMMANDS.items()}}


def said(page: str) -> list[str]:
    return [word for word in page.split() if word != "\\"]  # a longer command ends more of its lines so


@pytest.mark.parametrize("columns", [50, 60, 70])
@pytest.mark.parametrize("name", PAGES)
def test_a_narrow_page_says_the_same_in_whole_words(name: str, columns: int) -> None:
    page = narrowed(PAGES[name], columns)
    assert max(map(len, page.splitlines())) <= columns
    assert said(page) == said(PAGES[name])
    assert page.endswith("\n")
    assert not page.endswith("\n\n")


@pytest.mark.parametrize("name", PAGES)
def test_every_entry_begins_a_line_still(name: str) -> None:
    """Two options on one line would hide the second."""
    begun = [line.split()[0] for line in PAGES[name].splitlines() if line.startswith("  -")]
    assert [line.split()[0] for line in narrowed(PAGES[name], 50).splitlines() if line.startswith("  -")] == begun
    commands = [line.split()[0] for line in OVERVIEW.splitlines() if line.startswith("  ") and line[2:3].isalpha()]
    assert [line.split()[0] for line in narrowed(OVERVIEW, 50).splitlines() if line.startswith("  ") and line[2:3].isalpha()] == commands


def test_a_line_that_goes_on_for_the_shell_keeps_its_end() -> None:
    lines = narrowed(OVERVIEW, 60).splitlines()
    assert [line for line in lines if line.rstrip().endswith("\\")]
    assert not [line for line in lines if "\\ " in line]


def test_a_page_fits_the_usual_terminal() -> None:
    assert all(len(line) <= HELP_WIDTH for page in PAGES.values() for line in page.splitlines())


@pytest.mark.parametrize("columns", [50, 60, 70, 79])
def test_the_example_can_be_copied_off_a_narrow_screen(columns: int) -> None:
    """Its first line ended without a backslash: pasted, it ran without its sweetener and its altitude."""
    rows = narrowed(OVERVIEW, columns).splitlines()
    example = rows[rows.index("") + 1 : rows.index("commands") - 1]
    assert all(row.endswith('" \\') for row in example[:-1])
    assert [row.count('"') % 2 for row in example] == [0] * len(example)
    assert said("\n".join(example)) == said(OVERVIEW[OVERVIEW.index("jamcalc batch") : OVERVIEW.index("commands")])
