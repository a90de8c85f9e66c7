"""Events as plain data and back; what is no event is refused, whatever is wrong with it."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.quantities import Quantity
from checklist.rulefile import Effect, Verdict
from checklist.walk.answers import (
    Answer,
    Described,
    Inputs,
    KeptFile,
    Measured,
    Said,
    Sought,
    Written,
)
from checklist.walk.events import (
    Answered,
    Attached,
    Closed,
    Event,
    NearMiss,
    Noted,
    Reopened,
    WorkResumed,
    WorkStopped,
)
from checklist.walk.judge import Judgement
from checklist.walk.stored import as_data, from_data
from checklist.walk.storedfields import RecordUnreadable
from tests.walk.making import at, clearing_for, say, walked


def evaluated() -> Answered:
    """Return an answer that names a station file, with what was found."""
    finding = Finding("station-exposure", 1, {"station": "hill"}, Result(Outcome.WITHIN, "within"))
    answer = Described(
        "station-exposure",
        "/hill/station.yaml",
        finding,
        KeptFile("cd" * 32, 4321, "station.yaml"),
        KeptFile("ef" * 32, 99, "limits/fcc-1310.yaml"),
        {"law": "01" * 32},
        KeptFile("23" * 32, 777, "station.evaluation.json"),
    )
    return Answered("gust", answer, Judgement(Effect.CLEAR, (), (), finding), at(13), {})


def every_event() -> tuple[Event, ...]:
    near = {"above-top": "10 ft", "sideways-reach": "0 ft", "line-voltage": "7.2 kV"}
    walk = walked(tags={"does not apply": "nothing is fed yet"}, call="don't know")
    walk = say(walk, "lines", near | {"ground-distance": "9 ft"}, 1)
    evidence = clearing_for(walk, "lines", "order 12", stands=True)
    walk = walk.with_event(walk.stop_answered("lines", evidence, at(2)))
    walk = say(say(walk, "gust", "30 mph", 3), "gust", "8 mph", 4, why="watched")
    walk = say(walk, "tags", ["plug, 4, Wren [/b]", "breaker 14, 5, Wren"], 5)
    walk = say(say(walk, "call", "Ridge Hollow Road 14", 5), "marked", "no", 5)
    rest: tuple[Event, ...] = (
        WorkStopped("thunder", at(6)),
        WorkResumed(at(7)),
        NearMiss("a wrench\nfell", at(8)),
        Noted("gust", "leaves move", at(9)),
        Attached("gust", "ab" * 32, 12345, "photo.jpg", at(10)),
        Reopened(at(11), "the clock was set back"),
        Closed(Verdict.CAUTIONS, at(12)),
        evaluated(),
    )
    return (*walk.events, *rest)


EVENTS = every_event()


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_what_is_written_reads_back_the_same(event: Event) -> None:
    """Through JSON and back, with the typed text of readings as well."""
    what, data = as_data(event)
    again = from_data(what, json.loads(json.dumps(data)), event.at)

    assert again == event
    if isinstance(event, Answered) and isinstance(event.answer, Measured):
        assert isinstance(again, Answered)
        assert isinstance(again.answer, Measured)
        assert again.answer.quantity.typed == event.answer.quantity.typed


def test_the_data_is_text_lists_and_mappings_alone() -> None:
    """No number of a machine's kind stands in what is signed, but for a version."""
    found = [type(value) for event in EVENTS for value in _values(as_data(event)[1])]

    assert set(found) <= {str, int}
    assert found.count(int) == sum("finding" in json.dumps(as_data(e)[1]) for e in EVENTS)


def _values(data: Any) -> Iterator[Any]:
    if isinstance(data, dict | list):
        for value in data.values() if isinstance(data, dict) else data:
            yield from _values(value)
    else:
        yield data


