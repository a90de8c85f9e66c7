"""The ledger as far as it can be read: what every session came to, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from checklist.errors import StandclearError
from checklist.record.errors import Damaged
from checklist.record.files.folder import LogFolder, is_session_id
from checklist.record.journals.states import SessionState, State, states_of
from checklist.record.ledgers.entries import FIRST_PREVIOUS
from checklist.record.ledgers.ledger import Ledger, Recorded, misplaced
from checklist.record.ledgers.quicknotes import list_note
from checklist.record.lookup.catalogue import Stamp
from checklist.record.lookup.recall import Recall, read_each

Tell = Callable[[int, int], object]
"""Is told how many files of how many were read; what it raises ends the reading."""

TELL_EVERY = 200


@dataclass(frozen=True, slots=True)
class LedgerView:
    """What the entries of one log folder say, read without giving up at the first flaw."""

    states: dict[str, SessionState]
    """By session; a session file that no entry names is running."""

    entries: tuple[Recorded, ...]
    """Every entry that can be read, in order."""

    problems: tuple[str, ...]
    """One sentence for each flaw; signatures are not verified here."""

    @property
    def stamp(self) -> Stamp | None:
        """The newest entry, as the catalogue names it."""
        if not self.entries:
            return None
        return Stamp(self.entries[-1].entry.number, self.entries[-1].sha256)


def view_ledger(
    folder: LogFolder, recall: Recall[Recorded] | None = None, tell: Tell = lambda done, of: None
) -> LedgerView:
    """Return what the ledger says; never raises for what it finds.

    With `recall`, entries that were read before are read again only where their files changed.
    `tell` hears how far it is, and what it raises ends the reading.
    """
    problems = _not_on_disk(folder)
    names = _names(folder, problems)
    entries = _entries(folder, names, problems, recall, tell)
    states = states_of(entries)
    for session_id in session_files(folder, problems):
        states.setdefault(session_id, SessionState(State.RUNNING))
    return LedgerView(states, tuple(entries), tuple(_few(problems)))


def _entries(
    folder: LogFolder,
    names: list[str],
    problems: list[str],
    recall: Recall[Recorded] | None,
    tell: Tell,
) -> list[Recorded]:
    """Return every entry that can be read, and note what does not follow the one before."""
    entries: list[Recorded] = []
    previous: str | None = FIRST_PREVIOUS
    due = 1
    read = read_each(
        recall, folder.disk, folder.ledger, names, lambda name: list_note(folder, name)
    )
    for number, (name, recorded) in enumerate(read, start=1):
        if number % TELL_EVERY == 0:
            tell(number, len(names))
        if isinstance(recorded, StandclearError):
            problems.append(recorded.sentence())
            previous, due = None, due + 1
            continue
        if isinstance(recorded, Exception):
            raise recorded
        expected = recorded.entry.previous if previous is None else previous
        if flaw := misplaced(recorded.entry, folder.origin, due, expected):
            problems.append(Damaged(flaw, where=name).sentence())
        entries.append(recorded)
        previous, due = recorded.sha256, recorded.entry.number + 1
    return entries


def session_files(folder: LogFolder, problems: list[str]) -> list[str]:
    """Return the names of all sessions that have a file; what cannot be read is noted."""
    try:
        names = folder.disk.names(folder.sessions)
    except OSError as problem:
        problems.append(f"The session files cannot be listed: {problem.strerror or problem}.")
        return []
    ids = (name.removesuffix(".jsonl") for name in names if name.endswith(".jsonl"))
    return [session_id for session_id in ids if is_session_id(session_id)]


def _not_on_disk(folder: LogFolder) -> list[str]:
    """Return a sentence where entries that can be seen might still be lost with the power."""
    if folder.is_for_reading:
        return []
    try:
        Ledger(folder).sync()
    except StandclearError as problem:
        return [problem.sentence()]
    return []


def _names(folder: LogFolder, problems: list[str]) -> list[str]:
    try:
        return Ledger(folder).names()
    except StandclearError as problem:
        problems.append(problem.sentence())
        return []


_MOST = 8


def _few(problems: list[str]) -> list[str]:
    """Return the first problems; a ledger may have hundreds."""
    if len(problems) <= _MOST:
        return problems
    return [*problems[:_MOST], f"{len(problems) - _MOST} more flaws; standclear verify lists all."]
