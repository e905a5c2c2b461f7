"""Where files go and come from at the command line: -o and --replace, pipes, homes that are not there, names as they are."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

import jamcalc
from jamcalc.cli import main
from jamcalc.reading import recipefile

PLUMS = "3 lb plums"
ROOT = Path(jamcalc.__file__).parent.parent
RECIPE = 'title = "Mine"\ningredients = ["3 lb plums", "1 cup honey"]\n'


class Said(NamedTuple):
    """What one command printed and its exit code."""

    code: int
    out: str
    err: str


Run = Callable[..., Said]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """A command in an empty folder, with a kitchen file of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))

    def one(*words: str) -> Said:
        code = main.main(words)
        return Said(code, *capsys.readouterr())

    return one


# ---------------------------------------------------------------- never over another

WRITERS = [
    ["batch", PLUMS, "-o", "a.toml"], ["batch", PLUMS, "-o", "a.json"], ["batch", PLUMS, "--json", "-o", "a.txt"],
    ["check", "raspberry-blueberry", "-o", "a.txt"], ["check", "raspberry-blueberry", "--output=a.json"],
    ["scale", "raspberry-blueberry", "--times", "2", "-o", "a.toml"], ["scale", "raspberry-blueberry", "-o", "a.txt", "--times", "2"],
    ["card", "raspberry-blueberry", "-o", "a.html"], ["card", "raspberry-blueberry", "--json", "-o", "a.json"],
    ["card", "raspberry-blueberry", "--kitchen-page", "-o", "a.html"], ["batch", "-o", "a.toml", "--", PLUMS],
]  # fmt: skip


@pytest.mark.parametrize("words", WRITERS, ids=" ".join)
def test_other_content_stays_and_the_line_gives_the_command(run: Run, tmp_path: Path, words: list[str]) -> None:
    name = next(word.removeprefix("--output=") for word in words if word.removeprefix("--output=").startswith("a."))
    place = tmp_path / name
    first = run(*words)
    assert first.code == 0
    made = place.read_bytes()
    again = run(*words)
    assert (again.code, again.out) == (0, first.out)
    assert f"{name} holds this already" in again.err
    place.write_text("my own words", encoding="utf-8")
    kept = run(*words)
    assert (kept.code, kept.out) == (1, first.out)
    assert place.read_text(encoding="utf-8") == "my own words"
    told = kept.err.splitlines()[-1]
    assert told.startswith(f"jamcalc: {name} is there with other content, and stays as it is; to write over it: jamcalc ")
    command = shlex.split(told.partition("to write over it: jamcalc ")[2])
    assert [word for word in command if word != "--replace"] == words
    over = run(*command)
    assert over.code == 0
    assert place.read_bytes() == made


@pytest.mark.parametrize("name", ["mine.toml", "./mine.toml", "sub/../mine.toml", "link.toml", "hard.toml", "sub/link.toml"])
@pytest.mark.parametrize("more", [[], ["--replace"]])
def test_never_onto_the_source(run: Run, tmp_path: Path, name: str, more: list[str]) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text(RECIPE, encoding="utf-8")
    (tmp_path / "sub").mkdir()
    (tmp_path / "link.toml").symlink_to("mine.toml")
    (tmp_path / "sub" / "link.toml").symlink_to(mine)
    (tmp_path / "hard.toml").hardlink_to(mine)
    for source, target in (("mine.toml", name), (name, "mine.toml")):
        said = run("scale", source, "--times", "2", "-o", target, *more)
        assert said.code == 1
        assert "Mine" in said.out
        assert said.err.splitlines()[-1] == f"jamcalc: {Path(target)} is a file that jamcalc reads here, and stays as it is: name another"
        assert mine.read_text(encoding="utf-8") == RECIPE


def test_never_onto_a_recipe_that_comes_with_the_program_and_is_read(run: Run) -> None:
    place = recipefile.place("raspberry-blueberry")
    before = place.read_bytes()
    said = run("scale", "raspberry-blueberry", "--times", "2", "--replace", "-o", str(place))
    assert (said.code, place.read_bytes()) == (1, before)


