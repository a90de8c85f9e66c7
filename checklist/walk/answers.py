"""What a person can answer to a step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from checklist.calculations.kinds import Finding
from checklist.quantities import Quantity
from checklist.rulefile import Role

Others = Literal["none", "read", "not read"]
"""Other laptops that may know of a tag: there is none, their logs were read here, or not."""


@dataclass(frozen=True, slots=True)
class Said:
    """Yes or no to a confirm, or don't know to anything."""

    word: Literal["yes", "no", "don't know"]


@dataclass(frozen=True, slots=True)
class DoesNotApply:
    """The step does not apply here, for the reason given."""

    reason: str


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading, as typed and as understood."""

    quantity: Quantity
    instrument: str = ""
    """The instrument as named in the register; empty where the step asks for none."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """One value of a choice."""

    value: str


@dataclass(frozen=True, slots=True)
class Written:
    """A text."""

    text: str


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who is here, in one role."""

    name: str
    role: Role
    trained: str = ""
    """Date of the last training, ISO; empty where unknown."""


@dataclass(frozen=True, slots=True)
class Present:
    """Who is here."""

    people: tuple[Person, ...]


@dataclass(frozen=True, slots=True)
class HungTag:
    """One lock and tag, hung at an isolation point by one person."""

    point: str
    lock: str
    person: str


@dataclass(frozen=True, slots=True)
class Hung:
    """The locks and tags that hang."""

    tags: tuple[HungTag, ...]


@dataclass(frozen=True, slots=True)
class SeenLog:
    """Another laptop's log that was read here."""

    origin: str
    at: datetime
    """When it was read."""


@dataclass(frozen=True, slots=True)
class Sought:
    """Points that must be free of locks and tags, and what was found out about them."""

    points: tuple[str, ...]
    """The ids marked at them."""

    others: Others
    """Whether another laptop may know of tags there: there is none, its log was read, or not."""

    counted_by: tuple[str, ...] = ()
    """Who counted the locks at the points, if it was done."""

    count: str = ""
    """How many they found at all of them together; empty where nobody counted."""

    hangs: tuple[HungTag, ...] = ()
    """What hangs there by the logs that are here, looked up by the program."""

    logs: tuple[SeenLog, ...] = ()
    """The logs of other laptops that were read here."""

    at: datetime | None = None
    """When it was looked up; None where nothing was."""

    unread: tuple[str, ...] = ()
    """A sentence for each part of the logs here that cannot be read or relied on."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """What was typed into a calculation; inputs from earlier steps are in it as they were then."""

    values: Mapping[str, str | tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file of which the exact bytes are kept, by their hash."""

    sha256: str
    size: int
    """Bytes."""

    name: str
    """The file's own name, as text only."""


@dataclass(frozen=True, slots=True)
class Described:
    """A station file, and what was found about the station that it describes."""

    calculation: str
    path: str
    """Where the file lay; by it one sees later whether the station has changed."""

    finding: Finding | None = None
    """None until the program has worked it out."""

    file: KeptFile | None = None
    """The station file as it was; None only in the example of a rule file."""

    limits: KeptFile | None = None
    """The set of limits as it was, where one was used."""

    parts: Mapping[str, str] = field(default_factory=dict)
    """The fingerprint of each part of the station that was looked at."""

    evaluation: KeptFile | None = None
    """All that was found, in the engine's own written form, where it has one."""


Answer = (
    Said | DoesNotApply | Measured | Chosen | Written | Present | Hung | Sought | Inputs | Described
)

DONT_KNOW = Said("don't know")
