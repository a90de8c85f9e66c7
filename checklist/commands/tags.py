"""Locks and tags from the shell: what hangs, and hanging, taking off, handing over, printing."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.commands.asking import ask_signature
from checklist.commands.done import say_done
from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.commands.output import print_document, print_page
from checklist.commands.progress import to_the_next_word
from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder, default_log_folder
from checklist.sessions.invented import mark_for
from checklist.sessions.tagging.duetags import complete_due
from checklist.sessions.tagging.hanging import Hanging, hang, read_count
from checklist.sessions.tagging.tagpage import Paper, page_for, text_page, write_page
from checklist.sessions.tagging.tags import AT_THE_POINT, TagsHere, look_at_tags, tag_named
from checklist.sessions.tagging.tagtext import logs_line, tag_data, tag_line
from checklist.sessions.tagging.takingover import read_log_at
from checklist.sessions.tagging.untagging import after_taking_off, take_off, take_off_for_another

if TYPE_CHECKING:
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.ledgers.tags import Tag
    from checklist.sessions.desk import Desk


def list_tags(desk: Desk, point: str, *, as_json: bool) -> int:
    """Print what hangs by the logs that are here, the longest hanging first.

    NOT_SHOWN where part of the record could not be read, so that a tag may be missing.
    """
    folder = _for_reading(desk)
    here = complete_due(folder, look_at_tags(folder)) if folder else TagsHere()
    tags = here.at(point) if point else here.open
    now = desk.clock.now()
    if as_json:
        origin = folder.origin if folder else ""
        print_document(
            {
                "tags": [tag_data(tag, origin, now) for tag in tags],
                "logs-read": [
                    {"origin": log.origin, "number": str(log.number), "at": log.at.isoformat()}
                    for log in here.logs
                ],
                "problems": list(here.problems),
                "note": AT_THE_POINT,
            }
        )
    else:
        lines = [f"{tag.id[:8]}  {tag_line(tag, now)}" for tag in tags]
        where = f" at {point}" if point else ""
        count = "1 tag hangs" if len(lines) == 1 else f"{len(lines)} tags hang"
        head = f"{count}{where}" if lines else f"No tag hangs{where} by these logs."
        if here.problems and not lines:
            head = f"Whether a tag hangs{where} cannot be told: not all of the logs can be read."
        said = [f"  {problem}" for problem in here.problems]
        print_page([head, *lines, *said, logs_line(here, now), AT_THE_POINT])
    return NOT_SHOWN if here.problems else FINE


def hang_tag(desk: Desk, wanted: Hanging, *, as_json: bool) -> int:
    """Enter that a lock and tag hang."""
    tag = hang(desk.folder, wanted)
    return _said(desk, tag, f"Lock {tag.lock} hangs at {tag.point}: tag {tag.id[:8]}.", as_json)


def take_off_tag(desk: Desk, name: str, locks_left: str, *, as_json: bool) -> int:
    """Take a tag off, signed by the person who hung it."""
    tag = _named(desk, name)
    signer = ask_signature(desk.folder, tag.person, "worker")
    return _off(tag, take_off(desk.folder, tag, signer, locks_left), as_json)


def remove_tag(
    desk: Desk,
    name: str,
    people: Mapping[str, str],
    facts: Mapping[str, str],
    locks_left: str,
    *,
    as_json: bool,
) -> int:
    """Take off the lock of somebody absent; `people` holds who signs, by role."""
    tag = _named(desk, name)
    signers = [ask_signature(desk.folder, person, role) for role, person in people.items()]
    recorded = take_off_for_another(desk.folder, tag, signers, facts, locks_left)
    return _off(tag, recorded, as_json, f"Tell {tag.person} before any work goes on.")


def relieve_tag(desk: Desk, name: str, wanted: Hanging, locks: str, *, as_json: bool) -> int:
    """Change the shift at a tag: the new lock is entered first, then the old one is taken off.

    Where the second does not come about, both hang and the command says so.
    """
    tag = _named(desk, name)
    if read_count(locks, "locks there") == "0":
        raise StandclearError(
            "no lock was counted",
            where=tag.point,
            right="The lock of whoever comes on hangs first.",
        )
    signer = ask_signature(desk.folder, tag.person, "worker")
    why = wanted.why or tag.why or f"goes on with the work of {tag.person}"
    whole = Hanging(tag.point, wanted.lock, wanted.person, why, wanted.until, wanted.reach)
    new = hang(desk.folder, whole, relieves=tag.id)
    recorded = take_off(desk.folder, tag, signer, locks, relieved_by=new.id)
    return _off(tag, recorded, as_json, f"Lock {new.lock} of {new.person} hangs: {new.id[:8]}.")


def read_other_log(desk: Desk, path: Path, *, as_json: bool) -> int:
    """Take over what another laptop's log folder tells of tags."""
    with to_the_next_word() as tell:
        said = read_log_at(desk.folder, path, tell)
    if as_json:
        print_document({"said": said})
    else:
        print_page([said, AT_THE_POINT])
    return FINE


def print_tag(desk: Desk, name: str, path: Path | None, paper: Paper) -> int:
    """Print a tag's page as text, or write it into a new file."""
    tag, mark = _named(desk, name), mark_for(desk.logs)
    if path is None:
        say_done(text_page(tag, mark).splitlines(), {"tag": tag.id})
    else:
        write_page(path, page_for(tag, path, desk.library.book(), paper, mark))
        say_done([f"Written: {path}", AT_THE_POINT], {"tag": tag.id, "written": str(path)})
    return FINE


def _named(desk: Desk, name: str) -> Tag:
    return tag_named(complete_due(desk.folder, look_at_tags(desk.folder)), name)


def _off(tag: Tag, recorded: Recorded, as_json: bool, more: str = "") -> int:
    said = f"{after_taking_off(recorded)} {more}".strip()
    if as_json:
        fields = dict(recorded.entry.fields)
        print_document({"off": fields, "entry": str(recorded.entry.number), "said": said})
    else:
        print_page([said, AT_THE_POINT])
    return FINE


def _said(desk: Desk, tag: Tag, said: str, as_json: bool) -> int:
    if as_json:
        print_document({"tag": tag_data(tag, desk.folder.origin, desk.clock.now()), "said": said})
    else:
        print_page([said, AT_THE_POINT])
    return FINE


def _for_reading(desk: Desk) -> LogFolder | None:
    """Return the log folder, to read only where it cannot be written; None before first use."""
    if desk.disk.facts(desk.logs / "origin") is None and desk.logs == default_log_folder():
        return None
    LogFolder.look(desk.logs, desk.disk, desk.clock)
    return desk.looked()[0]