def test_never_onto_standard_input(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(RECIPE, encoding="utf-8")
    with (tmp_path / "mine.toml").open("rb") as source:
        done = jamcalc_process("scale", "-", "--times", "2", "--replace", "-o", "mine.toml", stdin=source, cwd=tmp_path)
    assert done.returncode == 1
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == RECIPE


@pytest.mark.parametrize("there", [True, False])
def test_never_onto_the_kitchen_file(run: Run, tmp_path: Path, there: bool) -> None:
    text = 'altitude = "4300 ft"\n'
    usual, cabin = tmp_path / "kitchen.toml", tmp_path / "cabin.toml"
    cabin.write_text(text, encoding="utf-8")
    if there:
        usual.write_text(text, encoding="utf-8")
    for target in ("kitchen.toml", "cabin.toml", str(usual)):
        said = run("batch", PLUMS, "--kitchen", "cabin.toml", "--replace", "-o", target)
        assert said.code == 1
        assert "name another" in said.err
        assert cabin.read_text(encoding="utf-8") == text
        assert (usual.read_text(encoding="utf-8") == text) if there else not usual.exists()


def test_a_write_protected_file_stays_with_replace_too(run: Run, tmp_path: Path) -> None:
    place = tmp_path / "a.toml"
    place.write_text("mine", encoding="utf-8")
    place.chmod(0o444)
    said = run("batch", PLUMS, "--replace", "-o", "a.toml")
    assert said.code == 1
    assert "SHELF" in said.out
    assert said.err.endswith("a.toml is write-protected, and stays as it is\n")
    assert place.read_text(encoding="utf-8") == "mine"


# ---------------------------------------------------------------- names


@pytest.mark.parametrize("name", ["a\tb.toml", "a\x1b[31m.toml", "a\u202e.toml", "a\nb.toml"])
def test_names_with_control_characters_are_refused_alike(run: Run, name: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for words in (["batch", PLUMS, "-o", name], ["batch", PLUMS, "--kitchen", name], ["kitchen", "lids=3", "--kitchen", name]):
        said = run(*words)
        assert said.code == 2
        assert said.out == ""
        assert said.err.count("\n") == 1
        assert "holds control characters" in said.err
        assert said.err.rstrip("\n").isprintable()
    monkeypatch.setenv("JAMCALC_KITCHEN", name)
    assert "JAMCALC_KITCHEN" in run("process").err
    assert list(tmp_path.iterdir()) == []


def test_a_name_is_echoed_as_it_is(run: Run, tmp_path: Path) -> None:
    name = "[mine] " + "long " * 20 + "\u00e9.toml"
    (tmp_path / name).write_text("title = 3", encoding="utf-8")
    assert f"jamcalc: {name}: title: 3 is not text" in run("check", name).err
    assert f"wrote {name[:-5]}.txt" in run("batch", PLUMS, "-o", f"{name[:-5]}.txt").err


LONG = "x" * 300


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["batch", PLUMS, "3 lb " + LONG], '"3 lb xxxxx'), (["batch", PLUMS, "--altitude", LONG], "--altitude"),
        (["batch", PLUMS, "--jar", LONG], "--jar"), (["batch", PLUMS, "--sweetener", LONG], "--sweetener"),
        (["batch", PLUMS, "--title", LONG], "--title"), (["batch", PLUMS, "--reading", f"plum pH {LONG}"], '"plum pH xxx'),
        (["card", "raspberry-blueberry", "--class", LONG], "--class"), (["card", "raspberry-blueberry", "--lot", LONG], "--lot"),
        (["facts", LONG], '"xxxxx'), (["scale", "raspberry-blueberry", "--want", LONG], "--want"),
    ],
)  # fmt: skip
def test_what_is_too_long_is_named(run: Run, words: list[str], named: str) -> None:
    said = run(*words)
    assert (said.code, said.out, said.err.count("\n")) == (2, "", 1)
    assert said.err.startswith(f"jamcalc: {named}")
    assert "too long" in said.err
    assert len(said.err) < 150


