"""What the registers offer to pick from, as it would be typed."""

from __future__ import annotations

from dataclasses import dataclass, field

from checklist.names import name_key
from checklist.record.ledgers.tags import Tag
from checklist.record.lookup.registers import Registers
from checklist.rulefile import RuleFile, TagsOff
from checklist.sessions.desk import Desk


@dataclass(frozen=True, slots=True)
class Known:
    """A snapshot of the registers; empty in a rehearsal without a log folder."""

    named_people: tuple[tuple[str, str], ...] = ()
    """Name and training date, the most recently used first."""

    named_instruments: tuple[tuple[str, str], ...] = ()
    """Name and kind."""

    named_points: tuple[str, ...] = field(default=())

    reached: tuple[tuple[str, str], ...] = ()
    """Name and how to reach that person, of everybody of whom it is known."""

    hanging: tuple[Tag, ...] = ()
    """The tags that hang, where a walk asks for them."""

    applier: str = ""
    """Who most likely hangs the locks of the walk at hand."""

    crew: tuple[str, ...] = ()
    """Who is named in the walk at hand so far."""

    is_kept: bool = False
    """Whether there is a log folder at all; a rehearsal has none."""

    @classmethod
    def read(cls, registers: Registers, hanging: tuple[Tag, ...] = ()) -> Known:
        """Return what the registers hold now."""
        people = registers.people()
        return cls(
            tuple((p.name, p.trained.isoformat() if p.trained else "") for p in people),
            tuple((i.name, i.kind) for i in registers.instruments()),
            tuple(p.name for p in registers.isolation_points()),
            tuple((p.name, p.reach) for p in people if p.reach),
            hanging,
            is_kept=True,
        )

    def people(self, dated: bool) -> list[str]:
        """Return people as one types them, with the training date where it is asked for."""
        return [
            f"{name}, trained {trained}" if dated and trained else name
            for name, trained in self.named_people
        ]

    def instruments(self, kind: str) -> list[str]:
        """Return instruments of a kind, then all others."""
        return sorted(
            (name for name, _ in self.named_instruments),
            key=lambda n: (n, kind) not in self.named_instruments,
        )

    def instrument_at_hand(self, kind: str) -> str:
        """Return the instrument of a kind that was used last; empty where none is known.

        One of another kind is never put in for a person: a voltage would be on record as
        measured with a rangefinder.
        """
        return next((name for name, its in self.named_instruments if its == kind), "")

    @property
    def lacks_reach(self) -> bool:
        """Whether it is not known how to reach the applier, and there is a place to keep it."""
        known = {name_key(name) for name, _ in self.reached}
        return self.is_kept and bool(self.applier) and name_key(self.applier) not in known

    def hanging_at(self, point: str) -> str:
        """Return what hangs at a point, by the logs here, in one line."""
        wanted = name_key(point)
        locks = [
            f"lock {tag.lock} of {tag.person}"
            for tag in self.hanging
            if name_key(tag.point) == wanted
        ]
        return f"hangs there: {', '.join(locks)}" if locks else "nothing hangs by the logs here"

    def points(self) -> list[str]:
        """Return the marks of known isolation points."""
        return [f"{name}, " for name in self.named_points]


def known_for(desk: Desk, rules: RuleFile) -> Known:
    """Return the registers, and what hangs by the logs here where a rule file asks for that."""
    from checklist.sessions.tagging.tags import look_at_tags  # late: few walks ask it

    asks = any(isinstance(step.kind, TagsOff) for step in rules.steps)
    return Known.read(desk.registers, look_at_tags(desk.folder).open if asks else ())
