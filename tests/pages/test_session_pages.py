"""Pages of sessions: the record, and the evaluation that one kept."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.pages.answertable import CORRECTED
from checklist.pages.making import (
    page_of_audit,
    page_of_kept_evaluation,
    page_of_session,
    page_of_station_exposure,
    page_of_tag,
    silent,
)
from checklist.pages.page import Drawn, Page, flat
from checklist.pages.plaindraw import as_sentences
from checklist.pages.tagsheet import SHEET_MM
from checklist.record.journals.seal import Signing
from checklist.record.ledgers.ledger import Ledger
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.sessions.past.correcting import correct, finished
from checklist.sessions.past.review import read_session
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing
from tests.sessions import evaluations
from tests.sessions.pastsessions import TITLE, desk_at, key_of, sealed, walked


def text_of(page: Page) -> str:
    """Return all that the page says, with its words on one line."""
    return " ".join(as_sentences(page).split())


def missing_in(text: str, wanted: Sequence[str]) -> list[str]:
    return [words for words in wanted if " ".join(words.split()) not in text]


def last_hash(desk: Desk, session_id: str) -> str:
    """Return the SHA-256 of the newest note of a session, from the bytes on disk."""
    number = Ledger(desk.folder).of_session(session_id)[-1].entry.number
    return hashlib.sha256((desk.logs / "ledger" / f"{number:08d}.note").read_bytes()).hexdigest()


def test_record_holds_everything(tmp_path: Path) -> None:
    """Every answer, stop, clearing, remark, signature and key; and the hash of its last entry."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    session_id = session.id
    sealed(desk, session)
    record = read_session(desk, session_id)
    page = page_of_session(desk.folder, session_id)
    text = text_of(page)
    wanted = [
        TITLE,
        record.result,
        "Orrin [@click=x]Vale",
        "wrench fell, nobody hit",
        "a note with",
    ]
    wanted += [given.text for step in record.steps for given in step.answers]
    wanted += [signature.key for signature in record.signatures]
    wanted += [f"{check.outcome.value}: {check.sentence.rstrip('.')}" for check in record.checks]

    assert missing_in(text, wanted) == []
    assert page.identity.sha256 == last_hash(desk, session_id)
    assert page.identity.code.replace("-", "") == page.identity.sha256[:16]
    assert "is no permission" in page.is_not


def test_what_was_corrected_is_not_read_as_it_was_signed(tmp_path: Path) -> None:
    """The verdict is called what was signed, and the corrected answer's own row says so."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session)
    before = as_sentences(page_of_session(desk.folder, session.id))
    step = finished(desk.folder, session.id).loaded.rule_file.step("distance")
    answer = read_answer(step, "10 ft", instrument="tape 1")
    signer = Signing("Tamsin Reed", "in charge", key_of(desk, "Tamsin Reed"))
    correct(desk.folder, session.id, "distance", answer, "misread", signer)
    after = as_sentences(page_of_session(desk.folder, session.id))

    assert "Verdict: no stop found" in before
    assert CORRECTED not in before
    assert "As signed: no stop found" in after
    assert "Verdict: " not in after
    assert [step.ask in line for line in after.splitlines() if CORRECTED in line] == [True]


def test_missing_signature_stands_before_everything(tmp_path: Path) -> None:
    """A session that is not sealed says so above its answers, and names who has not signed."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    text = text_of(page_of_session(desk.folder, session.id))

    assert 0 < text.index("NOT SEALED: the signature of Orrin Vale (worker) is MISSING") < 400


def test_running_session_is_a_draft(tmp_path: Path) -> None:
    """A walk that is not finished never looks like a record."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    session.close()

    assert "DRAFT" in page_of_session(desk.folder, session.id).identity.says


def test_damage_stands_on_the_page(tmp_path: Path) -> None:
    """What was changed on disk is said on the page, not smoothed over."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session)
    file = desk.folder.session_file(session.id)
    file.write_bytes(file.read_bytes().replace(b"nothing", b"nothinh"))
    text = text_of(page_of_session(desk.folder, session.id))

    assert text.index("Damaged or not read") < text.index("Signatures")


