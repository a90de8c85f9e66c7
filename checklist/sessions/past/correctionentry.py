"""How a correction stands in an entry of the ledger: its answer packed, and read again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from checklist.errors import StandclearError
from checklist.record.errors import Damaged
from checklist.record.files import kept
from checklist.record.files.clock import BootTime
from checklist.record.files.folder import LogFolder
from checklist.record.files.strictjson import Json, dump
from checklist.record.files.strictjson import parse as parse_json
from checklist.record.journals.lines import Line
from checklist.record.ledgers.keptbyentries import CORRECTED
from checklist.record.ledgers.ledger import Recorded
from checklist.rulefile import Effect
from checklist.sessions.past.readevents import event_of
from checklist.walk.answers import Answer, Described
from checklist.walk.events import Answered
from checklist.walk.stored import as_data

__all__ = ["CORRECTED", "Corrected", "packed", "read_correction"]

ANSWER_FILE = "corrected answer.json"
"""What the kept document is called that holds an answer with what was found for it."""


@dataclass(frozen=True, slots=True)
class Corrected:
    """One correction as an entry of the ledger tells of it."""

    number: int
    at: datetime
    step: str
    answer: Answer
    reason: str
    before: str
    """What the session had come to, corrections before this one included."""

    after: str
    """What it comes to with the new answer."""

    @property
    def is_followable(self) -> bool:
        """Whether all that it rests on was kept: an answer from a station file needs its finding.

        Version 0.2.0 kept such an answer without one.
        """
        return not isinstance(self.answer, Described) or self.answer.finding is not None


def packed(event: Answered, answer: Answer, folder: LogFolder) -> str:
    """Return an answer as the field of an entry; `event` is the one that it corrects.

    What a station file gave is larger than a field may be: answer and finding are kept as a
    document, and the field names it. Raises NotSaved where it cannot be kept.
    """
    finding = answer.finding if isinstance(answer, Described) else None
    judgement = replace(event.judgement, finding=finding)
    data = as_data(replace(event, answer=answer, judgement=judgement))[1]
    if finding is None:
        return dump({"answer": data["answer"]}).decode()
    document = dump({"answer": data["answer"], "finding": data["judgement"]["finding"]})
    sha256 = kept.keep(folder, "attachments", document)
    named = kept.Reference("attachments", sha256, len(document), ANSWER_FILE)
    return dump(named.as_data()).decode()


def read_correction(recorded: Recorded, folder: LogFolder) -> Corrected:
    """Return what a correction says; Damaged where it lacks a part or cannot be understood."""
    entry = recorded.entry
    texts = {
        name: entry.field(name) or "" for name in ("step", "answer", "reason", "before", "after")
    }
    missing = [name for name, text in texts.items() if not text]
    if missing:
        raise Damaged(f"correction {entry.number} does not state its {missing[0]}")
    try:
        event = _event(texts["step"], _document(texts["answer"], folder), entry.at)
    except (StandclearError, KeyError) as problem:
        why = f": {problem.what}" if isinstance(problem, Damaged) else ""
        raise Damaged(
            f"the answer of correction {entry.number} cannot be understood{why}"
        ) from problem
    if not isinstance(event, Answered):
        raise Damaged(f"correction {entry.number} holds no answer")
    return Corrected(
        entry.number, entry.at, texts["step"], event.answer, texts["reason"], texts["before"],
        texts["after"],
    )  # fmt: skip


def _document(text: str, folder: LogFolder) -> dict[str, Json]:
    """Return the document that holds the answer: the field itself, or the kept file it names."""
    found = parse_json(text.encode())
    if "answer" in found:
        return found
    sha256 = found["sha256"]
    if found["kept"] != "attachments" or not isinstance(sha256, str):
        raise Damaged("it names no kept document")
    return parse_json(kept.read(folder, "attachments", sha256))


def _event(step: str, document: dict[str, Json], at: datetime) -> object:
    judgement: dict[str, Any] = {"effect": str(Effect.CLEAR)}
    if "finding" in document:
        judgement["finding"] = document["finding"]
    data: dict[str, Any] = {"step": step, "answer": document["answer"], "judgement": judgement}
    return event_of(Line(1, "", at, BootTime("none", 0), "answered", data))
