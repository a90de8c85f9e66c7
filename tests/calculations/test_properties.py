"""What must hold for every calculation, whatever is typed."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checklist.calculations import CALCULATIONS, Finding, Outcome, as_data, as_text, from_data, run
from checklist.errors import StandclearError
from checklist.rulebook import Book
from tests.calculations.examples import OTHERS, WITHIN

_SEVERITY = {Outcome.WITHIN: 0, Outcome.NOT_SHOWN: 1, Outcome.OVER: 2}
_QUICK = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

# (calculation, input, unit, whether more of it is worse), and where the example lies in it
_MONOTONIC = [
    ("power-line-distance", "mast-height", "ft", True, 200),
    ("power-line-distance", "above-top", "ft", True, 200),
    ("power-line-distance", "sideways-reach", "ft", True, 200),
    ("power-line-distance", "line-voltage", "kV", True, 1500),
    ("power-line-distance", "ground-distance", "ft", False, 300),
    ("wind-load", "speed", "mph", True, 200),
    ("wind-load", "area", "ft2", True, 50),
    ("wind-load", "height", "ft", True, 200),
    ("wind-load", "lever-arm", "ft", True, 30),
    ("wind-load", "allowable-area", "ft2", False, 50),
    ("wind-load", "allowable-moment", "ft lbf", False, 2000),
    ("fall-clearance", "lanyard", "ft", True, 12),
    ("fall-clearance", "clear-height", "ft", False, 60),
    ("fall-clearance", "maker-clearance", "ft", True, 60),
    ("hoist-loads", "load", "lb", True, 1000),
    ("hoist-loads", "bridle-angle", "deg", False, 90),
    ("cord-current", "power", "W", True, 5000),
    ("cord-current", "plug", "A", False, 60),
    ("voltage-drop", "current", "A", True, 200),
    ("voltage-drop", "length", "ft", True, 1000),
    ("voltage-drop", "supply-voltage", "V", False, 400),
    ("generator-fuel", "fuel-at-hand", "gal", True, 60),
    ("generator-fuel", "local-limit", "gal", False, 60),
    ("generator-load", "running-rating", "W", False, 6250),
    ("generator-load", "main-breaker", "A", False, 60),
    ("generator-load", "altitude", "ft", True, 20000),
    ("stored-energy", "capacitance", "uF", True, 900000),
    ("stored-energy", "voltage", "V", True, 1000),
    ("bleed-down", "capacitance", "uF", True, 10000),
    ("bleeder-power", "voltage", "V", True, 5000),
    ("bleeder-power", "power-rating", "W", False, 300),
    ("body-current", "voltage", "V", True, 400),
    ("meter-category", "circuit-voltage", "V", True, 1000),
    ("meter-category", "meter-voltage", "V", False, 1000),
    ("conductor-ampacity", "current", "A", True, 60),
    ("co-alarm", "concentration", "ppm", True, 500),
    ("battery-fuse", "loop-resistance", "mohm", False, 20),
    ("battery-fuse", "distance", "in", True, 20),
    ("battery-ventilation", "capacity", "Ah", True, 1000),
    ("battery-ventilation", "cells", "1", True, 60),
    ("earth-rod", "length", "ft", False, 20),
    ("earth-rods", "spacing", "ft", False, 40),
    ("soil-resistivity", "depth", "in", True, 30),
    ("fall-of-potential", "electrode-size", "ft", True, 40),
    ("bonding-conductor", "above-earth", "in", False, 40),
    ("antenna-wire", "span", "ft", True, 400),
    ("side-flash", "height", "ft", True, 200),
    ("side-flash", "distance", "ft", False, 20),
    ("anchor", "strength", "lbf", False, 10000),
    ("line-approach", "voltage-to-ground", "kV", True, 500),
    ("line-approach", "approach", "ft", False, 40),
    ("lightning", "since-thunder", "min", False, 90),
    ("wind-limit", "gust", "mph", True, 60),
    ("heat-index", "temperature", "degF", True, 130),
]


@_QUICK
@given(
    case=st.sampled_from(_MONOTONIC),
    shares=st.tuples(st.floats(0.001, 1), st.floats(0.001, 1)).map(sorted),
)
def test_more_load_never_clears_a_stop(
    case: tuple[str, str, str, bool, int], shares: list[float], book: Book
) -> None:
    """Making one input worse never makes the outcome better."""
    name, wanted, unit, more_is_worse, most = case
    outcomes = []
    for share in shares if more_is_worse else reversed(shares):
        typed = {**WITHIN[name], wanted: f"{max(share * most, 1):.6f} {unit}"}
        outcomes.append(_SEVERITY[run(name, typed, book).result.outcome])

    assert outcomes == sorted(outcomes)


@_QUICK
@given(
    running=st.integers(1, 4000), extra=st.integers(0, 4000),
    leg=st.sampled_from(["1", "2", "both"]),
)  # fmt: skip
def test_one_more_load_never_clears_a_stop(running: int, extra: int, leg: str, book: Book) -> None:
    """A load added to a generator never turns a stop into a go."""
    typed = WITHIN["generator-load"]
    added = f"more, {running} W, {running + extra} W, {leg}, R9, 30 A"
    overloaded = f"{typed['loads']}\nheater, 3000 W, 3000 W, 2, R8, 30 A"
    before = run("generator-load", {**typed, "loads": overloaded}, book).result
    after = run("generator-load", {**typed, "loads": f"{overloaded}\n{added}"}, book).result

    assert before.outcome is Outcome.OVER
    assert after.outcome is Outcome.OVER


@_QUICK
@given(data=st.data(), name=st.sampled_from(sorted(WITHIN)))
def test_unknown_never_gives_within(data: st.DataObject, name: str, book: Book) -> None:
    """Any inputs answered `unknown`, in any number, keep the outcome from being within."""
    inputs = sorted(WITHIN[name])
    unknown = data.draw(st.lists(st.sampled_from(inputs), min_size=1, unique=True))
    typed = {**WITHIN[name], **dict.fromkeys(unknown, "unknown")}
    result = run(name, typed, book).result

    assert result.outcome is not Outcome.WITHIN
    assert result.stops
    assert result.decided_by


_TYPED = st.one_of(
    st.text(max_size=20),
    st.builds(
        "{} {}".format,
        st.one_of(
            st.integers(-(10**6), 10**6),
            st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=-10**6,
                        max_value=10**6),
            st.sampled_from(["1e-99", "9e99", "0", "-0", "1e-6"]),
        ),
        st.sampled_from(["ft", "m", "kV", "V", "A", "W", "VA", "degF", "%", "gal", "lb", "kN", "h",
                         "mph", "ft2", "deg", "1/h", "g/h", "ohm", "uF", "MHz", "ohm m", "kA/us",
                         "lbf", "Ah", "ppm", "s", "min", ""]),
    ),
    st.sampled_from(["unknown", "", "1", "2", "both", "inside", "level", "yes", "a, b, c"]),
)  # fmt: skip


@settings(parent=_QUICK, max_examples=300)
@given(data=st.data(), name=st.sampled_from(sorted(CALCULATIONS)))
def test_anything_typed_gives_a_finding_or_one_sentence(
    data: st.DataObject, name: str, book: Book
) -> None:
    """Whatever is typed: a finding that can be shown and kept, or one clear sentence."""
    good = WITHIN.get(name) or OTHERS[name]
    changed = data.draw(st.dictionaries(st.sampled_from(sorted(good)), _TYPED, max_size=3))
    got = _attempt(name, {**good, **changed}, book)
    if isinstance(got, Finding):
        assert as_text(got)
        assert from_data(as_data(got)) == got
    else:
        assert "\n" not in got.sentence()
        assert got.right


def _attempt(name: str, typed: dict[str, str], book: Book) -> Finding | StandclearError:
    try:
        return run(name, typed, book)
    except StandclearError as refused:
        return refused
