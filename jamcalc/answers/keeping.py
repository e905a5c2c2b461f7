"""How and how long a batch keeps, in words: for the shelf and for the cold, in the kitchen's own measures.

Decides nothing: which of the three it is, is storage's to say.
"""

from __future__ import annotations

from jamcalc.formula.storage import cold_weeks
from jamcalc.nouns.asked import Keeping
from jamcalc.nouns.written import Standing

ON_THE_SHELF = "Sealed, in a cool, dark, dry place: best within a year. Opened: in the refrigerator, about 3 weeks."
# How cold a refrigerator is, and the room that freezing takes.
COLD = {"us": ("40 F", "1/2 in"), "metric": ("4 C", "13 mm")}


def kept(keeping: Keeping, *, units: str, standing: Standing, own_weeks: float | None, freezes: bool | None) -> str:
    """How and how long a batch keeps; in the cold with what its recipe says of it.

    Parameters
    ----------
    keeping : of the verdict; units : us or metric; standing : of the recipe, since only a tested one lengthens the weeks
    own_weeks : in the refrigerator, by the recipe itself; freezes : False must not be frozen (gelatin), None nothing is said
    """
    if keeping == "shelf":
        return ON_THE_SHELF
    degrees, gap = COLD[units]
    where = f"In the refrigerator ({degrees} or below)"
    if keeping == "days" and freezes is False:
        return f"{where} a few days only; do not freeze it. Not for the shelf."
    if keeping == "days":
        days = f"{where} a few days only: the usual 3 weeks are for acid jam."
        return f"Freeze it: up to a year, with {gap} headspace. {days} Not for the shelf."
    weeks = cold_weeks(standing, own_weeks)
    how_long = "within" if own_weeks == weeks else "about"
    frozen = f", or frozen up to a year (leave {gap} headspace)"
    if freezes is False:
        frozen = "; do not freeze it"
    elif freezes is None and (own_weeks is not None or standing == "tested"):
        frozen = ""
    return f"{where} {how_long} {weeks:g} weeks{frozen}. Not for the shelf."
