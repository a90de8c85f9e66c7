"""Corrections of a finished session: entries that are added, signed, and change nothing before.

A correction names the entry that ended the session, the step, the new answer and the reason.
The walk is judged again with that answer in the place of the old one, and both results stay.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.plaintext import accept, says_something
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import SessionState, State, state_of
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded
from checklist.rulefile import Step, Tag, TagsOff
from checklist.sessions.library import Library, Loaded
from checklist.sessions.opening import rules_kept
from checklist.sessions.past.correctionentry import (
    CORRECTED,
    Corrected,
    packed,
    read_correction,
)
from checklist.sessions.past.corrections import (
    corrected_events,
    corrections_of,
    last_answer,
    result_of,
)
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import is_as_ended, read_bytes, read_session_file
from checklist.sessions.past.standing import Standing, standing_answers
from checklist.stopping import Tell, unheard
from checklist.walk.answers import Answer, Described, Hung, Sought
from checklist.walk.events import Answered, Event
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
    standing: Mapping[str, Standing]
    """The answer of each step that counts today, earlier corrections included."""


def finished(folder: LogFolder, session_id: str, tell: Tell = unheard) -> Finished:
    """Return a session that may be corrected.

    `tell` hears how far the ledger is read. Raises EntryRefused where it has not ended with a
    verdict, Damaged where its file is not the one that was signed, StandclearError where its
    rules cannot be read.
    """
    group = Ledger(folder).of_session(session_id, tell)
    state = state_of(group)
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
    standing = standing_answers(events, corrections_of(group), state.ending, folder)
    return Finished(state, state.ending, tuple(events), rules_kept(folder, file.first), standing)


def correctable(known: Finished) -> tuple[tuple[Step, str], ...]:
    """Return each step whose answer can be corrected, in order, with the answer that counts today.

    A corrected one has the number of its correction behind it. What was hung or sought stands
    in the ledger as tags and is put right there, not here.
    """
    return tuple(
        (step, _standing_text(known.standing[step.id], step))
        for step in known.loaded.rule_file.steps
        if step.id in known.standing and not isinstance(step.kind, Tag | TagsOff)
    )


def _standing_text(standing: Standing, step: Step) -> str:
    by = f" (correction {standing.entry})" if standing.entry else ""
    return f"{answer_text(standing.answer, step)}{by}"


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
    tell: Tell = unheard,
) -> Outlook:
    """Return both results of a correction without adding it; raises as `correct` does.

    A station file that an answer names is evaluated and kept, by the rules as used; `tell`
    hears how far it is. Stopped before its end, it keeps nothing.
    """
    known = finished(folder, session_id, tell)
    group = Ledger(folder).of_session(session_id, tell)
    return _outlook(folder, known, group, step_id, answer, library, tell)


def _outlook(
    folder: LogFolder,
    known: Finished,
    group: Sequence[Recorded],
    step_id: str,
    answer: Answer,
    library: Library | None,
    tell: Tell = unheard,
) -> Outlook:
    if isinstance(answer, Hung | Sought):
        raise EntryRefused(
            "locks and tags are not corrected here: they stand in the ledger as they hang",
            right="Take the tag off, or hang the right one.",
        )
    if isinstance(answer, Described) and answer.file is None:
        from checklist.sessions.stations.evaluating import evaluated  # late: it loads the engines

        answer = evaluated(answer, known.loaded.book, library, folder, tell)
    all_before = [read_correction(recorded, folder) for recorded in corrections_of(group)]
    earlier = [(one.step, one.answer) for one in all_before if one.is_followable]
    events = corrected_events(known.events, known.loaded, [*earlier, (step_id, answer)])
    return Outlook(answer, _before(known, all_before), result_of(events, known.loaded))


def _before(known: Finished, corrections: Sequence[Corrected]) -> str:
    """Return what the session came to; what cannot be followed is taken at its word."""
    if not all(one.is_followable for one in corrections):
        return corrections[-1].after
    answers = [(one.step, one.answer) for one in corrections]
    return result_of(corrected_events(known.events, known.loaded, answers), known.loaded)


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
            ("answer", packed(_answered(known, step_id), seen.answer, folder)),
            ("reason", said),
            ("before", seen.before),
            ("after", seen.after),
        )
        draft = Draft(
            CORRECTED, session_id, target=known.ending.sha256, signers=(person,), fields=fields
        )
        return ledger.append_held(draft, [signer.key])


def _answered(known: Finished, step_id: str) -> Answered:
    event = known.events[last_answer(known.events, step_id)]
    if not isinstance(event, Answered):
        raise EntryRefused("only an answer is corrected", where=step_id)
    return event
