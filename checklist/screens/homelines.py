"""The lines of home: open matters first, then the rule files to begin, then the last sessions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size
from textual.content import Content
from textual.widgets.option_list import Option

from checklist.ages import age_text, day_text
from checklist.plaintext import shown
from checklist.sessions.invented import is_invented
from checklist.sessions.library import Listed

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.sessions.matters import Overview, Past

_MOST_TAGS = 6
"""Tags that home lists one by one, the longest hanging first."""


def home_options(
    listed: tuple[Listed, ...],
    found: Overview | None,
    now: datetime,
    left: int,
    *,
    may_try: bool = False,
) -> Iterator[Option]:
    """Yield the lines of home; `left` is the room for the left text, before what is found too.

    `may_try` says whether the invented club is offered.
    """
    open_now = list(_open_matters(found, now, left)) if found else []
    if open_now:
        yield _heading("NOW")
        yield from open_now
    yield _heading("BEGIN")
    for entry in listed:
        past = found.last_of.get(entry.name) if found else None
        club = " (the club's own)" if entry.origin == "club" else ""
        yield _row(f"begin:{entry.name}", entry.title + club, _walked(past, found, now), left)
    if may_try:
        yield _heading("TRY")
        yield _row("demo:", "d  an invented club", "a year of records, nothing real", left)
    if found and found.last:
        yield _heading("LAST SESSIONS, by the day they ended")
        for past in found.last:
            yield _row(f"past:{past.session_id}", past.title, _said_on(past, now), left)


def _open_matters(found: Overview, now: datetime, left: int) -> Iterator[Option]:
    for tag in found.tags[:_MOST_TAGS]:
        late = ", OVERDUE" if tag.until and tag.until < now else ""
        hangs = f"tag hangs {age_text(tag.since, now)}{late}"
        text = f"{tag.point}, lock {tag.lock}, {tag.person}, {tag.since:%d %b %H:%M}"
        yield _row(f"tag:{tag.id}", hangs, text, left)
    if len(found.tags) > _MOST_TAGS:
        more = f"{len(found.tags) - _MOST_TAGS} more tags hang"
        yield _row("tag:", more, "t lists them all", left)
    for walk in found.unfinished:
        place = walk.step or walk.says
        count = f"{walk.done} of {walk.asked}, " if walk.done is not None else ""
        elsewhere = "OPEN ELSEWHERE, " if walk.is_open_elsewhere else ""
        yield _row(
            f"walk:{walk.session_id}",
            f"unfinished: {walk.title}",
            f"{elsewhere}{count}{walk.whose}  {place}",
            left,
        )
    for session in found.unsigned:
        missing = ", ".join(f"{s.person} ({s.role})" for s in session.missing)
        yield _row(
            f"sign:{session.session_id}",
            f"NOT SEALED: {session.title}",
            f"missing: {missing}",
            left,
        )
    if found.tail is not None and found.tail.since is not None:
        count = "1 entry" if found.tail.entries == 1 else f"{found.tail.entries} entries"
        age = age_text(found.tail.since, now)
        said = f"no receipt for {count}, oldest {age}"
        yield _row("receipts:", "not yet seen by the officer", said, left)


def is_untouched(found: Overview | None) -> bool:
    """Say whether the log folder was read and nothing has been recorded in it."""
    return found is not None and not (
        found.last or found.tags or found.unfinished or found.unsigned or found.wrong
        or found.last_of or found.tail
    )  # fmt: skip


def offers_club(found: Overview | None, logs: Path) -> bool:
    """Say whether the invented club is offered: where nothing is recorded, and not inside it."""
    return is_untouched(found) and not is_invented(logs)


def _walked(past: Past | None, found: Overview | None, now: datetime) -> str:
    if past is None:
        if found is None:
            return ""
        return "last walk not known" if found.problems else "never walked here"
    return _said_on(past, now)


def _said_on(past: Past, now: datetime) -> str:
    return f"{day_text(past.ended, now)}: {past.said}"


def _heading(text: str) -> Option:
    return Option(Content(text), disabled=True)


def _row(option_id: str, left: str, right: str, room: int) -> Option:
    left = shown(left)
    cut = left if cell_len(left) <= room else f"{set_cell_size(left, room - 1)}…"
    return Option(Content(f"  {set_cell_size(cut, room)} {shown(right)}"), id=option_id)
