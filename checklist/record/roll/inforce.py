"""Puts a version of the roster in force: whole on disk first, then entered in the ledger.

A version that was written and never entered means nothing, and stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import NotSaved
from checklist.record.files.whole import create_whole
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.roster import (
    TAKEN,
    SignedVersion,
)

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.ledger import Recorded


@dataclass(frozen=True, slots=True)
class Taken:
    """A roster that is in force from now on."""

    newest: SignedVersion
    recorded: Recorded | None
    """The ledger's entry; None where this version was in force before."""

    left_out: tuple[str, ...] = ()
    """Whose keys stood in the roster that was in force here, and stand in this one no more."""

    @property
    def left_out_line(self) -> str:
        """Say what that means for them, or nothing where nobody was left out."""
        if not self.left_out:
            return ""
        return (
            "It does not follow the roster that was in force here, and has no place for keys of "
            f"{', '.join(self.left_out)}: what they signed fails by it. If that is not meant, the "
            "new officer takes the old roster first, is appointed then, and sends it anew."
        )


def enter(
    folder: LogFolder,
    newest: SignedVersion,
    how: str,
    chain: tuple[SignedVersion, ...] = (),
    instead: str = "",
) -> Taken:
    """Keep the versions, then put the newest in force; the caller holds the ledger's lock."""
    _keep(folder, chain or (newest,))
    fields = [
        ("officer", newest.version.officer),
        ("name", newest.version.officer_name),
        ("version", str(newest.version.number)),
        ("hash", newest.sha256),
        ("how", how),
    ]
    if instead and instead != newest.version.officer:
        fields.append(("instead-of", instead))
    return Taken(newest, Ledger(folder).append_held(Draft(TAKEN, fields=tuple(fields))))


def _keep(folder: LogFolder, chain: tuple[SignedVersion, ...]) -> None:
    try:
        for kept in chain:
            path = folder.kept_file(folder.roster, kept.sha256)
            if folder.disk.facts(path) is None:
                create_whole(folder.disk, path, kept.data)
                continue
            found = folder.disk.read(path, at_most=notes.LARGEST_NOTE)
            if found != kept.data:  # its name says what it must be; what was put there is kept too
                folder.disk.replace(path, folder.quarantine / f"roster-{hash_of(found)}")
                folder.disk.sync_folder(folder.quarantine)
                create_whole(folder.disk, path, kept.data)
        folder.disk.sync_folder(folder.roster)
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the roster could not be written: {problem.strerror or problem}",
            where=str(folder.roster),
            right="Make room or mend the disk, then do it again.",
        ) from problem
