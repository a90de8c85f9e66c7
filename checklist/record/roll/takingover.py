"""A roster that comes in a file, taken over by a station: by the chain, or by a code read aloud."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, EntryRefused, KeyRefused
from checklist.record.files.bundle import ROSTER, unpack
from checklist.record.ledgers.ledger import LOCK
from checklist.record.roll.inforce import Taken, enter
from checklist.record.roll.roster import (
    ALOUD,
    SIGNED_IN,
    Pin,
    Roster,
    SignedVersion,
    chain_to,
    parse_version,
    require_pinned,
)
from checklist.record.roll.spoken import is_key_code

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder


class NotSignedIn(KeyRefused):
    """The roster's officer was not signed in by the one pinned here; a code must be compared."""


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
        return enter(folder, newest, SIGNED_IN, chain)


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
    taken = enter(folder, signed, ALOUD, chain, instead)
    if newest is not signed:
        taken = enter(folder, newest, SIGNED_IN, chain)
    return replace(taken, left_out=_left_out(before, newest))


def _left_out(before: Roster, newest: SignedVersion) -> tuple[str, ...]:
    """Return whose keys stand in the roster in force before, and in the new one no more."""
    members = before.newest.members if before.newest else ()
    return tuple(
        member.name
        for member in members
        if any(newest.version.holder(term.public) is None for term in member.keys)
    )


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
