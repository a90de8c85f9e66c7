"""Reads what was typed for a step, strictly: the one way in for screens, shell and examples."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any, Literal, cast, get_args

from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.calculations.reading import is_unknown
from checklist.calculations.run import check_input
from checklist.errors import StandclearError
from checklist.names import name_key
from checklist.plaintext import accept, says_something
from checklist.quantities import parse_quantity
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    OfStation,
    People,
    Reading,
    Role,
    Step,
    Tag,
    TagsOff,
)
from checklist.walk.answers import (
    DONT_KNOW,
    Answer,
    Chosen,
    Described,
    DoesNotApply,
    Hung,
    HungTag,
    Inputs,
    Measured,
    Others,
    Person,
    Present,
    Said,
    SeenLog,
    Sought,
    Written,
)
from checklist.walk.fitting import is_impossible

_LONGEST_NAME = 80
_LOOKED = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands for the time of looking in an example; a walk puts its own in."""
_SHORTEST_REASON = 3


class AnswerRefused(StandclearError):
    """What was typed is not an answer to this step."""


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
            return not_applying(step, _one_text(typed["does not apply"]))
        return _of_kind(step, typed, instrument)
    except AnswerRefused:
        raise
    except StandclearError as error:
        raise AnswerRefused(error.what, where=error.where, right=error.right) from None


def not_applying(step: Step, reason: str) -> DoesNotApply:
    """Return the answer that the step does not apply; refused where the step forbids it."""
    if not step.may_not_apply:
        raise AnswerRefused("this step applies always", right="Answer it, or say don't know.")
    text = accept(reason, field="reason")
    if len(text) < _SHORTEST_REASON or not says_something(text):
        raise AnswerRefused(
            "a reason is needed", where="does not apply", right="Say why, in words."
        )
    return DoesNotApply(text)


def read_person(line: str) -> Person:
    """Return the person in `Name, role` or `Name, role, trained 2025-04-01`."""
    parts = [accept(p, field="person", longest=_LONGEST_NAME) for p in line.split(",")]
    if len(parts) not in (2, 3) or not says_something(parts[0]):
        raise AnswerRefused(
            f"“{line.strip()}” is not a name and a role",
            right="Write: Name, role, or: Name, role, trained 2025-04-01.",
        )
    if parts[1] not in set(Role):
        raise AnswerRefused(f"“{parts[1]}” is not a role", right=f"There are {', '.join(Role)}.")
    trained = parts[2].removeprefix("trained").strip() if len(parts) == 3 else ""
    return Person(parts[0], Role(parts[1]), read_date(trained) if trained else "")


def read_date(text: str) -> str:
    """Return an ISO date; `2025-04` stands for its first day."""
    whole = f"{text}-01" if len(text) == len("2025-04") else text
    try:
        return date.fromisoformat(whole).isoformat()
    except ValueError:
        raise AnswerRefused(
            f"“{text}” is not a date", where="training", right="Write it as 2025-04-01 or 2025-04."
        ) from None


def read_tag(line: str) -> HungTag:
    """Return the tag in `point, lock, person`."""
    parts = [accept(p, field="tag", longest=_LONGEST_NAME) for p in line.split(",")]
    if len(parts) != 3 or not all(map(says_something, parts)):
        raise AnswerRefused(
            f"“{line.strip()}” is not a point, a lock and a person",
            right="Write: mark at the point, number of the lock, who hung it.",
        )
    return HungTag(*parts)


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
            return Present(tuple(read_person(line) for line in _lines(typed)))
        case Tag():
            return Hung(tuple(read_tag(line) for line in _lines(typed)))
        case TagsOff():
            return read_sought(typed)
        case OfStation():
            return read_described(kind, typed)
        case Compute():
            return _inputs(kind, typed)
        case _:
            text = accept(_one_text(typed), field="text", lines=True)
            if not says_something(text):
                raise AnswerRefused("nothing is said", right="Write it, or say don't know.")
            return Written(text)


def _yes_or_no(typed: Any) -> Said:
    word = _one_text(typed).strip().casefold()
    if word not in {"yes", "no"}:
        raise AnswerRefused(f"“{word}” is no answer here", right="Say yes, no or don't know.")
    return Said(cast(Literal["yes", "no"], word))


