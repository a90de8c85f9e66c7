"""The words for steps, answers and the standing of a walk, whole: our own, so no validation."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from checklist.quantities import Quantity
from checklist.rulefile.model import Role
from checklist.walk.answers import (
    Answer,
    Chosen,
    Described,
    DoesNotApply,
    Hung,
    HungTag,
    Inputs,
    KeptFile,
    Measured,
    Person,
    Present,
    Said,
    Sought,
    Written,
)
from checklist.walk.events import Clearing, WorkStopped
from checklist.walk.wording import (
    OTHERS,
    answer_text,
    clearing_text,
    life_text,
    limits_text,
    needs_text,
    standing_text,
    way_text,
)
from tests.rulefile.making import small
from tests.walk.making import at, new, say, walked

_TAG = HungTag("breaker 14", "5", "Tamsin Oakes")
_FILE = KeptFile("0123456789abcdef0123456789abcdef", 12, "field.yaml")


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (Said("don't know"), "don't know"),
        (DoesNotApply("no rotator"), "does not apply: no rotator"),
        (Measured(Quantity.of(8, "mph")), "8 mph (12.87 km/h)"),
        (Measured(Quantity.of(8, "mph"), "vane 2"), "8 mph (12.87 km/h), with vane 2"),
        (
            Measured(replace(Quantity.of(8, "mph"), typed="8.0 mph")),
            "8.0 mph = 8 mph (12.87 km/h)",
        ),
        (
            Sought(("gate",), "none", hangs=(_TAG, HungTag("gate", "6", "Wren Holloway")), at=at()),
            f"gate; {OTHERS['none']}; by the logs here hangs lock 5 of Tamsin Oakes at breaker 14, "
            "lock 6 of Wren Holloway at gate",
        ),
        (Chosen("winch"), "winch"),
        (Written("Ridge Hollow\nRoad 14"), "Ridge Hollow / Road 14"),
        (
            Present((Person("Wren Holloway", Role.IN_CHARGE),
                     Person("Tamsin Oakes", Role.WORKER, "2026-04-11"))),
            "Wren Holloway, in charge; Tamsin Oakes, worker, trained 2026-04-11",
        ),
        (Hung((_TAG,)), "breaker 14: lock 5, Tamsin Oakes"),
        (Hung((_TAG, HungTag("gate", "6", "Wren Holloway"))),
         "breaker 14: lock 5, Tamsin Oakes; gate: lock 6, Wren Holloway"),
        (Hung(()), "none hangs"),
        (Sought(("gate", "breaker 14"), "none"),
         "gate, breaker 14; no other laptop is used for tags here"),
        (
            Sought(("gate",), "read", ("Wren Holloway", "Tamsin Oakes"), "2", (), (), at(0)),
            "gate; the log of every other laptop was read here; "
            "2 locks counted by Wren Holloway and Tamsin Oakes; by the logs here hangs nothing",
        ),
        (
            Sought(("gate",), "not read", (), "", (_TAG,), (), at(0)),
            "gate; some other laptop's log is not here; "
            "by the logs here hangs lock 5 of Tamsin Oakes at breaker 14",
        ),
        (Inputs({"load": "60 lb", "pieces": ("a", "b")}), "load 60 lb; pieces a | b"),
        (Described("exposure", "field.yaml"), "station file field.yaml"),
        (Described("exposure", "old.yaml", file=_FILE),
         "station file field.yaml, SHA-256 0123456789abcdef..."),
    ],
)  # fmt: skip
def test_an_answer_in_one_line(answer: Answer, words: str) -> None:
    """Each kind of answer, whole."""
    assert answer_text(answer) == words


def test_a_choice_is_said_by_its_meaning_where_the_step_is_known() -> None:
    """The word that was chosen stands for a sentence of the rule file."""
    assert answer_text(Chosen("winch"), small().step("way")) == "With a winch"
    assert answer_text(Chosen("crane"), small().step("way")) == "crane"


@pytest.mark.parametrize(
    ("step_id", "words"),
    [
        ("crew", "1 in charge, 1 worker"),
        ("way", ""),
        ("marked", "a no stops the work"),
        ("height", ""),
        ("tags", "a lock and tag for the rotator; the lock at the point decides"),
        ("lines", "computed: Distance from a power line"),
        ("call", ""),
    ],
)
def test_what_a_step_takes(step_id: str, words: str) -> None:
    """In a few words; nothing where the question says it all."""
    assert needs_text(small().step(step_id)) == words


def test_a_limit_is_said_to_the_strict_side_with_its_source() -> None:
    """What stops stands before what cautions, and each names where it is from."""
    step = small().step("gust")
    stops, cautions = limits_text(step)

    assert stops.startswith("above ")
    assert " stops: " in stops
    assert " is a caution: " in cautions
    assert limits_text(small().step("way")) == ()
    assert limits_text(small().step("height")) == ()


def test_a_way_names_its_evidence_and_whether_the_answer_stays() -> None:
    """Moving the work changes the answer; a grounded line leaves it as it is."""
    moved, grounded = small().step("lines").ways

    assert way_text(moved) == "Move the work. Evidence: What was moved."
    assert way_text(grounded) == (
        "Have the utility switch off and ground the line. (the answer stays) "
        "Evidence: Order number, Where the grounds are seen."
    )


def test_a_stop_that_was_answered_is_one_line() -> None:
    """What was done, and the evidence label by label."""
    clearing = Clearing("Have the lines marked.", {"Ticket number": "7", "Date": "2026-11-24"})

    assert clearing_text(clearing) == "Have the lines marked. Ticket number: 7; Date: 2026-11-24"


def test_how_a_walk_stands() -> None:
    """Counted, with stops and cautions, and never a permission."""
    begun = new().progress(at(0))
    stopped = say(new(), "marked", "no").progress(at(0))
    whole = walked().progress(at(0))
    gusty = walked(gust="16 mph").progress(at(0))

    assert standing_text(begun) == "0 of up to 9   no stop so far"
    assert standing_text(stopped) == "1 of up to 9   STOP 1"
    assert standing_text(whole) == "8 of 8   no stop found"
    assert standing_text(gusty) == "8 of 8   caution 1"


def test_after_a_stop_was_answered_it_is_not_said_that_there_was_none() -> None:
    """`No stop so far` would deny what happened; that none stands is all that can be said."""
    walk = say(say(new(), "marked", "no"), "marked", "yes", why="ticket 7")

    assert standing_text(walk.progress(at(0))) == "1 of up to 9   no stop stands"


def test_work_that_somebody_stopped_is_said_before_anything_else() -> None:
    """However many stops there are, the one line is that the work is stopped."""
    walk = say(new(), "marked", "no").with_event(WorkStopped("thunder", at()))

    assert standing_text(walk.progress(at(0))) == "1 of up to 9   WORK STOPPED"


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "0 min"),
        (30, "30 min"),
        (59, "59 min"),
        (60, "1 h"),
        (90, "90 min"),
        (720, "12 h"),
        (1440, "1 day"),
        (1500, "25 h"),
        (10080, "7 days"),
    ],
)
def test_a_duration_is_said_in_its_largest_whole_unit(minutes: int, words: str) -> None:
    """Nothing is rounded away: an hour and a half are 90 minutes."""
    assert life_text(timedelta(minutes=minutes)) == words


def test_seconds_are_rounded_to_minutes() -> None:
    """Half a minute and a bit is a minute."""
    assert life_text(timedelta(seconds=89)) == "1 min"
    assert life_text(timedelta(seconds=31)) == "1 min"
