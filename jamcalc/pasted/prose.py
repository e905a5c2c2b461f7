"""What a title, a step or a note puts in the pot that is not among the ingredients: it would be left out of the acidity.

Three questions of a sentence: is an amount in it of something that is listed; does it name a food that is not; and does it add a
thing that nobody knows. Words are compared and nothing is weighed but what a step measures of a listed thing. Called by reader.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.nouns.model import Amount, Line
from jamcalc.pasted.sayings import in_figures, sentences
from jamcalc.words.spoken import plainly
from jamcalc.words.units import read_amount, shown

SPOON_ML = 15.0  # of an extra in a step: more of it is no spice (judgement)
SAME = 1.02
LONGEST_NAME = 4  # words
LOW_IN_ACID = ("fruit", "juice", "vegetable")  # what a title or a note may not name unlisted; sweeteners and acids it may
_START = re.compile(r"(?<![\w./])(?:[0-9]|\.[0-9]|(?:an?|half)\b)", re.IGNORECASE)
_END = re.compile(r"[,;:()!?]|\.(?:\s|$)")
_WORD = re.compile(r"[a-z][a-z'-]*|[,;:.!?()]")
_LOW_SUGAR = re.compile(
    r"\b(?:low|lower|less|no|reduced|without|free of|added)[ -](?:added[ -])?(?:sugar|sweetener)\b|\bsugar[ -]free\b|\bsugarless\b"
)
_FRUIT_BUTTER = re.compile(r"(?<=\w )butter(?= *$| *[(,:-])")


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
        line_words=frozenset(_forms(word for name in names for word in _words(name))),
        extra_words=frozenset(_forms(word for extra in extras for word in _words(extra) if word not in fillers)),
        keys=frozenset(keys),
    )


def hidden(text: str, known: Listed, part: str) -> str:
    """What is wrong with a title, a step or a note, or ""; `part` is "title", "steps" or "notes"."""
    for sentence in sentences(text) or [text]:
        plain = re.sub(r"(?<=[0-9])-(?=[a-z])", " ", in_figures(_plain(sentence)))
        for name in facts.table("pasted")["food"]["not_food"]:
            plain = plain.replace(name, " , ")
        plain = _LOW_SUGAR.sub(" , ", plain)
        if part == "title":
            plain = _FRUIT_BUTTER.sub(" , ", plain)
        is_step = part == "steps" and not (_serves(plain) and not _adds(plain))
        food = _named(plain, known, facts.KINDS[:5] if is_step else LOW_IN_ACID)
        measured = [] if part == "title" else [*_amounts(plain, known), *_more(plain, known)]
        is_told = is_step or part == "title" or _adds(plain) or next(_measured(plain), None) is not None
        added = [] if part == "title" else _added(plain, known)
        if found := (*measured, *(food if is_told else ()), *added):
            return str(found[0])
    return ""


def amount_comes_last(text: str) -> bool:
    """Whether a short row has its amount behind the name: "Plums: 3 lb"."""
    plain = in_figures(_plain(text))
    first = next(_measured(plain), None)
    return first is not None and not first[2] and 0 < len(_words(first[1])) <= LONGEST_NAME and not _adds(plain)


# ---------------------------------------------------------------- words


def _plain(text: str) -> str:
    """Lower case, without accents."""
    return "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign)).lower()


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+(?:'[a-z]+)?", _plain(text))


def _forms(words: Iterable[str]) -> Iterator[str]:
    """Each word with what may be its singular."""
    for word in words:
        yield word
        if word.endswith("ies"):
            yield word[:-3] + "y"
        if word.endswith("es"):
            yield word[:-2]
        if word.endswith("s"):
            yield word[:-1]


def _is_of(word: str, known: Iterable[str]) -> bool:
    return any(form in known for form in _forms([word]))


@cache
def _list(name: str) -> frozenset[str]:
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
    return {_plain(name).replace("-", " "): kind for name, kind in foods.items()}


# ---------------------------------------------------------------- a food that is named


def _named(plain: str, known: Listed, kinds: Sequence[str]) -> list[str]:
    """Foods that a sentence names and the ingredients do not."""
    words = [word for each in _WORD.findall(plain) for word in each.split("-")]
    found, at = [], 0
    while at < len(words):
        size, kind, name = _food_at(words, at)
        if (kind in kinds or kind == "food") and not _is_listed(words, at, size, kind, known):
            found.append(f"{shown(name)} is named here and is not among the ingredients: add it there with its amount, or take it out")
        at += max(size, 1)
    return found


def _food_at(words: Sequence[str], at: int) -> tuple[int, str, str]:
    """The longest name of a food that begins at a word: its words, its kind, and itself; 0 where there is none."""
    foods = _foods()
    for size in range(min(LONGEST_NAME, len(words) - at), 0, -1):
        said = " ".join(words[at : at + size])
        if kind := next((foods[form] for form in _forms([said]) if form in foods), ""):
            return size, kind, said
    return 0, "", ""


def _is_listed(words: Sequence[str], at: int, size: int, kind: str, known: Listed) -> bool:
    name = words[at : at + size]
    said = " ".join(name)
    if kind == "vegetable":
        dry = set(facts.table("extras")["dry_words"]) | {"black", "white", "cayenne"}
        beside = {*words[max(at - 1, 0) : at], *words[at + size : at + size + 1]}
        if dry & beside and all(_is_of(word, known.extra_words) for word in name):
            return True
        return any(
            form in facts.table("items")["vegetable"][key] for key in known.keys & {*facts.keys("vegetable")} for form in _forms([said])
        )
    idle = {"fresh", "bottled", *(facts.table("extras")["filler"] if kind == "food" else ())}
    names = [word for word in name if word not in idle] or name
    return all(_is_of(word, known.line_words) or _is_of(word, known.extra_words) for word in names)


def _serves(plain: str) -> bool:
    """Whether a sentence speaks of the table and not of the pot."""
    first = _words(plain)[:2]
    return any(word in _list("serving") for word in first)


# ---------------------------------------------------------------- what is added


@cache
def _adding() -> re.Pattern[str]:
    words = sorted(facts.table("pasted")["words"]["adding"], key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(re.escape(word) for word in words)})\b")


def _adds(plain: str) -> bool:
    return bool(_adding().search(plain))


def _added(plain: str, known: Listed) -> list[str]:
    """Things that a sentence puts in and nobody knows."""
    found = []
    for adding in _adding().finditer(plain):
        for word in _objects(plain[adding.end() :]):
            if not _is_known(word, known):
                found.append(
                    f'"{shown(word)}" goes in here and is not among the ingredients: add it there with its amount, or say it otherwise'
                )
    return found


def _objects(text: str) -> Iterator[str]:
    """The words for what is put in: up to where, when or how, or to the next thing to do."""
    begins = True  # an element of the row of things
    for word in _WORD.findall(text[:300]):
        if word in (",", "and"):
            begins = True
            continue
        if not word[0].isalpha() or (word in _list("then") and word not in ("and", "with")):
            return
        if begins and (word in _list("verbs") or word.endswith("ing")) and word not in _list("content"):
            return
        if word.endswith("ly") and len(word) > 4:
            continue
        begins = False
        yield word


def _is_known(word: str, known: Listed) -> bool:
    if word in ("berry", "berries"):
        return any("berr" in each for each in known.line_words)
    pieces = [word, *word.split("-")] if "-" in word else [word]
    general = (
        _list("content"),
        _list("idle"),
        _list("then"),
        _list("vessels"),
        _list("vessel_words"),
        _list("kinds"),
        _list("nutrition"),
        known.line_words,
        known.extra_words,
    )
    held = any(any(_is_of(piece, words) for words in general) for piece in pieces)
    return (
        held
        or word in (*facts.table("extras")["filler"], *facts.table("extras")["dry_words"])
        or word in ("water", "min", "minute", "minutes", "cover", "day", "days")
    )


# ---------------------------------------------------------------- amounts


def _measured(plain: str) -> Iterator[tuple[Amount, str, str, str]]:
    """Each amount of a kitchen unit in a sentence: the amount, what stands before it, what it is of, and as written."""
    done = 0
    for start in _START.finditer(plain):
        if start.start() < done:
            continue
        piece = _END.split(plain[start.start() : start.start() + 100], maxsplit=1)[0].strip()
        try:
            amount, rest = read_amount(plainly(piece))
        except InputError:
            continue
        done = start.start() + max(len(piece) - len(rest), 1)
        yield amount, plain[: start.start()], rest, piece


def is_vessel(text: str) -> bool:
    """Whether a row that begins with an amount is of a pot or jars: "6-quart pot"."""
    plain = re.sub(r"(?<=[0-9])-(?=[a-z])", " ", in_figures(_plain(text)))
    first = next(_measured(plain), None)
    return first is not None and _is_vessel(_WORD.findall(first[2]))


def _is_vessel(words: Sequence[str]) -> bool:
    left = [word for word in words if not (word in _list("vessel_words") or word in _list("idle"))]
    return bool(left) and _is_of(left[0].split("-")[0], _list("vessels"))


def _amounts(plain: str, known: Listed) -> list[str]:
    """Amounts of what is not listed, or of more than is."""
    found = []
    for amount, before, rest, piece in _measured(plain):
        words = _WORD.findall(rest)
        if _is_vessel(words):
            continue
        of: list[str] = []
        for word in words:
            if not word[0].isalpha() or word in _list("then"):
                break
            of.append(word)
        of = [word for word in of if word not in _list("idle")]
        until = next((word for word in words if not word[0].isalpha() or word in _list("then")), None)
        said = shown(piece if until is None else piece[: len(piece) - len(rest) + rest.index(until)], 50)
        last = before.split()[-1:] or [""]
        if last[0] in _list("more") or (of and of[0] in _list("more")):
            found.append(f'"{said}" comes on top of what is listed: write the whole amount among the ingredients')
        elif not of and (behind := re.search(r"([a-z-]+) ?[:,(=\u2013-]+ ?$", before)) and not _is_known(behind[1], known):
            found.append(f'"{shown(behind[1])}" has an amount here and is not among the ingredients: add it there, or take it out')
        elif of[:1] == ["water"] and "water" not in known.keys:
            if not any(word in plain for word in _list("rinsing")):
                found.append(f'"{said}" is not among the ingredients: add it there, or take it out')
        elif any(not _is_known(word, known) for word in of):
            found.append(f'"{said}" is not among the ingredients: add it there with its amount, or take it out')
        elif of and _too_much(amount, of, known):
            found.append(f'"{said}" is more than is listed: write the whole amount among the ingredients')
    return found


def _too_much(amount: Amount, of: Sequence[str], known: Listed) -> bool:
    """Whether a step measures more of a thing than there is."""
    named = [word for word in of if _is_of(word, known.line_words) and not _is_of(word, _list("content"))]
    if not named:
        spice = [word for word in of if _is_of(word, known.extra_words)]
        return bool(spice) and ((amount.ml or 0.0) > SPOON_ML * SAME or (amount.grams or 0.0) > SPOON_ML)
    held = [line for line in known.lines if all(_is_of(word, set(_forms(_words(f"{line.strict} {line.item}")))) for word in named)]
    for mine, theirs in ((amount.grams, [line.amount.grams for line in held]), (amount.ml, [line.amount.ml for line in held])):
        if mine is not None and held and all(each is not None for each in theirs):
            return mine > SAME * sum(each for each in theirs if each is not None)
    return False


def _more(plain: str, known: Listed) -> list[str]:
    """More of what is listed, with no amount: "plus more fruit"."""
    found = []
    for more in re.finditer(r"\b(?:more|another|extra|additional)\b((?: [a-z-]+){1,3})", plain):
        words = [word for word in more[1].split() if word not in _list("idle")]
        if words and words[0] not in _list("then") and (_is_of(words[0], known.line_words) or words[0] in ("fruit", "berries")):
            found.append(
                f'"{more[0].split()[0]} {shown(words[0])}" comes on top of what is listed: write the whole amount among the ingredients'
            )
    return found
