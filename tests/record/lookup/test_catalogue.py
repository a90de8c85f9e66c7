"""The index of sessions: found fast, never believed over the ledger."""

from __future__ import annotations

import json
import time
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checklist.record.errors import EntryRefused, NotSaved
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.lookup.card import row_of
from checklist.record.lookup.catalogue import Card, Catalogue, Stamp
from tests.record.dying_disk import Died, DyingDisk

if TYPE_CHECKING:
    from pathlib import Path

HERE = timezone(timedelta(hours=-6))
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=HERE)
FULL = Card(
    session_id="a" * 32,
    rule_file="before-tower-work",
    title="Before tower or antenna work",
    edition="2026-11",
    begun=NOON,
    ended=NOON + timedelta(minutes=40),
    state="sealed",
    verdict="no stop found, with cautions",
    people=("Zoë Example", "Bo Ström"),
    stops=("Distance to the nearest line",),
    text="café mast, 41 ft by rangefinder 2",
    valid_until=NOON + timedelta(days=1),
)
BARE = Card("b" * 32, "emergency-power", "Emergency power set-up", "1", NOON, "running")
ONE, TWO, THREE = (Stamp(n, f"{n:064x}") for n in (1, 2, 3))


def test_a_new_catalogue_is_empty_and_reflects_nothing(tmp_path: Path) -> None:
    """Without a file there is no card and no stamp, and looking makes no file."""
    folder = _folder(tmp_path)
    catalogue = Catalogue.open(folder)

    assert catalogue.cards() == catalogue.find() == ()
    assert catalogue.stamp is None
    assert not folder.catalogue.exists()


def test_cards_come_back_as_they_were_given(tmp_path: Path) -> None:
    """Full and bare cards, put one by one, read back whole by another program."""
    folder = _folder(tmp_path)
    catalogue = Catalogue.open(folder)
    catalogue.put_many([FULL])
    catalogue.put_many([BARE])

    assert set(Catalogue.open(folder).cards()) == {FULL, BARE}
    assert next(c for c in catalogue.cards() if c == FULL).begun.utcoffset() == timedelta(hours=-6)


def test_a_later_card_takes_the_place_of_the_session_s_earlier_one(tmp_path: Path) -> None:
    """One session has one card, the last that was put."""
    catalogue = Catalogue.open(_folder(tmp_path))
    catalogue.put_many([BARE, FULL])
    sealed = replace(BARE, state="sealed", ended=NOON + timedelta(hours=1))
    catalogue.put_many([sealed])

    assert set(catalogue.cards()) == {FULL, sealed}


def test_the_newest_stands_first_whatever_the_offsets(tmp_path: Path) -> None:
    """Order is by the moment of the beginning, not by what the clocks' faces showed."""
    early = replace(BARE, session_id="1" * 32, begun=datetime(2026, 11, 25, 17, 0, tzinfo=UTC))
    late = replace(BARE, session_id="2" * 32, begun=datetime(2026, 11, 25, 12, 30, tzinfo=HERE))
    catalogue = Catalogue.open(_folder(tmp_path))
    catalogue.put_many([early, late])

    assert [card.session_id[0] for card in catalogue.cards()] == ["2", "1"]


@pytest.mark.parametrize(
    ("filters", "found"),
    [
        ({}, "ab"),
        ({"text": "CAFE rangefinder"}, "a"),
        ({"text": "strom nearest line"}, "a"),
        ({"text": "cafe bicycle"}, ""),
        ({"text": "xx"}, ""),
        ({"rule_file": "xx"}, ""),
        ({"text": "2026-11-25 power"}, "b"),
        ({"text": "  "}, "ab"),
        ({"rule_file": "before-tower-work"}, "a"),
        ({"rule_file": "EMERGENCY set-up"}, "b"),
        ({"person": "zoe"}, "a"),
        ({"person": "zoe strom"}, ""),
        ({"verdict": "no stop found"}, ""),
        ({"verdict": "No stop found, with cautions"}, "a"),
        ({"state": "running"}, "b"),
        ({"since": date(2026, 11, 25)}, "ab"),
        ({"since": date(2026, 11, 26)}, ""),
        ({"until": date(2026, 11, 25)}, "ab"),
        ({"until": date(2026, 11, 24)}, ""),
        ({"since": datetime(2026, 11, 25, 18, 0, tzinfo=UTC)}, "ab"),
        ({"since": datetime(2026, 11, 25, 18, 1, tzinfo=UTC)}, ""),
        ({"until": datetime(2026, 11, 25, 17, 59, tzinfo=UTC)}, ""),
        ({"until": datetime(2026, 11, 25, 18, 0, tzinfo=UTC)}, "ab"),
        ({"text": "sealed", "person": "bo", "since": date(2026, 1, 1)}, "a"),
    ],
)
def test_finding(tmp_path: Path, filters: dict[str, Any], found: str) -> None:
    """Each filter narrows, all must be met, and an empty one lets everything through."""
    catalogue = Catalogue.open(_folder(tmp_path))
    catalogue.put_many([FULL, BARE])

    assert "".join(sorted(card.session_id[0] for card in catalogue.find(**filters))) == found


