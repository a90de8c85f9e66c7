"""People and keys from the shell: requests, the roster, the officer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.commands.asking import ask_signature, ask_to_open
from checklist.commands.done import say_done
from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.commands.output import print_document, print_page
from checklist.errors import StandclearError
from checklist.record.roll.appointing import OFFICER_ROLE, appoint, roster_file
from checklist.record.roll.enrolment import read_request
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.sessions.roll import people as doing
from checklist.sessions.roll.carrying import read_carried, require_new, write_carried
from checklist.sessions.roll.enrolling import request_line, require_enrollable
from checklist.sessions.roll.peopleview import look_at_people

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.inforce import Taken
    from checklist.record.roll.keys import UnlockedKey
    from checklist.sessions.desk import Desk
    from checklist.sessions.roll.peopleview import PersonHere


_UNPINNED = (
    "No safety officer is pinned here: this key signs here from now on, whether asked for or not."
)


def list_people(desk: Desk, *, as_json: bool) -> int:
    """Print the roster in force and the keys kept here; NOT_SHOWN where there is no roster."""
    folder, says = desk.looked()
    found = look_at_people(folder)
    newest, problems = found.version, [*([says] if says else []), *found.problems]
    if as_json:
        print_document(
            {
                "roster": str(newest.number) if newest else "",
                "officer": newest.officer_name if newest else "",
                "officer-code": key_code(newest.officer) if newest else "",
                "officer-key-here": found.officer_is_here,
                "people": [_person_data(person) for person in found.people],
                "says": found.pinned,
                "receipts": found.tail,
                "problems": problems,
            }
        )
    else:
        lines = [*problems, f"{found.pinned.rstrip('.')}."]
        for person in found.people:
            lines += [f"  {person.name}: {person.about}"]
            lines += [f"    {key.line()}" for key in person.keys] or ["    no key"]
        print_page([*lines, found.tail])
    return FINE if newest and not found.problems else NOT_SHOWN


def write_request(
    desk: Desk,
    name: str,
    roles: Sequence[str],
    call_sign: str,
    out: Path,
    *,
    is_new: bool,
    is_lost: bool,
) -> int:
    """Write a request into a new file, and print the code to read aloud."""
    require_new(out)
    old, doubt = None, ""
    if is_new:
        card, doubt = doing.vouching_card(desk.folder, name)
        old = ask_to_open(desk.folder, card) if card and not is_lost else None
        key = _new_key(desk.folder, old.person if old else name)
    else:
        key = _key(desk.folder, name)
    data = doing.ask_to_enrol(desk.folder, key, roles=roles, call_sign=call_sign, old=old)
    write_carried(out, data)
    code = key_code(key.public)
    unpinned = [] if Roster.read(desk.folder).newest else [_UNPINNED]
    say_done(
        [
            f"The request of {key.person} is in {out}.",
            "Bring it to the safety officer. When asked, read this code aloud:",
            f"  {code}",
            *unpinned,
            *([doubt] if old and doubt and not unpinned else []),
        ],
        {"written": str(out), "person": key.person, "code": code},
    )
    return FINE


def appoint_officer(desk: Desk, name: str, call_sign: str) -> int:
    """Appoint a safety officer here, and print the code that the stations compare."""
    taken = appoint(desk.folder, _key(desk.folder, name), call_sign.upper())
    return _say(taken, f"{taken.newest.version.officer_name} is the safety officer now.")


def enrol(
    desk: Desk, file: Path, code: str, roles: Sequence[str], trained: str, *, as_officer: bool
) -> int:
    """Enrol the person of a request."""
    data = read_carried(file)
    wanted, before = read_request(data), doing.in_force(desk.folder)
    require_enrollable(before, wanted, desk.clock.now())
    taken = doing.enrol_from(
        desk.folder, officer_key(desk.folder), data, code,
        roles=roles, trained=trained, as_officer=as_officer,
    )  # fmt: skip
    said = request_line(before, wanted)
    member = doing.person_in(taken.newest.version, wanted.person)
    return _say(taken, f"{member.name} is enrolled as {', '.join(member.roles)}. {said}")


def revoke_key(desk: Desk, name: str, code: str, reason: str, since: str) -> int:
    """Revoke a key, or all of a person's."""
    taken = doing.revoke(desk.folder, officer_key(desk.folder), name, code, reason, since)
    return _say(taken, "Revoked.")


def change_person(
    desk: Desk, name: str, roles: Sequence[str], call_sign: str, trained: str, until: str
) -> int:
    """Change what the roster says of a person."""
    wanted = doing.Change(roles, call_sign, trained, until)
    return _say(doing.change(desk.folder, officer_key(desk.folder), name, wanted), "Changed.")


def write_roster(desk: Desk, out: Path) -> int:
    """Write the roster for the stations."""
    write_carried(out, roster_file(Roster.read(desk.folder)))
    said = f"The roster is in {out}. Each station: standclear people take FILE"
    say_done([said], {"written": str(out)})
    return FINE


def take_file(desk: Desk, file: Path, code: str) -> int:
    """Take a roster over from a file."""
    taken = take_roster(desk.folder, read_carried(file), code)
    said = f"Roster {taken.newest.version.number} is in force here. {taken.left_out_line}"
    return _say(taken, said.rstrip())


def officer_key(folder: LogFolder) -> UnlockedKey:
    """Return the key of the officer in office, opened with the passphrase that is asked for."""
    return ask_to_open(folder, doing.officer_card(folder))


def _key(folder: LogFolder, name: str) -> UnlockedKey:
    signing = ask_signature(folder, name, OFFICER_ROLE)
    if signing.key is None:
        raise StandclearError(f"{name} has not signed", right="Type the passphrase.")
    return signing.key


def _new_key(folder: LogFolder, name: str) -> UnlockedKey:
    from checklist.commands.asking import ask_new_passphrase
    from checklist.record.roll.keys import make_key

    return make_key(folder, name, ask_new_passphrase(name))


def _say(taken: Taken, what: str) -> int:
    version = taken.newest.version
    number = str(taken.recorded.entry.number) if taken.recorded else ""
    code = key_code(version.officer)
    say_done(
        [
            f"{what} Entry {number}." if number else what,
            f"Roster {version.number}, safety officer {version.officer_name}, key {code}",
        ],
        {
            "roster": str(version.number),
            "officer": version.officer_name,
            "officer-code": code,
            "entry": number,
        },
    )
    return FINE


def _person_data(person: PersonHere) -> dict[str, object]:
    member = person.member
    terms = {term.public: term for term in member.keys} if member else {}
    keys = []
    for key in person.keys:
        term = terms.get(key.public)
        keys.append(
            {
                "public": key.public,
                "code": key_code(key.public),
                "state": key.state.value,
                "here": key.is_here,
                "since": term.since.isoformat() if term else "",
                "until": term.until.isoformat() if term and term.until else "",
                "revoked": term.revoked.isoformat() if term and term.revoked else "",
                "reason": term.reason if term else "",
            }
        )
    return {
        "name": person.name,
        "call-sign": member.call_sign if member else "",
        "roles": list(member.roles) if member else [],
        "trained": member.trained.isoformat() if member and member.trained else "",
        "keys": keys,
    }
