"""How numbers are held against limits."""

from __future__ import annotations

from fractions import Fraction

import pytest

from checklist.calculations.judging import Computed, Judgement, high, low
from checklist.calculations.kinds import Outcome
from checklist.quantities import Quantity

TEN = Quantity.of(10, "A")


def _a(text: str) -> Quantity:
    return Quantity.of(text, "A")


@pytest.mark.parametrize(
    ("got", "outcome"),
    [
        ("9.999", Outcome.WITHIN),
        ("10", Outcome.WITHIN),
        ("10.000000000000001", Outcome.OVER),
        ("11", Outcome.OVER),
    ],
)
def test_equal_to_an_upper_limit_passes(got: str, outcome: Outcome) -> None:
    """At the limit passes, any bit above does not, unrounded."""
    judgement = Judgement()
    judgement.at_most("current", _a(got), TEN, "the breaker")

    assert judgement.result().outcome is outcome


def test_twenty_feet_do_not_fail_against_metres() -> None:
    """6.096 m is 20 ft exactly; 6.1 m is more; 6.09 m is less."""
    for metres, outcome in (
        ("6.096", Outcome.WITHIN),
        ("6.1", Outcome.WITHIN),
        ("6.09", Outcome.OVER),
    ):
        judgement = Judgement()
        got = Quantity.of(metres, "m")
        judgement.at_least("distance", got, Quantity.of(20, "ft"), "the rule")

        assert judgement.result().outcome is outcome


def test_thirds_are_compared_exactly() -> None:
    """A third of thirty is ten: no digit is lost on the way to the comparison."""
    judgement = Judgement()
    judgement.at_most("current", Computed(Fraction(10, 3) * 3, "A"), TEN, "the breaker")
    judgement.at_most("current", Computed(Fraction(1, 3), "A"), TEN, "the breaker")

    assert judgement.result().outcome is Outcome.WITHIN
    assert Computed(Fraction(1, 3), "A").quantity == _a("0.333333333333")


def test_nothing_compared_is_not_shown() -> None:
    """A run without any comparison cannot be within."""
    assert Judgement().result().outcome is Outcome.NOT_SHOWN


def test_over_beats_not_shown_beats_within() -> None:
    """What is over stays over whatever else is unknown."""
    judgement = Judgement()
    judgement.at_most("current", _a("1"), TEN, "the breaker")
    judgement.unknown("the voltage")

    assert judgement.result().outcome is Outcome.NOT_SHOWN

    judgement.at_most("current", _a("11"), TEN, "the breaker")
    result = judgement.result()

    assert result.outcome is Outcome.OVER
    assert len(result.stops) == 2


def test_the_tightest_check_decides() -> None:
    """The check nearest to its limit, or farthest past it, is the one that is named."""
    judgement = Judgement()
    judgement.at_most("current", _a("5"), TEN, "the cord")
    judgement.at_most("current", _a("5"), _a("6"), "the plug")
    judgement.at_most("current", _a("5"), _a("7"), "the breaker")

    assert judgement.result().decided_by == "current: the plug"
    assert judgement.result().says == "Current 5 A, at most 6 A (the plug)."


def test_a_distance_of_zero_is_over() -> None:
    """Nothing at all, where something is needed, is over and not an error."""
    judgement = Judgement()
    judgement.at_least("distance", Quantity.of(0, "ft"), Quantity.of(20, "ft"), "the rule")

    assert judgement.result().outcome is Outcome.OVER


def test_limits_are_rounded_to_the_strict_side() -> None:
    """A shown load never reads lower, a shown limit never higher, than what was compared."""
    third = Computed(Fraction(10, 3), "A")

    assert high(third) == "3.34 A"
    assert low(third) == "3.33 A"


def test_a_rule_that_is_met_is_within_and_any_comparison_outranks_it() -> None:
    """A rule without numbers can pass a run; it never hides a number that decides."""
    alone, beside = Judgement(), Judgement()
    alone.met("The frame is bonded.", "frame")
    beside.met("The frame is bonded.", "frame")
    beside.at_most("current", _a("9"), TEN, "the breaker")
    beside.met("The neutral is bonded.", "neutral")

    assert (alone.result().outcome, alone.result().says) == (
        Outcome.WITHIN,
        "The frame is bonded.",
    )
    assert beside.result().decided_by == "current: the breaker"


