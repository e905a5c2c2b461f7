"""Boiling-water process: minutes by jar and altitude band, the boiling point there, what follows for jars and steam canner.

It decides no storage (that is storage.py) and knows no recipe but its own minutes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from jamcalc.errors import NotPossible
from jamcalc.facts import figure, table
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import BandTime, Process
from jamcalc.words.measures import METRES_PER_FOOT
from jamcalc.words.phrases import one_jar, temperature

# 304.8 m is 1,000 ft but for the last bit of a float; the tolerance is a thousandth of a millimeter at the top band.
_ROUNDING = 1e-10


@cache
def _value(group: str, name: str) -> float:
    return figure(table("process")[group][name]).typical


def boiling_point_degc(altitude_ft: float) -> float:
    """Boiling point of water in the standard atmosphere.

        p = 101.325 kPa (1 - 0.0065 h / 288.15)^5.25588;  T = saturation temperature at p

    Parameters
    ----------
    altitude_ft : above the sea, or below it [ft]

    Returns
    -------
    boiling point [degC]; weather moves it by about 0.6 either way

    Valid from -5,000 to 36,000 ft. Sources: ICAO-7488, IAPWS-IF97.
    """
    height_m = altitude_ft * METRES_PER_FOOT
    relative = 1.0 - _value("atmosphere", "lapse_k_per_m") * height_m / _value("atmosphere", "temperature_k")
    return _saturation_degc(_value("atmosphere", "pressure_kpa") / 1000.0 * relative ** _value("atmosphere", "exponent"))


def _saturation_degc(pressure_mpa: float) -> float:
    """Region 4 backward equation of IAPWS-IF97, in the release's own letters."""
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = table("process")["saturation"]["n"]
    beta = pressure_mpa**0.25
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2.0 * g / (-f - math.sqrt(f**2 - 4.0 * e * g))
    kelvin: float = (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d))) / 2.0
    return kelvin - 273.15


def band_index(altitude_ft: float | None) -> int:
    """Which altitude band holds, counted from 0.

    Parameters
    ----------
    altitude_ft : where the jars are processed [ft]; None and heights below the sea: the lowest band

    Returns
    -------
    index of the band; exactly 1,000 ft is band 0, anything above it band 1

    Raises NotPossible above 10,000 ft, where no band is published. Source: ALTITUDE-MINUTES.
    """
    height_ft = 0.0 if altitude_ft is None else altitude_ft
    for index, band in enumerate(table("process")["band"]):
        if height_ft <= band["highest_ft"] * (1.0 + _ROUNDING):
            return index
    raise NotPossible(
        "no process time is published above 10,000 ft (3,048 m): refrigerate or freeze this batch, or ask your local extension service"
    )


def table_minutes(size_class: str, jar_name: str) -> tuple[int, ...]:
    """Published minutes for low-sugar jam, one for each altitude band.

    Parameters
    ----------
    size_class : half-pint (and smaller), pint, or too large
    jar_name : for the refusal

    Returns
    -------
    minutes from the lowest band up [min]

    Raises NotPossible for a jar larger than a pint. Sources: LM-RECIPE-TIMES, ALTITUDE-MINUTES, USDA-PEACH-PINEAPPLE.
    """
    row = table("process")["minutes"].get(size_class)
    if row is None:
        raise NotPossible(
            f"no process time is published for jam in a {one_jar(jar_name)}: use pints or smaller, or keep it refrigerated or frozen"
        )
    return tuple(row["by_band"])


def process_for(
    size_class: str,
    jar_name: str,
    altitude_ft: float | None,
    own_min: float | None = None,
    full_sugar: bool = False,
    printed: Sequence[int | None] = (),
) -> Process:
    """Minutes in the boiling-water canner.

        minutes = max(table, own + 0, 5, 10, 15, 20 by band)

    Parameters
    ----------
    size_class : half-pint (and smaller), pint, or too large
    jar_name : as it is shown
    altitude_ft : where the jars are processed [ft]; None: minutes of the lowest band, the whole row shown
    own_min : the recipe's own minutes at the lowest band [min]; it counts if longer
    full_sugar : enough sugar (storage.py): the recipe's own minutes stand even if shorter, though never under 5
    printed : what the recipe prints for each band [min], None where nothing; it counts if longer

    Returns
    -------
    minutes [min], the row of all bands and the boiling point [degC], at sea level where no altitude is given

    Raises NotPossible for a jar larger than a pint and above 10,000 ft.
    Sources: LM-RECIPE-TIMES, ALTITUDE-MINUTES, USDA-PEACH-PINEAPPLE, NCHFP-STRAWBERRY.
    """
    index = band_index(altitude_ft)
    data = table("process")
    row = _row(table_minutes(size_class, jar_name), data["added_for_altitude"]["by_band"], own_min, full_sugar)
    row = tuple(max(minutes, own or 0) for minutes, own in zip(row, printed or (None,) * len(row), strict=True))
    by_band = tuple(
        BandTime(feet=band["feet"], metres=band["metres"], minutes=minutes) for band, minutes in zip(data["band"], row, strict=True)
    )
    sources = [*data["minutes"][size_class]["sources"], *data["added_for_altitude"]["sources"]]
    if full_sugar and own_min is not None:
        sources = [*data["added_for_altitude"]["sources"], *data["limits"]["full_sugar_least_min"]["sources"]]
    return Process(
        minutes=row[index],
        jar=jar_name,
        altitude_ft=altitude_ft,
        boiling_point_degc=boiling_point_degc(0.0 if altitude_ft is None else altitude_ft),
        by_band=by_band,
        sources=tuple(dict.fromkeys(sources)),
    )


