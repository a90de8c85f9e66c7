"""An answer that names a station file is corrected like any other: evaluated, kept, shown twice."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from checklist.audit.exporting import export
from checklist.errors import StandclearError
from checklist.pages.keptevaluation import evaluation_in
from checklist.record.errors import Damaged
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.strictjson import dump, parse
from checklist.record.journals.seal import Signing
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.keptbyentries import files_named
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.verifying.report import Check, Outcome
from checklist.record.verifying.verify import verify
from checklist.sessions.desk import Desk
from checklist.sessions.past.correcting import correct, correctable, finished
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.recorddata import as_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.sessions.stations.stationkept import kept_evaluations
from checklist.walk.answers import Described
from checklist.walk.entry import read_answer
from tests.audit.logs import audited, failing, said
from tests.independent_verifier import flaws
from tests.sessions.evaluations import NAME, desk_for_evaluation, evaluate, station_at
from tests.sessions.pastsessions import key_of

WREN = "Wren Holloway"
THIN = ("gauge: 6 AWG, length: 22 ft", "gauge: 14 AWG, length: 22 ft")
"""A bond that is too thin, so that the network is no more what it was."""


@dataclass
class Inspected:
    """A sealed session whose network was found from the wrong station file."""

    desk: Desk
    session: str
    wrong: Path
    right: Path

    def correct(self, file: Path, step: str = "network") -> Recorded:
        """Correct the answer of a step to this station file."""
        asked = finished(self.desk.folder, self.session).loaded.rule_file.step(step)
        answer = read_answer(asked, {"file": str(file)})
        signer = Signing(WREN, "in charge", key_of(self.desk, WREN))
        return correct(
            self.desk.folder, self.session, step, answer, "the wrong file was named", signer,
            self.desk.library,
        )  # fmt: skip

    def text(self) -> str:
        """Return the session as it is shown."""
        return "\n".join(as_text(read_session(self.desk, self.session)))


@pytest.fixture
def inspected(tmp_path: Path) -> Inspected:
    desk = desk_for_evaluation(tmp_path)
    wrong = station_at(tmp_path).rename(tmp_path / "wrong.yaml")
    right = station_at(tmp_path, THIN).rename(tmp_path / "right.yaml")
    return Inspected(desk, walked(desk, wrong, "network"), wrong, right)


def walked(desk: Desk, file: Path, step: str) -> str:
    """Seal a session in which one step took the station file, and the other was set aside."""
    from checklist.record.journals.seal import seal
    from checklist.sessions.opening import begin

    session = begin(desk, NAME).session
    evaluate(session, step, file)
    if step == "network":
        evaluate(session, "exposure", file)
    else:
        aside = read_answer(session.walk.rule_file.step("network"), {"does not apply": "on paper"})
        session.answer("network", aside)
    signings = [Signing(WREN, "in charge", key_of(desk, WREN))]
    verdict = str(session.end().verdict)
    seal(desk.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()
    return session.id


def test_the_new_file_is_evaluated_kept_and_shown_beside_the_first(inspected: Inspected) -> None:
    """Both findings stand in the session's text and data; the new one decides the result."""
    entry = inspected.correct(inspected.right)
    read = read_correction(entry, inspected.desk.folder)
    record = read_session(inspected.desk, inspected.session)
    text = inspected.text()

    assert isinstance(read.answer, Described)
    assert read.answer.finding is not None
    assert read.before != read.after
    assert "station file wrong.yaml" in text
    assert "now: station file right.yaml" in text
    assert text.count("Bonding network of the station file") >= 2
    assert record.corrections[0].judged[0].event.answer == read.answer
    [data] = as_data(record)["corrections"]
    assert data["judged"][0]["judgement"]["finding"]["calculation"] == "station-bonding"
    assert record.problems == ()


def test_an_honest_correction_is_followed_and_worked_out_again(inspected: Inspected) -> None:
    """The audit fails nothing, comes to the same result, and computes the new finding as well."""
    inspected.correct(inspected.right)
    report = audited(inspected.desk.logs, recompute=True)
    holds = {check: count for check, out, count in report.counts if out is Outcome.HOLDS}

    assert failing(report) == []
    assert [outcome for outcome, _ in said(report, "corrections")] == ["warning"]
    assert holds["recomputed"] == 3  # two of the walk, one of the correction
    assert all(c.outcome is Outcome.HOLDS for c in _checks(inspected, "kept files"))
    assert flaws(inspected.desk.logs) == []


