"""What an answer or an error says to somebody who types a command, said as the guide would: no options, no commands."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from jamcalc.nouns.said import Finding

_OTHER_FILE = re.compile(r"(?:,? or|:) name another(?: file)? with --(?:book|kitchen)")


def complaint(text: str) -> str:
    """What is wrong, without what only a command line has a remedy for."""
    return _OTHER_FILE.sub("", text)


def findings(told: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in the guide's words, without those on what the cook has just been asked."""
    return tuple(replace(finding, text=finding.at_prompt or finding.text) for finding in told if finding.kind != "asked")
