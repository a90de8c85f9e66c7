"""The guided paths of people and keys: appointed, enrolled, lost, renewed, taken, compared.

Each returns what came of it in whole sentences, or an empty text where somebody went back.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.appointing import (
    Taken,
    appoint,
    roster_file,
    take_roster,
)
from checklist.record.enrolment import Enrolment, read_request
from checklist.record.errors import KeyRefused
from checklist.record.folder import LogFolder
from checklist.record.keys import UnlockedKey, make_key, unlock
from checklist.record.receipts import TITLE as RECEIPT_TITLE
from checklist.record.receipts import take_receipt
from checklist.record.receiving import Given, receive_file, receive_folder
from checklist.record.roster import Roster
from checklist.record.spoken import is_key_code, key_code, typed_digits
from checklist.screens.asking import AskOne, AskYes, until_it_holds
from checklist.screens.form import Row
from checklist.sessions import people as doing
from checklist.sessions.carrying import carried_path, read_carried, require_new, write_carried
from checklist.sessions.closing import key_of
from checklist.sessions.peopleview import PeopleHere, PersonHere, compare_code

if TYPE_CHECKING:
    from checklist.screens.app import StandclearApp

_T = TypeVar("_T")

_OWN_SCREEN = "Have the code read to you from the person's own screen, not out of this file."
_SECRET = "passphrase"  # noqa: S105 - the name of a field
_OFFICER_ROW = Row(_SECRET, "officer's passphrase", secret=True)


@dataclass(frozen=True, slots=True)
class At:
    """Where a path begins: the laptop's people, and the one at the mark."""

    app: StandclearApp
    here: PeopleHere
    marked: PersonHere | None

    @property
    def folder(self) -> LogFolder:
        """The log folder."""
        return self.app.desk.folder

    @property
    def name(self) -> str:
        """The name at the mark, or an empty text."""
        return self.marked.name if self.marked else ""


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
    rows = [_name_row(at.name), _call_row()]
    values = await until_it_holds(at.app, "Appoint a safety officer", says, rows, _person_given)
    key = await _own_key(at, values["name"]) if values else None
    if values is None or key is None:
        return ""
    call = values["call"].upper()
    taken = await _done(lambda: appoint(at.folder, key, call))
    if isinstance(taken, str):
        return taken
    return f"{key.person} is the safety officer. Code for every station: {key_code(key.public)}"


async def requested(at: At) -> str:
    """Ask to be enrolled with the newest key here, made now where there is none."""
    return await _request(at, "Request to be enrolled", at.name, is_new=False)


async def renewed(at: At) -> str:
    """Make a new key that the old one vouches for."""
    name = await _named(at, "Renew a key", "The old key, which is here, signs for the new one.")
    card = await asyncio.to_thread(key_of, at.folder, name) if name else None
    if not name or card is None:
        lost = "The old key is not on this laptop; where it is lost, press l."
        return f"{name} has no key here. {lost}" if name else ""
    old = await _own_key(at, name)
    if old is None:
        return ""
    version = at.here.version
    if version is not None and version.officer == old.public:
        return await _officer_renewed(at, old)
    return await _request(at, f"The new key of {card.person}", card.person, is_new=True, old=old)


async def enrolled(at: At, *, as_officer: bool = False) -> str:
    """Put the person of a request into the roster, after the code was compared aloud."""
    title = "The next safety officer" if as_officer else "Enrol from a request"

    def opened(values: dict[str, str]) -> tuple[bytes, Enrolment]:
        doing.officer_card(at.folder)
        data = read_carried(carried_path(values["file"]))
        return data, read_request(data)

    rows = [Row("file", "request file", "/media/stick/request.txt")]
    given = await until_it_holds(at.app, title, ["The file that the person brought."], rows, opened)
    if given is None:
        return ""
    data, wanted = given
    renews = " The old key vouches for it." if wanted.renews else ""
    roles = ", ".join(wanted.roles)
    says = [
        f"{wanted.person} asks to sign as {roles or 'whatever you decide'}.{renews}",
        _OWN_SCREEN,
    ]
    rows = [
        Row("code", "code read aloud", "20 digits and letters", check=_code_check(wanted.public)),
        Row("roles", "roles", "in charge, worker", roles, check=_roles_check, may_be_empty=True),
        Row("trained", "last trained", "2026-11-25, or empty", may_be_empty=True),
        _OFFICER_ROW,
    ]

    def attempt(values: dict[str, str]) -> Taken:
        return doing.enrol_from(
            at.folder,
            _officer(at.folder, values),
            data,
            values["code"],
            roles=_roles(values["roles"]),
            trained=values["trained"],
            as_officer=as_officer,
        )

    taken = await until_it_holds(at.app, title, says, rows, attempt)
    if taken is None:
        return ""
    now_officer = f" {wanted.person} is the safety officer from now on." if as_officer else ""
    return f"{wanted.person} is enrolled.{now_officer} {_in_force(taken)}"


