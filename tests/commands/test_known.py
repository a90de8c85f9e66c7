"""What is offered while typing, listed and cleared from the shell."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from checklist.commands.exits import FINE, REFUSED
from checklist.record.lookup.registers import Instrument, IsolationPoint, Person
from checklist.sessions.desk import Desk
from tests.commands.conftest import Shell


def test_what_is_known_is_listed_whole(shell: Shell, logs: Path) -> None:
    """Each register under its head, each entry in a line; a club that knows nothing says none."""
    nothing = shell("known")
    registers = Desk.at(logs).registers
    registers.remember_person(Person("Wren", "channel 3", date(2026, 4, 1), "in charge"))
    registers.remember_instrument(Instrument("vane 2", "anemometer"))
    registers.remember_isolation_point(IsolationPoint("b14", "left door", "the amplifier"))
    ran = shell("known")

    assert nothing.code == ran.code == FINE
    assert nothing.out.count("  none\n") == 4
    assert ran.out.startswith(
        "PEOPLE\n  Wren, in charge, trained 2026-04-01, reach: channel 3\n"
        "INSTRUMENTS\n  vane 2, anemometer\nKIT\n  none\n"
        "ISOLATION POINTS\n  b14, left door, feeds the amplifier\nThis saves typing"
    )


def test_kit_is_kept_with_its_last_day(shell: Shell) -> None:
    """A day that is past is said as past; an unknown one is never said as good."""
    shell("known", "kit", "h-114", "--kind", "harness", "--until", "2020-01-01")
    shell("known", "kit", "H-114")
    shell("known", "kit", "sling 3", "--until", "9999-12-31")
    shell("known", "kit", "helmet 1")
    wrong = shell("known", "kit", "x", "--until", "soon")
    kept = shell("known").out

    assert "h-114, harness, PAST ITS LAST DAY 2020-01-01\n" in kept
    assert "sling 3, last day of use 9999-12-31\n" in kept
    assert "helmet 1, last day of use not known\n" in kept
    assert (wrong.code, wrong.err.count("no day")) == (REFUSED, 1)


def test_what_is_forgotten_is_not_offered_any_more(shell: Shell, logs: Path) -> None:
    """By its name in any spelling, in its own register alone; what is not known is refused."""
    registers = Desk.at(logs).registers
    registers.remember_person(Person("Wren"))
    registers.remember_instrument(Instrument("Wren"))
    registers.remember_isolation_point(IsolationPoint("b14"))
    shell("known", "kit", "h-114")
    for what, name in (("instrument", "WREN"), ("kit", "h-114"), ("point", "B14")):
        assert shell("known", "forget", what, name).code == FINE
    again = shell("known", "forget", "kit", "h-114")
    left = shell("known", "--json").data

    assert (again.code, "no kit is known" in again.err) == (REFUSED, True)
    assert [person["name"] for person in left["people"]] == ["Wren"]
    assert left["instruments"] == left["kit"] == left["isolation points"] == []
