"""The roster: who vouches for whom, from when, until when, and what is refused."""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import Damaged, EntryRefused, KeyRefused, RecordError
from checklist.record.files.whole import create_whole
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.appointing import appoint, publish, roster_file
from checklist.record.roll.enrolment import Enrolment, make_request, read_request
from checklist.record.roll.people import KeyTerm, Member
from checklist.record.roll.roster import Roster, pin_of
from checklist.record.roll.rostertext import from_text, to_text
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import NotSignedIn, offered, take_roster
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from checklist.sessions.roll.people import (
    Change,
    ask_to_enrol,
    change,
    enrol_from,
    in_force,
    revoke,
)
from tests.conftest import Tried
from tests.record.clubs import Club, enrol, laptop, make_club, walk
from tests.record.crashdisk import ROOT, CrashDisk, PowerCut
from tests.record.making import HandClock, person

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey
    from checklist.record.verifying.report import Check

SMALL_ORDER = "01" + "00" * 31
"""The neutral element, of order 1: RFC 8032, section 5.1 (y = 1, sign 0)."""


@pytest.fixture
def club() -> Club:
    return make_club()


def identity(folder: LogFolder) -> list[Check]:
    return [check for check in verify(folder).checks if check.name == "identity"]


def carry(club: Club, code: str = "") -> None:
    take_roster(club.station, roster_file(Roster.read(club.officer)), code)


def test_without_an_officer_identity_cannot_be_told() -> None:
    """A club that never appoints an officer goes on: signatures hold, who signs is open."""
    folder = laptop("alone", HandClock())
    walk(folder, person(folder, "Ada Quill"))

    assert [check.outcome for check in identity(folder)] == [Outcome.CANNOT_TELL]
    assert verify(folder).failures == ()


def test_a_pinned_roster_says_who_signed(club: Club) -> None:
    """After the code was compared once, the signers of a session are told."""
    walk(club.station, club.ada)

    assert [check.outcome for check in identity(club.station)] == [Outcome.HOLDS]


def test_the_first_roster_needs_the_code() -> None:
    """No roster is believed before its officer's code was typed, and none with another's."""
    club = make_club(pinned=False)
    with pytest.raises(NotSignedIn):
        carry(club)
    with pytest.raises(KeyRefused):
        carry(club, key_code(club.ada.public))
    with pytest.raises(KeyRefused):
        carry(club, key_code(club.vera.public)[:9])
    before = Roster.read(club.station)
    carry(club, key_code(club.vera.public).upper().replace("-", " "))

    assert before == Roster()
    assert in_force(club.station).officer == club.vera.public


def test_unknown_swapped_wrong_role(club: Club) -> None:
    """A key outside the roster, another's key, and a role not granted each fail."""
    roster, now = Roster.read(club.station), club.clock.now()
    unknown = person(club.station, "Ben Marsh")
    asked = {
        "unknown": roster.identity(unknown.public, "Ben Marsh", "worker", now),
        "swapped": roster.identity(club.ada.public, "Vera Holm", "in charge", now),
        "role": roster.identity(club.ada.public, "Ada Quill", "safety officer", now),
        "early": roster.identity(
            club.ada.public, "Ada Quill", "in charge", now - timedelta(days=1)
        ),
    }

    assert {name: found.outcome for name, found in asked.items()} == dict.fromkeys(
        asked, Outcome.FAILS
    )


def test_revoked_without_and_with_a_receipt(club: Club) -> None:
    """After revocation a signature fails; one dated before holds only under an old receipt."""
    before = club.clock.now()
    club.clock.pass_time(3600)
    revoke(club.officer, club.vera, "ada quill", "", "laptop lost")
    carry(club)
    after = club.clock.now()
    roster = Roster.read(club.station)

    def asked(at: object, received: object = None) -> Outcome:
        return roster.identity(club.ada.public, "Ada Quill", "in charge", at, received).outcome  # type: ignore[arg-type] # times, named loosely to keep the table below short

    assert asked(after) is Outcome.FAILS
    assert asked(before) is Outcome.CANNOT_TELL
    assert asked(before, after) is Outcome.CANNOT_TELL
    assert asked(before, before) is Outcome.HOLDS


