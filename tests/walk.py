"""The way of one line from the command to the jar count: which modules are entered, in which order, until the count stands.

    python tests/walk.py        # prints the way as DEVELOPERS has it

Measured with sys.setprofile on a second run, so that imports do not count.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import tempfile
from pathlib import Path
from types import CodeType, FrameType
from unittest import mock

import jamcalc
from jamcalc.cli.main import main

PACKAGE = Path(jamcalc.__file__).parent
WORDS = ["batch", "3 lb plums", "--json", "--no-book"]
LAST = ("formula/into_jars", "yield_of")  # whoever makes the jar count of the answer


def walk() -> list[tuple[str, str]]:
    """Each module entered and the first function there, in order, until the answer's jar count stands."""
    entered: dict[str, str] = {}
    end: list[CodeType] = []

    def look(frame: FrameType, event: str, _: object) -> None:
        code = frame.f_code
        path = Path(code.co_filename)
        if end or not path.is_relative_to(PACKAGE):
            return
        module = str(path.relative_to(PACKAGE).with_suffix("")).removesuffix("/__init__").replace(os.sep, "/")
        if event == "call" and code.co_name[0] != "<":
            entered.setdefault(module, code.co_name)
        elif event == "return" and (module, code.co_name) == LAST:
            end.append(code)

    with tempfile.TemporaryDirectory() as home, mock.patch.dict(os.environ, {"HOME": home, "XDG_CONFIG_HOME": home}):
        os.environ.pop("JAMCALC_KITCHEN", None)
        with contextlib.redirect_stdout(io.TextIOWrapper(io.BytesIO(), encoding="utf-8")):
            main(WORDS)
            sys.setprofile(look)
            try:
                main(WORDS)
            finally:
                sys.setprofile(None)
    assert end
    return list(entered.items())


if __name__ == "__main__":
    way = walk()
    for module, function in way:
        print(f"{module}.{function}")
    print(len(way))
