"""What home shows of a log folder: the matters that are open, and the last results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from checklist.record.ledgers.entries import Signer
from checklist.record.ledgers.tags import Tag
from checklist.record.roll.receipts import Tail


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A walk that was begun and not ended."""

    session_id: str
    title: str
    begun: datetime | None
    """None where neither ledger nor file says it."""

    left: datetime | None
    """When the last thing was saved."""

    step: str = ""
    """The question at which it stands; empty where all are answered or it cannot be told."""

    done: int | None = None
    """Steps with an answer that holds; None where the rules as begun cannot be read."""

    asked: int | None = None
    """Steps that apply or may come to apply."""

    is_open_elsewhere: bool = False
    """Whether some program has it open at this moment."""

    says: str = ""
    """What is wrong with it, in one sentence."""

    person: str = ""
    """Who is in charge, else works; empty while nobody is named."""

    @property
    def whose(self) -> str:
        """When it was begun, and by whom: that tells two walks of one rule file apart."""
        begun = f"begun {self.begun:%d %b %H:%M}" if self.begun else ""
        return ", ".join(filter(None, [begun, self.person]))


@dataclass(frozen=True, slots=True)
class Unsigned:
    """A session that has ended and is not sealed, because somebody has not signed."""

    session_id: str
    title: str
    ended: datetime
    result: str
    missing: tuple[Signer, ...]


@dataclass(frozen=True, slots=True)
class Past:
    """A session that has ended."""

    session_id: str
    rule_file: str
    title: str
    ended: datetime
    result: str
    """In words, an expired result as expired."""

    brief: str
    """The same where there is little room: what speaks against the result stands first."""

    is_expired: bool
    stale: str = ""
    """What was found from the station file and no longer holds, in few words."""

    is_good: bool = False
    """Whether it is sealed, found no stop, and has not expired."""

    @property
    def said(self) -> str:
        """What there is room for: what speaks against the result first, a stop before all."""
        return self.stale if self.stale and self.is_good else self.brief


@dataclass(frozen=True, slots=True)
class Overview:
    """Everything that home shows of a log folder."""

    unfinished: tuple[Unfinished, ...] = ()
    """The last one left first."""

    unsigned: tuple[Unsigned, ...] = ()
    """The newest first."""

    tags: tuple[Tag, ...] = ()
    """Every tag that hangs, the longest first; giving up a walk takes no lock off."""

    last: tuple[Past, ...] = ()
    """The last sessions that ended, the newest first."""

    last_of: Mapping[str, Past] = field(default_factory=dict)
    """The last session that ended with a verdict, for each rule file by its name."""

    tail: Tail | None = None
    """What no receipt covers, where a safety officer is pinned; None where all is covered."""

    problems: tuple[str, ...] = ()
    """One sentence for everything that is damaged or cannot be read."""

    read_only: str = ""
    """Why nothing can be entered in the log folder, or empty; what is there is read even so."""

    @property
    def wrong(self) -> tuple[str, ...]:
        """Everything that has to be said before the rest."""
        return (*filter(None, [self.read_only]), *self.problems)
