"""When it did not turn out: what the model makes of a jar found runny, weeping, stiff or grainy, and what to try.

Compares the calcium and pectin of the recipe with what they should have been.
"""

from __future__ import annotations

from jamcalc.chemistry import setting
from jamcalc.formula.dosing import calcium_mg_per_ml
from jamcalc.formula.solver import Solved
from jamcalc.nouns.said import Finding
from jamcalc.words import measures
from jamcalc.words.phrases import sentence

NEW_BATCH = "An opened or re-cooked jar is a new batch: measure and process it as one, or keep it cold."

LEAVE_TESTED = "This is a tested recipe: change nothing in it. Make it again as written, one batch at a time."
# What holds for packet pectin, gelatin and no pectin at all, where calcium has no part in the set (common practice).
OTHER_SETS = {
    "runny": [
        "Wait two days first: some sets are slow. Then it is a good syrup.",
        "This recipe is not set by calcium: calcium water will not help. Its packet's leaflet says how to cook it again.",
        "Next time measure fruit and sweetener exactly, boil it hard for the time given, and never make a double batch.",
    ],
    "weeping": [
        "It was stored warm or the set is tight: keep it cool, and pour the liquid off or stir it in.",
        "Next time measure the pectin exactly, and do not store it over 70 F (21 C).",
    ],
    "stiff": [
        "It was boiled too long, or the fruit brought pectin of its own: next time a minute less, and riper fruit.",
        "A stiff jar is loosened with a spoon of hot juice when it is opened.",
    ],
    "grainy": [
        "The sugar had not dissolved, or was boiled too long: next time dissolve it first, "
        "and boil as long as the recipe says and no longer."
    ],
}


def advice(set_found: str, solved: Solved) -> tuple[Finding, ...]:
    """What to try and what not to do, for a jar that turned out `set_found`; in order of use.

    Parameters
    ----------
    set_found : runny, weeping, stiff or grainy
    solved : the recipe as written, worked out
    """
    if solved.pot.batch.pectin_kind == "calcium-set" and solved.pot.doses.pectin_g > 0.0:
        sayings = {"runny": _runny, "weeping": _weeping, "stiff": _stiff, "grainy": _grainy}[set_found](solved)
    else:
        sayings = OTHER_SETS[set_found]
    texts = [*sayings, *([LEAVE_TESTED] if solved.pot.batch.standing == "tested" else []), NEW_BATCH]
    return tuple(Finding(id=f"found-{set_found}", kind="know", text=text) for text in texts)


def _wanted_pectin_g(solved: Solved) -> float:
    pot = solved.pot
    return setting.pectin_percent(pot.solids_percent, pot.credit_percent, "medium") / 100.0 * pot.finished_g


def _spoons(grams: float, solved: Solved) -> str:
    if solved.pot.batch.settings.units == "metric":
        return measures.grams_text(grams)
    return measures.teaspoons(grams / setting.pectin_g_per_tsp(solved.pot.batch.settings.pectin_g_per_tsp)).text


def _calcium_spoons(mg: float, solved: Solved) -> str:
    return _small(mg / calcium_mg_per_ml(solved.pot.batch), solved)


def _small(ml: float, solved: Solved) -> str:
    return measures.metric(ml).text if solved.pot.batch.settings.units == "metric" else measures.teaspoons(ml / measures.TSP_ML).text


def _runny(solved: Solved) -> list[str]:
    texts = ["Wait two days first: this pectin sets slowly, and fully only when cold."]
    doses, calcium = solved.pot.doses, solved.calcium
    short_pectin = _wanted_pectin_g(solved) - doses.pectin_g
    have_mg = calcium.on_hand_mg + doses.calcium_water_ml * calcium_mg_per_ml(solved.pot.batch)
    short_calcium = calcium.wanted_mg - have_mg
    if short_pectin > 0.1 * _wanted_pectin_g(solved):
        texts.append(
            f"It is short of pectin: a medium set asks for about {_spoons(short_pectin, solved)} more, "
            "blended into a little hot juice or sweetener."
        )
    if short_calcium > 0.0:
        texts.append(
            f"It is short of calcium: try about {_calcium_spoons(short_calcium, solved)} more calcium water, stirred in while hot."
        )
    if len(texts) == 1:
        texts.append(
            "By the recipe there is enough of both. Old or lumped pectin, calcium water not shaken, or a pot slow to boil again "
            "are likelier: in one jar, warmed, try half as much calcium water again before you try more pectin."
        )
    texts.append("Do not boil it long to thicken it: that breaks the set for good.")
    return texts


def _weeping(solved: Solved) -> list[str]:
    texts = ["Weeping is a set drawn too tight, most often by calcium: add no more calcium water."]
    if solved.gel_set.too_much_calcium:
        texts.append("The calculation agrees: fruit, sweetener and calcium water together bring more calcium than this pectin can hold.")
    doses = solved.pot.doses
    if doses.calcium_water_ml > 0.0:
        texts.append(f"Next time halve the calcium water, to {_small(doses.calcium_water_ml / 2.0, solved)}.")
    texts.append(
        "A little sweetener more (10 to 20 % sugar) also holds the juice; pour off the liquid or stir it in, and eat that jar first."
    )
    return texts


def _stiff(solved: Solved) -> list[str]:
    wanted = _wanted_pectin_g(solved)
    over = solved.pot.doses.pectin_g - wanted
    texts = []
    if over > 0.1 * wanted:
        texts.append(f"The recipe has more pectin than a medium set asks for: next time use {_spoons(wanted, solved)}.")
    else:
        texts.append(
            "By the recipe this is a medium set; if you like it softer, next time use a quarter less pectin and as much less calcium water."
        )
    texts.append("A stiff jar is loosened with a spoon of hot juice or water when it is opened.")
    return texts


def _grainy(solved: Solved) -> list[str]:
    texts = [
        "Grain has two causes: calcium that met the pectin before it had dissolved, or a sweetener that crystallizes in the cold.",
        "Dissolve the pectin fully before the fruit boils again, and stir the calcium water into the cold fruit, never onto the powder.",
    ]
    limits = [
        (part.sweetener, grams)
        for part, grams in zip(solved.pot.batch.sweeteners, solved.pot.doses.sweetener_g, strict=True)
        if part.sweetener.cold_limit_g_per_100g_water is not None
    ]
    for sweetener, grams in limits:
        limit = sweetener.cold_limit_g_per_100g_water
        most = limit.typical * solved.pot.water_g / 100.0 if limit is not None else 0.0
        if grams > most:
            amounts = f"{measures.grams_text(grams)} where {measures.grams_text(most)} is the most"
            texts.append(f"{sentence(sweetener.name)} is over what stays dissolved cold: {amounts}.")
    if solved.gel_set.too_much_calcium:
        texts.append("There is more calcium than this pectin can hold: leave the calcium water out next time.")
    return texts
