"""People and keys from the shell: requests, the roster, the officer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checklist.commands.asking import ask_signature
from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.commands.output import print_document, print_page
from checklist.commands.places import refuse_unreadable
from checklist.errors import StandclearError
from checklist.record.appointing import OFFICER_ROLE, appoint, roster_file, take_roster
from checklist.record.bundle import LARGEST_BUNDLE
from checklist.record.roster import NO_OFFICER, Roster
from checklist.record.spoken import key_code
from checklist.sessions import people as doing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.appointing import Taken
    from checklist.record.folder import LogFolder
    from checklist.record.keys import UnlockedKey
    from checklist.record.people import KeyTerm, Member
    from checklist.sessions.desk import Desk


def list_people(desk: Desk, *, as_json: bool) -> int:
    """Print the roster in force; NOT_SHOWN where there is none."""
    roster = Roster.read(desk.folder)
    newest = roster.newest
    if as_json:
        people = newest.members if newest else ()
        print_document(
            {
                "roster": str(newest.number) if newest else "",
                "officer": newest.officer_name if newest else "",
                "officer-code": key_code(newest.officer) if newest else "",
                "people": [_member_data(member) for member in people],
                "problem": roster.problem or ("" if newest else NO_OFFICER),
            }
        )
    elif newest is None:
        print_page([f"Nobody vouches for anyone here: {roster.problem or NO_OFFICER}."])
    else:
        lines = [
            f"Roster {newest.number} of {newest.at:%d %b %Y %H:%M}",
            f"Safety officer {newest.officer_name}, key {key_code(newest.officer)}",
        ]
        for member in newest.members:
            lines += [_member_line(member), *(f"    {_key_line(key)}" for key in member.keys)]
        print_page(lines)
    return FINE if newest else NOT_SHOWN


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
    old = None
    if is_new:
        old = None if is_lost else _key(desk.folder, name)
        key = _new_key(desk.folder, name)
    else:
        key = _key(desk.folder, name)
    data = doing.ask_to_enrol(desk.folder, key, roles=roles, call_sign=call_sign, old=old)
    write_new(out, data)
    print_page(
        [
            f"The request of {key.person} is in {out}.",
            "Bring it to the safety officer. When asked, read this code aloud:",
            f"  {key_code(key.public)}",
        ]
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
    data = read_file(file)
    taken = doing.enrol_from(
        desk.folder, _officer(desk.folder), data, code,
        roles=roles, trained=trained, as_officer=as_officer,
    )  # fmt: skip
    return _say(taken, "Enrolled.")


def revoke_key(desk: Desk, name: str, code: str, reason: str, since: str) -> int:
    """Revoke a key, or all of a person's."""
    taken = doing.revoke(desk.folder, _officer(desk.folder), name, code, reason, since)
    return _say(taken, "Revoked.")


def change_person(
    desk: Desk, name: str, roles: Sequence[str], call_sign: str, trained: str, until: str
) -> int:
    """Change what the roster says of a person."""
    wanted = doing.Change(roles, call_sign, trained, until)
    return _say(doing.change(desk.folder, _officer(desk.folder), name, wanted), "Changed.")


def write_roster(desk: Desk, out: Path) -> int:
    """Write the roster for the stations."""
    write_new(out, roster_file(Roster.read(desk.folder)))
    print_page([f"The roster is in {out}. Each station: standclear people take FILE"])
    return FINE


def take_file(desk: Desk, file: Path, code: str) -> int:
    """Take a roster over from a file."""
    taken = take_roster(desk.folder, read_file(file), code)
    return _say(taken, f"Roster {taken.newest.version.number} is in force here.")


def read_file(path: Path) -> bytes:
    """Return the bytes of a file that somebody named."""
    refuse_unreadable(path, LARGEST_BUNDLE)
    try:
        return path.read_bytes()
    except OSError as problem:
        raise StandclearError(f"it cannot be read ({problem.strerror})", where=str(path)) from None


def write_new(path: Path, data: bytes) -> None:
    """Write a file that must not exist yet."""
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise StandclearError(
            "this file exists already", where=str(path), right="Name a new one."
        ) from None
    except OSError as problem:
        raise StandclearError(
            f"it cannot be written ({problem.strerror})", where=str(path)
        ) from None


def officer_key(folder: LogFolder) -> UnlockedKey:
    """Return the key of the officer in office, opened with the passphrase that is asked for."""
    return _officer(folder)


def _officer(folder: LogFolder) -> UnlockedKey:
    return _key(folder, doing.in_force(folder).officer_name)


def _key(folder: LogFolder, name: str) -> UnlockedKey:
    signing = ask_signature(folder, name, OFFICER_ROLE)
    if signing.key is None:
        raise StandclearError(f"{name} has not signed", right="Type the passphrase.")
    return signing.key


def _new_key(folder: LogFolder, name: str) -> UnlockedKey:
    from checklist.commands.asking import ask_new_passphrase
    from checklist.record.keys import make_key

    return make_key(folder, name, ask_new_passphrase(name))


def _say(taken: Taken, what: str) -> int:
    version = taken.newest.version
    entry = f" It is entry {taken.recorded.entry.number}." if taken.recorded else ""
    print_page(
        [
            f"{what}{entry}",
            f"Roster {version.number}, safety officer {version.officer_name}, "
            f"key {key_code(version.officer)}",
        ]
    )
    return FINE


def _member_line(member: Member) -> str:
    call = f" {member.call_sign}" if member.call_sign else ""
    trained = f", trained {member.trained.isoformat()}" if member.trained else ""
    return f"  {member.name}{call}: {', '.join(member.roles) or 'no role'}{trained}"


def _key_line(key: KeyTerm) -> str:
    if key.revoked:
        state = f"REVOKED {key.revoked:%d %b %Y %H:%M}: {key.reason}"
    elif key.until:
        state = f"until {key.until:%d %b %Y %H:%M}"
    else:
        state = "no end"
    return f"key {key_code(key.public)}  from {key.since:%d %b %Y}, {state}"


def _member_data(member: Member) -> dict[str, object]:
    return {
        "name": member.name,
        "call-sign": member.call_sign,
        "roles": list(member.roles),
        "trained": member.trained.isoformat() if member.trained else "",
        "keys": [
            {
                "public": key.public,
                "code": key_code(key.public),
                "since": key.since.isoformat(),
                "until": key.until.isoformat() if key.until else "",
                "revoked": key.revoked.isoformat() if key.revoked else "",
                "reason": key.reason,
            }
            for key in member.keys
        ],
    }