def test_expired(club: Club) -> None:
    """A key counts up to the day on which it runs out."""
    change(club.officer, club.vera, "Ada Quill", Change(until="2026-12-24"))
    carry(club)
    roster, key = Roster.read(club.station), club.ada.public
    end = in_force(club.station).members[1].keys[0].until

    assert end is not None
    for at, outcome in ((end - timedelta(seconds=1), Outcome.HOLDS), (end, Outcome.FAILS)):
        assert roster.identity(key, "Ada Quill", "in charge", at).outcome is outcome


def test_role_of_the_day(club: Club) -> None:
    """A role taken away later leaves what was signed in it before."""
    signed = club.clock.now()
    club.clock.pass_time(60)
    change(club.officer, club.vera, "Ada Quill", Change(roles=["helper"]))
    carry(club)
    roster = Roster.read(club.station)
    then = roster.identity(club.ada.public, "Ada Quill", "in charge", signed)
    now = roster.identity(club.ada.public, "Ada Quill", "in charge", club.clock.now())

    assert (then.outcome, now.outcome) == (Outcome.HOLDS, Outcome.FAILS)


def test_key_renewed(club: Club) -> None:
    """A request signed by the old key as well ends the old one and begins the new."""
    new = person(club.station, "Ada Quill")
    enrol(club.officer, club.vera, new, old=club.ada)
    carry(club)
    club.clock.pass_time(1)
    roster, now = Roster.read(club.station), club.clock.now()

    assert roster.identity(new.public, "Ada Quill", "in charge", now).outcome is Outcome.HOLDS
    assert roster.identity(club.ada.public, "Ada Quill", "in charge", now).outcome is Outcome.FAILS


def test_somebody_elses_key_is_not_enrolled(club: Club) -> None:
    """A key stands in the roster under one name; a wrong code enrols nobody."""
    mallory = person(club.station, "Ben Marsh")
    data = ask_to_enrol(club.station, mallory, roles=["worker"])
    with pytest.raises(KeyRefused):
        enrol_from(club.officer, club.vera, data, key_code(club.ada.public))
    renamed = make_request(
        Enrolment("Ada Quill", mallory.public, club.clock.now(), "", ("worker",), club.ada.public),
        type(mallory)("Ada Quill", mallory.public, mallory._secret),
        club.ada,
    )
    enrol(club.officer, club.vera, mallory, "worker")
    with pytest.raises(KeyRefused, match="Ben Marsh"):
        enrol_from(club.officer, club.vera, renamed, key_code(mallory.public))


def test_small_order_and_doubles_are_refused(club: Club) -> None:
    """A roster with a small-order key, one person twice or one key twice is never written."""
    now = club.clock.now()
    people = in_force(club.officer).members
    ada = people[1]
    wrong = [
        Member("Ben Marsh", ("worker",), keys=(KeyTerm(SMALL_ORDER, now),)),
        Member("ADA  quill", ("worker",)),
        Member("Ben Marsh", ("worker",), keys=ada.keys),
        Member("Ben Marsh", ("captain",)),
        Member("Ben\nkey x", ("worker",)),
    ]
    for member in wrong:
        with pytest.raises((RecordError, ValueError, Exception)) as refused:
            publish(club.officer, club.vera, (*people, member))
        assert type(refused.value).__name__ in {"EntryRefused", "KeyRefused", "TextRefused"}

    assert in_force(club.officer).number == 2


def test_every_changed_byte_of_a_request_is_refused(club: Club) -> None:
    """No single byte of a request can change without the request being refused."""
    data = ask_to_enrol(club.station, club.ada, roles=["worker"])
    passed = 0
    for at in range(len(data)):
        for flip in (0x01, 0x20, 0x80):
            changed = bytearray(data)
            changed[at] ^= flip
            with suppress(RecordError):
                read_request(bytes(changed))
                passed += 1

    assert passed == 0


def test_every_changed_byte_of_a_roster_is_refused(club: Club, tried: Tried) -> None:
    """A station takes no roster file in which any byte was changed or cut off."""
    change(club.officer, club.vera, "Ada Quill", Change(trained="2026-11-01"))
    data = roster_file(Roster.read(club.officer))
    missed = changes = 0
    before = len(club.station.disk.names(club.station.ledger))
    for at in range(len(data)):
        for changed in (data[:at], data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]):
            changes += 1
            with suppress(RecordError):
                take_roster(club.station, changed)
                missed += 1
    tried("bytes", changes, missed)

    assert missed == 0
    assert len(club.station.disk.names(club.station.ledger)) == before


