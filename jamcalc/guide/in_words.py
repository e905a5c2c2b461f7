"""What an answer says in the words of the command line, said as the guide would: no options, no commands."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from jamcalc.nouns.said import Finding

_READING = re.compile(r": --reading (['\"]).*?\1")
_PICKS = re.compile(r" \(--[a-z-]+ [^()]*\)")  # "(--acid works it out)"
_OTHER_FILE = re.compile(r"(?:,? or|:) name another(?: file)? with --(?:book|kitchen)")
_COMMAND = re.compile(r",?(?: run)?: jamcalc (?:batch|check) .*", re.DOTALL)
_WITHOUT_BOOK = "--no-book leaves that out."
ASKS_FOR_COLD = "To ask for it cold"


def plainly(text: str) -> str:
    """The text without what can only be typed at a command line."""
    text = _OTHER_FILE.sub("", _PICKS.sub("", _READING.sub(", and give me the reading", text)))
    text = text.replace(_WITHOUT_BOOK, '"tables" leaves that out.')
    command = _COMMAND.search(text)
    if command is None:
        return text
    head = text[: command.start()]
    if head.endswith(ASKS_FOR_COLD):
        return f'{head}, change "keep".'
    mends = any(sign in head for sign in (", in ", ", without ", ", cooked"))  # the jar, what is in the pot, or the boil
    return f"{head}: change that here." if mends else f'{head}: change "keep".'


def findings(told: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in the guide's words, without those on what the cook has just been asked."""
    return tuple(replace(finding, text=plainly(finding.text)) for finding in told if finding.kind != "asked")
