"""The paths of the safety officer: enrol, revoke, change, hand over, send and give receipts.

Each returns what came of it in whole sentences, or an empty text where somebody went back.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.errors import KeyRefused
from checklist.record.files.folder import LogFolder
from checklist.record.roll.appointing import roster_file
from checklist.record.roll.enrolment import Enrolment, read_request
from checklist.record.roll.inforce import Taken
from checklist.record.roll.receiving import Given, receive_file, receive_folder
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import is_key_code
from checklist.screens.asking import AskOne, AskYes
from checklist.screens.askuntil import until_it_holds, until_long_work_holds
from checklist.screens.roll.ownkeys import appointed, made_anew, request_written, taken_over
from checklist.screens.roll.paths import (
    OFFICER_ROW,
    At,
    in_force,
    name_row,
    officer_of,
    require_known,
    roles_check,
    roles_in,
)
from checklist.sessions.entryrows import Row
from checklist.sessions.roll import people as doing
from checklist.sessions.roll.carrying import (
    carried_path,
    is_folder,
    read_carried,
    require_new,
    write_carried,
)
from checklist.sessions.roll.enrolling import request_line, require_enrollable
from checklist.sessions.roll.peopleview import NOBODY_PINNED
from checklist.stopping import Tell

_OWN_SCREEN = "Have the code read to you from the person's own screen, not out of this file."


async def enrolled(at: At, *, as_officer: bool = False) -> str:
    """Put the person of a request into the roster, after the code was compared aloud."""
    title = "The next safety officer" if as_officer else "Enrol from a request"

    def opened(values: dict[str, str]) -> tuple[bytes, Enrolment]:
        doing.officer_card(at.folder)
        data = read_carried(carried_path(values["file"]))
        wanted = read_request(data)
        require_enrollable(doing.in_force(at.folder), wanted, at.folder.clock.now())
        return data, wanted

    rows = [Row("file", "request file", "e.g. /media/stick/request.txt")]
    given = await until_it_holds(at.app, title, ["The file that the person brought."], rows, opened)
    if given is None:
        return ""
    data, wanted = given
    says, rows = _request_said(wanted)
    if at.here.version is not None:
        says.insert(1, request_line(at.here.version, wanted))

    def attempt(values: dict[str, str]) -> Taken:
        return doing.enrol_from(
            at.folder,
            officer_of(at.folder, values),
            data,
            values["code"],
            roles=roles_in(values["roles"]),
            trained=values["trained"],
            as_officer=as_officer,
        )

    taken = await until_it_holds(at.app, title, says, rows, attempt)
    if taken is None:
        return ""
    now_officer = f" {wanted.person} is the safety officer from now on." if as_officer else ""
    return f"{wanted.person} is enrolled.{now_officer} {in_force(taken)}"


def _request_said(wanted: Enrolment) -> tuple[list[str], list[Row]]:
    """Return what a request asks for, and the fields in which the officer decides on it."""
    renews = " The old key vouches for it." if wanted.renews else ""
    roles = ", ".join(wanted.roles)
    says = [
        f"{wanted.person} asks to sign as {roles or 'whatever you decide'}.{renews}",
        _OWN_SCREEN,
    ]
    rows = [
        Row("code", "code read aloud", "20 digits and letters", check=_code_check(wanted.public)),
        Row("roles", "roles", "in charge, worker", roles, check=roles_check, may_be_empty=True),
        Row("trained", "last trained", "2026-11-25, or empty", may_be_empty=True),
        OFFICER_ROW,
    ]
    return says, rows


async def lost(at: At) -> str:
    """Revoke a lost key on the officer's laptop; elsewhere make a new one and its request."""
    if at.here.pinned == NOBODY_PINNED:
        return await made_anew(at, "Key lost: make a new one")
    if not at.here.officer_is_here:
        said = await request_written(at, "Key lost: make a new one", at.name, is_new=True)
        return f"Tell the officer to revoke the old key. {said}" if said else ""
    rows = [
        name_row(at.name),
        Row("code", "code of the key", "empty: all of them", may_be_empty=True),
        Row("reason", "what happened", "e.g. laptop stolen"),
        Row("since", "lost since", "2026-11-25 18:00; empty: now", may_be_empty=True),
        OFFICER_ROW,
    ]

    def attempt(values: dict[str, str]) -> Taken:
        require_known(values["name"], values["reason"])
        return doing.revoke(
            at.folder,
            officer_of(at.folder, values),
            values["name"],
            values["code"],
            values["reason"],
            values["since"],
        )

    says = [
        "Nothing signed with it counts from then on. What is dated before counts only under a "
        "receipt from before."
    ]
    taken = await until_it_holds(at.app, "Key lost: revoke it", says, rows, attempt)
    if taken is None:
        return ""
    done = f"Revoked. {in_force(taken)}"
    more = [
        "The old key is revoked. A new one is made on the person's own laptop, at people with l, "
        "and comes as a file.",
        "y enrols it now; n leaves that for later, with e.",
    ]
    if await at.app.push_screen_wait(AskYes("Is the request with a new key here already?", more)):
        return await enrolled(at) or done
    return done


