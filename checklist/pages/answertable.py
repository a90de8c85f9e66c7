"""Every answer of a session as a table: when, what was asked, what was said, what it came to."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.pages.page import (
    Block,
    Grid,
    Heading,
)
from checklist.rulebook import Cited
from checklist.rulefile import Effect
from checklist.sessions.past.sessionrecord import Given, SessionRecord, StepRecord
from checklist.walk.events import Noted
from checklist.walk.wording import clearing_text

CORRECTED = "CORRECTED afterwards, as said above"
_EFFECTS = {Effect.STOP: "STOP", Effect.CAUTION: "caution", Effect.CLEAR: "clear"}


def answer_blocks(record: SessionRecord) -> Iterator[Block]:
    """Yield the answers part by part, with the stops that were answered and the notes."""
    yield Heading("Answers")
    part = None
    corrected = {one.step for one in record.corrections}
    rows: list[tuple[str, ...]] = []
    for step in record.steps:
        if step.part != part:
            yield from _answered(rows)
            rows = []
            part = step.part
            yield Heading(part, 2)
        rows += _rows(step, is_corrected=step.step in corrected)
    yield from _answered(rows)


def _answered(rows: list[tuple[str, ...]]) -> Iterator[Block]:
    if rows:
        yield Grid(("time", "question", "answer", "came to"), tuple(rows), (2, 6, 6, 4))


def _rows(step: StepRecord, *, is_corrected: bool) -> Iterator[tuple[str, ...]]:
    fell_away = "" if step.was_asked else "\n(not asked any more after a later answer)"
    happened = [(g.event.at, _given(g), _came_to(g)) for g in step.answers]
    if is_corrected and happened:
        at, said, came = happened[-1]
        happened[-1] = (at, said, f"{came}\n{CORRECTED}")
    happened += [
        (c.at, f"stop answered: {clearing_text(c.clearing)}", "answered") for c in step.cleared
    ]
    for note in step.notes:
        said = (
            f"note: {note.text}"
            if isinstance(note, Noted)
            else f"kept: {note.name}, {note.size} bytes, SHA-256 {note.sha256}"
        )
        happened.append((note.at, said, ""))
    ask = f"{step.ask}{fell_away}"
    for at, said, came in sorted(happened, key=lambda row: row[0]):
        yield f"{at:%H:%M:%S}", ask, said, came
        ask = "same"


def _given(given: Given) -> str:
    provided = [
        f"{name}: {text}, from an earlier step" for name, text in given.event.provided.items()
    ]
    return "\n".join([given.text, *provided])


def _came_to(given: Given) -> str:
    judgement = given.event.judgement
    said = [_EFFECTS[judgement.effect], *judgement.because]
    if not judgement.finding:
        said += [_against(cited) for cited in judgement.used]
    return "\n".join(said)


def _against(cited: Cited) -> str:
    unverified = ", from memory: unverified" if cited.is_unverified else ""
    return f"held against {cited.value} [{cited.citation}{unverified}]"