def test_the_day_is_that_of_the_clock_at_the_station(tmp_path: Path) -> None:
    """23:30 at the station is found under its own day, though it is the next one in UTC."""
    catalogue = Catalogue.open(_folder(tmp_path))
    catalogue.put_many([replace(BARE, begun=datetime(2026, 11, 25, 23, 30, tzinfo=HERE))])

    assert len(catalogue.find(since=date(2026, 11, 25), until=date(2026, 11, 25))) == 1


def test_the_stamp_moves_only_from_where_it_was(tmp_path: Path) -> None:
    """A put that skips an entry leaves the stamp behind, so that the gap is seen."""
    catalogue = Catalogue.open(_folder(tmp_path))
    catalogue.put_many([BARE], after=None, stamp=ONE)

    assert catalogue.stamp == ONE
    catalogue.put_many([FULL], after=TWO, stamp=THREE)
    assert catalogue.stamp == ONE
    assert len(catalogue.cards()) == 2
    catalogue.put_many([FULL])
    assert catalogue.stamp == ONE
    catalogue.put_many([], after=ONE, stamp=TWO)
    assert catalogue.stamp == TWO
    catalogue.put_many([BARE], after=replace(TWO, hash="f" * 64), stamp=THREE)
    assert catalogue.stamp == TWO


def test_rebuilding_replaces_everything_in_one_write(tmp_path: Path) -> None:
    """Afterwards only the given cards and stamp are there; dead in between, all the old ones."""
    folder = _folder(tmp_path)
    Catalogue.open(folder).put_many([FULL], after=None, stamp=ONE)
    for at in range(1, 6):
        dying = replace(folder, disk=DyingDisk(at=at))
        with pytest.raises(Died):
            Catalogue.open(dying).rebuild([BARE], TWO)

        assert Catalogue.open(folder).cards() == (FULL,)
        assert Catalogue.open(folder).stamp == ONE
    Catalogue.open(folder).rebuild([BARE], TWO)
    assert Catalogue.open(folder).cards() == (BARE,)
    assert Catalogue.open(folder).stamp == TWO
    Catalogue.open(folder).rebuild([], None)
    assert Catalogue.open(folder).stamp is None


def test_two_programs_keep_each_other_s_cards(tmp_path: Path) -> None:
    """Both were opened before either wrote; both cards stand and both see them."""
    one, other = Catalogue.open(_folder(tmp_path)), Catalogue.open(_folder(tmp_path))
    one.cards(), other.cards()
    one.put_many([FULL])
    other.put_many([BARE])

    assert set(one.cards()) == set(other.cards()) == {FULL, BARE}


def _spoilt() -> dict[str, dict[str, Any]]:
    return {
        "a foreign name": {"session_id": "../../../etc/passwd"},
        "no beginning": {"begun": ""},
        "no offset": {"begun": "2026-11-25T12:00:00"},
        "no time": {"ended": "soon"},
        "people that are text": {"people": "Zoë"},
        "people that are numbers": {"people": [1]},
        "a number": {"verdict": 3},
        "a lone surrogate": {"text": "\ud800"},
        "a field too many": {"more": ""},
    }


@pytest.mark.parametrize("change", _spoilt().values(), ids=_spoilt())
def test_one_spoilt_card_spoils_the_index(tmp_path: Path, change: dict[str, Any]) -> None:
    """An index that holds one wrong row is empty, without a stamp, so that it is made again."""
    folder = _folder(tmp_path)
    Catalogue.open(folder).put_many([FULL, BARE], after=None, stamp=ONE)
    tables = json.loads(folder.catalogue.read_bytes())
    tables["cards"]["1"] |= change
    damaged = json.dumps(tables).encode()
    folder.catalogue.write_bytes(damaged)
    catalogue = Catalogue.open(folder)

    assert catalogue.cards() == ()
    assert catalogue.stamp is None
    assert catalogue.notes[0].startswith("the catalogue of sessions: it is damaged: ")
    catalogue.rebuild([FULL], ONE)
    assert catalogue.cards() == (FULL,)
    assert [file.read_bytes() for file in folder.quarantine.iterdir()] == [damaged]


@pytest.mark.parametrize(
    "tables",
    [
        {"stamp": {"1": {"number": 1, "hash": "short"}}},
        {"stamp": {"1": {"number": True, "hash": "0" * 64}}},
        {"stamp": {"1": {"number": -1, "hash": "0" * 64}}},
        {"stamp": {"1": {}}},
        {"stamp": {n: {"number": 1, "hash": "0" * 64} for n in ("1", "2")}},
        {"cards": {n: row_of(BARE) for n in ("1", "2")}},
    ],
)
def test_a_wrong_stamp_or_a_doubled_session_spoils_the_index(
    tmp_path: Path, tables: dict[str, Any]
) -> None:
    """A stamp that is none, or anything that stands twice, leaves the index empty."""
    folder = _folder(tmp_path)
    folder.catalogue.write_text(json.dumps({"about": {"1": {"format": 1}}, **tables}))
    folder.catalogue.chmod(0o600)
    catalogue = Catalogue.open(folder)

    assert catalogue.stamp is None
    assert len(catalogue.notes) == 1
    assert catalogue.notes[0].startswith("the catalogue of sessions: it is damaged: a s")


