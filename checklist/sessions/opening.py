"""How a walk begins: new and on record, gone on with, or as a rehearsal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from checklist.errors import StandclearError
from checklist.record.errors import Damaged, HeldElsewhere
from checklist.record.files import kept
from checklist.record.files.clock import clock_step, step_text
from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import Journal, TornTail
from checklist.record.journals.lines import ABANDONED, Line
from checklist.record.journals.seal import abandon, begin_session, resume_session
from checklist.sessions.desk import Desk
from checklist.sessions.library import RULE_FILE, Loaded, loaded_from_kept
from checklist.sessions.session import Session
from checklist.walk.events import Event, Reopened
from checklist.walk.stored import as_data, from_data
from checklist.walk.walk import Walk

BOOK = "book"
"""In a session's first line: the kept tables and sources, by name."""

_NOT_EVENTS = {"begun", "abandoned"}


@dataclass(frozen=True, slots=True)
class Opened:
    """A session ready to walk, and what a person should know of how it was found."""

    session: Session
    says: str = ""


def rehearse(desk: Desk, name: str) -> Opened:
    """Open a rule file for a rehearsal; nothing is or will be written."""
    loaded = desk.library.load(name)
    session = Session(Walk(loaded.rule_file, loaded.book), desk.clock, library=desk.library)
    return Opened(session, _said_of_club(loaded))


def begin(desk: Desk, name: str) -> Opened:
    """Begin a walk on record: its rules are kept and its first line is on disk."""
    loaded = desk.library.load(name)
    book = [
        kept.Reference("rules", kept.keep(desk.folder, "rules", data), len(data), text_name)
        for text_name, data in sorted(loaded.texts.items())
        if text_name != RULE_FILE
    ]
    journal = begin_session(
        desk.folder,
        rule_name=name,
        edition=loaded.rule_file.edition,
        rule_bytes=loaded.texts[RULE_FILE],
        data={BOOK: [reference.as_data() for reference in book], "title": loaded.rule_file.title},
    )
    walk = Walk(loaded.rule_file, loaded.book)
    session = _session(desk, walk, journal)
    return Opened(session, _said_of_club(loaded))


def go_on(desk: Desk, session_id: str) -> Opened:
    """Open a session that was left or cut off, at the step where it stood.

    What was found on the way is said, and kept in the session: a torn end that was set
    aside, a clock that was moved, rules that have changed since the walk was begun.
    """
    try:
        journal, torn = resume_session(desk.folder, session_id)
    except HeldElsewhere:
        raise HeldElsewhere(
            "this walk is open in another program", right="Close it there first."
        ) from None
    if journal.lines[-1].what == ABANDONED:  # the program stopped before the ledger had it
        journal.close()
        abandon(desk.folder, session_id, "given up")
        raise StandclearError("this walk was given up", right="The ledger says so now, too.")
    try:
        loaded = loaded_rules(desk, journal.lines[0])
        walk = walk_of(loaded, journal.lines)
        says = " ".join([*_said_of_tail(torn), *_said_of_rules(desk, loaded)])
        club = _said_of_club(loaded)
        if walk.closed:
            says = f"{says} The walk has ended and is not signed yet. {club}".strip()
            return Opened(_session(desk, walk, journal), says)
        journal.append(*as_data(Reopened(desk.clock.now(), says)))
        says = " ".join([says, *_said_of_clock(journal), club]).strip()
        return Opened(_session(desk, walk, journal), says)
    except BaseException:
        journal.close()
        raise


def _session(desk: Desk, walk: Walk, journal: Journal) -> Session:
    return Session(walk, desk.clock, folder=desk.folder, journal=journal, library=desk.library)


def walk_of(loaded: Loaded, lines: tuple[Line, ...]) -> Walk:
    """Return the walk that the lines of a session file hold."""
    events: list[Event] = [
        from_data(line.what, line.data, line.at) for line in lines if line.what not in _NOT_EVENTS
    ]
    return Walk(loaded.rule_file, loaded.book, tuple(events))


def loaded_rules(desk: Desk, first: Line) -> Loaded:
    """Return the rules that a session was begun with, from the bytes kept then."""
    return rules_kept(desk.folder, first)


def rules_kept(folder: LogFolder, first: Line) -> Loaded:
    """Return the rules that the first line of a session names, from the bytes in `folder`."""
    hashes = {RULE_FILE: _hash(first.data.get("rule"))}
    book = first.data.get(BOOK)
    for reference in book if isinstance(book, list) else []:
        hashes[_name(reference)] = _hash(reference)
    return loaded_from_kept(hashes, lambda sha: kept.read(folder, "rules", sha))


def _hash(reference: Any) -> str:
    sha256 = reference.get("sha256") if isinstance(reference, dict) else None
    if not isinstance(sha256, str):
        raise Damaged("the session's first line does not name its rules")
    return sha256


def _name(reference: Any) -> str:
    return str(reference.get("name", "")) if isinstance(reference, dict) else ""


def _said_of_tail(torn: TornTail | None) -> list[str]:
    if torn is None:
        return []
    return [
        f"The file ended in {torn.size} bytes of an answer that was never saved; they were set "
        "aside. Everything that was saved is here."
    ]


def _said_of_rules(desk: Desk, loaded: Loaded) -> list[str]:
    try:
        now = desk.library.load(loaded.rule_file.name).hashes()
    except StandclearError:
        return [
            "The rule file is no longer at hand as it was; this walk goes on with its own copy."
        ]
    if now == loaded.hashes():
        return []
    return ["The rules have changed since this walk began; it goes on as it began."]


def _said_of_club(loaded: Loaded) -> str:
    """Return which of the club's own values can decide this walk; empty where none can."""
    if not loaded.has_club_values:
        return ""
    from checklist.calculations.registry import CALCULATIONS
    from checklist.rulefile.numbers import club_values_of

    found = club_values_of(loaded.rule_file, loaded.book, CALCULATIONS)
    return f"This walk is held against club values: {'; '.join(found)}." if found else ""


def _said_of_clock(journal: Journal) -> list[str]:
    before, after = journal.lines[-2], journal.lines[-1]
    step = clock_step(before, after)
    return [f"The clock was {step_text(step)}; times in this session show it."] if step else []
