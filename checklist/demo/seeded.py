"""What makes a built club the same every time: chance from a seed, a clock that is set, no waiting.

None of this is for a club that exists: keys that come from a seed protect nothing.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from checklist.record.files.clock import BootTime
from checklist.record.files.disk import RealDisk


class SeededChance:
    """Bytes that hang on a seed and a name alone: SHA-256 of both and a running number."""

    def __init__(self, seed: int, name: str) -> None:
        self._start = f"{seed}\n{name}\n".encode()
        self._given = 0

    def __call__(self, count: int) -> bytes:
        """Return the next `count` bytes."""
        found = b""
        while len(found) < count:
            self._given += 1
            found += hashlib.sha256(self._start + str(self._given).encode()).digest()
        return found[:count]

    def between(self, least: int, most: int) -> int:
        """Return a whole number from `least` to `most`, both included."""
        return least + int.from_bytes(self(8), "big") % (most - least + 1)


@dataclass
class Calendar:
    """The true time of the invented year; everybody's clock goes by it."""

    at: datetime

    def go_to(self, at: datetime) -> None:
        """Let time pass until `at`; it never runs back."""
        self.at = max(self.at, at)

    def pass_time(self, seconds: int) -> None:
        """Let some seconds pass."""
        self.at += timedelta(seconds=seconds)


@dataclass
class LaptopClock:
    """One laptop's two clocks: the wall clock may be set wrong, the boot clock is always right."""

    calendar: Calendar
    laptop: str
    wrong_by: timedelta = timedelta()

    def now(self) -> datetime:
        """Return what the wall clock shows."""
        return self.calendar.at + self.wrong_by

    def boot(self) -> BootTime:
        """Return the time since six in the morning, when the laptop was started that day."""
        true = self.calendar.at
        named = hashlib.sha256(f"{self.laptop} {true:%Y-%m-%d}".encode()).hexdigest()
        start = true.replace(hour=6, minute=0, second=0, microsecond=0)
        return BootTime(
            f"invented-{named[:24]}", (true - start) // timedelta(microseconds=1) * 1000
        )


class UnhurriedDisk(RealDisk):
    """The machine's disk without waiting for it: what a power cut takes is built again."""

    def sync(self, handle: int) -> None:
        """Do not wait."""

    def sync_folder(self, folder: object) -> None:
        """Do not wait."""
