"""The kitchen file against a dictionary: set, unset, two writers at once, killed writers, lines spoiled by hand, in any order."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from pathlib import Path

import pytest
from faults_kills import finished, kill_at
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from jamcalc.kitchen import home_file, household
from jamcalc.kitchen.household import Kitchen

VALUES: dict[str, list[str | list[str]]] = {
    "altitude": ["4300 ft", "1300 m"], "lids": ["24", "12"], "jars": ["5 pints", ["11 half-pints", "5 pints"]],
    "pectin": ["30 g", "0.5 oz"],
    "units": ["us", "metric"],
}  # fmt: skip
CHANGES = st.sampled_from([(key, value) for key, values in VALUES.items() for value in (*values, "")])
SPOILED = ["altitud = 4300 ft", "jam = [", "lid.count = 3", '= "nothing"', "a" + ".a" * 50 + " = 1", "\x00", '"""']


class KitchenFile(RuleBasedStateMachine):
    """`settings` is what the file should say, `lines` what was written into it by hand, good and bad."""

    @initialize()
    def begin(self) -> None:
        """An empty folder."""
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "kitchen.toml"
        self.settings: dict[str, str | list[str]] = {}
        self.lines: list[str] = []
        self.was_killed = False

    def teardown(self) -> None:
        shutil.rmtree(getattr(self, "folder", "no folder"), ignore_errors=True)

    def expected(self, *changes: tuple[str, str | list[str]]) -> Kitchen:
        """The kitchen after changes."""
        fields, problems = household.fields({key: value for key, value in {**self.settings, **dict(changes)}.items() if value})
        assert problems == []
        return Kitchen(**fields)

    @rule(change=CHANGES)
    def change(self, change: tuple[str, str | list[str]]) -> None:
        """Set or unset one setting."""
        assert home_file.change(self.path, dict([change])) == self.expected(change)
        self.settings.update([change])
        self.was_killed = self.was_killed and not change[1]  # where there was nothing to take out, nothing was written

    @rule(change=CHANGES, step=st.integers(0, 60))
    def killed(self, change: tuple[str, str | list[str]], step: int) -> None:
        """A writer killed at a step: what it wrote is there, or it is not."""
        child = self.start(change, step)
        assert finished(child) in (0, -signal.SIGKILL)
        found = home_file.read(self.path)[0]
        if found == self.expected(change):
            self.settings.update([change])
        self.was_killed = True

    @rule(first=CHANGES, second=CHANGES)
    def at_once(self, first: tuple[str, str | list[str]], second: tuple[str, str | list[str]]) -> None:
        """Two writers at once: both have their turn."""
        children = [self.start(change) for change in (first, second)]
        assert [finished(child) for child in children] == [0, 0]
        last = first if home_file.read(self.path)[0] == self.expected(second, first) else second
        self.settings.update([first, second, last])

    @rule(line=st.sampled_from(SPOILED))
    def spoil(self, line: str) -> None:
        """Somebody writes a line that is no setting at the top of it."""
        if len(self.lines) < 5:
            self.lines.insert(0, line)
            old = self.path.read_text(encoding="utf-8") if self.path.exists() else ""
            self.path.write_text(f"{line}\n{old}", encoding="utf-8")

    @invariant()
    def it_says_what_was_set(self) -> None:
        """Every setting holds, every spoiled line is named and stands where it stood, and nothing is left beside the file."""
        if not hasattr(self, "path"):
            return
        found, problems = home_file.read(self.path)
        assert found == self.expected()
        assert len(problems) == len(self.lines)
        if self.lines:
            assert self.path.read_text(encoding="utf-8").split("\n")[: len(self.lines)] == self.lines
        assert self.was_killed or {entry.name for entry in self.folder.iterdir()} <= {"kitchen.toml"}

    def start(self, change: tuple[str, str | list[str]], step: int | None = None) -> int:
        """A process that makes a change, and is killed at a step."""
        child = os.fork()
        if not child:
            if step is not None:
                kill_at(step)
            try:
                home_file.change(self.path, dict([change]))
                os._exit(0)
            except BaseException:
                os._exit(1)
        return child


@pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning")  # numpy's idle threads hold no lock of ours
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
class TestKitchenFile(KitchenFile.TestCase):  # type: ignore[misc, name-defined]
    """Run by pytest."""

    settings = settings(max_examples=20, stateful_step_count=25, deadline=None, derandomize=True)
