"""A person's own two files: what is said where the kitchen file cannot be looked at."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from jamcalc.kitchen import own_files
from jamcalc.kitchen.household import Kitchen


def test_a_kitchen_file_that_cannot_be_looked_at_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its altitude would be missed in silence otherwise, and minutes with it."""

    def barred(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setattr(Path, "lstat", barred)
    monkeypatch.setattr(Path, "stat", barred)
    assert own_files.kitchen(SimpleNamespace(kitchen=None)) == Kitchen()
    assert "cannot be opened" in capsys.readouterr().err


def test_no_kitchen_file_is_an_empty_kitchen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    for missing in (tmp_path / "kitchen.toml", tmp_path / "no folder" / "kitchen.toml"):
        monkeypatch.setenv("JAMCALC_KITCHEN", str(missing))
        assert own_files.kitchen(SimpleNamespace(kitchen=None)) == Kitchen()
    assert capsys.readouterr().err == ""
