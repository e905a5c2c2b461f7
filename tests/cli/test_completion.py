"""What the Tab key offers, asked of bash itself: Bash Reference Manual, "Programmable Completion"."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from jamcalc.cli.command_table import COMMANDS
from jamcalc.cli.main import main


def offered(script: str, *typed: str) -> set[str]:
    """What bash has to offer for the last of the words typed."""
    asked = (
        f'{script}\nCOMP_WORDS=(jamcalc {" ".join(typed)} "")\nCOMP_CWORD={len(typed) + 1}\n_jamcalc\nprintf "%s\\n" "${{COMPREPLY[@]}}"'
    )
    done = subprocess.run(["bash", "--norc", "-c", asked], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.fixture
def script(capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["--completion", "bash"]) == 0
    return capsys.readouterr().out


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash to ask")
def test_bash_offers_commands_options_and_values(script: str) -> None:
    assert offered(script) >= set(COMMANDS)
    for name, command in COMMANDS.items():
        assert offered(script, name) == {*(option.name for option in command.options), "--help"}
    assert offered(script, "batch", "--set") == {"soft", "medium", "firm"}


def test_zsh_takes_the_same_script(script: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--completion", "zsh"]) == 0
    said = capsys.readouterr().out
    assert said.replace("zsh", "bash").replace("autoload -U +X bashcompinit && bashcompinit\n", "") == script


@pytest.mark.parametrize("words", [[], ["fish"], ["bash", "zsh"], ["$(rm)"]])
def test_any_other_shell_is_one_line(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--completion", *words]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert "bash or zsh" in said.err