def test_a_rule_that_is_met_clears_no_stop() -> None:
    """What is over or unknown stays so."""
    over, unknown = Judgement(), Judgement()
    over.met("The frame is bonded.", "frame")
    over.over("A cord feeds the wall outlet.", "connection")
    unknown.met("The frame is bonded.", "frame")
    unknown.unknown("the neutral")

    assert over.result().outcome is Outcome.OVER
    assert unknown.result().outcome is Outcome.NOT_SHOWN


def test_a_computed_number_under_a_need_is_rounded_down() -> None:
    """A third of ten is 3.333…: shown as 3.33 against 4, and as equal where it is."""
    judgement = Judgement()
    third = Computed(Fraction(10, 3), "A")
    judgement.at_least("current", third, _a("4"), "the need")
    judgement.at_least("current", third, Computed(Fraction(10, 3), "A"), "itself")

    assert judgement.result().stops == ("Current 3.33 A, needs 4 A (the need).",)


def test_every_comparison_is_a_line_of_the_arithmetic() -> None:
    """What is held against what stands there with its outcome, a rule in words as well."""
    judgement = Judgement()
    judgement.at_most("current", _a("11"), TEN, "the breaker")
    judgement.at_least("current", _a("11"), TEN, "the load")
    judgement.met("The plug is whole.", "plug")
    judgement.over("The cord is torn.", "cord")

    assert judgement.result().lines == (
        "compare: current 11 A, at most 10 A (the breaker): does not hold",
        "compare: current 11 A, needs 10 A (the load): holds",
        "met: The plug is whole.",
        "not met: The cord is torn.",
    )


@pytest.mark.parametrize(("got", "beyond"), [("10", False), ("10.1", True)])
def test_what_only_cautions_stops_nothing(got: str, beyond: bool) -> None:
    """A mark for a caution is compared in a line, and decides no outcome."""
    judgement = Judgement()
    judgement.at_most("current", _a(got), _a("20"), "the breaker")

    assert judgement.is_beyond("current", _a(got), TEN, "for hours") is beyond
    assert judgement.result().outcome is Outcome.WITHIN
    assert judgement.lines[-1].endswith(": beyond" if beyond else ": not beyond")


def test_nothing_compared_is_said() -> None:
    """An empty run is not shown, and says why."""
    result = Judgement().result()

    assert result.outcome is Outcome.NOT_SHOWN
    assert result.says == "Not shown: there was nothing to compare with a limit."
    assert result.decided_by == "there was nothing to compare"


def test_a_limit_of_zero_decides_before_any_ratio() -> None:
    """What may not be there at all is farther over than ten thousand times another limit."""
    judgement = Judgement()
    judgement.at_most("first", _a("1"), _a("0"), "none allowed")
    judgement.at_most("second", _a("10000"), _a("1"), "the fuse")

    assert judgement.result().decided_by == "first: none allowed"


def test_of_two_limits_of_zero_the_larger_excess_decides() -> None:
    """Whichever comes first."""
    judgement = Judgement()
    judgement.at_most("small", _a("1"), _a("0"), "none allowed")
    judgement.at_most("large", _a("2"), _a("0"), "none allowed")
    judgement.at_most("middle", _a("1.5"), _a("0"), "none allowed")

    assert judgement.result().decided_by == "large: none allowed"


def test_a_count_reads_as_people_write_it() -> None:
    """Two of something against three: `2, needs 3`, with no sign of a unit."""
    judgement = Judgement()
    judgement.at_least("clips", Quantity.of(2, "1"), Quantity.of(3, "1"), "the table")
    judgement.at_most("clips", Computed(Fraction(7), "1"), Quantity.of(3, "1"), "the table")

    assert judgement.result().stops == (
        "Clips 2, needs 3 (the table).",
        "Clips 7, at most 3 (the table).",
    )
