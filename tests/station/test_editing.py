"""Edits of a whole station file: loaded strictly, or refused with a sentence and nothing lost."""

from __future__ import annotations

import pytest

from checklist.station import changes
from checklist.station.editing import add_entry, loaded, references, remove, rename, set_value
from checklist.station.lineform import checked, from_line, is_line, is_row, to_line
from checklist.station.lists import Many
from checklist.station.marks import EditRefused
from checklist.station.placed import shape_at
from checklist.strictyaml import Path, read_yaml
from tests.station.making import WHOLE, whole
from tests.station.test_surgery import DATA, held, places

SMALL = "format: 1\nname: x\nlocation: {address: here}\nlaw: {jurisdiction: US, limits: fcc-1310}\n"
EDITS: dict[Path, str] = {
    ("places", "track", "tall"): "6 ft",
    ("antennas", "dipole-40", "diameter"): "3 mm",
    ("antennas", "beam", "elements", 1): "",
    ("emissions", "overs", "power"): "60 W",
    ("feed-lines", "to-dipole", "attenuation"): "",
    ("location", "address"): "elsewhere",
    ("bonding", "bonds", "jumper", "gauge"): "4 AWG",
}


@pytest.mark.parametrize("path", EDITS, ids=str)
def test_an_edit_changes_the_loaded_station_there_alone(path: Path) -> None:
    """The loaded station differs in the one value that was meant."""
    value: object = EDITS[path] or {
        "elements": {
            "position": "2 m", "length": "10.0 m", "diameter": "25 mm", "driven": "yes",
        },
        "attenuation": {"7 MHz": "0.6 dB/100 ft", "14 MHz": "0.9 dB/100 ft"},
    }[str(path[2])]  # fmt: skip
    edited = set_value(WHOLE, path, value)

    assert len(changes(whole(), edited.station)) == 1


def test_an_optional_key_comes_in_its_usual_place_and_goes_again() -> None:
    """Added and taken out, the file is what it was, byte for byte."""
    added = set_value(WHOLE, ("places", "track", "within-reach"), "none").text
    with_it = set_value(WHOLE, ("feed-lines", "to-dipole", "load-swr"), "2").text
    new = set_value(WHOLE, ("emissions", "counted", "power"), "5 W").text

    assert "frequency: 10.368 GHz\n    power: 5 W\n    power-is: carrier" in new
    assert remove(new, ("emissions", "counted", "power")).text == WHOLE
    assert "within-reach: none\ntransmitters" in added
    assert "load-swr: 2\n" in with_it


def test_a_removed_entry_must_not_be_referred_to() -> None:
    """The refusal names what refers to it; without references it goes."""
    with pytest.raises(EditRefused) as refused:
        remove(WHOLE, ("antennas", "end-fed"))

    assert "“end-fed” cannot go while it is named by places track, within-reach, 1, antenna" in str(
        refused.value
    )
    assert "drawn" not in read_yaml(remove(WHOLE, ("antennas", "drawn")).text, "x").data["antennas"]
    assert "never-together" not in remove(WHOLE, ("never-together", 0)).text


def test_a_renamed_entry_takes_its_references_along() -> None:
    """Names of every section, and wires within their own antenna; the station stays the same."""
    for path in (("transmitters", "desk-rig"), ("bonding", "nodes", "bus"), ("people", "wren")):
        pointing = references(WHOLE, path)
        edited = rename(WHOLE, path, "other-name")

        assert pointing
        assert len(references(edited.text, (*path[:-1], "other-name"))) == len(pointing)
    wire = rename(WHOLE, ("antennas", "drawn", "wires", "left"), "west").text

    assert "feed: {wire: west, at: 0 %}" in wire


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("places", "track", "tall"), "3 kg", "a length is asked for"),
        (("emissions", "counted", "power"), "900 W", "more than the 100 W that desk-rig gives"),
        (("emissions", "overs", "antenna"), "dipole-41", "is not among the antennas"),
        (("places", "track", "environment"), "controlled", "claimed without training"),
        (("antennas", "dipole-40", "kind"), "yagi", "the key “rear” is missing"),
    ],
)
def test_a_wrong_edit_is_refused_with_the_loaders_sentence(
    path: Path, value: str, said: str
) -> None:
    """One sentence, without a line of a text that was not kept."""
    with pytest.raises(EditRefused, match=said) as refused:
        set_value(WHOLE, path, value)

    assert "line" not in str(refused.value)


def test_sections_come_and_go_whole() -> None:
    """From four lines: a first entry makes its section, also inside bonding; the last ends it."""
    text = add_entry(SMALL, ("bonding", "nodes"), "panel", {"kind": "service", "is": "box"}).text
    both = add_entry(text, ("cords",), "yellow", {"gauge": "12 AWG"}).text

    assert loaded(both).station.cords[0].gauge == "12 AWG"
    assert remove(both, ("cords", "yellow")).text == text
    assert remove(text, ("bonding", "nodes", "panel")).text == SMALL
    with pytest.raises(EditRefused, match="is there already"):
        add_entry(both, ("cords",), "yellow", {})


def test_every_value_of_the_whole_station_can_be_typed_on_one_line() -> None:
    """What is shown for a value, typed again, is the same data and passes its own shape."""
    seen = 0
    for path in places(DATA):
        shape, data = shape_at(path, DATA), held(DATA, path)
        if shape is None or path[-1] == "kind":
            continue
        if is_line(shape):
            data = data.strip() if isinstance(data, str) else data
            again, _ = checked(shape, to_line(shape, data))
        elif is_row(shape) and shape_is_item(path):
            again = from_line(shape, to_line(shape, data))
        else:
            continue
        seen += 1

        assert again == data, path
    assert seen > 250


def shape_is_item(path: Path) -> bool:
    """Whether an entry is a row of a list."""
    return isinstance(shape_at(path[:-1], DATA), Many)
