"""Whether an answer is one that its step can take, whoever made it: a screen, a file, a program."""

from __future__ import annotations

from datetime import date

from checklist.plaintext import says_something
from checklist.quantities import Quantity
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    Kind,
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
    Person,
    Present,
    Said,
    Sought,
    Written,
)

_NO_ANSWER = "this is no answer to this kind of step"


def misfit(step: Step, answer: Answer, today: date) -> str:
    """Return what is wrong with `answer` as an answer to `step`, or an empty text.

    Says nothing about what the answer does; that is judged. A training date after `today`
    is refused: nobody was trained tomorrow.
    """
    if answer == DONT_KNOW:
        return ""
    if isinstance(answer, DoesNotApply):
        if not step.may_not_apply:
            return "this step applies always"
        return "" if says_something(answer.reason) else "a reason is needed, in words"
    return _of_kind(step.kind, answer, today)


def _of_kind(kind: Kind, answer: Answer, today: date) -> str:
    match kind, answer:
        case Confirm(), Said():
            return ""
        case Text(), Written(text=text):
            return "" if says_something(text) else "nothing is said, in words"
        case Reading() as reading, Measured() as measured:
            return _of_reading(reading, measured)
        case Choice(options=options), Chosen(value=value):
            return "" if value in options else f"“{value}” is not among the values"
        case People(), Present(people=people):
            return next((wrong for p in people if (wrong := _of_person(p, today))), "")
        case Tag(), Hung(tags=tags):
            whole = all(says_something(part) for t in tags for part in (t.point, t.lock, t.person))
            return "" if whole else "each tag has a point, a lock and a person"
        case TagsOff(), Sought(points=points):
            named = bool(points) and all(map(says_something, points))
            return "" if named else "the points are missing, by the ids marked at them"
        case Compute(calculation, provided), Inputs(values=values):
            asked = {i.name for i in calculation.inputs} - set(provided)
            return "" if set(values) <= asked else "an input was given that is not asked here"
        case OfStation() as asked, Described() as described:
            return _of_station(asked, described)
        case _:
            return _NO_ANSWER


def _of_reading(kind: Reading, measured: Measured) -> str:
    quantity = measured.quantity
    if quantity.unit.dimension != kind.dimension:
        return f"{quantity.text()} is a {quantity.unit.dimension}, and a {kind.dimension} is asked"
    if is_impossible(quantity):
        return f"{quantity.text()} is below zero"
    if kind.instrument and not says_something(measured.instrument):
        return f"the instrument is missing: {kind.instrument}"
    return ""


def _of_station(kind: OfStation, described: Described) -> str:
    finding = described.finding
    if finding is None:
        return "what a station file gives is worked out in a walk, and never written by hand"
    names = {described.calculation, finding.calculation}
    return "" if names == {kind.calculation.name} else "another calculation was asked for"


def is_impossible(quantity: Quantity) -> bool:
    """Return whether a reading is below zero, where only a temperature can be."""
    return quantity.value < 0 and quantity.unit.dimension != "temperature"


def _of_person(person: Person, today: date) -> str:
    if not says_something(person.name):
        return "a name is missing"
    if not person.trained:
        return ""
    try:
        trained = date.fromisoformat(person.trained)
    except ValueError:
        return f"“{person.trained}” is not a date"
    if trained > today:
        return (
            f"the training date {trained} of {person.name} lies ahead; by the clock it is {today}"
        )
    return ""
