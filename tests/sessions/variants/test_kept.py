"""Variants side by side: kept, dropped, carried over to a changed station, and compared."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from checklist.calculations.kinds import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.stations.exposing import Described, describe, expose
from checklist.sessions.variants.comparing import (
    Column,
    Seen,
    column_of,
    comparison_lines,
    comparison_sentences,
    whole_comparison,
)
from checklist.sessions.variants.kept import AS_TYPED, MOST, VariantSet, taken_again
from checklist.sessions.variants.variant import Source, Variant, VariantRefused, source_of
from tests.sessions.varying import AT_THE_ANTENNA, desk_in, varied, with_typed, written


def _quiet(what: str, done: int, of: int) -> None:
    del what, done, of


def _with(kept: VariantSet, watts: int) -> Variant:
    made = with_typed(kept.source, kept.base, "beacon-test", "power", f"{watts} W")
    variant = replace(made, name=kept.next_name())
    kept.add(variant)
    return variant


def test_a_dropped_number_is_not_given_again(tmp_path: Path) -> None:
    """What was called variant 2 stays variant 2 in everybody's ear, whatever was dropped."""
    kept = VariantSet(varied(tmp_path))
    first, second = _with(kept, 20), _with(kept, 10)
    dropped = kept.drop()
    third = _with(kept, 5)

    assert (first.name, second.name, dropped) == ("variant 1", "variant 2", "variant 2")
    assert third.name == "variant 3"
    assert [v.name for v in kept.every] == ["as it is", "variant 1", "variant 3"]


def test_the_station_as_it_is_cannot_be_dropped(tmp_path: Path) -> None:
    """It stands beside its variants for as long as one looks."""
    kept = VariantSet(varied(tmp_path))
    with pytest.raises(VariantRefused, match="as it is cannot be dropped"):
        kept.drop()


def test_no_more_than_can_be_overlooked(tmp_path: Path) -> None:
    """The next one after the last is refused, and nothing is lost."""
    kept = VariantSet(varied(tmp_path))
    for watts in range(1, MOST + 1):
        _with(kept, watts)
    with pytest.raises(VariantRefused, match=f"{MOST} variants are kept already"):
        kept.next_name()

    assert len(kept.variants) == MOST


def test_what_is_typed_stands_on_the_variant_that_is_looked_at(tmp_path: Path) -> None:
    """It is shown in place of its base, and is gone once another is looked at."""
    kept = VariantSet(varied(tmp_path))
    base = _with(kept, 20)
    typed = replace(
        with_typed(kept.source, kept.base, "mast-vertical", "height", "20 m"), name=AS_TYPED
    )
    kept.type(typed)

    assert kept.shown is typed
    assert [s.says.split(":")[0] for s in typed.steps] == ["beacon-test", "mast-vertical"]
    assert kept.every[kept.at] is typed
    kept.look(1)

    assert kept.typed is None
    assert kept.shown is kept.source.origin
    kept.look(-1)

    assert kept.shown is base


def test_a_late_result_is_let_go(tmp_path: Path) -> None:
    """What a thread finds for a text typed before the last one is not shown as the last one's."""
    kept = VariantSet(varied(tmp_path))
    old, new = (
        replace(with_typed(kept.source, kept.base, "beacon-test", "power", w), name=AS_TYPED)
        for w in ("20 W", "10 W")
    )
    kept.type(old)
    kept.type(new)
    kept.keep(old, expose(old.described, _quiet))

    assert kept.found(new) is None


def test_variants_are_taken_again_on_a_station_that_was_saved(tmp_path: Path) -> None:
    """A changed file keeps what still fits; what refers to a lost entry is dropped by name."""
    kept = VariantSet(varied(tmp_path))
    _with(kept, 20)
    kept.current = 0
    lost = with_typed(kept.source, kept.base, "track", "floor", "1 m")
    kept.add(replace(lost, name=kept.next_name()))
    text = kept.source.path.read_text("utf-8")
    start, end = text.index("  track:"), text.index("transmitters:")
    kept.source.path.write_text(
        (text[:start] + text[end:]).replace("power: 500 W", "power: 400 W"), "utf-8"
    )
    again, said = taken_again(source_of(desk_in(tmp_path), kept.source.path), tuple(kept.variants))
    (beacon,) = again
    watts = {e.name: e.power_w for e in beacon.described.scene.emissions}

    assert watts == {"evening-net": 400, "beacon-test": 20}
    assert len(said) == 1
    assert said[0].startswith("variant 2 was dropped: places / track / at / 2: this is no longer")


