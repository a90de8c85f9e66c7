"""A step that takes the station file: worked out in the walk, kept whole, and repeatable."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from checklist.audit.recompute import compare
from checklist.calculations.exposure.evaluate import TOLERANCE_DB, VERSION
from checklist.calculations.fromstation import EXPOSURE
from checklist.calculations.kinds import Outcome
from checklist.errors import StandclearError
from checklist.quantities import Quantity
from checklist.record.errors import Damaged
from checklist.record.files import kept
from checklist.record.verifying.report import Outcome as Checked
from checklist.rulefile import Effect
from checklist.sessions.opening import begin, go_on, rehearse
from checklist.sessions.session import Session
from checklist.sessions.stations.evaluating import evaluation_on_file, worked_out_again
from checklist.sessions.stations.exposing import describe, expose
from checklist.station import findings
from checklist.walk.answers import Described
from checklist.walk.entry import read_answer
from checklist.walk.events import Answered, Clearing
from tests.sessions.evaluations import NAME, desk_for_evaluation, evaluate, station_at

OVER = ("power: 25 W", "power: 100 W"), ("at: [18 m, 4 m, 0 m]", "at: [3 m, 0 m, 12 m]")
"""A neighbour on the mast beside the vertical, at four times the power."""

CHANGED = {"What was changed": "fewer watts"}


def described(event: Answered) -> Described:
    assert isinstance(event.answer, Described)
    return event.answer


def way_of(session: Session) -> Clearing:
    return Clearing(session.walk.rule_file.step("exposure").ways[0].do, CHANGED)


def test_the_finding_decides_the_step(tmp_path: Path) -> None:
    """Within clears; over stops until the changed station is evaluated anew, with evidence."""
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    over = evaluate(session, "exposure", station_at(tmp_path, *OVER))
    within = evaluate(session, "exposure", station_at(tmp_path), way_of(session))
    session.close()

    assert over.judgement.effect is Effect.STOP
    assert any("track" in said and "of the limit" in said for said in over.judgement.because)
    assert within.judgement.effect is Effect.CLEAR
    assert within.judgement.finding is not None
    assert within.judgement.finding.result.outcome is Outcome.WITHIN


def test_an_unknown_power_is_not_shown(tmp_path: Path) -> None:
    """Without its power an emission is not shown, which stops, and nothing is called within."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    first = evaluate(session, "exposure", station_at(tmp_path, ("    power: 25 W\n", "")))
    session.close()

    assert first.judgement.effect is Effect.STOP
    assert first.judgement.finding is not None
    assert first.judgement.finding.result.outcome is Outcome.NOT_SHOWN


def test_the_record_holds_bytes_limits_version_and_decimal_numbers(tmp_path: Path) -> None:
    """The file's exact bytes and the limits lie under their hashes; numbers are decimal texts."""
    desk = desk_for_evaluation(tmp_path)
    file = station_at(tmp_path)
    session = begin(desk, NAME).session
    event = evaluate(session, "exposure", file)
    session.close()
    line = json.loads(desk.folder.session_file(session.id).read_bytes().splitlines()[-1])
    finding, station = line["data"]["judgement"]["finding"], line["data"]["answer"]["station"]

    assert station["file"]["sha256"] == hashlib.sha256(file.read_bytes()).hexdigest()
    kept_bytes = kept.read(desk.folder, "attachments", station["file"]["sha256"])
    assert kept_bytes == file.read_bytes()
    assert b"limits: fcc-1310" in kept.read(desk.folder, "rules", station["limits"]["sha256"])
    assert finding["version"] == VERSION
    assert [output["name"] for output in finding["outputs"]] == [
        "share-operating-desk",
        "share-track",
    ]
    assert all(Decimal(output["value"]) < 100 for output in finding["outputs"])
    assert any(one["value"] == "0.2 mW/cm2" for one in finding["used"])  # 1.1310, 30 to 300 MHz
    assert "antennas/dipole-40" in station["parts"]
    assert described(event).path == str(file)


