"""What an answer does: clear, caution or stop, with the reasons and the values it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from checklist.calculations.kinds import Finding, Outcome
from checklist.calculations.run import run
from checklist.names import name_key
from checklist.quantities import Quantity, both
from checklist.rulebook import Book, Cited
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
    Text,
)
from checklist.walk.answers import (
    DONT_KNOW,
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
from checklist.walk.seeking import stops_of


@dataclass(frozen=True, slots=True)
class Judgement:
    """The effect of one answer, and everything it was judged by."""

    effect: Effect
    because: tuple[str, ...] = ()
    """One sentence for each reason to stop or to be careful, number beside limit."""

    used: tuple[Cited, ...] = ()
    finding: Finding | None = None


@dataclass(slots=True)
class _Reasons:
    stops: list[str] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)

    def add(self, effect: Effect, sentence: str) -> None:
        (self.stops if effect is Effect.STOP else self.cautions).append(sentence)

    def judgement(self, used: tuple[Cited, ...] = (), finding: Finding | None = None) -> Judgement:
        effect = Effect.STOP if self.stops else Effect.CAUTION if self.cautions else Effect.CLEAR
        return Judgement(effect, (*self.stops, *self.cautions), used, finding)


def judge(step: Step, answer: Answer, provided: Mapping[str, str], book: Book) -> Judgement:
    """Return what `answer` does to the walk.

    `provided` holds, for a calculation, its inputs that earlier steps gave, as typed. What
    the step cannot take stops: nothing passes for want of a rule. Pure.
    """
    if answer == DONT_KNOW:
        effect = step.kind.no if isinstance(step.kind, Confirm) else step.unknown
        return _one(effect, _UNKNOWN)
    if isinstance(answer, DoesNotApply) and step.may_not_apply:
        return Judgement(Effect.CLEAR)
    return _of_kind(step, answer, provided, book)


def _of_kind(step: Step, answer: Answer, provided: Mapping[str, str], book: Book) -> Judgement:
    match step.kind, answer:
        case Confirm() as kind, Said(word=word):
            return Judgement(Effect.CLEAR) if word == "yes" else _one(kind.no, "answered no")
        case Text(), Written():
            return Judgement(Effect.CLEAR)
        case Reading() as kind, Measured() as measured:
            return _judge_reading(kind, measured)
        case Choice() as kind, Chosen(value=value):
            return _judge_choice(kind, value)
        case People() as kind, Present() as present:
            return _judge_people(kind, present)
        case Tag(), Hung(tags=tags):
            return Judgement(Effect.CLEAR) if tags else _one(Effect.STOP, "no lock and tag hangs")
        case TagsOff(), Sought() as sought:
            return _judge_sought(sought, book)
        case Compute() as kind, Inputs() as inputs:
            given = {**provided, **inputs.values}
            return _judge_finding(step, run(kind.calculation.name, given, book))
        case OfStation(), Described(finding=Finding() as finding):
            return _judge_finding(step, finding)
        case _:
            return _one(Effect.STOP, "this is no answer to this step")


_UNKNOWN = "not known, so not shown to be safe"


def _one(effect: Effect, sentence: str) -> Judgement:
    return Judgement(effect, (sentence,))


def _judge_choice(kind: Choice, value: str) -> Judgement:
    label = kind.options.get(value, "this is not among the values")
    if value in kind.stop or value not in kind.options:
        return _one(Effect.STOP, label)
    return _one(Effect.CAUTION, label) if value in kind.caution else Judgement(Effect.CLEAR)


def _judge_people(kind: People, present: Present) -> Judgement:
    reasons = _Reasons()
    for sentence in _people_missing(kind, present):
        reasons.add(Effect.STOP, sentence)
    return reasons.judgement()


def _judge_reading(kind: Reading, measured: Measured) -> Judgement:
    reasons = _Reasons()
    used: list[Cited] = []
    for effect, bounds in ((Effect.STOP, kind.stop), (Effect.CAUTION, kind.caution)):
        for limit, sentence in _beyond(bounds, measured.quantity, effect):
            used.append(limit.cited)
            if sentence and not (effect is Effect.CAUTION and reasons.stops):
                reasons.add(effect, sentence)
    if not reasons.stops:
        for cited in dict.fromkeys(used):
            if cited.is_unverified:
                reasons.add(Effect.CAUTION, f"held against an unverified value: {cited.value}")
            if cited.is_eased:
                reasons.add(Effect.CAUTION, f"held against a {cited.club_note}")
    return reasons.judgement(tuple(dict.fromkeys(used)))


def _beyond(bounds: Bounds, quantity: Quantity, effect: Effect) -> list[tuple[Limit, str]]:
    """Return each limit, and for one that is passed the sentence that says so.

    Beyond a limit of care one goes on: what is said there must not read as a limit that forbids.
    """
    care = effect is Effect.CAUTION
    found = []
    if bounds.below:
        limit = bounds.below.quantity
        said = both(limit, side="up")
        why = f"below {said} is a caution" if care else f"at least {said} is needed"
        passed = f"{both(quantity, 4, 'down')}, {why}"
        found.append((bounds.below, passed if quantity < limit else ""))
    if bounds.above:
        limit = bounds.above.quantity
        said = both(limit, side="down")
        why = f"above {said} is a caution" if care else f"at most {said} is allowed"
        passed = f"{both(quantity, 4, 'up')}, {why}"
        found.append((bounds.above, passed if quantity > limit else ""))
    return found


def _judge_sought(sought: Sought, book: Book) -> Judgement:
    reasons = _Reasons()
    stops, used = stops_of(sought, book)
    for sentence in stops:
        reasons.add(Effect.STOP, sentence)
    for cited in used:
        if cited.is_eased and not stops:
            reasons.add(Effect.CAUTION, f"held against a {cited.club_note}")
    return reasons.judgement(used)


def _people_missing(kind: People, present: Present) -> list[str]:
    sentences = []
    for role, count in kind.roles.items():
        there = {name_key(p.name) for p in present.people if p.role is role}
        if len(there) < count:
            sentences.append(f"{role}: {len(there)} here, {count} needed")
    different = {name_key(p.name) for p in present.people}
    if len(different) < kind.different:
        sentences.append(f"different people: {len(different)} here, {kind.different} needed")
    sentences.extend(
        f"{p.name}, {p.role}: no training date"
        for p in present.people
        if p.role in kind.trained and not p.trained
    )
    return sentences


def _judge_finding(step: Step, finding: Finding) -> Judgement:
    result = finding.result
    reasons = _Reasons()
    if result.outcome is Outcome.OVER:
        for sentence in result.stops or (result.says,):
            reasons.add(Effect.STOP, sentence)
    elif result.outcome is Outcome.NOT_SHOWN:
        for sentence in result.stops or (result.says,):
            reasons.add(step.unknown, sentence)
    for sentence in result.cautions:
        reasons.add(Effect.CAUTION, sentence)
    return reasons.judgement(result.used, finding)
