"""The power that counts: peak envelope, duty of the mode, time on the air, loss on the way.

Average power = peak envelope power x duty factor x worst share of time on the air in any
window of the averaging time (OET Bulletin 65, Supplement B, pages 12 to 14). Loss is credit:
it is taken on the low side, and not at all where the line is unknown.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from itertools import accumulate, pairwise

from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.limits import Tier
from checklist.calculations.exposure.model import (
    Carried,
    Continuous,
    Emission,
    FeedLine,
    OnLog,
    OnTime,
    Periodic,
    PowerKind,
    Timing,
)
from checklist.errors import StandclearError
from checklist.rulebook import Cited

_METRES_PER_100_FT = 30.48
_STEADY = {"FM voice", "FSK or RTTY", "CW", "carrier", "slotted digital", "SSTV"}
_MOST_OVERS = 5000


class PowerRefused(StandclearError):
    """What was said about power, mode or time on the air cannot be meant."""


@dataclass(frozen=True, slots=True)
class Power:
    """What reaches an antenna, in watts, and what was assumed on the way."""

    peak_w: float
    """Peak envelope power at the antenna."""

    duty: float
    """Average over peak envelope power while on the air."""

    loss_db: float
    assumptions: tuple[str, ...] = ()
    used: tuple[Cited, ...] = ()

    @property
    def always_on_w(self) -> float:
        """Average power while on the air without a pause."""
        return self.peak_w * self.duty


def power_at_antenna(emission: Emission, figures: Figures) -> Power | None:
    """Return the power that the antenna gets, or None where the transmitter's is unknown.

    Raises PowerRefused for a power that is not above zero, a carrier power of a mode that has
    no steady carrier, a mode or a cable that the tables do not list, impossible timing.
    """
    check_timing(emission.timing, emission.name)
    if emission.power_w is None:
        return None
    if not (math.isfinite(emission.power_w) and emission.power_w > 0):
        raise PowerRefused(
            f"a power of {emission.power_w:g} W cannot be meant",
            where=emission.name,
            right="Give the power at the transmitter, in watts above zero.",
        )
    duty, said, used = _duty(emission, figures)
    factor, factor_used = _peak_over_stated(emission, figures)
    peak = emission.power_w * factor
    loss, line_said, line_used = line_loss_db(emission.feed_line, emission.frequency_hz, figures)
    every = (*used, *factor_used, *line_used)
    return Power(peak * 10 ** (-loss / 10), duty, loss, (said, line_said), every)


def on_fraction(timing: Timing, window_s: float) -> float:
    """Return the greatest share of any window of `window_s` seconds spent on the air."""
    if isinstance(timing, Continuous):
        return 1.0
    if isinstance(timing, Periodic):
        period = timing.on_s + timing.off_s
        whole = math.floor(window_s / period)
        rest = window_s - whole * period
        return (whole * timing.on_s + min(timing.on_s, rest)) / window_s
    if isinstance(timing, OnTime):
        if window_s <= timing.window_s:
            return min(1.0, timing.on_s / window_s)
        return min(1.0, math.ceil(window_s / timing.window_s - 1e-9) * timing.on_s / window_s)
    return _longest_in_log(timing, window_s) / window_s


def on_time_counts(emission: Emission, tier: Tier) -> bool:
    """Return whether pauses may be averaged in for a tier.

    For the public near a handheld or mobile transmitter only what is inherent in the source
    counts (47 CFR 2.1091(d)(2), 2.1093(d)): the duty of the mode, not the operator's pauses.
    """
    return emission.carried is Carried.FIXED or tier is Tier.CONTROLLED


def line_loss_db(
    line: FeedLine | None, frequency_hz: float, figures: Figures
) -> tuple[float, str, tuple[Cited, ...]]:
    """Return the loss that may be credited in dB, what was assumed, and the values used.

    From the maker's pairs or a class of cable, on the low side; zero where length or kind is
    unknown. The extra loss of a mismatch counts where the standing-wave ratio at the load is
    known.
    """
    if line is None or line.length_m is None or not (line.kind or line.pairs):
        return 0.0, "No feed-line loss is credited: line or length is unknown.", ()
    if not (math.isfinite(line.length_m) and line.length_m >= 0):
        raise PowerRefused(
            f"a feed line of {line.length_m:g} m cannot be meant", right="Give zero or more."
        )
    used: tuple[Cited, ...] = ()
    if line.pairs:
        per_m = _from_pairs(line.pairs, frequency_hz)
        by = "the maker's figures"
    else:
        per_m, cited = _from_class(line.kind, frequency_hz, figures)
        used, by = (cited,), f"{line.kind}, low side"
    matched = per_m * line.length_m
    total = mismatched_loss_db(matched, line.swr_at_load)
    return total, f"Feed-line loss of {total:.2f} dB is credited ({by}).", used


def mismatched_loss_db(matched_db: float, swr_at_load: float | None) -> float:
    """Return the whole loss of a line in dB, given the standing-wave ratio at its load.

    total = 10 log10[(a^2 - |rho|^2) / (a (1 - |rho|^2))], a = 10^(matched/10),
    |rho| = (SWR - 1)/(SWR + 1); handbook formula, exact for a real characteristic impedance.
    """
    if swr_at_load is None or matched_db == 0:
        return matched_db
    if not (math.isfinite(swr_at_load) and swr_at_load >= 1):
        raise PowerRefused(
            f"a standing-wave ratio of {swr_at_load:g} cannot be",
            right="Give 1 or more, measured at the antenna.",
        )
    a = 10 ** (matched_db / 10)
    rho2 = ((swr_at_load - 1) / (swr_at_load + 1)) ** 2
    return 10 * math.log10((a * a - rho2) / (a * (1 - rho2)))


def check_timing(timing: Timing, where: str) -> None:
    """Raise PowerRefused for overs that cannot be: none or negative, overlapping, too many."""
    right = "Give times above zero."
    if isinstance(timing, Periodic):
        bad = not (0 < timing.on_s < math.inf and 0 <= timing.off_s < math.inf)
    elif isinstance(timing, OnTime):
        bad = not 0 < timing.on_s <= timing.window_s < math.inf
        right = "The time on the air must be above zero and fit into its window."
    elif isinstance(timing, OnLog):
        bad = not 0 < len(timing.overs) <= _MOST_OVERS
        right = f"Give 1 to {_MOST_OVERS} overs in order, each ending after it began."
        last = -math.inf
        for start, end in timing.overs:
            bad = bad or not (last <= start < end < math.inf)
            last = end
    else:
        bad = False
    if bad:
        raise PowerRefused("the times on the air cannot be meant", where=where, right=right)


def _longest_in_log(log: OnLog, window_s: float) -> float:
    """Return the most seconds on the air in any window; it begins or ends at an edge of an over."""
    begins = [start for start, _ in log.overs]
    before = [0.0, *accumulate(end - start for start, end in log.overs)]

    def until(moment: float) -> float:
        past = bisect_right(begins, moment)
        if not past:
            return 0.0
        return min(before[past], before[past - 1] + moment - begins[past - 1])

    starts = [*begins, *(end - window_s for _, end in log.overs)]
    return max(until(at + window_s) - until(at) for at in starts)


def _duty(emission: Emission, figures: Figures) -> tuple[float, str, tuple[Cited, ...]]:
    if emission.own_duty is not None:
        if not 0 < emission.own_duty <= 1:
            raise PowerRefused(
                f"a duty factor of {emission.own_duty:g} cannot be meant",
                where=emission.name,
                right="Give above 0 % up to 100 %.",
            )
        said = f"Duty factor {emission.own_duty:.0%}, the operator's own figure."
        return emission.own_duty, said, ()
    if not emission.mode:
        return 1.0, "The mode is unknown: every moment counts as peak.", ()
    found = figures.duty.get(emission.mode)
    if found is None:
        raise PowerRefused(
            f"“{emission.mode}” is not a mode known here",
            where=emission.name,
            right=f"There are {'; '.join(figures.duty)}; or give your own duty factor.",
        )
    return found.number, f"Duty factor {found.number:.0%} for {emission.mode}.", (found.cited,)


def _peak_over_stated(emission: Emission, figures: Figures) -> tuple[float, tuple[Cited, ...]]:
    if emission.power_kind is PowerKind.PEAK_ENVELOPE or emission.mode in _STEADY:
        return 1.0, ()
    if emission.mode.startswith("AM "):
        return figures["am_peak_to_carrier"], (figures.cited["am_peak_to_carrier"],)
    raise PowerRefused(
        f"a carrier power says nothing for the mode “{emission.mode or 'unknown'}”",
        where=emission.name,
        right="Give the peak envelope power.",
    )


def _from_class(kind: str, frequency_hz: float, figures: Figures) -> tuple[float, Cited]:
    cable = figures.cables.get(kind)
    if cable is None:
        raise PowerRefused(
            f"“{kind}” is not a class of cable known here",
            right=f"There are {', '.join(figures.cables)}; or give the maker's own figures.",
        )
    f = frequency_hz / 1e6
    per_100_ft = cable.root * math.sqrt(f) + cable.linear * f
    return per_100_ft * (1 - cable.shade) / _METRES_PER_100_FT, cable.cited


def _from_pairs(pairs: tuple[tuple[float, float], ...], frequency_hz: float) -> float:
    """Return dB per metre from the maker's pairs, never more than the cable can have.

    Loss rises with frequency, at most in proportion to it and bending down: a straight line
    between two pairs, and one from zero to the first, lie below the curve; above the last
    pair its own value is kept.
    """
    ordered = sorted(pairs)
    if any(not (0 < f < math.inf and 0 < db < math.inf) for f, db in ordered):
        raise PowerRefused(
            "a pair of frequency and loss is not above zero", right="Give both above zero."
        )
    if any(b[1] < a[1] or a[0] == b[0] for a, b in pairwise(ordered)):
        raise PowerRefused(
            "the loss of the feed line does not rise with frequency",
            right="Check the pairs against the maker's sheet.",
        )
    below = (0.0, 0.0)
    for pair in ordered:
        if frequency_hz <= pair[0]:
            share = (frequency_hz - below[0]) / (pair[0] - below[0])
            return below[1] + share * (pair[1] - below[1])
        below = pair
    return below[1]
