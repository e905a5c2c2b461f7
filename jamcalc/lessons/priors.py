"""What is known of each topic before the first batch: from the tables of filling, setting and fruit, and data/learning.toml."""

from __future__ import annotations

import math

from jamcalc import facts
from jamcalc.errors import UnknownItem
from jamcalc.lessons.learning import Prior, constant
from jamcalc.nouns.known import Estimate

KITCHEN = "kitchen"
OF_KITCHEN = ("jars", "pectin", "calcium")
OF_FRUIT = ("solids", "ph", "ph-read", "ph-above")
TOPICS = (*OF_KITCHEN, *OF_FRUIT)


def prior(topic: str, subject: str) -> Prior | None:
    """What is known of a topic before the first batch; None where nothing can be learned of it: no such fruit here."""
    if topic == "jars":
        below, above = (facts.figure(facts.table("filling")[f"yield_{side}_percent"]).typical / 100.0 for side in ("below", "above"))
        return _kitchens("yield", (math.log1p(above) - math.log1p(-below)) / 2.0)
    if topic == "pectin":
        return _kitchens("spoon", _factor_sd(facts.figure(facts.table("setting")["doubt_factor"])))
    if topic == "calcium":
        return _kitchens("calcium", _factor_sd(facts.figure(facts.table("setting")["ratio_wanted"])))
    try:
        fruit = facts.fruit(subject)
    except UnknownItem:
        return None
    figure, lots = (fruit.soluble_solids_percent, "solids") if topic == "solids" else (fruit.ph, "fruit_ph")
    return _between_lots(lots, figure.typical, (figure.high - figure.low) / (2.0 * constant("range_sd")))


def _factor_sd(factor: Estimate) -> float:
    return math.log(factor.high / factor.low) / (2.0 * constant("range_sd"))


def _kitchens(lots: str, whole_sd: float) -> Prior:
    return _between_lots(lots, 0.0, whole_sd)


def _between_lots(lots: str, mean: float, whole_sd: float) -> Prior:
    """A range that holds kitchens and their batches, told apart: what is not from batch to batch is from kitchen to kitchen."""
    raw = facts.table("learning")["lots"][lots]
    typical = min(facts.figure(raw).typical, 0.9 * whole_sd)
    least = min(facts.figure(raw).low, typical) if "low" in raw else None
    return Prior(mean=mean, spread=math.sqrt(whole_sd**2 - typical**2), lots=typical, least_lots=least)
