"""The audit of the invented club finds what is planted, no less and no more."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from checklist.demo.building import build
from checklist.demo.club import Club
from checklist.demo.planted import planted
from checklist.record.ledgers.ledger import Ledger
from tests.demo.comparing import differences, found_by_audit, last_day


def test_the_audit_finds_exactly_what_is_planted(club: Club) -> None:
    """Every finding that does not hold is planted, and every planted one is found."""
    at = last_day(club) + timedelta(days=4)

    assert differences(club, found_by_audit(club, at), at) == []


def test_a_year_later_only_more_is_overdue(club: Club) -> None:
    """The checks that last a year are overdue then as well, as the plan says, and nothing else."""
    at = last_day(club) + timedelta(days=500)

    assert differences(club, found_by_audit(club, at), at) == []
    assert len(found_by_audit(club, at)) == len(
        [found for one in planted(whole_year=False) for found in one.found]
    )


def test_the_comparison_sees_a_fault_that_is_not_planted(club: Club, other: Club) -> None:
    """One more folder in the audit gives findings, and each is said not to be planted."""
    at = last_day(club) + timedelta(days=4)
    rows = found_by_audit(club, at)
    more = found_by_audit(club, at, (other.desks["cellar"].logs,))
    strangers = [{**row, "folder": ""} for row in more]

    said = differences(club, [*rows, *strangers], at)

    assert strangers
    assert len(said) == len(strangers)
    assert all(line.startswith("not planted") for line in said)


def test_the_comparison_sees_a_planted_fault_that_is_not_found(club: Club) -> None:
    """A row that the audit leaves out is named."""
    at = last_day(club) + timedelta(days=4)
    rows = found_by_audit(club, at)
    without = [row for row in rows if row["check"] != "identity"]

    said = differences(club, without, at)

    assert len(without) == len(rows) - 1
    assert len(said) == 1
    assert "identity" in said[0]


def test_the_originals_of_the_copies_hold(club: Club) -> None:
    """The three laptops of which bad copies exist have no finding that fails by themselves."""
    at = last_day(club) + timedelta(days=4)
    logs = tuple(club.desks[name].logs for name in ("field-1", "field-2", "field-3"))

    assert [row for row in found_by_audit(club, at, logs) if row["outcome"] == "fails"] == []
    assert all(Ledger(club.logs(name)).entries() for name in ("field-1", "field-2", "field-3"))


@pytest.mark.long
def test_the_whole_year_holds_no_other_faults(tmp_path: Path) -> None:
    """The ordinary days between add club values in use, as planned, and no other finding."""
    whole = build(tmp_path / "club")
    at = last_day(whole) + timedelta(days=4)

    assert differences(whole, found_by_audit(whole, at), at, whole_year=True) == []
