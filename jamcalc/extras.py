"""Which extras a jam may carry along: dry spices, extracts and citrus zest, and nothing else.

Words alone: no amounts and no chemistry. Called by checking; what follows from an unfit one is for storage.
"""

from __future__ import annotations

import re

from jamcalc.facts import table


def unfit_extras(extras: tuple[str, ...]) -> tuple[str, ...]:
    """The extras that are not dry spices, extracts or citrus zest, in their order: with one of them a jar is kept cold.

    Every word has to be known, so a name that nobody thought of is unfit. Word list: data/extras.toml (common practice).
    """
    return tuple(extra for extra in extras if not _fit(extra))


def _fit(extra: str) -> bool:
    known = table("extras")
    named = False
    for piece in re.split(r"[,;+&()]| and | plus | with ", " ".join(extra.lower().split())):
        words = set(re.findall(r"[a-z]+|[^\W\d_a-z]+", piece)) - set(known["filler"])
        left = words - set(known["dry_words"])
        allowed = set(known["any_form"])
        if left != words:
            allowed |= set(known["dry"])
        for kind in ("extract", "zest"):
            if left & set(known[f"{kind}_words"]):
                left -= set(known[f"{kind}_words"])
                allowed |= set(known[kind])
        if any(word not in allowed and word.removesuffix("s") not in allowed for word in left):
            return False
        named = named or bool(left)
    return named