def test_officer_signed_in_by_the_old(club: Club) -> None:
    """A new officer whom the old one signs in is taken without a code, and signs from then on."""
    nils = person(club.officer, "Nils Berg")
    enrol(club.officer, club.vera, nils, "worker", as_officer=True)
    with pytest.raises(KeyRefused):
        change(club.officer, club.vera, "Ada Quill", Change(roles=["helper"]))
    change(club.officer, nils, "Ada Quill", Change(roles=["helper"]))
    carry(club)

    assert in_force(club.station).officer == nils.public


def test_officer_key_lost(club: Club) -> None:
    """A new officer whom nobody signed in is taken only after the new code was typed."""
    nils = person(club.officer, "Nils Berg")
    appoint(club.officer, nils)
    with pytest.raises(NotSignedIn):
        carry(club)
    still = in_force(club.station).officer
    carry(club, key_code(nils.public))

    assert still == club.vera.public
    assert in_force(club.station).officer == nils.public
    assert in_force(club.station).member("Ada Quill") is not None


def test_a_member_who_becomes_officer_keeps_roles_and_keys(club: Club) -> None:
    """The roster goes on naming what the new officer signed with, in whichever role, till then."""
    before = in_force(club.officer).member("Ada Quill")
    appoint(club.officer, club.ada)
    same = in_force(club.officer).member("Ada Quill")
    appoint(club.officer, person(club.officer, "Vera Holm"))
    appoint(club.officer, second := person(club.officer, "Ada Quill"))
    other = in_force(club.officer).member("Ada Quill")

    assert before is not None
    assert same is not None
    assert other is not None
    assert same.roles == other.roles == ("in charge", "safety officer")
    assert same.keys == before.keys
    assert [term.public for term in other.keys] == [club.ada.public, second.public]
    assert [m.name for m in in_force(club.officer).members] == ["Vera Holm", "Ada Quill"]


def test_another_pinned_officer_stands_in_the_ledger(club: Club) -> None:
    """Whoever reads the log sees whose key was pinned before, where it was another one."""
    appoint(club.officer, nils := person(club.officer, "Nils Berg"))
    entry = take_roster(
        club.station, roster_file(Roster.read(club.officer)), key_code(nils.public)
    ).recorded

    assert entry is not None
    assert entry.entry.field("instead-of") == club.vera.public


def test_two_officers_programs_do_not_pass_for_one(club: Club) -> None:
    """Two versions with one number, both signed, are seen; an older version is refused."""
    other = laptop("other", club.clock)
    take_roster(other, roster_file(Roster.read(club.officer)), key_code(club.vera.public))
    old = roster_file(Roster.read(club.officer))
    change(club.officer, club.vera, "Ada Quill", Change(roles=["helper"]))
    change(other, club.vera, "Ada Quill", Change(roles=["worker"]))
    carry(club)
    with pytest.raises(NotSignedIn, match="do not follow each other"):
        take_roster(club.station, roster_file(Roster.read(other)))
    for code in ("", key_code(club.vera.public)):
        with pytest.raises(EntryRefused, match="is in force here"):
            take_roster(club.station, old, code)


def test_clock_set_back_signs_no_roster(club: Club) -> None:
    """A version dated before the last one is not made."""
    club.clock.set_wall(-86400)
    with pytest.raises(KeyRefused, match="clock"):
        change(club.officer, club.vera, "Ada Quill", Change(roles=["helper"]))


def test_changed_or_missing_versions_are_said(club: Club) -> None:
    """A roster whose kept files were changed or removed vouches for nobody."""
    walk(club.station, club.ada)
    disk = club.station.disk
    assert isinstance(disk, CrashDisk)
    for path in [p for p in disk.names_now if p.parent == club.station.roster]:
        inode = disk.names_now.pop(path)
        gone = identity(club.station)
        disk.names_now[path] = inode
        assert inode is not None
        inode.cached[30] ^= 1
        changed = identity(club.station)
        inode.cached[30] ^= 1

        assert {check.outcome for check in gone + changed} == {Outcome.CANNOT_TELL}


def test_text_reads_back(club: Club) -> None:
    """Every version reads back the same; one word more is refused."""
    for kept in Roster.read(club.officer).versions:
        text = to_text(kept.version)

        assert from_text(text) == kept.version
        with pytest.raises(Damaged):
            from_text(text + "person - - - X\nmore\n")


def test_offered_refuses_a_gap(club: Club) -> None:
    """A file that lacks a version in between is refused."""
    from checklist.record.files.bundle import ROSTER, pack

    kept = Roster.read(club.officer).versions
    with pytest.raises(Damaged):
        offered(pack(ROSTER, [kept[-1].data]))


