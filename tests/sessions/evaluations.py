"""A small club rule file whose two steps take the station file, and a desk for it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from checklist.commands.stationfile import example_station
from checklist.record.files.disk import RealDisk
from checklist.sessions.desk import Desk
from checklist.sessions.session import Session
from checklist.walk.entry import read_answer
from checklist.walk.events import Answered, Clearing
from tests.record.making import HandClock

NAME = "odd-evaluation"

RULES = """\
format: 1
name: odd-evaluation
title: "Evaluation [/x]"
edition: 2026-11-25
written-for: tests, on an invented hill
about: A small invented rule file for tests.
valid: 365 d
signers: {in charge: 1}
parts:
  - part: beforehand
    title: At the table
    valid: 30 d
    steps:
      - id: exposure
        ask: What does the program find at the places?
        calculation: {name: station-exposure}
        clear:
          - do: Change the station and the file; evaluate again.
            evidence: [What was changed]
        why: The nearest person decides.
        sources: [fcc-1310]
      - id: network
        ask: What does it find in the network?
        calculation: {name: station-bonding}
        clear:
          - do: Put it right; look again.
            evidence: [What was put right]
        does-not-apply: yes
        why: What is not joined jumps.
        sources: [nec-250-50]
examples:
  - name: within
    answers: {exposure: {outcome: within}, network: {outcome: within}}
    verdict: no stop found
  - name: over
    answers: {exposure: {outcome: over}, network: {does not apply: on paper}}
    verdict: stopped
    stops: [exposure]
"""


def desk_for_evaluation(path: Path) -> Desk:
    """Return a desk of its own below `path` with the rule file."""
    club = path / "club-rules" / "checks"
    club.mkdir(parents=True, exist_ok=True)
    (club / f"{NAME}.yaml").write_text(RULES, encoding="utf-8")
    return Desk(path / "logs", RealDisk(), HandClock())


def station_at(path: Path, *pairs: tuple[str, str]) -> Path:
    """Write the example station below `path`, each first text replaced, found once."""
    text = example_station()
    for old, new in pairs:
        assert text.count(old) == 1, (text.count(old), old)
        text = text.replace(old, new)
    file = path / "station.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def evaluate(
    session: Session, step_id: str, file: Path | str, clearing: Clearing | None = None
) -> Answered:
    """Answer one of the steps with the station file."""
    step = session.walk.rule_file.step(step_id)
    typed: dict[str, Any] = {"file": str(file)}
    return session.answer(step_id, read_answer(step, typed), clearing)
