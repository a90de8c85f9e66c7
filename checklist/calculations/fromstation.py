"""The calculations that take a whole station file: their names, and what stands for each.

The arithmetic is run in `station.findings`, from the station as loaded; a finding of theirs is
kept and shown like that of any other calculation.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StationCalculation:
    """One of them."""

    name: str
    title: str
    formula: str
    tolerance: str
    """How far a rerun of the same version may differ, as a share of each number."""

    version_here: Callable[[], int]
    """Tells the version; asked late, since the engines cost more to import than a rule file."""

    where: tuple[str, ...]
    """The modules of its engine, by which one finds what values it can read."""

    assumptions: tuple[str, ...] = ()
    """Always none: each finding brings its own."""

    only_stops: bool = False

    @property
    def version(self) -> int:
        """Return the version of the engine that is here."""
        return self.version_here()


def _exposure_version() -> int:
    from checklist.calculations.exposure.evaluate import VERSION

    return VERSION


def _bonding_version() -> int:
    from checklist.calculations.bonding.network_findings import VERSION

    return VERSION


EXPOSURE = StationCalculation(
    "station-exposure",
    "RF exposure at every place of the station file",
    "Share of the limit at each place = sum over the emissions that can be on together; each by"
    " the method that its line names.",
    "0.23 %",  # 0.01 dB, as the engine states it, as a share of power
    _exposure_version,
    ("checklist.calculations.exposure.*",),
)

BONDING = StationCalculation(
    "station-bonding",
    "Bonding network of the station file",
    "Each electrode, service and line in one graph of bonds; each conductor against the least"
    " gauge for what it does.",
    "0.001 %",
    _bonding_version,
    ("checklist.calculations.bonding.network*",),
)

STATION_CALCULATIONS = {one.name: one for one in (EXPOSURE, BONDING)}
"""By name."""
