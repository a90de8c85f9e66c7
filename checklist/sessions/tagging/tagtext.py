"""Tags in plain words, for screens, shell and pages alike."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from checklist.ages import age_text
from checklist.record.ledgers.tags import Tag
from checklist.sessions.tagging.tags import TagsHere


def tag_line(tag: Tag, now: datetime) -> str:
    """Return one tag in a line: where, which lock, whose, how long, and whether it is overdue."""
    late = ", OVERDUE" if is_overdue(tag, now) else ""
    return f"{tag.point}, lock {tag.lock}, {tag.person}, {age_text(tag.since, now)}{late}"


def is_overdue(tag: Tag, now: datetime) -> bool:
    """Whether the expected end of a tag is past."""
    return tag.until is not None and tag.until < now


def tag_lines(tag: Tag, here: TagsHere, own_origin: str, now: datetime) -> list[str]:
    """Return everything that is known of a tag, a thing a line."""
    late = " (past: OVERDUE)" if is_overdue(tag, now) else ""
    there = len(here.at(tag.point))
    return [
        f"point     {tag.point}",
        f"lock      {tag.lock}, hung by {tag.person}",
        f"reach     {tag.reach or 'not known'}",
        f"why       {tag.why or 'not known'}",
        f"since     {tag.since:%a %d %b %Y %H:%M}, {age_text(tag.since, now)} ago",
        f"until     {f'{tag.until:%a %d %b %Y %H:%M}{late}' if tag.until else 'not known'}",
        f"locks     {there} at this point by the logs here; {tag.locks or '?'} when it was hung",
        f"hung on   {laptop_text(tag, own_origin)}",
        f"tag id    {tag.id}",
    ]


def laptop_text(tag: Tag, own_origin: str) -> str:
    """Return on which laptop a tag was hung."""
    if not tag.origin:
        return "this laptop, in a walk; not in its ledger yet"
    return "this laptop" if tag.origin == own_origin else f"laptop {tag.origin[:8]}"


def logs_line(here: TagsHere, now: datetime) -> str:
    """Return which other laptops' logs were read here, and that others may know more."""
    if not here.logs:
        return "No other laptop's log was read here; what hangs by others cannot be told."
    read = ", ".join(f"{log.origin[:8]} {age_text(log.at, now)} ago" for log in here.logs)
    return f"Other laptops' logs read here: {read}. What was hung since cannot be told."


def tag_data(tag: Tag, own_origin: str, now: datetime) -> dict[str, Any]:
    """Return a tag as plain data; times are ISO 8601 with their offset, or null."""
    return {
        "id": tag.id,
        "origin": tag.origin or own_origin,
        "in-ledger": bool(tag.origin),
        "point": tag.point,
        "lock": tag.lock,
        "person": tag.person,
        "reach": tag.reach,
        "why": tag.why,
        "since": tag.since.isoformat(),
        "age-seconds": str(max(int((now - tag.since).total_seconds()), 0)),
        "until": tag.until.isoformat() if tag.until else None,
        "overdue": is_overdue(tag, now),
        "session": tag.session or None,
        "locks-at-point-when-hung": tag.locks or None,
    }
