"""Corrections of a finished session: entries that are added, signed, and change nothing before.

A correction names the entry that ended the session, the step, the new answer and the reason.
The walk is judged again with that answer in the place of the old one, and both results stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checklist.plaintext import accept, says_something
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.folder import LogFolder
from checklist.record.files.strictjson import dump
from checklist.record.journals.states import SessionState, State, state_of
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded
from checklist.rulefile import Step, Tag, TagsOff
from checklist.sessions.library import Library, Loaded
from checklist.sessions.opening import rules_kept
from checklist.sessions.past.corrections import (
    CORRECTED,
    corrected_events,
    corrections_of,
    last_answer,
    read_correction,
    result_of,
)
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import is_as_ended, read_bytes, read_session_file
from checklist.walk.answers import Answer, Described, Hung, Sought
from checklist.walk.events import Answered, Event
from checklist.walk.stored import as_data
from checklist.walk.wording import answer_text

if TYPE_CHECKING:
    from checklist.record.journals.seal import Signing


@dataclass(frozen=True, slots=True)
class Finished:
    """A session that has ended, as it stands in its file."""

    state: SessionState
    ending: Recorded
    events: tuple[Event, ...]
    loaded: Loaded


def finished(folder: LogFolder, session_id: str) -> Finished:
    """Return a session that may be corrected.

    Raises EntryRefused where it has not ended with a verdict, Damaged where its file is not
    the one that was signed, StandclearError where its rules cannot be read.
    """
    state = state_of(Ledger(folder).of_session(session_id))
    if state.ending is None or state.state not in {State.SEALED, State.SIGNATURE_MISSING}:
        raise EntryRefused(
            f"it is {state.state.value}, and only a finished session is corrected",
            where=f"session {session_id[:8]}",
            right="Change the answer in the walk itself, or begin a new walk.",
        )
    data, problem = read_bytes(folder, session_id)
    file = read_session_file(folder, session_id)
    if problem or file.problem or file.first is None or not is_as_ended(data, state):
        raise Damaged(
            problem or file.problem or "the session file is not the one that was signed",
            where=f"session {session_id[:8]}",
            right="Restore it from a copy; a changed session is not corrected.",
        )
    events, unknown = events_of(file.lines)
    if unknown:
        raise Damaged(unknown[0][:300], where=f"session {session_id[:8]}")
    return Finished(state, state.ending, tuple(events), rules_kept(folder, file.first))


def correctable(known: Finished) -> tuple[tuple[Step, str], ...]:
    """Return each step whose answer can be corrected, in order, with its answer in words.

    What was hung or sought stands in the ledger as tags and is put right there, not here.
    """
    given = {e.step: e.answer for e in known.events if isinstance(e, Answered)}
    return tuple(
        (step, answer_text(given[step.id], step))
        for step in known.loaded.rule_file.steps
        if step.id in given and not isinstance(step.kind, Tag | TagsOff)
    )


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a correction would come to, before anybody signs it."""

    answer: Answer
    """The new answer, with what the program found out for it."""

    before: str
    after: str


def outlook(
    folder: LogFolder,
    session_id: str,
    step_id: str,
    answer: Answer,
    library: Library | None = None,
) -> Outlook:
    """Return both results of a correction without adding it; raises as `correct` does.

    A station file that an answer names is evaluated and kept, by the rules as used.
    """
    known = finished(folder, session_id)
    return _outlook(folder, known, Ledger(folder).of_session(session_id), step_id, answer, library)


def _outlook(
    folder: LogFolder,
    known: Finished,
    group: Sequence[Recorded],
    step_id: str,
    answer: Answer,
    library: Library | None,
) -> Outlook:
    if isinstance(answer, Hung | Sought):
        raise EntryRefused(
            "locks and tags are not corrected here: they stand in the ledger as they hang",
            right="Take the tag off, or hang the right one.",
        )
    if isinstance(answer, Described) and answer.file is None:
        from checklist.sessions.stations.evaluating import evaluated  # late: it loads the engines

        answer = evaluated(answer, known.loaded.book, library, folder)
    earlier = [(c.step, c.answer) for c in map(read_correction, corrections_of(group))]
    before = result_of(corrected_events(known.events, known.loaded, earlier), known.loaded)
    events = corrected_events(known.events, known.loaded, [*earlier, (step_id, answer)])
    return Outlook(answer, before, result_of(events, known.loaded))


def correct(
    folder: LogFolder,
    session_id: str,
    step_id: str,
    answer: Answer,
    reason: str,
    signer: Signing,
    library: Library | None = None,
) -> Recorded:
    """Add a correction, signed, and return its entry; nothing that stands is changed.

    Raises EntryRefused where the reason says nothing, nobody signs, or the answer cannot be
    taken; see also `finished`.
    """
    said = accept(reason, field="reason")
    if not says_something(said):
        raise EntryRefused("no reason is given", where="reason", right="Say what was wrong.")
    person = signer.as_signer()
    if signer.key is None:
        raise EntryRefused("a correction needs a signature", right="Open your key to sign.")
    known = finished(folder, session_id)
    with folder.lock(LOCK):
        ledger = Ledger(folder)
        group = ledger.of_session(session_id)
        seen = _outlook(folder, known, group, step_id, answer, library)
        fields = (
            ("step", step_id),
            ("answer", _packed(known, step_id, seen.answer)),
            ("reason", said),
            ("before", seen.before),
            ("after", seen.after),
        )
        draft = Draft(
            CORRECTED, session_id, target=known.ending.sha256, signers=(person,), fields=fields
        )
        return ledger.append_held(draft, [signer.key])


def _packed(known: Finished, step_id: str, answer: Answer) -> str:
    event = known.events[last_answer(known.events, step_id)]
    if not isinstance(event, Answered):
        raise EntryRefused("only an answer is corrected", where=step_id)
    return dump({"answer": as_data(replace(event, answer=answer))[1]["answer"]}).decode()
