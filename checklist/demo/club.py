"""The club while it is being built: its laptops at work, the keys at hand, what was walked."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from functools import cached_property
from pathlib import Path

from checklist.demo.cast import LAPTOPS, OFFICER, OFFICERS
from checklist.demo.seeded import Calendar, LaptopClock, SeededChance, UnhurriedDisk
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import Signing
from checklist.record.roll.keys import UnlockedKey
from checklist.rulefile import Role
from checklist.sessions.desk import CLUB_RULES, Desk
from checklist.sessions.library import Library, Loaded

LOGS = "logs"
ZONE = timezone(timedelta(hours=-5))
"""One offset all the year: nobody there sets clocks for the summer."""


class SteadyLibrary(Library):
    """Reads each rule file once: nothing about the rules changes while a club is built."""

    def __init__(self, club: Path | None = None) -> None:
        super().__init__(club)
        self._loaded: dict[str, Loaded] = {}

    def load(self, name: str) -> Loaded:
        """Return the rule file called `name`, as it was read the first time."""
        if name not in self._loaded:
            self._loaded[name] = super().load(name)
        return self._loaded[name]


@dataclass(frozen=True)
class DemoDesk(Desk):
    """A laptop's desk in the invented club."""

    rules: Library | None = None
    """The shipped rules, where this laptop has none of the club's own."""

    @cached_property
    def library(self) -> Library:
        """The shipped rules and the laptop's club values."""
        return self.rules or SteadyLibrary(self.logs.parent / CLUB_RULES)


@dataclass
class Club:
    """Everything of the club that its building needs; on disk it is only what the program wrote."""

    folder: Path
    seed: int
    first_day: datetime
    calendar: Calendar
    clocks: dict[str, LaptopClock] = field(default_factory=dict)
    desks: dict[str, Desk] = field(default_factory=dict)
    keys: dict[tuple[str, str], UnlockedKey] = field(default_factory=dict)
    """By laptop and person."""

    sessions: dict[str, str] = field(default_factory=dict)
    """Session ids by nick."""

    chance: SeededChance = field(init=False)
    """For small differences between days; names and keys have their own."""

    def __post_init__(self) -> None:
        self.chance = SeededChance(self.seed, "days")
        shipped = SteadyLibrary()
        for laptop in LAPTOPS:
            clock = LaptopClock(self.calendar, laptop.name)
            chance = SeededChance(self.seed, laptop.name)
            self.clocks[laptop.name] = clock
            self.desks[laptop.name] = DemoDesk(
                self.folder / laptop.name / LOGS,
                UnhurriedDisk(),
                clock,
                chance,
                None if laptop.has_club_values else shipped,
            )

    def logs(self, laptop: str) -> LogFolder:
        """Return the log folder of a laptop."""
        return self.desks[laptop].folder

    def key(self, laptop: str, person: str) -> UnlockedKey:
        """Return the key that somebody has on a laptop."""
        return self.keys[laptop, person]

    def signing(self, laptop: str, person: str, role: Role | str) -> Signing:
        """Return somebody ready to sign at a laptop."""
        return Signing(person, str(role), self.key(laptop, person))

    @property
    def officers_key(self) -> UnlockedKey:
        """The safety officer's key in office."""
        return self.key(OFFICERS, OFFICER)

    def moment(self, day: int, at: str) -> datetime:
        """Return the time on a day after the first."""
        hour, minute = map(int, at.split(":"))
        return self.first_day + timedelta(days=day, hours=hour, minutes=minute)


def club_at(folder: Path, seed: int, last_day: datetime, days: int) -> Club:
    """Return the club on the first morning of its year; nothing is written yet."""
    first = last_day - timedelta(days=days)
    return Club(folder, seed, first, Calendar(first))
