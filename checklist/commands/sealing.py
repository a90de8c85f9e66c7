"""The end of a walk line by line: what is signed, then who signs; and the late signatures."""

from __future__ import annotations

from checklist.commands.asking import passphrase_of
from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.commands.lines import choose, hear, say
from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import Signing, sign_late
from checklist.record.journals.states import session_states
from checklist.record.ledgers.ledger import Recorded
from checklist.rulefile import Role
from checklist.sessions.closing import places, repeated, seal_walk, short_code, signing, unvouched
from checklist.sessions.desk import Desk
from checklist.sessions.session import Session
from checklist.walk.summary import summary_lines


def seal_by_lines(session: Session) -> Recorded | None:
    """Print what is signed, take the signatures and seal; None where somebody goes back.

    Raises StandclearError where the walk cannot end or be sealed.
    """
    folder, _ = session.kept_in()
    closed = session.walk.closed or session.end()
    say("", *summary_lines(session.walk, session.now()), "")
    say(f"The verdict is: {closed.verdict}.")
    choices = (("y", "yes", "yes, sign it"), ("n", "no", "no, leave it unsigned for now"))
    if choose("Does everybody who signs agree that this is what was found?", choices) == "no":
        return None
    signings: list[Signing] = []
    for place in places(session):
        signings.append(_signed(folder, place.role, place.suggested, signings))
    entry = seal_walk(session, signings)
    missing = [f"{s.person} ({s.role})" for s in signings if s.key is None]
    if missing:
        say(
            f"NOT SEALED. Missing: {', '.join(missing)}. It can be given later:",
            f"standclear sign {session.id[:8]}",
        )
    else:
        say(f"Sealed and on disk: entry {entry.entry.number}, code {short_code(entry)}.")
    if doubts := unvouched(folder, entry):
        say(doubts)
    return entry


def sign_missing(desk: Desk, session_id: str) -> int:
    """Take the signatures that are missing, and print what came of it.

    Returns FINE where none is missing any more. Raises StandclearError where none ever was.
    """
    state = session_states(desk.folder).get(session_id)
    if state is None or not state.missing:
        raise StandclearError("no signature is missing in this session")
    ready: list[Signing] = []
    for due in state.missing:
        one = _signed(desk.folder, due.role, due.person, [], is_named=True)
        ready += [one] if one.key is not None else []
    if not ready:
        say("Nobody has signed. The signatures are still missing.")
        return NOT_SHOWN
    entry = sign_late(desk.folder, session_id, ready)
    names = ", ".join(s.person for s in ready)
    say(f"Signed by {names}: entry {entry.entry.number}, code {short_code(entry)}.")
    return FINE if len(ready) == len(state.missing) else NOT_SHOWN


def _signed(
    folder: LogFolder,
    role: Role | str,
    suggested: str,
    taken: list[Signing],
    *,
    is_named: bool = False,
) -> Signing:
    """Return one person ready to sign, asked until it holds; an empty passphrase is nobody here."""
    kept = f" Enter alone: {suggested}." if suggested else ""
    while True:
        typed = "" if is_named else hear(f"Who signs as {role}?{kept}")
        try:
            person = _person(typed or suggested, role, taken)
            say("An empty passphrase says: not here. Then the signature stays missing.")
            return signing(folder, person, role, passphrase_of(folder, person))
        except StandclearError as error:
            say(error.sentence())


def _person(named: str, role: Role | str, taken: list[Signing]) -> str:
    person = accept(named, field="name", longest=80)
    if not person:
        raise StandclearError("a name is needed")
    if repeated([*(s.person for s in taken), person]):
        raise StandclearError(
            f"{person} signs already", right=f"Another person is needed as {role}."
        )
    return person
