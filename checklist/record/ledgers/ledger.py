"""The ledger: numbered, chained, signed notes, one small file each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.record.errors import (
    Damaged,
    EntryRefused,
    LaterForm,
    NotSaved,
    RecordError,
    TooLarge,
)
from checklist.record.files.whole import create_whole, is_temporary
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Entry, placed
from checklist.record.ledgers.entrytext import from_text, to_text
from checklist.record.lookup.recall import Recall, read_each
from checklist.stopping import unheard

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.entries import Draft
    from checklist.record.roll.keys import UnlockedKey
    from checklist.stopping import Tell

LOCK = "ledger"
"""The lock under which entries are added."""

_FILE = re.compile(r"[0-9]{8}\.note")


@dataclass(frozen=True, slots=True)
class Recorded:
    """An entry as it stands in the ledger."""

    entry: Entry
    signatures: tuple[notes.Signature, ...]
    """The signature lines; nothing is verified by having them."""

    data: bytes
    """The note's exact bytes."""

    sha256: str
    """Of those bytes: the name under which later entries refer to this one."""


class Ledger:
    """The entries of one log folder."""

    def __init__(self, folder: LogFolder) -> None:
        self._folder = folder

    def entries(
        self, recall: Recall[Recorded] | None = None, tell: Tell = unheard
    ) -> tuple[Recorded, ...]:
        """Return every entry in order, with numbers, origin and hash chain checked.

        With `recall`, files that were read before are read again only where they changed.
        `tell` hears how far it is. Raises Damaged at the first that is missing, changed or not
        in form. Signatures are not verified here; `verify` does that.
        """
        found: list[Recorded] = []
        previous, names = FIRST_PREVIOUS, self.names()
        read = read_each(
            recall,
            self._folder.disk,
            self._folder.ledger,
            names,
            lambda name: read_note(self._folder, name),
        )
        for number, (name, recorded) in enumerate(read, start=1):
            tell("ledger entries", number, len(names))
            if isinstance(recorded, Exception):
                raise recorded
            problem = misplaced(recorded.entry, self._folder.origin, number, previous)
            if problem:
                raise Damaged(
                    problem,
                    where=str(self._folder.ledger / name),
                    right="Restore the ledger folder from a copy; standclear verify tells more.",
                )
            found.append(recorded)
            previous = recorded.sha256
        return tuple(found)

    def of_session(self, session_id: str, tell: Tell = unheard) -> tuple[Recorded, ...]:
        """Return the entries that name this session, oldest first.

        Reads backward no farther than the entry that began it, so that a long ledger costs
        nothing for a session of today; `tell` hears how far it is. The chain is not checked here.
        """
        found: list[Recorded] = []
        names = self.names()
        for done, name in enumerate(reversed(names)):
            tell("ledger entries, the newest first", done, len(names))
            recorded = read_note(self._folder, name)
            if recorded.entry.session == session_id:
                found.append(recorded)
                if recorded.entry.kind == "begun":
                    break
        return tuple(reversed(found))

    def names(self) -> list[str]:
        """Return the file names of the entries in order; unfinished files are passed over."""
        try:
            names = self._folder.disk.names(self._folder.ledger)
        except OSError as problem:
            raise Damaged(
                f"the ledger cannot be read: {problem.strerror}", where=str(self._folder.ledger)
            ) from problem
        return [name for name in names if _FILE.fullmatch(name)]

    def strangers(self) -> list[str]:
        """Return the names in the ledger's folder that are neither entries nor unfinished."""
        names = self._folder.disk.names(self._folder.ledger)
        return [name for name in names if not _FILE.fullmatch(name) and not is_temporary(name)]

    def append(self, draft: Draft, sign_with: Sequence[UnlockedKey] = ()) -> Recorded:
        """Add one entry, signed by every key given, and return it when it is on disk.

        Raises EntryRefused where keys and signers named as here do not match, NotSaved when
        the disk refuses, HeldElsewhere when another program keeps the ledger busy, Damaged
        when the last entry is not sound. After NotSaved the entry may stand there or not.
        """
        with self._folder.lock(LOCK):
            return self.append_held(draft, sign_with)

    def append_held(self, draft: Draft, sign_with: Sequence[UnlockedKey] = ()) -> Recorded:
        """Do what `append` does, for a caller that holds the ledger's lock already."""
        _require_signers(draft, sign_with)
        number, previous = self._next_place()
        entry = placed(
            draft,
            origin=self._folder.origin,
            number=number,
            previous=previous,
            at=self._folder.clock.now(),
            program=f"standclear {__version__}",
        )
        text = to_text(entry)
        signatures = tuple(key.sign(text) for key in _in_order(draft, sign_with))
        data = notes.compose(notes.Note(text, signatures))
        try:
            # The entry before may have been named by a program that died before it was
            # flushed; an entry must never reach the disk ahead of the one that it binds.
            self._folder.disk.sync_folder(self._folder.ledger)
            create_whole(self._folder.disk, note_path(self._folder, number), data)
        except OSError as problem:
            raise _not_saved(self._folder, problem) from problem
        return Recorded(entry, signatures, data, hash_of(data))

    def sync(self) -> None:
        """Return when every entry that can be seen is on disk; NotSaved otherwise."""
        try:
            self._folder.disk.sync_folder(self._folder.ledger)
        except OSError as problem:
            raise _not_saved(self._folder, problem) from problem

    def _next_place(self) -> tuple[int, str]:
        names = self.names()
        if not names:
            return 1, FIRST_PREVIOUS
        last = read_note(self._folder, names[-1])
        if last.entry.number != len(names) or last.entry.origin != self._folder.origin:
            raise Damaged(
                "entries are missing, or come from another log folder",
                where=str(self._folder.ledger),
                right="Restore the ledger folder from a copy; standclear verify tells more.",
            )
        return len(names) + 1, last.sha256


