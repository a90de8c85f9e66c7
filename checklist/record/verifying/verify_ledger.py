"""Checks of the ledger: form, numbers, origin, hash chain, signatures, names and order."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from checklist.ages import span_text
from checklist.record.errors import Damaged, LaterForm
from checklist.record.journals.states import ENDINGS, fulfils
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, NO_KEY
from checklist.record.ledgers.keptbyentries import files_named, flaw_of
from checklist.record.ledgers.ledger import Ledger, note_hash, read_note
from checklist.record.roll.keys import require_sound
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.entries import Entry
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.verifying.report import Findings
    from checklist.stopping import Tell

SUBJECT = "ledger"

_HOLDS = {
    "form": "Every entry is in the one form that is accepted.",
    "numbers": "The entries are numbered without a gap.",
    "origin": "Every entry was made in this log folder.",
    "hash chain": "Every entry names the hash of the one before it.",
    "signatures": "Every signature that an entry announces is there and verifies.",
    "kept files": "Every file that an entry names is kept and has its hash.",
    "names": "No key signs under two names.",
    "pairing": "Every session begins once and ends at most once, in that order.",
    "order of time": "No entry is dated before the one it follows.",
}


def check_ledger(folder: LogFolder, findings: Findings, tell: Tell | None = None) -> list[Recorded]:
    """Check every entry and return those that could be read, in order; `tell` hears how far."""
    ledger = Ledger(folder)
    readable: list[Recorded] = []
    previous, due = FIRST_PREVIOUS, 1
    names = ledger.names()
    for done, name in enumerate(names):
        if tell is not None:
            tell("ledger entries", done, len(names))
        try:
            recorded = read_note(folder, name)
        except Damaged as problem:
            is_later = isinstance(problem, LaterForm)
            outcome = Outcome.CANNOT_TELL if is_later else Outcome.FAILS
            findings.add("form", SUBJECT, outcome, f"{name}: {problem.what}.")
            previous, due = note_hash(folder, name) if is_later else "", int(name[:8]) + 1
            continue
        _check_place(folder, recorded, due, previous, findings)
        _check_signatures(recorded, findings)
        _check_kept(folder, recorded.entry, findings)
        readable.append(recorded)
        previous, due = recorded.sha256, recorded.entry.number + 1
    for stranger in ledger.strangers():
        findings.add(
            "form", SUBJECT, Outcome.WARNING, f"{stranger!r} does not belong into this folder."
        )
    _check_names(readable, findings)
    _check_pairing(readable, findings)
    _check_late(readable, findings)
    _check_times(readable, findings)
    findings.hold_rest(SUBJECT, _HOLDS)
    return readable


def _check_place(
    folder: LogFolder, recorded: Recorded, due: int, previous: str, findings: Findings
) -> None:
    entry = recorded.entry
    at = f"Entry {entry.number}"
    findings.require("numbers", SUBJECT, entry.number == due, f"Entry {due} is missing.")
    findings.require(
        "origin", SUBJECT, entry.origin == folder.origin, f"{at} was made in another log folder."
    )
    findings.require(
        "hash chain",
        SUBJECT,
        entry.previous == previous,
        f"{at} does not name the hash of the entry before it: one of the two was changed.",
    )


def _check_signatures(recorded: Recorded, findings: Findings) -> None:
    entry = recorded.entry
    at = f"Entry {entry.number}"
    announced = list(dict.fromkeys(signer.key for signer in entry.signers if signer.is_here))
    found = [signature.name for signature in recorded.signatures]
    if not findings.require(
        "signatures",
        SUBJECT,
        found == announced,
        f"{at} announces {len(announced)} signatures and carries {len(found)}, "
        "or they are not by the keys that it names.",
    ):
        return
    note = notes.parse(recorded.data)
    for signature in recorded.signatures:
        findings.require(
            "signatures",
            SUBJECT,
            notes.is_signed(note, signature, require_sound(signature.name)),
            f"{at}: the signature of {_people(entry, signature.name)} does not verify.",
        )


def _check_kept(folder: LogFolder, entry: Entry, findings: Findings) -> None:
    for part, sha256 in files_named(folder, entry):
        if flaw := flaw_of(folder, part, sha256):
            findings.fail("kept files", SUBJECT, f"Entry {entry.number}: {sha256}: {flaw}.")


def _check_names(entries: list[Recorded], findings: Findings) -> None:
    names: dict[str, set[str]] = {}
    for recorded in entries:
        for signer in recorded.entry.signers:
            if signer.key != NO_KEY:
                names.setdefault(signer.key, set()).add(signer.person)
    for people in names.values():
        findings.require(
            "names",
            SUBJECT,
            len(people) == 1,
            f"One key signs as {' and as '.join(sorted(people))}.",
        )


def _check_pairing(entries: list[Recorded], findings: Findings) -> None:
    begun: set[str] = set()
    ended: set[str] = set()
    for recorded in entries:
        entry = recorded.entry
        at = f"Entry {entry.number}"
        session = entry.session or ""
        if entry.kind == "begun":
            findings.require(
                "pairing", SUBJECT, session not in begun, f"{at} begins a session a second time."
            )
            begun.add(session)
        elif entry.kind in ENDINGS:
            findings.require(
                "pairing", SUBJECT, session in begun, f"{at} ends a session that never began."
            )
            findings.require(
                "pairing", SUBJECT, session not in ended, f"{at} ends a session a second time."
            )
            ended.add(session)


def _check_late(entries: list[Recorded], findings: Findings) -> None:
    closed: dict[str, Entry] = {}
    for recorded in entries:
        entry = recorded.entry
        if entry.kind == "closed":
            closed[recorded.sha256] = entry
        if entry.kind != "signed late":
            continue
        target = closed.get(entry.target or "")
        findings.require(
            "pairing",
            SUBJECT,
            target is not None
            and (target.session, target.file) == (entry.session, entry.file)
            and all(any(fulfils(s, due) for due in target.missing()) for s in entry.signers),
            f"Entry {entry.number} adds a signature that no earlier entry waits for.",
        )


def _check_times(entries: list[Recorded], findings: Findings) -> None:
    for before, after in pairwise(entries):
        step = (after.entry.at - before.entry.at).total_seconds()
        if step < 0:
            findings.add(
                "order of time",
                SUBJECT,
                Outcome.WARNING,
                f"Entry {after.entry.number} is dated {span_text(-step)} before the one it "
                "follows: a clock was set back.",
            )


def _people(entry: Entry, key: str) -> str:
    return " and ".join(signer.person for signer in entry.signers if signer.key == key)
