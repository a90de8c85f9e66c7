"""Variants of a station: what is evaluated is what would be written, and what a remedy found."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from checklist.calculations.exposure import model
from checklist.calculations.exposure.variants import middle, raised, turned
from checklist.errors import StandclearError
from checklist.quantities import parse_quantity
from checklist.sessions.stations.exposing import expose, remedies_for
from checklist.sessions.variants.positions import raised_by, turned_by
from checklist.sessions.variants.remedies import remedy_rows, step_of
from checklist.sessions.variants.values import understood, values_of
from checklist.sessions.variants.variant import (
    Change,
    Source,
    Step,
    Variant,
    VariantRefused,
    source_of,
    with_step,
)
from checklist.station.people import Place
from checklist.station.radiators import radiators
from tests.sessions.varying import (
    AIMED,
    AT_THE_ANTENNA,
    BESIDE_A_BEAM,
    IN_THE_BEAM,
    TURNS_FREELY,
    UNDER_THE_DIPOLE,
    desk_in,
    step,
    varied,
    with_typed,
)
from tests.station.making import WHOLE, changed


def _quiet(what: str, done: int, of: int) -> None:
    del what, done, of


@pytest.mark.parametrize(
    ("pairs", "kinds"),
    [
        (
            (AT_THE_ANTENNA,),
            {"less power", "shorter overs", "a higher antenna", "people kept out"},
        ),
        (
            (IN_THE_BEAM, AIMED),
            {
                "less power",
                "another mode",
                "shorter overs",
                "a higher antenna",
                "people kept out",
                "turned away",
                "a lower gain",
            },
        ),
        (
            UNDER_THE_DIPOLE,
            {
                "less power",
                "another mode",
                "shorter overs",
                "a higher antenna",
                "people kept out",
            },
        ),
    ],
    ids=["collinear", "beam", "wires"],
)
def test_a_remedy_written_into_the_file_gives_what_its_search_found(
    pairs: tuple[tuple[str, str], ...], kinds: set[str], tmp_path: Path
) -> None:
    """Two routes, one number: the engine's changed scene, and the changed file read again."""
    source = varied(tmp_path, *pairs)
    exposed = expose(source.origin.described, _quiet)
    found = remedies_for(exposed, None, _quiet)
    tried = {}
    for place in found:
        for remedy in place.found:
            variant = with_step(source, source.origin, step_of(source.origin, place, remedy), "v")
            results = expose(variant.described, _quiet).evaluation.places
            share = next(r.total.fraction for r in results if r.place.name == place.place)
            tried[remedy.kind] = (share, remedy.fraction)

    assert kinds <= tried.keys()
    for kind, (share, sought) in tried.items():
        assert share == pytest.approx(sought, rel=2e-3), kind
        assert share is not None
        assert share <= source.origin.described.margin * 1.0005, kind


@pytest.mark.parametrize(
    ("pairs", "says", "written"),
    [
        (
            (*BESIDE_A_BEAM, TURNS_FREELY),
            "beam: sector 180 deg to 0 deg",
            {"turns": "yes", "sector": ["180 deg", "0 deg"], "bearing": "90 deg"},
        ),
        (
            BESIDE_A_BEAM,
            "beam: kept at the bearing of 0 deg, and locked there",
            {"turns": "no", "bearing": "0 deg"},
        ),
    ],
    ids=["a sector over north", "one bearing"],
)
def test_a_beam_that_turns_is_locked_in_the_file_as_it_was_found(
    pairs: tuple[tuple[str, str], ...], says: str, written: dict[str, object], tmp_path: Path
) -> None:
    """The sector is written, or the one bearing that is left; the file gives the same share."""
    path = tmp_path / "station.yaml"
    path.write_text(changed(*pairs), "utf-8")
    source = source_of(desk_in(tmp_path), path)
    place = remedies_for(expose(source.origin.described, _quiet), 0.4, _quiet)[0]
    remedy = next(one for one in place.found if one.kind == "locked to a sector")
    made = step_of(source.origin, place, remedy)
    variant = with_step(source, source.origin, made, "v")
    results = expose(variant.described, _quiet).evaluation.places
    share = next(r.total.fraction for r in results if r.place.name == "track")
    beam = variant.data["antennas"]["beam"]

    assert made.says == says
    assert {key: beam.get(key) for key in ("turns", "sector", "bearing") if key in beam} == written
    assert share == pytest.approx(remedy.fraction, rel=1e-6)
    assert share is not None
    assert share <= 0.4


