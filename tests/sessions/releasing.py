"""A small club rule file for the way back: nothing may be locked where power comes on again."""

from __future__ import annotations

from pathlib import Path

from checklist.record.files.disk import RealDisk
from checklist.sessions.desk import Desk
from tests.record.making import HandClock

NAME = "odd-release"

RULES = """\
format: 1
name: odd-release
title: "Power on again [/x]"
edition: 2026-11-25
written-for: tests, on an invented hill
about: A small invented rule file for tests.
valid: 2 h
signers: {in charge: 1}
parts:
  - part: on the spot
    title: At the panel
    valid: 2 h
    steps:
      - id: free
        ask: Is every point free of locks and tags?
        tag: {free: every breaker and plug that is closed now}
        clear:
          - do: Have each lock taken off by its applier, and answer again.
            evidence: [Who took it off]
        guards-life: yes
        why: Somebody's hands may still be inside.
        sources: [osha-147-removal]
examples:
  - name: nothing hangs
    answers:
      free: {points: [breaker 14], others: none}
    verdict: no stop found
  - name: a lock hangs
    answers:
      free: {points: [breaker 14], others: none, hangs: ["breaker 14, 5, Wren Holloway"]}
    verdict: stopped
    stops: [free]
"""


def desk_for_release(path: Path) -> Desk:
    """Return a desk of its own below `path`, as another laptop has, with the rule file."""
    path.mkdir(parents=True, exist_ok=True)
    club = path / "club-rules" / "checks"
    club.mkdir(parents=True, exist_ok=True)
    (club / f"{NAME}.yaml").write_text(RULES, encoding="utf-8")
    return Desk(path / "logs", RealDisk(), HandClock())
