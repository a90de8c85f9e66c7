"""A session as plain data for JSON: texts, lists and mappings; numbers are decimal texts."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from checklist.record.lookup.card import Card
from checklist.sessions.past.sessionrecord import Given, SessionRecord, StepRecord
from checklist.sessions.results import is_expired, result_text
from checklist.walk.events import Attached, Noted
from checklist.walk.stored import as_data as event_data

Data = dict[str, Any]


def as_data(record: SessionRecord) -> Data:
    """Return everything about a session; times are ISO 8601 with their offset, or null.

    Answers, judgements and findings stand in the form in which the session file holds them.
    """
    return {
        "session": record.session_id,
        "origin": record.origin,
        "title": record.title,
        "rule-file": {
            "name": record.rule_file,
            "edition": record.edition,
            "sha256": record.rule_sha256,
        },
        "program": record.program,
        "state": record.state.value,
        "verdict": record.verdict,
        "result": record.result,
        "begun": _time(record.begun),
        "ended": _time(record.ended),
        "valid-until": _time(record.valid_until),
        "abandoned-because": record.abandoned_because,
        "corrections": [
            {
                "at": _time(c.at),
                "entry": c.entry,
                "step": c.step,
                "people": list(c.people),
                "text": c.text,
                "before": c.before,
                "after": c.after,
                "judged": [_given(given) for given in c.judged],
            }
            for c in record.corrections
        ],
        "people": list(record.people),
        "receipts": record.receipts,
        "signatures": [
            {
                "person": s.person,
                "role": s.role,
                "key": s.key,
                "outcome": str(s.outcome).lower(),
                "at": _time(s.at),
                "late": s.is_late,
                "whose": s.whose.value if s.whose is not None else None,
                "identity": s.identity,
            }
            for s in record.signatures
        ],
        "steps": [_step(step) for step in record.steps],
        "remarks": [{"at": _time(r.at), "what": r.what, "text": r.text} for r in record.remarks],
        "station-since": list(record.stale),
        "checks": [
            {
                "name": c.name,
                "subject": c.subject,
                "outcome": c.outcome.value,
                "sentence": c.sentence,
            }
            for c in record.checks
        ],
        "problems": list(record.problems),
    }


def card_data(card: Card, now: datetime) -> Data:
    """Return one line of a list of sessions as data."""
    return {
        "session": card.session_id,
        "rule-file": card.rule_file,
        "edition": card.edition,
        "title": card.title,
        "begun": _time(card.begun),
        "ended": _time(card.ended),
        "state": card.state,
        "verdict": card.verdict,
        "result": result_text(card.state, card.verdict, card.valid_until, now),
        "expired": is_expired(card.verdict, card.valid_until, now),
        "valid-until": _time(card.valid_until),
        "people": list(card.people),
        "stops": list(card.stops),
    }


def _step(step: StepRecord) -> Data:
    return {
        "step": step.step,
        "ask": step.ask,
        "part": step.part,
        "asked": step.was_asked,
        "stop-stands": step.stop_stands,
        "answers": [_without_step(_given(given)) for given in step.answers],
        "stops-answered": [
            {"at": _time(c.at), "do": c.clearing.do, "evidence": dict(c.clearing.evidence)}
            for c in step.cleared
        ],
        "notes": [_note(note) for note in step.notes],
    }


def _given(given: Given) -> Data:
    return {"at": _time(given.event.at), "text": given.text, **event_data(given.event)[1]}


def _without_step(data: Data) -> Data:
    return {name: value for name, value in data.items() if name != "step"}


def _note(note: Noted | Attached) -> Data:
    what, data = event_data(note)
    return {"at": _time(note.at), "what": what, **_without_step(data)}


def _time(at: datetime | None) -> str | None:
    return at.isoformat() if at is not None else None
