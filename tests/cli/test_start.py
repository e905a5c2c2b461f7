"""Help, version and a bare import must not wait for the slow libraries: what is loaded is checked, not the time."""

from __future__ import annotations

import subprocess
import sys

import pytest

SLOW = ("pint", "numpy", "scipy", "rich")
REPORT = f"import sys; print('LOADED', *[name for name in {SLOW!r} if name in sys.modules], file=sys.stderr)"


def loaded(code: str) -> tuple[list[str], str]:
    """Which of the slow libraries a fresh Python has loaded after some code, and what that code printed."""
    done = subprocess.run([sys.executable, "-c", f"{code}\n{REPORT}"], capture_output=True, text=True, timeout=300, check=True)
    return done.stderr.split("LOADED", 1)[1].split(), done.stdout


HELP = ["--help", "--version", "batch --help", "check --help", "scale --help", "process --help", "facts --help"]


@pytest.mark.parametrize("words", [text.split() for text in HELP], ids=HELP)
def test_help_loads_nothing_slow(words: list[str]) -> None:
    libraries, printed = loaded(f"from jamcalc.cli.main import main\nassert main({words!r}) == 0")
    assert libraries == []
    assert "jamcalc" in printed


def test_a_bare_import_loads_nothing_slow() -> None:
    libraries, printed = loaded(
        "import jamcalc\nprint(jamcalc.__version__, 'jamcalc.facts' in sys.modules)".replace("import jamcalc", "import jamcalc, sys")
    )
    assert libraries == []
    assert printed.split() == ["0.2.0", "False"]


def test_the_report_sees_what_is_loaded() -> None:
    libraries, _ = loaded("import jamcalc\njamcalc.batch(['1 kg plums'], draws=0)")
    assert "scipy" in libraries
    assert "rich" not in libraries  # an answer from Python needs no screen


def test_a_name_that_the_package_does_not_have() -> None:
    import jamcalc

    with pytest.raises(AttributeError, match="no attribute 'brew'"):
        jamcalc.brew  # noqa: B018
    assert {"acidity", "batch", "check", "scale"} <= set(jamcalc.__all__)
    assert all(callable(getattr(jamcalc, name)) for name in ("batch", "check", "scale"))
