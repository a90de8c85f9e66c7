"""What a session came to, in words that never read as a permission."""

from __future__ import annotations

from datetime import datetime

from checklist.ages import day_text
from checklist.record.journals.states import CORRECTED_NOW, State
from checklist.rulefile import Verdict

_CLEAR = {str(Verdict.NO_STOP), str(Verdict.CAUTIONS)}


def is_expired(verdict: str, valid_until: datetime | None, now: datetime) -> bool:
    """Say whether a result no longer holds; where its life is not known, it does not hold."""
    return _now(verdict) in _CLEAR and (valid_until is None or valid_until <= now)


def result_text(state: str, verdict: str, valid_until: datetime | None, now: datetime) -> str:
    """Return a result in a few words: `no stop found, expired 12 Nov`.

    `state` is the session's state in the ledger. A result that is not signed by everyone
    says NOT SEALED first.
    """
    if state == State.RUNNING.value:
        return "not finished"
    if state == State.ABANDONED.value:
        return "abandoned"
    text = verdict
    if _now(verdict) in _CLEAR:
        text = f"{verdict}, {_life_text(valid_until, now)}"
    return text if state == State.SEALED.value else f"NOT SEALED: {text}"


def brief_text(state: str, verdict: str, valid_until: datetime | None, now: datetime) -> str:
    """Return a result where there is little room, the reason for doubt first: `expired 12 Nov`."""
    now_is = _now(verdict)
    if state in {State.RUNNING.value, State.ABANDONED.value} or now_is not in _CLEAR:
        return result_text(state, verdict, valid_until, now)
    if state != State.SEALED.value:
        return "NOT SEALED"
    if verdict != now_is:
        cautions = ", cautions" if now_is == str(Verdict.CAUTIONS) else ""
        return (
            f"CORRECTED{cautions}, {'' if is_expired(verdict, valid_until, now) else 'not '}expired"
        )
    if valid_until is None:
        return "take as expired"
    is_long = valid_until > now and valid_until.year != now.year
    life = f"expires {day_text(valid_until, now)}" if is_long else _life_text(valid_until, now)
    return f"{life}, {'cautions' if verdict == str(Verdict.CAUTIONS) else verdict}"


def _now(verdict: str) -> str:
    """Return the verdict of today, without the word that an answer was corrected."""
    return verdict.removeprefix(CORRECTED_NOW)


def _life_text(valid_until: datetime | None, now: datetime) -> str:
    if valid_until is None:
        return "how long it held is not known, take it as expired"
    if valid_until <= now:
        return f"expired {day_text(valid_until, now)}"
    return f"expires {day_text(valid_until, now)} {valid_until:%H:%M}"
