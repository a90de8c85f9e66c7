"""What a walk, a stored event and a station step refuse, each tried once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from checklist.calculations import CALCULATIONS
from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.errors import StandclearError
from checklist.quantities import Quantity
from checklist.rulefile import (
    Confirm,
    Effect,
    OfStation,
    Verdict,
    load_rule_file,
)
from checklist.walk.answers import (
    Described,
    Said,
    Sought,
    Written,
)
from checklist.walk.entry import read_answer
from checklist.walk.events import Closed, WorkStopped
from checklist.walk.fitting import is_impossible, misfit
from checklist.walk.stored import as_data, from_data
from checklist.walk.walk import Walk
from checklist.walk.wording import limits_text, needs_text
from tests.rulefile.making import book, small
from tests.walk.making import START, at, clearing_for, new, say, walked
from tests.walk.test_seeking import FREE


def _refusal(what: Callable[..., Any], *given: Any) -> list[str]:
    try:
        found = what(*given)
        return ["it is taken", "" if isinstance(found, Walk) else repr(found)]
    except StandclearError as refused:
        return [type(refused).__name__, refused.sentence()]


def _walk_refusals() -> dict[str, list[str]]:
    over = walked().with_event(Closed(Verdict.NO_STOP, at()))
    stood = walked().with_event(WorkStopped("thunder", at(1)))
    two_open = say(say(new(), "marked", "yes"), "way", "hand")
    one_open = Walk(small(), book(), walked().events[:-1])
    slow = walked(gust="30 mph")
    tried: dict[str, tuple[Any, ...]] = {
        "an answer after the end": (say, over, "marked", "yes"),
        "the end after the end": (over.ended, at()),
        "the end while the work is stopped": (stood.ended, at(1)),
        "the end with a step open": (one_open.ended, at()),
        "the end with steps open": (two_open.ended, at()),
        "the end of a stopped walk": (slow.ended, at(7)),
        "the end in order": (walked().ended, at(7)),
        "no such step": (walked().answered, "soil", Said("yes"), at()),
        "a step that is not asked": (walked().answered, "winch-held", Said("yes"), at()),
        "another kind of answer": (walked().answered, "marked", Written("x"), at()),
        "don't know to a stop": (say, say(new(), "marked", "no"), "marked", "don't know"),
        "no evidence": (say, say(new(), "marked", "no"), "marked", "yes"),
        "no way": (say, say(new(), "way", "car"), "way", "hand"),
        "evidence where nothing stops": (
            walked().stop_answered, "lines", clearing_for(new(), "lines", "x", stands=True), at(),
        ),
        "evidence of another way": (
            slow.stop_answered, "gust", clearing_for(new(), "gust", "x"), at(),
        ),
    }  # fmt: skip
    return {f"refused: {name}": _refusal(*one) for name, one in tried.items()}


def _stored_refusals() -> dict[str, list[str]]:
    what, whole = as_data(walked().events[0])
    kept = {"sha256": "ab" * 32, "size": "12", "name": "photo.jpg", "step": "gust"}
    tried: dict[str, tuple[str, Any]] = {
        "no event": ("sung", {}),
        "no step": (what, {k: v for k, v in whole.items() if k != "step"}),
        "another step": (what, whole | {"step": 5}),
        "no known answer": (what, whole | {"answer": {"sung": "x"}}),
        "a reading that is none": (
            what, whole | {"answer": {"reading": "8", "understood": "8", "instrument": ""}},
        ),
        "points that are none": (
            what, whole | {"answer": {"tags": {"points": [5], "others": "none"}}},
        ),
        "others that are none": (what, whole | {"answer": {"looked for": {"others": "some"}}}),
        "a size that is none": ("attached", kept | {"size": "x"}),
        "inputs that are none": (what, whole | {"provided": [5]}),
    }  # fmt: skip
    return {f"stored: {n}": _refusal(from_data, *one, at()) for n, one in tried.items()}


def _of_station() -> dict[str, list[str]]:
    kind = OfStation(next(iter(STATION_CALCULATIONS.values())))
    step = replace(small().step("marked"), kind=kind)
    free = load_rule_file(FREE, "mast-base.yaml", book(), CALCULATIONS).step("tags")
    cautious = replace(small().step("marked"), kind=Confirm(Effect.CAUTION))
    typed: list[Any] = [
        "field.yaml", " 'field.yaml' ", "", {"file": "a.yaml"}, {"file": ""}, {"file": 5}, 5,
        {"outcome": "within"}, {"outcome": "over"}, {"outcome": "fine"}, {"x": "y"},
        {"file": "a", "outcome": "over"}, {}, "a\x1b",
    ]  # fmt: skip
    found = Finding("loads", 1, {}, Result(Outcome.WITHIN, "x"))
    answers = (Described("loads", "a.yaml"), Described("loads", "a.yaml", found))
    return {f"a station step, {one!r}": _refusal(read_answer, step, one) for one in typed} | {
        "needed": [needs_text(one) for one in (step, free, cautious, small().step("marked"))],
        "limits": list(limits_text(small().step("gust"))),
        "a station by hand": [misfit(step, one, START.date()) for one in answers],
        "no points": [
            misfit(free, Sought(points, "none"), START.date()) for points in ((), ("-",), ("gate",))
        ],
        "below zero": [
            str(is_impossible(Quantity.of(n, u)))
            for n, u in (("-1", "degC"), ("-1", "ft"), ("0", "ft"))
        ],
    }


def refusals() -> dict[str, list[str]]:
    """Return what is said of everything that is refused, by what it is said of."""
    return _walk_refusals() | _stored_refusals() | _of_station()
