"""New versions of the roster: made and signed by the officer, taken over by a station.

The version's file is whole on disk before the ledger's entry `roster taken` puts it in
force. A version that was written and never entered means nothing, and stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.names import name_key
from checklist.record.errors import Damaged, EntryRefused, KeyRefused, NotSaved
from checklist.record.files.bundle import ROSTER, pack, unpack
from checklist.record.files.clock import read_stamp
from checklist.record.files.disk import create_whole
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Draft
from checklist.record.ledgers.ledger import LOCK, Ledger
from checklist.record.roll.keys import keys_of
from checklist.record.roll.people import KeyTerm, Member, Version
from checklist.record.roll.roster import (
    ALOUD,
    OWN,
    SIGNED_IN,
    TAKEN,
    Pin,
    Roster,
    SignedVersion,
    chain_to,
    parse_version,
    require_pinned,
)
from checklist.record.roll.rostertext import to_text
from checklist.record.roll.spoken import is_key_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.roll.keys import UnlockedKey

OFFICER_ROLE = "safety officer"


class NotSignedIn(KeyRefused):
    """The roster's officer was not signed in by the one pinned here; a code must be compared."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A roster that is in force from now on."""

    newest: SignedVersion
    recorded: Recorded | None
    """The ledger's entry; None where this version was in force before."""


def appoint(folder: LogFolder, key: UnlockedKey, call_sign: str = "") -> Taken:
    """Make the key's owner the safety officer, and pin the key here.

    Where a roster is kept already, its people stay, and the new version follows it: this is
    how a new officer begins when the old one's key is lost. Every station then compares
    the code again.
    """
    with folder.lock(LOCK):
        before = _usable(Roster.read(folder))
        newest = before.newest
        now = folder.clock.now()
        if newest is not None and newest.officer == key.public:
            raise EntryRefused(f"{key.person} is the safety officer already, with this key")
        made = [read_stamp(card.made) for card in keys_of(folder) if card.public == key.public]
        term = KeyTerm(key.public, min([*made, now]))
        own = Member(key.person, (OFFICER_ROLE,), call_sign, None, (term,))
        members = _with_officer(newest.members if newest else (), own)
        draft = _next(folder, before, members, key)
        return _enter(folder, _signed(draft, key), OWN)


def publish(
    folder: LogFolder,
    key: UnlockedKey,
    members: Sequence[Member],
    *,
    successor: Member | None = None,
) -> Taken:
    """Sign and put in force the next version, with these people.

    `successor` names the person, with one key, who is safety officer from then on. Raises
    KeyRefused where the key is not the officer's, or a clock stands before the last version.
    """
    with folder.lock(LOCK):
        before = _usable(Roster.read(folder))
        newest = before.newest
        if newest is None or newest.officer != key.public:
            raise KeyRefused(
                "only the safety officer in office signs the roster",
                right=f"It is {newest.officer_name}." if newest else "Appoint an officer first.",
            )
        draft = _next(folder, before, tuple(members), key)
        if successor is not None:
            draft = replace(draft, officer=successor.keys[-1].public, officer_name=successor.name)
        return _enter(folder, _signed(draft, key), SIGNED_IN)


def roster_file(roster: Roster) -> bytes:
    """Return every version in one file, for the stations; EntryRefused where there is none."""
    if not roster.versions:
        raise EntryRefused("there is no roster here", right="Appoint a safety officer first.")
    return pack(ROSTER, [kept.data for kept in roster.versions])


def offered(data: bytes) -> tuple[SignedVersion, ...]:
    """Return the versions of a roster file, each following the one before; Damaged otherwise."""
    versions = [parse_version(piece) for piece in unpack(ROSTER, data)]
    if not versions:
        raise Damaged("the file holds no roster")
    by_hash = {kept.sha256: kept for kept in versions}

    def read(sha256: str) -> SignedVersion:
        if sha256 not in by_hash:
            raise Damaged("a version of the roster is missing from the file")
        return by_hash[sha256]

    return chain_to(versions[-1].sha256, read)


def take_roster(folder: LogFolder, data: bytes, code: str = "") -> Taken:
    """Put the roster of a file in force here.

    `code` is the officer's, as it was read aloud; it is needed the first time, and when a
    new officer was not signed in by the one before. Raises NotSignedIn where it is needed
    and not given, KeyRefused where it is another, EntryRefused for an older roster.
    """
    chain = offered(data)
    newest = chain[-1]
    officer = newest.version.officer
    if not newest.is_signed_by(officer) and len(chain) == 1:
        raise Damaged("the roster is not signed by its officer")
    with folder.lock(LOCK):
        before = Roster.read(folder)
        if code:
            return _pinned_aloud(folder, before, chain, code)
        if before.problem or before.pin is None:
            why = before.problem or "no safety officer's key is pinned here yet"
            raise NotSignedIn(why, right=_compare(newest.version.officer_name))
        if newest.sha256 == before.versions[-1].sha256:
            return Taken(newest, None)
        _require_later(before, chain)
        try:
            require_pinned(chain, before.pin)
        except Damaged as problem:
            raise NotSignedIn(
                f"the officer pinned here did not sign this roster in: {problem.what}",
                right=_compare(newest.version.officer_name),
            ) from problem
        return _enter(folder, newest, SIGNED_IN, chain)


