"""What was typed, read strictly: one sentence for what is no answer, and no way round it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.errors import StandclearError
from checklist.rulefile import Role
from checklist.walk.answers import DONT_KNOW, Chosen, HungTag, Measured, Person, Present, Written
from checklist.walk.entry import AnswerRefused, read_answer, read_date, read_person, read_tag
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from tests.rulefile.making import book, changed, loaded, small
from tests.walk.making import START

STEPS = [step.id for step in small().steps]


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
        ("height", "-1 ft", "“-1 ft” is below zero. As in 30 ft."),
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
        ("lines", {"mast-height": "30 ft"}, "“mast-height” is not asked here."),
        ("lines", {"line-voltage": {"a": "b"}}, "a list of lines is needed."
         " Write each on a line of its own."),
        ("lines", {"does not apply": "no line", "ground-distance": "9 ft"},
         "“does not apply” is not asked here."),
        ("marked", {"does not apply": "no digging"}, "this step applies always."
         " Answer it, or say don't know."),
        ("tags", {"does not apply": ""}, "does not apply: a reason is needed. Say why, in words."),
        ("tags", {"does not apply": ["x"]}, "one text is needed here. Write it as one text."),
    ],
)  # fmt: skip
def test_what_is_no_answer_gets_one_sentence(step_id: str, typed: Any, says: str) -> None:
    """What is wrong, and what would be right."""
    with pytest.raises(AnswerRefused) as refused:
        read(step_id, typed)

    assert refused.value.sentence().startswith(says)
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


def test_people_and_tags_are_read_from_lines() -> None:
    """As a list, or as one text with a line for each."""
    people = Present(
        (Person("Wren Holloway", Role.IN_CHARGE), Person("Tamsin", Role.WORKER, "2025-04-01"))
    )

    assert read("crew", "Wren Holloway, in charge\n\nTamsin, worker, trained 2025-04\n") == people
    assert read("crew", ["Wren Holloway, in charge", "Tamsin, worker, 2025-04-01"]) == people
    assert read_tag("breaker 14 , lock 5,Wren") == HungTag("breaker 14", "lock 5", "Wren")
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
