"""How a question is put at a terminal: an answer, a choice by number or word, and the words back, ? and stop.

Knows nothing of jam; reads and shows only through the two functions that it is given. Called by guide, questions and mending.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jamcalc.words.units import shown

ROOM_BELOW = 4  # lines for what is asked next
SPILL = 3  # so few lines too many may push the title off the top, rather than stand on a page of their own
WHY_PAGES = 'The answer is longer than the screen. "back" leaves the rest of it.'


class Back(Exception):
    """The last answer is taken back."""


class Stop(Exception):
    """Enough."""


@dataclass(frozen=True, kw_only=True)
class Talk:
    """The two ends of a conversation: `ask` shows a prompt and returns a line, `show` prints a text."""

    ask: Callable[[str], str]
    show: Callable[[str], None]

    def answer(self, prompt: str, why: str) -> str:
        """One answer without its outer spaces; "?" shows `why` and asks again. Raises Back, Stop, EOFError."""
        while True:
            try:
                text = self.ask(prompt).strip()
            except UnicodeDecodeError:  # a terminal that sends another encoding than it says
                self.show("That did not come through as plain text; write it once more.")
                continue
            except OSError:  # the terminal has gone
                raise EOFError from None
            word = text.lower()
            if word in ("?", "help"):
                self.show(why)
            elif word == "back":
                raise Back
            elif word in ("stop", "quit", "exit"):
                raise Stop
            else:
                return text

    def options(self, options: Mapping[str, str]) -> None:
        """The options under one another, numbered from 1."""
        for number, text in enumerate(options.values(), 1):
            self.show(f"  {number}  {text}")

    def choose(self, prompt: str, options: Mapping[str, str], why: str, *, default: str, back: str | None = None) -> str:
        """The key of one option, by its number or its own word; Enter takes `default`, "back" takes `back` where it is given."""
        self.options(options)
        while True:
            try:
                text = self.answer(prompt, why)
            except Back:
                if back is None:
                    raise
                return back
            found = default if not text else picked(text, options)
            if found is not None:
                return found
            words = ", ".join(options)
            self.show(f'"{shown(text)}" is none of these: write a number from 1 to {len(options)}, or one of {words}.')

    def pages(self, text: str, *, one_screen: bool = False) -> None:
        """A text, by the screenful where it is long; "back" leaves the rest. `one_screen`: a short answer is not cut for a line or two."""
        lines = [line.rstrip() for line in text.splitlines()]
        height = max(10, shutil.get_terminal_size((80, 24)).lines - (0 if one_screen else ROOM_BELOW))
        try:
            while len(lines) > height + SPILL:
                self.show("\n".join(lines[:height]))
                lines = lines[height:]
                self.answer("Enter for the next page: ", WHY_PAGES)
        except Back:
            return
        self.show("\n".join(lines))


def picked(text: str, options: Mapping[str, str]) -> str | None:
    """The key that a number or a word stands for, or None."""
    keys = list(options)
    if text in [str(number) for number in range(1, len(keys) + 1)]:
        return keys[int(text) - 1]
    return next((key for key in keys if key.lower() == text.lower()), None)
