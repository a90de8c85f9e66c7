"""The lines that somebody types in a walk without a screen, made from an example's answers."""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import pytest

from checklist.rulebook import Book
from checklist.rulefile import Example, People, RuleFile, Step, Tag
from checklist.sessions.entryrows import Row, choices_for, rows_for
from checklist.sessions.known import Known
from checklist.walk.entry import read_answer
from checklist.walk.walk import Walk

AT = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
INSTRUMENT = "number 2"


def lines_of(rules: RuleFile, book: Book, example: Example) -> list[str]:
    """Return every line from the first question to the last, with the word that finishes."""
    walk, lines = Walk(rules, book), []
    while (state := walk.progress(AT).next_open) is not None:
        typed = example.answers[state.step.id]
        lines += lines_for(state.step, typed)
        answer = read_answer(state.step, typed, instrument=INSTRUMENT)
        walk = walk.with_event(walk.answered(state.step.id, answer, AT))
    return [*lines, "finish"]


def lines_for(step: Step, typed: Any) -> list[str]:
    """Return the lines that answer one step whose fields are empty."""
    if isinstance(typed, Mapping) and set(typed) == {"does not apply"}:
        return ["does not apply", str(typed["does not apply"])]
    if choices_for(step) is not None:
        return [str(typed)]
    given = _given(step, typed)
    lines = []
    for row in rows_for(step, Known(is_kept=False)):
        value = given.get(row.name, INSTRUMENT if row.name == "instrument" else "")
        lines += [*value, ""] if row.many and isinstance(value, list) else [str(value)]
    return lines


def _given(step: Step, typed: Any) -> dict[str, Any]:
    if isinstance(step.kind, People):
        found: dict[str, Any] = {}
        for line in typed:
            name, role, *trained = [part.strip() for part in line.split(",")]
            number = 1 + sum(key.startswith(f"{role}/") for key in found)
            found[f"{role}/{number}"] = ", ".join([name, *trained])
        return found
    if isinstance(step.kind, Tag):
        return {"tag": list(typed)}
    if isinstance(typed, Mapping):
        return dict(typed)
    rows: list[Row] = rows_for(step, Known())
    return {rows[0].name: typed}


def typing(monkeypatch: pytest.MonkeyPatch, lines: list[str]) -> None:
    """Let these lines be what comes from the keyboard."""
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
