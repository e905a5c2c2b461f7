"""Fruit that was canned, dried or frozen with sugar before it comes to the pot: its name in our words, or what to write instead.

It looks nothing up: the table of names (data/names.toml) is handed to it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from jamcalc.words.units import shown

_CANNED = re.compile(r"\b(?:home )?(?:canned|tinned)\b")
_FROZEN = re.compile(r"\b(?:frozen|thawed)\b")
_IN = r"(?:\b(?:canned |packed )?in (?:an? )?(?:[a-z%0-9]+ ){0,3}"
_SYRUP = re.compile(rf"{_IN}syrup\b)|\bsyrup pack(?:ed)?\b|(?<!un)(?<!no )\bsweetened\b|\bwith (?:added )?sugar\b")
_IN_A_CAN = {liquid: re.compile(rf"{_IN}{liquid}\b)|\b{liquid} pack(?:ed)?\b") for liquid in ("juice", "water")}
_TOLD = re.compile(r"\b(?:canned|tinned|pack|packed)\b")
_IDLE = re.compile(
    r"\b(?:un)?drained\b|\b(?:with|in|and) (?:its|the|their) (?:own )?(?:juice|liquid)\b|\b(?:halves|slices|chunks|tidbits|pieces|cling)\b"
)


def in_our_words(name: str) -> str:
    """A plain name that says how the fruit was put up, in our words: "peaches canned in juice"; "" where it says nothing of it.

    Nothing is left out but whether it is drained (the figures are by weight, with the liquid or without) and the shape of its pieces.
    """
    how = "frozen" if _FROZEN.search(name) else "canned"
    if _SYRUP.search(name):
        packed, pattern = "with sugar" if how == "frozen" else "in syrup", _SYRUP
    elif how == "canned" and (packing := next((liquid for liquid in ("juice", "water") if _IN_A_CAN[liquid].search(name)), None)):
        packed, pattern = f"in {packing}" if _TOLD.search(name) else "", _IN_A_CAN[packing]  # "in juice" alone is asked back
    elif how == "canned" and _CANNED.search(name):
        packed, pattern = "", _CANNED
    else:
        return ""
    fruit = name
    for gone in (pattern, _CANNED, _FROZEN, _IDLE):
        fruit = gone.sub(" ", fruit)
    fruit = " ".join(fruit.split())
    return f"{fruit} {how} {packed}".strip() if fruit else ""


def refusal(name: str, held: Mapping[str, Any]) -> str:
    """Why preserved fruit of which no figures are held is not read, with what to write instead; "" for any other name."""
    fruit, _, pack = name.partition(" canned")
    if pack or name.endswith(" canned"):
        return _canned(fruit, pack.strip(), held["canned"])
    if name.endswith(" frozen with sugar"):
        fruit = shown(name.removesuffix(" frozen with sugar"), 30)
        return (
            f"{fruit} frozen with sugar or in syrup: how much sugar is in it differs, and no figures are held for it: take fruit that was "
            f'frozen unsweetened, such as "1 lb frozen {fruit}"; if you froze it yourself, write the fruit and the sugar as two lines'
        )
    how, _, fruit = name.partition(" ")
    if how != "dried" or not fruit:
        return ""
    bare = fruit.removesuffix(" soaked")
    for text, entry in held["dried"].items():
        if bare in (text, f"{text}s"):
            return (
                f"dried {text}s are cooked first: simmer them in {entry['water']:g} times their weight of water until soft, and write what "
                f'they weigh then; 1 lb of them makes about "{entry["makes"]:g} lb {entry["write"]}"'
            )
    return (
        f"{shown(name)}: dried fruit is soaked and cooked first, and holds several times the sugar and the minerals of fresh; no "
        "figures are held for that: write fresh or frozen fruit here, and keep a jam of dried fruit in the refrigerator or the freezer"
    )


def _canned(fruit: str, pack: str, held: Mapping[str, Any]) -> str:
    packs = next((packs for text, packs in held.items() if fruit in (text, *packs["names"])), None)
    if packs is None:
        return (
            f"canned {shown(fruit)}: canned fruit brings its liquid, and often sugar, and no figures are held for that: write fresh or "
            "frozen fruit here, and keep a jam of canned fruit in the refrigerator or the freezer"
        )
    write = " or ".join(f'"1 lb {fruit} canned in {liquid}"' for liquid in packs["in"])
    if pack == "in syrup":
        return f"{fruit} in syrup: no figures are held for the sugar that comes with it: buy fruit canned without it, and write {write}"
    return f"canned {fruit}: packed in what? Write {write}; fruit in syrup brings sugar that no figures are held for"
