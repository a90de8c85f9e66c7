"""Reading a station file: what is right is kept, what is wrong is said once and with its place."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from checklist.quantities import parse_quantity
from checklist.rulebook import Book
from checklist.shipped import shipped_rules
from checklist.station import Known, StationRefused, known_in, load_station
from checklist.station.antennas import ByGain, HalfWaveDipole, Yagi
from checklist.station.radio import Log, OnTime, Pattern
from checklist.strictyaml import read_yaml
from tests.station.making import WHOLE, errors, loaded, whole

_MISTAKES = read_yaml(
    (Path(__file__).parent / "mistakes.yaml").read_text("utf-8"), "mistakes.yaml"
).data


@pytest.mark.parametrize("name", _MISTAKES)
def test_a_mistake_is_said_in_one_sentence_with_its_place(name: str) -> None:
    """Each planted mistake gives its sentence, at the line where it was planted."""
    old, new, says = _MISTAKES[name]
    found = errors((old, new)) if WHOLE.count(old) == 1 else _in_the_first(old, new)

    assert any(says in error for error in found), found
    for error in found:
        assert re.match(r"station\.yaml, line \d+, column \d+: .+[.?]$", error), error


def _in_the_first(old: str, new: str) -> list[str]:
    with pytest.raises(StationRefused) as refused:
        load_station(WHOLE.replace(old, new, 1), "station.yaml")
    return refused.value.errors


def test_all_mistakes_of_a_file_are_said_at_once_and_in_its_order() -> None:
    """Three mistakes far apart, one of them across two entries, give three sentences."""
    found = errors(
        ("tall: 1.9 m", "tall: 1.9"), ("power: 500 W", "power: 900 W"), ('leg: "1"', 'leg: "3"')
    )
    lines = [int(error.split("line ")[1].split(",")[0]) for error in found]

    assert len(found) == 3
    assert lines == sorted(lines)
    assert WHOLE.splitlines()[lines[1] - 1].strip() == "power: 500 W"


def test_an_entry_with_a_mistake_is_still_known_by_its_name() -> None:
    """A mistake in an antenna is not said again where an emission names that antenna."""
    found = errors(("frequency: 7.1 MHz, centre", "frequency: 7.1, centre"))

    assert len(found) == 1


def test_quantities_keep_unit_and_text() -> None:
    """What stands in the file is kept as typed, and compares exactly across units."""
    dipole = next(a for a in whole().antennas if a.name == "dipole-40")

    assert isinstance(dipole, HalfWaveDipole)
    assert dipole.frequency.typed == "7.1 MHz"
    assert dipole.frequency == parse_quantity("7100 kHz", "frequency")
    assert dipole.centre.metres() == (0.0, 12.0, 12.0)


def test_a_gain_over_a_dipole_is_told_from_one_over_isotropic() -> None:
    """3 dBd is 5.15 dBi."""
    vertical = next(a for a in whole().antennas if a.name == "mast-vertical")

    assert isinstance(vertical, ByGain)
    assert vertical.gain is not None
    assert float(vertical.gain.to("dBi")) == pytest.approx(5.15)


def test_on_air_times_are_told_by_their_kind() -> None:
    """A pattern, a counted time and a log are three things."""
    kinds = {e.name: type(e.on_air) for e in whole().emissions}

    assert kinds["evening-net"] is Pattern
    assert kinds["counted"] is OnTime
    assert kinds["overs"] is Log


def test_what_is_unknown_is_none() -> None:
    """A key that is left out and the word unknown are the same, and never a number."""
    named = loaded(("    power: 25 W\n", "    power: unknown\n"))
    left_out = loaded(("    power: 25 W\n", ""))

    assert named == left_out
    assert next(e for e in named.emissions if e.name == "beacon-test").power is None


def test_none_within_reach_differs_from_not_looked_at() -> None:
    """`none` is an empty list; a key that is left out is not known."""
    said = next(p for p in whole().places if p.name == "operating-desk")
    text = WHOLE.replace("    within-reach: none\n", "", 1)
    unsaid = next(
        p for p in load_station(text, "s").places if p.name == "operating-desk"
    )  # fmt: skip

    assert said.within_reach == ()
    assert unsaid.within_reach is None


def test_emissions_are_on_together_unless_something_forbids_it() -> None:
    """One transmitter sends one at a time, a group excludes, and all others count together."""
    station = whole()

    assert not station.may_be_on_together("overs", "counted")  # one transmitter
    assert not station.may_be_on_together("evening-net", "beacon-test")  # the group
    assert station.may_be_on_together("evening-net", "overs")


def test_names_outside_the_file_are_checked_where_they_are_known() -> None:
    """A limit set, a mode or a cable that no table has is refused, with those there are."""
    known = Known(limit_sets=("fcc-1310",), modes=("SSB", "CW"), cables=("foam-9",))
    found = errors(
        ("attenuation: {7 MHz: 0.6 dB/100 ft, 14 MHz: 0.8 dB/100 ft}", "cable: foam-8"),
        ("limits: fcc-1310", "limits: fcc-1311"),
        known=known,
    )

    assert any("“fcc-1311” is not among the limit sets at hand: fcc-1310" in e for e in found)
    assert any("“foam-8” is not among the cables with a table: foam-9" in e for e in found)
    assert (
        sum("“FM voice” is not among the modes with a duty factor: CW, SSB" in e for e in found)
        == 2
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "the file is empty"),
        ("- one\n- two\n", "keys with their values are needed here"),
        ("just words", "keys with their values are needed here"),
        ("format: 1\nformat: 1\n", "“format” stands twice"),
        ("format: &a 1\n", "anchors and aliases"),
        ('name: "\\e[31mred"\n', "U+001B"),
    ],
)
def test_what_is_no_station_file_is_refused(text: str, says: str) -> None:
    """Whatever stands in the file, a sentence comes and no traceback."""
    with pytest.raises(StationRefused) as refused:
        load_station(text, "station.yaml")

    assert says in refused.value.sentence()


def test_the_example_for_authors_loads() -> None:
    """The page for authors holds an example that can be copied as it stands."""
    page = (shipped_rules() / "STATION.md").read_text("utf-8")
    example = re.findall(r"```yaml\n(.*?)```", page, re.DOTALL)
    station = load_station(example[0], "example.yaml")

    assert len(example) == 1
    assert station.bonding is not None
    assert not any(isinstance(a, Yagi) for a in station.antennas)


def test_the_whole_station_names_what_the_tables_have(book: Book) -> None:
    """Its modes are rows of the shipped table of duty factors, and its limits a shipped set."""
    limits = [path.stem for path in (shipped_rules() / "limits").glob("*.yaml")]

    assert load_station(WHOLE, "station.yaml", known_in(book, limits)) == whole()