def test_a_file_saved_while_it_is_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Text and station must be of the same bytes: otherwise a variant would be of neither."""
    path = written(tmp_path)

    def saved_meanwhile(desk: Desk, station: Path) -> Described:
        found = describe(desk, station)
        path.write_text(path.read_text("utf-8").replace("500 W", "400 W"), "utf-8")
        return found

    monkeypatch.setattr("checklist.sessions.variants.variant.describe", saved_meanwhile)
    with pytest.raises(Exception, match="was saved while it was read"):
        source_of(desk_in(tmp_path), path)


@pytest.fixture
def columns(tmp_path: Path) -> list[Column]:
    """Return the station, over at one place, and five variants with less and less power."""
    source: Source = varied(tmp_path, AT_THE_ANTENNA)
    kept = VariantSet(source)
    for watts in (20, 10, 5, 2, 1):
        kept.current = 0
        _with(kept, watts)
    return [column_of(one, expose(one.described, _quiet)) for one in kept.every]


@pytest.mark.parametrize("width", [40, 78, 128])
@pytest.mark.parametrize("current", range(6))
def test_the_table_fits_and_has_the_station_beside_what_is_looked_at(
    columns: list[Column], width: int, current: int
) -> None:
    """No line is wider; the one looked at is marked; what is not in sight is named."""
    lines = comparison_lines(columns, width, current)
    text = "\n".join(lines)

    assert all(len(line) <= width for line in lines[:-1])
    assert f"> {columns[current].name}" in lines[0]
    assert width < 60 or "as it is" in lines[0]
    for column in columns:
        assert column.name in text


def test_the_table_says_share_word_and_emission(columns: list[Column]) -> None:
    """451 % at 25 W, so 90.1 % at 5 W: OVER and within stand as words, with what decides."""
    text = "\n".join(comparison_lines(columns, 128, 0))

    assert "451 % OVER" in text
    assert "90.2 % within" in text or "90.1 % within" in text
    assert "beacon-test" in text
    assert "7.0 dB less power" in text
    assert "(20 W)" in text


def test_tables_one_below_the_other_hold_every_variant(columns: list[Column]) -> None:
    """On paper and in a pipe nothing is out of sight."""
    text = "\n".join(whole_comparison(columns, 78))

    assert "Not in sight" not in text
    assert all(column.name in text for column in columns)


def test_sentences_for_reading_aloud_say_the_same(columns: list[Column]) -> None:
    """One sentence for each variant, and one for each place under it."""
    lines = comparison_sentences(columns)

    assert "as it is: OVER. It costs nothing." in lines
    assert "as it is, track: 451 % OVER, beacon-test." in lines
    assert len(lines) == len(columns) * 3


def test_what_is_not_shown_is_never_a_number_alone() -> None:
    """A place with one emission unknown is NOT SHOWN, and that emission is named."""
    seen = Seen("track", Outcome.NOT_SHOWN, 0.2, "beacon", "net")
    unknown = Seen("desk", Outcome.NOT_SHOWN, None, "", "net")
    text = "\n".join(
        comparison_lines([Column("as it is", (), (), Outcome.NOT_SHOWN, (seen, unknown))], 78)
    )

    assert text.count("NOT SHOWN") == 3
    assert "20.0 % by beacon, not shown" in text
    assert "within" not in text


def test_what_was_not_evaluated_shows_nothing() -> None:
    """A variant that is still found, or was stopped, has no outcome and no share."""
    seen = Seen("track", Outcome.WITHIN, 0.2, "beacon", "")
    done = Column("as it is", (), (), Outcome.WITHIN, (seen,))
    open_ = Column("variant 1", ("x",), ("y",), None)
    rows = comparison_lines([done, open_], 78, 1)

    assert [row.split("|")[2].strip() for row in rows[1:4:2]] == ["…", "…"]
