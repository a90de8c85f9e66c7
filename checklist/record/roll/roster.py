"""Whose key is this? The roster that this log folder has pinned, and what it says.

Versions stand in roster/ under their own SHA-256. Which one is in force, and which officer's
key was pinned, is said by entries `roster taken` of the ledger; there is no other state. A
version holds if it was signed by the officer whom the version before it names, back to the
one that was pinned; the older ones are vouched for by their hashes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, RecordError
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS
from checklist.record.ledgers.ledger import Ledger, Recorded, read_note
from checklist.record.roll.keyholders import Identity, KeyHolders, key_holders
from checklist.record.roll.keys import require_sound
from checklist.record.roll.rostertext import from_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import datetime

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.people import Version

TAKEN = "roster taken"
"""The kind of entry that says which version of the roster is in force here from now on."""

ALOUD = "compared aloud"
"""The officer's key was pinned by a code that one person read to another."""

OWN = "own key"
"""The officer's key was pinned because it was made here."""

SIGNED_IN = "signed in"
"""The version follows the pinned one by signatures alone."""

HOWS = (ALOUD, OWN, SIGNED_IN)


@dataclass(frozen=True, slots=True)
class SignedVersion:
    """One version of the roster as it stands on disk; nothing is verified by having it."""

    version: Version
    data: bytes
    sha256: str

    @property
    def note(self) -> notes.Note:
        """Its text and signatures, taken from the bytes: five hundred texts need not be kept."""
        return notes.parse(self.data)

    def is_signed_by(self, public: str) -> bool:
        """Say whether it carries a signature by this key that verifies over its text."""
        return is_signed_by(self.note, public)


@dataclass(frozen=True, slots=True)
class Pin:
    """How the officer's key came to be trusted here."""

    officer: str
    number: int
    """Of the version with which it was pinned."""

    sha256: str
    how: str
    at: datetime


@dataclass(frozen=True)  # without slots, which leave cached_property no room
class Roster:
    """What a log folder knows of people; empty where no officer was ever pinned."""

    versions: tuple[SignedVersion, ...] = ()
    """Every version in force up to now, oldest first."""

    pin: Pin | None = None
    problem: str = ""
    """Why what is kept cannot be relied on, in one sentence; versions are then empty."""

    @classmethod
    def read(cls, folder: LogFolder, entries: Iterable[Recorded] | None = None) -> Roster:
        """Return the roster in force; never raises for what it finds.

        `entries` are those of the folder's ledger where the caller has them already.
        """
        if entries is None:
            try:
                entries = _entries(folder)
            except RecordError as problem:
                return cls(problem=f"the ledger cannot be read: {problem.what}")
        taken = [recorded for recorded in entries if recorded.entry.kind == TAKEN]
        if not taken:
            return cls()
        try:
            return _checked(taken, lambda sha256: read_version(folder, sha256))
        except RecordError as problem:
            return cls(problem=f"the roster kept here does not hold: {problem.what}")

    @property
    def newest(self) -> Version | None:
        """The version in force."""
        return self.versions[-1].version if self.versions else None

    @property
    def officers(self) -> frozenset[str]:
        """The keys of everybody who was safety officer up to now, for receipts of that time."""
        return frozenset(kept.version.officer for kept in self.versions)

    @cached_property
    def key_holders(self) -> KeyHolders:
        """What all versions together say to signatures, without the versions themselves."""
        return key_holders([kept.version for kept in self.versions], self.problem)

    def identity(
        self, public: str, person: str, role: str, at: datetime, received: datetime | None = None
    ) -> Identity:
        """Say whether a signature is by this person in this role; see KeyHolders.identity."""
        return self.key_holders.identity(public, person, role, at, received)


def is_signed_by(note: notes.Note, public: str) -> bool:
    """Say whether a note carries a signature by this key that verifies over its text."""
    return any(
        signature.name == public and notes.is_signed(note, signature, require_sound(public))
        for signature in note.signatures
    )


def parse_version(data: bytes) -> SignedVersion:
    """Return one version from its note's bytes; Damaged where it is not in form."""
    note = notes.parse(data)
    return SignedVersion(from_text(note.text), data, hash_of(data))


def read_version(folder: LogFolder, sha256: str) -> SignedVersion:
    """Return the version with this hash; Damaged where it is missing or changed."""
    path = folder.kept_file(folder.roster, sha256)
    try:
        data = folder.disk.read(path, at_most=notes.LARGEST_NOTE)
    except OSError as problem:
        raise Damaged(
            f"a version of the roster cannot be read ({problem.strerror})",
            where=str(path),
            right="Take the roster from the safety officer again.",
        ) from problem
    if hash_of(data) != sha256:
        raise Damaged("a version of the roster was changed", where=str(path))
    return parse_version(data)


def chain_to(
    sha256: str, read: Callable[[str], SignedVersion], *, least: int = 1
) -> tuple[SignedVersion, ...]:
    """Return every version up to the one with this hash, oldest first, each following the last.

    Raises Damaged where one is missing or does not follow.
    """
    found = [read(sha256)]
    while found[-1].version.number > least:
        later = found[-1].version
        earlier = read(later.previous)
        if earlier.version.number != later.number - 1:
            raise Damaged(f"version {later.number} does not follow version {later.number - 1}")
        found.append(earlier)
    if found[-1].version.number == 1 and found[-1].version.previous != FIRST_PREVIOUS:
        raise Damaged("the first version names one before it")
    return tuple(reversed(found))


def require_pinned(chain: tuple[SignedVersion, ...], pin: Pin) -> None:
    """Raise Damaged unless every version from the pinned one on is signed as it must be."""
    pinned = next((kept for kept in chain if kept.version.number == pin.number), None)
    if pinned is None or pinned.sha256 != pin.sha256 or pinned.version.officer != pin.officer:
        raise Damaged("it does not hold the version that was pinned")
    signer = pin.officer
    for kept in chain[chain.index(pinned) :]:
        if not kept.is_signed_by(signer):
            raise Damaged(
                f"version {kept.version.number} is not signed by the safety officer before it"
            )
        signer = kept.version.officer


def pin_of(taken: Iterable[Recorded]) -> Pin:
    """Return the pin that the last such entry set, by code or by key; Damaged without any."""
    pin = None
    for recorded in taken:
        entry = recorded.entry
        how = entry.field("how") or ""
        if how not in HOWS:
            raise Damaged(f"entry {entry.number} does not say how the officer was known")
        if how != SIGNED_IN:
            number, sha256 = entry.field("version") or "", entry.field("hash") or ""
            if not number.isascii() or not number.isdecimal():
                raise Damaged(f"entry {entry.number} names no version")
            pin = Pin(entry.field("officer") or "", int(number), sha256, how, entry.at)
    if pin is None:
        raise Damaged("no entry pins an officer's key")
    return pin


def _checked(taken: list[Recorded], read: Callable[[str], SignedVersion]) -> Roster:
    pin = pin_of(taken)
    chain = chain_to(taken[-1].entry.field("hash") or "", read)
    require_pinned(chain, pin)
    return Roster(chain, pin)


def _entries(folder: LogFolder) -> list[Recorded]:
    return [read_note(folder, name) for name in Ledger(folder).names()]
