"""Guys, approach to lines, anchors."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.rulebook import Book


def guy(book: Book, tension: str, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    typed = {"breaking-strength": "6650 lbf", "tension": tension, **changed}
    return run("guy-tension", typed, book).result


@pytest.mark.parametrize(
    ("tension", "outcome"),
    [
        ("465 lbf", Outcome.OVER),
        ("465.5 lbf", Outcome.WITHIN),
        ("997.5 lbf", Outcome.WITHIN),
        ("998 lbf", Outcome.OVER),
        ("unknown", Outcome.NOT_SHOWN),
    ],
)
def test_the_range_of_the_standard(tension: str, outcome: Outcome, book: Book) -> None:
    """TIA-222: 7 to 15 % of 6650 lbf is 465.5 to 997.5 lbf, ends included."""
    assert guy(book, tension).outcome is outcome


@pytest.mark.parametrize(
    ("tension", "outcome"),
    [("732 lbf", Outcome.OVER), ("731.5 lbf", Outcome.WITHIN), ("598 lbf", Outcome.OVER)],
)
def test_a_designed_tension_goes_before_the_range(
    tension: str, outcome: Outcome, book: Book
) -> None:
    """Within 10 % of the engineer's 665 lbf: 15 % of breaking strength does not pass for it."""
    assert guy(book, tension, design_tension="665 lbf").outcome is outcome


def test_without_a_design_it_is_said(book: Book) -> None:
    """The usual 10 % is no design: a caution, and a second one when far off it."""
    near, far = guy(book, "665 lbf").cautions, guy(book, "900 lbf").cautions

    assert len(near) == 1
    assert len(far) == 2
    assert "35.3 %" in far[1]


def test_pounds_of_weight_and_of_force_pull_alike(book: Book) -> None:
    """A gauge in lb, kg or N is the same pull: 665 lb is 301.64 kg is 2958.07 N."""
    shares = []
    for tension in ("665 lb", "301.6389 kg", "2958.067 N"):
        outputs = {o.name: o.quantity for o in guy(book, tension).outputs}
        shares.append(outputs["share"].number("%"))

    assert shares == pytest.approx([10, 10, 10], rel=1e-5)


@pytest.mark.parametrize(
    ("voltage", "needed"),
    [
        ("240 V", 10),
        ("50 kV", 10),
        ("50.001 kV", 10 + 4 / 12),
        ("60 kV", 10 + 4 / 12),
        ("60.001 kV", 10 + 8 / 12),
        ("115 kV", 10 + 28 / 12),
        ("230 kV", 16),
        ("unknown", 10),
    ],
)
def test_started_steps_count_in_full(voltage: str, needed: float, book: Book) -> None:
    """1910.333(c)(3)(i): 4 in for every 10 kV above 50; the strict reading takes started ones."""
    typed = {"voltage-to-ground": voltage, "approach": "50 ft"}
    result = run("line-approach", typed, book).result
    outputs = {o.name: o.quantity for o in result.outputs}

    assert outputs["needed"].number("ft") == pytest.approx(needed)
    assert result.outcome is (Outcome.NOT_SHOWN if voltage == "unknown" else Outcome.WITHIN)


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({"strength": "5000 lbf"}, Outcome.WITHIN),
        ({"strength": "5000 lbf", "people": "2"}, Outcome.OVER),
        ({"strength": "22.3 kN"}, Outcome.WITHIN),
        ({"strength": "22.2 kN"}, Outcome.OVER),
        ({}, Outcome.NOT_SHOWN),
        ({"strength": "9000 lbf", "chosen-by": "looked-at"}, Outcome.NOT_SHOWN),
        ({"strength": "1800 lbf", "chosen-by": "designed"}, Outcome.OVER),
        (
            {"strength": "1800 lbf", "chosen-by": "designed", "arrest-force": "900 lbf"},
            Outcome.WITHIN,
        ),
    ],
)
def test_anchors(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """1926.502(d)(15): 5000 lbf a person, or twice the arrest in a designed system; 22.24 kN."""
    typed = {"people": "1", "chosen-by": "rated", **more}

    assert run("anchor", typed, book).result.outcome is outcome


def test_people_are_whole(book: Book) -> None:
    """One and a half people are a slip."""
    with pytest.raises(InputRefused, match=r"whole number"):
        run("anchor", {"people": "1.5", "chosen-by": "rated"}, book)


@pytest.mark.parametrize(
    ("strength", "outcome"), [("3600 lbf", Outcome.WITHIN), ("3599 lbf", Outcome.OVER)]
)
def test_each_person_adds_to_a_designed_system(strength: str, outcome: Outcome, book: Book) -> None:
    """1926.502(d)(15)(ii): twice the arrest for each of two people, 2 x 2 x 900 lbf = 3600 lbf."""
    typed = {"people": "2", "chosen-by": "designed", "arrest-force": "900 lbf"}

    assert run("anchor", {**typed, "strength": strength}, book).result.outcome is outcome


def test_an_unknown_design_is_not_replaced_by_the_usual(book: Book) -> None:
    """Where the designed tension exists and is not known, no distance off the usual is put out."""
    names = {output.name for output in guy(book, "900 lbf", design_tension="unknown").outputs}

    assert "off" not in names
    assert "share" in names


def test_exactly_the_tolerance_off_the_usual_is_not_beyond_it(book: Book) -> None:
    """731.5 lbf is 665 lbf and 10 %: the one caution is that no design was given."""
    assert len(guy(book, "731.5 lbf").cautions) == 1
    assert len(guy(book, "731.6 lbf").cautions) == 2
