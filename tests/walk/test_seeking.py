"""A step that wants points free of locks and tags: what stops it, and what answers that."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from checklist.rulefile import Effect, TagsOff
from checklist.walk.answers import HungTag, SeenLog, Sought
from checklist.walk.entry import read_answer
from checklist.walk.entrylines import AnswerRefused
from checklist.walk.events import Answered
from checklist.walk.examples import run_example
from checklist.walk.judge import judge
from checklist.walk.stored import as_data, from_data
from checklist.walk.storedfields import RecordUnreadable
from checklist.walk.wording import answer_text
from tests.rulebook.clubs import book_with, overlay
from tests.rulefile.making import book, changed, errors_of, loaded
from tests.walk.making import at

FREE = changed(
    ("        ask: Lock and tag the rotator.\n", "        ask: Is the rotator free of locks?\n"),
    ("        tag: {each: the rotator}\n", "        tag: {free: the plug of the rotator}\n"),
    ("        does-not-apply: yes\n", ""),
    (
        '      tags: ["breaker 14, lock 5, Tamsin Oakes"]\n',
        "      tags: {points: [breaker 14], others: none}\n",
    ),
)
"""The small rule file with its tag step in the second form."""

STEP = loaded(FREE).step("tags")
POINT = {"points": ["breaker 14"]}
TWO = {"counted-by": ["Wren Holloway", "Tamsin Oakes"]}


def effect(**typed: Any) -> tuple[Effect, tuple[str, ...]]:
    written = {name.replace("_", "-"): value for name, value in typed.items()}
    found = judge(STEP, read_answer(STEP, POINT | written), {}, book())
    return found.effect, found.because


def test_second_form_is_a_kind_of_its_own() -> None:
    """`tag: {free: ...}` compiles to a step about points that must be free, and can stop."""
    assert isinstance(STEP.kind, TagsOff)
    assert STEP.kind.free == "the plug of the rotator"
    assert STEP.ways


def test_examples_can_say_what_hangs() -> None:
    """An example of such a step runs: free by the first answer, stopped by one that hangs."""
    stopped = (
        FREE
        + """\
  - name: a lock hangs
    same-as: in order
    answers: {tags: {points: [breaker 14], others: none, hangs: ["breaker 14, 5, Wren Oakes"]}}
    verdict: stopped
    stops: [tags]
"""
    )
    rules = loaded(stopped)

    assert [run_example(rules, e, book()).wrong for e in rules.examples] == [(), (), ()]


@pytest.mark.parametrize("typed", [{}, {"others": "not read"}])
def test_log_that_is_not_here_cannot_tell(typed: dict[str, Any]) -> None:
    """Where another laptop's log is missing the step stops, and names both ways out."""
    found, because = effect(**typed)

    assert found is Effect.STOP
    assert because == (
        "cannot tell: another laptop's log is not here; read that log here, or have two people "
        "count the locks at the point",
    )


def test_only_laptop_and_nothing_hangs_goes_on() -> None:
    """With no other laptop and nothing hanging the step does not stop."""
    assert effect(others="none") == (Effect.CLEAR, ())


def test_only_laptop_that_read_another_log_cannot_tell() -> None:
    """“No other laptop” does not stand against a log that was read here."""
    found, because = effect(others="none", logs=["5 min"])

    assert found is Effect.STOP
    assert because[0].startswith("cannot tell")


@pytest.mark.parametrize(
    ("logs", "wanted"),
    [
        (["0 min"], Effect.CLEAR),
        (["60 min", "5 min"], Effect.CLEAR),
        (["61 min"], Effect.STOP),
        (["5 min", "3 d"], Effect.STOP),
        ([], Effect.STOP),
    ],
    ids=["just read", "at the limit", "just beyond", "one of two too old", "none read"],
)
def test_logs_count_while_they_are_fresh(logs: list[str], wanted: Effect) -> None:
    """Every log read here must be younger than the table's value; equal counts."""
    assert effect(others="read", logs=logs)[0] is wanted


def test_age_of_a_log_is_cited() -> None:
    """The limit that a log's age was held against is kept with the judgement."""
    found = judge(
        STEP, read_answer(STEP, POINT | {"others": "read", "logs": ["5 min"]}), {}, book()
    )

    assert [cited.address for cited in found.used] == ["tags/log-age"]


def test_what_cannot_tell_says_why() -> None:
    """One who counted alone, and a log that was read too long ago, each with the way out."""
    hour = datetime(2026, 11, 25, 9, tzinfo=UTC)
    read = SeenLog("ab" * 16, hour)
    alone = Sought(("breaker 14",), "not read", ("Wren Holloway",), "0")
    old = Sought(("breaker 14",), "read", logs=(read,), at=hour.replace(hour=11))

    assert judge(STEP, alone, {}, book()).because == (
        "cannot tell: the locks were not counted by two different people",
    )
    assert judge(STEP, old, {}, book()).because == (
        "cannot tell: the log of laptop abababab was read 2 h ago, at most 1 h counts; read that "
        "log here, or have two people count the locks at the point",
    )


def test_two_people_who_count_none_answer_cannot_tell() -> None:
    """Two names and a count of nought go on although a log is missing."""
    assert effect(others="not read", count="0", **TWO) == (Effect.CLEAR, ())


def test_count_of_some_stops() -> None:
    """Locks that were counted stop, whatever the logs say."""
    found, because = effect(others="none", count="2", **TWO)

    assert found is Effect.STOP
    assert "2" in because[0]


