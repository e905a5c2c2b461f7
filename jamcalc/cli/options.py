"""One command's words: options and ingredient lines in any order, what is wrong with them in one line, and the help page.

Reads words and computes nothing; what a value means is read later, by units and lines. The commands themselves stand in
command_table.

A short reader of our own instead of argparse: every mistake has its own sentence, the same in every Python, and
`--altitude -500ft` is a height below the sea. NamedTuple and late imports, because --help must start at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from types import SimpleNamespace
from typing import NamedTuple

from jamcalc.errors import InputError, at_once
from jamcalc.words.lists import either

HELP_WIDTH = 79  # columns
NARROWEST = 50  # columns; below it lines are left to the terminal to break
HELP_INDENT = 25  # where the explanations begin
MOST_UNGROUPED = 8  # options that are read at a glance

# What people say for the words of two options.
STORED = (
    ("freezer", "cold"), ("frozen", "cold"), ("freeze", "cold"), ("refrigerator", "cold"), ("fridge", "cold"), ("pantry", "shelf"),
    ("cupboard", "shelf"), ("can", "shelf"), ("canned", "shelf"),
)  # fmt: skip
TURNED_OUT = (
    ("didn't set", "runny"), ("did not set", "runny"), ("not set", "runny"), ("unset", "runny"), ("thin", "runny"), ("too thin", "runny"),
    ("too soft", "runny"), ("syrup", "runny"), ("syrupy", "runny"), ("soft", "runny"), ("weeps", "weeping"), ("wept", "weeping"),
    ("watery", "weeping"), ("hard", "stiff"), ("too stiff", "stiff"), ("too hard", "stiff"), ("too firm", "stiff"), ("firm", "stiff"),
    ("rubbery", "stiff"), ("lumpy", "grainy"), ("gritty", "grainy"), ("lumps", "grainy"), ("good", "well"), ("set well", "well"),
)  # fmt: skip


class Option(NamedTuple):
    """One option: `value` is what its value is called in the help, empty for a switch."""

    name: str
    help: str
    value: str = ""
    example: str = ""
    allowed: tuple[str, ...] = ()
    alike: tuple[tuple[str, str], ...] = ()  # other words for those allowed, as people say them
    many: bool = False
    short: str = ""
    into: str = ""  # the attribute it fills, where that is not its name
    group: str = ""  # what it stands under on a long help page
    longest: int = 120  # characters of its value, as of an ingredient line; files and printed words have limits of their own

    @property
    def attribute(self) -> str:
        """Where its value is found once it is read."""
        return self.into or self.name.removeprefix("--").replace("-", "_")

    def checked(self, text: str) -> str:
        """The value, if it is not empty and one of those allowed."""
        if not text.strip():
            raise InputError(f"{self.name} is empty: write {self.sample()}")
        if self.value not in ("FILE", "TEXT") and len(text) > self.longest:
            raise InputError(f"{self.name} is too long: {len(text)} characters where {self.longest} are enough")
        if "\0" in text:
            raise InputError(f'{self.name} "{said(text)}" holds control characters: type it again as plain text')
        if self.allowed and text not in self.allowed:
            meant = " ".join(text[:40].lower().replace("\u2019", "'").split())
            text = dict(self.alike).get(meant, meant if meant in self.allowed else text)
        if self.allowed and text not in self.allowed:
            raise InputError(f'{self.name} "{said(text)}": write {either(self.allowed)}')
        return text

    def sample(self) -> str:
        """How it is written."""
        return f"{self.name} {self.example}" if self.example else f"{self.name} with {either(self.allowed)}"


class Command(NamedTuple):
    """One command: what its words are, how many there may be, and its options."""

    name: str
    function: str  # which answers it: module and function of this folder, imported when it is called
    about: str
    options: tuple[Option, ...]
    words: str = ""  # as the help calls them
    words_help: str = ""
    least: int = 0
    most: int | None = 0
    sample: str = ""  # a good use, for the help and for whoever gives no word

    def read(self, typed: Sequence[str]) -> SimpleNamespace:
        """Options and words in any order; `--` ends the options. `problems` holds what is wrong with values of options, an error each.

        Raises
        ------
        InputError : one line that says which word is wrong and what to write instead
        """
        problems: list[InputError] = []
        texts: dict[str, list[str]] = {}
        words: list[str] = []
        rest = iter(typed)
        for word in rest:
            if word == "--":
                words += rest
            elif not is_option(word):
                words.append(word)
            else:
                option, text = self._option(word, rest)
                try:
                    text = option.checked(text) if option.value else text
                except InputError as error:
                    problems.append(error)
                    continue
                if option.value and option.name in texts and not option.many:
                    problems.append(InputError(f"{option.name} stands twice: write it once"))
                texts.setdefault(option.name, []).append(text)
        try:
            self._check_words(words)
        except InputError as error:
            raise at_once([*problems, error]) from None
        values = {option.attribute: _value(option, texts.get(option.name)) for option in self.options}
        return SimpleNamespace(words=words, typed=[self.name, *typed], problems=problems, **values)

    def _option(self, word: str, rest: Iterator[str]) -> tuple[Option, str]:
        """The option that a word names, and its value, taken from the same word or the next."""
        name, joined, text = word.partition("=")
        option = next((option for option in self.options if name in (option.name, option.short)), None)
        if option is None:
            raise InputError(self._unknown(name))
        if not option.value:
            if joined:
                raise InputError(f"{option.name} takes no value: write it alone")
            return option, ""
        if not joined:
            text = next(rest, "--")
            if is_option(text):
                raise InputError(f"{option.name} needs a value: write {option.sample()}")
        return option, text

    def _check_words(self, words: list[str]) -> None:
        if len(words) < self.least:
            raise InputError(f"{self.name} needs {self.words_help}: write for instance {self.sample}")
        if self.most is not None and len(words) > self.most:
            takes = f"{self.name} takes one {self.words}" if self.most else f"{self.name} takes options only"
            raise InputError(f'"{said(words[self.most])}" is a word too many: {takes} (see: jamcalc {self.name} --help)')
        if self.most == 1 and words and not words[0].strip():
            raise InputError(f"{self.words} is empty: write for instance {self.sample}")

    def _unknown(self, name: str) -> str:
        names = [spelling for option in self.options for spelling in (option.name, option.short) if spelling]
        if len(name) > 2 and (longer := [spelling for spelling in names if spelling.startswith(name)]):
            return f"no option {said(name)}: write {either(longer)} in full"
        near = near_names(name, names)
        hint = f": did you mean {near[0]}?" if near else f" in {self.name} (see: jamcalc {self.name} --help)"
        return f"no option {said(name)}{hint}"

    def help_text(self) -> str:
        """The help page of the command, 79 columns."""
        out = [f"jamcalc {self.name} {self.words}".rstrip() + " [options]", "", *_wrapped(self.about, 0), ""]
        if self.sample:
            out += [f"  {self.sample}", ""]
        if self.words:
            out += [*_entry(self.words, self.words_help), ""]
        long = len(self.options) > MOST_UNGROUPED
        for group in dict.fromkeys(option.group if long else "" for option in self.options):
            out += [f"{group or 'options'}:"]
            for option in self.options:
                if not long or option.group == group:
                    left = f"{option.name}{f', {option.short}' if option.short else ''} {option.value}".rstrip()
                    out += _entry(left, option.help)
            out += [""]
        return "\n".join(out[:-1]) + "\n"


def on_this_screen(page: str) -> str:
    """A help page as it is, or on a narrower terminal broken between words, each explanation in its column."""
    import os  # loaded by Python itself; shutil would cost a third of --help
    import sys

    try:
        columns = max(NARROWEST, os.get_terminal_size(1).columns) if sys.stdout.isatty() else HELP_WIDTH
    except (OSError, AttributeError):  # no terminal, or none that tells
        return page
    return page if columns >= HELP_WIDTH else narrowed(page, columns)


def narrowed(page: str, columns: int) -> str:
    """A help page of HELP_WIDTH columns for fewer: what was broken for the wide page is put together and broken anew."""
    import re
    import textwrap

    from jamcalc.words.phrases import HOLD, loose, unbroken

    entries: list[tuple[int, str]] = []  # where its explanation begins, and the text
    for line in page.splitlines():
        start = len(line) - len(line.lstrip(" "))
        indent, text = entries[-1] if entries else (0, "")
        if line and text and start == indent and not text.endswith("\\") and (start or len(text) > columns):
            entries[-1] = (indent, f"{text} {line.strip()}")
            continue
        head = re.match(r" *\S.*?  +(?=\S)", line)
        entries.append((head.end() if head else start + (4 if line.startswith("  ") else 0), line))
    rows: list[str] = []
    for indent, text in entries:
        end = " \\" if text.endswith(" \\") else ""  # a command over several lines is copied as it stands: each goes on in the next
        held = re.sub('"[^"]*"', lambda quoted: quoted[0].replace(" ", HOLD), text.removesuffix(end)) if end else unbroken(text)
        room, margin = columns - len(end), " " * indent
        whole = textwrap.wrap(held, room, subsequent_indent=margin, break_long_words=False, break_on_hyphens=False)
        rows += [row + end for row in whole] or [""]
    return loose("\n".join(rows)) + "\n"


def near_names(word: str, names: Iterable[str]) -> list[str]:
    """The one name that comes close to a mistyped word, or none."""
    from difflib import get_close_matches

    bare = {name.strip("-"): name for name in names}  # two dashes in common are no likeness
    return [bare[near] for near in get_close_matches(word[:40].lower().strip("-"), bare, n=1)]


def said(text: str) -> str:
    """A typed word made fit to be repeated."""
    from jamcalc.words.units import shown  # only where something is wrong, so that --help starts at once

    return shown(text)


def is_option(word: str) -> bool:
    """Whether a word is an option, or `--`; "-2 lb plums" and "-500ft" are not, nor is "-", which is standard input."""
    return len(word) > 1 and word[0] == "-" and (word[1] == "-" or (word[1].isascii() and word[1].isalpha()))


def _value(option: Option, texts: list[str] | None) -> str | list[str] | bool | None:
    if not option.value:
        return texts is not None
    if option.many:
        return texts
    return texts[0] if texts else None


def _wrapped(text: str, indent: int) -> list[str]:
    import textwrap

    return textwrap.wrap(text, HELP_WIDTH, initial_indent=" " * indent, subsequent_indent=" " * indent, break_on_hyphens=False)


def _entry(left: str, text: str) -> list[str]:
    """A name at the left and its explanation in a column of its own; a long name has a line to itself."""
    lines = _wrapped(text, HELP_INDENT)
    head = f"  {left}"
    if len(head) < HELP_INDENT - 1:
        return [f"{head:<{HELP_INDENT}}{lines[0].strip()}", *lines[1:]]
    return [head, *lines]
