"""Steps, answers and verdicts in plain words, for screens, shell and pages alike."""

from __future__ import annotations

from datetime import timedelta

from checklist.quantities import both
from checklist.rulefile import (
    Bounds,
    Choice,
    Compute,
    Confirm,
    Effect,
    Limit,
    OfStation,
    People,
    Reading,
    Step,
    Tag,
    TagsOff,
    Verdict,
    Way,
)
from checklist.walk.answers import (
    Answer,
    Chosen,
    Described,
    DoesNotApply,
    Hung,
    Inputs,
    Measured,
    Present,
    Said,
    Sought,
    Written,
)
from checklist.walk.events import Clearing
from checklist.walk.standing import Progress, Status

RESTS_ON = "It rests on the answers given and on the values cited, and on nothing else."


def answer_text(answer: Answer, step: Step | None = None) -> str:
    """Return an answer in one line, a reading as typed and as understood."""
    match answer:
        case Said(word=word):
            return word
        case DoesNotApply(reason=reason):
            return f"does not apply: {reason}"
        case Measured():
            return _measured_text(answer)
        case Chosen(value=value):
            kind = step.kind if step else None
            return kind.options.get(value, value) if isinstance(kind, Choice) else value
        case Written(text=text):
            return " / ".join(text.splitlines())
        case Present(people=people):
            return "; ".join(
                f"{p.name}, {p.role}" + (f", trained {p.trained}" if p.trained else "")
                for p in people
            )
        case Hung(tags=tags):
            return "; ".join(f"{t.point}: lock {t.lock}, {t.person}" for t in tags) or "none hangs"
        case Sought() | Described():
            return _looked_up_text(answer)
        case Inputs(values=values):
            return "; ".join(
                f"{input_text(name, step)} {value if isinstance(value, str) else ' | '.join(value)}"
                for name, value in values.items()
            )


def input_text(name: str, step: Step | None) -> str:
    """Return what a form asks for as `name`, without what it explains after the first pause.

    `for strap: its width` and `for strap: its thickness` are told apart by what follows.
    """
    if step is None or not isinstance(step.kind, Compute):
        return name
    meanings = {given.name: given.meaning for given in step.kind.calculation.inputs}
    if name not in meanings:
        return name
    first = meanings[name].split(";")[0].split(",")[0]
    whose, _, what = first.partition(":")
    return f"{whose},{what}:" if what and whose.startswith("for ") else f"{whose}:"


OTHERS = {
    "none": "no other laptop is used for tags here",
    "read": "the log of every other laptop was read here",
    "not read": "some other laptop's log is not here",
}
"""What is said of other laptops that may know of a tag, by the word that is kept."""


def _looked_up_text(answer: Sought | Described) -> str:
    if isinstance(answer, Sought):
        return _sought_text(answer)
    kept = answer.file
    if kept is None:
        return f"station file {answer.path}"
    return f"station file {kept.name}, SHA-256 {kept.sha256[:16]}..."


def _sought_text(answer: Sought) -> str:
    parts = [", ".join(answer.points), OTHERS[answer.others]]
    if answer.count:
        parts.append(f"{answer.count} locks counted by {' and '.join(answer.counted_by)}")
    if answer.at is not None:
        hangs = ", ".join(f"lock {t.lock} of {t.person} at {t.point}" for t in answer.hangs)
        parts.append(f"by the logs here hangs {hangs or 'nothing'}")
    return "; ".join(parts)


def _measured_text(answer: Measured) -> str:
    quantity = answer.quantity
    shown = both(quantity, 4)
    typed = quantity.typed or quantity.text()
    text = shown if shown.startswith(typed) else f"{typed} = {shown}"
    return f"{text}, with {answer.instrument}" if answer.instrument else text


def limits_text(step: Step) -> tuple[str, ...]:
    """Return what the step's answer is held against, a line for each limit, with its citation."""
    kind = step.kind
    if not isinstance(kind, Reading):
        return ()
    return (*_bounds_text(kind.stop, "stops"), *_bounds_text(kind.caution, "is a caution"))


def _bounds_text(bounds: Bounds, does: str) -> tuple[str, ...]:
    lines = []
    if bounds.below:
        limit = both(bounds.below.quantity, side="up")
        lines.append(f"below {limit} {does}: {bounds.below.cited.citation}")
        lines += _club(bounds.below)
    if bounds.above:
        limit = both(bounds.above.quantity, side="down")
        lines.append(f"above {limit} {does}: {bounds.above.cited.citation}")
        lines += _club(bounds.above)
    return tuple(lines)


def _club(limit: Limit) -> list[str]:
    """Return what a club's limit took the place of; nothing for a shipped one."""
    replaced = limit.cited.replaced
    return [f"  {limit.cited.club_note}; shipped: {replaced.citation}"] if replaced else []


def way_text(way: Way) -> str:
    """Return one way to answer a stop, with the evidence it asks for."""
    stays = " (the answer stays)" if way.answer_stands else ""
    return f"{way.do}{stays} Evidence: {', '.join(way.evidence)}."


def clearing_text(clearing: Clearing) -> str:
    """Return how a stop was answered, in one line."""
    evidence = "; ".join(f"{label}: {text}" for label, text in clearing.evidence.items())
    return f"{clearing.do} {evidence}"


def needs_text(step: Step) -> str:
    """Return what kind of answer the step takes, in a few words."""
    match step.kind:
        case Confirm(no=effect):
            return "a no stops the work" if effect is Effect.STOP else "a no is a caution"
        case People(roles=roles):
            return ", ".join(f"{count} {role}" for role, count in roles.items())
        case Tag(each=each):
            return f"a lock and tag for {each}; the lock at the point decides"
        case TagsOff(free=free):
            return f"no lock and tag at {free}; the locks at the point decide"
        case Compute(calculation=calculation):
            return f"computed: {calculation.title}"
        case OfStation(calculation=whole):
            return f"computed: {whole.title}"
        case _:
            return ""


def standing_text(progress: Progress) -> str:
    """Return how the walk stands, short enough for a title line; never a permission."""
    waits = "up to " if any(s.status is Status.WAITS for s in progress.asked) else ""
    count = f"{progress.done} of {waits}{len(progress.asked)}"
    if progress.work_stopped:
        return f"{count}   WORK STOPPED"
    parts = [count]
    if progress.stops:
        parts.append(f"STOP {len(progress.stops)}")
    if progress.cautions:
        parts.append(f"caution {len(progress.cautions)}")
    if len(parts) == 1 and progress.is_complete:
        parts.append(str(Verdict.NO_STOP))
    elif len(parts) == 1:
        was_stopped = any(state.clearings for state in progress.asked)
        parts.append("no stop stands" if was_stopped else "no stop so far")
    return "   ".join(parts)


def life_text(life: timedelta) -> str:
    """Return a duration in the largest whole unit: `30 min`, `12 h`, `7 days`."""
    minutes = round(life.total_seconds() / 60)
    for size, name in ((24 * 60, "days"), (60, "h")):
        if minutes >= size and minutes % size == 0:
            count = minutes // size
            return f"{count} {'day' if name == 'days' and count == 1 else name}"
    return f"{minutes} min"