def test_a_finding_that_does_not_follow_from_the_kept_file_fails(inspected: Inspected) -> None:
    """Somebody signs a correction whose document says another result: recomputing finds it."""
    entry = inspected.correct(inspected.right).entry
    sha256 = next(iter(files_named(inspected.desk.folder, entry)))[1]
    kept = inspected.desk.logs / "attachments" / sha256
    document = parse(kept.read_bytes())
    finding = document["finding"]
    assert isinstance(finding, dict)
    assert finding["outcome"] != "within"
    forged = dump({**document, "finding": {**finding, "outcome": "within"}})
    from checklist.record.files.kept import Reference, keep

    name = Reference(
        "attachments", keep(inspected.desk.folder, "attachments", forged), len(forged), "a.json"
    )
    _append(inspected, entry.fields, answer=dump(name.as_data()).decode())
    quick, whole = (audited(inspected.desk.logs, recompute=again) for again in (False, True))

    assert [f.check for f in failing(whole)] == ["recomputed"]
    assert failing(quick) == []


@pytest.mark.parametrize("what", ["gone", "changed"])
def test_every_file_that_a_correction_names_is_looked_for(inspected: Inspected, what: str) -> None:
    """The document and the station file in it: one that is gone or changed fails everywhere."""
    entry = inspected.correct(inspected.right).entry
    names = [sha256 for _, sha256 in files_named(inspected.desk.folder, entry)]
    assert len(names) == 2
    for sha256 in names:
        path = inspected.desk.logs / "attachments" / sha256
        whole = path.read_bytes()
        path.unlink()
        if what == "changed":
            path.write_bytes(whole.replace(b"a", b"b", 1))
        report = audited(inspected.desk.logs)

        assert "kept files" in {f.check for f in failing(report)}
        assert flaws(inspected.desk.logs)
        assert Outcome.FAILS in {c.outcome for c in _checks(inspected, "kept files")}
        with pytest.raises(StandclearError):
            export(inspected.desk.folder, inspected.session, path.parent.parent.parent / "out")
        assert inspected.text()
        path.write_bytes(whole)


def test_the_export_holds_what_the_correction_names(inspected: Inspected, tmp_path: Path) -> None:
    """Document and station file go out with the session, byte for byte."""
    entry = inspected.correct(inspected.right).entry
    export(inspected.desk.folder, inspected.session, tmp_path / "out")
    names = [sha256 for _, sha256 in files_named(inspected.desk.folder, entry)]

    assert [(tmp_path / "out" / "attachments" / n).exists() for n in names] == [True, True]
    assert (tmp_path / "out" / "attachments" / names[1]).read_bytes() == (
        inspected.right.read_bytes()
    )


def test_a_second_correction_rests_on_the_first(inspected: Inspected) -> None:
    """Back to the first file: `before` is what the first correction made of it."""
    first = read_correction(inspected.correct(inspected.right), inspected.desk.folder)
    listed = dict(_listed(inspected))
    again = read_correction(inspected.correct(inspected.wrong), inspected.desk.folder)

    assert (again.before, again.after) == (first.after, first.before)
    assert listed["network"].startswith("station file right.yaml")
    assert f"(correction {first.number})" in listed["network"]
    assert failing(audited(inspected.desk.logs)) == []


def test_the_corrected_evaluation_is_the_one_that_becomes_stale(inspected: Inspected) -> None:
    """The wrong file may change; the right one may not, in review, editor and audit alike."""
    entry = inspected.correct(inspected.right).entry
    inspected.wrong.write_text(inspected.wrong.read_text("utf-8").replace(*THIN), encoding="utf-8")
    settled = audited(inspected.desk.logs)
    kept = [len(kept_evaluations(inspected.desk.folder, f)) for f in (
        inspected.wrong, inspected.right)]  # fmt: skip
    inspected.right.write_text(
        inspected.right.read_text("utf-8").replace(THIN[1], THIN[0]), encoding="utf-8"
    )
    changed = audited(inspected.desk.logs)
    network = [s for o, s in said(settled, "evaluations") if "Bonding" in s]
    stale = [(o, s) for o, s in said(changed, "evaluations") if "Bonding" in s]

    assert network == [
        f"Bonding network of the station file: found on {entry.at:%Y-%m-%d} by correction "
        f"{entry.number}, and what was looked at stands in {inspected.right} as it did. First "
        f"answered was {_first(inspected)}"
    ]
    assert [outcome for outcome, _ in stale] == ["warning"]
    assert "STALE" in stale[0][1]
    assert str(inspected.right) in stale[0][1]
    assert kept == [1, 1]  # of the wrong file the exposure alone
    assert any("Bonding" in one for one in read_session(inspected.desk, inspected.session).stale)


