"""The station as the exposure engine takes it: nothing is lost, and nothing is made milder."""

from __future__ import annotations

import math

import pytest

from checklist.calculations.exposure import figures, model
from checklist.rulebook import Book
from checklist.station.scene import StationScene, scene_of
from checklist.station.station import Station
from tests.station.making import loaded, whole

_EVENING = "transmitter: amplifier\n    feed-line: to-dipole\n    antenna: dipole-40"


def _scene(book: Book, station: Station | None = None) -> StationScene:
    return scene_of(station or whole(), figures(book))


def _antenna(book: Book, name: str) -> model.Antenna:
    """Return an antenna of the station, put in the place of the dipole of the evening net."""
    text = _EVENING.replace("dipole-40", name)
    scene = _scene(book, loaded((_EVENING, text))).scene
    return next(e.antenna for e in scene.emissions if e.name == "evening-net")


def _wires(book: Book, name: str) -> model.Wires:
    antenna = _antenna(book, name)

    assert isinstance(antenna, model.Wires)
    return antenna


def test_a_bearing_of_east_runs_along_x(book: Book) -> None:
    """Bearings count from north over east: a wire that bears 90 degrees lies along x."""
    wire = _wires(book, "dipole-40").wires[0]

    assert wire.start[1] == pytest.approx(wire.end[1]) == pytest.approx(12.0)
    assert wire.end[0] - wire.start[0] > 19
    assert wire.radius_m == pytest.approx(0.001)


def test_the_legs_of_an_inverted_v_enclose_the_stated_angle(book: Book) -> None:
    """Both legs begin at the apex, are 19.4 m long, and stand 110 degrees apart."""
    left, right = _wires(book, "garden-v").wires
    a, b = (
        [e - s for s, e in zip(w.start, w.end, strict=True)] for w in (left, right)
    )  # fmt: skip
    cosine = sum(p * q for p, q in zip(a, b, strict=True)) / math.hypot(*a) / math.hypot(*b)

    assert left.start == right.start == (0.0, 0.0, 10.0)
    assert math.hypot(*a) == pytest.approx(19.4)
    assert math.degrees(math.acos(cosine)) == pytest.approx(110)


@pytest.mark.parametrize("name", ["field-vertical", "balcony-loop", "end-fed", "drawn"])
def test_each_builder_gives_wires_that_are_fed(name: str, book: Book) -> None:
    """The wires start where the file says, and one of them is fed."""
    made = _wires(book, name)

    assert made.name == name
    assert 0 <= made.feeds[0].wire < len(made.wires)
    assert all(math.dist(w.start, w.end) > 0 for w in made.wires)


def test_a_loop_that_lies_is_level(book: Book) -> None:
    """A horizontal loop has all its corners at the height of its middle."""
    station = loaded(
        ("plane: vertical, bearing: 0 deg", "plane: horizontal"),
        (_EVENING, _EVENING.replace("dipole-40", "balcony-loop")),
    )
    scene = _scene(book, station).scene
    loop = next(e.antenna for e in scene.emissions if e.name == "evening-net")

    assert isinstance(loop, model.Wires)
    assert all(w.start[2] == pytest.approx(2.0) for w in loop.wires)


def test_a_beam_that_turns_counts_at_each_heading_of_its_sector(book: Book) -> None:
    """From 0 to 180 degrees in steps of 15 there are 13 headings, of one transmitter."""
    beams = [e for e in _scene(book).scene.emissions if e.name.startswith("overs")]

    assert len(beams) == 13
    assert len({e.transmitter for e in beams}) == 1


def test_a_sector_is_handed_over_the_other_way_round(book: Book) -> None:
    """Clockwise from north to east is, from east over north, 0 to 90 degrees."""
    station = loaded(
        ("extent: 2 m, bearing: 200 deg,",
         "extent: 2 m, bearing: 45 deg, turns: yes, sector: [0 deg, 90 deg],"),
        (_EVENING, _EVENING.replace("dipole-40", "panel-beam")),
    )  # fmt: skip
    scene = _scene(book, station).scene
    beam = next(e.antenna for e in scene.emissions if e.name == "evening-net")

    assert isinstance(beam, model.ByGain)
    assert beam.sector_deg == (0.0, 90.0)
    assert beam.azimuth_deg == 45.0


@pytest.mark.parametrize(("efficiency", "wide"), [("efficiency: 65 %", 0.35), ("", 1.6)])
def test_a_dish_without_gain_has_that_of_its_aperture(
    efficiency: str, wide: float, book: Book
) -> None:
    """OET 65 equation 14 on a filed dish of 1.2 m at 14.25 GHz, printed with 65 % and 43.5 dBi.

    The filing's two figures are 0.3 dB apart, hence the width; with no efficiency given the
    gain is that of 100 %, and never below the printed one.
    """
    station = loaded(
        ("frequency: 10.368 GHz", "frequency: 14.25 GHz"), ("turns: no, efficiency: 55 %",
         f"turns: no{', ' if efficiency else ''}{efficiency}"),
    )  # fmt: skip
    scene = _scene(book, station).scene
    dish = next(e.antenna for e in scene.emissions if e.name == "counted")

    assert isinstance(dish, model.Dish)
    assert dish.gain_dbi == pytest.approx(43.5, abs=wide)
    assert efficiency or dish.gain_dbi >= 43.5


def test_only_what_excludes_each_other_shares_a_label(book: Book) -> None:
    """The engine counts one emission of a label at a time, so a shared one must be earned."""
    station = whole()
    labels = {e.name.partition(",")[0]: e.transmitter for e in _scene(book).scene.emissions}

    for one in labels:
        for other in labels:
            if labels[one] == labels[other] and one != other:
                assert not station.may_be_on_together(one, other)


def test_what_is_unknown_stays_unknown(book: Book) -> None:
    """No power and an unseen reach are None for the engine, which then shows nothing."""
    station = loaded(("    power: 25 W\n", ""), ("    within-reach:\n      - {antenna: end-fed, "
                     "what: the lower end, bare: yes, distance: 40 cm}\n", ""))  # fmt: skip
    scene = _scene(book, station).scene

    assert next(e for e in scene.emissions if e.name == "beacon-test").power_w is None
    assert next(p for p in scene.places if p.name == "track").conductors_in_reach is None


def test_places_keep_floor_and_reach(book: Book) -> None:
    """A body stands from the floor to as high as a head or hand can be."""
    places = {p.name: p for p in _scene(book).scene.places}

    assert (places["operating-desk"].low_m, places["operating-desk"].high_m) == (0.0, 1.9)
    assert places["operating-desk"].operator_only
    assert places["track"].conductors_in_reach is True
    assert not places["track"].controlled
