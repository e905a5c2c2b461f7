"""Help, version and a bare import must not wait for the slow libraries: what is loaded is checked, not the time."""

from __future__ import annotations

import subprocess
import sys

import pytest

SLOW = ("pint", "numpy", "scipy", "rich")
REPORT = f"print('LOADED', *[name for name in {SLOW!r} if name in sys.modules], file=sys.stderr)"


def loaded(code: str) -> tuple[list[str], str]:
    """Which of the slow libraries a fresh Python has loaded after some code, and what that code printed."""
    done = subprocess.run([sys.executable, "-c", f"import sys\n{code}\n{REPORT}"], capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return done.stderr.split("LOADED", 1)[1].split(), done.stdout


HELP = ["--help", "--version", "batch --help", "check --help", "scale --help", "process --help", "facts --help"]


@pytest.mark.parametrize("words", [text.split() for text in HELP], ids=HELP)
def test_help_loads_nothing_slow(words: list[str]) -> None:
    libraries, printed = loaded(f"from jamcalc.cli.main import main\nassert main({words!r}) == 0")
    assert libraries == []
    assert "jamcalc" in printed


LOOKED_UP = [
    "kitchen",
    "process",
    "process --altitude 6200ft --jar pint",
    "recipes",
    "facts",
    "facts plum",
    "process --json",
    "recipes --json",
]


@pytest.mark.parametrize("words", [text.split() for text in LOOKED_UP], ids=LOOKED_UP)
def test_what_is_looked_up_waits_for_no_chemistry(words: list[str]) -> None:
    libraries, printed = loaded(f"from jamcalc.cli.main import main\nassert main({words!r}) == 0\nassert 'jamcalc.api' not in sys.modules")
    assert not {"pint", "numpy", "scipy"} & set(libraries)
    assert ("rich" in libraries) == ("--json" not in words and words != ["kitchen"])
    assert printed


IDLE = {  # what a look-up has no use for, and would wait for
    "recipes": ("jamcalc.facts", "jamcalc.nouns.known", "jamcalc.nouns.asked", "jamcalc.reading.lines"),
    "facts": ("jamcalc.answers", "jamcalc.nouns.asked", "jamcalc.reading.lines"),
    "process": ("jamcalc.answers", "jamcalc.nouns.asked", "jamcalc.reading.lines", "json"),
    "kitchen": ("jamcalc.answers", "jamcalc.nouns.asked", "jamcalc.reading.lines"),
}


@pytest.mark.parametrize("word", IDLE)
def test_a_look_up_loads_no_more_than_it_shows(word: str) -> None:
    idle = f"idle = set({IDLE[word]!r}) & set(sys.modules)\nassert not idle, f'imported at the top, and not by what needs it: {{idle}}'"
    _, printed = loaded(f"from jamcalc.cli.main import main\nassert main([{word!r}]) == 0\n{idle}")
    assert printed


def test_a_plain_batch_is_answered_without_scipy() -> None:
    """A third of a second, for searches that a jam does not need; the bare name is loaded by pint, which looks whether it is there."""
    words = ["batch", "3 lb plums", "1 lb pears", "--sweetener", "honey", "--no-book"]
    _, printed = loaded(f"from jamcalc.cli.main import main\nassert main({words!r}) == 0\nassert 'scipy.optimize' not in sys.modules")
    assert "bottled lemon juice" in printed


def test_a_bare_import_loads_nothing_slow() -> None:
    libraries, printed = loaded(
        "import jamcalc\nprint(jamcalc.__version__, 'jamcalc.facts' in sys.modules)".replace("import jamcalc", "import jamcalc, sys")
    )
    assert libraries == []
    assert printed.split() == ["0.4.0", "False"]


def test_the_report_sees_what_is_loaded() -> None:
    libraries, _ = loaded("import jamcalc\njamcalc.batch(['1 kg plums'], draws=0)")
    assert {"pint", "numpy"} <= set(libraries)
    assert "rich" not in libraries  # an answer from Python needs no screen


def test_a_name_that_the_package_does_not_have() -> None:
    import jamcalc

    with pytest.raises(AttributeError, match="no attribute 'brew'"):
        jamcalc.brew  # noqa: B018
    assert {"acidity", "batch", "check", "scale"} <= set(jamcalc.__all__)
    assert all(callable(getattr(jamcalc, name)) for name in ("batch", "check", "scale"))
