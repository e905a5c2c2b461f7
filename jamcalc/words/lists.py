"""Names in a row, as a sentence has them. Imports nothing: --help needs it too."""

from __future__ import annotations

from collections.abc import Sequence


def either(names: Sequence[str]) -> str:
    """Names in words: "soft, medium or firm"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
