"""Words that say in what form fruit is: how it fills a cup, and whether it is ready for the pot; and the name without them.

Words alone: what a form weighs is in the facts.
"""

from __future__ import annotations

from jamcalc.nouns.said import Form

# What the word says about the fruit in the pot. "ready" words make a weight a weight of prepared fruit.
READY: dict[str, Form] = {
    **dict.fromkeys(("prepared", "peeled", "pitted", "stoned", "hulled", "cored", "trimmed", "stemmed", "topped", "skinned"), "prepared"),
    **dict.fromkeys(("grated", "shredded"), "prepared"),
    **dict.fromkeys(("frozen", "thawed"), "frozen"),
}
FILLS: dict[str, Form] = {
    **dict.fromkeys(("mashed", "crushed", "pureed", "puréed", "pureéd", "puree", "purée", "pureé", "ground", "pulped", "pulp"), "mashed"),
    **dict.fromkeys(("chopped", "diced", "sliced", "cubed", "minced", "cut", "halved", "quartered"), "chopped"),
    **dict.fromkeys(("halves", "quarters", "slices", "cubes", "chunks", "pieces"), "chopped"),
    "whole": "whole",
}
SAY_NOTHING = {"and", "finely", "coarsely", "roughly", "lightly", "firmly", "packed", "unsweetened", "divided", "rinsed"}
FORM_WORDS = {*READY, *FILLS, *SAY_NOTHING}
_PUT_UP, _SUGARED = {"canned", "tinned"}, {"syrup", "sweetened", "sugar"}


def name_and_forms(text: str) -> tuple[str, list[str]]:
    """The name of the item without the form words before or after it, and those words."""
    words, forms = text.split(), list[str]()
    while len(words) > 1:
        first, last = words[0].lower(), words[-1].lower().strip("()")
        if first == "frozen" and _SUGARED & {word.lower() for word in words}:
            break  # frozen with sugar: another thing than frozen fruit
        if first == "ground" and words[1].lower().startswith("cherr"):
            break  # the ground cherry is a fruit, not a cherry that was ground
        if first in FORM_WORDS or (first == "bottled" and last == "juice" and words[1].lower() not in ("lemon", "lime")):
            forms.append(first)
            del words[0]
        elif last in FORM_WORDS:
            forms.append(last)
            del words[-1]
        else:
            break
    if _PUT_UP & set(text.lower().replace(",", "").split()):  # "canned crushed pineapple in juice"
        forms += [word for word in words if word.lower() in FORM_WORDS]
        words = [word for word in words if word.lower() not in FORM_WORDS or word.lower() == "frozen"]
    return " ".join(words), forms
