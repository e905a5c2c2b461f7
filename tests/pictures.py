"""README's pictures, made by the program's own screens and prints: the same bytes on every machine, with no outside font or file.

    python tests/pictures.py

A screen is set as text in columns; a print is its own HTML inside an SVG. Reads README for the commands; called by test_readme too.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import os
import re
import shlex
import tempfile
from collections.abc import Callable
from html import escape
from pathlib import Path
from unittest import mock

import teaching_picture
from rich.cells import cell_len
from rich.text import Text

from jamcalc.cli.main import main

HERE = Path(__file__).parent
README = HERE.parent / "README.md"
FOLDER = HERE.parent / ".pictures"
COLUMNS = 80
WIDE, HIGH, EDGE = 8.4, 17.0, 14.0  # a character of 14 px in any monospaced face, a line, the margin [px]
PX_PER_IN = 96.0
XHTML, SVG = "http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg"
SCREEN_STYLE = """
rect { fill: #fff; stroke: #bbb; }
text { fill: #111; font: 14px monospace; white-space: pre; }
.bold { font-weight: bold; }
@media (prefers-color-scheme: dark) { rect { fill: #16181c; stroke: #555; } text { fill: #e8e8e8; } }
"""


class _Terminal(io.TextIOWrapper):
    def isatty(self) -> bool:
        return True


def run(words: list[str]) -> str:
    """What a command prints on a terminal of 80 columns, in an empty kitchen; -o writes into the folder at hand."""
    printed = _Terminal(io.BytesIO(), encoding="utf-8")
    own = {
        "LC_ALL": "C.UTF-8",
        "TERM": "xterm",
        "COLUMNS": str(COLUMNS),
        "JAMCALC_KITCHEN": "no-kitchen.toml",
        "JAMCALC_BOOK": "no-book.sqlite",
    }
    with mock.patch.dict(os.environ, own), contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
        os.environ.pop("NO_COLOR", None)
        assert main(words) == 0, words
    printed.flush()
    return printed.buffer.getvalue().decode("utf-8")  # type: ignore[attr-defined]


def screen(words: list[str]) -> str:
    """A command and its screen as an SVG."""
    typed = f"$ {shlex.join(['jamcalc', *words])}".replace("'", '"')
    lines = [Text(line) for line in _folded(typed)] + [Text()] + [Text.from_ansi(line) for line in run(words).rstrip("\n").split("\n")]
    width, height = COLUMNS * WIDE + 2 * EDGE, len(lines) * HIGH + 2 * EDGE
    rows = [row for number, line in enumerate(lines) for row in _row(line, EDGE + (number + 0.75) * HIGH)]
    title = f"<title>{escape(typed, quote=False)}</title>"
    return (
        f'<svg xmlns="{SVG}" width="{width:g}" height="{height:g}" viewBox="0 0 {width:g} {height:g}" role="img">{title}\n'
        f"<style>{SCREEN_STYLE}</style>\n"
        f'<rect x="0.5" y="0.5" width="{width - 1:g}" height="{height - 1:g}" rx="6"/>\n' + "\n".join(rows) + "\n</svg>\n"
    )


def _folded(typed: str) -> list[str]:
    """A command on as many lines as it takes, broken as a shell reads it."""
    lines = [""]
    for word in re.findall(r'(?:"[^"]*"|\S)+', typed):
        if len(lines[-1]) + len(word) + 3 > COLUMNS:
            lines[-1] += " \\"
            lines.append("   ")
        lines[-1] += f" {word}" if lines[-1] else word
    return lines


def _row(line: Text, y: float) -> list[str]:
    """Each run of one style at its own columns, stretched to them: whatever the face, the columns stand."""
    row = []
    edges = sorted({0, len(line), *(edge for span in line.spans for edge in (span.start, span.end))})
    for start, end in itertools.pairwise(edges):
        piece = line.plain[start:end]
        text = piece.strip(" ")
        if not text:
            continue
        x = EDGE + WIDE * cell_len(line.plain[:start] + piece[: piece.index(text)])
        bold = any(span.start <= start and end <= span.end and "bold" in str(span.style) for span in line.spans)
        style = ' class="bold"' if bold else ""
        length = f'textLength="{WIDE * cell_len(text):.4g}" lengthAdjust="spacingAndGlyphs"'
        row.append(f'<text{style} x="{x:.5g}" y="{y:.5g}" {length}>{escape(text, quote=False)}</text>')
    return row


def printed(words: list[str]) -> str:
    """The first page of a print as an SVG that holds the print's own HTML."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        run([*words, "-o", "print.html"])
        html = Path("print.html").read_text(encoding="utf-8")
    style, title = (re.findall(rf"<{tag}>(.*?)</{tag}>", html, re.DOTALL)[0] for tag in ("style", "title"))
    page = re.findall(r'<section class="leaf".*', html)[0].removesuffix("</body>").split('<section class="leaf"')[1]
    width, height = (PX_PER_IN * float(inches) for inches in re.findall(r"@page { size: ([\d.]+)in ([\d.]+)in", style)[0])
    as_xml = f'<section class="leaf"{page}'.replace("<br>", "<br/>").replace("<svg ", f'<svg xmlns="{SVG}" ')
    return (
        f'<svg xmlns="{SVG}" width="{width:g}" height="{height:g}" viewBox="0 0 {width:g} {height:g}" role="img"><title>{title}</title>\n'
        f'<foreignObject width="{width:g}" height="{height:g}">\n<body xmlns="{XHTML}">\n'
        f"<style>{style}body {{ padding: 0 !important; }} .leaf {{ margin: 0 !important; outline-offset: -0.75pt; }}</style>\n"
        f"{as_xml}\n</body>\n</foreignObject>\n</svg>\n"
    )


def commands(name: str) -> list[list[str]]:
    """README's examples of one command, in their order: the words after `jamcalc`; the first one installs the program too."""
    found = re.findall(rf"^(?:    |python3 .*/)jamcalc ({name} .+)$", README.read_text(encoding="utf-8"), re.MULTILINE)
    return [shlex.split(each) for each in found]


def _card(kitchen_page: bool) -> list[str]:
    return next(words[: words.index("-o")] for words in commands("card") if ("--kitchen-page" in words) == kitchen_page)


PICTURES: dict[str, Callable[[], str]] = {
    "batch.svg": lambda: screen(commands("batch")[0]),
    "fair-card.svg": lambda: printed(_card(kitchen_page=False)),
    "kitchen-page.svg": lambda: printed(_card(kitchen_page=True)),
    "learning.svg": teaching_picture.drawn,
}


def write_anew() -> None:
    """Every picture as it comes out now."""
    FOLDER.mkdir(exist_ok=True)
    for name, made in PICTURES.items():
        (FOLDER / name).write_text(made(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write_anew()
