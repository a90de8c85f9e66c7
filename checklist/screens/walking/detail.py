"""What is shown of the step at hand: what it needs, what was found, and why it is asked."""

from __future__ import annotations

from textual.content import Content

from checklist.calculations.wording import as_text
from checklist.plaintext import shown
from checklist.rulefile import Effect
from checklist.walk.events import Attached, Noted
from checklist.walk.standing import Status, StepState
from checklist.walk.walk import Walk
from checklist.walk.wording import (
    answer_text,
    clearing_text,
    input_text,
    life_text,
    limits_text,
    needs_text,
    way_text,
)


def detail_lines(state: StepState, walk: Walk) -> tuple[Content, Content]:
    """Return what stands at a step, shown above its entry, and what explains it, shown below."""
    below = [*_finding(state), *_history(state), *_notes(state), *_reasons(state)]
    return Content("\n").join(_standing(state, walk)), Content("\n").join(below)


def _standing(state: StepState, walk: Walk) -> list[Content]:
    last = state.answered
    lines = []
    for name, typed in walk.provided(state.step).items():
        lines.append(
            Content(shown(f"{input_text(name, state.step)} {typed}, from an earlier step"))
        )
    if state.status in (Status.EXPIRED, Status.CHANGED):
        lines.append(Content(f"{_ASK_AGAIN[state.status]} Answer it again.").stylize("bold"))
    if last is not None:
        lines.append(Content(shown(f"answer: {answer_text(last.answer, state.step)}")))
    word = "STOP" if state.has_unanswered_stop else "stopped"
    stops = last is not None and last.judgement.effect is Effect.STOP
    if last is not None and last.judgement.finding and last.judgement.effect is Effect.CLEAR:
        result = last.judgement.finding.result
        lines.append(Content(shown(f"{result.outcome}  {result.says}")).stylize("bold"))
    for sentence in state.because:
        said = Content(shown(f"{word if stops else 'caution'}  {sentence}"))
        lines.append(said.stylize("bold"))
    if state.has_unanswered_stop:
        lines.extend(_ways(state))
    return lines


def _finding(state: StepState) -> list[Content]:
    finding = state.answered.judgement.finding if state.answered else None
    return [Content(shown(line)) for line in as_text(finding).splitlines()] if finding else []


_ASK_AGAIN = {
    Status.EXPIRED: "The answer has expired.",
    Status.CHANGED: "An earlier answer that this rests on has changed.",
}


def _ways(state: StepState) -> list[Content]:
    if not state.ways:
        return [
            Content("Nothing answers this stop: the walk ends as stopped (^G).").stylize("bold")
        ]
    lines = [Content("It is answered by:")]
    for way in state.ways:
        key = "^E" if way.answer_stands else "answer again"
        lines.append(Content(shown(f"  {key}: {way_text(way)}")))
    return lines


def _history(state: StepState) -> list[Content]:
    earlier = [
        Content(shown(f"before, {a.at:%H:%M}: {answer_text(a.answer, state.step)}"))
        for a in state.history[:-1]
    ]
    cleared = [Content(shown(f"stop answered: {clearing_text(c)}")) for c in state.clearings]
    return [*earlier, *cleared]


def _notes(state: StepState) -> list[Content]:
    lines = []
    for note in state.notes:
        match note:
            case Noted(text=text):
                lines.append(Content(shown(f"note {note.at:%H:%M}: {text}")))
            case Attached(name=name, size=size):
                lines.append(Content(shown(f"kept {note.at:%H:%M}: {name}, {size} bytes")))
    return lines


def _reasons(state: StepState) -> list[Content]:
    step = state.step
    lines = [*limits_text(step)]
    if needs_text(step):
        lines.append(needs_text(step))
    if step.help:
        lines.append(step.help)
    lines.append(f"why: {step.why}")
    lines.extend(f"source: {source.citation()}" for source in step.sources)
    if step.life:
        lines.append(f"An answer holds for {life_text(step.life)}.")
    return [Content(shown(line)) for line in lines]
