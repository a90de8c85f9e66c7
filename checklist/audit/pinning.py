"""Whom the people of a station rely on: their pinned officer against the auditor's own roster."""

from __future__ import annotations

from collections.abc import Sequence

from checklist.audit.report import Tally
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Recorded
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.verifying.report import Outcome

CHECK = "roster"


def check_pinning(
    folder: LogFolder, taken: Sequence[Recorded], roster: Roster, tally: Tally
) -> None:
    """Say whom a station has pinned, by its entries `roster taken`; `roster` is the auditor's.

    Where the auditor has no roster nothing can be compared, and only damage is said.
    """
    mine, theirs = roster.newest, Roster.read(folder, taken)
    newest = theirs.newest
    if theirs.problem:
        tally.add(CHECK, Outcome.FAILS, f"At the station, {theirs.problem}.")
    elif mine is None:
        return
    elif newest is None:
        said = "No officer is pinned at the station: its people cannot tell whose a key is."
        tally.add(CHECK, Outcome.WARNING, said)
    elif newest.officer not in roster.officers:
        tally.add(
            CHECK, Outcome.CANNOT_TELL,
            f"The station has pinned {newest.officer_name}, key {key_code(newest.officer)}, who is "
            "no officer of the roster here: a new officer, another club, or a stranger.",
        )  # fmt: skip
    elif newest.officer != mine.officer:
        said = (
            f"{newest.officer_name} is still the officer at the station; here it is "
            f"{mine.officer_name}. Send the roster."
        )
        tally.add(CHECK, Outcome.WARNING, said)
    elif newest.number < mine.number:
        said = (
            f"Roster {newest.number} is in force at the station and {mine.number} here: keys "
            "revoked since still count there. Send the roster."
        )
        tally.add(CHECK, Outcome.WARNING, said)
    elif theirs.versions[-1].sha256 not in {kept.sha256 for kept in roster.versions}:
        said = f"Roster {newest.number} of the station is none of the versions here."
        tally.add(CHECK, Outcome.CANNOT_TELL, said)
    else:
        said = f"The station relies on {mine.officer_name} by roster {newest.number}, as here."
        tally.add(CHECK, Outcome.HOLDS, said)
