"""A person's request to stand in the roster, signed with the new key.

The signature proves that whoever asks holds the key; who that is, the officer hears when
the key's code is read aloud. A request that renews a key is signed by the old one as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.errors import StandclearError
from checklist.record.errors import Damaged, KeyRefused, LaterForm
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.files.linereader import LineReader
from checklist.record.ledgers import notes
from checklist.record.roll.keys import require_sound
from checklist.record.roll.people import KeyTerm, Member, check_member
from checklist.record.roll.roster import is_signed_by
from checklist.record.roll.rostertext import NOTHING, read_roles, spelled_roles

if TYPE_CHECKING:
    from datetime import datetime

    from checklist.record.roll.keys import UnlockedKey

TITLE = "standclear enrolment 1"
"""The first line of every request: the format and its version."""

_ANY_VERSION = b"standclear enrolment "


@dataclass(frozen=True, slots=True)
class Enrolment:
    """Who asks to be enrolled, with which key."""

    person: str
    public: str
    at: datetime
    call_sign: str = ""
    roles: tuple[str, ...] = ()
    """What the person asks for; the officer decides."""

    renews: str = ""
    """The old key that signs this request too, or empty."""

    program: str = f"standclear {__version__}"

    def member(self) -> Member:
        """Return the person as the roster would hold them."""
        return Member(
            self.person, self.roles, self.call_sign, None, (KeyTerm(self.public, self.at),)
        )


def make_request(wanted: Enrolment, key: UnlockedKey, old: UnlockedKey | None = None) -> bytes:
    """Return the request as a signed note; KeyRefused where keys and names do not agree."""
    if (key.public, key.person) != (wanted.public, wanted.person):
        raise KeyRefused("the key at hand is not the one that is to be enrolled")
    if (old.public if old else "") != wanted.renews or wanted.renews == wanted.public:
        raise KeyRefused("the old key at hand is not the one that is to be renewed")
    text = _to_text(wanted)
    signatures = tuple(one.sign(text) for one in (key, old) if one is not None)
    return notes.compose(notes.Note(text, signatures))


def read_request(data: bytes) -> Enrolment:
    """Return what a request asks, every signature verified.

    Raises Damaged for anything not in form or not signed by the keys that it names,
    KeyRefused for a key of small order.
    """
    if not data.startswith(_ANY_VERSION):
        raise Damaged(
            "this file is no request to be enrolled", right="Name the file that the person brought."
        )
    note = notes.parse(data)
    found = _from_text(note.text)
    due = [found.public, *([found.renews] if found.renews else [])]
    if [signature.name for signature in note.signatures] != due:
        raise Damaged("the request is not signed by the keys that it names, once each")
    for public in due:
        if not is_signed_by(note, public):
            raise Damaged("a signature of the request does not verify")
    return found


def _to_text(wanted: Enrolment) -> str:
    check_member(wanted.member())
    require_sound(wanted.public)
    if wanted.renews:
        require_sound(wanted.renews)
    lines = [
        TITLE,
        f"time {stamp(wanted.at)}",
        f"program {wanted.program}",
        f"call-sign {wanted.call_sign or NOTHING}",
        f"roles {spelled_roles(wanted.roles)}",
        f"key {wanted.public}",
        f"renews {wanted.renews or NOTHING}",
        f"person {wanted.person}",
    ]
    return "\n".join(lines) + "\n"


def _from_text(text: str) -> Enrolment:
    try:
        lines = LineReader(text, TITLE)
        at, program = read_stamp(lines.due("time")), lines.due("program")
        call_sign, roles = lines.due("call-sign"), read_roles(lines.due("roles"))
        public, renews = lines.due("key"), lines.due("renews")
        person = lines.due("person")
        lines.end()
        found = Enrolment(
            person, public, at, _or_nothing(call_sign), roles, _or_nothing(renews), program
        )
        spelled = _to_text(found)
    except (KeyRefused, LaterForm):
        raise
    except (StandclearError, ValueError) as problem:
        said = problem.what if isinstance(problem, StandclearError) else str(problem)
        raise Damaged(f"the request is not in form: {said}") from problem
    if spelled != text:
        raise Damaged("the request is not spelled in the one form that is accepted")
    return found


def _or_nothing(text: str) -> str:
    return "" if text == NOTHING else text
