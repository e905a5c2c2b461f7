"""What is known: reads data/*.toml into nouns and finds items by the names that cooks use.

The door: figures by key are read in `load`, cooks' names are found in `names`.
"""

from jamcalc.facts.load import (
    DATA,
    KINDS,
    AcidConstants,
    Kind,
    acid_constants,
    acidulant,
    caution,
    figure,
    fruit,
    jar,
    keys,
    limit,
    source,
    sources,
    sweetener,
    table,
)
from jamcalc.facts.names import HARMLESS, Item, lookup, stands_for

__all__ = [
    "DATA",
    "HARMLESS",
    "KINDS",
    "AcidConstants",
    "Item",
    "Kind",
    "acid_constants",
    "acidulant",
    "caution",
    "figure",
    "fruit",
    "jar",
    "keys",
    "limit",
    "lookup",
    "source",
    "sources",
    "stands_for",
    "sweetener",
    "table",
]