def printed_process(printed: Sequence[int | None], jar_name: str, altitude_ft: float | None) -> Process | None:
    """A tested recipe's own time, as its agency prints it for this jar: nothing is added for height and no band filled in.

    Parameters
    ----------
    printed : minutes for each band from the lowest up [min]; None: not printed
    jar_name : as the result shall say it
    altitude_ft : where the jars are processed [ft]; None: minutes of the lowest band

    Returns
    -------
    Process with the bands that are printed, or None where the band that holds is not one of them

    Raises NotPossible above 10,000 ft.
    """
    minutes = printed[band_index(altitude_ft)]
    if minutes is None:
        return None
    bands = zip(table("process")["band"], printed, strict=True)
    return Process(
        minutes=minutes,
        jar=jar_name,
        altitude_ft=altitude_ft,
        boiling_point_degc=boiling_point_degc(0.0 if altitude_ft is None else altitude_ft),
        by_band=tuple(BandTime(feet=band["feet"], metres=band["metres"], minutes=own) for band, own in bands if own is not None),
    )


def _row(published: Sequence[int], added: Sequence[int], own_min: float | None, full_sugar: bool) -> tuple[int, ...]:
    if own_min is None:
        return tuple(published)
    if full_sugar:
        base = max(math.ceil(own_min), round(_value("limits", "full_sugar_least_min")))
        return tuple(base + more for more in added)
    return tuple(max(minutes, math.ceil(own_min) + more) for minutes, more in zip(published, added, strict=True))


def process_notes(process: Process, units: str = "us") -> tuple[Finding, ...]:
    """What a process means for the jars, for a steam canner, and for a cook who gave no altitude.

    Parameters
    ----------
    process : from `process_for`; units : us or metric

    Returns
    -------
    findings: `no-altitude`, `sterilise` or `hot-jars`, `steam-canner` or `no-steam-canner`

    Sources: MSU-01600946, STERILE-JARS-TABLE, NCHFP-STEAM, WILLMORE-2015.
    """
    notes = []
    if process.altitude_ft is None:
        lowest = process.by_band[0].metres if units == "metric" else process.by_band[0].feet
        text = (
            f"{process.minutes} min is for {lowest} only. Look up the height of the kitchen where the jars are processed, "
            "and take the minutes of its band."
        )
        notes.append(Finding(id="no-altitude", kind="usual", text=text, sources=process.sources))
    notes.append(_jar_note(process))
    most_min, most_ph = _value("limits", "steam_canner_most_min"), _value("limits", "steam_canner_most_ph")
    steam = figure(table("process")["limits"]["steam_canner_most_min"]).sources
    if process.minutes <= most_min:
        boils = (
            "as hot as water boils at your altitude"
            if process.altitude_ft is None
            else f"at {temperature(process.boiling_point_degc, units)}"
        )
        text = (
            f"A steam canner is for tested recipes at pH {most_ph:g} or below, at the same minutes: jars preheated, vented to pure steam "
            f"{boils}, and the lid never lifted."
        )
        notes.append(Finding(id="steam-canner", kind="caution", text=text, sources=steam))
    else:
        text = f"Not in a steam canner: it must not run longer than {most_min:g} min. Use boiling water over the lids."
        notes.append(Finding(id="no-steam-canner", kind="caution", text=text, sources=steam))
    return tuple(notes)


def _jar_note(process: Process) -> Finding:
    limit = figure(table("process")["limits"]["sterile_under_min"])
    if process.minutes >= limit.typical:
        return Finding(
            id="hot-jars",
            kind="caution",
            text="Jars must be clean and hot; at 10 min or more they need not be sterile.",
            sources=limit.sources,
        )
    # Two ways to count the extra minutes are in print, from sea level and from 1,000 ft; this is the longer one.
    begun_thousands = max(0, math.ceil((process.altitude_ft or 0.0) / 1000.0))
    boil = figure(table("process")["limits"]["sterile_boil_min"])
    text = f"Under 10 min the jars must be sterile: boil them for {boil.typical + begun_thousands:g} min and keep them hot until filled."
    return Finding(id="sterilise", kind="caution", text=text, sources=boil.sources)
