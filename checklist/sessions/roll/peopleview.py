"""Everybody that a log folder knows by roster or key, and how each key stands at this moment."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import product
from typing import TYPE_CHECKING

from checklist.names import name_key
from checklist.record.errors import KeyRefused, RecordError
from checklist.record.roll.appointing import OFFICER_ROLE
from checklist.record.roll.keys import keys_of
from checklist.record.roll.spoken import HEAD_DIGITS, KEY_DIGITS, code_readings, key_code
from checklist.sessions.past.ledgerview import view_ledger
from checklist.sessions.roll.covering import covering

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import KeyCard
    from checklist.record.roll.people import KeyTerm, Member, Version
    from checklist.sessions.roll.covering import Covering

NOBODY_PINNED = "No safety officer is pinned here: who is who cannot be told."
WEAK_CODE = "So short a code finds a chance change; it does not stop a forger."


class KeyState(StrEnum):
    """How a key stands."""

    HOLDS = "holds"
    NOT_YET = "not yet"
    EXPIRED = "EXPIRED"
    REVOKED = "REVOKED"
    NOT_ENROLLED = "not enrolled"
    """It is kept on this laptop, and no roster in force here names it."""

    NONE = "no key"


@dataclass(frozen=True, slots=True)
class KeyHere:
    """One key of a person."""

    public: str
    state: KeyState
    says: str
    """From when to when it counts, in words."""

    is_here: bool
    """Whether the private key is on this laptop."""

    def line(self) -> str:
        """Return code, state, time and place on one line."""
        here = ", kept on this laptop" if self.is_here else ""
        return f"key {key_code(self.public)}  {self.state}: {self.says}{here}"


@dataclass(frozen=True, slots=True)
class PersonHere:
    """One person of the roster, or one who has a key here and stands in none."""

    name: str
    member: Member | None
    keys: tuple[KeyHere, ...] = ()
    signs_here_with: str = ""
    """The public key that a signature on this laptop would be made with: the newest kept here."""

    is_in_office: bool = False
    """Whether this is the safety officer whose key is pinned here."""

    @property
    def state(self) -> KeyState:
        """The best that any key has, unless the one used here is in no roster yet."""
        used = next((key for key in self.keys if key.public == self.signs_here_with), None)
        if used is not None and used.state is KeyState.NOT_ENROLLED:
            return KeyState.NOT_ENROLLED
        held = {key.state for key in self.keys}
        return next((state for state in KeyState if state in held), KeyState.NONE)

    @property
    def about(self) -> str:
        """Roles, call sign and training in one line."""
        if self.member is None:
            return "in no roster here"
        roles = ", ".join(map(self._role, self.member.roles)) or "no role"
        call = f", {self.member.call_sign}" if self.member.call_sign else ""
        day = self.member.trained
        return f"{roles}{call}, {f'trained {day.isoformat()}' if day else 'training not known'}"

    def _role(self, role: str) -> str:
        """Return a role as it is; of whoever was the officer before, or may stand in, with that."""
        is_other = role == OFFICER_ROLE and not self.is_in_office
        return f"{role} (not the one in office)" if is_other else role


@dataclass(frozen=True, slots=True)
class PeopleHere:
    """What the screen and the command show of people, keys and receipts."""

    people: tuple[PersonHere, ...]
    version: Version | None
    officer_is_here: bool
    """Whether the key of the officer in office is kept on this laptop."""

    pinned: str
    """Who is pinned here, with the code to compare; or that nobody is."""

    covers: int
    """The number of the newest entry under a receipt that holds; 0 without any."""

    tail: str
    receipts: tuple[str, ...]
    """One sentence for each receipt kept here."""

    problems: tuple[str, ...]


def look_at_people(folder: LogFolder) -> PeopleHere:
    """Return everybody known here; whatever cannot be read becomes a sentence."""
    view = view_ledger(folder)
    problems = list(view.problems)
    covers = covering(folder, view.entries)
    try:
        cards: tuple[KeyCard, ...] = keys_of(folder)
    except (RecordError, OSError) as problem:
        cards = ()
        said = problem.sentence() if isinstance(problem, RecordError) else str(problem)
        problems.append(f"The keys kept here cannot be read: {said}")
    version = covers.roster.newest
    here = {card.public for card in cards}
    now = folder.clock.now()
    return PeopleHere(
        tuple(_people(version, cards, now)),
        version,
        version is not None and version.officer in here,
        pinned_line(covers),
        covers.covered.covers,
        covers.tail_text(now),
        tuple(f"{f.outcome.value}: {f.sentence}" for f in covers.covered.findings),
        tuple(dict.fromkeys([*problems, *covers.problems])),
    )


def pinned_line(covers: Covering) -> str:
    """Say whose key is pinned, with its code, or that nobody's is."""
    version = covers.roster.newest
    if version is None:
        why = covers.roster.problem
        return f"Nobody can be relied on here: {why}." if why else NOBODY_PINNED
    return (
        f"Safety officer {version.officer_name}, code {key_code(version.officer)}, "
        f"roster {version.number} of {version.at:%d %b %Y}"
    )


