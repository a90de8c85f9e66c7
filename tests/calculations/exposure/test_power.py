"""The power that counts: what may be credited, and what never."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations.exposure import Figures, Tier
from checklist.calculations.exposure.model import (
    Carried,
    Continuous,
    FeedLine,
    OnLog,
    OnTime,
    Periodic,
    PowerKind,
    Timing,
)
from checklist.calculations.exposure.power import (
    PowerRefused,
    line_loss_db,
    mismatched_loss_db,
    on_fraction,
    on_time_counts,
    power_at_antenna,
)
from tests.calculations.exposure.making import emission

_SECONDS = st.floats(1, 2000)


@given(_SECONDS, st.floats(1, 2000), st.floats(10, 2000))
def test_a_periodic_pattern_is_the_log_of_its_overs(on: float, off: float, window: float) -> None:
    """The closed form agrees with a window that slides over the very overs."""
    period = on + off
    count = min(5000, math.ceil(window / period) + 2)
    log = OnLog(tuple((i * period, i * period + on) for i in range(count)))

    assert on_fraction(Periodic(on, off), window) == pytest.approx(
        on_fraction(log, window), rel=1e-9, abs=1e-9
    )


@given(st.lists(st.tuples(_SECONDS, _SECONDS), min_size=1, max_size=8), st.floats(20, 2000))
def test_no_window_holds_more_than_the_worst(
    gaps: list[tuple[float, float]], window: float
) -> None:
    """Windows that begin anywhere, not only at an edge, never hold more time on the air."""
    overs, at = [], 0.0
    for on, off in gaps:
        overs.append((at, at + on))
        at += on + off
    worst = on_fraction(OnLog(tuple(overs)), window) * window
    for step in range(100):
        begin = -window + step * (at + window) / 100
        held = sum(max(0, min(e, begin + window) - max(s, begin)) for s, e in overs)

        assert held <= worst + 1e-6


def test_an_irregular_log_by_hand() -> None:
    """Overs at 0-60, 100-220, 500-560 s: the worst 360 s hold the first two, 180 s."""
    log = OnLog(((0, 60), (100, 220), (500, 560)))

    assert on_fraction(log, 360) * 360 == pytest.approx(180)
    assert on_fraction(log, 560) * 560 == pytest.approx(240)


def test_a_stated_on_time_is_never_stretched_to_less() -> None:
    """45 s in any 6 min are at most 225 s in 30 min, and 45 s in any one minute."""
    stated = OnTime(45, 360)

    assert on_fraction(stated, 360) == pytest.approx(45 / 360)
    assert on_fraction(stated, 1800) == pytest.approx(225 / 1800)
    assert on_fraction(stated, 60) == pytest.approx(45 / 60)
    assert on_fraction(Continuous(), 360) == 1


@pytest.mark.parametrize(
    ("carried", "tier", "counts"),
    [
        (Carried.FIXED, Tier.UNCONTROLLED, True),
        (Carried.MOBILE, Tier.UNCONTROLLED, False),
        (Carried.HANDHELD, Tier.UNCONTROLLED, False),
        (Carried.MOBILE, Tier.CONTROLLED, True),
    ],
)
def test_whose_pauses_count(carried: Carried, tier: Tier, counts: bool) -> None:
    """47 CFR 2.1091(d)(2), 2.1093(d): for the public near a mobile only what is inherent."""
    assert on_time_counts(emission(carried=carried), tier) is counts


def test_am_is_stated_by_its_carrier(numbers: Figures) -> None:
    """100 % modulated AM has four times its carrier at the peak; SSB has no carrier to state."""
    spoken = emission(mode="AM voice, 100 % modulated", power_kind=PowerKind.CARRIER)
    power = power_at_antenna(spoken, numbers)

    assert power is not None
    assert power.peak_w == pytest.approx(400)
    with pytest.raises(PowerRefused, match="carrier power says nothing"):
        power_at_antenna(emission(mode="SSB", power_kind=PowerKind.CARRIER), numbers)


@pytest.mark.parametrize(
    "line",
    [None, FeedLine("RG-58 class"), FeedLine(length_m=30), FeedLine(swr_at_load=9.0)],
    ids=["none", "no length", "no kind", "nothing but a mismatch"],
)
def test_an_unknown_line_gives_no_credit(line: FeedLine | None, numbers: Figures) -> None:
    """All of the transmitter's power counts where kind or length is unknown."""
    assert line_loss_db(line, 28.4e6, numbers)[0] == 0