def test_the_whole_evaluation_is_kept_and_read_without_computing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A year later it is read from the log: equal to what the engine finds, remedies included."""
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    event = evaluate(session, "exposure", station_at(tmp_path, *OVER))
    session.close()
    made = expose(describe(desk, station_at(tmp_path, *OVER)), lambda *_: None)
    monkeypatch.setattr(findings, "evaluate", None)
    (tmp_path / "station.yaml").unlink()
    stored = evaluation_on_file(described(event), desk.folder)

    assert stored is not None
    assert stored.evaluation == made.evaluation
    assert stored.station == made.described.station.name
    assert {remedies.place for remedies in stored.remedies} == {"track"}
    assert any(remedies.found for remedies in stored.remedies)
    assert stored.all_assumptions == made.assumptions


def test_a_changed_evaluation_is_damage(tmp_path: Path) -> None:
    """Bytes that no longer have the hash the session names are never shown as the evaluation."""
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    answer = described(evaluate(session, "exposure", station_at(tmp_path)))
    session.close()

    assert answer.evaluation is not None
    path = desk.folder.kept_file(desk.folder.path / "attachments", answer.evaluation.sha256)
    path.chmod(0o600)
    path.write_bytes(path.read_bytes().replace(b"within", b"over  "))
    with pytest.raises(Damaged, match="was changed"):
        evaluation_on_file(answer, desk.folder)


def test_what_is_from_memory_is_named_only_where_it_took_part(tmp_path: Path) -> None:
    """The unverified factor of amplitude modulation warns of AM alone, and cautions there."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    without = evaluate(session, "exposure", station_at(tmp_path)).judgement
    amplitude = ("mode: FM voice", "mode: AM voice, 100 % modulated")
    with_it = evaluate(session, "exposure", station_at(tmp_path, amplitude)).judgement
    session.close()

    assert not any(cited.is_unverified for cited in without.used)
    assert "duty/am-peak-to-carrier" in {cited.address for cited in with_it.used}
    assert with_it.effect is Effect.CAUTION
    assert any("unverified" in said for said in with_it.because)


def test_it_cannot_be_written_by_hand(tmp_path: Path) -> None:
    """An answer without the program's own finding, as a correction would be, is refused."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    step = session.walk.rule_file.step("exposure")
    with pytest.raises(StandclearError, match="never written by hand"):
        session.walk.answered("exposure", read_answer(step, "/hill/station.yaml"), session.now())
    session.close()


def test_the_session_reads_back_equal(tmp_path: Path) -> None:
    """What is on disk gives the same answer, finding and judgement when the walk goes on."""
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    events = [evaluate(session, step, station_at(tmp_path)) for step in ("exposure", "network")]
    session.close()
    again = go_on(desk, session.id).session
    read = [event for event in again.walk.events if isinstance(event, Answered)]
    again.close()

    assert read == events


def test_a_rehearsal_works_it_out_and_keeps_nothing(tmp_path: Path) -> None:
    """The finding is the same; no log folder comes to be."""
    desk = desk_for_evaluation(tmp_path)
    event = evaluate(rehearse(desk, NAME).session, "exposure", station_at(tmp_path))

    assert event.judgement.effect is Effect.CLEAR
    assert not desk.logs.exists()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("tall: 2 m", "tall: 2"), "has no unit"),
        (("limits: fcc-1310", "limits: fcc-1311"), "not among the limit sets"),
        (("mode: SSB", "mode: semaphore"), "not among the modes"),
        (("antenna: dipole-40", "antenna: nowhere"), "nowhere"),
    ],
)
def test_a_damaged_station_file_is_refused(
    change: tuple[str, str], says: str, tmp_path: Path
) -> None:
    """One sentence with the file and the line; nothing is answered."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    with pytest.raises(StandclearError, match=says) as refused:
        evaluate(session, "exposure", station_at(tmp_path, change))
    session.close()

    assert refused.value.sentence().startswith("station.yaml, line ")
    assert session.walk.events == ()


