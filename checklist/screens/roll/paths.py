"""What the guided paths of people and keys have in common: fields, keys opened, what is typed."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.files.folder import LogFolder
from checklist.record.roll.inforce import Taken
from checklist.record.roll.keys import UnlockedKey, make_key, unlock
from checklist.record.roll.people import Member, check_member
from checklist.screens.askuntil import until_it_holds
from checklist.sessions.closing import key_of
from checklist.sessions.entryrows import Row
from checklist.sessions.roll import people as doing
from checklist.sessions.roll.peopleview import PeopleHere, PersonHere

if TYPE_CHECKING:
    from checklist.record.roll.keys import KeyCard
    from checklist.screens.doors import Doors

_T = TypeVar("_T")

SECRET = "passphrase"  # noqa: S105 - the name of a field
OFFICER_ROW = Row(SECRET, "officer's passphrase", secret=True)


@dataclass(frozen=True, slots=True)
class At:
    """Where a path begins: the laptop's people, and the one at the mark."""

    app: Doors
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


async def own_key(
    at: At, name: str, *, is_new: bool = False, card: KeyCard | None = None
) -> UnlockedKey | None:
    """Return the key of a card, or a person's newest here, opened; or a new one, asked twice."""
    if not is_new and card is None:
        card = await asyncio.to_thread(key_of, at.folder, name)
    rows = [Row(SECRET, "passphrase", secret=True)]
    if card is not None:
        known = card

        def unlocked(values: dict[str, str]) -> UnlockedKey:
            return unlock(at.folder, known, values[SECRET])

        return await until_it_holds(at.app, f"The key of {card.person}", [], rows, unlocked)

    def made(values: dict[str, str]) -> UnlockedKey:
        if values[SECRET] != values["again"]:
            raise StandclearError("the two passphrases differ", right="Type both again.")
        return make_key(at.folder, name, values[SECRET])

    rows.append(Row("again", "passphrase again", secret=True))
    says = [f"A new key is made for {name}, locked by 8 characters or more that only you know."]
    return await until_it_holds(at.app, f"A new key for {name}", says, rows, made)


async def done(job: Callable[[], _T]) -> _T | str:
    """Do it in a thread; return what came of it, or what is wrong in one sentence."""
    try:
        return await asyncio.to_thread(job)
    except StandclearError as error:
        return error.sentence()


def officer_of(folder: LogFolder, values: dict[str, str]) -> UnlockedKey:
    """Return the key of the officer in office, opened with what the form holds."""
    return unlock(folder, doing.officer_card(folder), values[SECRET])


def in_force(taken: Taken) -> str:
    """Say which roster is in force after a change."""
    return f"Roster {taken.newest.version.number} is in force; s writes it for the stations."


def name_row(name: str) -> Row:
    """Return the field for a name."""
    return Row("name", "name", value=name)


def call_row() -> Row:
    """Return the field for a call sign."""
    return Row("call", "call sign", "or empty", may_be_empty=True)


def person_given(values: dict[str, str]) -> dict[str, str]:
    """Return the values of a person fit to stand in a roster; StandclearError otherwise."""
    require_known(values["name"])
    name = accept(values["name"], field="name", longest=80)
    roles, call = roles_in(values.get("roles", "")), values.get("call", "").upper()
    check_member(Member(name, roles, call))
    return {**values, "name": name}


def require_known(*texts: str) -> None:
    """Refuse the sign for what is not known."""
    if "?" in texts:
        raise StandclearError("this must be known", right="Find it out, then do it again.")


def roles_in(text: str) -> tuple[str, ...]:
    """Return the roles that a text names, between commas."""
    return doing.read_roles([part for part in text.split(",") if part.strip()])


def roles_check(text: str) -> str:
    """Return how a text of roles is understood."""
    return ", ".join(roles_in(text))