async def lost(at: At) -> str:
    """Revoke a lost key on the officer's laptop; elsewhere make a new one and its request."""
    if not at.here.officer_is_here:
        said = await _request(at, "Key lost: make a new one", at.name, is_new=True)
        return f"{said} Tell the officer to revoke the old key." if said else ""
    rows = [
        _name_row(at.name),
        Row("code", "code of the key", "empty: all of them", may_be_empty=True),
        Row("reason", "what happened", "laptop stolen"),
        Row("since", "lost since", "2026-11-25 18:00; empty: now", may_be_empty=True),
        _OFFICER_ROW,
    ]

    def attempt(values: dict[str, str]) -> Taken:
        _require_known(values["name"], values["reason"])
        return doing.revoke(
            at.folder,
            _officer(at.folder, values),
            values["name"],
            values["code"],
            values["reason"],
            values["since"],
        )

    says = ["Nothing signed with it counts from then on, nor what is dated before without receipt."]
    taken = await until_it_holds(at.app, "Key lost: revoke it", says, rows, attempt)
    if taken is None:
        return ""
    done = f"Revoked. {_in_force(taken)}"
    more = ["It is enrolled from the file, as any request is."]
    if await at.app.push_screen_wait(AskYes("Is a request with a new key here already?", more)):
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
        Row("roles", "roles", value=", ".join(member.roles), check=_roles_check),
        Row("call", "call sign", value=member.call_sign, may_be_empty=True),
        Row("trained", "last trained", "2026-11-25", _day_of(member.trained), may_be_empty=True),
        Row("until", "keys run out on", "2027-11-25, or empty", may_be_empty=True),
        _OFFICER_ROW,
    ]

    def attempt(values: dict[str, str]) -> Taken:
        wanted = doing.Change(
            _roles(values["roles"]), values["call"], values["trained"], values["until"]
        )
        return doing.change(at.folder, _officer(at.folder, values), member.name, wanted)

    taken = await until_it_holds(at.app, f"Details of {member.name}", [], rows, attempt)
    return f"Changed. {_in_force(taken)}" if taken else ""


async def taken_over(at: At) -> str:
    """Put the roster, or the receipt, of a file in force here."""
    rows = [
        Row("file", "file", "/media/stick/roster.txt"),
        Row("code", "officer's code", "as read to you, or empty", may_be_empty=True),
    ]
    says = ["The officer's code is needed the first time, and where a new officer begins."]

    def attempt(values: dict[str, str]) -> str:
        data = read_carried(carried_path(values["file"]))
        if data.startswith(RECEIPT_TITLE.encode()):
            return f"The receipt up to entry {take_receipt(at.folder, data).number} is kept here."
        taken = take_roster(at.folder, data, values["code"])
        number = taken.newest.version.number
        return f"Roster {number} of {taken.newest.version.officer_name} is in force here."

    return await until_it_holds(at.app, "Take over a roster or receipt", says, rows, attempt) or ""


async def roster_sent(at: At) -> str:
    """Write the roster into a new file for the stations."""

    def attempt(values: dict[str, str]) -> Path:
        path = carried_path(values["file"])
        write_carried(path, roster_file(Roster.read(at.folder)))
        return path

    rows = [Row("file", "new file", "/media/stick/roster.txt")]
    says = ["Each station takes it over with t."]
    path = await until_it_holds(at.app, "The roster for the stations", says, rows, attempt)
    return f"Written: {path}." if path else ""


async def receipt_given(at: At) -> str:
    """Check a station's log folder or file of entries against what was seen, and sign."""
    rows = [
        Row("source", "log folder or file", "/media/stick/logs"),
        Row("out", "receipt file", "for a file; a folder gets it", may_be_empty=True),
        _OFFICER_ROW,
    ]
    says = ["What you saw before is compared; the new entries are stored, then you sign."]
    given = await until_it_holds(
        at.app, "Receipt for a station", says, rows, lambda values: _receive(at, values)
    )
    if given is None:
        return ""
    receipt = given.receipt
    return (
        f"Receipt for log {receipt.origin[:8]} up to entry {receipt.number}, new: {given.fresh}. "
        f"Code for the paper log: {receipt.code}"
    )


async def compared(at: At) -> str:
    """Say whose key, or which entry, has a code that somebody reads aloud."""
    says = ["Of a key: 20 digits and letters. Of an entry: as in the paper log."]
    rows = [Row("code", "code", "1a2b-3c4d-...", check=_digits_check)]

    def attempt(values: dict[str, str]) -> str:
        return compare_code(at.folder, values["code"])

    return await until_it_holds(at.app, "Compare a code aloud", says, rows, attempt) or ""


