"""Sums done with a pen: the form tells what they are held against."""

from __future__ import annotations

import pytest

from checklist.calculations.kinds import Calculation, Outcome
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import run
from checklist.pages.byhand import BY_HAND, OVER, judged_by_hand
from checklist.pages.form import blank_form
from checklist.pages.plaindraw import as_sentences
from checklist.rulebook import Book
from checklist.rulefile import Compute
from checklist.sessions.library import RULE_FILE, Library
from tests.pages.test_form import SHIPPED, loaded


def summed(name: str) -> dict[str, Calculation]:
    """Return the calculations that a shipped rule file works out from typed inputs."""
    kinds = [s.kind for s in loaded(name).rule_file.steps if isinstance(s.kind, Compute)]
    return {kind.calculation.name: kind.calculation for kind in kinds}


@pytest.fixture(scope="module")
def book() -> Book:
    return Library().book()


@pytest.mark.parametrize("name", SHIPPED)
def test_every_sum_says_when_it_is_over(name: str) -> None:
    """No sum of a shipped form leaves it to the reader what its result is compared with."""
    one = loaded(name)
    text = as_sentences(blank_form(one.rule_file, one.book, one.texts[RULE_FILE]))

    assert [c for c in summed(name) if c not in BY_HAND] == []
    assert [s for c in summed(name) for s in judged_by_hand(c) if s not in text] == []


def test_what_is_told_is_of_calculations_that_there_are() -> None:
    """A calculation that was renamed does not leave its sentences behind."""
    assert set(BY_HAND) <= {c.name for c in CALCULATIONS.values()}


def test_a_calculation_without_words_is_not_judged_by_hand() -> None:
    """A club's form with another calculation says that paper cannot judge it."""
    assert judged_by_hand("side-flash")[0].startswith("Not shown: ")


OVERS = [
    ("fall-clearance", {"clear-height": "40 ft", "connector": "lanyard", "anchor-at": "below",
                        "lanyard": "6 ft"}, "the anchor is below the D-ring"),
    ("fall-clearance", {"clear-height": "40 ft", "connector": "lanyard", "anchor-at": "level",
                        "lanyard": "7 ft"}, "longer than the longest free fall"),
    ("carbon-monoxide", {"place": "inside", "volume": "30 m3", "air-changes": "1 1/h",
                         "minutes": "1 min"}, "the engine runs inside"),
    ("ladder-set-back", {"working-length": "20 ft", "set-back": "7 ft"}, "farther out"),
    ("wind-chill", {"temperature": "-30 degF", "wind": "30 mph"}, "below the temperature of"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given", "says"), OVERS)
def test_what_paper_calls_over_the_program_calls_over(
    name: str, given: dict[str, str], says: str, book: Book
) -> None:
    """A hand that follows the sentence stops where the program stops."""
    sentences = [when for outcome, when in BY_HAND[name] if outcome == OVER]

    assert any(says in when for when in sentences)
    assert run(name, given, book).result.outcome is Outcome.OVER
