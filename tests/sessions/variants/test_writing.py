"""A variant written as a station file: the same text but for what was changed, and never over."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.files.disk import RealDisk
from checklist.sessions.variants.variant import source_of
from checklist.sessions.variants.writing import (
    VariantThere,
    save_variant,
    suggested_path,
    variant_text,
)
from tests.sessions.varying import desk_in, varied, with_typed


def test_comments_live_on_and_only_the_changed_lines_differ(tmp_path: Path) -> None:
    """Line by line beside the old file: two values, two lines; the remark stands.

    30 m along (18, 4) is 540 / sqrt(340) = 29.286 m east and 120 / sqrt(340) = 6.508 m north.
    """
    source = varied(tmp_path, ("on-air: {kind: continuous}", "on-air: {kind: continuous} # why"))
    first = with_typed(source, source.origin, "beacon-test", "power", "10 W")
    variant = with_typed(source, first, "track", "distance", "30 m")
    old, new = source.text.splitlines(), variant_text(source, variant).splitlines()
    differing = [(a, b) for a, b in zip(old, new, strict=True) if a != b]

    assert new[0] == "# Kept by the station manager."
    assert any(line.endswith("# why") for line in new)
    assert [b.strip() for _, b in differing] == [
        "at: [29.286 m, 6.508 m, 0 m]", "power: 10 W",
    ]  # fmt: skip


def test_the_written_file_reads_to_the_station_that_was_evaluated(tmp_path: Path) -> None:
    """A mapping for a word, a key taken out, a coordinate: all come back equal."""
    source = varied(tmp_path, ("mode: FM voice", "mode: FM voice\n    duty: 30 %"))
    variant = source.origin
    for of, word, text in (
        ("beacon-test", "mode", "CW"),
        ("beacon-test", "overs", "2 min in 6 min"),
        ("dipole-40", "heading", "45 deg"),
        ("to-dipole", "length", "40 ft"),
    ):
        variant = with_typed(source, variant, of, word, text)
    path = save_variant(RealDisk(), source, variant, str(tmp_path / "tried.yaml"))
    again = source_of(desk_in(tmp_path), path)

    assert again.origin.described.station == variant.described.station
    assert again.origin.described.scene == variant.described.scene
    assert "duty" not in again.origin.data["emissions"]["beacon-test"]


def test_a_file_that_is_there_is_written_over_only_when_told(tmp_path: Path) -> None:
    """The station's own file first of all: it stays byte for byte until somebody says yes."""
    source = varied(tmp_path)
    variant = with_typed(source, source.origin, "beacon-test", "power", "10 W")
    before = source.path.read_bytes()
    with pytest.raises(VariantThere) as there:
        save_variant(RealDisk(), source, variant, str(source.path))

    assert there.value.path == source.path
    assert source.path.read_bytes() == before
    save_variant(RealDisk(), source, variant, str(source.path), over=True)

    assert b"power: 10 W" in source.path.read_bytes()
    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == ["station.yaml"]


@pytest.mark.parametrize("name", ["no/such/folder/x.yaml", "a\0b.yaml", ""])
def test_a_path_that_cannot_be_written_is_one_sentence(name: str, tmp_path: Path) -> None:
    """NOT SAVED, or no path at all: never a traceback, and nothing half written."""
    source = varied(tmp_path)
    variant = with_typed(source, source.origin, "beacon-test", "power", "10 W")
    with pytest.raises(StandclearError):
        save_variant(RealDisk(), source, variant, str(tmp_path / name) if name else "")

    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == ["station.yaml"]


def test_the_suggested_name_lies_beside_the_station(tmp_path: Path) -> None:
    """station.yaml gives station-variant-1.yaml in the same folder."""
    source = varied(tmp_path)
    variant = with_typed(source, source.origin, "beacon-test", "power", "10 W")

    assert suggested_path(source, variant) == tmp_path / "station-variant-1.yaml"
