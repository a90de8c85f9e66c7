"""What can happen in the invented year, as data; `checklist.demo.doing` makes it happen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum
from typing import Any


class End(Enum):
    """How a walk is left."""

    SEALED = "sealed"
    ONE_MISSING = "closed while one signature is missing"
    GIVEN_UP = "given up"
    LEFT = "left in the middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """Something on a day of the year, at a laptop."""

    day: int
    """Days after the first day."""

    at: str
    """Time of day, as 09:10."""

    laptop: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked(Happening):
    """A rule file is walked, with the answers of its own example where nothing else is said."""

    nick: str
    """How the plan of faults and INVENTED.txt call the session."""

    rule: str
    example: str = ""
    """Empty: the first."""

    answers: Mapping[str, Any] = field(default_factory=dict)
    at_first: Mapping[str, Any] = field(default_factory=dict)
    """Answers that stop, given before the right one."""

    because: str = ""
    """The evidence that answers those stops."""

    near_miss: str = ""
    end: End = End.SEALED
    after: int = 0
    """How many steps are answered before the walk is left or given up."""

    signers: tuple[str, ...] = ()
    """Who signs where the walk does not say who was here."""

    clock_step: timedelta = timedelta()
    """By how much the wall clock is moved in the middle of the walk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockSet(Happening):
    """Somebody sets the laptop's clock right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOff(Happening):
    """The person who hung them takes all locks off."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOffByOthers(Happening):
    """Another takes somebody's lock off, by the rule for that."""

    lock: str
    by: tuple[str, str]
    facts: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class HungUp(Happening):
    """A lock and tag are hung outside a walk."""

    point: str
    lock: str
    person: str
    why: str
    until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected(Happening):
    """An answer of a finished session is corrected."""

    nick: str
    step: str
    answer: Any
    reason: str
    signer: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedLate(Happening):
    """A signature that was missing is given afterwards."""

    nick: str
    person: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Received(Happening):
    """The officer looks at a laptop's log and gives a receipt; it takes the newest roster."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Revoked(Happening):
    """The officer revokes the key that somebody has on a laptop."""

    person: str
    of_laptop: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LogsRead(Happening):
    """A laptop reads what other laptops' logs tell of tags."""

    of: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationChanged(Happening):
    """Somebody changes the station file after it was evaluated."""

    before: str
    after: str