def _reading(kind: Reading, typed: Any, instrument: str) -> Measured:
    quantity = parse_quantity(accept(_one_text(typed), field="reading"), kind.dimension)
    if is_impossible(quantity):
        raise AnswerRefused(
            f"“{quantity.typed}” is below zero, which this can never be",
            right=f"Give it as {kind.example}.",
        )
    named = accept(instrument, field="instrument", longest=_LONGEST_NAME)
    if kind.instrument and not says_something(named):
        raise AnswerRefused(
            "the instrument is missing", right=f"Name the {kind.instrument} that was used."
        )
    return Measured(quantity, named)


def _is_value(step: Step, typed: str) -> bool:
    return isinstance(step.kind, Choice) and typed in step.kind.options


def _choice(kind: Choice, typed: Any) -> Chosen:
    value = _one_text(typed)
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
        given = tuple(_lines(value)) if not isinstance(value, str) else accept(value, field=name)
        if given:
            check_input(kind.calculation, name, given)
            values[name] = given
    return Inputs(values)


def read_sought(typed: Any) -> Sought:
    """Return the answer in a mapping: `points`, `others`, and if it was counted by whom and what.

    `hangs` (lines as of a tag) and `logs` (how long ago each was read) stand in examples for
    what the program looks up; in a walk it looks it up itself.
    """
    keys = ("points", "others", "counted-by", "count", "hangs", "logs")
    if not isinstance(typed, Mapping) or not set(typed) <= set(keys):
        raise AnswerRefused("the points are missing", right=f"Give {', '.join(keys)}.")
    others = _one_text(typed.get("others", "not read"))
    if others not in get_args(Others):
        raise AnswerRefused(
            f"“{others}” says nothing about other laptops",
            right=f"Say {', '.join(get_args(Others))}.",
        )
    return Sought(
        tuple(
            accept(p, field="point", longest=_LONGEST_NAME) for p in _lines(typed.get("points", []))
        ),
        cast(Others, others),
        *_counted(typed),
        hangs=tuple(read_tag(line) for line in _lines(typed.get("hangs", []))),
        logs=tuple(map(_log_read, enumerate(_lines(typed.get("logs", []))))),
        at=_LOOKED,
    )


def read_described(kind: OfStation, typed: Any) -> Described:
    """Return the answer in `{file: path of the station file}`; a walk works out the finding.

    `{outcome: within}` (or over, or not shown) stands in examples for what the program finds.
    """
    name = kind.calculation.name
    given = {"file": typed} if isinstance(typed, str) else typed
    if not isinstance(given, Mapping) or len(given) != 1 or not set(given) <= {"file", "outcome"}:
        raise AnswerRefused("the station file is missing", right="Give its path.")
    if "file" in given:
        path = accept(_one_text(given["file"]).strip().strip("'\""), field="station file")
        if not path:
            raise AnswerRefused("the station file is missing", right="Give its path.")
        return Described(name, path)
    word = _one_text(given["outcome"])
    if word not in set(Outcome):
        raise AnswerRefused(f"“{word}” is not an outcome", right=f"Say {', '.join(Outcome)}.")
    said = f"an example that is {word}"
    return Described(name, said, Finding(name, 1, {}, Result(Outcome(word), f"{said}.")))


def _counted(typed: Mapping[str, Any]) -> tuple[tuple[str, ...], str]:
    by = tuple(
        accept(name, field="counted by", longest=_LONGEST_NAME)
        for name in _lines(typed.get("counted-by", []))
    )
    count = _one_text(typed.get("count", "")).strip()
    if not count and not by:
        return (), ""
    if not re.fullmatch("[0-9]{1,3}", count):
        raise AnswerRefused(f"“{count}” is not a count", right="Count the locks: 0, 1, 2 ...")
    if len({name_key(name) for name in by}) < 2:
        raise AnswerRefused("two different people count the locks at the point", right="Name both.")
    return by, str(int(count))


def _log_read(numbered: tuple[int, str]) -> SeenLog:
    number, ago = numbered
    age = timedelta(seconds=float(parse_quantity(ago, "time").si))
    return SeenLog(f"{number:032x}", _LOOKED - age)


def _lines(typed: Any) -> Sequence[str]:
    lines = typed.splitlines() if isinstance(typed, str) else typed
    if not isinstance(lines, list | tuple):
        raise AnswerRefused("a list of lines is needed", right="Write each on a line of its own.")
    return [accept(text, field="line") for line in lines if (text := _one_text(line)).strip()]


def _one_text(typed: Any) -> str:
    if not isinstance(typed, str):
        raise AnswerRefused("one text is needed here", right="Write it as one text.")
    return typed
