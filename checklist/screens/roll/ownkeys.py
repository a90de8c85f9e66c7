"""The paths that anybody follows on their own laptop: appointed, requested, renewed, taken over.

Each returns what came of it in whole sentences, or an empty text where somebody went back.
"""

from __future__ import annotations

import asyncio

from checklist.record.roll.appointing import appoint
from checklist.record.roll.inforce import Taken
from checklist.record.roll.keys import UnlockedKey
from checklist.record.roll.receipts import TITLE as RECEIPT_TITLE
from checklist.record.roll.spoken import code_readings, key_code
from checklist.record.roll.takingover import take_roster
from checklist.screens.asking import AskYes
from checklist.screens.askuntil import until_it_holds, until_long_work_holds
from checklist.screens.roll.paths import (
    At,
    call_row,
    done,
    in_force,
    name_row,
    own_key,
    person_given,
    roles_check,
    roles_in,
)
from checklist.sessions.entryrows import Row
from checklist.sessions.roll import people as doing
from checklist.sessions.roll.carrying import carried_path, read_carried, require_new, write_carried
from checklist.sessions.roll.covering import receipt_taken
from checklist.sessions.roll.peopleview import NOBODY_PINNED, compare_code
from checklist.sessions.roll.sending import Sent, new_entries
from checklist.stopping import Tell


async def appointed(at: At) -> str:
    """Make somebody the safety officer on their own laptop, and pin the key here."""
    says = [
        "The safety officer vouches for people and keys and signs receipts. Appoint on the "
        "officer's own laptop; every other one compares the code once, aloud."
    ]
    if at.here.version is not None:
        title = f"{at.here.version.officer_name} is the safety officer here. Appoint anew?"
        lost = "Only where that key is lost: every station must compare the new code aloud."
        if not await at.app.push_screen_wait(AskYes(title, [lost])):
            return ""
    rows = [name_row(at.name), call_row()]
    values = await until_it_holds(at.app, "Appoint a safety officer", says, rows, person_given)
    key = await own_key(at, values["name"]) if values else None
    if values is None or key is None:
        return ""
    call = values["call"].upper()
    taken = await done(lambda: appoint(at.folder, key, call))
    if isinstance(taken, str):
        return taken
    return f"{key.person} is the safety officer. Code for every station: {key_code(key.public)}"


async def requested(at: At) -> str:
    """Ask to be enrolled with the newest key here, made now where there is none."""
    return await request_written(at, "Request to be enrolled", at.name, is_new=False)


async def made_anew(at: At, title: str) -> str:
    """Make a new key where no safety officer vouches for any: it signs here from now on."""
    says = (
        "No safety officer is pinned here, so nobody need be asked, and nobody can revoke the old "
        "key. A new one signs here from now on."
    )
    name = await _named(at, title, says)
    key = await own_key(at, name, is_new=True) if name else None
    if key is None:
        return ""
    return (
        f"{key.person} signs here with a new key from now on, code {key_code(key.public)}. "
        "Write it into the paper log, with the day. Where there is an officer, r asks to be "
        "enrolled with it."
    )


async def renewed(at: At) -> str:
    """Make a new key that the old one vouches for."""
    if at.here.pinned == NOBODY_PINNED:
        return await made_anew(at, "Renew a key")
    name = await _named(at, "Renew a key", "The old key, which is here, signs for the new one.")
    if not name:
        return ""
    card, doubt = await asyncio.to_thread(doing.vouching_card, at.folder, name)
    if card is None:
        lost = "The old key is not on this laptop; where it is lost, press l."
        return f"{name} has no key here. {lost}"
    old = await own_key(at, name, card=card)
    if old is None:
        return ""
    version = at.here.version
    if version is not None and version.officer == old.public:
        return await _officer_renewed(at, old)
    said = await request_written(
        at, f"The new key of {card.person}", card.person, is_new=True, old=old
    )
    return f"{said} {doubt}".rstrip() if said else ""


