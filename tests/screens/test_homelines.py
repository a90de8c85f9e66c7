"""The lines of home: what a result came to is never cut off at 80 columns."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from checklist.screens.home import LEFT
from checklist.screens.homelines import home_options
from checklist.sessions.invented import MARK, guide_of
from checklist.sessions.matters import Overview, Past
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


def test_an_invented_club_names_its_guide(tmp_path: Path) -> None:
    """Where the mark lies in the logs and the page above them; nowhere else."""
    logs = tmp_path / "hill" / "logs"
    logs.mkdir(parents=True)
    (tmp_path / MARK).write_text("what there is to find")
    before = guide_of(logs)
    (logs / MARK).write_text("invented")

    assert before is None
    assert guide_of(logs) == tmp_path / MARK