@pytest.fixture
def evaluated(tmp_path: Path) -> tuple[Desk, str, Path]:
    """Return a desk, a session that kept an evaluation after a stop, and its station file."""
    desk = evaluations.desk_for_evaluation(tmp_path)
    session = begin(desk, evaluations.NAME).session
    over = ("at: [18 m, 4 m, 0 m]", "at: [3 m, 0 m, 12 m]")
    file = evaluations.station_at(tmp_path, over, ("power: 25 W", "power: 100 W"))
    evaluations.evaluate(session, "exposure", file)
    file = evaluations.station_at(tmp_path)
    way = session.walk.rule_file.step("exposure").ways[0].do
    changed = Clearing(way, {"What was changed": "the neighbour came down"})
    evaluations.evaluate(session, "exposure", file, changed)
    session.close()
    return desk, session.id, file


def test_kept_evaluation_is_printed_without_computing(
    evaluated: tuple[Desk, str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Results, limits, remedies taken and files stand there though the engine cannot run."""
    desk, session_id, file = evaluated
    sha256 = hashlib.sha256(file.read_bytes()).hexdigest()

    def broken(*_: object) -> None:
        raise AssertionError("the engine was run")

    monkeypatch.setattr("checklist.sessions.stations.exposing.evaluate", broken)
    monkeypatch.setattr("checklist.station.findings.evaluate", broken)
    page = page_of_kept_evaluation(desk, desk.folder, session_id, silent)
    wanted = ["Station: ", "What was described", "emission:", "antenna:", "place:", "Edition: ",
              "Results at each place", "How each result came about", "Zones", "Remedies",
              "Picture: Limits of 47 CFR 1.1310", "Picture: Plan ", "Picture: Section ",
              "Assumed", "Not modelled", "Values used", "Signatures", "How to check it",
              "On record", "Remedies taken, as evidence on record", "the neighbour came down",
              sha256, "47 CFR 1.1310", "track"]  # fmt: skip

    assert missing_in(text_of(page), wanted) == []
    assert "DRAFT" in page.identity.says  # nobody has signed yet
    assert sum(isinstance(block, Drawn) for block in flat(page.blocks)) >= 4


def test_changed_station_is_said_above_the_results(evaluated: tuple[Desk, str, Path]) -> None:
    """An evaluation that has gone stale cannot be taken for one of the station of today."""
    desk, session_id, file = evaluated
    text = file.read_text(encoding="utf-8").replace("power: 25 W", "power: 20 W")
    file.write_text(text, encoding="utf-8")
    said = text_of(page_of_kept_evaluation(desk, desk.folder, session_id, silent))

    assert 0 < said.index("STALE") < said.index("Results at each place")


def test_session_without_evaluation_is_refused(tmp_path: Path) -> None:
    """A page is never made of nothing."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    session.close()

    with pytest.raises(StandclearError, match="it kept no evaluation"):
        page_of_kept_evaluation(desk, desk.folder, session.id, silent)


def test_station_file_alone_gives_a_draft(tmp_path: Path) -> None:
    """From a station file the page is a draft under the file's own hash, and names no record."""
    desk = evaluations.desk_for_evaluation(tmp_path)
    file = evaluations.station_at(tmp_path)
    page = page_of_station_exposure(desk, file, silent)

    assert page.identity.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert "DRAFT, not on record: nobody has signed it" in text_of(page)
    assert "WITHIN the limits, by what was described" in text_of(page)


def test_audit_carries_the_hash_that_a_countersignature_names(tmp_path: Path) -> None:
    """The page's hash is that of the report's document, and every kind of finding is counted."""
    desk = desk_at(tmp_path)
    sealed(desk, walked(desk))
    page = page_of_audit(desk, (), silent)
    text = text_of(page)

    assert len(page.identity.sha256) == 64
    assert "What this cannot catch" in text
    assert "nobody has countersigned it" in text
    assert desk.folder.origin in text


def test_tag_is_cut_out_in_letters_of_the_size_asked_for(tmp_path: Path) -> None:
    """Its picture keeps its size on paper, so that letters keep theirs; the entry is named."""
    desk = desk_at(tmp_path)
    tag = hang(desk.folder, Hanging("breaker 14", "5", "Wren Holloway", "mast", "8 h", "channel 0"))
    page = page_of_tag(desk, desk.folder, "5")
    drawn = next(block for block in flat(page.blocks) if isinstance(block, Drawn))

    assert page.is_lying
    assert drawn.width_mm == SHEET_MM[0]
    assert f'width="{SHEET_MM[0]}mm"' in drawn.svg.replace(".0mm", "mm")
    assert tag.id in page.identity.says
    assert len(page.identity.sha256) == 64
