"""Whether a lock and tag may still hang at the points that an answer names. Pure.

No log can show that nothing hangs: the locks at the point decide. So what is known to hang
stops, what cannot be told stops, and the way out of the second is the other laptop's log, or
two people who count the locks at the point.
"""

from __future__ import annotations

from datetime import timedelta

from checklist.ages import age_text
from checklist.names import name_key
from checklist.rulebook import Book, Cited
from checklist.walk.answers import Sought

LOG_AGE = "tags/log-age"
"""Address of the time after which another laptop's log, as read here, no longer counts."""

_COUNT = "Have two people count the locks at the point."
_WAY_OUT = "read that log here, or have two people count the locks at the point"


def stops_of(sought: Sought, book: Book) -> tuple[tuple[str, ...], tuple[Cited, ...]]:
    """Return one sentence for each reason to stop, and the values that were used.

    A count counts from two different people, and not against a tag that is known to hang.
    """
    known = tuple(
        f"lock {tag.lock} of {tag.person} hangs at {tag.point}, as far as the logs here tell"
        for tag in sought.hangs
    )
    if known:
        return known, ()
    if sought.count:
        return _stops_of_count(sought), ()
    if sought.unread:
        return tuple(f"cannot tell: {said} {_COUNT}" for said in sought.unread), ()
    if sought.others == "none":
        if not sought.logs:
            return (), ()
        return (f"cannot tell: the log of another laptop was read here before; {_WAY_OUT}",), ()
    if sought.others == "not read":
        return (f"cannot tell: another laptop's log is not here; {_WAY_OUT}",), ()
    return _stops_of_logs(sought, book)


def counters(sought: Sought) -> int:
    """Return how many different people counted."""
    return len({name_key(name) for name in sought.counted_by if name_key(name)})


def _stops_of_count(sought: Sought) -> tuple[str, ...]:
    if counters(sought) < 2:
        return ("cannot tell: the locks were not counted by two different people",)
    if sought.count != "0":
        return (f"locks counted at the points: {sought.count}; none may hang",)
    return ()


def _stops_of_logs(sought: Sought, book: Book) -> tuple[tuple[str, ...], tuple[Cited, ...]]:
    if not sought.logs or sought.at is None:
        return (f"cannot tell: no other laptop's log was read here; {_WAY_OUT}",), ()
    limit = book.value(LOG_AGE)
    longest = timedelta(seconds=float(limit.quantity.si))
    old = tuple(
        f"cannot tell: the log of laptop {log.origin[:8]} was read {age_text(log.at, sought.at)} "
        f"ago, at most {limit.quantity.text()} counts; {_WAY_OUT}"
        for log in sought.logs
        if not timedelta(0) <= sought.at - log.at <= longest
    )
    return old, (limit.cited,)