# Nominal attenuation in dB per 100 ft as published sheets print it, at 50 to 950 MHz; read
# where other pages quote them.
_SHEETS = {
    "RG-58 class": {50: 3.30, 150: 6.10, 450: 11.75, 850: 17.75},
    "RG-213 class": {50: 1.50, 150: 2.70, 450: 4.97, 850: 7.53},
    "RG-6 class": {55: 1.5, 213: 3.0, 473: 4.5, 695: 5.6, 950: 6.4},
    "RG-8X class": {10: 1.0, 30: 2.0, 50: 2.3, 150: 4.7, 450: 8.6},
}


@pytest.mark.parametrize("kind", _SHEETS)
def test_the_loss_credited_is_on_the_low_side(kind: str, numbers: Figures) -> None:
    """Never more than a published sheet, and no less than three quarters of it."""
    for mhz, sheet in _SHEETS[kind].items():
        loss, _, _ = line_loss_db(FeedLine(kind, length_m=30.48), mhz * 1e6, numbers)

        assert 0.6 * sheet <= loss <= sheet


def test_between_a_makers_pairs_the_low_side_counts(numbers: Figures) -> None:
    """On a curve k1 sqrt(f) + k2 f, what is read off between, below and above is never more."""

    def curve(mhz: float) -> float:
        return (0.19 * math.sqrt(mhz) + 0.002 * mhz) / 30.48

    pairs = tuple((m * 1e6, curve(m)) for m in (10, 50, 150, 450))
    for mhz in (1.9, 7, 10, 29, 60, 144, 440, 1296):
        loss, _, _ = line_loss_db(FeedLine(pairs=pairs, length_m=1), mhz * 1e6, numbers)

        assert 0 < loss <= curve(mhz) + 1e-12
        assert loss == pytest.approx(curve(mhz)) or mhz not in (10, 50, 150, 450)


@pytest.mark.parametrize("swr", [1.0, 1.5, 3.0, 10.0])
@pytest.mark.parametrize("matched", [0.1, 1.0, 3.0, 8.0])
def test_the_loss_of_a_mismatch_follows_from_the_waves(matched: float, swr: float) -> None:
    """Power in less power out over power in, from the two travelling waves themselves."""
    forward, rho = 10 ** (-matched / 10), (swr - 1) / (swr + 1)
    into_load = forward * (1 - rho**2)
    into_line = 1 - forward**2 * rho**2

    assert mismatched_loss_db(matched, swr) == pytest.approx(
        10 * math.log10(into_line / into_load), abs=1e-9
    )


@pytest.mark.parametrize(
    "timing",
    [
        Periodic(0, 5),
        Periodic(5, -1),
        Periodic(float("nan"), 1),
        OnTime(10, 5),
        OnLog(()),
        OnLog(((5, 3),)),
        OnLog(((0, 5), (4, 9))),
    ],
)
def test_impossible_overs_are_refused(timing: Timing, numbers: Figures) -> None:
    """None, negative, overlapping or backward overs are refused with what would be right."""
    with pytest.raises(PowerRefused) as refused:
        power_at_antenna(emission(timing=timing), numbers)

    assert refused.value.right


@pytest.mark.parametrize("watts", [0.0, -12.6, float("nan"), float("inf")])
def test_a_power_that_is_none_is_refused(watts: float, numbers: Figures) -> None:
    """A filing once entered -12.6 dBW as watts: a power not above zero is a slip."""
    with pytest.raises(PowerRefused):
        power_at_antenna(emission(power_w=watts), numbers)


def test_an_unknown_mode_is_named_with_those_there_are(numbers: Figures) -> None:
    """A slip in the mode is refused; no mode at all counts as always at peak."""
    with pytest.raises(PowerRefused, match="FM voice"):
        power_at_antenna(emission(mode="FN voice"), numbers)
    power = power_at_antenna(emission(mode=""), numbers)

    assert power is not None
    assert power.duty == 1
