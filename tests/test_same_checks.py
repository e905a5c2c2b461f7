"""A desk, a commit and CI run the same checks: the hooks name the commands of .ci/run, word for word."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_the_hooks_are_the_checks_of_ci() -> None:
    hooks = re.findall(r"^ +entry: (.+)$", (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8"), re.MULTILINE)
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    checks = [line for line in ci if line.startswith((".venv/bin/ruff", ".venv/bin/mypy"))]
    assert hooks == checks
    assert len(checks) == 3


def test_an_editor_breaks_lines_where_ruff_does() -> None:
    ruff = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["ruff"]
    assert f"max_line_length = {ruff['line-length']}" in (ROOT / ".editorconfig").read_text(encoding="utf-8")
