"""process, recipes and kitchen: what is looked up or remembered rather than worked out; facts has a module of its own.

Holds no figures and no wording of screens. Nothing here needs pint or scipy, and each loads only what it shows.
"""

from __future__ import annotations

import os
from dataclasses import asdict
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jamcalc.errors import InputError, NotPossible
from jamcalc.kitchen import own_files
from jamcalc.screens.output import json_text, say, show
from jamcalc.words import units
from jamcalc.words.complaint import complain, for_eyes

if TYPE_CHECKING:
    from jamcalc.kitchen.household import Kitchen
    from jamcalc.nouns.known import Jar


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
    from jamcalc import facts

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
            said = f'not set; such as "{_words(setting.example_in(home.units))}"' if value is None else _words(value)
            say(for_eyes(f"  {name:27} {said}", indent=30))
        altitude = household.SETTINGS["altitude"].example_in(home.units)
        say("\n" + for_eyes(f'To set one: jamcalc kitchen altitude="{altitude}"; altitude= alone takes it out.', indent=0))
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
    from jamcalc.kitchen import household

    return {key: home.as_written.get(key, value) for key, value in household.told(home).items()}


def _words(value: Any) -> str:
    """A setting as it is written on the command line: a list is one text with commas."""
    return ", ".join(value) if isinstance(value, list | tuple) else str(value)
