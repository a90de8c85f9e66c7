"""What is offered while typing, from the shell: list it, add kit, take an entry off."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING

from checklist.commands.done import say_done
from checklist.commands.exits import FINE
from checklist.commands.output import print_document, print_page
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.lookup.registers import Instrument, IsolationPoint, Kit, Person
from checklist.sessions.roll.people import day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.lookup.registers import Registers
    from checklist.sessions.desk import Desk

_Entry = Person | Instrument | Kit | IsolationPoint

PROVES_NOTHING = "This saves typing and proves nothing: the lock at the point and the meter decide."


def list_known(desk: Desk, *, as_json: bool) -> int:
    """Print the four registers, the most recently used first."""
    registers = desk.registers
    heads: dict[str, Sequence[_Entry]] = {
        "people": registers.people(),
        "instruments": registers.instruments(),
        "kit": registers.kit(),
        "isolation points": registers.isolation_points(),
    }
    if as_json:
        held = {head: [_data(entry) for entry in entries] for head, entries in heads.items()}
        print_document({**held, "problems": list(registers.notes), "note": PROVES_NOTHING})
        return FINE
    today = desk.clock.now().astimezone().date()
    lines: list[str] = []
    for head, entries in heads.items():
        lines += [head.upper(), *(f"  {_line(entry, today)}" for entry in entries)]
        lines += [] if entries else ["  none"]
    print_page([*lines, *registers.notes, PROVES_NOTHING])
    return FINE


def keep_kit(desk: Desk, name: str, kind: str, until: str) -> int:
    """Keep a piece of kit, or add to what is known of it."""
    kept = desk.registers.remember_kit(Kit(name, kind, day(until) if until else None))
    said = f"Kept: {_line(kept, desk.clock.now().astimezone().date())}"
    say_done([said], {"kept": _data(kept)})
    return FINE


def forget_known(desk: Desk, what: str, name: str) -> int:
    """Take an entry off its register; StandclearError where there is none of that name."""
    registers = desk.registers
    if not _forget(registers, what, name):
        raise StandclearError(
            f"no {what} is known by the name “{shown(name)}”",
            right="standclear known lists what is.",
        )
    said = f"“{shown(name)}” is not offered any more. What was recorded stays as it is."
    say_done([said], {"forgotten": what, "name": name})
    return FINE


def _forget(registers: Registers, what: str, name: str) -> bool:
    doing = {
        "person": registers.forget_person,
        "instrument": registers.forget_instrument,
        "kit": registers.forget_kit,
        "point": registers.forget_isolation_point,
    }
    return doing[what](name)


def _line(entry: _Entry, today: date) -> str:
    match entry:
        case Person(name, reach, trained, role):
            said = [role, f"trained {trained}" if trained else "", f"reach: {reach}" * bool(reach)]
        case Kit(name, kind, expires):
            said = [kind, _life(expires, today)]
        case Instrument(name, kind):
            said = [kind]
        case IsolationPoint(name, place, feeds):
            said = [place, f"feeds {feeds}" * bool(feeds)]
    return ", ".join([name, *filter(None, said)])


def _life(expires: date | None, today: date) -> str:
    if expires is None:
        return "last day of use not known"
    return f"PAST ITS LAST DAY {expires}" if expires < today else f"last day of use {expires}"


def _data(entry: _Entry) -> dict[str, str]:
    return {key: "" if value is None else str(value) for key, value in asdict(entry).items()}
