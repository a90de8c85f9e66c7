"""Fills the registers from answers, so that nothing is typed twice."""

from __future__ import annotations

from contextlib import suppress
from datetime import date

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.lookup.registers import Instrument, IsolationPoint, Person, Registers
from checklist.rulefile import Reading, Step
from checklist.walk.answers import Answer, Hung, Measured, Present


def remember(folder: LogFolder, step: Step, answer: Answer) -> bool:
    """Keep the people, instruments and points that an answer names; return whether any were kept.

    A register saves typing and proves nothing, so a register that cannot be written does
    not stand in the way of a walk: the answer itself is in the session's file.
    """
    registers = Registers.open(folder)
    try:
        return _remember(registers, step, answer)
    except StandclearError:
        return False


def remember_reach(folder: LogFolder, person: str, reach: str) -> None:
    """Keep how a person is reached during the work, for the tags that bear the name."""
    with suppress(StandclearError):
        Registers.open(folder).remember_person(Person(person, reach=reach))


def _remember(registers: Registers, step: Step, answer: Answer) -> bool:
    match answer:
        case Measured(instrument=instrument) if instrument and isinstance(step.kind, Reading):
            registers.remember_instrument(Instrument(instrument, step.kind.instrument))
        case Present(people=people):
            for person in people:
                trained = date.fromisoformat(person.trained) if person.trained else None
                registers.remember_person(
                    Person(person.name, trained=trained, role=str(person.role))
                )
        case Hung(tags=tags):
            for tag in tags:
                registers.remember_isolation_point(IsolationPoint(tag.point))
        case _:
            return False
    return True