@pytest.mark.parametrize("more", [{}, {"others": "none"}, {"count": "0", **TWO}])
def test_tag_that_hangs_stops_always(more: dict[str, Any]) -> None:
    """A tag that is known to hang stops even where two people count no lock."""
    found, because = effect(hangs=["breaker 14, 5, Wren Holloway"], **more)

    assert found is Effect.STOP
    assert because == ("lock 5 of Wren Holloway hangs at breaker 14, as far as the logs here tell",)


def test_log_that_cannot_be_read_cannot_tell() -> None:
    """A flaw in the logs that are here stops, until two people have counted the locks."""
    flawed = Sought(("breaker 14",), "none", unread=("Entry 3 cannot be read.",))
    counted = replace(flawed, counted_by=("Wren Holloway", "Tamsin Oakes"), count="0")

    assert judge(STEP, flawed, {}, book()).because[0].startswith("cannot tell: Entry 3")
    assert judge(STEP, counted, {}, book()).effect is Effect.CLEAR


def test_dont_know_stops() -> None:
    """Don't know stops, as everywhere."""
    assert judge(STEP, read_answer(STEP, "?"), {}, book()).effect is Effect.STOP


@pytest.mark.parametrize(
    "typed",
    [
        "breaker 14",
        {"points": ["breaker 14"], "other": "none"},
        {"points": ["breaker 14"], "others": "maybe"},
        {"points": ["breaker 14"], "count": "none", **TWO},
        {"points": ["breaker 14"], "count": "٠", **TWO},
        {"points": ["breaker 14"], "count": "0"},
        {"points": ["breaker 14"], "count": "0", "counted-by": ["Wren", "WREN"]},
        {"points": ["breaker 14"], "counted-by": ["Wren", "Tamsin"]},
        {"points": ["break\x07er"], "others": "none"},
    ],
)
def test_what_is_no_answer_is_refused(typed: Any) -> None:
    """Half counts, one person twice and unknown words are refused in one sentence."""
    with pytest.raises(AnswerRefused):
        read_answer(STEP, typed)


def test_points_are_needed() -> None:
    """Without a point, or with dots for one, the walk does not take the answer."""
    from checklist.walk.fitting import misfit

    for points in ((), ("...",)):
        assert misfit(STEP, Sought(points, "none"), at().date())


def test_answer_is_stored_and_read_back() -> None:
    """Points, count, what hung and which logs were read come back as they were."""
    sought = Sought(
        ("breaker 14",),
        "read",
        ("Wren Holloway", "Zoë [/b]"),
        "0",
        (HungTag("breaker 14", "5", "Orrin Vale"),),
        (SeenLog("ab" * 16, datetime(2026, 11, 25, 9, tzinfo=UTC)),),
        datetime(2026, 11, 25, 9, 41, tzinfo=UTC),
        ("Entry 3 cannot be read.",),
    )
    event = Answered("tags", sought, judge(STEP, sought, {}, book()), at(), {})

    assert from_data(*as_data(event), at()) == event
    assert "Orrin Vale" in answer_text(sought, STEP)


@pytest.mark.parametrize(
    ("sought", "says"),
    [
        ({"points": "breaker 14", "others": "none"}, "“points” is not a list of texts"),
        ({"points": ["x"], "others": "all"}, "“all” says nothing about other laptops"),
        ({"points": ["x"], "others": "none", "looked at": "today"}, "answered"),
        (
            {"points": ["x"], "others": "none", "looked at": "2026-11-25T09:00:00"},
            "“looked at” is a time without its offset",
        ),
        (
            {
                "points": ["x"],
                "others": "none",
                "hangs": [{"point": 1, "lock": "5", "person": "a"}],
            },
            "answered",
        ),
        ({"points": ["x"], "others": "none", "logs": ["ab"]}, "answered"),
    ],
)
def test_stored_nonsense_is_refused(sought: dict[str, Any], says: str) -> None:
    """What is no such answer raises one kind of error, down to the last text."""
    data = {"step": "tags", "answer": {"sought": sought}, "judgement": {"effect": "clear"}}

    with pytest.raises(RecordUnreadable, match=says):
        from_data("answered", data, at())


@pytest.mark.parametrize(
    ("tag", "says"),
    [
        ("{}", "each: what is locked"),
        ("{free: the plug, each: the rotator}", "each: what is locked"),
        ("{points: the plug}", "points"),
    ],
)
def test_form_is_one_of_two(tag: str, says: str) -> None:
    """A tag step says what is locked, or what is free, and not both or neither."""
    wrong = errors_of(changed(("{each: the rotator}", tag)))

    assert any(says in sentence for sentence in wrong)


def test_nothing_softens_a_tag_that_may_hang() -> None:
    """`unknown: caution` is refused where a point must be free."""
    softer = FREE.replace("rotator}\n", "rotator}\n        unknown: caution\n", 1)

    assert any("nothing softens that" in sentence for sentence in errors_of(softer))


def test_another_age_of_logs_of_the_club_is_a_caution() -> None:
    """Where a club lets logs grow older, what rests on that is said; a stop needs no more."""
    held = book_with(overlay("tags/log-age", "5 h"))
    fresh, old = (
        judge(STEP, read_answer(STEP, POINT | {"others": "read", "logs": [ago]}), {}, held)
        for ago in ("1 h", "6 h")
    )

    assert fresh.effect is Effect.CAUTION
    assert "club value 5 h instead of 1 h (not shown to be as strict)" in fresh.because[0]
    assert old.effect is Effect.STOP
    assert not any("club value" in sentence for sentence in old.because)