def test_what_is_no_station_file_is_refused(tmp_path: Path) -> None:
    """A missing file, a folder, bytes that are no text, and a file that is no YAML."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    (tmp_path / "bytes.yaml").write_bytes(b"name: \xff\xfe")
    (tmp_path / "none.yaml").write_text("{{{", encoding="utf-8")
    for path, says in (
        (tmp_path / "gone.yaml", "there is no such file"),
        (tmp_path, "no ordinary file"),
        (tmp_path / "bytes.yaml", "no UTF-8"),
        (tmp_path / "none.yaml", "none.yaml"),
        ("~nobody-at-all/station.yaml", "no path"),
    ):
        with pytest.raises(StandclearError, match=says):
            evaluate(session, "exposure", path)
    session.close()

    assert session.walk.events == ()


def test_no_bonding_in_the_file_is_said(tmp_path: Path) -> None:
    """A station without bonding: is no network without a fault."""
    file = station_at(tmp_path)
    file.write_text(file.read_text("utf-8").partition("bonding:")[0], "utf-8")
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    with pytest.raises(StandclearError, match="no bonding network"):
        evaluate(session, "network", file)
    session.close()


@pytest.mark.parametrize("error", [ZeroDivisionError, IndexError, ValueError, MemoryError])
def test_a_failure_of_the_engine_is_not_shown(
    error: type[Exception], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the engine raises becomes a finding that stops, and no traceback."""

    def fails(*_: object) -> None:
        raise error("inside")

    monkeypatch.setattr(findings, "evaluate", fails)
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    event = evaluate(session, "exposure", station_at(tmp_path))
    session.close()

    assert event.judgement.effect is Effect.STOP
    assert event.judgement.finding is not None
    assert event.judgement.finding.result.outcome is Outcome.NOT_SHOWN
    assert event.judgement.because[0].startswith("Not shown: the engine could not work it out")


def test_no_finding_is_taken_from_what_was_typed(tmp_path: Path) -> None:
    """The written form of examples, with its outcome, is no answer in a walk."""
    session = begin(desk_for_evaluation(tmp_path), NAME).session
    claimed = read_answer(session.walk.rule_file.step("exposure"), {"outcome": "within"})
    with pytest.raises(StandclearError, match="no such file"):
        session.answer("exposure", claimed)
    session.close()


def test_rerun_agrees_and_a_turned_number_does_not(tmp_path: Path) -> None:
    """From the kept bytes the same version gives the same; ten times the tolerance off fails.

    The changed file that now lies at the path has no part in it.
    """
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    event = evaluate(session, "exposure", station_at(tmp_path))
    session.close()
    station_at(tmp_path, *OVER)
    finding, book = event.judgement.finding, session.walk.book

    assert finding is not None
    rerun = lambda: worked_out_again(described(event), desk.folder, book)  # noqa: E731  # a name for what two checks take
    assert compare(finding, book, rerun)[0] is Checked.HOLDS
    first, *rest = finding.result.outputs
    off = first.quantity.value * Decimal("1.03")
    turned = replace(first, quantity=Quantity(off, first.quantity.unit))
    forged = replace(finding, result=replace(finding.result, outputs=(turned, *rest)))
    assert compare(forged, book, rerun)[0] is Checked.FAILS
    other = replace(forged, version=VERSION + 1)
    assert compare(other, book, rerun)[0] is Checked.CANNOT_TELL


def test_rerun_without_the_kept_file_cannot_tell(tmp_path: Path) -> None:
    """Where the kept bytes are gone or changed, nothing is said to hold or to fail."""
    desk = desk_for_evaluation(tmp_path)
    session = begin(desk, NAME).session
    event = evaluate(session, "exposure", station_at(tmp_path))
    session.close()
    answer, finding, book = described(event), event.judgement.finding, session.walk.book

    assert answer.file is not None
    assert finding is not None
    path = desk.folder.kept_file(desk.folder.path / "attachments", answer.file.sha256)
    path.chmod(0o600)
    path.write_bytes(b"format: 1\n")
    rerun = lambda: worked_out_again(answer, desk.folder, book)  # noqa: E731  # as above
    assert compare(finding, book, rerun)[0] is Checked.CANNOT_TELL


def test_the_stated_tolerance_is_that_of_the_engine() -> None:
    """0.01 dB as a share of power, by the definition of the decibel, 10 log10 of the ratio."""
    share = (10 ** (TOLERANCE_DB / 10) - 1) * 100

    assert float(EXPOSURE.tolerance.removesuffix(" %")) == pytest.approx(share, abs=0.005)
