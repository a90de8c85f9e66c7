"""A session as plain data for JSON: texts, lists and mappings; numbers are decimal texts."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from checklist.record.lookup.card import Card
from checklist.record.verifying.report import Check
from checklist.sessions.past.sessionrecord import (
    Correction,
    Given,
    SessionRecord,
    SignatureRecord,
    StepRecord,
)
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
        "corrections": [_correction(one) for one in record.corrections],
        "people": list(record.people),
        "receipts": record.receipts,
        "signatures": [_signature(one) for one in record.signatures],
        "steps": [_step(step) for step in record.steps],
        "remarks": [{"at": _time(r.at), "what": r.what, "text": r.text} for r in record.remarks],
        "station-since": list(record.stale),
        "checks": [_check(one) for one in record.checks],
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


def _correction(one: Correction) -> Data:
    return {
        "at": _time(one.at),
        "entry": one.entry,
        "step": one.step,
        "people": list(one.people),
        "text": one.text,
        "before": one.before,
        "after": one.after,
        "judged": [_given(given) for given in one.judged],
    }


def _signature(one: SignatureRecord) -> Data:
    return {
        "person": one.person,
        "role": one.role,
        "key": one.key,
        "outcome": str(one.outcome).lower(),
        "at": _time(one.at),
        "late": one.is_late,
        "whose": one.whose.value if one.whose is not None else None,
        "identity": one.identity,
    }


def _check(one: Check) -> Data:
    return {
        "name": one.name,
        "subject": one.subject,
        "outcome": one.outcome.value,
        "sentence": one.sentence,
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
