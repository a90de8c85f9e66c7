"""The guided paths of a tag: hung, taken off, handed over, taken off for somebody absent.

Each returns what came of it in whole sentences, or an empty text where somebody went back.
"""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.tags import EXCEPTION, SECOND_ROLES, Tag
from checklist.record.lookup.registers import Registers
from checklist.screens.asking import AskForm, AskOne, AskText, AskYes
from checklist.screens.askuntil import until_it_holds
from checklist.screens.longwork import in_thread
from checklist.screens.walking.sign import AskSigner
from checklist.sessions.entryrows import Row
from checklist.sessions.tagging.hanging import Hanging, hang, read_count
from checklist.sessions.tagging.tags import AT_THE_POINT
from checklist.sessions.tagging.untagging import after_taking_off, take_off, take_off_for_another

if TYPE_CHECKING:
    from checklist.record.journals.seal import Signing
    from checklist.screens.doors import Doors

_LAST_LOOK = (
    "Go to the point first: people out and told, tools and shorts removed and counted, your own "
    "lock off."
)


async def hung(app: Doors, folder: LogFolder) -> str:
    """Hang a lock and tag outside a walk; the lock itself hangs before it is entered."""
    points, people = await asyncio.to_thread(_registers, folder)
    rows = [
        Row("point", "isolation point", "the id marked at it", known=points),
        Row("lock", "lock", "the number on it"),
        Row("person", "hung by", "the name on the tag", known=people),
        Row("why", "why", "what the work is"),
        Row("until", "expected end", "18:00, or 8 h"),
        Row("reach", "reach them at", "phone or channel; empty: as known", may_be_empty=True),
        Row("locks", "locks there", "yours included; or empty", may_be_empty=True, check=_count),
    ]

    def attempt(values: dict[str, str]) -> Tag:
        return hang(folder, Hanging(**values))

    says = [AT_THE_POINT, "Hang the lock and see that it holds; then enter it here."]
    tag = await until_it_holds(app, "Hang a lock and tag", says, rows, attempt)
    return f"Lock {tag.lock} hangs at {tag.point}: it is entered." if tag else ""


async def taken_off(app: Doors, folder: LogFolder, tag: Tag) -> str:
    """Ask the person who hung a tag to take it off, after a count of the locks at the point."""
    says = [
        f"Lock {tag.lock}, hung by {tag.person} on {tag.since:%d %b %H:%M}.",
        f"{AT_THE_POINT} {_LAST_LOOK}",
        f"Only {tag.person} does this. Is {tag.person} here, and is the lock off?",
    ]
    if not await app.push_screen_wait(AskYes(f"Take the tag off {tag.point}?", says)):
        return ""
    left = await _counted(app, "Count the locks that still hang at the point.", "other locks left")
    return await _taken_off_by_applier(app, folder, tag, left) if left else ""


async def relieved(app: Doors, folder: LogFolder, tag: Tag) -> str:
    """Change the shift without a gap: the lock that comes on is hung before the other is off."""
    points = [
        AT_THE_POINT,
        f"1. Whoever comes on hangs a lock of their own at {tag.point}, and enters it here.",
        f"2. Only then {tag.person} takes lock {tag.lock} off.",
    ]
    _, people = await asyncio.to_thread(_registers, folder)
    rows = [
        Row("person", "comes on", "the name on the new tag", known=people),
        Row("lock", "new lock", "the number on it"),
        Row("until", "expected end", "18:00, or 8 h"),
        Row("reach", "reach them at", "phone or channel; empty: as known", may_be_empty=True),
    ]

    def attempt(values: dict[str, str]) -> Tag:
        why = tag.why or f"goes on with the work of {tag.person}"
        return hang(folder, Hanging(point=tag.point, why=why, **values), relieves=tag.id)

    new = await until_it_holds(app, f"Change of shift at {tag.point}", points, rows, attempt)
    if new is None:
        return ""
    both = f"Both locks hang: {new.lock} of {new.person} and {tag.lock} of {tag.person}."
    says = [
        both,
        f"{AT_THE_POINT} See both there. {new.person} knows where the work stands, what is open "
        f"and what is shorted. Then {tag.person} takes lock {tag.lock} off.",
        f"Is {tag.person} here, and is lock {tag.lock} off?",
    ]
    if not await app.push_screen_wait(AskYes("Step 2: the lock that goes off", says)):
        return both
    left = await _counted(app, "Count the locks that hang at the point now.", "locks there")
    if not left:
        return both
    return await _taken_off_by_applier(app, folder, tag, left, new.id) or both


