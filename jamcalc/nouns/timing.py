"""The nouns of the boiling-water process: minutes, and the bands of altitude that they are for. Looked up without an answer too."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class BandTime:
    """Minutes in one band of altitude."""

    feet: str  # "0-1,000 ft"
    metres: str
    minutes: int


@dataclass(frozen=True, kw_only=True)
class Process:
    """Minutes in boiling water for a jar, here and by band; `altitude_ft` None: those of the lowest band."""

    minutes: int
    jar: str
    altitude_ft: float | None
    boiling_point_degc: float
    by_band: tuple[BandTime, ...]
    sources: tuple[str, ...] = ()
