"""Long work that is stopped leaves the record as it was, wherever that is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from checklist.audit.exporting import export
from checklist.record.files.folder import LogFolder
from checklist.record.roll.appointing import appoint
from checklist.record.roll.receiving import entries_file, receive_file, receive_folder
from checklist.sessions.past import ledgerview
from checklist.sessions.past.correcting import finished, outlook
from checklist.sessions.past.review import read_session
from checklist.sessions.roll.sending import new_entries
from checklist.sessions.tagging import tags
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.sessions.tagging.takingover import read_log_at
from checklist.stopping import Stopped, Tell, how_far, unstoppable
from checklist.walk.entry import read_answer
from tests.record.making import begin, finish, open_folder, person
from tests.sessions.evaluations import desk_for_evaluation, station_at
from tests.sessions.pastsessions import desk_at, sealed, walked
from tests.sessions.releasing import desk_for_release
from tests.sessions.stations.test_staleness import finished as evaluated

Job = Callable[[Tell], object]


def receipt_into_a_folder(path: Path) -> Job:
    officer, station = open_folder(path / "officer"), _station(path / "station")
    key = person(officer, "Vera Holm")
    appoint(officer, key)
    looked = LogFolder.look(station.path, station.disk, station.clock)
    return lambda tell: receive_folder(officer, looked, key, tell)


def second_receipt_for_a_file(path: Path) -> Job:
    officer, station = open_folder(path / "officer"), _station(path / "station")
    key = person(officer, "Vera Holm")
    appoint(officer, key)
    receive_file(officer, entries_file(station), key)
    _seal(station, "Ada Quill")
    data = entries_file(station)
    return lambda tell: receive_file(officer, data, key, tell)


def entries_for_the_officer(path: Path) -> Job:
    station = _station(path)
    return lambda tell: new_entries(station, "0", tell)


def log_of_another_laptop(path: Path) -> Job:
    here, there = desk_for_release(path / "here"), desk_for_release(path / "there")
    for desk, lock in ((here, "5"), (there, "5"), (there, "6")):
        hang(desk.folder, Hanging("Breaker 14", lock, "Wren Holloway", "rotator", "8 h"))
    return lambda tell: read_log_at(here.folder, there.logs, tell)


def export_of_a_session(path: Path) -> Job:
    desk = desk_at(path)
    session = walked(desk)
    sealed(desk, session)
    return lambda tell: export(desk.folder, session.id, path / "out", tell)


def correction_worked_out_anew(path: Path) -> Job:
    desk = desk_for_evaluation(path)
    session_id = evaluated(desk, station_at(path))
    step = finished(desk.folder, session_id).loaded.rule_file.step("exposure")
    station_at(path, ("power: 500 W", "power: 400 W"))
    answer = read_answer(step, {"file": str(path / "station.yaml")})
    library = desk.library
    return lambda tell: outlook(desk.folder, session_id, step.id, answer, library, tell)


def _station(path: Path) -> LogFolder:
    folder = open_folder(path)
    person(folder, "Ada Quill")
    _seal(folder, "Ada Quill")
    return folder


def _seal(folder: LogFolder, name: str) -> None:
    journal = begin(folder)
    finish(folder, journal, person(folder, name))
    journal.close()


def files_in(path: Path) -> dict[str, bytes]:
    """Return every file below, but for locks, which say nothing."""
    return {
        str(file.relative_to(path)): file.read_bytes()
        for file in sorted(path.rglob("*"))
        if file.is_file() and file.suffix != ".lock"
    }


@pytest.mark.parametrize(
    "make",
    [
        receipt_into_a_folder,
        second_receipt_for_a_file,
        entries_for_the_officer,
        log_of_another_laptop,
        export_of_a_session,
        correction_worked_out_anew,
    ],
)
def test_stopped_at_any_word_it_leaves_everything_as_it_was(
    tmp_path: Path, make: Callable[[Path], Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At each word at which it can be stopped, no file is new or changed; at the end it is whole.

    A word past which it cannot be stopped lets it come to its end all the same.
    """
    for module in (ledgerview, tags):  # which tell of every 200th file, and here are few
        monkeypatch.setattr(module, "TELL_EVERY", 1)
    job = make(tmp_path)
    before = files_in(tmp_path)
    heard: list[str] = []
    for allowed in range(200):
        heard.clear()
        try:
            job(_until(allowed, heard))
        except Stopped:
            assert files_in(tmp_path) == before
            continue
        break
    else:
        raise AssertionError("it never came to its end")

    assert allowed > 2
    assert (files_in(tmp_path) != before) is (make is not entries_for_the_officer)


def _until(allowed: int, heard: list[str]) -> Tell:
    def tell(what: str, done: int, of: int) -> None:
        if len(heard) == allowed:
            raise Stopped("enough")
        heard.append(how_far(what, done, of))

    return tell


def test_a_stop_is_no_damage_to_a_session(tmp_path: Path) -> None:
    """Reading a session that is stopped raises, and shows no ledger that cannot be read."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session)
    with pytest.raises(Stopped):
        read_session(desk.folder, session.id, tell=_until(1, []))

    assert read_session(desk.folder, session.id).problems == ()


def test_what_writes_goes_on() -> None:
    """Past the last word that stops, a stop is passed over, and what else goes wrong is not."""
    unstoppable(_until(0, []))("files written", 1, 2)

    def broken(what: str, done: int, of: int) -> None:
        raise OSError("the terminal is gone")

    with pytest.raises(OSError, match="gone"):
        unstoppable(broken)("files written", 1, 2)
