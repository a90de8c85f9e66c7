"""Every version of the written forms that ever was is read for ever; a later one is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from checklist.calculations import CALCULATIONS
from checklist.calculations.exposure.codec import DataRefused
from checklist.calculations.exposure.onfile import evaluation_from_data
from checklist.demo.cast import PASSPHRASE
from checklist.record.errors import LaterForm
from checklist.record.files.disk import RealDisk
from checklist.record.journals.journal import Journal
from checklist.record.journals.lines import Line, compose, first_previous, scan
from checklist.record.ledgers.entrytext import from_text as entry_from
from checklist.record.roll.keys import keys_of, unlock
from checklist.record.roll.rostertext import from_text as roster_from
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from checklist.rulebook import Book
from checklist.rulefile import RuleFileRefused, load_rule_file
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.station import StationRefused, load_station
from tests.calculations.writing_numbers import shipped_book
from tests.record.keptversions import LAPTOPS, VERSIONS, KeptVersion, evaluations, unpacked
from tests.record.making import begin, open_folder

ALL = sorted(path.name for path in VERSIONS.iterdir() if path.is_dir())


@pytest.fixture(scope="module", params=ALL)
def version(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def kept(version: str, tmp_path_factory: pytest.TempPathFactory) -> KeptVersion:
    return unpacked(version, tmp_path_factory.mktemp("kept") / version)


def test_every_session_tells_the_same_for_ever(kept: KeptVersion, version: str) -> None:
    """Records of an earlier version verify, and say what they said on the day they were frozen."""
    told = json.loads((VERSIONS / version / "told.json").read_text("utf-8"))

    assert kept.told() == told


def test_every_kept_session_is_shown_whole(kept: KeptVersion) -> None:
    """Each session of an earlier version is shown with all its questions, its rule file read."""
    for laptop in LAPTOPS:
        for record in kept.sessions(laptop):
            text = "\n".join(as_text(record))

            assert record.session_id[:8] in text
            assert all(step.ask != step.step for step in record.steps), record.session_id
            assert all(step.ask.split()[0] in text for step in record.steps if step.answers)


def test_kept_evaluations_are_read_whole(kept: KeptVersion) -> None:
    """An exposure evaluation that an earlier version kept is read back without computing."""
    folder = kept.logs("hill")
    found = [one for record in kept.sessions("hill") for one in evaluations(record, folder)]

    assert found
    assert all(one.evaluation.places for one in found)


def test_the_kept_station_file_loads(kept: KeptVersion) -> None:
    """A station file of an earlier version is loaded as strictly as one of today."""
    path = kept.folder / "hill" / "station.yaml"

    assert load_station(path.read_text("utf-8"), path.name).name


def test_a_kept_key_still_opens(kept: KeptVersion) -> None:
    """A key file that an earlier version wrote opens with its passphrase."""
    folder = kept.logs("hill")
    card = keys_of(folder)[0]

    assert unlock(folder, card, PASSPHRASE).public == card.public


ENTRY = "standclear ledger entry 2\norigin x\nprogram standclear 9.1.0\n"
ROSTER = "standclear roster 2\nnumber 1\nprogram standclear 9.1.0\n"


@pytest.mark.parametrize(
    ("read", "text"), [(entry_from, ENTRY), (roster_from, ROSTER)], ids=["entry", "roster"]
)
def test_a_later_note_names_its_writer(read: Callable[[str], object], text: str) -> None:
    """A note in a later form is refused as such, in words that say which program wrote it."""
    with pytest.raises(LaterForm, match=r"was written by standclear 9\.1\.0; this program reads"):
        read(text)


def later_session(tmp_path: Path) -> tuple[bytes, str, Path]:
    """Begin a session and write its first line anew as a later version might have."""
    folder = open_folder(tmp_path / "logs")
    journal = begin(folder)
    first, name = journal.lines[0], journal.session_id
    journal.close()
    data = {**first.data, "format": "standclear session 2", "program": "standclear 9.1.0"}
    line = Line(1, first_previous(name), first.at, first.boot, first.what, data)
    path = folder.session_file(name)
    path.write_bytes(compose(line))
    return path.read_bytes(), name, tmp_path / "logs"


def test_a_later_session_names_its_writer(tmp_path: Path) -> None:
    """A session in a later form is neither gone on with, nor called damaged, nor passed."""
    data, name, path = later_session(tmp_path)
    folder = open_folder(path)
    with pytest.raises(LaterForm, match=r"written by standclear 9\.1\.0"):
        scan(data, name)
    with pytest.raises(LaterForm):
        Journal.resume(folder, name)
    record = read_session(folder, name)
    lines = [c for c in verify(folder).checks if c.name == "line hashes" and name in c.subject]

    assert any("standclear 9.1.0" in problem for problem in record.problems)
    assert [check.outcome for check in lines] == [Outcome.CANNOT_TELL]
    assert folder.disk.read(folder.session_file(name), at_most=10**6) == data


@pytest.fixture(scope="module")
def book() -> Book:
    return shipped_book()


def test_a_later_rule_file_is_refused_in_one_sentence(book: Book) -> None:
    """A rule file of a later format brings one sentence, and not one for every new key."""
    with pytest.raises(RuleFileRefused) as refused:
        load_rule_file("name: x\nformat: 2\nnew: [1]\n", "x.yaml", book, CALCULATIONS)

    assert len(refused.value.errors) == 1
    assert "x.yaml, line 2, column 1: this file has format 2" in refused.value.errors[0]


def test_a_later_station_file_is_refused_in_one_sentence() -> None:
    """A station file of a later format brings one sentence, and not one for every new key."""
    with pytest.raises(StationRefused) as refused:
        load_station("format: 2\nnew: [1]\n", "hill.yaml")

    assert len(refused.value.errors) == 1
    assert "hill.yaml, line 1, column 1: this file has format 2" in refused.value.errors[0]


def test_a_later_evaluation_says_where_its_writer_stands() -> None:
    """A stored evaluation of a later form is refused, and the way to its program named."""
    with pytest.raises(DataRefused, match="the session's first line says which program wrote it"):
        evaluation_from_data({"format": "standclear exposure evaluation", "version": 2})


def test_what_was_frozen_is_private_once_unpacked(kept: KeptVersion) -> None:
    """The tests read the records under the same rules of access as a real log folder."""
    facts = RealDisk().facts(kept.folder / "hill" / "logs")

    assert facts is not None
    assert (kept.folder / "hill" / "logs").stat().st_mode & 0o077 == 0
