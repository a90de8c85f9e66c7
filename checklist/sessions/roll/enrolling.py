"""What a request to be enrolled may rest on, and what the officer has to know of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from checklist.record.errors import KeyRefused
from checklist.record.roll.enrolment import Enrolment
from checklist.record.roll.people import KeyTerm, Version

_CLOCKS_APART = timedelta(days=1)
"""How far ahead the clock of the laptop that a request comes from may be; no source."""


_NEW_KEY = (
    "The person makes a new one as for a lost key: l at people, or in the shell people request "
    "with --new-key --old-lost."
)


def require_enrollable(newest: Version, wanted: Enrolment, now: datetime) -> None:
    """Refuse a request whose key could not count, or rests on one that does not; KeyRefused."""
    if wanted.at > now + _CLOCKS_APART:
        raise KeyRefused(
            f"the request is dated {wanted.at:%d %b %Y %H:%M}, which is still to come",
            right="Set the clock of that laptop or of this one right, and have it made anew.",
        )
    holder, known = newest.holder(wanted.public), newest.member(wanted.person)
    if holder is not None and holder is not known:
        raise KeyRefused(f"this key is {holder.name}'s already")
    term = known.key(wanted.public) if known else None
    ended = stopped_counting(term, now) if term else ""
    if ended:
        raise KeyRefused(f"this key {ended}", right=_NEW_KEY)
    if not wanted.renews:
        return
    old = known.key(wanted.renews) if known else None
    if old is None:
        raise KeyRefused(f"the old key in this request is none of {wanted.person}'s")
    if old.revoked is not None:
        raise KeyRefused(
            f"the old key that vouches for this one {stopped_counting(old, now)}",
            right=_NEW_KEY,
        )


def request_line(newest: Version, wanted: Enrolment) -> str:
    """Say from when signatures by the key of a request count, and what else the person has."""
    known = newest.member(wanted.person)
    counts = f"Signatures by this key count from {wanted.at:%d %b %Y %H:%M} on."
    older = [term for term in known.keys if term.public != wanted.public] if known else []
    if known is None or not older:
        return counts
    keys = "1 other key" if len(older) == 1 else f"{len(older)} other keys"
    return f"{known.name} stands in the roster already, with {keys}. {counts}"


def stopped_counting(term: KeyTerm, now: datetime) -> str:
    """Return how a key stopped counting, or an empty text where it did not."""
    if term.revoked is not None:
        return f"was revoked on {term.revoked:%d %b %Y %H:%M}: {term.reason.rstrip('. ')}"
    if term.until is not None and term.until <= now:
        return f"ran out on {term.until:%d %b %Y %H:%M}"
    return ""
