"""How a question is put at a terminal: an answer, a choice by number or word, yes or no, and the words back, ? and stop.

Knows nothing of jam; reads and shows only through the two functions that it is given.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from jamcalc.words import paging
from jamcalc.words.units import shown

ROOM_BELOW = 5  # lines for what is asked next
WHY_PAGES = 'Enter turns the page; "back" leaves the rest of it.'
WHY_YES = 'Write yes or no; Enter takes the one in brackets. "back" goes back.'

# What people say for the same thing, without capitals and the stop at the end.
YES = ("yes", "y", "yes please", "yep", "yeah", "sure", "ok", "okay", "please", "please do", "of course")
NO = ("no", "n", "nope", "nah", "no thanks", "no thank you", "not now", "never mind", "don't")
NOTHING = ("none", "nothing", *NO, "without", "leave it out")
DONE = ("done", *NOTHING, "no more", "that's all", "that is all", "that's it", "that is it", "all done", "finished", "nothing else", "next")
NOT_KNOWN = (
    "i do not know", "i don't know", "do not know", "don't know", "dont know", "i dont know", "unknown", "not known", "no idea",
    "not sure", "i'm not sure", "unsure", "no clue", "who knows", "dunno", "you choose", "whatever", "any", "either",
)  # fmt: skip
SKIP = ("skip", "pass", "enter")  # the same as Enter alone
BACK = ("back", "go back", "undo")
STOP = ("stop", "quit", "exit", "q", "bye", "goodbye")
HELP = ("?", "help", "why", "what", "h")


class Back(Exception):
    """The last answer is taken back."""


class Stop(Exception):
    """Enough."""


def said(text: str) -> str:
    """An answer as it is compared with the words above: in small letters, with plain apostrophes, without what ends a sentence."""
    return " ".join(text.lower().replace("\u2019", "'").split()).rstrip(".!, ") or text.strip()


@dataclass(frozen=True, kw_only=True)
class Talk:
    """The two ends of a conversation: `ask` shows a prompt and returns a line, `show` prints a text."""

    ask: Callable[[str], str]
    show: Callable[[str], None]

    def answer(self, prompt: str, why: str) -> str:
        """One answer without its outer spaces, "" for Enter; "?" shows `why` and asks again. Raises Back, Stop, EOFError."""
        while True:
            try:
                text = self.ask(prompt).strip()
            except UnicodeDecodeError:  # a terminal that sends another encoding than it says
                self.show("That did not come through as plain text; write it once more.")
                continue
            except OSError:  # the terminal has gone
                raise EOFError from None
            word = said(text)
            if word in HELP:
                self.show(why)
            elif word in BACK:
                raise Back
            elif word in STOP:
                raise Stop
            else:
                return "" if word in SKIP else text

    def yes(self, question: str, why: str = WHY_YES, *, default: bool = False) -> bool:
        """Yes or no; Enter takes `default`. Raises Back, Stop, EOFError."""
        while True:
            word = said(self.answer(f"{question} yes or no [{'yes' if default else 'no'}]: ", why))
            if not word:
                return default
            if word in YES or word in NO:
                return word in YES
            self.show("Write yes or no.")

    def options(self, options: Mapping[str, str]) -> None:
        """The options under one another, numbered from 1."""
        for number, text in enumerate(options.values(), 1):
            self.show(f"  {number}  {text}")

    def choose(
        self, prompt: str, options: Mapping[str, str], why: str, *, default: str | None, also: Mapping[str, str] | None = None
    ) -> str:
        """The key of one option, by its number, its own word or one that `also` holds; Enter and "no idea" take `default`, if any."""
        self.options(options)
        while True:
            text = self.answer(prompt, why)
            choice = default if not text or said(text) in NOT_KNOWN else picked(text, options, also)
            if choice is not None:
                return choice
            start = f'"{shown(text)}" is none of these: write' if text else "Write"
            self.show(f"{start} a number from 1 to {len(options)}, or one of {', '.join(options)}.")

    def pages(self, text: str, *, one_screen: bool = False) -> None:
        """A text, by the screenful where it is long; "back" leaves the rest. `one_screen`: what fills no more than one is not cut."""
        rows = max(12, shutil.get_terminal_size((80, 24)).lines)
        *before, last = paging.pages(text, rows - 2, last=rows - (1 if one_screen else ROOM_BELOW))
        try:
            for page in before:
                self.show(page)
                while self.answer("Enter for the next page: ", WHY_PAGES):
                    self.show(WHY_PAGES)
        except Back:
            return
        self.show(last)


def picked(text: str, options: Iterable[str], also: Mapping[str, str] | None = None) -> str | None:
    """The key that a number, a word, or another word for it stands for, or None."""
    keys = list(options)
    if text in [str(number) for number in range(1, len(keys) + 1)]:
        return keys[int(text) - 1]
    word = said(text)
    return next((key for key in keys if key.lower() == word), (also or {}).get(word))
