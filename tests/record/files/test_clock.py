"""Two clocks: what a moved wall clock looks like across sleep, reboot and daylight saving."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.record.files.clock import BootTime, RealClock, clock_step, read_stamp, stamp

START = datetime(2026, 11, 25, 9, 41, tzinfo=UTC)


@dataclass(frozen=True)
class Seen:
    at: datetime
    boot: BootTime


def pair(wall: float, passed: float, *, reboot: bool = False) -> float:
    """Return the step found when the wall moved by one time and the boot clock by another."""
    after = BootTime("two" if reboot else "one", int(passed * 1e9))
    return clock_step(Seen(START, BootTime("one", 0)), Seen(START + timedelta(seconds=wall), after))


CASES = [
    ("nothing", 60, 60, False, 0.0),
    ("nudged by less than 2 s", 61.9, 60, False, 0.0),
    ("nudged back by less than 2 s", 58.1, 60, False, 0.0),
    ("set forward", 63, 60, False, 3.0),
    ("set back", 0, 60, False, -60.0),
    ("set back an hour", -3540, 60, False, -3600.0),
    ("a night asleep, the boot clock goes on", 28_800, 28_800, False, 0.0),
    ("a poor crystal over a day: 200 ppm is 17 s", 86_419, 86_400, False, 0.0),
    ("more than that", 86_420, 86_400, False, 20.0),
    ("a reboot", 3600, 5, True, 0.0),
    ("a reboot, and the wall went back", -100, 5, True, -100.0),
]


@pytest.mark.parametrize(
    ("wall", "passed", "reboot", "step"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_step(wall: float, passed: float, reboot: bool, step: float) -> None:
    """A step is told with its size beyond 2 s and 200 parts a million, and only then."""
    assert pair(wall, passed, reboot=reboot) == pytest.approx(step)


def test_daylight_saving_is_no_step() -> None:
    """When the offset changes at night, an hour seems to repeat, and no clock was set."""
    zone = ZoneInfo("America/New_York")
    before = datetime(2026, 11, 1, 1, 59, 59, tzinfo=zone)
    after = datetime(2026, 11, 1, 1, 0, 1, tzinfo=zone, fold=1)
    fixed = [read_stamp(stamp(at)) for at in (before, after)]

    assert [stamp(at)[-6:] for at in fixed] == ["-04:00", "-05:00"]
    assert clock_step(
        Seen(fixed[0], BootTime("one", 0)), Seen(fixed[1], BootTime("one", 2_000_000_000))
    ) == pytest.approx(0.0)


@pytest.mark.parametrize("year", [1970, 1999, 2038, 2100])
def test_years_at_the_edge(year: int) -> None:
    """A clock that starts at 1970, or runs beyond 2038, is written and read the same."""
    at = datetime(year, 1, 19, 3, 14, 8, 999_000, tzinfo=UTC)

    assert read_stamp(stamp(at)) == at


@pytest.mark.parametrize(
    "text",
    [
        "2026-11-25T09:41:00+00:00",
        "2026-11-25T09:41:00.000Z",
        "2026-11-25T09:41:00.000-00:00",
        "2026-13-25T09:41:00.000+00:00",
        "2026-11-25T09:41:00.000",
        "\u0662026-11-25T09:41:00.000+00:00",
        "",
    ],
)
def test_other_forms_of_a_time_are_refused(text: str) -> None:
    """A time has one spelling in the record."""
    with pytest.raises(ValueError, match=r"time|month"):
        read_stamp(text)


def test_the_machines_clocks() -> None:
    """The wall time has an offset, and the boot clock goes forward under one name."""
    clock = RealClock()
    one, two = clock.boot(), clock.boot()

    assert clock.now().utcoffset() is not None
    assert one.boot_id == two.boot_id
    assert one.ns <= two.ns


@settings(deadline=None)  # other programs may have the processor meanwhile
@given(st.from_regex(r"[0-9]{4}-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-6][0-9]:[0-6][0-9]"
                     r"\.[0-9]{3}[+-][0-2][0-9]:[0-6][0-9]", fullmatch=True))  # fmt: skip
def test_a_time_has_one_spelling(text: str) -> None:
    """Whatever is read as a time is written again letter for letter; all else is refused."""
    try:
        found = read_stamp(text)
    except ValueError:
        with suppress(ValueError):
            assert stamp(datetime.fromisoformat(text)) != text
        return

    assert stamp(found) == text


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="TZ is not looked at again here")
@pytest.mark.parametrize("zone", ["XXX+99", "XXX-24", "Nowhere/Bad", ""])
def test_a_zone_that_cannot_be_still_gives_the_time(
    zone: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever TZ is set to, the time is the right one, and has an offset."""
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        now = RealClock().now()
    finally:
        monkeypatch.undo()
        time.tzset()

    assert abs(now - datetime.now(UTC)) < timedelta(seconds=5)
    assert now.utcoffset() is not None
