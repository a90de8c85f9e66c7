"""Where the answer to a step goes on paper: boxes to tick, lines for readings, people and locks."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.pages.page import Blanks, Block, Grid, Ticks, Words, WriteOn
from checklist.quantities import DIMENSIONS
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    Effect,
    OfStation,
    People,
    Reading,
    Role,
    Step,
    Tag,
    TagsOff,
    Text,
)
from checklist.walk.wording import limits_text

NOT_APPLYING = "it does not apply"
WHEN = (("Time", 3), ("Initials", 2))
"""What is written behind each answer."""

_EMPTY_ROWS = 3


def answer_blocks(step: Step, letter: str) -> Iterator[Block]:
    """Yield what is written on for one step, with what each answer does.

    `letter` is that of its sum at the end of the form, where the step is a calculation.
    """
    yield from _of_kind(step, letter)
    if step.may_not_apply:
        yield Ticks((NOT_APPLYING,), fields=(("because:", 9), *WHEN))


def _of_kind(step: Step, letter: str) -> Iterator[Block]:
    unknown = _effect(step.unknown)
    match step.kind:
        case Confirm(no=effect):
            yield Ticks(("yes", f"no: {_effect(effect)}", f"don't know: {_effect(effect)}"))
        case Reading() as kind:
            yield from _reading(step, kind, unknown)
        case Choice() as kind:
            yield Ticks((*_options(kind), f"don't know: {unknown}"), is_across=False)
        case Text(example=example):
            yield WriteOn(f"Answer (such as: {example}):", lines=2)
            yield Ticks((f"don't know: {unknown}",))
        case People() as kind:
            yield from _people(kind)
        case Tag(each=each):
            yield Words(f"One line for {each}. None hung: STOPS.", "small")
            yield Grid(
                ("mark at the point", "number of the lock", "who hung it", "off: time, by whom"),
                (("", "", "", ""),) * _EMPTY_ROWS,
                (3, 2, 3, 3),
                True,
            )
        case TagsOff(free=free):
            yield from _tags_off(free)
        case Compute() | OfStation():
            yield from _sum(step, letter)


def _effect(effect: Effect) -> str:
    return {Effect.STOP: "STOPS", Effect.CAUTION: "a caution"}.get(effect, "clear")


def _reading(step: Step, kind: Reading, unknown: str) -> Iterator[Block]:
    units = ", ".join(unit.symbol for unit in DIMENSIONS[kind.dimension] if unit.symbol != "1")
    fields = [(f"Reading with its unit ({units or 'a number'}; as {kind.example}):", 6)]
    if kind.instrument:
        fields.append((f"Instrument ({kind.instrument}; mark or number on it):", 6))
    yield Blanks(tuple(fields))
    for line in limits_text(step):
        yield Words(_first_capital(line), "small")
    yield Ticks((f"not measured, don't know: {unknown}",))


def _options(kind: Choice) -> Iterator[str]:
    for value, label in kind.options.items():
        does = ""
        if value in kind.stop:
            does = ": STOPS"
        elif value in kind.caution:
            does = ": a caution"
        yield f"{label}{does}  ({value})"


def _people(kind: People) -> Iterator[Block]:
    wanted = ", ".join(f"{count} {role}" for role, count in kind.roles.items())
    trained = (
        f" Training dates of: {', '.join(r for r in Role if r in kind.trained)}."
        if kind.trained
        else ""
    )
    yield Words(
        f"At least {wanted}; {kind.different} different people. Anybody missing, or training "
        f"without a date or from a day to come: STOPS.{trained}",
        "small",
    )
    count = sum(kind.roles.values())
    yield Grid(("name", "role", "trained (day)"), (("", "", ""),) * (count + 1), (5, 3, 3), True)


def _tags_off(free: str) -> Iterator[Block]:
    yield Words(
        f"Free must be: {free}. A lock that hangs, a count that two people do not agree on, or a "
        "point that nobody looked at: STOPS. On paper nothing is known of other laptops' tags: "
        "ask everybody who hung one.",
        "small",
    )
    yield Grid(
        ("mark at the point", "locks counted", "counted by (two names)", "time"),
        (("", "", "", ""),) * _EMPTY_ROWS,
        (3, 2, 4, 2),
        True,
    )


def _sum(step: Step, letter: str) -> Iterator[Block]:
    if isinstance(step.kind, OfStation):
        yield Words(
            f"{step.kind.calculation.title}. This is not done by hand. Until a laptop works it is "
            f"“not shown”: {_effect(step.unknown)}. An evaluation on record counts if it is of "
            "the station as it stands today: write its session, entry and code.",
            "small",
        )
        yield WriteOn("Session, entry, code:")
        yield Ticks(("within, by that evaluation", "over: STOPS", "not shown"))
        return
    assert isinstance(step.kind, Compute)  # noqa: S101  # the only kind left, for the type checker
    yield Words(f"Work out sum {letter}, {step.kind.calculation.title}, at the end.")
    yield Ticks(
        ("within", "within, but a caution", "over: STOPS", f"not shown: {_effect(step.unknown)}")
    )


def _first_capital(line: str) -> str:
    return line[:1].upper() + line[1:]