def _evening(disk: CrashDisk, keys: tuple[UnlockedKey, UnlockedKey], told: list[int]) -> None:
    vera, ada = keys
    folder = laptop("officer", HandClock(), disk)
    told.append(0)
    if not Roster.read(folder).versions:
        appoint(folder, vera)
    told.append(1)
    if in_force(folder).member("Ada Quill") is None:
        enrol(folder, vera, ada, "in charge")
    told.append(2)


def test_power_cut_at_every_change(tried: Tried) -> None:
    """Wherever the power goes, the roster told is in force, and the work can be completed."""
    maker = laptop("keys", HandClock())
    keys = person(maker, "Vera Holm"), person(maker, "Ada Quill")
    whole = CrashDisk()
    _evening(whole, keys, [])
    states = 0
    for stop_at in range(whole.done + 1):
        disk, told = CrashDisk(), list[int]()
        disk.stop_at = stop_at
        with suppress(PowerCut):
            _evening(disk, keys, told)
        for booted in disk.after_power_cut(4):
            states += 1
            folder = laptop("officer", HandClock(), booted)
            roster = Roster.read(folder)
            assert roster.problem == ""
            assert len(roster.versions) >= (told[-1] if told else 0)
            assert verify(folder).failures == ()
            _evening(booted, keys, [])
            assert in_force(folder).number == 2
    tried("operations", whole.done)
    tried("states", states)

    assert (ROOT / "officer") in whole.names_now
    assert states > 50


def test_refusal_at_every_change() -> None:
    """When the disk refuses any one change it is said, and doing it again completes it."""
    maker = laptop("keys", HandClock())
    keys = person(maker, "Vera Holm"), person(maker, "Ada Quill")
    whole = CrashDisk()
    _evening(whole, keys, [])
    said = 0
    for fail_at in range(whole.done):
        disk = CrashDisk()
        disk.fail_at = fail_at
        try:
            _evening(disk, keys, [])
        except RecordError:
            said += 1
        disk.locks.clear()
        _evening(disk, keys, [])

        assert in_force(laptop("officer", HandClock(), disk)).number == 2
    assert said > 10


def test_an_entry_without_the_hash_pins_no_version(club: Club) -> None:
    """What an entry does not say is not made up: the pin then names no version at all."""
    fields = (("officer", club.vera.public), ("version", "1"), ("how", "own key"))
    recorded = Ledger(club.station).append(Draft("near miss", fields=fields))

    assert pin_of([recorded]).sha256 == ""


def test_a_changed_version_is_found_and_replaced_by_the_officers() -> None:
    """A roster changed on disk fails; taken again with the code it holds, and both are kept."""
    club = make_club()
    path = club.station.kept_file(club.station.roster, Roster.read(club.station).versions[0].sha256)
    changed = club.station.disk.read(path, at_most=10_000).replace(b"standclear", b"standblear", 1)
    club.station.disk.unlink(path)
    create_whole(club.station.disk, path, changed)
    failing = [check.name for check in verify(club.station).failures]
    take_roster(club.station, roster_file(Roster.read(club.officer)), key_code(club.vera.public))
    aside = club.station.disk.names(club.station.quarantine)

    assert failing == ["roster"]
    assert verify(club.station).failures == ()
    assert Roster.read(club.station).newest == Roster.read(club.officer).newest
    assert [name for name in aside if name.startswith("roster-")]


def test_the_roster_in_force_taken_again_changes_nothing(club: Club) -> None:
    """With the code or without, a second time adds no entry, whichever version it is."""
    for _ in range(2):
        before = Ledger(club.station).names()
        for code in ("", key_code(club.vera.public)):
            taken = take_roster(club.station, roster_file(Roster.read(club.officer)), code)

            assert (taken.recorded, taken.newest.version.number) == (None, 2)
        assert Ledger(club.station).names() == before


def test_the_first_roster_can_be_taken_by_its_code_twice() -> None:
    """A single version that is in force stays, and the entry that pinned it stands alone."""
    clock = HandClock()
    officer, station = laptop("officer", clock), laptop("station", clock)
    vera = person(officer, "Vera Holm")
    appoint(officer, vera)
    data, code = roster_file(Roster.read(officer)), key_code(vera.public)
    first = take_roster(station, data, code)

    assert first.recorded is not None
    assert take_roster(station, data, code).recorded is None