def test_remedies_are_numbered_through_all_places(tmp_path: Path) -> None:
    """Each line that can be tried begins with its number, counted on from place to place."""
    source = varied(tmp_path, AT_THE_ANTENNA, ("at: [-8 m, 0 m, 0 m]", "at: [-1.6 m, 0 m, 13 m]"))
    found = remedies_for(expose(source.origin.described, _quiet), None, _quiet)
    rows = [text for text, tried in remedy_rows(found) if tried]

    assert len(found) == 2
    assert [int(text.split()[0]) for text in rows] == list(range(1, len(rows) + 1))
    assert len(rows) == sum(len(place.found) for place in found)


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    path = tmp_path / "whole.yaml"
    path.write_text(WHOLE, "utf-8")
    return path


def test_turning_and_raising_in_the_file_is_what_the_engine_does(whole: Path) -> None:
    """Every antenna of the whole station: the file's change against the engine's, to 2 mm."""
    source = source_of(desk_in(whole.parent), whole)
    before = _made(source.origin)
    for name, antenna in source.origin.data["antennas"].items():
        x, y, _ = middle(before[name])
        higher = _changed(source, raised_by(antenna, name, 3.25))

        assert _same(_made(higher)[name], raised(before[name], 3.25)), name
        if "bearing" in antenna or antenna["kind"] in {"wires", "random-wire"}:
            round_ = _changed(source, turned_by(antenna, name, 40, (x, y)))

            assert _same(_made(round_)[name], turned(before[name], 40)), name


def _changed(source: Source, changes: tuple[Change, ...]) -> Variant:
    return with_step(source, source.origin, Step("", "", changes), "v")


def _made(variant: Variant) -> dict[str, model.Antenna]:
    """Return every antenna as the engine has it, one that turns at its first heading."""
    figures = variant.described.figures
    return {a.name: radiators(a, 14.2e6, figures)[0][0] for a in variant.described.station.antennas}


def _same(one: model.Antenna, other: model.Antenna) -> bool:
    if isinstance(one, model.Wires) and isinstance(other, model.Wires):
        return all(
            math.dist(p, q) < 2e-3
            for a, b in zip(one.wires, other.wires, strict=True)
            for p, q in ((a.start, b.start), (a.end, b.end))
        )
    assert not isinstance(one, model.Wires)
    assert not isinstance(other, model.Wires)
    angles = ((one.azimuth_deg or 0.0) - (other.azimuth_deg or 0.0)) % 360
    return math.dist(middle(one), middle(other)) < 2e-3 and min(angles, 360 - angles) < 1e-3


def test_every_value_takes_its_own_example(whole: Path) -> None:
    """Each value of the whole station can be tried at the example that is shown for it."""
    source = source_of(desk_in(whole.parent), whole)
    values = values_of(source.origin)
    words = {value.word for value in values}
    refused = {}
    for value in values:
        try:
            with_step(source, source.origin, value.taken(value.example), "v", value.where)
        except VariantRefused as error:
            refused[value.where] = error.sentence()

    assert {"power", "duty", "mode", "overs", "height", "heading", "sector", "gain"} <= words
    assert {"distance", "floor", "length", "swr"} <= words
    assert refused == {}


def test_lengths_are_shown_in_feet_and_metres(tmp_path: Path) -> None:
    """What stands there, what is typed, and what it costs: each in both, 1 ft being 0.3048 m."""
    source = varied(tmp_path)
    value = next(v for v in values_of(source.origin) if (v.of, v.word) == ("dipole-40", "height"))
    made = value.taken("50 ft")

    assert value.now == "12 m (39.4 ft)"
    assert understood(value, "50 ft") == "50 ft (15.2 m)"
    assert made.says == "dipole-40: height 15.2 m (50 ft) instead of 12 m (39.4 ft)"
    assert made.costs == "3.24 m (10.6 ft) higher"
    assert made.changes == (Change(("antennas", "dipole-40", "centre", 2), "15.24 m"),)


