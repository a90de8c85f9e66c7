"""A calculation for a class: listed by field, in whole sentences, old beside new."""

from __future__ import annotations

import pytest

from checklist.calculations import CALCULATIONS, Outcome, run
from checklist.calculations.lesson import (
    by_field,
    changes,
    example_inputs,
    in_both,
    said_of_inputs,
    sentences,
)
from checklist.rulebook import Book
from tests.calculations.examples import OTHERS, WITHIN

_LINE = WITHIN["power-line-distance"]


def test_every_calculation_stands_under_one_field() -> None:
    """No calculation is left out of the list, and none is there twice."""
    listed = [c.name for calculations in by_field().values() for c in calculations]

    assert sorted(listed) == sorted(CALCULATIONS)


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_example_runs_and_is_said_whole(name: str, book: Book) -> None:
    """The example of each runs; its sentences hold inputs, values, every line and the sources."""
    typed = example_inputs(CALCULATIONS[name], book)
    finding = run(name, typed, book)
    said = "\n".join(sentences(finding, book))

    for part in (*finding.result.lines, finding.result.says, CALCULATIONS[name].formula):
        assert part in said
    for source in CALCULATIONS[name].sources:
        assert book.source(source).citation() in said
    for wanted in typed:
        assert wanted in said


def test_what_changed_stands_beside_what_was(book: Book) -> None:
    """Nearer to the line: the finding changes from within to over, the needs stay unsaid."""
    before = run("power-line-distance", _LINE, book)
    after = run("power-line-distance", {**_LINE, "ground-distance": "41 ft"}, book)
    taller = run("power-line-distance", {**_LINE, "mast-height": "50 ft"}, book)

    assert changes(before, after) == ("the finding: was within, is over",)
    assert "the clearance from the line itself" not in " ".join(changes(before, taller))
    assert (
        "the distance on the ground that is needed: was 69 ft (21.1 m), is 82.5 ft (25.2 m)"
        in changes(before, taller)
    )
    assert changes(before, before) == ()


def test_what_comes_and_goes_is_said(book: Book) -> None:
    """An output that only one of two findings has is said to be new, or gone."""
    short = {k: v for k, v in WITHIN["bleed-down"].items() if k != "waited"}
    without, with_it = run("bleed-down", short, book), run("bleed-down", WITHIN["bleed-down"], book)

    assert any("was not there" in one for one in changes(without, with_it))
    assert any("is not there now" in one for one in changes(with_it, without))


@pytest.mark.parametrize(
    ("name", "text", "shown"),
    [
        ("mast-height", "40 ft", "40 ft (12.2 m)"),
        ("mast-height", "12.2 m", "12.2 m (40.0 ft)"),
        ("line-voltage", "7.2 kV", "7.2 kV"),
        ("mast-height", "tall", "tall"),
    ],
)
def test_both_worlds_stand_together(name: str, text: str, shown: str) -> None:
    """Feet are shown in metres and the other way round; what cannot be read stays as it is."""
    wanted = next(i for i in CALCULATIONS["power-line-distance"].inputs if i.name == name)

    assert in_both(wanted, text).replace("(40 ft)", "(40.0 ft)") == shown


def test_inputs_are_said_in_sentences(book: Book) -> None:
    """An unknown says so, a choice says what it means, rows are counted."""
    typed = {**OTHERS["carbon-monoxide"], "volume": "unknown"}
    said = said_of_inputs(CALCULATIONS["carbon-monoxide"], typed)
    loads = said_of_inputs(CALCULATIONS["generator-load"], WITHIN["generator-load"])

    assert any(one.startswith("volume is unknown") for one in said)
    assert loads[0].startswith("loads are 3: ")
    assert run("carbon-monoxide", typed, book).result.outcome is Outcome.OVER
