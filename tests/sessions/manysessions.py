"""Thousands of sessions in a log folder, made as the program makes them but without the waiting.

Every line and entry has the form and the chain of a real one; only the flushes are left out.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from checklist import __version__
from checklist.record.files.folder import LogFolder
from checklist.record.journals.begin import rule_of
from checklist.record.journals.journal import FileMark
from checklist.record.journals.lines import Line, compose, first_previous, hash_of, read_lines
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Draft, RuleMark, Signer, placed
from checklist.record.ledgers.entrytext import to_text
from checklist.record.ledgers.ledger import note_path
from checklist.record.roll.keys import UnlockedKey
from checklist.sessions.desk import Desk
from tests.sessions.pastsessions import key_of, sealed, walked


def fill(desk: Desk, count: int) -> None:
    """Put `count` sealed sessions into an empty log folder, one an hour."""
    session = walked(desk)
    session_id = session.id
    sealed(desk, session)
    folder = desk.folder
    pattern = read_lines(folder.disk, folder.session_file(session_id))
    for path in (*folder.ledger.iterdir(), folder.session_file(session_id)):
        path.unlink()
    keys = (key_of(desk, "Tamsin Reed"), key_of(desk, "Orrin Vale"))
    rule = rule_of(pattern[0])
    previous = FIRST_PREVIOUS
    for number in range(count):
        name = f"{number:032x}"
        ago = timedelta(hours=count - number)
        first, whole = _write_session(folder, name, pattern, ago)
        begun = Draft("begun", name, first, rule=rule)
        previous = _write_note(folder, begun, 2 * number + 1, previous, pattern[0], ago)
        previous = _write_note(
            folder, _ended(name, whole, rule, *keys), 2 * number + 2, previous, pattern[-1], ago,
            *keys,
        )  # fmt: skip


def _ended(name: str, whole: FileMark, rule: RuleMark, *keys: UnlockedKey) -> Draft:
    signers = tuple(
        Signer(key.person, role, key.public, is_here=True)
        for key, role in zip(keys, ("in charge", "worker"), strict=True)
    )
    return Draft("sealed", name, whole, "no stop found", rule, signers=signers)


def _write_session(
    folder: LogFolder, name: str, pattern: tuple[Line, ...], ago: timedelta
) -> tuple[FileMark, FileMark]:
    previous = first_previous(name)
    written = []
    for line in pattern:
        data = compose(replace(line, previous=previous, at=line.at - ago))
        previous = hash_of(data)
        written.append(data)
    whole = b"".join(written)
    folder.session_file(name).write_bytes(whole)
    first = written[0]
    return FileMark(hash_of(first), len(first)), FileMark(hash_of(whole), len(whole))


def _write_note(
    folder: LogFolder,
    draft: Draft,
    number: int,
    previous: str,
    line: Line,
    ago: timedelta,
    *keys: UnlockedKey,
) -> str:
    entry = placed(
        draft,
        origin=folder.origin,
        number=number,
        previous=previous,
        at=line.at - ago,
        program=f"standclear {__version__}",
    )
    text = to_text(entry)
    data = notes.compose(notes.Note(text, tuple(key.sign(text) for key in keys)))
    note_path(folder, number).write_bytes(data)
    return hash_of(data)
