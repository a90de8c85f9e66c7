"""What a typed filter line means, and how results are worded."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from checklist.errors import StandclearError
from checklist.sessions.past.finding import Filter, read_filter
from checklist.sessions.results import brief_text, is_expired, result_text

NOW = datetime(2026, 11, 25, 9, 41, tzinfo=UTC)
CAUTIONS = "no stop found, with cautions"


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("", Filter()),
        ("thunder  heard", Filter(text="thunder  heard")),
        ("person:Tamsin boom", Filter(text="boom", person="Tamsin")),
        ('person:"Tamsin Reed" rule:tower', Filter(person="Tamsin Reed", rule_file="tower")),
        ('verdict:"no stop found', Filter(verdict="no stop found")),
        (
            "from:2026-11-01 to:2026-11-30",
            Filter(since=date(2026, 11, 1), until=date(2026, 11, 30)),
        ),
        ("[/x] ratio 3:1", Filter(text="[/x] ratio 3:1")),
    ],
)
def test_filter_line(line: str, meant: Filter) -> None:
    """Words are sought everywhere, and a named word narrows its own field."""
    assert read_filter(line) == meant


@pytest.mark.parametrize("line", ["from:yesterday", "to:2026-13-01", "from:12"])
def test_wrong_day_is_one_sentence(line: str) -> None:
    """A day that is none is refused with the form that would be right."""
    with pytest.raises(StandclearError, match=r"2026-11-25"):
        read_filter(line)


@pytest.mark.parametrize(
    ("state", "verdict", "hours", "text"),
    [
        ("sealed", "no stop found", 2, "no stop found, expires 25 Nov 11:41"),
        ("sealed", "no stop found", 0, "no stop found, expired 25 Nov"),
        ("sealed", CAUTIONS, -24 * 13, f"{CAUTIONS}, expired 12 Nov"),
        ("sealed", "no stop found", -24 * 365, "no stop found, expired 25 Nov 2025"),
        ("sealed", "stopped", None, "stopped"),
        ("signature missing", "stopped", None, "NOT SEALED: stopped"),
        ("signature missing", "no stop found", -1, "NOT SEALED: no stop found, expired 25 Nov"),
        ("running", "", None, "not finished"),
        ("abandoned", "", None, "abandoned"),
    ],
)
def test_result_in_words(state: str, verdict: str, hours: int | None, text: str) -> None:
    """A result says NOT SEALED first and its end of life last; it never reads as permission."""
    until = None if hours is None else NOW + timedelta(hours=hours)

    assert result_text(state, verdict, until, NOW) == text


def test_unknown_life_counts_as_expired() -> None:
    """Where nobody can tell how long a result held, it is not taken to hold."""
    assert is_expired("no stop found", None, NOW)
    assert "take it as expired" in result_text("sealed", "no stop found", None, NOW)
    assert not is_expired("stopped", None, NOW)


def test_brief_result_begins_with_the_doubt() -> None:
    """Where a line may be cut off, what speaks against the result stands first."""
    yesterday = NOW - timedelta(days=1)

    assert brief_text("sealed", CAUTIONS, yesterday, NOW) == "expired 24 Nov, cautions"
    assert brief_text("sealed", CAUTIONS, NOW + timedelta(hours=8), NOW).endswith(", cautions")
    assert brief_text("sealed", "no stop found", None, NOW) == "take as expired"
    assert brief_text("signature missing", "no stop found", NOW, NOW) == "NOT SEALED"
    assert brief_text("signature missing", "stopped", None, NOW) == "NOT SEALED: stopped"
