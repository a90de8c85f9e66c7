"""Remedies: each alone brings the place to the share asked for, by the same engine."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checklist.calculations import Outcome
from checklist.calculations.exposure import Figures, LimitSet, evaluate, remedies
from checklist.calculations.exposure.builders import inverted_v
from checklist.calculations.exposure.model import Ground, Pattern, Scene
from checklist.calculations.exposure.places import judge
from checklist.rulebook import Book
from tests.calculations.exposure.making import LAWN, emission, yagi

_PATTERN = Pattern(((0, 0), (30, 3), (60, 12), (90, 20), (180, 15)))
_LOUD = emission(power_w=400.0, antenna=yagi(9.0, pattern=_PATTERN, azimuth_deg=53.0))
_HOUSE = replace(LAWN, name="house", x_m=9.0, y_m=12.0, low_m=3.0, high_m=4.8)
_SCENE = Scene((_LOUD,), (_HOUSE,))


@pytest.mark.parametrize("share", [1.0, 0.5])
def test_every_remedy_does_what_it_says(
    share: float, fcc: LimitSet, book: Book, numbers: Figures
) -> None:
    """The station with the remedy applied, judged anew, is within the share asked for."""
    found = remedies(_SCENE, _HOUSE, fcc, book, share)
    kinds = {r.kind for r in found.found}

    assert {"less power", "another mode", "shorter overs", "a higher antenna"} <= kinds
    assert {"people kept out", "turned away", "a lower gain"} <= kinds
    for remedy in found.found:
        (place,) = remedy.scene.places
        total = judge(remedy.scene.emissions, place, Ground.REAL, fcc, numbers)

        assert total.outcome is Outcome.WITHIN
        assert total.fraction is not None
        assert total.fraction <= share
        assert total.fraction == pytest.approx(remedy.fraction)
        assert remedy.says


def test_less_power_is_the_fraction_turned_round(
    fcc: LimitSet, book: Book, numbers: Figures
) -> None:
    """Power density is in proportion to power: watts = 400 W / fraction, rounded down."""
    fraction = judge([_LOUD], _HOUSE, Ground.REAL, fcc, numbers).fraction
    assert fraction is not None
    power = next(r for r in remedies(_SCENE, _HOUSE, fcc, book).found if r.kind == "less power")

    assert 0.98 * 400 / fraction <= power.amount <= 400 / fraction


def test_what_cannot_suffice_alone_is_said(fcc: LimitSet, book: Book) -> None:
    """Two transmitters, each over by itself: less power in one of them is not enough."""
    other = replace(_LOUD, name="second", transmitter="second rig")
    found = remedies(Scene((_LOUD, other), (_HOUSE,)), _HOUSE, fcc, book)

    assert "less power" not in {r.kind for r in found.found}
    assert any("less power" in text for text in found.not_enough)


def test_nothing_is_proposed_where_it_is_met(fcc: LimitSet, book: Book) -> None:
    """A place within the share needs no remedy, and is told so."""
    quiet = Scene((replace(_LOUD, power_w=1.0),), (_HOUSE,))
    found = remedies(quiet, _HOUSE, fcc, book)

    assert found.found == ()
    assert found.not_enough == ("It is met as things are.",)


def test_power_does_not_cure_what_is_not_shown(fcc: LimitSet, book: Book) -> None:
    """Unknown gain or power, or no limit to hold it against: nothing but knowing more helps."""
    for unknown in (
        replace(_LOUD, antenna=yagi(gain_dbi=None)),
        replace(_LOUD, frequency_hz=122.5e9),
        replace(_LOUD, power_w=None),
    ):
        found = remedies(Scene((unknown,), (_HOUSE,)), _HOUSE, fcc, book)

        assert found.found == ()
        assert found.not_enough


def test_an_antenna_of_wires_is_helped_by_the_near_field(
    fcc: LimitSet, book: Book, numbers: Figures
) -> None:
    """Under a low inverted V: less power and more height, each by the wires themselves."""
    low = inverted_v("V", (0, 0, 4.5), 2.5, 30, 0.001)
    scene = Scene((replace(_LOUD, antenna=low),), (replace(LAWN, x_m=0.5, y_m=0.3),))
    found = evaluate(scene, fcc, book).places[0]

    assert found.outcome is Outcome.OVER
    kinds = {r.kind: r for r in remedies(scene, scene.places[0], fcc, book).found}
    assert {"less power", "a higher antenna", "people kept out"} <= set(kinds)
    for remedy in kinds.values():
        total = judge(remedy.scene.emissions, remedy.scene.places[0], Ground.REAL, fcc, numbers)

        assert total.outcome is Outcome.WITHIN
