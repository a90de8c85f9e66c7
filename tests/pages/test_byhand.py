"""Sums done with a pen: the form tells what they are held against."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from checklist.calculations.kinds import Calculation, Outcome
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import run
from checklist.pages.byhand import BY_HAND, HERE, judged_by_hand
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

    assert [c for c in summed(name) if c not in BY_HAND] == [], (
        "say in checklist/pages/byhand.py with what a hand compares the result"
    )
    assert [s for c in summed(name) for s in judged_by_hand(c) if s not in text] == []


def test_what_is_told_is_of_calculations_that_there_are() -> None:
    """A calculation that was renamed does not leave its sentences behind."""
    assert set(BY_HAND) <= {c.name for c in CALCULATIONS.values()}


def test_a_calculation_without_words_is_not_judged_by_hand() -> None:
    """A club's form with another calculation says that paper cannot judge it."""
    assert judged_by_hand("side-flash")[0].startswith("Not shown: ")


CASES: dict[str, dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("byhand_cases.yaml").read_text(encoding="utf-8")
)["cases"]


def cases() -> Iterator[tuple[str, str, str, dict[str, str]]]:
    """Yield calculation, how the sentence begins, what it comes to, and all inputs."""
    for name, calculation in CASES.items():
        base = calculation.get("base", {})
        for sentence in calculation["sentences"]:
            for changed in sentence.get("given", ()):
                yield name, sentence["when"], sentence["is"], {**base, **changed}
            for left_out in sentence.get("without", ()):
                kept = {key: value for key, value in base.items() if key not in left_out}
                yield name, sentence["when"], sentence["is"], kept


def text_of(name: str, when: str) -> str:
    return next(text for _, text in BY_HAND[name] if text.startswith(when))


def came_to(name: str, given: dict[str, str], book: Book) -> str:
    """Return what the program calls it, in the words of paper."""
    result = run(name, given, book).result
    is_caution = result.outcome is Outcome.WITHIN and result.cautions
    return "caution" if is_caution else result.outcome.value


@pytest.mark.parametrize("name", [name for name in CASES if "base" in CASES[name]])
def test_what_no_sentence_forbids_is_within(name: str, book: Book) -> None:
    """The case from which each sentence is reached comes to within, without another caution."""
    assert came_to(name, CASES[name]["base"], book) == CASES[name].get("always", "within")


@pytest.mark.parametrize(("name", "when", "outcome", "given"), list(cases()))
def test_program_comes_to_what_paper_comes_to(
    name: str, when: str, outcome: str, given: dict[str, str], book: Book
) -> None:
    """A hand that follows one sentence of the form ends where the program ends."""
    said = [result.casefold() for result, text in BY_HAND[name] if text.startswith(when)]

    assert said == [outcome]
    assert came_to(name, given, book) == outcome
    assert outcome == "caution" or len(run(name, given, book).result.stops) == (
        2 if "while the voltage" in text_of(name, when) else 1
    )


@pytest.mark.parametrize("name", CASES)
def test_paper_is_not_stricter_than_the_program(name: str, book: Book) -> None:
    """What a sentence leaves out is left out by the program too: a set of one leg has no half."""
    calculation = CASES[name]
    for sentence in calculation["sentences"]:
        for changed in sentence.get("spares", ()):
            given = {**calculation["base"], **changed}

            assert came_to(name, given, book) == calculation.get("always", "within")


@pytest.mark.parametrize("name", BY_HAND)
def test_every_sentence_has_its_case(name: str) -> None:
    """No sentence on paper was written without being held against the program."""
    sentences = [text for outcome, text in BY_HAND[name] if outcome != HERE]
    begun = [case["when"] for case in CASES[name]["sentences"]]

    assert [text for text in sentences if not any(text.startswith(w) for w in begun)] == []
