"""Time for the record: the wall clock, and a second clock that nobody sets.

The wall clock can be wrong or be set. The boot clock counts from the start of the
machine, sleep included, and cannot be set; the two together show within one boot by how
much the wall clock was moved.
"""

from __future__ import annotations

import re
import secrets
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from checklist.ages import span_text
from checklist.record.files.platforms import SYSTEM

if TYPE_CHECKING:
    from collections.abc import Callable

ALLOWED_STEP = 2.0
"""Seconds by which the two clocks may part without remark: time servers nudge a clock by less."""

ALLOWED_DRIFT = 200e-6
"""Further parting allowed, as a share of the time between: a poor crystal, 200 parts a million."""

STAMP = (
    r"\d{4}-\d\d-\d\dT(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}"
    r"(?:\+|-(?!00:00))(?:[01]\d|2[0-3]):[0-5]\d"
)
"""The pattern of a time in the one spelling that `stamp` gives it, digits being ASCII."""

_STAMP = re.compile(STAMP, re.ASCII)
_ALMOST = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d", re.ASCII)


@dataclass(frozen=True, slots=True)
class BootTime:
    """One reading of the clock that counts from the start of the machine."""

    boot_id: str
    """Names one boot of one machine; readings with different names cannot be compared."""

    ns: int
    """Nanoseconds since that boot."""


class Moment(Protocol):
    """Anything that was stamped by both clocks, such as a line of a session file."""

    @property
    def at(self) -> datetime:
        """The wall clock's reading, with its offset."""

    @property
    def boot(self) -> BootTime:
        """The boot clock's reading."""


class Clock(Protocol):
    """The two clocks that the record is stamped with."""

    def now(self) -> datetime:
        """Return the local wall time with its offset from UTC."""

    def boot(self) -> BootTime:
        """Return the time since the machine started."""


class RealClock:
    """The machine's own clocks."""

    def __init__(self) -> None:
        self._boot_id = _read_boot_id()
        self._boot_ns = _boot_clock()
        self._minute = -1
        self._zone: tzinfo = UTC

    def now(self) -> datetime:
        """Return the local wall time with its offset from UTC.

        The offset is looked up once a minute, since it changes on whole minutes only and
        the look-up is the dearest part of stamping an answer that a person waits for.
        """
        minute = int(time.time()) // 60
        if minute != self._minute:
            self._zone = _zone_of(time.localtime(minute * 60).tm_gmtoff)
            self._minute = minute
        return datetime.now(self._zone)

    def boot(self) -> BootTime:
        """Return the time since the machine started, asleep or awake."""
        return BootTime(self._boot_id, self._boot_ns())


def _zone_of(offset: int) -> tzinfo:
    """Return the zone so many seconds east of UTC; UTC where TZ is set to what no zone can be."""
    east = timedelta(seconds=offset)
    return timezone(east) if abs(east) < timedelta(days=1) else UTC


def clock_step(before: Moment, after: Moment) -> float:
    """Return by how many seconds the wall clock was moved between two moments, or 0.0.

    Within one boot: what the wall clock gained over the boot clock, where that is more
    than 2 s and 200 parts a million of the time between. Across boots nothing but a wall
    clock that ran backwards can be seen; that is returned as the negative difference.
    """
    wall = (after.at - before.at).total_seconds()
    if before.boot.boot_id != after.boot.boot_id:
        return min(wall, 0.0)
    passed = (after.boot.ns - before.boot.ns) / 1e9
    step = wall - passed
    return step if abs(step) > ALLOWED_STEP + ALLOWED_DRIFT * abs(passed) else 0.0


def step_text(step: float) -> str:
    """Return what was done to a clock by so many seconds: `set back by 67 min 0 s`."""
    return f"set {'back' if step < 0 else 'forward'} by {span_text(abs(step))}"


def stamp(at: datetime) -> str:
    """Return a time as the record writes it: ISO 8601 to the millisecond, with its offset."""
    if at.utcoffset() is None:
        raise ValueError("a time in the record needs its offset from UTC")
    return at.isoformat(timespec="milliseconds")


def read_stamp(text: str) -> datetime:
    """Return the time that `stamp` wrote; ValueError for any other form."""
    if _STAMP.fullmatch(text):
        return datetime.fromisoformat(text)
    if not _ALMOST.fullmatch(text):
        raise ValueError(f"{text!r} is not a time like 2026-11-25T09:41:00.000+00:00")
    datetime.fromisoformat(text)
    # such as an offset of -00:00
    raise ValueError(f"{text!r} is not spelled as this program spells a time")


def _read_boot_id() -> str:
    try:
        text = Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        # Without a name for the boot, readings compare within this run of the program only.
        return f"run-{secrets.token_hex(16)}"
    return text


def _boot_clock() -> Callable[[], int]:
    """Return the function that reads nanoseconds since the start, sleep included."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return partial(time.clock_gettime_ns, time.CLOCK_BOOTTIME)
    if SYSTEM == "darwin":  # there this one goes on during sleep, time.monotonic does not
        return partial(time.clock_gettime_ns, time.CLOCK_MONOTONIC)
    return time.monotonic_ns
