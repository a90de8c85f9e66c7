"""Stored findings are computed again by their own version, and by another only for comparison."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from checklist.audit.recompute import compare, tolerance_of
from checklist.calculations.kinds import Finding
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import run
from checklist.quantities import Quantity
from checklist.record.verifying.report import Outcome
from checklist.rulebook import Book
from checklist.sessions.library import Library

GIVEN = {"working-length": "20 ft", "set-back": "5 ft"}


@pytest.fixture(scope="module")
def book() -> Book:
    return Library().book()


def found(book: Book) -> Finding:
    return run("ladder-set-back", GIVEN, book)


def moved(finding: Finding, share: str) -> Finding:
    """Return the finding with its first output changed by a share of its value."""
    first, *rest = finding.result.outputs
    value = first.quantity.value * (1 + Decimal(share))
    changed = replace(first, quantity=Quantity(value, first.quantity.unit))
    return replace(finding, result=replace(finding.result, outputs=(changed, *rest)))


def test_the_same_version_gives_the_same(book: Book) -> None:
    """What was stored comes out again, and the sentence names the version."""
    outcome, said = compare(found(book), book)

    assert outcome is Outcome.HOLDS
    assert f"version {found(book).version}" in said


def test_within_its_tolerance_a_value_may_differ(book: Book) -> None:
    """Half the stated tolerance holds, ten times the tolerance fails, in both directions."""
    share = float(tolerance_of(CALCULATIONS["ladder-set-back"]))

    for way in (1, -1):
        assert compare(moved(found(book), f"{way * share / 2:.9f}"), book)[0] is Outcome.HOLDS
        assert compare(moved(found(book), f"{way * share * 10:.9f}"), book)[0] is Outcome.FAILS


def test_another_version_cannot_tell(book: Book) -> None:
    """However far a stored value is off, another version says its own value and never fails it."""
    finding = found(book)
    other = replace(finding, version=finding.version + 1)
    outcome, said = compare(moved(other, "0.5"), book)

    assert outcome is Outcome.CANNOT_TELL
    assert f"version {finding.version}" in said


def test_an_outcome_that_was_turned_fails(book: Book) -> None:
    """A stored `within` for inputs that this very version finds over is found out."""
    over = run("ladder-set-back", {**GIVEN, "set-back": "1 ft"}, book)
    forged = replace(over, result=replace(found(book).result))

    assert compare(forged, book)[0] is Outcome.FAILS


def test_a_calculation_that_is_gone_cannot_tell(book: Book) -> None:
    """A name that this program does not have is said, not guessed."""
    assert compare(replace(found(book), calculation="gone"), book)[0] is Outcome.CANNOT_TELL


def test_every_calculation_states_a_tolerance() -> None:
    """Each tolerance reads as a share above zero and below a tenth."""
    for calculation in CALCULATIONS.values():
        assert 0 < tolerance_of(calculation) < Decimal("0.1")


def test_findings_in_a_real_folder_are_computed_again(tmp_path: Path) -> None:
    """Sessions without a calculation add nothing; the check is only made when it is asked for."""
    from tests.audit.logs import audited, finished, said

    logs = finished(tmp_path).logs

    assert said(audited(logs), "recomputed") == []
    assert said(audited(logs, recompute=True), "recomputed") == []
