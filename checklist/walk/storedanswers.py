"""Answers as plain data for the record, and back; strict both ways."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, cast, get_args

from checklist.rulefile import Role
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
from checklist.walk.storedfields import (
    Data,
    RecordUnreadable,
    moment_at,
    quantity_from,
    size_at,
    text_at,
    texts_at,
    texts_by_name,
)


def answer_data(answer: Answer) -> Data:
    """Return an answer as it is stored; what a person typed stands beside what was understood."""
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


def answer_from(data: Mapping[str, Any]) -> Answer:
    """Return the answer that was stored; raises RecordUnreadable if it is of no known kind."""
    match data:
        case {"said": "yes" | "no" | "don't know" as word}:
            return Said(cast(Literal["yes", "no", "don't know"], word))
        case {"does not apply": str(reason)}:
            return DoesNotApply(reason)
        case {"reading": str(typed), "understood": str(text), "with": str(instrument)}:
            return Measured(quantity_from(text, typed), instrument)
        case {"chosen": str(value)}:
            return Chosen(value)
        case {"text": str(text)}:
            return Written(text)
        case {"people": list(people)}:
            return Present(
                tuple(
                    Person(text_at(p, "name"), Role(p["role"]), text_at(p, "trained"))
                    for p in people
                )
            )
        case {"tags": list(tags)}:
            return Hung(tuple(map(_tag_from, tags)))
        case {"inputs": dict(inputs)}:
            return Inputs(
                {k: v if isinstance(v, str) else texts_at(inputs, k) for k, v in inputs.items()}
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
    return HungTag(text_at(data, "point"), text_at(data, "lock"), text_at(data, "person"))


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
    others = text_at(data, "others")
    if others not in get_args(Others):
        raise RecordUnreadable(f"“{others}” says nothing about other laptops")
    return Sought(
        texts_at(data, "points"),
        cast(Others, others),
        texts_at(data, "counted-by"),
        text_at(data, "count") if "count" in data else "",
        tuple(map(_tag_from, data.get("hangs", ()))),
        tuple(
            SeenLog(text_at(log, "origin"), moment_at(log, "at")) for log in data.get("logs", ())
        ),
        moment_at(data, "looked at") if "looked at" in data else None,
        texts_at(data, "unread"),
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
        text_at(data, "calculation"),
        text_at(data, "path"),
        None,
        _kept_from(data["file"]),
        _kept_from(data["limits"]) if "limits" in data else None,
        texts_by_name(data, "parts"),
        _kept_from(data["evaluation"]) if "evaluation" in data else None,
    )


def _kept_from(data: Mapping[str, Any]) -> KeptFile:
    return KeptFile(text_at(data, "sha256"), size_at(data), text_at(data, "name"))
