"""Copies of log folders with a fault in each, for the audit to find: the one thing made by hand."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

from checklist.demo.club import LOGS, Club
from checklist.demo.happenings import Walked
from checklist.demo.seeded import SeededChance
from checklist.demo.walking import walk
from checklist.record.ledgers.ledger import Ledger

COPIES = "copies"
TAMPERED, TRUNCATED, FORKED = "tampered", "truncated", "forked"

TRUE_TEXT, CHANGED_TEXT = "40 ft", "48 ft"
"""What stood in a session file of the tampered copy, and what was put in its place."""

CUT_OFF = 2
"""Entries that the truncated copy lacks at its end."""

_INSTEAD = Walked(
    day=0, at="08:00", laptop="field-1", nick="instead of thunder", rule="field-event"
)


def make_copies(club: Club) -> None:
    """Make the three copies: one changed, one cut off, one that went on from an old state."""
    _tamper(club, _copy(club, "field-2", TAMPERED))
    _truncate(_copy(club, "field-3", TRUNCATED))
    _fork(club, _copy(club, "field-1", FORKED))


def _copy(club: Club, laptop: str, name: str) -> Path:
    logs = club.folder / COPIES / name / LOGS
    shutil.copytree(club.desks[laptop].logs, logs)
    return logs


def _tamper(club: Club, logs: Path) -> None:
    """Change one distance in a sealed session, as somebody might who wants it farther away."""
    path = logs / "sessions" / f"{club.sessions['field power']}.jsonl"
    data = path.read_bytes()
    if TRUE_TEXT.encode() not in data:
        raise AssertionError("the text to be changed does not stand in the session")
    path.write_bytes(data.replace(TRUE_TEXT.encode(), CHANGED_TEXT.encode()))


def _truncate(logs: Path) -> None:
    for path in sorted((logs / "ledger").iterdir())[-CUT_OFF:]:
        path.unlink()


def _fork(club: Club, logs: Path) -> None:
    """Set the copy back to the evening before the last session, and go on another way."""
    last = club.sessions["thunder"]
    desk = replace(club.desks["field-1"], logs=logs, chance=SeededChance(club.seed, FORKED))
    of_last = Ledger(desk.folder).of_session(last)
    for path in sorted((logs / "ledger").iterdir()):
        if int(path.stem) >= of_last[0].entry.number:
            path.unlink()
    (logs / "sessions" / f"{last}.jsonl").unlink()
    shutil.rmtree(logs / "receipts")
    original, club.desks["field-1"] = club.desks["field-1"], desk
    try:
        walk(club, _INSTEAD)
    finally:
        club.desks["field-1"] = original