async def removed(app: Doors, folder: LogFolder, tag: Tag) -> str:
    """Take off the lock of somebody who is not here, by the exception of 29 CFR 1910.147(e)(3)."""
    says = [
        f"Lock {tag.lock} of {tag.person}, reached at: {tag.reach or 'not known'}.",
        f"{AT_THE_POINT} All three are needed, and two signatures, one of them by whoever is in "
        "charge or the safety officer (29 CFR 1910.147(e)(3); the second is a rule of this "
        "program). A key left at home is no reason.",
    ]
    rows = [Row(name, _SHORT[name], means) for name, means in EXCEPTION.items()]
    rows.append(Row("left", "other locks left", "a count, as 0", check=_count))

    def attempt(values: dict[str, str]) -> dict[str, str]:
        unknown = [EXCEPTION[name] for name, text in values.items() if text == "?"]
        if unknown:
            raise StandclearError(f"it is not known {'; '.join(unknown)}: the lock stays")
        return values

    facts = await until_it_holds(app, f"Another's lock at {tag.point}", says, rows, attempt)
    if facts is None:
        return ""
    left = facts.pop("left")
    choices = [(str(n), role, role) for n, role in enumerate(SECOND_ROLES, start=1)]
    role = await app.push_screen_wait(AskOne("The second signature is given as", choices))
    if role is None:
        return ""
    signers: list[Signing] = []
    for each in ("worker", role):
        taken = [signer.person for signer in signers]
        signer = await app.push_screen_wait(AskSigner(folder, each, "", taken))
        if signer is None:
            return "Nothing was taken off."
        signers.append(signer)
    try:
        entry = await asyncio.to_thread(take_off_for_another, folder, tag, signers, facts, left)
    except StandclearError as error:
        return error.sentence()
    return f"{after_taking_off(entry)} Tell {tag.person} before any work goes on."


async def log_read(app: Doors, folder: LogFolder) -> str:
    """Read what another laptop's log folder tells of tags."""
    from checklist.sessions.tagging.takingover import read_log_at

    text = await app.push_screen_wait(
        AskText(
            "Another laptop's log folder: its own, or a copy made just now", "its folder", "/media/"
        )
    )
    if not text:
        return ""
    try:
        path = Path(text.strip()).expanduser()
        return await in_thread(
            app, "reading the other log", lambda tell: read_log_at(folder, path, tell)
        )
    except (StandclearError, RuntimeError) as error:
        return error.sentence() if isinstance(error, StandclearError) else str(error)


_SHORT = {"absent": "absence verified", "contact": "contact attempted", "told": "told by"}


async def _taken_off_by_applier(
    app: Doors, folder: LogFolder, tag: Tag, left: str, relieved_by: str = ""
) -> str:
    signer = await app.push_screen_wait(AskSigner(folder, "worker", tag.person, []))
    if signer is None:
        return ""
    try:
        entry = await asyncio.to_thread(
            lambda: take_off(folder, tag, signer, left, relieved_by=relieved_by)
        )
    except StandclearError as error:
        return error.sentence()
    return after_taking_off(entry)


async def _counted(app: Doors, title: str, label: str) -> str:
    """Return a count of locks in digits, or an empty text where somebody went back."""
    values = await app.push_screen_wait(
        AskForm(title, [], [Row("n", label, "a count, as 0", check=_count)])
    )
    return values["n"] if values and values["n"] != "?" else ""


def _count(text: str) -> str:
    read_count(text, "locks")
    return ""


def _registers(folder: LogFolder) -> tuple[list[str], list[str]]:
    registers = Registers.open(folder)
    try:
        points = [point.name for point in registers.isolation_points()]
        return points, [person.name for person in registers.people()]
    except StandclearError:  # a register saves typing and must not stand in the way
        return [], []
