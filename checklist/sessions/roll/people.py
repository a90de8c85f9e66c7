"""What the safety officer and the people do with keys: ask, enrol, change, revoke, take over."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.names import name_key
from checklist.plaintext import accept
from checklist.record.errors import EntryRefused, KeyRefused
from checklist.record.ledgers.entries import ROLES
from checklist.record.roll.appointing import OFFICER_ROLE, publish
from checklist.record.roll.enrolment import Enrolment, make_request, read_request
from checklist.record.roll.keys import keys_of
from checklist.record.roll.people import KeyTerm, Member, Version
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import is_key_code
from checklist.sessions.roll.enrolling import require_enrollable, stopped_counting

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.inforce import Taken
    from checklist.record.roll.keys import KeyCard, UnlockedKey


@dataclass(frozen=True, slots=True)
class Change:
    """What shall be different about a person; what is empty stays."""

    roles: Sequence[str] = ()
    call_sign: str = ""
    trained: str = ""
    until: str = ""


def ask_to_enrol(
    folder: LogFolder,
    key: UnlockedKey,
    *,
    roles: Sequence[str] = (),
    call_sign: str = "",
    old: UnlockedKey | None = None,
) -> bytes:
    """Return the request of the key's owner, signed by it and by the key that it renews."""
    now = folder.clock.now()
    at = now.replace(microsecond=now.microsecond // 1000 * 1000)
    renews = old.public if old else ""
    wanted = Enrolment(key.person, key.public, at, call_sign.upper(), read_roles(roles), renews)
    return make_request(wanted, key, old)


def vouching_card(folder: LogFolder, person: str) -> tuple[KeyCard | None, str]:
    """Return the key here that signs for a new one of this person, and what must be said of it.

    It is the newest that the roster in force here names and nobody revoked; the officer would
    refuse another. Where none is, it is the newest here, and that is said. None without any.
    """
    cards = [card for card in keys_of(folder) if name_key(card.person) == name_key(person)]
    newest = Roster.read(folder).newest
    known = newest.member(person) if newest else None
    enrolled = {term.public for term in known.keys if term.revoked is None} if known else set()
    counting = [card for card in cards if card.public in enrolled]
    if counting or not cards:
        return (counting[-1] if counting else None), ""
    return cards[-1], (
        f"No key of {cards[-1].person} that is here stands in the roster in force here, so the "
        "officer may refuse the old one; a key that is made anew as lost needs none."
    )


def enrol_from(
    folder: LogFolder,
    officer: UnlockedKey,
    data: bytes,
    code: str,
    *,
    roles: Sequence[str] = (),
    trained: str = "",
    as_officer: bool = False,
) -> Taken:
    """Put the person of a request into the roster, after the code of the key was compared.

    A person who is known keeps the older keys; one that the request renews runs out now.
    Raises KeyRefused where the code is another, the key is somebody else's or has stopped
    counting, a revoked key vouches for it, or the request is dated in a time to come.
    """
    wanted = read_request(data)
    if not is_key_code(code, wanted.public):
        raise KeyRefused(
            "the code typed is not the one of the key in this request: do not enrol it",
            right="Have the person read the whole code again from their own screen.",
        )
    newest, now = in_force(folder), folder.clock.now()
    require_enrollable(newest, wanted, now)
    known = newest.member(wanted.person)
    granted = read_roles(roles) or (known.roles if known else wanted.roles)
    if as_officer:
        granted = tuple(dict.fromkeys((*granted, OFFICER_ROLE)))
    if not granted:
        raise EntryRefused(
            f"no role is named for {wanted.person}", right=f"Roles are {', '.join(ROLES)}."
        )
    member = replace(_with_key(known, wanted, now), roles=granted)
    if trained:
        member = replace(member, trained=day(trained))
    successor = None
    if as_officer:
        term = member.key(wanted.public)
        successor = replace(member, keys=(term,)) if term else None
    return publish(folder, officer, _with(newest, member), successor=successor)


def _with_key(known: Member | None, wanted: Enrolment, now: datetime) -> Member:
    """Return the person with the key of the request; one that it renews runs out `now`."""
    if known is None:
        return wanted.member()
    if known.key(wanted.public) is not None:
        return known
    terms = [_ended(term, now) if term.public == wanted.renews else term for term in known.keys]
    return replace(known, keys=(*terms, KeyTerm(wanted.public, wanted.at)))


def revoke(
    folder: LogFolder, officer: UnlockedKey, name: str, code: str, reason: str, since: str = ""
) -> Taken:
    """Revoke a person's key, or all of them without a code, from a moment on."""
    newest = in_force(folder)
    member = person_in(newest, name)
    why = accept(reason, field="reason", longest=200)
    if not why:
        raise EntryRefused("a key is revoked for a reason", right="Such as: laptop lost.")
    now = folder.clock.now()
    at = moment(since, now) if since else now
    if at > now:
        raise EntryRefused("that time is still to come", where="since", right="Name when it was.")
    chosen = [
        t for t in member.keys if t.revoked is None and (not code or is_key_code(code, t.public))
    ]
    if not chosen:
        raise KeyRefused(f"{member.name} has no such key that counts", right="See people.")
    if any(term.public == officer.public for term in chosen):
        raise KeyRefused(
            "the officer's own key signs this, so it cannot revoke itself",
            right="Renew it first, or sign a new officer in, who revokes it.",
        )
    terms = [replace(t, revoked=at, reason=why) if t in chosen else t for t in member.keys]
    return publish(folder, officer, _with(newest, replace(member, keys=tuple(terms))))


def change(folder: LogFolder, officer: UnlockedKey, name: str, wanted: Change) -> Taken:
    """Change roles, call sign, training or the end of the keys of a person that still count.

    Raises EntryRefused where nothing would change, KeyRefused where no key is left to end.
    """
    newest = in_force(folder)
    member = person_in(newest, name)
    changed = replace(
        member,
        roles=read_roles(wanted.roles) or member.roles,
        call_sign=wanted.call_sign.upper() or member.call_sign,
        trained=day(wanted.trained) if wanted.trained else member.trained,
    )
    if wanted.until:
        now = folder.clock.now()
        end = datetime.combine(day(wanted.until), time(), now.tzinfo)
        # One that ran out, as by a renewal, must not come back to life.
        counting = [t for t in member.keys if not stopped_counting(t, now)]
        if not counting:
            raise KeyRefused(
                f"no key of {member.name} counts any more", right="A new one is enrolled."
            )
        terms = [replace(t, until=end) if t in counting else t for t in member.keys]
        changed = replace(changed, keys=tuple(terms))
    if changed == member:
        raise EntryRefused(f"nothing about {member.name} would change")
    return publish(folder, officer, _with(newest, changed))


def in_force(folder: LogFolder) -> Version:
    """Return the roster in force; EntryRefused where there is none."""
    roster = Roster.read(folder)
    if roster.newest is None:
        raise EntryRefused(
            roster.problem or "no safety officer's key is pinned here",
            right="Take the roster from the officer, or appoint one.",
        )
    return roster.newest


def officer_card(folder: LogFolder) -> KeyCard:
    """Return the card of the key of the officer in office; KeyRefused where it is elsewhere."""
    newest = in_force(folder)
    card = next((c for c in keys_of(folder) if c.public == newest.officer), None)
    if card is None:
        raise KeyRefused(
            f"the key of the safety officer, {newest.officer_name}, is not on this laptop",
            right="Do this on the officer's own laptop.",
        )
    return card


def person_in(version: Version, name: str) -> Member:
    """Return the person of this name; EntryRefused where the roster has none."""
    found = version.member(name)
    if found is None:
        raise EntryRefused(f"{name[:60]!r} is not in the roster", right="See standclear people.")
    return found


def read_roles(roles: Sequence[str]) -> tuple[str, ...]:
    """Return roles as the record names them; EntryRefused for one that it does not know."""
    found = tuple(dict.fromkeys(role.strip().lower().replace("-", " ") for role in roles))
    for role in found:
        if role not in ROLES:
            raise EntryRefused(f"{role[:40]!r} is no role", right=f"Roles are {', '.join(ROLES)}.")
    return found


def day(text: str) -> date:
    """Return a day written as 2026-11-25."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise StandclearError(f"{text[:40]!r} is no day", right="Write it as 2026-11-25.") from None


def moment(text: str, now: datetime) -> datetime:
    """Return a time written as 2026-11-25 18:00, in this computer's zone if it names none."""
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        raise StandclearError(
            f"{text[:40]!r} is no time", right="Write it as 2026-11-25 18:00."
        ) from None
    return found if found.tzinfo else found.replace(tzinfo=now.tzinfo)


def _ended(term: KeyTerm, now: datetime) -> KeyTerm:
    return replace(term, until=min(filter(None, (term.until, now))))


def _with(version: Version, member: Member) -> tuple[Member, ...]:
    known = version.member(member.name)
    if known is None:
        return (*version.members, member)
    return tuple(member if one is known else one for one in version.members)
