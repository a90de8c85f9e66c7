"""Receipts from the shell: what is covered, given, taken, and compared with the paper log."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.commands.done import say_done
from checklist.commands.exits import FINE, WRONG
from checklist.commands.output import print_document, print_error, print_page
from checklist.commands.people import officer_key
from checklist.commands.progress import to_the_next_word
from checklist.commands.recordexits import OF_RECORD
from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.receipts import check_against, receipts_of
from checklist.record.roll.receiving import (
    Contradiction,
    entries_file,
    receive_file,
    receive_folder,
)
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import HEAD_DIGITS, code_readings, head_code
from checklist.record.verifying.report import Outcome, gravest
from checklist.sessions.roll.carrying import is_folder, read_carried, require_new, write_carried
from checklist.sessions.roll.covering import receipt_taken, tail_text

if TYPE_CHECKING:
    from checklist.sessions.desk import Desk


def list_receipts(desk: Desk, *, as_json: bool) -> int:
    """Print each receipt with what it says; return the number of the gravest.

    What has no receipt yet could be cut off unseen, so it cannot be told.
    """
    folder, says = desk.looked()
    entries = Ledger(folder).entries()
    covered = check_against(
        receipts_of(folder), entries, folder.origin, Roster.read(folder, entries)
    )
    tail = tail_text(covered.tail, covered.covers, desk.clock.now())
    code = f"{len(entries)} {head_code(entries[-1].sha256)}" if entries else ""
    if as_json:
        print_document(
            {
                "origin": folder.origin,
                "receipts": [
                    {"outcome": f.outcome.value, "says": f.sentence} for f in covered.findings
                ],
                "covers": str(covered.covers),
                "without": str(covered.tail.entries),
                "without-since": covered.tail.since.isoformat() if covered.tail.since else "",
                "says": tail,
                "code": code,
            }
        )
    else:
        lines = [f"{f.outcome.value}: {f.sentence}" for f in covered.findings] or ["No receipt."]
        lines.append(tail)
        if code:
            lines.append(f"For the paper log: entry {code}")
        print_page([says, *lines] if says else lines)
    tail_outcome = Outcome.CANNOT_TELL if covered.tail.entries else Outcome.HOLDS
    return OF_RECORD[gravest([tail_outcome, *(finding.outcome for finding in covered.findings)])]


def write_entries(desk: Desk, after: int, out: Path) -> int:
    """Write the ledger's entries for the officer."""
    with to_the_next_word() as tell:
        entries = entries_file(desk.folder, after, tell)
    write_carried(out, entries)
    data = {"written": str(out), "after": str(after)}
    say_done([f"The entries after number {after} are in {out}."], data)
    return FINE


def give_receipt(desk: Desk, source: Path, out: Path | None) -> int:
    """Check and store a ledger, and sign a receipt for it; WRONG for two histories."""
    folder = desk.folder
    is_given_back = is_folder(source)
    if not is_given_back and out is None:
        raise StandclearError("a receipt for a file goes into a file", right="Give --out FILE.")
    if out is not None:
        require_new(out)
    key = officer_key(folder)
    try:
        with to_the_next_word() as tell:
            if is_given_back:
                station = LogFolder.look(source, desk.disk, desk.clock)
                given = receive_folder(folder, station, key, tell)
            else:
                given = receive_file(folder, read_carried(source), key, tell)
    except Contradiction as problem:
        print_error(problem.sentence())
        return WRONG
    if out is not None:
        write_carried(out, given.data)
    receipt = given.receipt
    say_done(
        [
            f"Receipt for log {receipt.origin[:8]} up to entry {receipt.number}; "
            f"new entries: {given.fresh}.",
            f"Code: {receipt.code}",
        ],
        {
            "origin": receipt.origin,
            "covers": str(receipt.number),
            "new": str(given.fresh),
            "code": receipt.code,
            "written": str(out) if out else "",
        },
    )
    return FINE


def take_file(desk: Desk, file: Path) -> int:
    """Take a receipt over from a file; WRONG where it contradicts the ledger here."""
    receipt, outcome, said = receipt_taken(desk.folder, read_carried(file))
    say_done([said], {"origin": receipt.origin, "covers": str(receipt.number)})
    return WRONG if outcome is Outcome.FAILS else FINE


def compare_code(desk: Desk, code: str, number: int | None) -> int:
    """Say which entry a typed code belongs to; WRONG where none has it.

    The entry's number may stand before the code, as the paper log has it.
    """
    entries = Ledger(desk.folder).entries()
    found = [
        (recorded.entry, digits)
        for recorded, (before, digits) in product(entries, code_readings(code))
        if recorded.sha256.startswith(digits)
        and before in {None, recorded.entry.number}
        and number in {None, recorded.entry.number}
    ]
    if not found:
        say_done(
            [
                "No entry has this code: a slip of the pen, another log, or the ledger was "
                "changed. Compare with the safety officer's copy."
            ],
            {"entry": ""},
        )
        return WRONG
    entry, digits = found[0]
    lines = [f"Entry {entry.number} of {entry.at:%d %b %Y %H:%M} has this code."]
    if len(digits) < HEAD_DIGITS:
        lines.append("So short a code finds a chance change; it does not stop a forger.")
    lines.append(f"Entries up to {entry.number} are those of that day.")
    say_done(lines, {"entry": str(entry.number), "at": entry.at.isoformat()})
    return FINE
