"""What a title, a step or a note puts in the pot that is not among the ingredients: it would be left out of the acidity.

Asked of each sentence: is an amount in it of something that is listed, and no more than that; does it name a food that is not; does
it add a thing that nobody knows; does it leave an acid out, or call a peach white. Words are compared, nothing is weighed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.nouns.said import Amount
from jamcalc.pasted.foods import LONGEST_NAME, WORD, Listed, forms, is_of, named, plain_of, word_list, words_of
from jamcalc.pasted.sayings import in_figures, sentences
from jamcalc.words.spoken import plainly
from jamcalc.words.units import read_amount, shown

SPOON_ML = 15.0  # of an extra in a step: more of it is no spice (judgement)
SAME = 1.02
LOW_IN_ACID = ("fruit", "juice", "vegetable")  # what a title or a note may not name unlisted; sweeteners and acids it may
_START = re.compile(r"(?<![\w./])(?:[0-9]|\.[0-9]|(?:an?|half)\b)", re.IGNORECASE)
_END = re.compile(r"[,;:()!?]|\.(?:\s|$)")
_LOW_SUGAR = re.compile(
    r"\b(?:low|lower|less|no|reduced|without|free of|added)[ -](?:added[ -])?(?:sugar|sweetener)\b|\bsugar[ -]free\b|\bsugarless\b"
)
_UNIT_DOT = re.compile(r"\b(lbs?|ozs?|tsps?|tbsps?|tbs|pts?|qts?|gals?|pkgs?|approx|fl|doz|c)\.", re.IGNORECASE)
_PART_OF = re.compile(r"\b(?:of the|of your|rest|remaining|other|half)\b")
_FRUIT_BUTTER = re.compile(r"(?<=\w )butter(?= *$| *[(,:-])")


def hidden(text: str, known: Listed, part: str) -> str:
    """What is wrong with a title, a step or a note, or ""; `part` is "title", "steps", "notes", or "fragment": a note of a few words."""
    plains = [_readable(sentence, part) for sentence in sentences(_UNIT_DOT.sub(r"\1", text)) or [text]]
    adds = any(_adds(plain) or next(_measured(plain), None) is not None for plain in plains)
    for plain in plains:
        is_step = part == "steps" and not (_serves(plain) and not _adds(plain))
        food = named(plain, known, facts.KINDS[:5] if is_step else LOW_IN_ACID)
        measured = [] if part == "title" else [*_amounts(plain, known), *_more(plain, known)]
        is_told = is_step or adds or part in ("title", "fragment")
        added = [] if part == "title" else _added(plain, known)
        if problems := (*measured, *(food if is_told else ()), *added, *_left_out(plain), *_white_flesh(plain, known)):
            return str(problems[0])
    return ""


def _readable(sentence: str, part: str) -> str:
    """A sentence in lower case and figures, without what only looks like food."""
    plain = re.sub(r"(?<=[0-9])-(?=[a-z])", " ", in_figures(plain_of(sentence)))
    for name in facts.table("pasted")["food"]["not_food"]:
        plain = plain.replace(name, " , ")
    plain = _LOW_SUGAR.sub(" , ", plain)
    return _FRUIT_BUTTER.sub(" , ", plain) if part == "title" else plain


@cache
def _maybe_out() -> re.Pattern[str]:
    acids, gap = "|".join(sorted(word_list("acids"))), r"(?: (?!and\b|add\b|then\b|with\b|for\b)[a-z'-]+)"
    before, after = ("|".join(sorted(word_list(name), key=len, reverse=True)) for name in ("left_out", "left_out_after"))
    return re.compile(
        rf"\b(?:{before}){gap}{{0,3}} (?:{acids})s?\b(?! (?:zest|rind|peel))|\b(?:{acids})s?\b{gap}{{0,4}},? \(?(?:{after})\b"
    )


def _left_out(plain: str) -> list[str]:
    """Whether an acid that is listed may not be in the pot."""
    match = _maybe_out().search(plain)
    return [f'"{shown(match[0])}": is all of the acid in the pot? List what goes in, and take this out'] if match else []


def _white_flesh(plain: str, known: Listed) -> list[str]:
    """Whether peaches or nectarines are called white-fleshed, or by the name of a variety that is."""
    if not known.keys & {"peach", "nectarine"}:
        return []
    words = f" {' '.join(words_of(plain))} "
    varieties = facts.table("names")["variety"]
    for name in (*word_list("white_flesh"), *varieties["white_peach"], *varieties["white_nectarine"]):
        if f" {name} " in words or f" {name}s " in words or f" {name}es " in words:
            return [f"{name}: is the flesh white? Such fruit must not be canned: write white peaches or nectarines, or take this out"]
    return []


def amount_first(text: str) -> str:
    """A short row that has its amount behind the name, turned round: "3 lb plums" of "Plums: 3 lb"; "" for any other."""
    plain = in_figures(plain_of(text))
    first = next(_measured(plain), None)
    if first is None or first[2] or not 0 < len(words_of(first[1])) <= LONGEST_NAME or _adds(plain):
        return ""
    name = first[1].strip(" :,=(-\u2013")
    return f"{first[0].text} {name}"


def _serves(plain: str) -> bool:
    """Whether a sentence speaks of the table and not of the pot."""
    first = words_of(plain)[:2]
    return any(word in word_list("serving") for word in first)


# ---------------------------------------------------------------- what is added


@cache
def _adding() -> re.Pattern[str]:
    words = sorted(facts.table("pasted")["words"]["adding"], key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(re.escape(word) for word in words)})\b")


def _adds(plain: str) -> bool:
    return bool(_adding().search(plain))


def _added(plain: str, known: Listed) -> list[str]:
    """Things that a sentence puts in and nobody knows."""
    problems = []
    for adding in _adding().finditer(plain):
        before = ""
        for word in _objects(plain[adding.end() :]):
            thins = word == "water" and before != "calcium" and adding[0] in word_list("thinning") and _is_of_pot(plain)
            if (thins and "water" not in known.keys) or not _is_known(word, known):
                problems.append(
                    f'"{shown(word)}" goes in here and is not among the ingredients: add it there with its amount, or say it otherwise'
                )
            before = word
    return problems


def _objects(text: str) -> Iterator[str]:
    """The words for what is put in: up to where, when or how, or to the next thing to do."""
    begins = True  # an element of the row of things
    for word in WORD.findall(text[:300]):
        if word in (",", "and"):
            begins = True
            continue
        if not word[0].isalpha() or (word in word_list("then") and word not in ("and", "with")):
            return
        if begins and (word in word_list("verbs") or word.endswith("ing")) and word not in word_list("content"):
            return
        if word.endswith("ly") and len(word) > 4:
            continue
        begins = False
        yield word


def _is_known(word: str, known: Listed) -> bool:
    if len(word) > 4 and word.endswith("ed") and not word.endswith("eed"):  # done to something, and naming nothing
        return True
    if word in ("berry", "berries"):
        return any("berr" in line_word for line_word in known.line_words)
    pieces = [word, *word.split("-")] if "-" in word else [word]
    general = (
        word_list("content"),
        word_list("idle"),
        word_list("then"),
        word_list("vessels"),
        word_list("vessel_words"),
        word_list("kinds"),
        word_list("nutrition"),
        known.line_words,
        known.extra_words,
    )
    held = any(any(is_of(piece, words) for words in general) for piece in pieces)
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


def has_amount(text: str) -> bool:
    """Whether an amount of a kitchen unit stands anywhere in a text."""
    return any(next(_measured(_readable(sentence, "notes")), None) for sentence in sentences(text))


def is_vessel(text: str) -> bool:
    """Whether a row that begins with an amount is of a pot or jars: "6-quart pot"."""
    plain = re.sub(r"(?<=[0-9])-(?=[a-z])", " ", in_figures(plain_of(text)))
    first = next(_measured(plain), None)
    return first is not None and _is_vessel(WORD.findall(first[2]))


def _is_vessel(words: Sequence[str]) -> bool:
    left = [word for word in words if not (word in word_list("vessel_words") or word in word_list("idle"))]
    return bool(left) and is_of(left[0].split("-")[0], word_list("vessels"))


def _amounts(plain: str, known: Listed) -> list[str]:
    """Amounts of what is not listed, or of more than is."""
    problems = []
    for amount, before, rest, piece in _measured(plain):
        words = WORD.findall(rest)
        if _is_vessel(words):
            continue
        of: list[str] = []
        for word in words:
            if not word[0].isalpha() or word in word_list("then"):
                break
            of.append(word)
        of = [word for word in of if word not in word_list("idle")]
        until = next((word for word in words if not word[0].isalpha() or word in word_list("then")), None)
        said = shown(piece if until is None else piece[: len(piece) - len(rest) + rest.index(until)], 50)
        last = before.split()[-1:] or [""]
        if last[0] in word_list("more") or (of and of[0] in word_list("more")):
            problems.append(f'"{said}" comes on top of what is listed: write the whole amount among the ingredients')
        elif not of and (behind := re.search(r"([a-z-]+) ?[:,(=\u2013-]+ ?$", before)) and not _is_known(behind[1], known):
            problems.append(f'"{shown(behind[1])}" has an amount here and is not among the ingredients: add it there, or take it out')
        elif of[:1] == ["water"] and "water" not in known.keys:
            if _is_of_pot(plain):
                problems.append(f'"{said}" is not among the ingredients: add it there, or take it out')
        elif any(not _is_known(word, known) for word in of):
            problems.append(f'"{said}" is not among the ingredients: add it there with its amount, or take it out')
        elif of and _too_little_acid(amount, of, known) and not _PART_OF.search(plain):
            problems.append(f'"{said}" is less than is listed: list what goes in, or write "of the" before the name for a part of it')
        elif of and _too_much(amount, of, known):
            problems.append(f'"{said}" is more than is listed: write the whole amount among the ingredients')
    return problems


def _is_of_pot(plain: str) -> bool:
    """Whether water in a sentence goes to the jam, and not to jars or skins."""
    return not any(word in plain for word in word_list("rinsing"))


def _too_much(amount: Amount, of: Sequence[str], known: Listed) -> bool:
    """Whether a step measures more of a thing than there is."""
    named = [word for word in of if is_of(word, known.line_words) and not is_of(word, word_list("content"))]
    if not named:
        spice = [word for word in of if is_of(word, known.extra_words)]
        return bool(spice) and ((amount.ml or 0.0) > SPOON_ML * SAME or (amount.grams or 0.0) > SPOON_ML)
    held = [line for line in known.lines if all(is_of(word, set(forms(words_of(f"{line.strict} {line.item}")))) for word in named)]
    for mine, theirs in ((amount.grams, [line.amount.grams for line in held]), (amount.ml, [line.amount.ml for line in held])):
        if mine is not None and held and all(listed is not None for listed in theirs):
            return mine > SAME * sum(listed for listed in theirs if listed is not None)
    return False


def _too_little_acid(amount: Amount, of: Sequence[str], known: Listed) -> bool:
    """Whether a step measures less of an acid than is listed: which of the two is in the pot?"""
    words = [word for word in of if is_of(word, known.line_words)]
    acids = [line for line in known.lines if line.role == "acid" and all(is_of(word, set(forms(words_of(line.strict)))) for word in words)]
    listed_ml = sum(line.amount.ml or 0.0 for line in acids)
    return bool({*words} & word_list("acids")) and amount.ml is not None and 0.0 < amount.ml * SAME < listed_ml


def _more(plain: str, known: Listed) -> list[str]:
    """More of what is listed, with no amount: "plus more fruit"."""
    problems = []
    for more in re.finditer(r"\b(?:more|another|extra|additional|double|triple|twice)\b((?: [a-z-]+){1,3})", plain):
        words = [word for word in more[1].split() if word not in word_list("idle")]
        if words and words[0] not in word_list("then") and (is_of(words[0], known.line_words) or words[0] in ("fruit", "berries")):
            problems.append(
                f'"{more[0].split()[0]} {shown(words[0])}" comes on top of what is listed: write the whole amount among the ingredients'
            )
    return problems
