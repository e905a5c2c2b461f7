"""Which extras a jam may carry along: dry spices, extracts, citrus zest and a trace of butter, and nothing else.

Words, and the amounts of what is customary in traces only; no chemistry. What follows from an unfit one is for storage.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from jamcalc.errors import InputError
from jamcalc.facts import HARMLESS, figure, table
from jamcalc.words.measures import TSP_ML
from jamcalc.words.units import read_amount, shown

SAME = 1.02  # half a teaspoon written as 2.5 mL is a little more than one
_HAND = re.compile(r"(?<![/0-9])(?:(an?|one|two|three|few|[0-9]{1,3}) )?(pinch|dash|pat)(?:es|s)?\b")
_COUNT = re.compile(r"(?:an?|one|two|three) (?!little|bit|touch)|[0-9]{1,3}(?![0-9])")
_NUMBERS = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "few": 3.0}


def unfit_extras(extras: tuple[str, ...]) -> tuple[str, ...]:
    """The extras that keep a jar cold, in their order: all but dry spices, extracts, zest, and traces of pepper, chili and butter.

    Every word has to be known, so a name that nobody thought of is unfit. What there may be only so much of is summed over all
    extras: over its limit each of them is unfit. Word lists and limits: data/extras.toml (common practice).
    """
    read = [_traces(extra) for extra in extras]
    over = {
        kind
        for kind, held in (*table("extras")["trace"].items(), *table("extras")["plenty"].items())
        if sum(traces.get(kind, 0.0) for traces in read if traces is not None) > figure(held["most_tsp"]).typical * SAME
    }
    return tuple(extra for extra, traces in zip(extras, read, strict=True) if traces is None or over & traces.keys())


def refuse_spice(line: str, name: str) -> None:
    """Refuse a spice, an extract or zest, which the sums have no use for, with where it belongs. Raises InputError."""
    bare = " ".join(word for word in name.split() if word.lower() not in HARMLESS)
    if not unfit_extras((bare,)):
        raise InputError(
            f'"{shown(line)}": spices, extracts and zest are not needed for the sums: leave the line out here, and name it under extras '
            "in a recipe file"
        )
    if not unfit_extras((f"dried {bare}",)):
        raise InputError(
            f'"{shown(line)}": dried it goes under extras in a recipe file, and the sums leave it out; fresh it is for no jar on a shelf'
        )


def _traces(extra: str) -> dict[str, float] | None:
    """None of an unfit extra; else the teaspoons of what there may be only so much of, 0 where no amount is written."""
    named, idle, traces = False, False, dict[str, float]()
    for part in re.split(r"[,;+&()]| and | plus | with ", " ".join(extra.lower().split())):
        piece = part.strip()
        words = set(re.findall(r"[a-z]+|[^\W\d_a-z]+", piece)) - set(table("extras")["filler"])
        kind = _trace_kind(words, piece)
        if kind is not None:
            amount_tsp = _trace_tsp(table("extras")["trace"][kind], piece)
            if amount_tsp is None:
                return None
            traces[kind] = traces.get(kind, 0.0) + amount_tsp
        elif not _spice(words, piece):
            return None
        elif of := words - set(table("extras")["dry_words"]):
            heap = "zest" if of & set(table("extras")["zest_words"]) else "salt" if of == {"salt"} else "spice"
            traces[heap] = traces.get(heap, 0.0) + _heap_tsp(table("extras")["plenty"][heap], piece)
        named = named or bool(words - set(table("extras")["dry_words"]))
        idle = idle or (not words and bool(re.search(r"[0-9\u00bc-\u00be\u2150-\u215e]", piece)))
    # an amount that stands apart from what it measures: "1 and 1/2 tsp butter"
    return traces if named and not (traces.keys() & table("extras")["trace"].keys() and idle) else None


def _spice(words: set[str], piece: str) -> bool:
    """Whether these words, without the idle ones, name dry spices, extracts or zest and nothing else."""
    known = table("extras")
    if "paste" in piece.split() and "vanilla" not in words:
        return False
    left = words - set(known["dry_words"])
    allowed = set(known["any_form"])
    if left != words:
        allowed |= set(known["dry"])
    for kind in ("extract", "zest"):
        if left & set(known[f"{kind}_words"]):
            left -= set(known[f"{kind}_words"])
            allowed |= set(known[kind])
    return all(word in allowed or word.removesuffix("s") in allowed for word in left)


def _trace_kind(words: set[str], piece: str) -> str | None:
    """What is fit in traces only and is named here with nothing beside it; pepper and chili only where they are plainly dry."""
    left = words - set(table("extras")["dry_words"])
    for kind, held in table("extras")["trace"].items():
        if left & set(held["words"]) and left <= {*held["words"], *held["beside"]} and _dry(held, words, piece):
            return str(kind)
    return None


def _dry(held: Mapping[str, Any], words: set[str], piece: str) -> bool:
    """Dried, powdered or in flakes; or dry by its very name, and then not counted out as fresh pods are."""
    if "pods" not in held:  # butter
        return True
    if "paste" in piece.split():
        return False
    if words & (set(table("extras")["dry_words"]) - {"ground"}):  # a fresh pod can be ground as well
        return True
    if "peppercorn" in piece:  # dried berries, which are counted out
        return True
    by_name = not words & set(held["pods"]) and any(set(name.split()) <= words for name in held["dry_by_name"])
    return by_name and (not _COUNT.match(piece) or _measured_tsp(piece, held) is not None)


def _trace_tsp(held: Mapping[str, Any], piece: str) -> float | None:
    """[tsp] how much; 0 where none is written and none has to be; None where it must be and is not."""
    measured = _measured_tsp(piece, held)
    if measured is not None or held["must_be_measured"]:
        return measured
    single_tsp = held["corn_tsp" if "peppercorn" in piece else "each_tsp"]
    return figure(single_tsp).typical * (_number(piece) if _COUNT.match(piece) else 0.0)


def _heap_tsp(held: Mapping[str, Any], piece: str) -> float:
    """[tsp] how much of a spice, an extract, salt or zest; 0 where no amount is written."""
    measured = _measured_tsp(piece, held)
    if measured is not None:
        return measured
    return figure(held["each_tsp"]).typical * (_number(piece) if _COUNT.match(piece) else 0.0)


def _measured_tsp(piece: str, held: Mapping[str, Any]) -> float | None:
    """[tsp] an amount in spoons, grams, pinches, dashes or pats; None where none is written."""
    try:
        amount = read_amount(piece)[0]
    except InputError:
        by_hand = _HAND.search(piece)
        return None if by_hand is None else _number(by_hand[1] or "a") * figure(table("extras")["hand"][by_hand[2]]).typical
    if amount.ml is not None:
        return amount.ml / TSP_ML
    return None if amount.grams is None else amount.grams / figure(held["g_per_tsp"]).low


def _number(text: str) -> float:
    """The number, in digits or as a word, with which a text begins."""
    word = re.split(r"[^a-z0-9]", text, maxsplit=1)[0]
    return float(word) if word.isdecimal() else _NUMBERS[word]
