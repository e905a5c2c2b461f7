"""A line or a name that the reader cannot take yet, mended with the cook: near names, which kind, the form that a volume needs,
how many pounds, of which size.

The reader alone decides what can be read; here words are put in the place of others until it does.
"""

from __future__ import annotations

from collections.abc import Mapping

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError, UnknownItem
from jamcalc.nouns.said import Line
from jamcalc.reading import lines
from jamcalc.words import phrases, units
from jamcalc.words.conversation import NOTHING, YES, Back, Talk, picked, said

MOST_WORDS_IN_A_NAME = 6  # beyond it a near name takes the place of all that was written
AGAIN = "[write it again]: "
WHY_NEAR = """\
These names come nearest. Take one by its number, or write it again: the name
alone, or the whole line."""
WHY_KIND = """\
They differ too much for me to guess. Take one by its number, or write it again:
the name alone, or the whole line."""
WHY_FORM = """\
Whole berries leave air between them: a cup of them holds much less fruit than a
cup of mashed ones."""
WHY_AMOUNT = """\
A weight is best, such as 3 lb or 1.5 kg, as you bought or picked it. Cups will
do where you say how it is cut: 4 cups mashed."""
WHY_SIZE = """\
Fruit by the piece is guessed at by its size. Better is what it weighs: write
for instance 2 lb."""
FORMS = {"mashed": "mashed, crushed or pureed", "chopped": "chopped or sliced", "whole": "whole"}
SIZES = ("small", "medium", "large", "extra large")


def line(talk: Talk, text: str) -> Line | None:
    """The line, after as many questions as it takes; None where the cook had rather write it again."""
    while True:
        try:
            return lines.read_line(text)
        except UnknownItem as error:
            answer = _near(talk, error)
            text = _mended(text, answer) if answer else ""
        except InputError as error:
            text = _completed(talk, text, error)
        if not text:
            return None
        talk.show(f"Read as: {units.shown(text)}")


def _completed(talk: Talk, text: str, error: InputError) -> str:
    """The line with what it lacks: which kind, which form, how much, of what, which size; "" where it has to be written again."""
    kinds = facts.stands_for(_rest(text))
    if kinds or _lacks_form(text):
        answer = _kind(talk, error, kinds) if kinds else _form(talk)
        return _mended(text, answer) if answer else ""
    if sizes := _sizes(text):
        talk.show("Of which size? Or write what they weigh, such as 2 lb.")
        answer = _chosen(talk, f"size {AGAIN}", sizes, WHY_SIZE)
        return _sized(text, answer) if answer in sizes else _weighed(text, answer)
    if _names_fruit(text):
        answer = _asked(talk, "How much is there? Such as 3 lb, or 4 cups mashed.", "how much: ", WHY_AMOUNT)
        return _weighed(text, answer)
    if _is_amount(text):
        answer = _asked(talk, "Of which fruit?", "fruit: ", WHY_AMOUNT)
        return answer and (answer if _rest(answer) else f"{text} {answer}")
    talk.show(phrases.sentence(str(error)))
    return ""


def _asked(talk: Talk, question: str, prompt: str, why: str) -> str:
    """What is answered; "" for "back" and for nothing."""
    talk.show(question)
    try:
        answer = talk.answer(prompt, why)
    except Back:
        return ""
    return "" if said(answer) in NOTHING else answer


def _names_fruit(text: str) -> bool:
    """Whether it is the name of a fruit, and nothing else."""
    try:
        return lines.read_line(f"1 lb {text}").role == "fruit"
    except JamcalcError:
        return False


def _is_amount(text: str) -> bool:
    """Whether it is an amount, and nothing else."""
    try:
        return not units.read_amount(text)[1]
    except InputError:
        return False


def _weighed(text: str, amount: str) -> str:
    """The fruit of a line with its amount; a line written whole takes the place of it, and a bare number stays a count."""
    if not amount or (_rest(amount) and not _form_alone(_rest(amount))):
        return amount
    number, _, name = text.partition(" ")
    name = name if number.isdigit() else text
    return f"{amount} {name}"


def _form_alone(rest: str) -> bool:
    return rest in ("mashed", "crushed", "chopped", "sliced", "whole", "pureed", "frozen", "prepared")


def _sized(text: str, size: str) -> str:
    number, _, name = text.partition(" ")
    return f"{number} {size} {name}"


