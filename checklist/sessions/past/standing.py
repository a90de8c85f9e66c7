"""Which answer of each step counts today: the last one given, or the one that corrected it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import state_of
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.corrections import corrections_of
from checklist.sessions.past.signatures import holds
from checklist.walk.answers import Answer
from checklist.walk.events import Answered, Event


@dataclass(frozen=True, slots=True)
class Standing:
    """The answer of one step that counts today."""

    answer: Answer
    at: datetime
    """When it was given, or corrected."""

    entry: int = 0
    """The number of the entry that corrected it; 0 where none did."""

    given: Answer | None = None
    """What was answered in the walk itself, where a correction took its place."""


def standing_answers(
    events: Iterable[Event],
    corrections: Sequence[Recorded] = (),
    ending: Recorded | None = None,
    folder: LogFolder | None = None,
) -> dict[str, Standing]:
    """Return the answer of each step that counts today, by the step's id.

    A correction counts where it can be read, names the entry that ended the session, and is
    signed with a signature that verifies; any other is left out here and said by the audit.
    """
    found = {e.step: Standing(e.answer, e.at) for e in events if isinstance(e, Answered)}
    if ending is None or folder is None:
        return found
    for recorded in corrections:
        if recorded.entry.target != ending.sha256 or not _is_signed(recorded):
            continue
        try:
            said = read_correction(recorded, folder)
        except StandclearError:
            continue
        before = found.get(said.step)
        if before is not None:
            first = before.given if before.entry else before.answer
            found[said.step] = Standing(said.answer, said.at, said.number, first)
    return found


def standing_in(folder: LogFolder, session_id: str, events: Iterable[Event]) -> dict[str, Standing]:
    """Return the same for a session of this folder; its entries are looked up in the ledger."""
    try:
        group = Ledger(folder).of_session(session_id)
    except StandclearError:  # whoever reads the ledger says so
        group = ()
    return standing_answers(events, corrections_of(group), state_of(group).ending, folder)


def _is_signed(recorded: Recorded) -> bool:
    here = [signer for signer in recorded.entry.signers if signer.is_here]
    return bool(here) and all(holds(recorded, signer.key) for signer in here)
