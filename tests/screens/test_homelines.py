"""The lines of home: what a result came to is never cut off at 80 columns."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from checklist.screens.home import LEFT
from checklist.screens.homelines import home_options, offers_club
from checklist.sessions.invented import MARK, guide_of
from checklist.sessions.library import Listed
from checklist.sessions.matters import Overview, Past, Unfinished
from checklist.sessions.results import brief_text

NOW = datetime(2026, 12, 28, 17, 0, tzinfo=UTC)

ROOM = 77
"""Columns of a terminal of 80 that the margins and the scroll bar leave."""


@pytest.mark.parametrize(
    ("verdict", "life"),
    [
        ("no stop found", timedelta(hours=8)),
        ("no stop found, with cautions", timedelta(hours=8)),
        ("no stop found, with cautions", timedelta(days=400)),
        ("no stop found", timedelta(days=400)),
        ("no stop found", timedelta(days=-2)),
        ("stopped", None),
        ("CORRECTED, now no stop found, with cautions", timedelta(days=400)),
        ("CORRECTED, now no stop found", timedelta(days=-2)),
    ],
)
def test_a_result_is_whole_at_80_columns(verdict: str, life: timedelta | None) -> None:
    """A caution that is cut off its line would leave `no stop found` to be read."""
    brief = brief_text("sealed", verdict, NOW + life if life else None, NOW)
    past = Past(
        "ab" * 16, "release", "Release from lockout and restoration", NOW, verdict, brief, False
    )
    lines = [str(option.prompt) for option in home_options((), Overview(last=(past,)), NOW, LEFT)]

    assert len(lines[-1]) <= ROOM
    assert "cautions" in lines[-1] or "with cautions" not in verdict
    assert lines[-1].endswith(brief)


def test_two_walks_of_one_rule_file_are_told_apart_at_80_columns() -> None:
    """When each was begun, by whom, and how far it is stand before the question, and whole."""
    one = Unfinished(
        "ab" * 16, "Before tower or antenna work", NOW, NOW, "Is anybody below?", 6, 23,
        person="Wren Holloway",
    )  # fmt: skip
    other = replace(one, session_id="cd" * 16, begun=NOW - timedelta(days=2), person="", done=1)
    found = Overview(unfinished=(one, other))
    lines = [str(option.prompt)[:ROOM] for option in home_options((), found, NOW, LEFT)]

    assert "6 of 23, begun 28 Dec 17:00, Wren Holloway " in lines[1]
    assert "1 of 23, begun 26 Dec 17:00  Is any" in lines[2]


def test_an_invented_club_names_its_guide(tmp_path: Path) -> None:
    """Where the mark lies in the logs and the page above them; nowhere else."""
    logs = tmp_path / "hill" / "logs"
    logs.mkdir(parents=True)
    (tmp_path / MARK).write_text("what there is to find")
    before = guide_of(logs)
    (logs / MARK).write_text("invented")

    assert before is None
    assert guide_of(logs) == tmp_path / MARK


def test_what_cannot_be_read_is_not_called_never_walked() -> None:
    """Where part of the logs cannot be read, a walk that is not found there may have been."""
    rules = (Listed("release", "Release", "", "shipped"),)
    whole, damaged = Overview(), Overview(problems=("the ledger is damaged",))
    said = [
        " ".join(str(option.prompt) for option in home_options(rules, found, NOW, LEFT))
        for found in (whole, damaged)
    ]

    assert "never walked here" in said[0]
    assert "never walked here" not in said[1]
    assert "last walk not known" in said[1]


def test_the_club_is_offered_once(tmp_path: Path) -> None:
    """On an empty folder it is; with records, before it was read, and inside the club it is not."""
    problem = Overview(problems=("the ledger is damaged",))
    before = [offers_club(found, tmp_path) for found in (Overview(), problem, None)]
    (tmp_path / MARK).write_text("invented")

    assert before == [True, False, False]
    assert not offers_club(Overview(), tmp_path)
