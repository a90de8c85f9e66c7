"""One session as the review shows it: everything that ledger, file and kept rules tell of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from checklist.record.journals.states import State
from checklist.record.verifying.report import Check, Outcome
from checklist.rulefile import Effect
from checklist.walk.events import Answered, Attached, Clearing, Noted


@dataclass(frozen=True, slots=True)
class Given:
    """One answer as it was given, with what it did then."""

    event: Answered
    text: str
    """The answer in one line, a reading as typed and as understood."""


@dataclass(frozen=True, slots=True)
class Cleared:
    """How a stop was answered, and when."""

    at: datetime
    clearing: Clearing


@dataclass(frozen=True, slots=True)
class StepRecord:
    """One step with every answer that it was given, oldest first."""

    step: str
    """Its id in the rule file."""

    ask: str
    """The question; the id where the rules as begun cannot be read."""

    part: str
    answers: tuple[Given, ...] = ()
    cleared: tuple[Cleared, ...] = ()
    notes: tuple[Noted | Attached, ...] = ()
    stop_stands: bool = False
    """Whether its last answer stopped and nothing answered that."""

    was_asked: bool = True
    """False where a later answer made the step fall away; its answers are shown all the same."""

    @property
    def effect(self) -> Effect | None:
        """What the last answer did."""
        return self.answers[-1].event.judgement.effect if self.answers else None


@dataclass(frozen=True, slots=True)
class Remark:
    """Something that happened beside the steps."""

    at: datetime
    what: str
    """`near miss`, `stop of work`, `the work went on`, `opened again`, `clock` or `note`."""

    text: str


class Signed(StrEnum):
    """What is known of one signature."""

    HOLDS = "holds"
    """It verifies with the key that the entry names; whose key that is, is another matter."""

    FAILS = "FAILS"
    MISSING = "MISSING"


@dataclass(frozen=True, slots=True)
class SignatureRecord:
    """One person whose signature the session needs."""

    person: str
    role: str
    key: str
    """The public key in hex, or `none`."""

    outcome: Signed
    at: datetime | None = None
    """When the entry that carries it was made; None for a missing one."""

    is_late: bool = False
    whose: Outcome | None = None
    """Whether the roster says that the key is this person's; None where nothing is signed."""

    identity: str = ""
    """The same in a sentence."""


@dataclass(frozen=True, slots=True)
class Correction:
    """One answer that was corrected after the session had ended."""

    at: datetime
    entry: int
    """The number of the ledger's entry that holds it."""

    step: str
    """Its id in the rule file."""

    people: tuple[str, ...]
    """Who signed it."""

    text: str
    """Step, new answer, reason and both results, in sentences."""

    before: str
    after: str
    """What the session came to without it, and comes to with it; empty where unreadable."""

    judged: tuple[Given, ...] = ()
    """The new answer as it is judged, and every calculation that takes it; empty where unknown."""


@dataclass(frozen=True, slots=True)
class SessionRecord:
    """Everything about one session."""

    session_id: str
    origin: str
    """The log folder that it was made in."""

    title: str
    rule_file: str
    edition: str
    rule_sha256: str
    program: str
    """The version of standclear that began it."""

    state: State
    verdict: str
    """Empty for a session that did not end with one."""

    result: str
    """The verdict in words, with NOT SEALED and its end of life."""

    begun: datetime | None
    ended: datetime | None
    valid_until: datetime | None
    """When the result expires; None for a stop, and where the rule file as kept is unreadable."""

    people: tuple[str, ...] = ()
    """Everybody named as present, as signer or on a tag."""

    steps: tuple[StepRecord, ...] = ()
    remarks: tuple[Remark, ...] = ()
    signatures: tuple[SignatureRecord, ...] = ()
    abandoned_because: str = ""
    corrections: tuple[Correction, ...] = ()
    """What was corrected after the end, oldest first; the answers themselves stay as given."""

    receipts: str = ""
    """What receipts say of its last entry, and how much of the ledger none covers."""

    stale: tuple[str, ...] = ()
    """What was found from a station file and does not hold for it any more, a sentence each."""

    checks: tuple[Check, ...] = ()
    """What was checked of this session while reading it."""

    problems: tuple[str, ...] = ()
    """One sentence for everything that could not be read or does not hold."""

    @property
    def missing(self) -> tuple[SignatureRecord, ...]:
        """Who has yet to sign."""
        return tuple(s for s in self.signatures if s.outcome is Signed.MISSING)
