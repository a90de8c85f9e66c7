"""What was typed, read strictly: one sentence for what is no answer, and no way round it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.errors import StandclearError
from checklist.rulefile import OfStation, Role
from checklist.walk.answers import (
    DONT_KNOW,
    Chosen,
    DoesNotApply,
    HungTag,
    Measured,
    Person,
    Present,
    Sought,
    Written,
)
from checklist.walk.entry import read_answer
from checklist.walk.entrylines import AnswerRefused, read_date, read_person, read_tag
from checklist.walk.entrylookups import read_described, read_sought
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from tests.rulefile.making import book, changed, loaded, small
from tests.walk.making import START

STEPS = [step.id for step in small().steps]


LONG = "x" * 81
TOO_LONG = "the text has 81 characters. At most 80 fit; attach a file for more."
HARMFUL = "is U+001B, which cannot be kept. Type it again in plain characters."


def read(step_id: str, typed: Any, instrument: str = "gauge 1") -> Any:
    return read_answer(small().step(step_id), typed, instrument=instrument)


@pytest.mark.parametrize("step_id", STEPS)
@pytest.mark.parametrize(
    "typed", ["don't know", "Don’t know", " DON'T  KNOW ", "dont know", "unknown", "?"]
)
def test_dont_know_is_an_answer_to_every_step_however_it_is_typed(step_id: str, typed: str) -> None:
    """With a straight or a curly apostrophe, in any case: never a text that clears the step."""
    assert read(step_id, typed) == DONT_KNOW


def test_a_choice_may_have_a_value_called_unknown() -> None:
    """The value of the file goes before the general word."""
    rules = loaded(
        changed(("winch: With a winch", "unknown: Nobody knows"), ("is: winch", "is: hand"))
    )

    assert read_answer(rules.step("way"), "unknown") == Chosen("unknown")
    assert read_answer(rules.step("way"), "?") == DONT_KNOW


@pytest.mark.parametrize(
    ("step_id", "typed", "says"),
    [
        ("marked", "maybe", "“maybe” is no answer here. Say yes, no or don't know."),
        ("marked", "", "“” is no answer here. Say yes, no or don't know."),
        ("marked", True, "one text is needed here. Write it as one text."),
        ("marked", ["yes"], "one text is needed here. Write it as one text."),
        ("height", "30", "“30” has no unit. Give a number and a unit: m, cm, mm, km, ft, in."),
        ("height", "-1 ft", "“-1 ft” is below zero, which this can never be. Give it as 30 ft."),
        ("height", ["30 ft"], "one text is needed here. Write it as one text."),
        ("way", "rope", "“rope” is not among the values. Choose of hand, winch, car."),
        ("way", ["hand"], "one text is needed here. Write it as one text."),
        ("way", {"hand": "x"}, "one text is needed here. Write it as one text."),
        ("call", "", "nothing is said. Write it, or say don't know."),
        ("call", " - ", "nothing is said. Write it, or say don't know."),
        ("call", "\u200d", "nothing is said. Write it, or say don't know."),
        ("call", {"a": "b"}, "one text is needed here. Write it as one text."),
        ("tags", "plug, 4", "“plug, 4” is not a point, a lock and a person."
         " Write: mark at the point, number of the lock, who hung it."),
        ("tags", ["plug,,Wren"], "“plug,,Wren” is not a point, a lock and a person."
         " Write: mark at the point, number of the lock, who hung it."),
        ("tags", ["plug, -, Wren"], "“plug, -, Wren” is not a point, a lock and a person."
         " Write: mark at the point, number of the lock, who hung it."),
        ("tags", ["plug, 4, Wren, 5"], "“plug, 4, Wren, 5” is not a point, a lock and a person."
         " Write: mark at the point, number of the lock, who hung it."),
        ("tags", f"{LONG}, 4, Wren", f"tag: {TOO_LONG}"),
        ("tags", {"plug": "4"}, "a list of lines is needed. Write each on a line of its own."),
        ("tags", [["plug", "4"]], "one text is needed here. Write it as one text."),
        ("crew", "Wren", "“Wren” is not a name and a role."
         " Write: Name, role, or: Name, role, trained 2025-04-01."),
        ("crew", ", worker", "“, worker” is not a name and a role."
         " Write: Name, role, or: Name, role, trained 2025-04-01."),
        ("crew", "Wren, climber", "“climber” is not a role."
         " There are in charge, worker, helper, safety officer."),
        ("crew", "Wren, worker, trained soon", "training: “soon” is not a date."
         " Write it as 2025-04-01 or 2025-04."),
        ("lines", "far", "the inputs are missing. Give each input by its name."),
        ("crew", "Wren, worker, trained 2025-04-01, x", "“Wren, worker, trained 2025-04-01, x” is"
         " not a name and a role. Write: Name, role, or: Name, role, trained 2025-04-01."),
        ("crew", f"{LONG}, worker", f"person: {TOO_LONG}"),
        ("crew", "Wr\x1ben, worker", f"line: character 3 {HARMFUL}"),
        ("call", "a\x1bb", f"text: character 2 {HARMFUL}"),
        ("height", "30\x1b ft", f"reading: character 3 {HARMFUL}"),
        ("height", "30 kg", "“30 kg” is a mass, and a length is asked for."
         " Give a number and a unit: m, cm, mm, km, ft, in."),
        ("lines", {"mast-height": "30 ft"}, "“mast-height” is not asked here. Asked: above-top,"
         " sideways-reach, line-voltage, ground-distance, utility-clearance."),
        ("lines", {"line-voltage": "7\x1b"}, f"line-voltage: character 2 {HARMFUL}"),
        ("lines", {"line-voltage": "7 ft"}, "line-voltage: “7 ft” is a length, and a voltage is"
         " asked for. Give a number and a unit: V, mV, kV."),
        ("lines", {"line-voltage": {"a": "b"}}, "a list of lines is needed."
         " Write each on a line of its own."),
        ("lines", {"does not apply": "no line", "ground-distance": "9 ft"},
         "“does not apply” is not asked here. Asked: above-top,"
         " sideways-reach, line-voltage, ground-distance, utility-clearance."),
        ("marked", {"does not apply": "no digging"}, "this step applies always."
         " Answer it, or say don't know."),
        ("tags", {"does not apply": ""}, "does not apply: a reason is needed. Say why, in words."),
        ("tags", {"does not apply": "no"},
         "does not apply: a reason is needed. Say why, in words."),
        ("tags", {"does not apply": ["x"]}, "one text is needed here. Write it as one text."),
        ("tags", {"does not apply": "a\x1bb"}, f"reason: character 2 {HARMFUL}"),
    ],
)  # fmt: skip
def test_what_is_no_answer_gets_one_sentence(step_id: str, typed: Any, says: str) -> None:
    """What is wrong, and what would be right."""
    with pytest.raises(AnswerRefused) as refused:
        read(step_id, typed)

    assert refused.value.sentence() == says
    assert "\n" not in refused.value.sentence()


def test_a_reading_keeps_its_text_its_exact_value_and_its_instrument() -> None:
    """Typed and understood are both kept; nothing is rounded."""
    measured = read("gust", " 8.50  mph ", "anemometer 2")

    assert isinstance(measured, Measured)
    assert measured.quantity.typed == "8.50 mph"
    assert measured.quantity.text() == "8.5 mph"
    assert measured.instrument == "anemometer 2"


@pytest.mark.parametrize("instrument", ["", "  ", "-", "\u200d"])
def test_a_measured_reading_without_its_instrument_is_refused(instrument: str) -> None:
    """Where the step names a kind of instrument, one must be named; elsewhere none is asked."""
    with pytest.raises(AnswerRefused, match=r"instrument is missing\. Name the anemometer"):
        read("gust", "8 mph", instrument)

    assert read("height", "30 ft", instrument="").quantity.text() == "30 ft"


def test_nothing_stands_for_an_instrument_that_was_not_named() -> None:
    """Where the step wants one, a reading alone is refused."""
    with pytest.raises(AnswerRefused):
        read_answer(small().step("gust"), "8 mph")


def test_a_path_keeps_its_letters_and_loses_its_quotes() -> None:
    """Dropped on the window of a terminal, a path often comes in quotes."""
    kind = OfStation(next(iter(STATION_CALCULATIONS.values())))

    assert read_described(kind, "'/hill/plan X'").path == "/hill/plan X"


def test_an_instrument_is_named_in_a_text_that_may_be_kept() -> None:
    """At most 80 characters, none of them harmful; a reason of three letters is one."""
    assert read("gust", "8 mph", "x" * 80).instrument == "x" * 80
    assert read("call", "one\ntwo") == Written("one\ntwo")
    assert read("tags", {"does not apply": "dry"}) == DoesNotApply("dry")
    for name, says in (("g\x1b", f"instrument: character 2 {HARMFUL}"),
                       (LONG, f"instrument: {TOO_LONG}")):  # fmt: skip
        with pytest.raises(AnswerRefused) as refused:
            read("gust", "8 mph", name)
        assert refused.value.sentence() == says


def test_what_hangs_is_read_from_a_mapping() -> None:
    """Points, other logs, a count by two, and what stands in examples for what is looked up."""
    found = read_sought({
        "points": ["gate", "b14"], "others": "read", "count": " 002 ",
        "counted-by": ["Wren", "Tamsin", "Zoë"], "hangs": ["b14, 5, Wren"],
        "logs": ["90 min", "1 h"],
    })  # fmt: skip

    assert (found.points, found.others, found.count) == (("gate", "b14"), "read", "2")
    assert found.counted_by == ("Wren", "Tamsin", "Zoë")
    assert found.hangs == (HungTag("b14", "5", "Wren"),)
    assert found.at is not None
    assert [(log.origin, found.at - log.at) for log in found.logs] == [
        ("0" * 32, timedelta(minutes=90)),
        ("0" * 31 + "1", timedelta(hours=1)),
    ]
    assert read_sought({}) == Sought((), "not read", at=found.at)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("gate", "the points are missing. Give points, others, counted-by, count, hangs, logs."),
        ({"x": 1}, "the points are missing. Give points, others, counted-by, count, hangs, logs."),
        ({"points": [LONG]}, f"point: {TOO_LONG}"),
        ({"others": "some"}, "“some” says nothing about other laptops. Say none, read, not read."),
        ({"count": "2"}, "two different people count the locks at the point. Name both."),
        ({"counted-by": ["A", "B"]}, "“” is not a count. Count the locks: 0, 1, 2 ..."),
        ({"count": "1000", "counted-by": ["A", "B"]},
         "“1000” is not a count. Count the locks: 0, 1, 2 ..."),
        ({"count": "2", "counted-by": ["A", " a"]},
         "two different people count the locks at the point. Name both."),
        ({"count": "2", "counted-by": ["A", LONG]}, f"counted by: {TOO_LONG}"),
    ],
)  # fmt: skip
def test_what_is_no_answer_about_what_hangs(typed: Any, says: str) -> None:
    """A count without two people, or people without a count, is none."""
    with pytest.raises(StandclearError) as refused:
        read_sought(typed)

    assert refused.value.sentence() == says


def test_people_and_tags_are_read_from_lines() -> None:
    """As a list, or as one text with a line for each."""
    people = Present(
        (Person("Wren Holloway", Role.IN_CHARGE), Person("Tamsin", Role.WORKER, "2025-04-01"))
    )

    assert read("crew", "Wren Holloway, in charge\n\nTamsin, worker, trained 2025-04\n") == people
    assert read("crew", ["Wren Holloway, in charge", "Tamsin, worker, 2025-04-01"]) == people
    assert read_tag("breaker 14 , 5,Wren") == HungTag("breaker 14", "5", "Wren")


def test_a_lock_is_its_number_with_or_without_the_word() -> None:
    """Whoever writes `lock 5` means number 5: it is one lock, and not called `lock lock 5`."""
    for typed in ("lock 5", "Lock  5", "5"):
        assert read_tag(f"breaker 14, {typed}, Wren") == HungTag("breaker 14", "5", "Wren")
    assert read_tag("breaker 14, lock, Wren").lock == "lock"
    assert read_tag("breaker 14, locker 7, Wren").lock == "locker 7"
    assert read_person("Wren, helper, trained") == Person("Wren", Role.HELPER)


@pytest.mark.parametrize(
    ("typed", "date"), [("2025-04", "2025-04-01"), ("2024-02-29", "2024-02-29")]
)
def test_a_month_stands_for_its_first_day(typed: str, date: str) -> None:
    """A month alone is what a card often says; the earliest day is the strict one."""
    assert read_date(typed) == date


@pytest.mark.parametrize("typed", ["2025-02-30", "2025-13", "01/04/2025", "2025", "", "٢٠٢٥-٠٤"])
def test_what_is_no_date_is_refused(typed: str) -> None:
    """No guess at day and month."""
    with pytest.raises(AnswerRefused, match="not a date"):
        read_date(typed)


SCALARS = st.text(max_size=40) | st.sampled_from(
    ["yes", "30 ft", "hand", "unknown", "a, b, c", "Wren, worker", "1e99 ft", "nan m", "∞ ft"]
)
ANYTHING = st.recursive(
    SCALARS | st.none() | st.booleans() | st.integers(),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            SCALARS | st.sampled_from(["does not apply", "line-voltage", "above-top"]),
            inner,
            max_size=3,
        )
    ),
    max_leaves=6,
)


@given(st.sampled_from(STEPS), ANYTHING, SCALARS)
def test_whatever_is_typed_is_an_answer_that_fits_or_is_refused(
    step_id: str, typed: Any, instrument: str
) -> None:
    """Never another exception; and what is read fits its step and can be judged."""
    step = small().step(step_id)
    try:
        answer = read_answer(step, typed, instrument=instrument)
    except StandclearError as refused:
        assert refused.sentence()  # noqa: PT017  any refusal will do, as long as it is a sentence
        return

    assert misfit(step, answer, START.date()) == ""
    try:
        judgement = judge(step, answer, {"mast-height": "30 ft"}, book())
    except StandclearError:
        return  # a calculation that lacks inputs says so
    if isinstance(answer, Written):
        assert any(character.isalnum() for character in answer.text)
    assert judgement.effect in ("clear", "caution", "stop")