def test_a_correction_that_nobody_validly_signed_does_not_count(inspected: Inspected) -> None:
    """With a spoilt signature the audit fails, and the evaluation is held by the first answer."""
    inspected.correct(inspected.right)
    path = sorted((inspected.desk.logs / "ledger").iterdir())[-1]
    text, _, below = path.read_bytes().partition(b"\n\n")
    path.write_bytes(text.replace(b"wrong file", b"other file") + b"\n\n" + below)
    report = audited(inspected.desk.logs)

    assert "signatures" in {f.check for f in failing(report)}
    assert any(str(inspected.wrong) in s for _, s in said(report, "evaluations") if "Bonding" in s)


def test_a_correction_without_its_finding_cannot_be_told(inspected: Inspected) -> None:
    """As version 0.2.0 wrote it first: never a failure, never a pass, and corrected once more."""
    entry = inspected.correct(inspected.right).entry
    sha256 = next(iter(files_named(inspected.desk.folder, entry)))[1]
    document = parse((inspected.desk.logs / "attachments" / sha256).read_bytes())
    _append(inspected, entry.fields, answer=dump({"answer": document["answer"]}).decode())
    report = audited(inspected.desk.logs, recompute=True)

    assert failing(report) == []
    assert [outcome for outcome, _ in said(report, "corrections")] == ["cannot tell", "warning"]
    assert "was not kept with it" in said(report, "corrections")[0][1]
    assert inspected.text()
    again = read_correction(inspected.correct(inspected.wrong), inspected.desk.folder)
    assert again.before == entry.field("after")


@pytest.mark.parametrize(
    "answer",
    [
        '{"kept":"attachments","sha256":"../../../../etc/passwd","size":1,"name":"a"}',
        '{"kept":"rules","sha256":"' + "0" * 64 + '","size":1,"name":"a"}',
        '{"kept":"attachments","sha256":7,"size":1,"name":"a"}',
        '{"kept":"attachments","sha256":"' + "0" * 64 + '","size":1,"name":"a"}',
        "{}",
    ],
)
def test_a_hostile_name_of_a_document_is_a_finding(inspected: Inspected, answer: str) -> None:
    """A path, another folder, no text, a file that is not there: said, and nothing is opened."""
    fields = (
        ("step", "network"), ("answer", answer), ("reason", "r"), ("before", "b"), ("after", "a")
    )  # fmt: skip
    _append(inspected, fields)
    report = audited(inspected.desk.logs, recompute=True)

    assert {f.check for f in failing(report)} >= {"corrections"}
    assert "root:" not in inspected.text()
    with pytest.raises(Damaged):
        read_correction(
            Ledger(inspected.desk.folder).of_session(inspected.session)[-1], inspected.desk.folder
        )


def test_an_exposure_is_corrected_and_printed_as_corrected(tmp_path: Path) -> None:
    """The evaluation is kept whole with the correction, and the page to keep on file is of it."""
    desk = desk_for_evaluation(tmp_path)
    wrong = station_at(tmp_path).rename(tmp_path / "wrong.yaml")
    changed = ("name: Larkspur Bend, hill station", "name: Larkspur Bend, cellar")
    right = station_at(tmp_path, changed).rename(tmp_path / "right.yaml")
    inspected = Inspected(desk, walked(desk, wrong, "exposure"), wrong, right)
    before = evaluation_in(read_session(desk, inspected.session), desk.folder)[0]
    entry = inspected.correct(right, "exposure").entry
    after, step = evaluation_in(read_session(desk, inspected.session), desk.folder)
    named = [part for part, _ in files_named(desk.folder, entry)]

    assert (before.station, after.station) == (
        "Larkspur Bend, hill station", "Larkspur Bend, cellar"
    )  # fmt: skip
    assert named == ["attachments", "attachments", "rules", "attachments"]
    assert len(step.answers) == 2
    assert failing(audited(desk.logs, recompute=True)) == []


def _append(inspected: Inspected, fields: tuple[tuple[str, str], ...], **instead: str) -> None:
    """Sign a correction with these fields, as somebody who has the key could."""
    known = finished(inspected.desk.folder, inspected.session)
    draft = Draft(
        "corrected", inspected.session, target=known.ending.sha256,
        signers=known.ending.entry.signers[:1],
        fields=tuple((name, instead.get(name, text)) for name, text in fields),
    )  # fmt: skip
    Ledger(inspected.desk.folder).append(draft, [key_of(inspected.desk, WREN)])


def _checks(inspected: Inspected, name: str) -> list[Check]:
    folder = LogFolder.look(inspected.desk.logs, RealDisk(), inspected.desk.clock)
    return [check for check in verify(folder).checks if check.name == name]


def _listed(inspected: Inspected) -> list[tuple[str, str]]:
    rows = correctable(finished(inspected.desk.folder, inspected.session))
    return [(step.id, answer) for step, answer in rows]


def _first(inspected: Inspected) -> str:
    record = read_session(inspected.desk, inspected.session)
    return next(s.answers[0].text for s in record.steps if s.step == "network")