def _paths(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _paths(value, (*path, key))


MAY_LACK = {"limits", "evaluation", "because", "used", "finding", "provided", "clearing", "kept"}


@pytest.mark.parametrize("wrong", [None, 7, 1.5, ["x"], {"x": 1}, True], ids=repr)
def test_a_value_of_another_kind_is_refused_everywhere(wrong: Any) -> None:
    """Whatever stands in its place, damaged data is refused in words or is still an event."""
    refused = 0
    for event in EVENTS:
        what, data = as_data(event)
        for path in _paths(data):
            damaged = copy.deepcopy(data)
            holder: Any = damaged
            for part in path[:-1]:
                holder = holder[part]
            if type(holder[path[-1]]) is type(wrong):
                continue
            holder[path[-1]] = wrong
            try:
                again = from_data(what, damaged, event.at)
            except RecordUnreadable as error:
                refused += 1
                assert what in error.sentence()  # noqa: PT017  the sentence names the event
            else:
                rows = "inputs" in path and wrong == ["x"]

                assert as_data(again)[0] == what
                assert "kept" in path or rows, (path, wrong)

    assert refused > 100


def test_a_key_that_is_missing_is_refused() -> None:
    """Every key but those that may be left out."""
    for event in EVENTS:
        what, data = as_data(event)
        for path in _paths(data):
            if isinstance(path[-1], int) or path[-1] in MAY_LACK or "evidence" in path[:-1]:
                continue
            if path[-2:-1] in (("inputs",), ("given",), ("provided",), ("parts",)):
                continue
            damaged = copy.deepcopy(data)
            holder: Any = damaged
            for part in path[:-1]:
                holder = holder[part]
            del holder[path[-1]]
            with pytest.raises(RecordUnreadable):
                from_data(what, damaged, event.at)


def test_the_files_of_an_answer_stand_under_the_folders_that_keep_them() -> None:
    """What is stored names the part of the log folder for each: by it the files are found."""
    files = as_data(evaluated())[1]["answer"]["station"]
    photo = as_data(Attached("gust", "ab" * 32, 12345, "photo.jpg", at()))[1]
    size = {"size": "777", "name": "station.evaluation.json"}

    assert files["evaluation"] == {"kept": "attachments", "sha256": "23" * 32} | size
    assert (files["file"]["kept"], files["limits"]["kept"]) == ("attachments", "rules")
    assert photo["kept"] == "attachments"


@pytest.mark.parametrize(
    ("answer", "stored"),
    [
        (Written("Ridge Hollow Road 14"), {"text": "Ridge Hollow Road 14"}),
        (Said("no"), {"said": "no"}),
        (Inputs({"loads": ("8 A", "5 A")}), {"inputs": {"loads": ["8 A", "5 A"]}}),
        (
            Measured(Quantity.of("8", "mph"), "anemometer"),
            {"reading": "8 mph", "understood": "8 mph", "with": "anemometer"},
        ),
        (
            Measured(replace(Quantity.of("8", "mph"), typed="8 MPH"), "anemometer"),
            {"reading": "8 MPH", "understood": "8 mph", "with": "anemometer"},
        ),
        (
            Sought(("breaker 14",), "not read", count="2"),
            {
                "sought": {
                    "points": ["breaker 14"],
                    "others": "not read",
                    "counted-by": [],
                    "count": "2",
                }
            },
        ),
        (
            Described("loads", "a.yaml", file=KeptFile("ab" * 32, 9, "a.yaml")),
            {
                "station": {
                    "calculation": "loads",
                    "path": "a.yaml",
                    "parts": {},
                    "file": {
                        "kept": "attachments",
                        "sha256": "ab" * 32,
                        "size": "9",
                        "name": "a.yaml",
                    },
                }
            },
        ),
        (
            Sought(("breaker 14",), "none"),
            {"sought": {"points": ["breaker 14"], "others": "none"}},
        ),
    ],
    ids=lambda value: type(value).__name__,
)
def test_the_form_in_which_an_answer_is_kept(answer: Answer, stored: dict[str, Any]) -> None:
    """Logs that are kept for years are read by it, and what may lack is read as not given."""
    data = {"step": "gust", "answer": stored, "judgement": {"effect": "clear"}}
    event = Answered("gust", answer, Judgement(Effect.CLEAR), at(), {})

    assert as_data(event)[1]["answer"] == stored
    assert from_data("answered", data, at()) == event


@pytest.mark.parametrize(
    "understood",
    [
        "NaN mph",
        "Infinity mph",
        "1e5 mph",
        "8",
        "8 furlongs",
        "mph",
        "",
        "8  mph",
        "٨ mph",
        "1_0 mph",
    ],
)
def test_a_quantity_that_is_none_is_refused(understood: str) -> None:
    """Not-a-number compares with nothing, so it must not come back from a file."""
    data = {
        "step": "gust",
        "answer": {"reading": "8 mph", "understood": understood, "with": "anemometer"},
        "judgement": {"effect": "clear"},
    }
    with pytest.raises(RecordUnreadable, match=f"“{understood}” is not a quantity|misnames"):
        from_data("answered", data, at())


def test_an_event_of_another_version_is_named() -> None:
    """An unknown word is said, not skipped."""
    with pytest.raises(RecordUnreadable, match="“teleported” is not an event known"):
        from_data("teleported", {}, at())
