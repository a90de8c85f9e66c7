"""Exports one session: the folder is asked for, then the steps that stand in it are shown."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from checklist.screens.askuntil import until_long_work_holds
from checklist.screens.plain import PlainScreen
from checklist.sessions.entryrows import Row
from checklist.sessions.roll.carrying import carried_path
from checklist.stopping import Tell

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.screens.doors import Doors


async def exported(app: Doors, session_id: str) -> str:
    """Ask where to, write the session there, show how it is checked; return what was written."""
    from checklist.audit.exporting import README, export

    def attempt(values: dict[str, str], tell: Tell) -> tuple[Path, tuple[Path, ...]]:
        to = carried_path(values["folder"]).absolute()
        return to, export(app.desk.folder, session_id, to, tell)

    says = ["A stranger checks what is in it with sha256sum, OpenSSL 3 and a text editor."]
    rows = [Row("folder", "new folder", f"e.g. /media/stick/session-{session_id[:8]}")]
    done = await until_long_work_holds(app, "Export this session", says, rows, "exporting", attempt)
    if done is None:
        return ""
    to, files = done
    steps = await asyncio.to_thread((to / README).read_text, encoding="utf-8")
    said = f"{len(files)} files are in {to}; {README} there has these steps."
    app.push_screen(PlainScreen(f"Exported to {to}", [said, "", *steps.splitlines()]))
    return said