def _pinned_aloud(
    folder: LogFolder, before: Roster, chain: tuple[SignedVersion, ...], code: str
) -> Taken:
    """Pin the officer of the newest version after the code was compared."""
    newest = chain[-1]
    officer = newest.version.officer
    if not is_key_code(code, officer):
        raise KeyRefused(
            "the code typed is not the one of this roster's officer: do not use this roster",
            right="Have the officer read the whole code again; if it still differs, the file is "
            "not the officer's.",
        )
    _require_newer(before, newest)
    in_force = before.versions[-1] if before.versions else None
    if in_force is not None and before.pin is not None and in_force.sha256 == newest.sha256:
        return Taken(newest, None)
    signed = _first_signed(chain, officer)
    pin = Pin(officer, signed.version.number, signed.sha256, ALOUD, folder.clock.now())
    require_pinned(chain, pin)
    instead = before.newest.officer if before.newest else ""
    taken = _enter(folder, signed, ALOUD, chain, instead)
    return taken if newest is signed else _enter(folder, newest, SIGNED_IN, chain)


def _first_signed(chain: tuple[SignedVersion, ...], officer: str) -> SignedVersion:
    """Return the first version that the officer signed in the present time of office."""
    found = None
    for kept in reversed(chain):
        if kept.version.officer != officer:
            break
        found = kept if kept.is_signed_by(officer) else found
    if found is None:
        raise Damaged(
            "no version is signed by the officer whose code this is",
            right="The new officer signs a version first; then every station takes that.",
        )
    return found


def _require_newer(before: Roster, newest: SignedVersion) -> None:
    """Refuse a version that another one has taken the place of here."""
    older = {kept.sha256 for kept in before.versions[:-1]}
    if newest.sha256 in older:
        raise EntryRefused(
            f"this is roster {newest.version.number}; "
            f"roster {before.versions[-1].version.number} is in force here",
            right="Ask the officer for the newest one.",
        )


def _require_later(before: Roster, chain: tuple[SignedVersion, ...]) -> None:
    """Refuse an older roster, and one that departs from what is in force here."""
    newest, kept = chain[-1].version, before.versions[-1]
    _require_newer(before, chain[-1])
    if kept.sha256 not in {version.sha256 for version in chain}:
        raise NotSignedIn(
            f"two rosters exist that do not follow each other: number {kept.version.number} here, "
            f"number {newest.number} in the file",
            right=f"Tell the safety officer. {_compare(newest.officer_name)}",
        )


def _compare(name: str) -> str:
    return (
        f"Call {name} on a number that you know, have the code of the officer's key read to you, "
        "and type it."
    )


def _usable(roster: Roster) -> Roster:
    if roster.problem:
        raise Damaged(roster.problem, right="Take the roster again, comparing the code aloud.")
    return roster


def _with_officer(members: tuple[Member, ...], own: Member) -> tuple[Member, ...]:
    """Return the people with the new officer; whoever was it before keeps role and keys."""
    found: list[Member] = []
    is_known = False
    for member in members:
        if name_key(member.name) == name_key(own.name):
            is_known = True
            terms = [term for term in member.keys if term.public != own.keys[0].public]
            old = member.key(own.keys[0].public)
            roles = tuple(dict.fromkeys((*member.roles, OFFICER_ROLE)))
            found.append(
                replace(member, name=own.name, roles=roles, keys=(*terms, old or own.keys[0]))
            )
        else:
            found.append(member)
    return tuple(found) if is_known else (*found, own)


def _next(
    folder: LogFolder, before: Roster, members: tuple[Member, ...], key: UnlockedKey
) -> Version:
    last = before.versions[-1] if before.versions else None
    now = folder.clock.now()
    if last is not None and now < last.version.at:
        raise KeyRefused(
            f"this computer's clock stands before the last roster ({last.version.at:%d %b %H:%M})",
            right="Set the clock right, then do it again.",
        )
    return Version(
        last.version.number + 1 if last else 1,
        last.sha256 if last else FIRST_PREVIOUS,
        now.replace(microsecond=now.microsecond // 1000 * 1000),
        f"standclear {__version__}",
        key.public,
        key.person,
        members,
    )


def _signed(version: Version, key: UnlockedKey) -> SignedVersion:
    text = to_text(version)
    return parse_version(notes.compose(notes.Note(text, (key.sign(text),))))


def _enter(
    folder: LogFolder,
    newest: SignedVersion,
    how: str,
    chain: tuple[SignedVersion, ...] = (),
    instead: str = "",
) -> Taken:
    """Keep the versions, then put the newest in force; the caller holds the ledger's lock."""
    _keep(folder, chain or (newest,))
    fields = [
        ("officer", newest.version.officer),
        ("name", newest.version.officer_name),
        ("version", str(newest.version.number)),
        ("hash", newest.sha256),
        ("how", how),
    ]
    if instead and instead != newest.version.officer:
        fields.append(("instead-of", instead))
    return Taken(newest, Ledger(folder).append_held(Draft(TAKEN, fields=tuple(fields))))


def _keep(folder: LogFolder, chain: tuple[SignedVersion, ...]) -> None:
    try:
        for kept in chain:
            path = folder.kept_file(folder.roster, kept.sha256)
            if folder.disk.facts(path) is None:
                create_whole(folder.disk, path, kept.data)
            elif folder.disk.read(path, at_most=notes.LARGEST_NOTE) != kept.data:
                raise Damaged("a version of the roster was changed", where=str(path))
        folder.disk.sync_folder(folder.roster)
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the roster could not be written: {problem.strerror or problem}",
            where=str(folder.roster),
            right="Make room or mend the disk, then do it again.",
        ) from problem
