"""What a roster says: people, their roles and training, their keys and how long each counts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist.names import name_key
from checklist.plaintext import accept
from checklist.record.errors import EntryRefused
from checklist.record.ledgers.entries import ROLES
from checklist.record.roll.keys import require_sound

if TYPE_CHECKING:
    from datetime import date, datetime

NO_CALL_SIGN = ""
LONGEST_NAME = 100
"""Characters in a name, as in a key's card."""

_name_key = lru_cache(maxsize=4096)(name_key)  # asked of everybody for each version
_CALL_SIGN = re.compile(r"[A-Z0-9/]{3,12}")
_HEX64 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class KeyTerm:
    """One public key of a person, and when signatures by it count."""

    public: str
    """64 hex digits."""

    since: datetime
    until: datetime | None = None
    """The moment from which it has run out; None for a key without end."""

    revoked: datetime | None = None
    """The moment from which it is not to be trusted; what is dated before must be shown to be."""

    reason: str = ""
    """Why it was revoked."""


@dataclass(frozen=True, slots=True)
class Member:
    """One person of a roster."""

    name: str
    roles: tuple[str, ...]
    """The roles in which this person may sign."""

    call_sign: str = NO_CALL_SIGN
    trained: date | None = None
    """The day of the last training that the officer knows of."""

    keys: tuple[KeyTerm, ...] = ()

    def key(self, public: str) -> KeyTerm | None:
        """Return one of this person's keys, or None."""
        return next((term for term in self.keys if term.public == public), None)


@dataclass(frozen=True, slots=True)
class Version:
    """One numbered roster, whole; a later one takes its place and names its hash."""

    number: int
    """1 for the first."""

    previous: str
    """SHA-256 of the whole note of the version before; 64 zeros in the first."""

    at: datetime
    program: str
    officer: str
    """The safety officer's public key: who signs the next version, and receipts from now on."""

    officer_name: str
    members: tuple[Member, ...] = ()

    def holder(self, public: str) -> Member | None:
        """Return whose key this is, or None."""
        return next((member for member in self.members if member.key(public)), None)

    def member(self, name: str) -> Member | None:
        """Return the person of this name, in whatever case it is typed."""
        wanted = name_key(name)
        return next((m for m in self.members if name_key(m.name) == wanted), None)


def check_version(version: Version) -> None:
    """Refuse a roster whose people, each in form, cannot stand together, or whose head is wrong.

    EntryRefused; KeyRefused for a worthless key of the officer. `check_member` looks at each.
    """
    _require(0 < version.number < 10**6, "its number is out of range")
    _require(_HEX64.fullmatch(version.previous), "the hash before it is not 64 hex digits")
    _require_line(version.program, "program")
    _require_line(version.officer_name, "officer")
    require_sound(version.officer)
    names: set[str] = set()
    keys: set[str] = set()
    for member in version.members:
        known_as = _name_key(member.name)
        _require(known_as not in names, f"{member.name} stands there twice")
        names.add(known_as)
        for term in member.keys:
            _require(term.public not in keys, f"a key of {member.name} stands there twice")
            keys.add(term.public)
    holder = version.holder(version.officer)
    _require(
        holder is not None
        and holder.name == version.officer_name
        and "safety officer" in holder.roles,
        "its officer is not among its people, with this key and the role of safety officer",
    )


def check_member(member: Member) -> None:
    """Refuse a person that cannot stand in a roster."""
    _require_line(member.name, "name")
    _require(len(member.name) <= LONGEST_NAME, "a name is longer than 100 characters")
    _require(
        not member.call_sign or _CALL_SIGN.fullmatch(member.call_sign),
        f"{member.call_sign!r} is no call sign: 3 to 12 capital letters, digits and strokes",
    )
    unknown = [role for role in member.roles if role not in ROLES]
    _require(not unknown, f"{', '.join(unknown)!r} is no role; there are {', '.join(ROLES)}")
    _require(len(set(member.roles)) == len(member.roles), f"{member.name} has a role twice")
    for term in member.keys:
        require_sound(term.public)
        _require(term.until is None or term.until > term.since, "a key runs out before it begins")
        _require((term.revoked is None) == (not term.reason), "a revoked key needs its reason")
        if term.reason:
            _require_line(term.reason, "reason")


def _require_line(text: str, field: str) -> None:
    clean = accept(text, field=field)
    _require(clean == text and text, f"the {field} is empty, or not plain text in NFC")


def _require(condition: object, otherwise: str) -> None:
    if not condition:
        raise EntryRefused(otherwise)
