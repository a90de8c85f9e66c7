"""What people read of a finding."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from checklist.calculations import Outcome, as_text, run
from checklist.rulebook import Book
from tests.calculations.examples import FOURTH, OTHERS, THIRD, WITHIN

_RUNS = [item for runs in (WITHIN, OTHERS, THIRD, FOURTH) for item in runs.items()]


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_no_finding_says_safe_but_in_not_shown(
    name: str, typed: dict[str, str], book: Book
) -> None:
    """The word stands only in “not shown to be safe”."""
    text = as_text(run(name, typed, book)).casefold()
    rest = text.replace("not shown to be safe", "")

    assert not re.search(r"\bsafe\b", rest)


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_everything_that_matters_is_said(name: str, typed: dict[str, str], book: Book) -> None:
    """Verdict first, then the sentence, the numbers, the arithmetic, sources and assumptions."""
    finding = run(name, typed, book)
    text = as_text(finding)

    assert text.splitlines()[2].strip() == finding.result.says
    for part in (*finding.result.stops, *finding.result.cautions, *finding.result.lines):
        assert part in text
    for cited in finding.result.used:
        assert cited.citation in text


def test_feet_and_metres_stand_together(book: Book) -> None:
    """A length is read in both worlds, and a plain ratio has no unit."""
    text = as_text(run("power-line-distance", WITHIN["power-line-distance"], book))

    assert "90 ft (27.4 m)" in text
    assert re.search(r"\(they ask 1\.5 to 2\): 1\.5 \[", text)


def test_an_unverified_source_is_marked(book: Book) -> None:
    """A citation from memory is shown as unverified, common practice as without source."""
    text = as_text(run("generator-fuel", OTHERS["generator-fuel"], book))

    assert "(from memory: unverified)" in text
    assert "no source" in as_text(run("ladder-set-back", WITHIN["ladder-set-back"], book))


def test_the_words_of_each_outcome(book: Book) -> None:
    """Over and not shown both say stop."""
    typed = WITHIN["ladder-set-back"]
    within = as_text(run("ladder-set-back", typed, book))
    over = as_text(run("ladder-set-back", {**typed, "set-back": "9 ft"}, book))
    unknown = as_text(run("ladder-set-back", {**typed, "set-back": "?"}, book))

    assert [text.splitlines()[1].split(":")[0] for text in (within, over, unknown)] == [
        "WITHIN the limits that were compared",
        "OVER",
        "NOT SHOWN to be safe",
    ]
    assert "stop" in over.splitlines()[1]
    assert "stop" in unknown.splitlines()[1]


def test_an_old_finding_is_shown_without_the_new_formula(book: Book) -> None:
    """A finding of another version, or of a calculation that is gone, is still readable."""
    finding = run("ladder-set-back", WITHIN["ladder-set-back"], book)
    older = as_text(replace(finding, version=99))
    gone = as_text(replace(finding, calculation="sky-hook"))

    assert "another version" in older
    assert gone.splitlines()[0] == "sky-hook"
    assert "another version" in gone


def test_the_carbon_monoxide_picture_never_permits(book: Book) -> None:
    """It says so on every finding, and finds nothing within."""
    finding = run("carbon-monoxide", OTHERS["carbon-monoxide"], book)

    assert finding.result.outcome is Outcome.OVER
    assert as_text(finding).splitlines()[-1].endswith("it never permits it.")


def test_a_passing_number_never_reads_as_over(book: Book) -> None:
    """Exactly at the limit, both numbers are rounded alike."""
    typed = {**WITHIN["power-line-distance"], "ground-distance": "67.5 ft"}
    result = run("power-line-distance", {**typed, "sideways-reach": "0 ft"}, book).result

    assert result.outcome is Outcome.WITHIN
    assert "67.5 ft (20.6 m), needs 67.5 ft (20.6 m)" in result.says


def test_computed_needs_are_rounded_up_and_capacities_down(book: Book) -> None:
    """105 ft are 32.004 m: as a need they read 32.1 m; fuel for 14.28 h reads 14.2 h."""
    typed = {**WITHIN["power-line-distance"], "mast-height": "65 ft", "ground-distance": "200 ft"}
    need = as_text(run("power-line-distance", typed, book))
    lasts = as_text(run("generator-fuel", WITHIN["generator-fuel"], book))

    assert "the distance on the ground that is needed: 105 ft (32.1 m)" in need
    assert "how long the fuel at hand lasts: 14.2 h" in lasts
