"""The evaluation that a session kept, found again with who answered for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from checklist.calculations.exposure.onfile import OnFile
from checklist.errors import StandclearError
from checklist.pages.page import Block, Grid, Heading, Labelled, Words
from checklist.pages.sessionpage import how_to_check, signature_blocks
from checklist.record.files.folder import LogFolder
from checklist.sessions.past.sessionrecord import Given, SessionRecord, StepRecord
from checklist.sessions.stations.evaluating import evaluation_on_file
from checklist.walk.answers import Described
from checklist.walk.wording import clearing_text


class NoEvaluationKept(StandclearError):
    """A session kept no evaluation of RF exposure."""


def evaluation_in(record: SessionRecord, folder: LogFolder) -> tuple[OnFile, StepRecord]:
    """Return the last evaluation that the session kept whole, and the step that asked for it.

    A corrected answer stands behind those that were given in the walk. Raises
    NoEvaluationKept where none was kept.
    """
    for asked in reversed(record.steps):
        step = replace(asked, answers=(*asked.answers, *_corrected(record, asked)))
        for given in reversed(step.answers):
            if isinstance(given.event.answer, Described):
                found = evaluation_on_file(given.event.answer, folder)
                if found is not None:
                    return found, step
    raise NoEvaluationKept(
        "it kept no evaluation of RF exposure",
        where=f"session {record.session_id[:10]}",
        right="Print its record instead: standclear page session.",
    )


def _corrected(record: SessionRecord, step: StepRecord) -> Iterator[Given]:
    for correction in record.corrections:
        yield from (one for one in correction.judged if one.event.step == step.step)


def standing_of(record: SessionRecord) -> tuple[str, ...]:
    """Return what must be known before the evaluation is read: how it stands on record today."""
    missing = ", ".join(f"{s.person} ({s.role})" for s in record.missing)
    return (
        f"On record: {record.title}: {record.result}",
        *([f"NOT SEALED: the signature of {missing} is MISSING."] if missing else []),
        *(f"DAMAGED OR NOT READ: {problem}" for problem in record.problems),
        *(f"CORRECTED: {one.text}" for one in record.corrections),
        *record.stale,
    )


def signed_blocks(record: SessionRecord, step: StepRecord) -> Iterator[Block]:
    """Yield what the session adds to its evaluation: files, what was done, who signed."""
    yield Heading("On record")
    yield Labelled(tuple(_kept(record, step)))
    done = tuple((f"{c.at:%Y-%m-%d %H:%M}", clearing_text(c.clearing)) for c in step.cleared)
    yield Heading("Remedies taken, as evidence on record", 2)
    if done:
        yield Grid(("when", "what was done, and the evidence"), done, (1, 4))
    else:
        yield Words("None is on record for this step.")
    yield from signature_blocks(record)
    yield from how_to_check(record.session_id)


def _kept(record: SessionRecord, step: StepRecord) -> Iterator[tuple[str, str]]:
    yield "Session", record.session_id
    yield "Rule file", f"{record.rule_file}, edition {record.edition}"
    for given in step.answers[-1:]:
        answer = given.event.answer
        yield "Evaluated", given.event.at.isoformat(" ", "seconds")
        if isinstance(answer, Described):
            for name, kept in (
                ("Station file", answer.file),
                ("Limits", answer.limits),
                ("Evaluation", answer.evaluation),
            ):
                if kept is not None:
                    yield name, f"{kept.name}\n{kept.sha256}"
