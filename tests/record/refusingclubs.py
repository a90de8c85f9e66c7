"""What is refused of rosters and requests, and what a roster says to signatures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from checklist.record.files.bundle import ROSTER, pack
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Draft
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.appointing import appoint, publish, roster_file
from checklist.record.roll.enrolment import Enrolment, make_request, read_request
from checklist.record.roll.people import KeyTerm, Member, Version
from checklist.record.roll.roster import (
    TAKEN,
    Roster,
    SignedVersion,
    chain_to,
    parse_version,
    pin_of,
    read_version,
    require_pinned,
)
from checklist.record.roll.rostertext import to_text
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import offered, take_roster
from checklist.sessions.roll.people import Change, ask_to_enrol, change, in_force, revoke
from tests.record.clubs import Club, enrol, laptop, make_club
from tests.record.crashdisk import CrashDisk
from tests.record.making import person

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey

Tried = dict[str, Callable[[], object]]


def signed(version: Version, *keys: UnlockedKey) -> SignedVersion:
    """Return a version signed by these keys, whoever they belong to."""
    text = to_text(version)
    return parse_version(notes.compose(notes.Note(text, tuple(key.sign(text) for key in keys))))


def _requests(club: Club) -> Tried:
    wanted = Enrolment("Ada Quill", club.ada.public, club.clock.now(), "", ("worker",))
    data = ask_to_enrol(club.station, club.ada, roles=["worker"])
    asked, other = notes.parse(data), notes.parse(make_request(wanted, club.ada))
    renewed = replace(wanted, renews=club.ada.public)
    bad = {
        "signed by nobody": replace(asked, signatures=()),
        "signed twice": replace(asked, signatures=asked.signatures * 2),
        "with the signature of another": replace(asked, signatures=other.signatures),
        "at no time": replace(asked, text=asked.text.replace("time 2", "time x", 1)),
        "of no person": replace(asked, text=asked.text.replace("person ", "persons ", 1)),
        "spelled otherwise": replace(asked, text=asked.text.replace("roles worker", "roles -,", 1)),
        "without its sign for no call sign": replace(
            asked, text=asked.text.replace("call-sign -", "call-sign ", 1)
        ),
        "of a small-order key": replace(
            asked, text=asked.text.replace(club.ada.public, "01" + "00" * 31)
        ),
    }
    return {
        f"a request {what}": lambda note=note: read_request(notes.compose(note))
        for what, note in bad.items()
    } | {
        "a request for another's key": lambda: make_request(wanted, club.vera),
        "a request with an old key unasked": lambda: make_request(wanted, club.ada, club.vera),
        "a request that renews itself": lambda: make_request(renewed, club.ada, club.ada),
    }


def _people(club: Club) -> Tried:
    now, (vera, ada) = club.clock.now(), in_force(club.officer).members
    wrong = {
        "of a long name": Member("B" * 101, ("worker",)),
        "without a name": Member("", ("worker",)),
        "with a small call sign": Member("Ben Marsh", ("worker",), "q0club"),
        "with an unknown role": Member("Ben Marsh", ("captain",)),
        "with a role twice": Member("Ben Marsh", ("worker", "worker")),
        "who stands there already": Member("ADA  quill", ("worker",)),
        "with another's key": Member("Ben Marsh", ("worker",), keys=ada.keys),
        "whose key ends at once": Member(
            "Ben Marsh", ("worker",), keys=(KeyTerm("ab" * 32, now, now),)
        ),
        "whose key is revoked for nothing": Member(
            "Ben Marsh", ("worker",), keys=(KeyTerm("ab" * 32, now, None, now),)
        ),
        "whose key is revoked for two lines": Member(
            "Ben Marsh", ("worker",), keys=(KeyTerm("ab" * 32, now, None, now, "lost\nfound"),)
        ),
    }
    return {
        f"a roster with somebody {what}": lambda one=one: publish(
            club.officer, club.vera, (vera, ada, one)
        )
        for what, one in wrong.items()
    } | {
        "a roster without its officer": lambda: publish(club.officer, club.vera, (ada,)),
        "a roster of no number": lambda: to_text(replace(in_force(club.officer), number=0)),
        "a roster after no hash": lambda: to_text(replace(in_force(club.officer), previous="ab")),
        "a roster by no program": lambda: to_text(replace(in_force(club.officer), program="")),
        "a roster signed by another": lambda: publish(club.officer, club.ada, (vera, ada)),
        "a roster where there is none": lambda: publish(
            laptop("bare", club.clock), club.vera, (vera,)
        ),
    }


def _clock_behind(club: Club) -> Tried:
    club.clock.set_wall(-86400)
    return {"a roster dated before the last": lambda: publish(club.officer, club.vera, ())}


def _chains(club: Club) -> Tried:
    first, second = Roster.read(club.officer).versions
    third = replace(second.version, number=3, previous=second.sha256)
    skipped = signed(replace(third, previous=first.sha256), club.vera)
    headless = signed(replace(first.version, previous="1" * 64), club.vera)
    unsigned = signed(replace(first.version, previous=FIRST_PREVIOUS), club.ada)
    pin = Roster.read(club.station).pin
    assert pin is not None
    files = {
        "of no version": [],
        "with a version missing": [second],
        "with a number missing": [first, skipped],
        "whose first version is not": [headless],
        "signed by no officer": [unsigned],
    }
    by_hash = {kept.sha256: kept for kept in (first, second)}
    chain = chain_to(second.sha256, by_hash.__getitem__)
    return {
        f"a roster file {what}": lambda file=file: take_roster(
            club.station, pack(ROSTER, [kept.data for kept in file])
        )
        for what, file in files.items()
    } | {
        "a pin of another hash": lambda: require_pinned(chain, replace(pin, sha256="0" * 64)),
        "a pin of another number": lambda: require_pinned(chain, replace(pin, number=9)),
        "a pin of another officer": lambda: require_pinned(
            chain, replace(pin, officer=club.ada.public)
        ),
        "a version that another signed": lambda: require_pinned(
            (first, signed(second.version, club.ada)), replace(pin, number=1, sha256=first.sha256)
        ),
        "a roster with more at its end": lambda: offered(
            pack(ROSTER, [first.data, second.data]) + b"x"
        ),
    }


def _pins(club: Club) -> Tried:
    def taken(**fields: str) -> Callable[[], object]:
        folder = laptop("pins", club.clock, CrashDisk())
        known = {"officer": club.vera.public, "name": "Vera Holm", "how": "own key"} | fields
        draft = Draft(TAKEN, fields=tuple((n.rstrip("_"), t) for n, t in known.items() if t))
        return lambda: pin_of([Ledger(folder).append(draft)])

    return {
        "a pin known in no way": taken(how="by hearsay", version="1", hash="0" * 64),
        "a pin of no version": taken(version="one", hash="0" * 64),
        "a pin only signed in": taken(how="signed in", version="1", hash="0" * 64),
        "no pin": lambda: pin_of(()),
    }


def _kept_versions(club: Club) -> Tried:
    """Return what is tried where the kept versions were changed, or one of them is gone."""
    disk, station = club.station.disk, club.station
    assert isinstance(disk, CrashDisk)
    newest = Roster.read(station).versions[-1].sha256
    path = station.kept_file(station.roster, newest)
    inode = disk.names_now[path]
    assert inode is not None
    inode.cached[30] ^= 1
    data = roster_file(Roster.read(club.officer))
    new = laptop("new", club.clock, disk)
    new_path = new.kept_file(new.roster, newest)
    disk.names_now[new_path] = inode
    return {
        "a kept version that was changed": lambda: read_version(station, newest),
        "a kept version that is gone": lambda: read_version(station, "0" * 64),
        "a new officer over a changed roster": lambda: appoint(station, club.ada),
        "a roster over a changed version": lambda: take_roster(
            new, data, key_code(club.vera.public)
        ),
    }


def _officers(club: Club) -> Tried:
    """Return what is tried after an officer was signed in who has signed nothing yet."""
    nils, old = person(club.officer, "Nils Berg"), roster_file(Roster.read(club.officer))
    other = laptop("other", club.clock)
    take_roster(other, old, key_code(club.vera.public))
    change(other, club.vera, "Ada Quill", Change(roles=["worker"]))
    apart = roster_file(Roster.read(other))
    enrol(club.officer, club.vera, nils, "worker", as_officer=True)
    data = roster_file(Roster.read(club.officer))
    take_roster(club.station, data)
    mallory = laptop("mallory", club.clock)
    appoint(mallory, stranger := person(mallory, "Ben Marsh"))
    lost = laptop("lost", club.clock)
    take_roster(lost, old, key_code(club.vera.public))
    appoint(lost, person(lost, "Nils Berg"))
    unsigned = roster_file(Roster.read(lost))
    behind = laptop("behind", club.clock)
    take_roster(behind, old, key_code(club.vera.public))
    return {
        "an officer who has signed nothing yet": lambda: take_roster(
            laptop("first", club.clock), data, key_code(nils.public)
        ),
        "an older roster": lambda: take_roster(club.station, old),
        "an older roster by its code": lambda: take_roster(
            club.station, old, key_code(club.vera.public)
        ),
        "two rosters": lambda: take_roster(club.station, apart),
        "an officer whom nobody signed in": lambda: take_roster(behind, unsigned),
        "a stranger's roster": lambda: take_roster(club.station, roster_file(Roster.read(mallory))),
        "half a code": lambda: take_roster(club.station, data, key_code(stranger.public)[:9]),
    }


def _holders(club: Club) -> dict[str, str]:
    """Return what a roster says to a signature, with the key's state and the date."""
    folder: LogFolder = club.officer
    before = club.clock.now()
    asked = {"in charge": club.ada, "worker": club.ada, "nobody": person(folder, "Ben Marsh")}
    said = {
        f"a signature as {role}": Roster.read(folder)
        .identity(key.public, key.person, role, club.clock.now())
        .sentence
        for role, key in asked.items()
    }
    roster = Roster.read(folder)
    said["a signature under another name"] = roster.identity(
        club.ada.public, "Vera Holm", "in charge", before
    ).sentence
    said["a signature before its key"] = roster.identity(
        club.ada.public, "Ada Quill", "in charge", before - timedelta(days=2)
    ).sentence
    club.clock.pass_time(3600)
    change(folder, club.vera, "Ada Quill", Change(until="2026-12-24"))
    later = before + timedelta(days=40)
    ada = (club.ada.public, "Ada Quill", "in charge")
    said["a signature after its key"] = Roster.read(folder).identity(*ada, later).sentence
    revoke(folder, club.vera, "ada quill", "", "laptop lost at Hut X.")
    roster = Roster.read(folder)
    for name, at in {"after": later, "before": before}.items():
        said[f"a signature {name} its key was lost"] = roster.identity(*ada, at).sentence
    said["a signature and no officer"] = Roster().identity(*ada, later).sentence
    said["a signature and a bad roster"] = Roster(problem="it is bad").identity(*ada, at).sentence
    return said


ROOMS = (
    _requests, _people, _clock_behind, _chains, _pins, _kept_versions, _officers,
)  # fmt: skip


def said_of_signatures() -> dict[str, str]:
    """Return what the roster of a club says to signatures, without hashes."""
    return _holders(make_club())