def _sizes(text: str) -> dict[str, str]:
    """The sizes by which a bare number of pieces can be weighed, with what they weigh; none where it is no such line."""
    sizes = {}
    for size in SIZES if text.partition(" ")[0].isdigit() else ():
        try:
            grams = lines.read_line(_sized(text, size)).amount.grams
        except JamcalcError:
            continue
        if grams is not None:
            sizes[size] = f"{size}, about {phrases.bought(grams, 'us')} in all"
    return sizes


def item(talk: Talk, text: str, kind: facts.Kind) -> facts.Item | None:
    """The item of a name typed alone, after a near name where it was misspelled; None: ask again."""
    while True:
        try:
            named = lines.read_item(text, (kind,))
        except UnknownItem as error:
            text = _near(talk, error)
        except InputError as error:
            kinds = facts.stands_for(text)
            if not kinds:
                talk.show(phrases.sentence(str(error)))
                return None
            text = _kind(talk, error, kinds)
        else:
            if named.finding is not None:
                talk.show(named.finding.text)
            return named
        if not text:
            return None


def _near(talk: Talk, error: UnknownItem) -> str:
    """One of the near names, or what was written instead; "" where neither."""
    if not error.near:
        talk.show("I do not know that name. Write it in other words, or name another.")
        return ""
    talk.show("I do not know that name. Did you mean")
    return _chosen(talk, f"which {AGAIN}", {name: name for name in error.near}, WHY_NEAR)


def _kind(talk: Talk, error: InputError, kinds: tuple[str, ...]) -> str:
    """One of the kinds of a thing, or what was written instead."""
    talk.show(phrases.sentence(str(error)))
    return _chosen(talk, f"which {AGAIN}", {name: name for name in kinds}, WHY_KIND)


def _form(talk: Talk) -> str:
    """One of the forms, or what was written instead."""
    talk.show("How was it measured?")
    return _chosen(talk, f"form {AGAIN}", FORMS, WHY_FORM)


def _chosen(talk: Talk, prompt: str, options: Mapping[str, str], why: str) -> str:
    """An option by its number, or whatever else is written; "" for Enter and "back"."""
    talk.options(options)
    number = "1" if len(options) == 1 else f"a number from 1 to {len(options)}"
    while True:
        try:
            text = talk.answer(prompt, why)
        except Back:
            return ""
        choice = next(iter(options)) if len(options) == 1 and said(text) in YES else picked(text, options) or text
        if not choice.isdigit():
            return "" if said(choice) in NOTHING else choice
        talk.show(f'"{units.shown(choice)}" is none of these: write {number}, or write it again in words.')


def _mended(text: str, answer: str) -> str:
    """The line with what was answered in the place of its name, or as its form; a whole line takes the place of all of it."""
    if _rest(answer):
        return answer
    return _with_form(text, answer) if _lacks_form(text) else _with_name(text, answer)


def _with_name(text: str, name: str) -> str:
    """The line with another name in the place of as few of its words as the reader lets it: "3 lb frozen strawbery"."""
    amount, rest, weight = _parted(text)
    words = rest.split()
    wanted = _key(name) if len(words) <= MOST_WORDS_IN_A_NAME else None
    for size in range(1, len(words) + 1) if wanted else ():
        for start in range(len(words) - size + 1):
            trial = [*words[:start], *name.split(), *words[start + size :]]
            try:
                if len(set(trial)) == len(trial) and lines.read_line(f"{weight} {' '.join(trial)}").item == wanted:
                    return f"{amount} {' '.join(trial)}"
            except JamcalcError:
                continue
    return f"{amount} {name}"


def _parted(text: str) -> tuple[str, str, str]:
    """The amount of a line, what follows it, and an amount to try names with; of a count ("6 large plumz") its number, and itself."""
    from jamcalc.words.spoken import plainly

    plain = plainly(units.tidy(text))
    try:
        amount, rest = units.read_amount(plain)
    except InputError:
        number, _, rest = plain.partition(" ")
        return number, rest, number
    return amount.text, rest, "1 g"


def _key(name: str) -> str | None:
    """What a name stands for; None for what the cook wrote instead and is no name either."""
    try:
        return facts.lookup(name).key
    except JamcalcError:
        return None


def _rest(text: str) -> str:
    """What follows the amount; "" where there is no amount."""
    try:
        return units.read_amount(text)[1]
    except InputError:
        return ""


def _with_form(text: str, form: str) -> str:
    amount, rest, _ = _parted(text)
    return f"{amount} {form} {rest}"


def _lacks_form(text: str) -> bool:
    """Whether the line could be read if it named a form."""
    try:
        return lines.read_line(_with_form(text, "mashed")).role == "fruit"
    except JamcalcError:
        return False
