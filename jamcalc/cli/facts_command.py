"""facts: what is held about a fruit, sweetener, acid or jar, and from what source; without a name the list of all.

Nothing here needs pint or scipy, and the list of names none of what a single item is shown with.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.kitchen import own_files
from jamcalc.screens.output import json_text, say, show
from jamcalc.words import units

if TYPE_CHECKING:
    from jamcalc.nouns.learned import OfFruit

KINDS: dict[str, facts.Kind] = {
    "fruits": "fruit",
    "juices": "juice",
    "vegetables": "vegetable",
    "sweeteners": "sweetener",
    "acids": "acid",
    "jars": "jar",
}


_HOLDERS: dict[str, Callable[[str], Any]] = {
    "fruit": facts.fruit,
    "juice": facts.fruit,
    "vegetable": facts.fruit,
    "sweetener": facts.sweetener,
    "acid": facts.acidulant,
    "jar": facts.jar,
}


def look_up(options: SimpleNamespace) -> int:
    """What is held about one item, or the list of all."""
    if options.words:
        return _one(" ".join(options.words), options.json)
    names = {title: [str(facts.table("items")[kind][key][0]) for key in facts.keys(kind)] for title, kind in KINDS.items()}
    if options.json:
        say(json_text(names))
        return 0
    from jamcalc.screens.facts_screen import facts_index

    show(facts_index(names))
    return 0


def _one(name: str, as_json: bool) -> int:
    from jamcalc.answers import record
    from jamcalc.reading import lines

    _check_setting(name)
    item = lines.read_item(name, facts.KINDS)
    held = _HOLDERS[item.kind](item.key)
    sources, hers = facts.sources(record.source_keys(held)), _hers(item.kind, item.key)
    if as_json:
        sources_said = [{"id": source.key, "text": source.text} for source in sources]
        yours = {} if hers is None else {"yours": record.yours(hers)}
        say(json_text({**record.item_dict(held), "kind": item.kind, "sources": sources_said, **yours}))
        return 0
    from jamcalc.screens.facts_screen import facts_screen

    if item.finding is not None:
        say(item.finding.text)
    show(facts_screen(held, sources, hers))
    return 0


def _hers(kind: str, key: str) -> OfFruit | None:
    """What her own batches say of a fruit; None where there is no book, or nothing in it."""
    path = own_files.book_file(SimpleNamespace())
    if kind not in ("fruit", "juice") or path is None or not os.path.lexists(path):
        return None
    from jamcalc.cli.teacher import Teacher

    return Teacher(path).learned([key]).of(key)


def _check_setting(name: str) -> None:
    """Pectin and calcium are no items: what a spoon of them holds is assumed, and the cook's own spoon is better."""
    if re.search(r"\b(pectin|calcium( water| powder)?)\W*$", name[: units.MAX_TEXT], re.IGNORECASE):
        held = facts.table("setting")
        pectin_g, calcium_mg = (facts.figure(held[key]).typical for key in ("pectin_g_per_tsp", "calcium_water_mg_per_tsp"))
        raise InputError(
            f'"{units.shown(name)}" is no item here: a teaspoon of calcium-set pectin is taken to weigh {pectin_g:g} g, and one of calcium '
            f"water to hold {calcium_mg:g} mg of calcium; batch --working shows what follows, --pectin-spoon and --calcium-spoon put yours "
            "in their place"
        )
