"""What a session came to never reads as a permission, also after a correction."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from checklist.record.journals.states import CORRECTED_NOW, State
from checklist.rulefile import Verdict
from checklist.sessions.results import brief_text, is_expired, result_text

_NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
_SEALED = State.SEALED.value


@pytest.mark.parametrize("verdict", [str(Verdict.NO_STOP), str(Verdict.CAUTIONS)])
def test_a_corrected_result_expires_like_any_other(verdict: str) -> None:
    """A correction gives a result no new life: what expired is said to have expired."""
    corrected = f"{CORRECTED_NOW}{verdict}"
    until = _NOW - timedelta(days=20)

    assert is_expired(corrected, until, _NOW)
    assert is_expired(corrected, None, _NOW)
    assert result_text(_SEALED, corrected, until, _NOW) == f"{corrected}, expired 5 Nov"
    for life in (until, None):
        brief = brief_text(_SEALED, corrected, life, _NOW)

        assert brief.startswith("CORRECTED, ")
        assert brief.endswith(", expired")
        assert ("cautions" in brief) is (verdict == str(Verdict.CAUTIONS))


def test_a_stop_found_by_a_correction_has_no_life() -> None:
    """What is stopped now says so, whatever life the result had before."""
    corrected = f"{CORRECTED_NOW}{Verdict.STOPPED}"

    assert not is_expired(corrected, _NOW - timedelta(days=1), _NOW)
    assert brief_text(_SEALED, corrected, _NOW, _NOW) == corrected
    assert result_text(_SEALED, corrected, _NOW, _NOW) == corrected
