"""Minutes in boiling water alone, for whoever asks for no more than these.

Returns a thing that rich can print; knows no answer.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from jamcalc.jars.process import band_index
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import Process
from jamcalc.screens.layout import listed, ruled, titled
from jamcalc.words import phrases
from jamcalc.words.phrases import plain


def process_screen(process: Process, notes: Sequence[Finding] = (), *, units: str = "us") -> RenderableType:
    """Minutes in boiling water for one jar: at this altitude, and by band."""
    metric = units == "metric"
    boils = phrases.temperature(process.boiling_point_degc, units)
    lowest, jar = process.by_band[0], phrases.sentence(phrases.one_jar(process.jar))
    if process.altitude_ft is None:
        head = f"{jar}: minutes in boiling water by altitude"
        up_to = (lowest.metres if metric else lowest.feet).removeprefix("0-")
        said = f"{process.minutes} minutes up to {up_to}; water boils at {boils} at sea level. Give --altitude for your own."
    else:
        head = f"{jar}: {process.minutes} minutes in boiling water"
        said = f"At {phrases.altitude(process.altitude_ft, units)}, where water boils at {boils}."
    table = ruled()
    for name in ("altitude", "minutes"):
        table.add_column(name, justify="right")
    table.add_column("")
    own = None if process.altitude_ft is None else band_index(process.altitude_ft)
    for index, band in enumerate(process.by_band):
        style, yours = ("bold", f"<- {phrases.altitude(process.altitude_ft or 0.0, units)}") if index == own else ("", "")
        table.add_row(*(Text(cell, style=style) for cell in (band.metres if metric else band.feet, str(band.minutes), yours)))
    care = [titled("Take care", listed(("-", note.text) for note in notes))] if notes else []
    return Group(Text(plain(head), style="bold"), Text(said), Padding(table, (1, 0, 0, 2)), *care)
