"""Locks and tags as the ledgers tell of them: hung by one entry, taken off by another.

A tag is known by the log folder that it was hung in and by an id of its own, so that two
laptops mean the same one. It stays open until an entry takes it off that the person who
hung it has signed, or that meets the exception of 29 CFR 1910.147(e)(3): the applier's
absence verified, contact attempted, the applier told before work resumes (all three facts,
and a second signature by whoever is in charge or the safety officer; the second signature is
this program's own rule). What does not meet that takes nothing off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checklist.record.errors import RecordError
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.ledgers import notes
from checklist.record.lookup.matching import name_key
from checklist.record.roll.keys import require_sound

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from checklist.record.ledgers.entries import Draft, Entry, Signer
    from checklist.record.ledgers.ledger import Recorded

HUNG = "tag hung"
TAKEN_OFF = "tag taken off"
LOG_READ = "log read"
"""Says how far another laptop's ledger was read, by number and hash of its newest entry."""

EXCEPTION = {
    "absent": "how it was verified that the applier is not here",
    "contact": "how contact was attempted",
    "told": "how the applier is told before work resumes",
}
"""The three facts without which nobody takes off another person's lock: field and meaning."""

SECOND_ROLES = ("in charge", "safety officer")
"""In which the second signature of a removal by another is given."""


@dataclass(frozen=True, slots=True)
class Tag:
    """One lock and tag at one isolation point."""

    origin: str
    """The log folder in whose ledger it was hung; empty where no entry has it yet."""

    id: str
    """32 hex digits."""

    point: str
    """The id marked at the point."""

    lock: str
    person: str
    """Who hung it."""

    since: datetime
    why: str = ""
    until: datetime | None = None
    """When its applier expected to take it off."""

    reach: str = ""
    """How to reach the applier; empty where it is not known."""

    session: str = ""
    """The session in which it was hung; empty outside one."""

    locks: str = ""
    """Locks at the point when it was hung, this one included, as counted or as known."""

    off: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Whether it hangs, as far as these ledgers tell; the lock at the point decides."""
        return self.off is None

    @property
    def key(self) -> tuple[str, str, str]:
        """What two mentions of one lock have in common: point, lock and person."""
        return lock_key(self.point, self.lock, self.person)


@dataclass(frozen=True, slots=True)
class Tags:
    """Every tag that some entries tell of, the longest hanging first."""

    all: tuple[Tag, ...] = ()
    wrong: tuple[str, ...] = ()
    """A sentence for each entry that takes a tag off and must not: the tag stays open."""

    @property
    def open(self) -> tuple[Tag, ...]:
        """Those that hang."""
        return tuple(tag for tag in self.all if tag.is_open)

    def at(self, point: str) -> tuple[Tag, ...]:
        """Return those that hang at a point."""
        wanted = name_key(point)
        return tuple(tag for tag in self.open if name_key(tag.point) == wanted)


def lock_key(point: str, lock: str, person: str) -> tuple[str, str, str]:
    """Return what two mentions of one lock have in common, in whatever spelling."""
    return name_key(point), name_key(lock), name_key(person)


def tags_of(entries: Iterable[Recorded]) -> Tags:
    """Return the tags that these entries, of one ledger or of several, hang and take off."""
    known = tuple(entries)
    hung: dict[tuple[str, str], Tag] = {}
    for recorded in known:
        if recorded.entry.kind == HUNG and (tag := tag_of(recorded.entry)) is not None:
            hung.setdefault((tag.origin, tag.id), tag)
    wrong = []
    for recorded in known:
        if recorded.entry.kind != TAKEN_OFF:
            continue
        name = (recorded.entry.field("hung-in") or "", recorded.entry.field("tag") or "")
        tag = hung.get(name)
        if tag is None:
            continue
        if flaw := flaw_of_removal(recorded, tag):
            wrong.append(f"Entry {recorded.entry.number}: {flaw} The tag stays open.")
        elif tag.off is None:
            hung[name] = replace(tag, off=recorded.entry.at)
    return Tags(tuple(sorted(hung.values(), key=lambda tag: tag.since)), tuple(wrong))


def tag_of(entry: Entry) -> Tag | None:
    """Return the tag that an entry hangs; None where it lacks what names a tag."""
    texts = {name: entry.field(name) or "" for name in ("tag", "point", "lock", "person")}
    if not all(texts.values()):
        return None
    return Tag(
        entry.origin,
        texts["tag"],
        texts["point"],
        texts["lock"],
        texts["person"],
        entry.at,
        entry.field("why") or "",
        _time(entry.field("until")),
        entry.field("reach") or "",
        entry.session or "",
        entry.field("locks") or "",
    )


def hung_fields(tag: Tag, relieves: str = "") -> tuple[tuple[str, str], ...]:
    """Return the fields of the entry that hangs `tag`, in their order."""
    fields = [
        ("tag", tag.id),
        ("point", tag.point),
        ("lock", tag.lock),
        ("person", tag.person),
        ("why", tag.why),
        ("until", stamp(tag.until) if tag.until else ""),
        ("reach", tag.reach),
        ("locks", tag.locks),
        ("relieves", relieves),
    ]
    return tuple((name, text) for name, text in fields if text)


def flaw_of_removal(recorded: Recorded, tag: Tag) -> str:
    """Return why an entry may not take `tag` off, in one sentence, or an empty text."""
    if flaw := flaw_of_draft(recorded.entry, tag):
        return flaw
    if not all(_holds(recorded, signer) for signer in _here(recorded.entry)):
        return f"A signature on taking lock {tag.lock} off does not hold."
    return ""


def flaw_of_draft(entry: Draft, tag: Tag) -> str:
    """Return why an entry, once signed as it says, could not take `tag` off."""
    signers = _here(entry)
    if any(name_key(signer.person) == name_key(tag.person) for signer in signers):
        return ""
    fields = dict(entry.fields)
    missing = [says for name, says in EXCEPTION.items() if not fields.get(name)]
    if missing:
        return (
            f"Lock {tag.lock} was hung by {tag.person}, who has not signed; for a removal by "
            f"another it is missing {'; '.join(missing)}."
        )
    second = [signer for signer in signers if signer.role in SECOND_ROLES]
    if not second or len({name_key(signer.person) for signer in signers}) < 2:
        return (
            f"Removing the lock of {tag.person} needs two signatures of different people, one "
            f"of them as {' or '.join(SECOND_ROLES)}."
        )
    return ""


def _here(entry: Draft) -> tuple[Signer, ...]:
    return tuple(signer for signer in entry.signers if signer.is_here)


def _holds(recorded: Recorded, signer: Signer) -> bool:
    try:
        note = notes.parse(recorded.data)
        raw = require_sound(signer.key)
    except RecordError:
        return False
    return any(s.name == signer.key and notes.is_signed(note, s, raw) for s in note.signatures)


def _time(text: str | None) -> datetime | None:
    try:
        return read_stamp(text) if text else None
    except ValueError:
        return None
