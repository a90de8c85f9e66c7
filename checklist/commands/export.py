"""Exports one session into a folder that a stranger checks with public tools."""

from __future__ import annotations

from pathlib import Path

from checklist.audit.exporting import README, export
from checklist.commands.exits import FINE
from checklist.commands.output import print_document, print_page
from checklist.commands.progress import to_the_next_word
from checklist.record.files.folder import LogFolder
from checklist.sessions.desk import Desk
from checklist.sessions.past.review import session_named


def export_session(desk: Desk, name: str, to: Path, *, as_json: bool) -> int:
    """Write the session into the new folder `to`, with the steps for checking it."""
    folder = LogFolder.look(desk.logs, desk.disk, desk.clock)
    session_id = session_named(folder, name)
    with to_the_next_word() as tell:
        files = export(folder, session_id, to, tell)
    if as_json:
        print_document({"folder": str(to), "files": [str(path) for path in files]})
    else:
        print_page([f"{len(files)} files are in {to}.", f"{to / README} says how to check them."])
    return FINE
