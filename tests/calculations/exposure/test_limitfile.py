"""Files of limits are read strictly, and a club's own set stands beside the shipped ones."""

from __future__ import annotations

import pytest

from checklist.calculations.exposure import LimitSet, LimitsRefused, NotCovered, Tier, load_limits
from checklist.rulebook import Book, Standing

_OWN = """
limits: club
title: Club's own limits
jurisdiction: our hill
edition: "2026"
source: practice
about: Half of everything.
tables:
  - table: ours
    tier: uncontrolled
    averaging: 6 min
    rows:
      - {from: 1 MHz, to: 30 MHz, E: 400 / f V/m, H: 1 / f A/m, S: 90 / f^2 mW/cm2}
      - {from: 30 MHz, to: 1 GHz, S: 0.1 * fG^0.5 mW/cm2}
"""


def test_a_club_adds_a_set_with_its_own_citation(book: Book) -> None:
    """Read with its units and laws; on the shared end the stricter number holds."""
    club = load_limits({}, book.sources, {"club.yaml": _OWN})["club"]
    at_10, at_30 = (club.at(f, Tier.UNCONTROLLED)[0] for f in (10e6, 30e6))

    assert at_10.e_v_m == pytest.approx(40)
    assert at_10.s_w_m2 == pytest.approx(9)
    assert at_10.averaging_s == 360
    assert at_30.s_w_m2 == pytest.approx(min(1.0, 0.03**0.5))
    assert club.density_unit == "mW/cm2"
    assert not club.is_unverified


def test_nothing_is_extrapolated(book: Book) -> None:
    """Outside its rows, and for a tier without rows, a set refuses and says what it covers."""
    club = load_limits({}, book.sources, {"club.yaml": _OWN})["club"]
    with pytest.raises(NotCovered, match="1 MHz to 1000 MHz"):
        club.at(1.2e9, Tier.UNCONTROLLED)
    with pytest.raises(NotCovered, match="controlled tier"):
        club.at(10e6, Tier.CONTROLLED)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("400 / f V/m", "400 / f A/m", "line 13, column"),
        ("400 / f V/m", "400", "cannot be read"),
        ("400 / f V/m", "-400 V/m", "cannot be read"),
        ("400 / f V/m", "0 V/m", "cannot be read"),
        ("400 / f V/m", "400 f V/m", "cannot be read"),
        ("from: 1 MHz", "from: 40 MHz", "from a lower frequency to a higher one"),
        ("tier: uncontrolled", "tier: public", "is not a tier"),
        ("source: practice", "source: nowhere", "not in sources.yaml"),
        ("averaging: 6 min", "averaging: 6 miles", "cannot be read"),
        ("about: Half", "abuot: Half", "not known here"),
        ("limits: club", "limits: [club]", "needs a plain text"),
        ("E: 400 / f V/m, H: 1 / f A/m, S: 90 / f^2 mW/cm2", "averaging: 6 min", "limits nothing"),
    ],
)
def test_what_cannot_be_meant_is_refused(book: Book, old: str, new: str, said: str) -> None:
    """Units of another quantity, numbers without unit, unknown keys: file, line and column."""
    with pytest.raises(LimitsRefused) as refused:
        load_limits({}, book.sources, {"club.yaml": _OWN.replace(old, new)})

    assert said in str(refused.value)
    assert "club.yaml, line" in str(refused.value)


def test_a_club_never_replaces_a_shipped_set(book: Book) -> None:
    """The same name twice is an error, whichever file comes first."""
    with pytest.raises(LimitsRefused, match="already a set"):
        load_limits({"limits/club.yaml": _OWN}, book.sources, {"own.yaml": _OWN})


def test_only_what_was_read_is_verified(sets: dict[str, LimitSet]) -> None:
    """Of the shipped sets 47 CFR alone was read; all others are said to be unverified."""
    assert [n for n, s in sets.items() if not s.is_unverified] == ["fcc-1310"]
    assert sets["fcc-1310"].standing is Standing.READ
    assert all("unverified" in s.citation() for n, s in sets.items() if n != "fcc-1310")


def test_below_10_mhz_the_limit_of_every_moment_binds_first(sets: dict[str, LimitSet]) -> None:
    """ICNIRP 2020 with 2010: at 1.9 MHz 83 V/m at any moment, below 191 V/m averaged."""
    limits = sets["icnirp-2020"].at(1.9e6, Tier.UNCONTROLLED)
    by_name = {limit.table: limit for limit in limits}

    assert by_name["nerve stimulation"].e_v_m == 83
    assert by_name["nerve stimulation"].averaging_s is None
    assert by_name["whole body"].e_v_m == pytest.approx(191, abs=1)