@pytest.mark.parametrize(
    ("of", "word", "text", "says"),
    [
        ("beacon-test", "power", "10", "beacon-test, power: “10” has no unit."),
        ("beacon-test", "power", "10 m", "beacon-test, power: “10 m” is a length, and a power"),
        ("beacon-test", "power", "20 kW", "beacon-test, power: “20 kW” is above 10 kW"),
        ("beacon-test", "power", "500 W", "500 W is more than the 100 W that desk-rig gives"),
        ("beacon-test", "duty", "200 %", "beacon-test, duty: “200 %” is above 100 %"),
        ("beacon-test", "mode", "shouting", "shouting"),
        ("beacon-test", "overs", "2 min", "beacon-test, overs: “2 min” has no time within which"),
        ("beacon-test", "overs", "9 min in 6 min", "is longer than the window"),
        ("mast-vertical", "height", "-1 m", "mast-vertical, height: “-1 m” is below zero"),
        ("dipole-40", "heading", "400 deg", "dipole-40, heading: “400 deg” is no bearing"),
        ("track", "distance", "far", "track, distance: “far” does not begin with a number"),
        ("to-dipole", "swr", "0.5", "to-dipole, swr: “0.5” is below 1"),
    ],
)
def test_a_wrong_value_is_one_sentence_that_says_where(
    of: str, word: str, text: str, says: str, tmp_path: Path
) -> None:
    """Name and word of the value first, then what is wrong; never more than one error."""
    source = varied(tmp_path)
    with pytest.raises(StandclearError) as refused:
        with_typed(source, source.origin, of, word, text)

    assert says in refused.value.sentence()
    assert "\n" not in refused.value.sentence()


def test_a_place_is_moved_level_away_from_the_antenna_that_decides(tmp_path: Path) -> None:
    """Its direction stays, its height stays, its distance is the one typed."""
    source = varied(tmp_path)
    moved = with_typed(source, source.origin, "track", "distance", "120 ft")
    before, after = (_at(v.described.station.places, "track") for v in (source.origin, moved))

    assert math.hypot(after[0], after[1]) == pytest.approx(120 * 0.3048, abs=2e-3)
    assert math.atan2(after[1], after[0]) == pytest.approx(
        math.atan2(before[1], before[0]), abs=1e-4
    )
    assert after[2] == before[2]
    assert "kept by a barrier" in moved.steps[0].costs
    assert (
        "look again at what is within reach"
        in step(source.origin, "track", "distance", "2 m").costs
    )


def _at(places: tuple[Place, ...], name: str) -> tuple[float, float, float]:
    return next(place for place in places if place.name == name).at.metres()


def test_steps_add_up(tmp_path: Path) -> None:
    """Half the power is 3.0 dB; the height on top of it leaves the power as it was changed."""
    source = varied(tmp_path)
    first = with_typed(source, source.origin, "evening-net", "power", "250 W")
    both = with_typed(source, first, "dipole-40", "height", "14 m")
    emission = next(e for e in both.described.scene.emissions if e.name == "evening-net")

    assert first.steps[0].costs == "3.0 dB less power (250 W)"
    assert [s.says for s in both.steps] == [
        "evening-net: power 250 W instead of 500 W",
        "dipole-40: height 14 m (45.9 ft) instead of 12 m (39.4 ft)",
    ]
    assert emission.power_w == 250
    assert middle(emission.antenna)[2] == pytest.approx(14)
    assert source.origin.described.scene.emissions[0].power_w == 500


def test_another_mode_leaves_no_duty_factor_of_the_old_one(tmp_path: Path) -> None:
    """A station's own duty factor was of the old mode: it goes out with it."""
    source = varied(tmp_path, ("mode: FM voice", "mode: FM voice\n    duty: 30 %"))
    made = step(source.origin, "beacon-test", "mode", "SSB")

    assert Change(("emissions", "beacon-test", "duty"), None) in made.changes


def test_coordinates_keep_their_unit(tmp_path: Path) -> None:
    """What was written in feet is moved in feet."""
    source = varied(tmp_path, ("at: [0 m, 0 m, 14 m]", "at: [0 ft, 0 ft, 40 ft]"))
    made = step(source.origin, "mast-vertical", "height", "15.24 m")
    height = parse_quantity(made.changes[0].value, "length")

    assert made.changes == (Change(("antennas", "mast-vertical", "at", 2), "50 ft"),)
    assert height.number("m") == pytest.approx(15.24)
