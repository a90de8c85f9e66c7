"""Reads what was typed for a step, strictly: the one way in for screens, shell and examples."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, cast

from checklist.calculations.reading import is_unknown
from checklist.calculations.run import check_input
from checklist.errors import StandclearError
from checklist.plaintext import accept, says_something
from checklist.quantities import parse_quantity
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    OfStation,
    People,
    Reading,
    Step,
    Tag,
    TagsOff,
)
from checklist.walk.answers import (
    DONT_KNOW,
    Answer,
    Chosen,
    DoesNotApply,
    Hung,
    Inputs,
    Measured,
    Present,
    Said,
    Written,
)
from checklist.walk.entrylines import (
    LONGEST_NAME,
    AnswerRefused,
    lines_in,
    one_text,
    read_person,
    read_tag,
)
from checklist.walk.entrylookups import read_described, read_sought
from checklist.walk.fitting import is_impossible

_SHORTEST_REASON = 3


def read_answer(step: Step, typed: Any, *, instrument: str = "") -> Answer:
    """Return the answer that `typed` is to `step`.

    `typed` has the form that examples in rule files use: a text for confirm, reading,
    choice and text; a list of lines for people and tags; a mapping for a calculation;
    `don't know` (or `unknown`, or `?`) or `{does not apply: reason}` for any. A reading
    that is measured with something needs the `instrument` named. Raises AnswerRefused in
    one sentence: what is wrong with it, and what would be right.
    """
    if isinstance(typed, str) and is_unknown(typed) and not _is_value(step, typed):
        return DONT_KNOW
    try:
        if isinstance(typed, Mapping) and set(typed) == {"does not apply"}:
            return not_applying(step, one_text(typed["does not apply"]))
        return _of_kind(step, typed, instrument)
    except AnswerRefused:
        raise
    except StandclearError as error:
        raise AnswerRefused(error.what, where=error.where, right=error.right) from None


def require_may_not_apply(step: Step) -> None:
    """Raise AnswerRefused where the rule file does not let anybody set the step aside."""
    if not step.may_not_apply:
        raise AnswerRefused("this step applies always", right="Answer it, or say don't know.")


def not_applying(step: Step, reason: str) -> DoesNotApply:
    """Return the answer that the step does not apply; refused where the step forbids it."""
    require_may_not_apply(step)
    text = accept(reason, field="reason")
    if len(text) < _SHORTEST_REASON or not says_something(text):
        raise AnswerRefused(
            "a reason is needed", where="does not apply", right="Say why, in words."
        )
    return DoesNotApply(text)


def _of_kind(step: Step, typed: Any, instrument: str) -> Answer:
    kind = step.kind
    match kind:
        case Confirm():
            return _yes_or_no(typed)
        case Reading():
            return _reading(kind, typed, instrument)
        case Choice():
            return _choice(kind, typed)
        case People():
            return Present(tuple(read_person(line) for line in lines_in(typed)))
        case Tag():
            return Hung(tuple(read_tag(line) for line in lines_in(typed)))
        case TagsOff():
            return read_sought(typed)
        case OfStation():
            return read_described(kind, typed)
        case Compute():
            return _inputs(kind, typed)
        case _:
            text = accept(one_text(typed), field="text", lines=True)
            if not says_something(text):
                raise AnswerRefused("nothing is said", right="Write it, or say don't know.")
            return Written(text)


def _yes_or_no(typed: Any) -> Said:
    word = one_text(typed).strip().casefold()
    if word not in {"yes", "no"}:
        raise AnswerRefused(f"“{word}” is no answer here", right="Say yes, no or don't know.")
    return Said(cast(Literal["yes", "no"], word))


def _reading(kind: Reading, typed: Any, instrument: str) -> Measured:
    quantity = parse_quantity(accept(one_text(typed), field="reading"), kind.dimension)
    if is_impossible(quantity):
        raise AnswerRefused(
            f"“{quantity.typed}” is below zero, which this can never be",
            right=f"Give it as {kind.example}.",
        )
    named = accept(instrument, field="instrument", longest=LONGEST_NAME)
    if kind.instrument and not says_something(named):
        raise AnswerRefused(
            "the instrument is missing", right=f"Name the {kind.instrument} that was used."
        )
    return Measured(quantity, named)


def _is_value(step: Step, typed: str) -> bool:
    return isinstance(step.kind, Choice) and typed in step.kind.options


def _choice(kind: Choice, typed: Any) -> Chosen:
    value = one_text(typed)
    if value not in kind.options:
        raise AnswerRefused(
            f"“{value}” is not among the values", right=f"Choose of {', '.join(kind.options)}."
        )
    return Chosen(value)


def _inputs(kind: Compute, typed: Any) -> Inputs:
    if not isinstance(typed, Mapping):
        raise AnswerRefused("the inputs are missing", right="Give each input by its name.")
    asked = [i.name for i in kind.calculation.inputs if i.name not in kind.inputs]
    for name in typed:
        if name not in asked:
            raise AnswerRefused(f"“{name}” is not asked here", right=f"Asked: {', '.join(asked)}.")
    values: dict[str, str | tuple[str, ...]] = {}
    for name, value in typed.items():
        given = tuple(lines_in(value)) if not isinstance(value, str) else accept(value, field=name)
        if given:
            check_input(kind.calculation, name, given)
            values[name] = given
    return Inputs(values)
