"""Writing a station: what was read comes back, and a person can read it."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.plaintext import TextRefused, accept
from checklist.station import fingerprints, load_station, write_station
from checklist.station.records import keys_of
from checklist.station.station import Station
from tests.station.making import WHOLE, whole


def test_a_written_station_loads_to_the_same_station() -> None:
    """Reading and writing are each other's inverse, and writing twice changes nothing."""
    written = write_station(whole())
    again = load_station(written, "station.yaml")

    assert again == whole()
    assert fingerprints(again) == fingerprints(whole())
    assert write_station(again) == written


def test_what_was_typed_is_written() -> None:
    """A length typed in feet is written in feet, a position in one line."""
    written = write_station(whole())

    assert "length: 90 ft" in written
    assert "centre: [0 m, 12 m, 12 m]" in written
    assert "attenuation: {7 MHz: 0.6 dB/100 ft, 14 MHz: 0.8 dB/100 ft}" in written


@given(st.text(min_size=1, max_size=80))
def test_any_text_that_can_be_kept_comes_back(text: str) -> None:
    """Quotes, colons, #, no, ~ and null are text like any other."""
    try:
        kept = accept(text, field="")
    except TextRefused:
        return
    if not kept:
        return
    station = replace(whole(), name=kept)

    assert load_station(write_station(station), "s").name == kept


@pytest.mark.parametrize(
    "text", ["no", "~", "null", "12", "1e3", "- a", "a: b", "# x", "'", '"', "[a", "{a", "|", "<<"]
)
def test_texts_that_yaml_reads_otherwise_come_back(text: str) -> None:
    """Words that YAML takes for something else are kept as words."""
    station = replace(whole(), name=text)

    assert load_station(write_station(station), "s").name == text


def test_every_field_stands_in_the_file() -> None:
    """No field of a station is left out of reading, writing and comparing."""
    assert [key.attribute for key in keys_of(Station)] == [field.name for field in fields(Station)]
    assert {key.name for key in keys_of(Station)} >= {"feed-lines", "isolation-points"}


def test_the_whole_station_has_an_entry_of_every_section() -> None:
    """The station of these tests leaves nothing untested by being empty."""
    for key in keys_of(Station):
        assert getattr(whole(), key.attribute), key.name
    assert WHOLE.startswith("# An invented station")