def compare_code(folder: LogFolder, text: str) -> str:
    """Say whose key, or which entry of the ledger, has the code that was read aloud.

    A number may stand before the code of an entry. Raises KeyRefused where it is no code.
    """
    readings = code_readings(text)
    view = view_ledger(folder)
    covers = covering(folder, view.entries)
    for person in _people(covers.roster.newest, keys_of(folder), folder.clock.now()):
        for key in person.keys:
            if any(number is None and _is_code_of(key.public, d) for number, d in readings):
                return _whose(person, key, covers.roster.newest)
    for recorded, (number, digits) in product(view.entries, readings):
        entry = recorded.entry
        if recorded.sha256.startswith(digits) and number in {None, entry.number}:
            weak = "" if len(digits) >= HEAD_DIGITS else f" {WEAK_CODE}"
            return f"Entry {entry.number} of {entry.at:%d %b %Y %H:%M} has this code.{weak}"
    raise KeyRefused(
        "no key and no entry here has this code: a slip, another log, or something was changed",
        right="Read the whole code again; if it still differs, rely on nothing here.",
    )


def _is_code_of(public: str, digits: str) -> bool:
    return len(digits) >= KEY_DIGITS and key_code(public).replace("-", "") == digits[:KEY_DIGITS]


def _whose(person: PersonHere, key: KeyHere, version: Version | None) -> str:
    if version is not None and key.public == version.officer:
        return f"The same: it is the key of {person.name}, the safety officer pinned here."
    return f"It is the key of {person.name}: {key.state}, {key.says}."


def _people(
    version: Version | None, cards: Iterable[KeyCard], now: datetime
) -> Iterable[PersonHere]:
    members = version.members if version else ()
    enrolled = {term.public for member in members for term in member.keys}
    kept = list(cards)
    here = {card.public for card in kept}
    newest = {name_key(card.person): card.public for card in kept}
    loose: dict[str, list[KeyCard]] = {}
    for card in kept:
        if card.public not in enrolled:
            loose.setdefault(name_key(card.person), []).append(card)
    for member in members:
        known = [_term(term, now, term.public in here) for term in member.keys]
        more = loose.pop(name_key(member.name), [])
        used = newest.get(name_key(member.name), "")
        is_in_office = version is not None and member.key(version.officer) is not None
        yield PersonHere(member.name, member, (*known, *map(_loose, more)), used, is_in_office)
    for name, more in loose.items():
        yield PersonHere(more[0].person, None, tuple(map(_loose, more)), newest[name])


def _term(term: KeyTerm, now: datetime, is_here: bool) -> KeyHere:
    since = f"from {term.since:%d %b %Y}"
    if term.revoked is not None:
        says = f"since {term.revoked:%d %b %Y %H:%M}, {term.reason}"
        return KeyHere(term.public, KeyState.REVOKED, says, is_here)
    if term.until is not None and term.until <= now:
        return KeyHere(term.public, KeyState.EXPIRED, f"on {term.until:%d %b %Y %H:%M}", is_here)
    end = f" until {term.until:%d %b %Y %H:%M}" if term.until else ", no end"
    state = KeyState.NOT_YET if term.since > now else KeyState.HOLDS
    return KeyHere(term.public, state, f"{since}{end}", is_here)


def _loose(card: KeyCard) -> KeyHere:
    return KeyHere(card.public, KeyState.NOT_ENROLLED, f"made {card.made[:10]}", True)
