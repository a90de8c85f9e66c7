"""What is signed after the walk: a missing signature, a tag that comes off."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.asking import AskText, AskYes
from checklist.screens.sign import AskSigner
from checklist.sessions.closing import short_code
from checklist.sessions.tags import OpenTag
from checklist.sessions.untagging import take_off

if TYPE_CHECKING:
    from checklist.screens.app import StandclearApp


async def signed_late(app: StandclearApp, session_id: str) -> str:
    """Ask everybody whose signature is missing, and return what came of it in one sentence."""
    from checklist.record.seal import sign_late
    from checklist.record.states import session_states

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


async def taken_off(app: StandclearApp, tag: OpenTag) -> str:
    """Ask the person who hung a tag to take it off, and return what came of it."""
    here = await app.push_screen_wait(
        AskYes(
            f"Take the tag off {tag.point}?",
            [
                f"Lock {tag.lock}, hung by {tag.person} on {tag.since:%d %b %H:%M}.",
                "The lock at the point decides, not this screen. Go there first: people out and "
                "told, tools and shorts removed and counted, your own lock off.",
                f"Only {tag.person} does this. Is {tag.person} here, and is the lock off?",
            ],
        )
    )
    if not here:
        return ""
    left = await app.push_screen_wait(
        AskText("Count the locks that still hang at the point.", "other locks left", "0")
    )
    if left is None:
        return ""
    folder = app.desk.folder
    signer = await app.push_screen_wait(AskSigner(folder, "worker", tag.person, []))
    if signer is None:
        return ""
    try:
        entry = await asyncio.to_thread(take_off, folder, tag, signer, left)
    except StandclearError as error:
        return error.sentence()
    others = "" if left.strip("0") == "" else f" {left} other locks hang there: it stays closed."
    return f"The tag is off: entry {entry.entry.number}.{others}"
