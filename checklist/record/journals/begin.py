"""The beginning of a session: its rule file kept, its file made, its entry in the ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist import __version__
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files import kept
from checklist.record.files.folder import new_session_id
from checklist.record.journals.journal import FileMark, Journal, TornTail
from checklist.record.journals.lines import FORMAT, compose, hash_of
from checklist.record.journals.states import ENDINGS, State, state_of
from checklist.record.ledgers.entries import Draft, RuleMark, placed
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded

if TYPE_CHECKING:
    from collections.abc import Mapping

    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.lines import Line

BEGUN = "begun"
"""The first line of every session."""


def begin_session(
    folder: LogFolder,
    *,
    rule_name: str,
    edition: str,
    rule_bytes: bytes,
    data: Mapping[str, object] | None = None,
    session_id: str | None = None,
) -> Journal:
    """Begin a session: its rule file is kept, its file and its entry are on disk.

    `edition` holds no blank. `data` joins the first line. Raises NotSaved when the disk
    refuses; a session file without entry may then be left, which `resume_session` mends.
    """
    mark = RuleMark(rule_name, edition, hash_of(rule_bytes))
    session_id = session_id or new_session_id(folder.chance)
    try_out(folder, Draft(BEGUN, session_id, FileMark(mark.sha256, 0), rule=mark))
    kept.keep(folder, "rules", rule_bytes)
    rule = kept.Reference("rules", mark.sha256, len(rule_bytes), rule_name).as_data()
    first = {
        **(data or {}),
        "format": FORMAT,
        "origin": folder.origin,
        "program": f"standclear {__version__}",
        "rule": {**rule, "edition": edition},
    }
    journal = Journal.begin(folder, session_id, BEGUN, first)
    try:
        with folder.lock(LOCK):
            enter_begun(Ledger(folder), journal)
    except BaseException:
        journal.close()
        raise
    return journal


def resume_session(folder: LogFolder, session_id: str) -> tuple[Journal, TornTail | None]:
    """Open a running session to go on with it, as `Journal.resume` does.

    Raises EntryRefused for a session that the ledger says has ended.
    """
    with folder.lock(LOCK):
        state = state_of(Ledger(folder).of_session(session_id))
    _require_running(state.state)
    journal, torn = Journal.resume(folder, session_id)
    try:
        with folder.lock(LOCK):
            ending = enter_begun(Ledger(folder), journal)
        if ending is not None:  # another program ended it since the first look
            _require_running(state_of([ending]).state)
    except BaseException:
        journal.close()
        raise
    return journal, torn


def _require_running(state: State) -> None:
    if state is not State.RUNNING:
        raise EntryRefused(f"this session has ended: {state.value}", right="Begin a new session.")


def rule_of(first: Line) -> RuleMark:
    """Return which rule file a session used, from its first line; Damaged if it does not say."""
    rule = first.data.get("rule")
    if not isinstance(rule, dict):
        raise Damaged("the session's first line names no rule file")
    parts = (rule.get("name"), rule.get("edition"), rule.get("sha256"))
    name, edition, sha256 = (part if isinstance(part, str) else "" for part in parts)
    return RuleMark(name, edition, sha256)


def enter_begun(ledger: Ledger, journal: Journal) -> Recorded | None:
    """Enter the session's beginning if it is not there; return its ending if that is there.

    The caller holds the ledger's lock.
    """
    group = ledger.of_session(journal.session_id)
    if not any(recorded.entry.kind == BEGUN for recorded in group):
        first = compose(journal.lines[0])
        mark = FileMark(hash_of(first), len(first))
        rule = rule_of(journal.lines[0])
        ledger.append_held(Draft(BEGUN, journal.session_id, mark, rule=rule))
    return next((recorded for recorded in group if recorded.entry.kind in ENDINGS), None)


def try_out(folder: LogFolder, draft: Draft) -> None:
    """Refuse an entry that could not be made, before anything is written for it."""
    placed(
        draft,
        origin=folder.origin,
        number=1,
        previous="0" * 64,
        at=folder.clock.now(),
        program=f"standclear {__version__}",
    )
