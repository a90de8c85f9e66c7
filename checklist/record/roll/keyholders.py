"""What a roster says to signatures: whose key it is, from when until when, and in which roles.

It is made once from every version that was in force, and is small however many there were, so
that it can be sent to the processes that read a ledger.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist import names
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from checklist.record.roll.people import KeyTerm, Member, Version

NO_OFFICER = "no safety officer's key is pinned here"

_LONG_AGO = datetime.min.replace(tzinfo=UTC)
_name_key = lru_cache(maxsize=4096)(names.name_key)  # the same few people, asked for each signature


@dataclass(frozen=True, slots=True)
class Identity:
    """What the roster says to one signature."""

    outcome: Outcome
    """HOLDS, FAILS or CANNOT_TELL."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Terms:
    """The roles of a key's holder, as they changed."""

    since: tuple[datetime, ...]
    """In order; what is dated before the second counts by the first roles, and so on."""

    roles: tuple[tuple[str, ...], ...]

    def at(self, moment: datetime) -> tuple[str, ...]:
        """Return the roles by the version in force then, or by the first after."""
        return self.roles[max(bisect_right(self.since, moment) - 1, 0)]


@dataclass(frozen=True, slots=True)
class KeyHolders:
    """What a roster says to signatures; without a version in force it says nothing."""

    number: int = 0
    """Of the version in force; 0 where there is none."""

    problem: str = ""
    """Why what is kept cannot be relied on, in one sentence."""

    holders: Mapping[str, tuple[Member, KeyTerm]] = field(default_factory=dict)
    """By public key, as the version in force has it."""

    terms: Mapping[str, Terms] = field(default_factory=dict)
    """By public key, over all versions."""

    def identity(
        self, public: str, person: str, role: str, at: datetime, received: datetime | None = None
    ) -> Identity:
        """Say whether a signature, dated `at`, is by this person in this role.

        `received` is the time of the first receipt over it: what is dated before a key was
        revoked counts only if a receipt from before then shows that it existed.
        """
        if self.problem:
            return _cannot_tell(f"Who signed cannot be told: {self.problem}.")
        if not self.number:
            return _cannot_tell(f"Who signed cannot be told: {NO_OFFICER}.")
        if public not in self.holders:
            return _fails(f"The key that signs as {person} is not in the roster.")
        holder, term = self.holders[public]
        if _name_key(holder.name) != _name_key(person):
            return _fails(f"The key that signs as {person} is {holder.name}'s.")
        in_time = _in_time(holder, term, at, received)
        if in_time is not None:
            return in_time
        if role not in self.terms[public].at(at):
            return _fails(f"{holder.name} may not sign as {role} by the roster of that day.")
        return Identity(
            Outcome.HOLDS, f"{holder.name} signs as {role}: the key is in roster {self.number}."
        )


def key_holders(versions: Sequence[Version], problem: str = "") -> KeyHolders:
    """Return what these versions, oldest first, say to signatures."""
    if not versions:
        return KeyHolders(problem=problem)
    newest = versions[-1]
    holders = {term.public: (member, term) for member in newest.members for term in member.keys}
    return KeyHolders(newest.number, problem, holders, _terms(versions))


def _terms(versions: Iterable[Version]) -> dict[str, Terms]:
    """Return how the roles of each key's holder changed.

    A version counts until the first later one that is dated after a signature; a version that
    is dated before an earlier one changes nothing in that.
    """
    latest: dict[str, datetime] = {}
    found: dict[str, list[tuple[datetime, tuple[str, ...]]]] = {}
    for version in versions:
        for member in version.members:
            for term in member.keys:
                public = term.public
                if public not in found:
                    found[public], latest[public] = [(_LONG_AGO, member.roles)], _LONG_AGO
                    continue
                latest[public] = max(latest[public], version.at)
                if found[public][-1][1] != member.roles:
                    found[public].append((latest[public], member.roles))
    return {
        public: Terms(tuple(at for at, _ in changes), tuple(roles for _, roles in changes))
        for public, changes in found.items()
    }


def _in_time(
    holder: Member, term: KeyTerm, at: datetime, received: datetime | None
) -> Identity | None:
    """Return why a key did not count at that time, or None where it did."""
    if term.revoked is not None:
        revoked, reason = f"{term.revoked:%d %b %Y %H:%M}", term.reason.rstrip(". ")
        if at >= term.revoked:
            return _fails(f"{holder.name}'s key was revoked on {revoked}: {reason}.")
        if received is None or received >= term.revoked:
            return _cannot_tell(
                f"{holder.name}'s key was revoked on {revoked} ({reason}), and no receipt "
                "from before shows that this was signed earlier."
            )
    if at < term.since:
        return _fails(f"{holder.name}'s key counts only from {term.since:%d %b %Y %H:%M} on.")
    if term.until is not None and at >= term.until:
        return _fails(f"{holder.name}'s key ran out on {term.until:%d %b %Y %H:%M}.")
    return None


def _fails(sentence: str) -> Identity:
    return Identity(Outcome.FAILS, sentence)


def _cannot_tell(sentence: str) -> Identity:
    return Identity(Outcome.CANNOT_TELL, sentence)
