"""A walk held against a club's own value says so at the step, in the judgement and at the end."""

from __future__ import annotations

import json
from typing import Any

import pytest

from checklist.calculations import CALCULATIONS
from checklist.rulebook import Book, Strictness
from checklist.rulefile import Effect, Reading, RuleFile, load_rule_file
from checklist.walk.entry import read_answer
from checklist.walk.stored import as_data, from_data
from checklist.walk.summary import summary_lines
from checklist.walk.walk import Walk
from checklist.walk.wording import limits_text
from tests.rulebook.clubs import NOTE, book_with, overlay
from tests.rulefile.making import SMALL
from tests.walk.making import at

GUST = "site/gust-stop"


def rules_with(book: Book, text: str = SMALL) -> RuleFile:
    return load_rule_file(text, "mast-base.yaml", book, CALCULATIONS)


def answered(book: Book, gust: str) -> tuple[Walk, Any]:
    """Return a walk after the gust was answered, and that event."""
    rules = rules_with(book)
    walk = Walk(rules, book)
    step = rules.step("gust")
    assert isinstance(step.kind, Reading)
    given = read_answer(step, gust, instrument=step.kind.instrument)
    event = walk.answered("gust", given, at())
    return walk.with_event(event), event


@pytest.mark.parametrize(
    ("club", "gust", "effect", "said"),
    [
        ("15 mph", "16 mph", Effect.STOP, False),
        ("15 mph", "14 mph", Effect.CLEAR, False),
        ("20 mph", "14 mph", Effect.CLEAR, False),
        ("25 mph", "22 mph", Effect.CAUTION, True),
        ("25 mph", "8 mph", Effect.CAUTION, True),
        ("25 mph", "26 mph", Effect.STOP, False),
    ],
)
def test_a_laxer_club_limit_is_a_caution_wherever_it_decides(
    club: str, gust: str, effect: Effect, said: bool
) -> None:
    """20 mph shipped: a stricter limit stops sooner, a laxer one never passes without a word."""
    _, event = answered(book_with(overlay(GUST, club)), gust)
    judgement = event.judgement

    assert judgement.effect is effect
    assert any("club value 25 mph instead of 20 mph (laxer)" in b for b in judgement.because) is (
        said
    )


def test_the_step_shows_what_was_replaced_before_it_is_answered() -> None:
    """The club's limit, the shipped one with its citation, who decided and when."""
    book = book_with(overlay(GUST, "15 mph"))
    lines = "\n".join(limits_text(rules_with(book).step("gust")))

    assert "above 15 mph" in lines
    assert f"club value 15 mph instead of 20 mph (stricter), {NOTE}; shipped: Common" in lines


def test_a_limit_used_from_the_other_side_is_called_by_that_side() -> None:
    """Where a club's file stops below a value that is stricter lower, less is laxer there."""
    text = SMALL.replace("stop: {above: site/gust-stop}", "stop: {below: site/gust-stop}")
    book = book_with(overlay(GUST, "15 mph"))
    kind = rules_with(book, text).step("gust").kind

    assert isinstance(kind, Reading)
    assert kind.stop.below is not None
    assert kind.stop.below.cited.replaced is not None
    assert kind.stop.below.cited.replaced.strictness is Strictness.LAXER


def test_the_record_of_an_answer_keeps_both_values() -> None:
    """The event comes back whole, and its data names the shipped value beside the club's."""
    walk, event = answered(book_with(overlay(GUST, "25 mph")), "22 mph")
    what, data = as_data(event)
    back = from_data(what, json.loads(json.dumps(data)), event.at)
    used = data["judgement"]["used"][0]

    assert back == event
    assert (used["value"], used["instead-of"]["value"]) == ("25 mph", "20 mph")
    assert used["instead-of"]["strictness"] == "laxer"
    assert walk.events == (event,)


def test_what_is_signed_lists_the_club_values() -> None:
    """The summary before signing has a heading of its own for them; without any it has none."""
    with_club, _ = answered(book_with(overlay(GUST, "15 mph")), "8 mph")
    without, _ = answered(book_with(), "8 mph")
    heading = "CLUB VALUES IN THE PLACE OF SHIPPED ONES"
    lines = summary_lines(with_club, at())

    assert NOTE in lines[lines.index(heading) + 1]
    assert heading not in summary_lines(without, at())
