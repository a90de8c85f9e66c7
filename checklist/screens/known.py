"""What the registers offer to pick from, as it would be typed."""

from __future__ import annotations

from dataclasses import dataclass, field

from checklist.record.registers import Registers


@dataclass(frozen=True, slots=True)
class Known:
    """A snapshot of the registers; empty in a rehearsal without a log folder."""

    named_people: tuple[tuple[str, str], ...] = ()
    """Name and training date, the most recently used first."""

    named_instruments: tuple[tuple[str, str], ...] = ()
    """Name and kind."""

    named_points: tuple[str, ...] = field(default=())

    @classmethod
    def read(cls, registers: Registers) -> Known:
        """Return what the registers hold now."""
        return cls(
            tuple((p.name, p.trained.isoformat() if p.trained else "") for p in registers.people()),
            tuple((i.name, i.kind) for i in registers.instruments()),
            tuple(p.name for p in registers.isolation_points()),
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

    def points(self) -> list[str]:
        """Return the marks of known isolation points."""
        return [f"{name}, " for name in self.named_points]
