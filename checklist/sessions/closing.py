"""How a walk ends: who must sign, the keys, and the seal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.lookup.matching import name_key
from checklist.rulefile import Role
from checklist.sessions.session import Session
from checklist.walk.answers import Present
from checklist.walk.events import Answered

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.seal import Signing
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.roll.keys import KeyCard


@dataclass(frozen=True, slots=True)
class Place:
    """One signature that the rule file asks for."""

    role: Role
    suggested: str
    """Somebody who is here in that role, or an empty text."""


def places(session: Session) -> tuple[Place, ...]:
    """Return the signatures that the walk needs, with the people who answered to those roles."""
    present = [
        person
        for event in session.walk.events
        if isinstance(event, Answered) and isinstance(event.answer, Present)
        for person in event.answer.people
    ]
    found = []
    taken: set[str] = set()
    for role, count in session.walk.rule_file.signers.items():
        for _ in range(count):
            fitting = (
                p.name
                for p in reversed(present)
                if p.role is role and name_key(p.name) not in taken
            )
            name = next(fitting, "")
            taken.add(name_key(name))
            found.append(Place(role, name))
    return tuple(found)


def repeated(names: Sequence[str]) -> str:
    """Return the first name that stands twice, or an empty text: signers are different people."""
    seen: set[str] = set()
    for name in names:
        if name_key(name) in seen:
            return name
        seen.add(name_key(name))
    return ""


def key_of(folder: LogFolder, person: str) -> KeyCard | None:
    """Return the newest key of this person that is kept here, in whatever spelling it was made."""
    from checklist.record.roll.keys import keys_of

    cards = [c for c in keys_of(folder) if name_key(c.person) == name_key(person)]
    return cards[-1] if cards else None


def signing(folder: LogFolder, person: str, role: Role | str, passphrase: str) -> Signing:
    """Return a person ready to sign: the key opened, or made if this is the first signature.

    An empty passphrase stands for somebody who is not here: the signature stays missing.
    Raises WrongPassphrase, KeyRefused or NotSaved.
    """
    from checklist.record.journals.seal import Signing
    from checklist.record.roll.keys import make_key, unlock

    card = key_of(folder, person)
    if not passphrase:
        if card is None:
            return Signing(person, str(role))
        return Signing(card.person, str(role), known_key=card.public)
    key = unlock(folder, card, passphrase) if card else make_key(folder, person, passphrase)
    return Signing(key.person, str(role), key)


def seal_walk(session: Session, signings: Sequence[Signing]) -> Recorded:
    """End the walk and seal it with the signatures that are here; see record.seal.seal."""
    from checklist.record.journals.seal import seal

    folder, journal = session.kept_in()
    closed = session.walk.closed or session.end()
    entry = seal(folder, journal, verdict=str(closed.verdict), signings=signings)
    session.close()
    return entry


def unvouched(folder: LogFolder, sealed: Recorded) -> str:
    """Say which signatures of an entry the roster here does not vouch for, or nothing.

    Nothing as well where no roster is in force: then nobody is vouched for. Reads the whole
    ledger, so it belongs off the event loop.
    """
    from checklist.record.roll.roster import Roster
    from checklist.record.verifying.report import Outcome

    if not folder.disk.names(folder.roster):  # then the ledger need not be read
        return ""
    roster, entry = Roster.read(folder), sealed.entry
    if roster.newest is None:
        return ""
    found = [
        roster.identity(signer.key, signer.person, signer.role, entry.at)
        for signer in entry.signers
        if signer.is_here
    ]
    said = [one.sentence for one in found if one.outcome is not Outcome.HOLDS]
    return " ".join([*said, "Ask the safety officer, or an audit fails it."]) if said else ""


def short_code(entry: Recorded) -> str:
    """Return eight hex digits of an entry's hash, to be read aloud or written on paper."""
    return f"{entry.sha256[:4]}-{entry.sha256[4:8]}"