async def _officer_renewed(at: At, old: UnlockedKey) -> str:
    """Renew the officer's own key at one go: both keys are in the same hands and laptop."""
    new = await _own_key(at, old.person, is_new=True)
    if new is None:
        return ""

    def attempt() -> Taken:
        data = doing.ask_to_enrol(at.folder, new, old=old)
        return doing.enrol_from(at.folder, old, data, key_code(new.public), as_officer=True)

    taken = await _done(attempt)
    if isinstance(taken, str):
        return taken
    return f"Your new code is {key_code(new.public)}. {_in_force(taken)}"


async def _request(
    at: At, title: str, name: str, *, is_new: bool, old: UnlockedKey | None = None
) -> str:
    rows = [
        _name_row(name),
        _call_row(),
        Row("roles", "roles", "in charge, worker", check=_roles_check, may_be_empty=True),
        Row("file", "new file", "/media/stick/request.txt"),
    ]
    if old is not None:
        rows = rows[-1:]

    def checked(values: dict[str, str]) -> dict[str, str]:
        require_new(carried_path(values["file"]))
        return _person_given({"name": name, "call": "", "roles": "", **values})

    says = ["The file goes to the safety officer; the code you read aloud, on the telephone too."]
    values = await until_it_holds(at.app, title, says, rows, checked)
    key = await _own_key(at, values["name"], is_new=is_new) if values else None
    if values is None or key is None:
        return ""
    path = carried_path(values["file"])

    def attempt() -> None:
        roles, call = _roles(values["roles"]), values["call"]
        data = doing.ask_to_enrol(at.folder, key, roles=roles, call_sign=call, old=old)
        write_carried(path, data)

    wrong = await _done(attempt)
    if isinstance(wrong, str):
        return wrong
    return f"Request written: {path}. Read this code aloud when asked: {key_code(key.public)}"


async def _named(at: At, title: str, says: str) -> str:
    values = await until_it_holds(at.app, title, [says], [_name_row(at.name)], _person_given)
    return values["name"] if values else ""


async def _own_key(at: At, name: str, *, is_new: bool = False) -> UnlockedKey | None:
    """Return a person's newest key here, opened; or a new one, which asks twice."""
    card = None if is_new else await asyncio.to_thread(key_of, at.folder, name)
    rows = [Row(_SECRET, "passphrase", secret=True)]
    if card is not None:
        known = card

        def unlocked(values: dict[str, str]) -> UnlockedKey:
            return unlock(at.folder, known, values[_SECRET])

        return await until_it_holds(at.app, f"The key of {card.person}", [], rows, unlocked)

    def made(values: dict[str, str]) -> UnlockedKey:
        if values[_SECRET] != values["again"]:
            raise StandclearError("the two passphrases differ", right="Type both again.")
        return make_key(at.folder, name, values[_SECRET])

    rows.append(Row("again", "passphrase again", secret=True))
    says = [f"A new key is made for {name}, locked by 8 characters or more that only you know."]
    return await until_it_holds(at.app, f"A new key for {name}", says, rows, made)


async def _done(job: Callable[[], _T]) -> _T | str:
    """Do it in a thread; return what came of it, or what is wrong in one sentence."""
    try:
        return await asyncio.to_thread(job)
    except StandclearError as error:
        return error.sentence()


def _receive(at: At, values: dict[str, str]) -> Given:
    source = carried_path(values["source"])
    key = _officer(at.folder, values)
    if source.is_dir():
        station = LogFolder.look(source, at.app.desk.disk, at.app.desk.clock)
        return receive_folder(at.folder, station, key)
    if not values["out"]:
        raise StandclearError("a receipt for a file goes into a file", right="Name a new one.")
    out = carried_path(values["out"])
    require_new(out)
    given = receive_file(at.folder, read_carried(source), key)
    write_carried(out, given.data)
    return given


def _officer(folder: LogFolder, values: dict[str, str]) -> UnlockedKey:
    return unlock(folder, doing.officer_card(folder), values[_SECRET])


def _in_force(taken: Taken) -> str:
    return f"Roster {taken.newest.version.number} is in force; s writes it for the stations."


def _name_row(name: str) -> Row:
    return Row("name", "name", value=name)


def _call_row() -> Row:
    return Row("call", "call sign", "or empty", may_be_empty=True)


def _person_given(values: dict[str, str]) -> dict[str, str]:
    _require_known(values["name"])
    name = accept(values["name"], field="name", longest=80)
    return {**values, "name": name}


def _require_known(*texts: str) -> None:
    if "?" in texts:
        raise StandclearError("this must be known", right="Find it out, then do it again.")


def _roles(text: str) -> tuple[str, ...]:
    return doing.read_roles([part for part in text.split(",") if part.strip()])


def _roles_check(text: str) -> str:
    return ", ".join(_roles(text))


def _digits_check(text: str) -> str:
    number, _, rest = text.strip().partition(" ")
    typed_digits(rest if number.isdecimal() and rest else text)
    return ""


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