async def officer_changed(at: At) -> str:
    """Choose how the next safety officer comes into office."""
    choices = [("2", "take", "take over the roster of the new officer, by file")]
    if at.here.officer_is_here:
        choices.insert(0, ("1", "sign", "the officer in office signs the next one in"))
    choices.append(("3", "anew", "the old officer's key is lost: appoint anew here"))
    chosen = await at.app.push_screen_wait(AskOne("The safety officer changes", choices))
    if chosen == "sign":
        return await enrolled(at, as_officer=True)
    if chosen == "take":
        return await taken_over(at)
    return await appointed(at) if chosen == "anew" else ""


async def details_changed(at: At) -> str:
    """Change roles, call sign, training or the end of the keys of the person at the mark."""
    member = at.marked.member if at.marked else None
    if member is None:
        return "Put the mark on somebody of the roster first."
    rows = [
        Row("roles", "roles", value=", ".join(member.roles), check=roles_check),
        Row("call", "call sign", value=member.call_sign, may_be_empty=True),
        Row("trained", "last trained", "2026-11-25", _day_of(member.trained), may_be_empty=True),
        Row("until", "keys run out on", "2027-11-25, or empty", may_be_empty=True),
        OFFICER_ROW,
    ]

    def attempt(values: dict[str, str]) -> Taken:
        wanted = doing.Change(
            roles_in(values["roles"]), values["call"], values["trained"], values["until"]
        )
        return doing.change(at.folder, officer_of(at.folder, values), member.name, wanted)

    taken = await until_it_holds(at.app, f"Details of {member.name}", [], rows, attempt)
    return f"Changed. {in_force(taken)}" if taken else ""


async def roster_sent(at: At) -> str:
    """Write the roster into a new file for the stations."""

    def attempt(values: dict[str, str]) -> Path:
        path = carried_path(values["file"])
        write_carried(path, roster_file(Roster.read(at.folder)))
        return path

    rows = [Row("file", "new file", "e.g. /media/stick/roster.txt")]
    says = ["Each station takes it over with t."]
    path = await until_it_holds(at.app, "The roster for the stations", says, rows, attempt)
    return f"Written: {path}." if path else ""


async def receipt_given(at: At) -> str:
    """Check a station's log folder or file of entries against what was seen, and sign."""
    rows = [
        Row("source", "log folder or file", "e.g. /media/stick/logs"),
        Row("out", "receipt file", "for a file; a folder gets it", may_be_empty=True),
        OFFICER_ROW,
    ]
    says = ["What you saw before is compared; the new entries are stored, then you sign."]
    given = await until_long_work_holds(
        at.app,
        "Receipt for a station",
        says,
        rows,
        "giving the receipt",
        lambda values, tell: _receive(at, values, tell),
    )
    if given is None:
        return ""
    receipt = given.receipt
    return (
        f"Receipt for log {receipt.origin[:8]} up to entry {receipt.number}, new: {given.fresh}. "
        f"Code for the paper log: {receipt.code}"
    )


def _receive(at: At, values: dict[str, str], tell: Tell) -> Given:
    source = carried_path(values["source"])
    key = officer_of(at.folder, values)
    if is_folder(source):
        station = LogFolder.look(source, at.app.desk.disk, at.app.desk.clock)
        return receive_folder(at.folder, station, key, tell)
    if not values["out"]:
        raise StandclearError("a receipt for a file goes into a file", right="Name a new one.")
    out = carried_path(values["out"])
    require_new(out)
    given = receive_file(at.folder, read_carried(source), key, tell)
    write_carried(out, given.data)
    return given


def _code_check(public: str) -> Callable[[str], str]:
    def check(text: str) -> str:
        if not is_key_code(text, public):
            raise KeyRefused(
                "this is not the code of the key in the file: do not enrol it",
                right="Have the whole code read again.",
            )
        return "The same code."

    return check


def _day_of(day: date | None) -> str:
    return day.isoformat() if day else ""
