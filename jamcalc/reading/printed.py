"""The minutes that a recipe's source prints, by jar and altitude band: from the table of a recipe file, and back.

What is not printed is not known here: no band and no jar is filled in from another. What follows from that is for
process and storage.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from jamcalc import facts
from jamcalc.nouns.written import PrintedTime
from jamcalc.words.units import shown

MINUTES = (1, 240)
HELP = 'write bands in feet with their minutes, such as half-pint = { "0-1000" = 10, "1001-6000" = 15, "above 6000" = 20 }'


def printed_times(raw: Mapping[str, Any]) -> tuple[tuple[PrintedTime, ...], list[tuple[str, str]]]:
    """The table `[process]` of a recipe file.

    Parameters
    ----------
    raw : a jar's key (half-pint, pint ...) to a table of altitude bands in feet, each "LOW-HIGH" or "above LOW" with its minutes

    Returns
    -------
    the times, one for each jar, with None for each band that is not printed; the problems, as (key, text)
    """
    times, problems = [], []
    jars = facts.table("jars")
    for key, row in raw.items():
        if key not in jars:
            problems.append((str(key), f"no jar has this key; write one of {', '.join(sorted(jars))}"))
        elif not isinstance(row, Mapping) or not row:
            problems.append((str(key), f"is not a table; {HELP}"))
        else:
            minutes, wrong = _by_band(row)
            problems += [(str(key), text) for text in wrong]
            times.append(PrintedTime(jar=key, by_band=minutes))
    return tuple(times), problems


def _highest_ft() -> list[int]:
    return [band["highest_ft"] for band in facts.table("process")["band"]]


def _by_band(row: Mapping[str, Any]) -> tuple[tuple[int | None, ...], list[str]]:
    """Minutes of each of the bands that the program knows, and what cannot be read."""
    minutes: list[int | None] = [None] * len(_highest_ft())
    wrong = []
    for band, value in row.items():
        covered = _bands(str(band))
        if not covered:
            wrong.append(f'"{shown(str(band))}" is no altitude band; {HELP}')
        elif isinstance(value, bool) or not isinstance(value, int) or not MINUTES[0] <= value <= MINUTES[1]:
            wrong.append(f'"{shown(str(band))}": write whole minutes, {MINUTES[0]} to {MINUTES[1]}')
        elif any(minutes[index] is not None for index in covered):
            wrong.append(f'"{shown(str(band))}": a band stands in it twice')
        else:
            for index in covered:
                minutes[index] = value
    told = [band_min for band_min in minutes if band_min is not None]
    if told != sorted(told):
        wrong.append("higher up it never takes fewer minutes: compare with the source")
    return tuple(minutes), wrong


def _bands(text: str) -> range:
    """Which of the bands "1001-6000" or "above 6000" covers whole; none where it cuts one in two."""
    ends = _highest_ft()
    starts = [0, *ends[:-1]]
    plain = " ".join(text.lower().replace(",", "").removesuffix("ft").split())
    if span := re.fullmatch(r"([0-9]{1,5}) ?(?:-|to) ?([0-9]{1,5})", plain):
        low, high = int(span[1]), int(span[2])
    elif span := re.fullmatch(r"above ([0-9]{1,5})", plain):
        low, high = int(span[1]), ends[-1]
    else:
        return range(0)
    low -= low % 10  # tables print 1,001 for above 1,000
    if low not in starts or high not in ends:
        return range(0)
    return range(starts.index(low), ends.index(high) + 1)


def times_text(time: PrintedTime) -> str:
    """The bands of one jar as an inline table that `printed_times` reads back."""
    ends = _highest_ft()
    starts = [0, *(end + 1 for end in ends[:-1])]
    bands = [f'"{low}-{high}" = {minutes}' for low, high, minutes in zip(starts, ends, time.by_band, strict=True) if minutes is not None]
    return f"{{ {', '.join(bands)} }}"
