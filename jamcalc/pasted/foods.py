"""Names of food in running words, and whether what they name is among the ingredients."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from jamcalc import facts
from jamcalc.nouns.said import Line
from jamcalc.words.units import shown

LONGEST_NAME = 4  # words
WORD = re.compile(r"[a-z][a-z'-]*|[,;:.!?()]")


@dataclass(frozen=True, kw_only=True)
class Listed:
    """What is among the ingredients: lines and extras, and the words in which they are said."""

    lines: tuple[Line, ...]
    extras: tuple[str, ...]
    line_words: frozenset[str]
    extra_words: frozenset[str]
    keys: frozenset[str]


def listed(lines: Sequence[Line], extras: Sequence[str]) -> Listed:
    """The words of all that is among the ingredients."""
    fillers = {*facts.table("extras")["filler"], *facts.table("extras")["dry_words"]}
    keys = {line.item for line in lines}
    names = [name for line in lines for name in (line.strict, line.named, line.item.replace("_", " "))]
    return Listed(
        lines=tuple(lines),
        extras=tuple(extras),
        line_words=frozenset(forms(word for name in names for word in words_of(name))),
        extra_words=frozenset(forms(word for extra in extras for word in words_of(extra) if word not in fillers)),
        keys=frozenset(keys),
    )


# ---------------------------------------------------------------- words


def plain_of(text: str) -> str:
    """Lower case, without accents."""
    return "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign)).lower()


def words_of(text: str) -> list[str]:
    """The words of a text, in lower case and without accents."""
    return re.findall(r"[a-z]+(?:'[a-z]+)?", plain_of(text))


def forms(words: Iterable[str]) -> Iterator[str]:
    """Each word with what may be its singular."""
    for word in words:
        yield word
        if word.endswith("ies"):
            yield word[:-3] + "y"
        if word.endswith("es"):
            yield word[:-2]
        if word.endswith("s"):
            yield word[:-1]


def is_of(word: str, known: Iterable[str]) -> bool:
    """Whether a word, or what may be its singular, is among those known."""
    return any(form in known for form in forms([word]))


@cache
def word_list(name: str) -> frozenset[str]:
    """A list of words of data/pasted.toml."""
    return frozenset(facts.table("pasted")["words"][name])


@cache
def _foods() -> dict[str, str]:
    """Every name of a food, and the kind of what it stands for: an item's, or "food" for what no item is held of."""
    items, names, own = facts.table("items"), facts.table("names"), facts.table("pasted")["food"]
    others = (name for entry in names["not_fruit"].values() for name in entry["names"])
    foods = dict.fromkeys((*own["names"], *own["with_filler"], *names["not_held"]["names"], *others), "food")
    kinds = {key: kind for kind in facts.KINDS[:5] for key in items[kind] if key != "none"}
    foods |= {name: kinds[entry["key"]] for name, entry in facts.table("read_as").items()}
    foods |= {name: kind for key, kind in kinds.items() for name in items[kind][key]}
    return {plain_of(name).replace("-", " "): kind for name, kind in foods.items()}


# ---------------------------------------------------------------- a food that is named


def named(plain: str, known: Listed, kinds: Sequence[str]) -> list[str]:
    """Foods that a sentence names and the ingredients do not."""
    words = [word for joined in WORD.findall(plain) for word in joined.split("-")]
    problems, at = [], 0
    while at < len(words):
        size, kind, name = _food_at(words, at)
        if (kind in kinds or kind == "food") and not _is_listed(words, at, size, kind, known):
            problems.append(f"{shown(name)} is named here and is not among the ingredients: add it there with its amount, or take it out")
        at += max(size, 1)
    return problems


def _food_at(words: Sequence[str], at: int) -> tuple[int, str, str]:
    """The longest name of a food that begins at a word: its words, its kind, and itself; 0 where there is none."""
    foods = _foods()
    for size in range(min(LONGEST_NAME, len(words) - at), 0, -1):
        said = " ".join(words[at : at + size])
        if kind := next((foods[form] for form in forms([said]) if form in foods), ""):
            return size, kind, said
    return 0, "", ""


def _is_listed(words: Sequence[str], at: int, size: int, kind: str, known: Listed) -> bool:
    name = words[at : at + size]
    said = " ".join(name)
    if kind == "vegetable":
        dry = set(facts.table("extras")["dry_words"]) | {"black", "white", "cayenne"}
        beside = {*words[max(at - 1, 0) : at], *words[at + size : at + size + 1]}
        if dry & beside and all(is_of(word, known.extra_words) for word in name):
            return True
        return any(
            form in facts.table("items")["vegetable"][key] for key in known.keys & {*facts.keys("vegetable")} for form in forms([said])
        )
    idle = {"fresh", "bottled", *(facts.table("extras")["filler"] if kind == "food" else ())}
    names = [word for word in name if word not in idle] or name
    return all(is_of(word, known.line_words) or is_of(word, known.extra_words) for word in names)
