"""One whole ledger from its stretches: numbers, chain, pairing, names, late signatures, time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

from checklist.ages import span_text
from checklist.audit.entries import Fact, Stretch, note_broken_chain
from checklist.audit.report import Tally
from checklist.record.journals.states import ENDINGS, fulfils
from checklist.record.ledgers.entries import FIRST_PREVIOUS, NO_KEY, Signer
from checklist.record.ledgers.ledger import Recorded
from checklist.record.verifying.report import Outcome

_HOLDS = {
    "form": "Every entry is in the one form that is accepted.",
    "order": "The entries are numbered without a gap, and each names the hash of the one before.",
    "origin": "Every entry was made in its own log folder.",
    "signatures": "Every signature that an entry announces is there and verifies.",
    "names": "No key signs under two names.",
    "completeness": "Every session begins once and ends at most once, in that order.",
    "order of time": "No entry is dated before the one it follows.",
}


@dataclass(slots=True)
class Chain:
    """A ledger as it is put together; it holds a few bytes for each session, no entry whole."""

    tally: Tally
    sessions: dict[bytes, tuple[int, ...]] = field(default_factory=dict)
    """Numbers of the entries that name a session, by the session's 16 bytes; negative: ended."""

    tags: list[Recorded] = field(default_factory=list)
    taken: list[Recorded] = field(default_factory=list)
    rules: dict[tuple[str, str, str], int] = field(default_factory=dict)
    """Rule files as used (SHA-256, edition, name), each with the first entry that names it."""

    entries: int = 0
    last: str = FIRST_PREVIOUS
    _due: int = 1
    _at: float = float("-inf")
    _names: dict[str, set[str]] = field(default_factory=dict)
    _waiting: dict[str, Fact] = field(default_factory=dict)
    """Closing entries that lack a signature, by their hash."""

    def join(self, stretches: Iterable[Stretch]) -> None:
        """Take every stretch in, in order, and say at the end what held throughout."""
        for stretch in stretches:
            self.tally.merge(stretch.tally)
            if self.last and stretch.first_previous not in {"", self.last}:
                note_broken_chain(stretch.first_number, self.tally)
            for fact in stretch.facts:
                self._take(fact)
            self.tags += stretch.tags
            self.taken += stretch.taken
            self.last = stretch.last_sha256
        for key, people in self._names.items():
            if len(people) > 1:
                said = " and as ".join(sorted(people))
                self.tally.add("names", Outcome.FAILS, f"One key, {key[:8]}, signs as {said}.")
        self.tally.hold_unless_found(_HOLDS)

    def _take(self, fact: Fact) -> None:
        if fact.number != self._due:
            missing = (
                f"Entry {self._due} is missing, or cannot be read."
                if fact.number == self._due + 1
                else f"Entries {self._due} to {fact.number - 1} are missing, or cannot be read."
            )
            self.tally.add("order", Outcome.FAILS, missing, entry=fact.number)
        self._due = fact.number + 1
        self.entries = max(self.entries, fact.number)
        self._take_time(fact)
        for person, _, key, _ in fact.signers:
            if key != NO_KEY:
                self._names.setdefault(key, set()).add(person)
        if fact.rule is not None:
            self.rules.setdefault(fact.rule, fact.number)
        if fact.session:
            self._pair(fact)

    def _take_time(self, fact: Fact) -> None:
        if fact.at < self._at:
            self.tally.add(
                "order of time", Outcome.WARNING,
                f"Entry {fact.number} is dated {span_text(self._at - fact.at)} before the "
                f"one it follows ({_day(fact.at)}): a clock was set back.",
                session=fact.session, entry=fact.number,
            )  # fmt: skip
        self._at = fact.at

    def _pair(self, fact: Fact) -> None:
        name = bytes.fromhex(fact.session)
        numbers = self.sessions.get(name, ())
        if fact.kind == "begun":
            if numbers:
                self._incomplete(fact, "begins a session a second time, or after its end")
            numbers = (*numbers, fact.number)
        elif fact.kind in ENDINGS:
            if not numbers:
                self._incomplete(fact, "ends a session that never began")
            if _has_ended(numbers):
                self._incomplete(fact, "ends a session a second time")
            numbers = (*numbers, -fact.number)
            if fact.kind == "closed":
                self._waiting[fact.sha256] = fact
        else:
            if fact.kind == "signed late":
                self._check_late(fact)
            numbers = (*numbers, fact.number)
        self.sessions[name] = numbers

    def _check_late(self, fact: Fact) -> None:
        target = self._waiting.get(fact.target)
        due = [Signer(p, r, k) for p, r, k, here in target.signers if not here] if target else []
        given = [Signer(p, r, k, here) for p, r, k, here in fact.signers]
        if (
            target is None
            or (target.session, target.file) != (fact.session, fact.file)
            or not all(any(fulfils(signer, one) for one in due) for signer in given)
        ):
            self._incomplete(fact, "adds a signature that no earlier entry waits for")

    def _incomplete(self, fact: Fact, what: str) -> None:
        self.tally.add(
            "completeness", Outcome.FAILS, f"Entry {fact.number} {what}.",
            session=fact.session, entry=fact.number,
        )  # fmt: skip


def _has_ended(numbers: tuple[int, ...]) -> bool:
    return any(number < 0 for number in numbers)


def stretches_of(names: Sequence[str], length: int) -> Iterator[tuple[str, ...]]:
    """Cut the file names of a ledger into stretches."""
    for start in range(0, len(names), length):
        yield tuple(names[start : start + length])


def _day(at: float) -> str:
    return datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d %H:%M UTC")