def note_path(folder: LogFolder, number: int) -> Path:
    """Return the path of the entry with this number."""
    return folder.ledger / f"{number:08}.note"


def read_note(folder: LogFolder, name: str) -> Recorded:
    """Return one entry by its file name, strictly in form; Damaged otherwise."""
    path = folder.ledger / name
    try:
        data = folder.disk.read(path, at_most=notes.LARGEST_NOTE)
        note = notes.parse(data)
        entry = from_text(note.text)
    except OSError as problem:
        raise Damaged(
            f"the entry cannot be read: {problem.strerror}",
            where=str(path),
            right="Restore the ledger folder from a copy.",
        ) from problem
    except LaterForm as problem:
        # How a note is signed does not hang on the form of its text: a changed one is found.
        if not all(_is_by_its_key(note, signature) for signature in note.signatures):
            raise Damaged(
                "a signature does not verify, so the entry was changed",
                where=str(path), right="Restore the ledger folder from a copy.",
            ) from None  # fmt: skip
        raise LaterForm(problem.what, where=str(path), right=problem.right) from None
    except (Damaged, TooLarge) as problem:
        raise Damaged(
            problem.what, where=str(path), right="Restore the ledger folder from a copy."
        ) from problem
    if name != f"{entry.number:08}.note":
        raise Damaged(f"the entry says that it is number {entry.number}", where=str(path))
    return Recorded(entry, note.signatures, data, hash_of(data))


def note_hash(folder: LogFolder, name: str) -> str:
    """Return the hash of an entry that could not be read in form, so that the chain is followed."""
    return hash_of(folder.disk.read(folder.ledger / name, at_most=notes.LARGEST_NOTE))


def _is_by_its_key(note: notes.Note, signature: notes.Signature) -> bool:
    from checklist.record.roll.keys import require_sound  # late: keys are slow to load

    try:
        return notes.is_signed(note, signature, require_sound(signature.name))
    except RecordError:  # no key, or not a sound one
        return False


def misplaced(entry: Entry, origin: str, number: int, previous: str) -> str:
    """Return why an entry cannot stand at this place of the ledger, or an empty text."""
    if entry.number != number:
        return f"entry {number} is missing: the next one found is {entry.number}"
    if entry.origin != origin:
        return "the entry was made in another log folder"
    if entry.previous != previous:
        return "the entry does not follow the one before it: the hash differs"
    return ""


def _require_signers(draft: Draft, sign_with: Sequence[UnlockedKey]) -> None:
    given = {(key.public, key.person) for key in sign_with}
    named = {(signer.key, signer.person) for signer in draft.signers if signer.is_here}
    if given != named or len(given) != len(sign_with):
        raise EntryRefused(
            "the keys at hand are not those of the signers named",
            right="Each person signs once, with the key that bears the person's name.",
        )
    if len({key.public for key in sign_with}) != len(sign_with):
        raise EntryRefused("one key stands for two people", right="Each person needs a key.")


def _in_order(draft: Draft, sign_with: Sequence[UnlockedKey]) -> list[UnlockedKey]:
    order = [signer.key for signer in draft.signers]
    return sorted(sign_with, key=lambda key: order.index(key.public))


def _not_saved(folder: LogFolder, problem: OSError) -> NotSaved:
    return NotSaved(
        f"NOT SAVED, the ledger could not be written: {problem.strerror or problem}",
        where=str(folder.ledger),
        right="Make room or mend the disk, then do it again.",
    )
