"""process, facts, recipes and kitchen: what is looked up or remembered rather than worked out.

Holds no figures and no wording of screens. Nothing here needs pint or scipy, and each loads only what it shows.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import asdict
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc import facts
from jamcalc.errors import InputError, NotPossible
from jamcalc.kitchen import own_files
from jamcalc.nouns.known import Jar
from jamcalc.screens.output import json_text, say, show
from jamcalc.words import units
from jamcalc.words.complaint import complain, for_eyes

if TYPE_CHECKING:
    from jamcalc.kitchen.household import Kitchen
    from jamcalc.nouns.learned import OfFruit

KINDS: dict[str, facts.Kind] = {
    "fruits": "fruit",
    "juices": "juice",
    "vegetables": "vegetable",
    "sweeteners": "sweetener",
    "acids": "acid",
    "jars": "jar",
}


def process(options: SimpleNamespace) -> int:
    """Minutes in boiling water."""
    from jamcalc.jars.process import process_for, process_notes
    from jamcalc.words import quantities

    kitchen = own_files.kitchen(options)
    jar = _jar(options.jar)
    altitude_ft = kitchen.altitude_ft if options.altitude is None else quantities.read_altitude_ft(options.altitude)
    own_min = None if options.own is None else quantities.read_minutes(options.own)
    try:
        _check_closure(jar)
        timed = process_for(jar.size_class, jar.name, altitude_ft, own_min)
    except NotPossible as error:
        if options.json:
            say(json_text(_no_process(jar, altitude_ft, str(error))))
        complain(str(error))
        return error.exit_code
    if options.json:
        from jamcalc.answers.record import process_dict

        say(json_text(process_dict(timed)))
    else:
        from jamcalc.screens.process_screen import process_screen

        units_used = options.units or kitchen.units or "us"
        show(process_screen(timed, process_notes(timed, units_used), units=units_used))
    return 0


def _jar(name: str | None) -> Jar:
    if name is None:
        return facts.jar("half-pint")
    from jamcalc.reading import lines

    return facts.jar(lines.read_item(name, ("jar",)).key)


def _check_closure(jar: Jar) -> None:
    """Refuse a jar whose lid no published time is for."""
    if jar.closure:
        from jamcalc.formula.storage import jar_bar

        if bar := jar_bar(jar):
            raise NotPossible(bar.text)


def _no_process(jar: Jar, altitude_ft: float | None, why: str) -> dict[str, Any]:
    """The process object, whole, where there is no time to give."""
    from jamcalc.jars.process import boiling_point_degc

    boils = round(boiling_point_degc(altitude_ft or 0.0), 1)
    return {"jar": jar.name, "minutes": None, "altitude_ft": altitude_ft, "boiling_point_c": boils, "by_band": [], "refused": why}


def look_up(options: SimpleNamespace) -> int:
    """What is held about one item, or the list of all."""
    from jamcalc.answers import record
    from jamcalc.reading import lines
    from jamcalc.screens import facts_screen

    if not options.words:
        names = {title: [str(facts.table("items")[kind][key][0]) for key in facts.keys(kind)] for title, kind in KINDS.items()}
        if options.json:
            say(json_text(names))
        else:
            show(facts_screen.facts_index(names))
        return 0
    name = " ".join(options.words)
    _check_setting(name)
    item = lines.read_item(name, facts.KINDS)
    held = _HOLDERS[item.kind](item.key)
    sources, hers = facts.sources(record.source_keys(held)), _hers(item.kind, item.key)
    if options.json:
        sources_said = [{"id": source.key, "text": source.text} for source in sources]
        yours = {} if hers is None else {"yours": record.yours(hers)}
        say(json_text({**record.item_dict(held), "kind": item.kind, "sources": sources_said, **yours}))
        return 0
    if item.finding is not None:
        say(item.finding.text)
    show(facts_screen.facts_screen(held, sources, hers))
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


_HOLDERS: dict[str, Callable[[str], Any]] = {
    "fruit": facts.fruit,
    "juice": facts.fruit,
    "vegetable": facts.fruit,
    "sweetener": facts.sweetener,
    "acid": facts.acidulant,
    "jar": facts.jar,
}


def recipes(options: SimpleNamespace) -> int:
    """The recipes that come with the program, by who stands behind them."""
    from jamcalc.recipes.listing import listed

    held = listed()
    if options.json:
        say(json_text([asdict(recipe) for recipe in held]))
        return 0
    from jamcalc.screens import recipes_screen

    show(recipes_screen.recipes(held))
    return 0


# ---------------------------------------------------------------- kitchen


def kitchen(options: SimpleNamespace) -> int:
    """Change the settings that are given, then show what the kitchen file says."""
    from jamcalc.kitchen import home_file, household

    path = own_files.kitchen_path(options)
    if options.words:
        home_file.change(path, _changes(options.words))
    home, problems = home_file.read(path)
    settings = _settings(home)
    if options.json:
        say(json_text({"file": units.visible(str(path)), "exists": os.path.isfile(path), "settings": settings, "problems": list(problems)}))
    else:
        there = "" if os.path.isfile(path) else " (not there yet)"
        say(f"Kitchen file: {units.visible(str(path))}{there}\n")
        for name, setting in household.SETTINGS.items():
            value = settings.get(name)
            said = f"not set; such as {_example(setting.example_in(home.units))}" if value is None else _words(value)
            say(for_eyes(f"  {name:27} {said}", indent=30))
        altitude = _example(household.SETTINGS["altitude"].example_in(home.units))
        say(f"\nTo set one: jamcalc kitchen altitude={altitude}; altitude= alone takes it out.")
    own_files.complain_of_kitchen(problems)
    return 0


def _changes(words: list[str]) -> dict[str, str | list[str] | int | None]:
    """`altitude="4300 ft"` as the shell hands it on: altitude=4300 ft; an empty value takes the setting out."""
    changes: dict[str, str | list[str] | int | None] = {}
    for word in _joined(words):
        name, joined, value = word.partition("=")
        name = name.strip().replace("-", "_")
        if not joined or not units.shown(name):
            raise InputError(f'"{units.shown(word)}" sets nothing: write SETTING=VALUE, such as altitude="4300 ft"')
        if name in changes:
            raise InputError(f"{units.shown(name)} is set twice: write it once")
        changes[name] = value.strip() or None
    return changes


def _joined(words: list[str]) -> list[str]:
    """Words typed without quotes put back to the setting before them: canner=7 jars."""
    whole: list[str] = []
    for word in words:
        if whole and "=" not in word and "=" in whole[-1]:
            whole[-1] += f" {word}"
        else:
            whole.append(word)
    return whole


def _settings(home: Kitchen) -> dict[str, Any]:
    """The settings in the words of the file."""
    import tomllib

    from jamcalc.kitchen import household

    held = tomllib.loads(household.text(home))
    return {key: home.as_written.get(key, value) for key, value in held.items()}


def _words(value: Any) -> str:
    return ", ".join(value) if isinstance(value, list) else str(value)


def _example(toml: str) -> str:
    """An example of the file as it is written on the command line: a list is one text with commas."""
    import tomllib

    return f'"{_words(tomllib.loads("value = " + toml.split(" or ")[0])["value"])}"'


COMMANDS: dict[str, Callable[[SimpleNamespace], int]] = {"process": process, "facts": look_up, "recipes": recipes, "kitchen": kitchen}