def test_of_many_problems_eight_are_told_and_the_rest_counted(run: Run, tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("".join(f"k{number} = 1\n" for number in range(30)), encoding="utf-8")
    lines = run("check", "mine.toml").err.splitlines()
    assert len(lines) == 9
    assert lines[-1] == "jamcalc: and 23 more"  # of 30 keys and no ingredients


def test_a_utf8_title_under_an_ascii_locale(tmp_path: Path) -> None:
    plain = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
    title = "Cr\u00e8me de prune"
    done = jamcalc_process("batch", PLUMS, "--title", title, "-o", "\u00e9.toml", cwd=tmp_path, **plain)
    assert (done.returncode, done.stdout.splitlines()[0][:14]) == (0, b"Creme de prune")
    assert f'title = "{title}"' in (tmp_path / "\u00e9.toml").read_text(encoding="utf-8")
    assert jamcalc_process("check", "\u00e9.toml", cwd=tmp_path, **plain).returncode == 0


# ---------------------------------------------------------------- no home


def test_without_a_home_the_calculation_goes_on(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("JAMCALC_KITCHEN", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(name, raising=False)
    for home in ("rel", "./rel"):
        monkeypatch.setenv("HOME", home)
        monkeypatch.setattr(os.path, "expanduser", lambda path, home=home: path.replace("~", home))
        for words in (["batch", PLUMS], ["check", "raspberry-blueberry"], ["process"], ["card", "raspberry-blueberry"]):
            said = run(*words)
            assert said.code == 0
            assert said.err.count("no home folder is known") == 1
        said = run("kitchen", "lids=3")
        assert (said.code, said.out, said.err.count("\n")) == (2, "", 1)
        assert run("kitchen", "lids=3", "--kitchen", "~/k.toml").code == 2
        assert list(tmp_path.iterdir()) == []
    assert run("kitchen", "lids=3", "--kitchen", "here.toml").code == 0


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can become a user that nobody knows")
def test_a_user_that_nobody_knows() -> None:
    environ = {name: text for name, text in os.environ.items() if name not in ("HOME", "JAMCALC_KITCHEN", "XDG_CONFIG_HOME")}
    modules = "from jamcalc.cli import commands, lookups, main\nfrom jamcalc.screens import answer_screen\n"  # while they may still be read
    program = f"import os, sys\nimport pint\nsys.path.insert(0, {str(ROOT)!r})\n{modules}main.main(['process'])\n"
    program += "sys.stdout.flush()\nos.setuid(54321)\nsys.exit(main.main(['process']))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, env=environ, timeout=300, check=False)
    assert (done.returncode, done.stderr.count("no home folder")) == (0, 1), done.stderr
    assert "no home folder is known" in done.stderr


# ---------------------------------------------------------------- pipes


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this platform has no pipes with names")
def test_what_nobody_may_ever_write_is_not_waited_for(run: Run, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "link.toml").symlink_to("pipe.toml")
    for name, called in (("pipe.toml", "pipe.toml"), ("link.toml", "link.toml"), ("/dev/zero", "zero")):
        for words in (["check", name], ["card", name], ["scale", name, "--times", "2"], ["compare", name, "apricot-plum"]):
            said = run(*words)
            assert (said.code, said.out) == (2, "")
            assert said.err == f"jamcalc: {called}: is not a file; to read what another command prints, write - instead\n"


@pytest.mark.skipif(not Path("/dev/fd").exists() or not Path("/bin/bash").exists(), reason="needs bash and its <( )")
def test_what_another_command_prints(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(RECIPE, encoding="utf-8")
    slowly = 'while read -r line; do sleep 0.02; echo "$line"; done < mine.toml'
    for command in ("check <(cat mine.toml)", "check <(sleep 0.3; cat mine.toml)", f"check <({slowly})", "scale <(cat mine.toml) --times 2",
                    "check - < mine.toml", "check /dev/stdin < mine.toml", "check /dev/stdin < <(cat mine.toml)"):  # fmt: skip
        done = subprocess.run(
            ["/bin/bash", "-c", f'"{sys.executable}" -m jamcalc {command}'], capture_output=True, text=True, cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT)}, timeout=300, check=False,
        )  # fmt: skip
        assert (done.returncode, done.stdout.split()[:1]) == (0, ["Mine"]), done.stderr


def jamcalc_process(*words: str, cwd: Path, stdin: object = None, **environ: str) -> subprocess.CompletedProcess[bytes]:
    """A command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "jamcalc", *words], capture_output=True, cwd=cwd, stdin=stdin, timeout=300, check=False,  # type: ignore[call-overload]
        env={**os.environ, "PYTHONPATH": str(ROOT), "JAMCALC_KITCHEN": "kitchen.toml", **environ},
    )  # fmt: skip