@pytest.mark.parametrize(
    "card",
    [
        replace(BARE, session_id="../x"),
        replace(BARE, session_id="A" * 32),
        replace(BARE, begun=datetime(2026, 1, 1)),  # noqa: DTZ001 - that it has no offset is the test
        replace(BARE, text="\udfff"),
    ],
)
def test_a_card_that_would_not_read_back_is_refused(tmp_path: Path, card: Card) -> None:
    """EntryRefused comes before anything is written."""
    folder = _folder(tmp_path)
    with pytest.raises(EntryRefused):
        Catalogue.open(folder).put_many([card])

    assert not folder.catalogue.exists()


def test_a_full_disk_is_said_and_the_old_index_stands(tmp_path: Path) -> None:
    """NotSaved is raised, and both cards and stamp are those from before."""
    folder = _folder(tmp_path)
    Catalogue.open(folder).put_many([FULL], after=None, stamp=ONE)
    full = DyingDisk(at=2, error=OSError(28, "No space left on device"))
    with pytest.raises(NotSaved, match="No space left on device"):
        Catalogue.open(LogFolder(folder.path, full, folder.clock, "")).put_many(
            [BARE], after=ONE, stamp=TWO
        )

    assert Catalogue.open(folder).cards() == (FULL,)
    assert Catalogue.open(folder).stamp == ONE


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
MOMENT = st.datetimes(
    min_value=datetime(1970, 1, 1),  # noqa: DTZ001 - the offset is drawn beside it
    max_value=datetime(2099, 1, 1),  # noqa: DTZ001 - the offset is drawn beside it
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m))),
)
CARD = st.builds(
    Card,
    session_id=st.integers(0, 2**128 - 1).map("{:032x}".format),
    rule_file=TEXT,
    title=TEXT,
    edition=TEXT,
    begun=MOMENT,
    state=TEXT,
    ended=st.none() | MOMENT,
    verdict=TEXT,
    people=st.lists(TEXT, max_size=3).map(tuple),
    stops=st.lists(TEXT, max_size=3).map(tuple),
    text=TEXT,
    valid_until=st.none() | MOMENT,
)


@given(st.lists(CARD, max_size=4, unique_by=lambda card: card.session_id))
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_cards_come_back_and_are_found_by_their_own_words(
    tmp_path: Path, cards: list[Card]
) -> None:
    """Whatever text and times cards hold, they read back, newest first, and find themselves."""
    folder = _folder(tmp_path)
    Catalogue.open(folder).rebuild(cards, ONE)
    catalogue = Catalogue.open(folder)

    assert sorted(catalogue.cards(), key=lambda c: c.session_id) == sorted(
        cards, key=lambda c: c.session_id
    )
    assert list(catalogue.cards()) == sorted(
        cards, key=lambda c: (c.begun, c.session_id), reverse=True
    )
    for card in cards:
        assert card in catalogue.find(text=f"{card.session_id} {card.text} {' '.join(card.people)}")
        assert card in catalogue.find(since=card.begun, until=card.begun.date())


@pytest.mark.benchmark
def test_ten_thousand_cards(tmp_path: Path) -> None:
    """Among 10,000 cards a search takes under 0.2 s, the load and first search under 1.5 s."""
    folder = _folder(tmp_path)
    cards = [
        replace(
            FULL,
            session_id=f"{n:032x}",
            begun=NOON - timedelta(hours=n),
            text=f"{FULL.text} word{n} " + "an answer of ordinary length " * 15,
        )
        for n in range(10_000)
    ]
    put = _seconds(lambda: Catalogue.open(folder).rebuild(cards, ONE))
    one = _seconds(lambda: Catalogue.open(folder).put_many([BARE]))
    catalogue = Catalogue.open(folder)
    load = _seconds(catalogue.cards)
    first = _seconds(lambda: catalogue.find(text="cafe word77"))
    later = min(
        _seconds(lambda: catalogue.find(text="cafe word77", person="zoe")) for _ in range(5)
    )
    size = folder.catalogue.stat().st_size
    print(f"\n{size:,} bytes; rebuild {put:.3f} s, put one {one:.3f} s,")
    print(f"load {load:.3f} s, first search {first:.3f} s, later {later:.4f} s")

    assert len(catalogue.find(text="cafe word77")) == 111
    assert later < 0.2
    assert load + first < 1.5


def _seconds(work: Any) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _folder(path: Path) -> LogFolder:
    return LogFolder.open(path, RealDisk(), RealClock())
