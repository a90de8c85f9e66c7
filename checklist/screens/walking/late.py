"""What is signed after the walk: a signature that was missing."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.walking.sign import AskSigner
from checklist.sessions.closing import short_code

if TYPE_CHECKING:
    from checklist.screens.doors import Doors


async def signed_late(app: Doors, session_id: str) -> str:
    """Ask everybody whose signature is missing, and return what came of it in one sentence."""
    from checklist.record.journals.seal import sign_late
    from checklist.record.journals.states import session_states

    folder = app.desk.folder
    try:
        state = await asyncio.to_thread(lambda: session_states(folder).get(session_id))
        ready = []
        for due in state.missing if state else ():
            signer = await app.push_screen_wait(AskSigner(folder, due.role, due.person, []))
            if signer is not None and signer.key is not None:
                ready.append(signer)
        if not ready:
            return ""
        entry = await asyncio.to_thread(sign_late, folder, session_id, ready)
    except StandclearError as error:
        return error.sentence()
    names = ", ".join(s.person for s in ready)
    return f"Signed by {names}: entry {entry.entry.number}, code {short_code(entry)}."
