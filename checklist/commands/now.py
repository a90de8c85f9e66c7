"""What matters now, as home shows it: for whoever uses no screen."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from checklist.ages import age_text
from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.commands.output import print_document, print_page
from checklist.sessions.desk import Desk
from checklist.sessions.library import Listed
from checklist.sessions.matters import Overview, Unfinished
from checklist.sessions.overview import overview


def print_now(desk: Desk, *, as_json: bool) -> int:
    """Print what is open, what can be begun, and what was walked last.

    Returns NOT_SHOWN where part of the log folder cannot be read, so that something may be
    missing.
    """
    listed, problems = desk.library.listed()
    found = overview(desk)
    wrong = (*problems, *found.wrong)
    if as_json:
        print_document(_data(listed, found, wrong))
    else:
        print_page(_lines(listed, found, wrong, desk.clock.now()))
    return NOT_SHOWN if wrong else FINE


def _lines(
    listed: tuple[Listed, ...], found: Overview, wrong: tuple[str, ...], now: datetime
) -> Iterator[str]:
    yield from wrong
    yield from _open(found, now)
    yield "Rule files to walk"
    for entry in listed:
        past = found.last_of.get(entry.name)
        never = "last walk not known" if found.problems else "never walked here"
        walked = f"walked {past.ended:%d %b %Y}, {past.said}" if past else never
        yield f"  {entry.title}: {walked}."
        yield f"    standclear walk {entry.name}"
    if found.last:
        yield "Last sessions, by when they ended"
    for past in found.last:
        yield f"  {past.title}, {past.ended:%d %b %Y %H:%M}: {past.result}."
        yield f"    standclear show {past.session_id[:8]}"


def _open(found: Overview, now: datetime) -> Iterator[str]:
    for tag in found.tags:
        late = " It is overdue." if tag.until and tag.until < now else ""
        yield (
            f"A tag hangs at {tag.point}, lock {tag.lock}, hung by {tag.person}, for "
            f"{age_text(tag.since, now)}.{late}"
        )
    for walk in found.unfinished:
        yield _unfinished(walk)
        yield f"    standclear go-on {walk.session_id[:8]}"
    for session in found.unsigned:
        missing = ", ".join(f"{s.person} ({s.role})" for s in session.missing)
        yield f"NOT SEALED: {session.title}. Missing: {missing}."
        yield f"    standclear sign {session.session_id[:8]}"
    if found.tail is not None and found.tail.since is not None:
        count = "1 entry" if found.tail.entries == 1 else f"{found.tail.entries} entries"
        age = age_text(found.tail.since, now)
        yield (
            f"The officer has not yet seen {count} of the ledger: no receipt, the oldest for {age}."
        )
    if not (found.tags or found.unfinished or found.unsigned or found.tail):
        yield (
            "Whether anything is open cannot be told: not all of the logs can be read."
            if found.problems
            else "Nothing is open by the logs here."
        )


def _unfinished(walk: Unfinished) -> str:
    elsewhere = " It is open in another program." if walk.is_open_elsewhere else ""
    what = ", ".join(filter(None, [walk.title, walk.whose]))
    left = f", left {walk.left:%d %b %Y %H:%M}" if walk.left else ""
    count = f", {walk.done} of {walk.asked} steps done" if walk.done is not None else ""
    at = f" It stands at: {walk.step}" if walk.step else ""
    return f"A walk is unfinished: {what}{count}{left}.{at} {walk.says}{elsewhere}".strip()


def _data(listed: tuple[Listed, ...], found: Overview, wrong: tuple[str, ...]) -> dict[str, Any]:
    return {
        "problems": list(wrong),
        "tags": [
            {"id": t.id, "point": t.point, "lock": t.lock, "person": t.person,
             "since": t.since.isoformat()}
            for t in found.tags
        ],
        "unfinished": [
            {"session": w.session_id, "title": w.title, "step": w.step,
             "begun": w.begun.isoformat() if w.begun else None, "person": w.person,
             "left": w.left.isoformat() if w.left else None}
            for w in found.unfinished
        ],
        "not-sealed": [
            {"session": u.session_id, "title": u.title,
             "missing": [{"person": s.person, "role": s.role} for s in u.missing]}
            for u in found.unsigned
        ],
        "rule-files": [{"name": entry.name, "title": entry.title} for entry in listed],
        "last": [
            {"session": p.session_id, "title": p.title, "ended": p.ended.isoformat(),
             "result": p.result}
            for p in found.last
        ],
    }  # fmt: skip