async def taken_over(at: At) -> str:
    """Put the roster, or the receipt, of a file in force here."""
    rows = [
        Row("file", "file", "e.g. /media/stick/roster.txt"),
        Row("code", "officer's code", "as read to you, or empty", may_be_empty=True),
    ]
    says = ["The officer's code is needed the first time, and where a new officer begins."]

    def attempt(values: dict[str, str]) -> str:
        data = read_carried(carried_path(values["file"]))
        if data.startswith(RECEIPT_TITLE.encode()):
            return receipt_taken(at.folder, data)[2]
        taken = take_roster(at.folder, data, values["code"])
        number = taken.newest.version.number
        name = taken.newest.version.officer_name
        return f"Roster {number} of {name} is in force here. {taken.left_out_line}".rstrip()

    return await until_it_holds(at.app, "Take over a roster or receipt", says, rows, attempt) or ""


async def entries_sent(at: At) -> str:
    """Write what the officer has not seen yet into a new file; the receipt comes back with t."""

    def attempt(values: dict[str, str], tell: Tell) -> Sent:
        path = carried_path(values["file"])
        require_new(path)
        sent = new_entries(at.folder, values["after"], tell)
        write_carried(path, sent.data)
        return sent

    covers = at.here.covers
    rows = [
        Row("file", "new file", "e.g. /media/stick/entries.txt"),
        Row("after", "after entry", "the officer has it; 0: all", str(covers)),
    ]
    says = [
        "1  This file goes to the safety officer.  2  The officer presses g and gives a receipt.",
        "3  The receipt comes back as a file: t takes it over here.",
    ]
    sent = await until_long_work_holds(
        at.app, "Send new entries to the officer", says, rows, "reading the entries", attempt
    )
    if sent is None:
        return ""
    return (
        f"Entries {sent.first} to {sent.last} are written. Until the receipt is here, write into "
        f"the paper log: {sent.code}"
    )


async def compared(at: At) -> str:
    """Say whose key, or which entry, has a code that somebody reads aloud."""
    says = ["Of a key: 20 digits and letters. Of an entry: as in the paper log."]
    rows = [Row("code", "code", "e.g. 1a2b-3c4d-...", check=_digits_check)]

    def attempt(values: dict[str, str]) -> str:
        return compare_code(at.folder, values["code"])

    return await until_it_holds(at.app, "Compare a code aloud", says, rows, attempt) or ""


async def request_written(
    at: At, title: str, name: str, *, is_new: bool, old: UnlockedKey | None = None
) -> str:
    """Write the request of a person into a new file, and return the code to read aloud."""
    rows = [
        name_row(name),
        call_row(),
        Row("roles", "roles", "in charge, worker", check=roles_check, may_be_empty=True),
        Row("file", "new file", "e.g. /media/stick/request.txt"),
    ]
    if old is not None:
        rows = rows[-1:]

    def checked(values: dict[str, str]) -> dict[str, str]:
        require_new(carried_path(values["file"]))
        return person_given({"name": name, "call": "", "roles": "", **values})

    says = ["The file goes to the safety officer; the code you read aloud, on the telephone too."]
    values = await until_it_holds(at.app, title, says, rows, checked)
    key = await own_key(at, values["name"], is_new=is_new) if values else None
    if values is None or key is None:
        return ""
    path = carried_path(values["file"])

    def attempt() -> None:
        roles, call = roles_in(values["roles"]), values["call"]
        data = doing.ask_to_enrol(at.folder, key, roles=roles, call_sign=call, old=old)
        write_carried(path, data)

    wrong = await done(attempt)
    if isinstance(wrong, str):
        return wrong
    return f"Code to read aloud when asked: {key_code(key.public)}. The request is in {path}."


async def _officer_renewed(at: At, old: UnlockedKey) -> str:
    """Renew the officer's own key at one go: both keys are in the same hands and laptop."""
    new = await own_key(at, old.person, is_new=True)
    if new is None:
        return ""

    def attempt() -> Taken:
        data = doing.ask_to_enrol(at.folder, new, old=old)
        return doing.enrol_from(at.folder, old, data, key_code(new.public), as_officer=True)

    taken = await done(attempt)
    if isinstance(taken, str):
        return taken
    return f"Your new code is {key_code(new.public)}. {in_force(taken)}"


async def _named(at: At, title: str, says: str) -> str:
    values = await until_it_holds(at.app, title, [says], [name_row(at.name)], person_given)
    return values["name"] if values else ""


def _digits_check(text: str) -> str:
    code_readings(text)
    return ""
