"""A stretch of a ledger read strictly, its signatures verified; what later checks need of it.

A stretch is what one worker process takes at a time. It returns plain tuples, so that they
travel between processes cheaply, and a tally of what was found.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from checklist.audit.report import Tally
from checklist.record.errors import Damaged, LaterForm
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import NO_KEY, Entry
from checklist.record.ledgers.keptbyentries import files_named, flaw_of
from checklist.record.ledgers.ledger import Recorded, note_hash, read_note
from checklist.record.roll.keyholders import KeyHolders
from checklist.record.roll.keys import require_sound
from checklist.record.roll.roster import TAKEN
from checklist.record.verifying.report import Outcome


class Fact(NamedTuple):
    """What is kept of one entry while its folder is audited."""

    number: int
    kind: str
    sha256: str
    at: float
    """Seconds since 1970."""

    session: str
    target: str
    file: tuple[str, int] | None
    rule: tuple[str, str, str] | None
    """SHA-256, edition, name."""

    signers: tuple[tuple[str, str, str, bool], ...]
    """Person, role, key, and whether the signature is in this entry."""


@dataclass(frozen=True, slots=True)
class Task:
    """One stretch of one ledger, by file names, and whom the auditor knows."""

    folder: LogFolder
    names: tuple[str, ...]
    holders: KeyHolders
    receipts: tuple[tuple[int, datetime], ...] = ()
    """Number and time of each receipt that holds, in order of number."""


@dataclass(slots=True)
class Stretch:
    """What one stretch came to."""

    facts: list[Fact] = field(default_factory=list)
    first_previous: str = ""
    """What its first entry names as the one before; empty where that cannot be read."""

    first_number: int = 0
    last_sha256: str = ""
    """Empty where the last entry cannot be read."""

    tally: Tally = field(default_factory=Tally)
    tags: list[Recorded] = field(default_factory=list)
    """Entries that hang or take off a tag, whole: the tags are followed across folders."""

    taken: list[Recorded] = field(default_factory=list)
    """Entries that put a roster in force, whole."""


TAG_KINDS = frozenset({"tag hung", "tag taken off"})


def read_stretch(task: Task) -> Stretch:
    """Read and check a stretch of entries; never raises for what it finds."""
    found = Stretch(tally=Tally(str(task.folder.path)))
    previous: str | None = None
    for position, name in enumerate(task.names):
        try:
            recorded = read_note(task.folder, name)
        except Damaged as problem:
            is_later = isinstance(problem, LaterForm)
            outcome = Outcome.CANNOT_TELL if is_later else Outcome.FAILS
            found.tally.add(
                "form", outcome, f"Entry {int(name[:8])}: {problem.what}.",
                entry=int(name[:8]),
            )  # fmt: skip
            previous = note_hash(task.folder, name) if is_later else None
            found.last_sha256 = previous or ""
            continue
        if position == 0:
            found.first_previous = recorded.entry.previous
        elif previous is not None and recorded.entry.previous != previous:
            note_broken_chain(recorded.entry.number, found.tally)
        _check_entry(task, recorded, found)
        previous = found.last_sha256 = recorded.sha256
    found.first_number = int(task.names[0][:8]) if task.names else 0
    return found


def note_broken_chain(number: int, tally: Tally) -> None:
    """Say that an entry does not follow the one before it."""
    tally.add(
        "order",
        Outcome.FAILS,
        f"Entry {number} does not name the hash of the entry before it: one of the two was "
        "changed, or an entry between them was taken out.",
        entry=number,
    )


def _check_entry(task: Task, recorded: Recorded, found: Stretch) -> None:
    entry = recorded.entry
    if entry.origin != task.folder.origin:
        found.tally.add(
            "origin", Outcome.FAILS, f"Entry {entry.number} was made in another log folder.",
            session=entry.session or "", entry=entry.number,
        )  # fmt: skip
    if _signatures_hold(recorded, found.tally):
        _check_identity(task, entry, found.tally)
    _check_kept(task.folder, entry, found.tally)
    found.facts.append(fact_of(recorded))
    if entry.kind in TAG_KINDS:
        found.tags.append(recorded)
    elif entry.kind == TAKEN:
        found.taken.append(recorded)


def _check_kept(folder: LogFolder, entry: Entry, tally: Tally) -> None:
    """See that what a correction or a countersigned audit names is kept, byte for byte."""
    for part, sha256 in dict.fromkeys(files_named(folder, entry)):
        if flaw := flaw_of(folder, part, sha256):
            tally.add(
                "kept files", Outcome.FAILS,
                f"Entry {entry.number} names the kept file {sha256[:16]}...: {flaw}.",
                session=entry.session or "", entry=entry.number,
            )  # fmt: skip
        else:
            tally.passed("kept files")


def fact_of(recorded: Recorded) -> Fact:
    """Return what is kept of an entry."""
    entry = recorded.entry
    file, rule = entry.file, entry.rule
    return Fact(
        entry.number,
        entry.kind,
        recorded.sha256,
        entry.at.timestamp(),
        entry.session or "",
        entry.target or "",
        (file.sha256, file.size) if file else None,
        (rule.sha256, rule.edition, rule.name) if rule else None,
        tuple((s.person, s.role, s.key, s.is_here) for s in entry.signers),
    )


def _signatures_hold(recorded: Recorded, tally: Tally) -> bool:
    """Verify every signature over the entry's text; say whether all announced ones are there."""
    entry = recorded.entry
    announced = list(dict.fromkeys(signer.key for signer in entry.signers if signer.is_here))
    carried = [signature.name for signature in recorded.signatures]
    if announced != carried:
        tally.add(
            "signatures", Outcome.FAILS,
            f"Entry {entry.number} announces {len(announced)} signatures and carries "
            f"{len(carried)}, or they are not by the keys that it names.",
            session=entry.session or "", entry=entry.number,
        )  # fmt: skip
        return False
    if not announced:
        return True
    text = recorded.data.rpartition(b"\n\n")[0].decode() + "\n"
    note = notes.Note(text, recorded.signatures)
    holds = True
    for signature in recorded.signatures:
        if notes.is_signed(note, signature, require_sound(signature.name)):
            tally.passed("signatures")
            continue
        holds = False
        people = " and ".join(s.person for s in entry.signers if s.key == signature.name)
        tally.add(
            "signatures", Outcome.FAILS,
            f"Entry {entry.number}: the signature of {people} does not verify.",
            session=entry.session or "", entry=entry.number,
        )  # fmt: skip
    return holds


def _check_identity(task: Task, entry: Entry, tally: Tally) -> None:
    """Ask the auditor's own roster whose each signature is."""
    if not entry.signers or not task.holders.number:
        return  # said once for the whole folder
    for signer in entry.signers:
        if not signer.is_here or signer.key == NO_KEY:
            continue
        received = _received(task.receipts, entry.number)
        said = task.holders.identity(signer.key, signer.person, signer.role, entry.at, received)
        if said.outcome is Outcome.HOLDS:
            tally.passed("identity")
        else:
            tally.add(
                "identity", said.outcome, f"Entry {entry.number}: {said.sentence}",
                session=entry.session or "", entry=entry.number,
            )  # fmt: skip


def _received(receipts: tuple[tuple[int, datetime], ...], number: int) -> datetime | None:
    """Return when the first receipt that covers an entry was given."""
    at = bisect_left([covered for covered, _ in receipts], number)
    return receipts[at][1] if at < len(receipts) else None
