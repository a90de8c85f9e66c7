"""Events as plain data for the record, and back; strict both ways.

The data holds text, lists and mappings only: quantities stand as decimal text with their
unit, times as ISO text with offset. What `as_data` writes, `from_data` reads, for every
version ever written.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from typing import Any, Literal, cast, get_args

from checklist.calculations import stored as stored_finding
from checklist.errors import StandclearError
from checklist.quantities import UNITS, Quantity
from checklist.rulebook.stored import cited_data, cited_from
from checklist.rulefile import Effect, Role, Verdict
from checklist.walk.answers import (
    Answer,
    Chosen,
    Described,
    DoesNotApply,
    Hung,
    HungTag,
    Inputs,
    KeptFile,
    Measured,
    Others,
    Person,
    Present,
    Said,
    SeenLog,
    Sought,
    Written,
)
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

Data = dict[str, Any]

_DECIMAL = re.compile(r"-?\d+(\.\d+)?", re.ASCII)
_WHOLE = re.compile(r"\d{1,18}", re.ASCII)


class RecordUnreadable(StandclearError):
    """Stored data is not an event that this program knows."""


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
        "answer": _answer(event.answer),
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


def _text(data: Mapping[str, Any], key: str) -> str:
    value = data[key]
    if not isinstance(value, str):
        raise RecordUnreadable(f"“{key}” is not a text")
    return value


def _texts(data: Mapping[str, Any], key: str) -> tuple[str, ...]:
    """Return a list of texts; none where the key is left out."""
    value = data.get(key, [])
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise RecordUnreadable(f"“{key}” is not a list of texts")
    return tuple(value)


def _texts_by_name(data: Mapping[str, Any], key: str) -> dict[str, str]:
    value = data[key]
    if not isinstance(value, dict) or not all(isinstance(v, str) for v in value.values()):
        raise RecordUnreadable(f"“{key}” is not texts by their names")
    return dict(value)


def _quantity(text: str, typed: str) -> Quantity:
    number, _, symbol = text.partition(" ")
    if not _DECIMAL.fullmatch(number):
        raise RecordUnreadable(f"“{text}” is not a quantity")
    return Quantity(Decimal(number), UNITS[symbol], typed)


def _size(data: Mapping[str, Any]) -> int:
    text = _text(data, "size")
    if not _WHOLE.fullmatch(text):
        raise RecordUnreadable("“size” is not a number of bytes")
    return int(text)


def _answer(answer: Answer) -> Data:
    match answer:
        case Said(word=word):
            return {"said": word}
        case DoesNotApply(reason=reason):
            return {"does not apply": reason}
        case Measured(quantity=quantity, instrument=instrument):
            return {
                "reading": quantity.typed or quantity.text(),
                "understood": quantity.text(),
                "with": instrument,
            }
        case Chosen(value=value):
            return {"chosen": value}
        case Written(text=text):
            return {"text": text}
        case Present(people=people):
            return {
                "people": [
                    {"name": p.name, "role": str(p.role), "trained": p.trained} for p in people
                ]
            }
        case Hung(tags=tags):
            return {"tags": [_tag(tag) for tag in tags]}
        case Sought() | Described():
            return _looked_up(answer)
        case Inputs(values=values):
            return {"inputs": {k: v if isinstance(v, str) else list(v) for k, v in values.items()}}


def _looked_up(answer: Sought | Described) -> Data:
    if isinstance(answer, Sought):
        return {"sought": _sought(answer)}
    return {"station": _described(answer)}


def _answer_from(data: Mapping[str, Any]) -> Answer:
    match data:
        case {"said": "yes" | "no" | "don't know" as word}:
            return Said(cast(Literal["yes", "no", "don't know"], word))
        case {"does not apply": str(reason)}:
            return DoesNotApply(reason)
        case {"reading": str(typed), "understood": str(text), "with": str(instrument)}:
            return Measured(_quantity(text, typed), instrument)
        case {"chosen": str(value)}:
            return Chosen(value)
        case {"text": str(text)}:
            return Written(text)
        case {"people": list(people)}:
            return Present(
                tuple(
                    Person(_text(p, "name"), Role(p["role"]), _text(p, "trained")) for p in people
                )
            )
        case {"tags": list(tags)}:
            return Hung(tuple(map(_tag_from, tags)))
        case {"inputs": dict(inputs)}:
            return Inputs(
                {k: v if isinstance(v, str) else _texts(inputs, k) for k, v in inputs.items()}
            )
        case _:
            return _looked_up_from(data)


def _looked_up_from(data: Mapping[str, Any]) -> Answer:
    match data:
        case {"sought": dict(sought)}:
            return _sought_from(sought)
        case {"station": dict(described)}:
            return _described_from(described)
        case _:
            raise RecordUnreadable("an answer is of no known kind")


def _tag(tag: HungTag) -> Data:
    return {"point": tag.point, "lock": tag.lock, "person": tag.person}


def _tag_from(data: Mapping[str, Any]) -> HungTag:
    return HungTag(_text(data, "point"), _text(data, "lock"), _text(data, "person"))


def _sought(sought: Sought) -> Data:
    data: Data = {"points": list(sought.points), "others": sought.others}
    if sought.counted_by or sought.count:
        data |= {"counted-by": list(sought.counted_by), "count": sought.count}
    if sought.at is not None:
        data["looked at"] = sought.at.isoformat()
        # Not under the name “tags”, by which the answers that hang one are found.
        data["hangs"] = [_tag(tag) for tag in sought.hangs]
        data["logs"] = [{"origin": log.origin, "at": log.at.isoformat()} for log in sought.logs]
        if sought.unread:
            data["unread"] = list(sought.unread)
    return data


def _sought_from(data: Mapping[str, Any]) -> Sought:
    others = _text(data, "others")
    if others not in get_args(Others):
        raise RecordUnreadable(f"“{others}” says nothing about other laptops")
    return Sought(
        _texts(data, "points"),
        cast(Others, others),
        _texts(data, "counted-by"),
        _text(data, "count") if "count" in data else "",
        tuple(map(_tag_from, data.get("hangs", ()))),
        tuple(SeenLog(_text(log, "origin"), _moment(log, "at")) for log in data.get("logs", ())),
        _moment(data, "looked at") if "looked at" in data else None,
        _texts(data, "unread"),
    )


def _described(described: Described) -> Data:
    data: Data = {
        "calculation": described.calculation,
        "path": described.path,
        "parts": dict(described.parts),
    }
    if described.file is not None:
        data["file"] = _kept(described.file, "attachments")
    if described.limits is not None:
        data["limits"] = _kept(described.limits, "rules")
    if described.evaluation is not None:
        data["evaluation"] = _kept(described.evaluation, "attachments")
    return data


def _kept(file: KeptFile, part: str) -> Data:
    return {"kept": part, "sha256": file.sha256, "size": str(file.size), "name": file.name}


def _described_from(data: Mapping[str, Any]) -> Described:
    """Return the answer without its finding, which stands in the judgement."""
    return Described(
        _text(data, "calculation"),
        _text(data, "path"),
        None,
        _kept_from(data["file"]),
        _kept_from(data["limits"]) if "limits" in data else None,
        _texts_by_name(data, "parts"),
        _kept_from(data["evaluation"]) if "evaluation" in data else None,
    )


def _kept_from(data: Mapping[str, Any]) -> KeptFile:
    return KeptFile(_text(data, "sha256"), _size(data), _text(data, "name"))


def _moment(data: Mapping[str, Any], key: str) -> datetime:
    moment = datetime.fromisoformat(_text(data, key))
    if moment.tzinfo is None:
        raise RecordUnreadable(f"“{key}” is a time without its offset")
    return moment


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
        _texts(data, "because"),
        tuple(cited_from(c) for c in data.get("used", ())),
        stored_finding.from_data(data["finding"]) if "finding" in data else None,
    )


def _clearing(clearing: Clearing) -> Data:
    return {"do": clearing.do, "evidence": dict(clearing.evidence)}


def _clearing_from(data: Mapping[str, Any]) -> Clearing:
    return Clearing(_text(data, "do"), _texts_by_name(data, "evidence"))


def _answered_from(data: Mapping[str, Any], at: datetime) -> Answered:
    answer, judgement = _answer_from(data["answer"]), _judgement_from(data["judgement"])
    if isinstance(answer, Described):
        answer = replace(answer, finding=judgement.finding)
    return Answered(
        _text(data, "step"),
        answer,
        judgement,
        at,
        _texts_by_name(data, "provided") if "provided" in data else {},
        _clearing_from(data["clearing"]) if "clearing" in data else None,
    )


_READERS: dict[str, Callable[[Mapping[str, Any], datetime], Event]] = {
    "answered": _answered_from,
    "stop answered": lambda d, at: StopAnswered(
        _text(d, "step"), _clearing_from(d["clearing"]), at
    ),
    "work stopped": lambda d, at: WorkStopped(_text(d, "reason"), at),
    "work resumed": lambda d, at: WorkResumed(at),
    "near miss": lambda d, at: NearMiss(_text(d, "text"), at),
    "noted": lambda d, at: Noted(_text(d, "step"), _text(d, "text"), at),
    "attached": lambda d, at: Attached(
        _text(d, "step"), _text(d, "sha256"), _size(d), _text(d, "name"), at
    ),
    "reopened": lambda d, at: Reopened(at, _text(d, "says")),
    "closed": lambda d, at: Closed(Verdict(d["verdict"]), at),
}
