"""New versions of the roster, made and signed by the officer, and the file for the stations."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.names import name_key
from checklist.record.errors import Damaged, EntryRefused, KeyRefused
from checklist.record.files.bundle import ROSTER, pack
from checklist.record.files.clock import read_stamp
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS
from checklist.record.ledgers.ledger import LOCK
from checklist.record.roll.inforce import Taken, enter
from checklist.record.roll.keys import keys_of
from checklist.record.roll.people import KeyTerm, Member, Version
from checklist.record.roll.roster import (
    OWN,
    SIGNED_IN,
    Roster,
    SignedVersion,
    parse_version,
)
from checklist.record.roll.rostertext import to_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey


OFFICER_ROLE = "safety officer"


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
        return enter(folder, _signed(draft, key), OWN)


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
        return enter(folder, _signed(draft, key), SIGNED_IN)


def roster_file(roster: Roster) -> bytes:
    """Return every version in one file, for the stations; EntryRefused where there is none."""
    if not roster.versions:
        raise EntryRefused("there is no roster here", right="Appoint a safety officer first.")
    return pack(ROSTER, [kept.data for kept in roster.versions])


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
