"""What a station sends to its safety officer: the entries that no receipt covers yet."""

from __future__ import annotations

from dataclasses import dataclass

from checklist.record.errors import EntryRefused
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.receiving import entries_file
from checklist.record.roll.spoken import head_code
from checklist.stopping import Tell, unheard

_LONGEST = 8
"""Digits of the number of an entry."""


@dataclass(frozen=True, slots=True)
class Sent:
    """A file of entries for the officer."""

    data: bytes
    first: int
    """The first entry in it; the last that was seen goes along as the link."""

    last: int
    code: str
    """The newest entry, for the paper log: its number and the beginning of its hash."""


def new_entries(folder: LogFolder, after: str, tell: Tell = unheard) -> Sent:
    """Return the file with everything after the entry whose number was typed; 0 stands for all.

    `tell` hears how far it is. Raises EntryRefused for what is no number, or lies beyond the
    newest entry.
    """
    text = after.strip()
    if not (text.isascii() and text.isdecimal() and len(text) <= _LONGEST):
        raise EntryRefused("this is no number of an entry", where="after", right="0 sends all.")
    number = int(text)
    data = entries_file(folder, number, tell)
    entries = Ledger(folder).entries(tell=tell)
    if number == len(entries):
        raise EntryRefused(
            f"the officer has seen everything up to entry {number}", right="There is nothing new."
        )
    last = entries[-1]
    code = f"{last.entry.number} {head_code(last.sha256)}"
    return Sent(data, max(number, 1), last.entry.number, code)
