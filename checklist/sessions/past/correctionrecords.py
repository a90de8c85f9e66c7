"""The corrections of one session as the review shows them, each with what it changed."""

from __future__ import annotations

from collections.abc import Sequence

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Recorded
from checklist.sessions.library import Loaded
from checklist.sessions.past.correctionentry import Corrected, read_correction
from checklist.sessions.past.corrections import correction_text, judged_anew
from checklist.sessions.past.sessionrecord import Correction, Given
from checklist.sessions.past.signatures import holds
from checklist.walk.events import Event
from checklist.walk.wording import answer_text


def correction_records(
    folder: LogFolder,
    group: tuple[Recorded, ...],
    events: Sequence[Event],
    loaded: Loaded | None,
    problems: list[str],
) -> tuple[Correction, ...]:
    """Return each correction with the new answer as it is judged; `problems` takes what is wrong.

    Each is judged on top of those before it, as they were signed.
    """
    found = []
    now: Sequence[Event] = events
    for recorded in group:
        entry = recorded.entry
        people = tuple(signer.person for signer in entry.signers if signer.is_here)
        try:
            said = read_correction(recorded, folder)
        except StandclearError as problem:
            problems.append(problem.sentence())
            what = problem.sentence().rstrip(".")
            found.append(Correction(entry.at, entry.number, "", people, what, "", ""))
            continue
        text = correction_text(said, loaded)
        if not all(holds(recorded, signer.key) for signer in entry.signers if signer.is_here):
            problems.append(f"The signature on correction {entry.number} does NOT hold.")
        now, judged = _judged(now, loaded, said)
        found.append(
            Correction(
                entry.at, entry.number, said.step, people, text, said.before, said.after, judged
            )
        )
    return tuple(found)


def _judged(
    events: Sequence[Event], loaded: Loaded | None, said: Corrected
) -> tuple[Sequence[Event], tuple[Given, ...]]:
    """Return the events with the correction, and what it changed; as they were where unknown."""
    if loaded is None or not said.is_followable:
        return events, ()
    try:
        now, changed = judged_anew(events, loaded, said)
        steps = [loaded.rule_file.step(event.step) for event in changed]
    except StandclearError:  # the audit says that it cannot be followed
        return events, ()
    texts = (answer_text(e.answer, step) for e, step in zip(changed, steps, strict=True))
    return now, tuple(map(Given, changed, texts))
