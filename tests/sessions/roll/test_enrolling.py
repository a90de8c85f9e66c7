"""What an enrolment may rest on, and what a change of the roster must not bring back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checklist.record.errors import KeyRefused
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.enrolment import read_request
from checklist.record.roll.keys import UnlockedKey
from checklist.record.roll.receiving import entries_file, receive_file
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.record.verifying.report import Outcome
from checklist.sessions.roll.covering import receipt_taken
from checklist.sessions.roll.enrolling import request_line
from checklist.sessions.roll.people import (
    Change,
    ask_to_enrol,
    change,
    enrol_from,
    in_force,
    revoke,
)
from tests.record.clubs import Club, laptop, make_club, walk
from tests.record.making import person


def asked(club: Club, key: UnlockedKey, old: UnlockedKey | None = None) -> bytes:
    return ask_to_enrol(club.station, key, roles=["helper"], old=old)


def enrolled(club: Club, data: bytes) -> None:
    enrol_from(club.officer, club.vera, data, key_code(read_request(data).public))


def test_a_key_that_stopped_counting_is_not_enrolled_again() -> None:
    """Nobody is told to be enrolled with a key that was revoked or has run out."""
    club = make_club()
    club.clock.pass_time(60)
    revoke(club.officer, club.vera, "Ada Quill", "", "laptop stolen")
    with pytest.raises(KeyRefused, match=r"this key was revoked on .*: laptop stolen"):
        enrolled(club, asked(club, club.ada))

    other = make_club()
    end = (other.clock.now() + timedelta(days=2)).date().isoformat()
    change(other.officer, other.vera, "Ada Quill", Change(until=end))
    other.clock.pass_time(3 * 24 * 3600)
    with pytest.raises(KeyRefused, match="this key ran out on"):
        enrolled(other, asked(other, other.ada))


def test_a_revoked_key_vouches_for_no_new_one() -> None:
    """A thief who signs for a new key with a revoked one is refused."""
    club = make_club()
    revoke(club.officer, club.vera, "Ada Quill", "", "laptop stolen")
    new = person(club.station, "Ada Quill")
    with pytest.raises(KeyRefused, match="the old key that vouches for this one was revoked"):
        enrolled(club, asked(club, new, club.ada))


def test_a_request_from_the_future_is_refused() -> None:
    """A key that would count only from a time to come is not called enrolled."""
    club = make_club()
    club.clock.set_wall(3 * 24 * 3600)
    data = asked(club, person(club.station, "Bo Pell"))
    club.clock.set_wall(-3 * 24 * 3600)
    with pytest.raises(KeyRefused, match="which is still to come"):
        enrolled(club, data)


def test_a_request_says_from_when_and_beside_what() -> None:
    """The officer reads the date that the asker wrote, and that the person has a key already."""
    club = make_club()
    club.clock.set_wall(-365 * 24 * 3600)
    wanted = read_request(asked(club, person(club.station, "Ada Quill")))
    said = request_line(in_force(club.officer), wanted)

    assert said.startswith("Ada Quill stands in the roster already, with 1 other key.")
    assert "count from 25 Nov 2025" in said


def test_an_end_set_for_keys_revives_none() -> None:
    """A key that ran out by its renewal stays so when the end of the person's keys is set."""
    club = make_club()
    club.clock.pass_time(60)
    new = person(club.station, "Ada Quill")
    enrolled(club, asked(club, new, club.ada))
    club.clock.pass_time(60)
    before = in_force(club.officer).member("Ada Quill")
    end = (club.clock.now() + timedelta(days=365)).date()
    change(club.officer, club.vera, "Ada Quill", Change(until=end.isoformat()))
    after = in_force(club.officer).member("Ada Quill")

    assert before is not None
    assert after is not None
    assert after.key(club.ada.public) == before.key(club.ada.public)
    renewed = after.key(new.public)
    assert renewed is not None
    assert renewed.until is not None
    assert renewed.until.date() == end


@pytest.mark.parametrize("carries_on", [True, False], ids=["follows", "starts anew"])
def test_a_new_officer_without_the_old_roster_is_told(carries_on: bool) -> None:
    """A roster that begins anew names whose signatures fail by it; one that follows, nobody."""
    club = make_club()
    new = laptop("new", club.clock, club.station.disk)
    if carries_on:
        old = roster_file(Roster.read(club.station))
        take_roster(new, old, key_code(club.vera.public))
    nils = person(new, "Nils Orr")
    appoint(new, nils)
    taken = take_roster(club.station, roster_file(Roster.read(new)), key_code(nils.public))

    assert taken.left_out == (() if carries_on else ("Vera Holm", "Ada Quill"))
    assert ("keys of Vera Holm, Ada Quill" in taken.left_out_line) is not carries_on


def test_a_receipt_that_contradicts_is_kept_and_said() -> None:
    """A receipt taken where the entry it names is missing says so at once, not at an audit."""
    club = make_club()
    walk(club.station, club.ada)
    given = receive_file(club.officer, entries_file(club.station), club.vera)
    notes = sorted(club.station.disk.names(club.station.ledger))
    club.station.disk.unlink(club.station.ledger / notes[-1])
    _, outcome, said = receipt_taken(club.station, given.data)

    assert outcome is Outcome.FAILS
    assert "Entries were cut off" in said
