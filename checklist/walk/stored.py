"""Events as plain data for the record, and back; strict both ways.

The data holds text, lists and mappings only: quantities stand as decimal text with their
unit, times as ISO text with offset. What `as_data` writes, `from_data` reads, for every
version ever written.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from checklist.calculations import stored as stored_finding
from checklist.errors import StandclearError
from checklist.rulebook.stored import cited_data, cited_from
from checklist.rulefile import Effect, Verdict
from checklist.walk.answers import Described
from checklist.walk.events import (
    Answered,
    Attached,
    Clearing,
    Closed,
    Event,
    NearMiss,
    Noted,
    Reopened,
    StopAnswered,
    WorkResumed,
    WorkStopped,
)
from checklist.walk.judge import Judgement
from checklist.walk.storedanswers import answer_data, answer_from
from checklist.walk.storedfields import (
    Data,
    RecordUnreadable,
    size_at,
    text_at,
    texts_at,
    texts_by_name,
)


def as_data(event: Event) -> tuple[str, Data]:
    """Return what happened, in one word or two, and its data; the time is kept by the record."""
    match event:
        case Answered():
            return "answered", _answered(event)
        case StopAnswered():
            return "stop answered", {"step": event.step, "clearing": _clearing(event.clearing)}
        case Noted():
            return "noted", {"step": event.step, "text": event.text}
        case Attached():
            return "attached", _attached(event)
        case Closed():
            return "closed", {"verdict": str(event.verdict)}
        case _:
            return _remark(event)


def _remark(event: WorkStopped | WorkResumed | NearMiss | Reopened) -> tuple[str, Data]:
    match event:
        case WorkStopped():
            return "work stopped", {"reason": event.reason}
        case WorkResumed():
            return "work resumed", {}
        case NearMiss():
            return "near miss", {"text": event.text}
        case Reopened():
            return "reopened", {"says": event.says}


def _answered(event: Answered) -> Data:
    data: Data = {
        "step": event.step,
        "answer": answer_data(event.answer),
        "judgement": _judgement(event.judgement),
    }
    if event.provided:
        data["provided"] = dict(event.provided)
    if event.clearing:
        data["clearing"] = _clearing(event.clearing)
    return data


def _attached(event: Attached) -> Data:
    return {
        "step": event.step,
        "kept": "attachments",
        "sha256": event.sha256,
        "size": str(event.size),
        "name": event.name,
    }


def from_data(what: str, data: Mapping[str, Any], at: datetime) -> Event:
    """Return the event that was stored; raises RecordUnreadable if it is none."""
    reader = _READERS.get(what)
    if reader is None:
        raise RecordUnreadable(f"“{what}” is not an event known to this version")
    try:
        return reader(data, at)
    except KeyError as error:
        raise RecordUnreadable(f"the event “{what}” lacks or misnames {error}") from None
    except RecordUnreadable as error:
        raise RecordUnreadable(f"in the event “{what}”, {error.what}") from None
    except StandclearError as error:
        raise RecordUnreadable(f"in the event “{what}”, {error.sentence()}") from None
    except (TypeError, ValueError, AttributeError, ArithmeticError) as error:
        raise RecordUnreadable(f"the event “{what}” is incomplete ({error})") from None


def _judgement(judgement: Judgement) -> Data:
    data: Data = {"effect": str(judgement.effect)}
    if judgement.because:
        data["because"] = list(judgement.because)
    if judgement.used:
        data["used"] = [cited_data(c) for c in judgement.used]
    if judgement.finding:
        data["finding"] = stored_finding.as_data(judgement.finding)
    return data


def _judgement_from(data: Mapping[str, Any]) -> Judgement:
    return Judgement(
        Effect(data["effect"]),
        texts_at(data, "because"),
        tuple(cited_from(c) for c in data.get("used", ())),
        stored_finding.from_data(data["finding"]) if "finding" in data else None,
    )


def _clearing(clearing: Clearing) -> Data:
    return {"do": clearing.do, "evidence": dict(clearing.evidence)}


def _clearing_from(data: Mapping[str, Any]) -> Clearing:
    return Clearing(text_at(data, "do"), texts_by_name(data, "evidence"))


def _answered_from(data: Mapping[str, Any], at: datetime) -> Answered:
    answer, judgement = answer_from(data["answer"]), _judgement_from(data["judgement"])
    if isinstance(answer, Described):
        answer = replace(answer, finding=judgement.finding)
    return Answered(
        text_at(data, "step"),
        answer,
        judgement,
        at,
        texts_by_name(data, "provided") if "provided" in data else {},
        _clearing_from(data["clearing"]) if "clearing" in data else None,
    )


_READERS: dict[str, Callable[[Mapping[str, Any], datetime], Event]] = {
    "answered": _answered_from,
    "stop answered": lambda d, at: StopAnswered(
        text_at(d, "step"), _clearing_from(d["clearing"]), at
    ),
    "work stopped": lambda d, at: WorkStopped(text_at(d, "reason"), at),
    "work resumed": lambda d, at: WorkResumed(at),
    "near miss": lambda d, at: NearMiss(text_at(d, "text"), at),
    "noted": lambda d, at: Noted(text_at(d, "step"), text_at(d, "text"), at),
    "attached": lambda d, at: Attached(
        text_at(d, "step"), text_at(d, "sha256"), size_at(d), text_at(d, "name"), at
    ),
    "reopened": lambda d, at: Reopened(at, text_at(d, "says")),
    "closed": lambda d, at: Closed(Verdict(d["verdict"]), at),
}
