"""Exposure limits by set and edition: what E, H and S may be at a frequency, averaged how.

A set is one file of `rules/limits`, with its source and how far that is trusted. Where rows
share an end point the stricter holds; where no row covers a frequency the set says nothing,
and nothing is extrapolated.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from checklist.errors import StandclearError
from checklist.rulebook import Source, Standing


class Tier(StrEnum):
    """Whom a limit is for."""

    CONTROLLED = "controlled"
    UNCONTROLLED = "uncontrolled"


class NotCovered(StandclearError):
    """A set has no row for a frequency or a tier: nothing is extrapolated."""


@dataclass(frozen=True, slots=True)
class Law:
    """A number that may depend on the frequency: factor x f^power, f in the unit of `per_hz`."""

    factor: float
    power: float = 0.0
    per_hz: float = 1e6
    """Hz in one unit of f: a million for MHz, a thousand million for GHz."""

    def at(self, frequency_hz: float) -> float:
        """Return the value at a frequency, in the SI unit of what it limits."""
        return float(self.factor * (frequency_hz / self.per_hz) ** self.power)


@dataclass(frozen=True, slots=True)
class Limit:
    """What one table allows at one frequency; None where its column is empty."""

    table: str
    averaging_s: float | None
    """None where the limit holds for every moment."""

    e_v_m: float | None = None
    h_a_m: float | None = None
    s_w_m2: float | None = None
    se_w_m2: float | None = None
    """For the electric field, as the power density of a plane wave."""

    sh_w_m2: float | None = None
    """For the magnetic field, as the power density of a plane wave."""


@dataclass(frozen=True, slots=True)
class Band:
    """One row: a range of frequencies, both ends included, and its laws by column."""

    from_hz: float
    to_hz: float
    columns: tuple[tuple[str, Law], ...]
    averaging: Law | None
    """Seconds; None where nothing is averaged."""


@dataclass(frozen=True, slots=True)
class LimitTable:
    """Rows for one tier with one meaning: whole body, local, nerve stimulation."""

    name: str
    tier: Tier
    source: Source
    averaged: bool
    bands: tuple[Band, ...]

    def at(self, frequency_hz: float) -> Limit | None:
        """Return the limit, the stricter column by column on a shared end; None if not covered."""
        covering = [b for b in self.bands if b.from_hz <= frequency_hz <= b.to_hz]
        if not covering:
            return None
        found = sorted(
            (name, law.at(frequency_hz)) for band in covering for name, law in band.columns
        )
        least = {name: min(v for _, v in many) for name, many in groupby(found, lambda c: c[0])}
        times = [b.averaging.at(frequency_hz) for b in covering if b.averaging]
        return Limit(
            self.name,
            min(times) if times else None,
            least.get("E"),
            least.get("H"),
            least.get("S"),
            least.get("SE"),
            least.get("SH"),
        )


@dataclass(frozen=True, slots=True)
class LimitSet:
    """All limits of one jurisdiction or standard, in one edition."""

    name: str
    title: str
    jurisdiction: str
    edition: str
    about: str
    source: Source
    tables: tuple[LimitTable, ...]
    density_unit: str = "W/m2"
    """The unit in which its source prints power density."""

    is_clubs: bool = False
    """Whether it is a club's own, which nobody here compared with what the law asks."""

    @property
    def is_unverified(self) -> bool:
        """Whether some of it is from memory, so that passing it gives at most a caution."""
        return any(t.source.standing is Standing.MEMORY for t in self.tables)

    @property
    def standing(self) -> Standing:
        """The weakest standing of its sources."""
        return Standing.MEMORY if self.is_unverified else self.source.standing

    def citation(self) -> str:
        """Return title and edition in one line, with `unverified` or `the club's own` where so."""
        said = f"{self.title}, {self.edition}"
        if self.is_clubs:
            said = f"{said}, the club's own set by {self.source.citation()}"
        return f"{said} (from memory: unverified)" if self.is_unverified else said

    def at(self, frequency_hz: float, tier: Tier) -> tuple[Limit, ...]:
        """Return every limit that holds at a frequency for a tier.

        Raises NotCovered where no averaged table has a row: the sentence says what is covered.
        """
        mine = [t for t in self.tables if t.tier is tier]
        if not mine:
            raise NotCovered(
                f"{self.title} has no limits for the {tier} tier",
                right="Choose another set of limits, or evaluate the place as the other tier.",
            )
        found = [(t, limit) for t in mine if (limit := t.at(frequency_hz))]
        if not any(t.averaged for t, _ in found):
            spans = [b for t in mine if t.averaged for b in t.bands]
            low, high = min(b.from_hz for b in spans), max(b.to_hz for b in spans)
            raise NotCovered(
                f"{self.title} has no row for {frequency_hz / 1e6:.6g} MHz",
                right=f"It covers {low / 1e6:g} MHz to {high / 1e6:g} MHz; "
                "nothing is extrapolated.",
            )
        return tuple(limit for _, limit in found)
