"""A club's own set of limits decides a walk's evaluation, and stays with its record."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from checklist.audit.recompute import compare
from checklist.calculations.exposure import Tier
from checklist.calculations.kinds import Outcome
from checklist.errors import StandclearError
from checklist.record.files import kept
from checklist.record.verifying.report import Outcome as Checked
from checklist.rulefile import Effect
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin, rehearse
from checklist.sessions.stations.evaluating import evaluation_on_file, worked_out_again
from checklist.walk.answers import Described
from checklist.walk.events import Answered
from tests.sessions.evaluations import NAME, desk_for_evaluation, evaluate, station_at

SOURCES = """\
hill-decision:
  title: Decision of the odd hill club on exposure
  edition: "2026-03"
  standing: read
"""
LIMITS = """\
limits: odd-hill
title: Limits of the odd hill club
jurisdiction: our hill
edition: "2026"
source: hill-decision
about: A hundredth of what the law allows at the places of the public.
tables:
  - table: ours
    tier: uncontrolled
    averaging: 30 min
    rows:
      - {from: 1 MHz, to: 1 GHz, S: 0.002 mW/cm2}
  - table: ours, trained
    tier: controlled
    averaging: 6 min
    rows:
      - {from: 1 MHz, to: 1 GHz, S: 1 mW/cm2}
"""
CHOSEN = ("limits: fcc-1310", "limits: odd-hill")


def desk_with_limits(path: Path, text: str = LIMITS) -> Desk:
    """Return a desk whose club has the set."""
    desk = desk_for_evaluation(path)
    folder = path / "club-rules"
    (folder / "limits").mkdir(exist_ok=True)
    (folder / "limits" / "hill.yaml").write_text(text, encoding="utf-8")
    (folder / "sources.yaml").write_text(SOURCES, encoding="utf-8")
    return desk


def evaluated(desk: Desk, path: Path) -> tuple[Answered, Described]:
    """Return the evaluation against the club's set, and its answer."""
    session = begin(desk, NAME).session
    event = evaluate(session, "exposure", station_at(path, CHOSEN))
    session.close()

    assert isinstance(event.answer, Described)
    return event, event.answer


def test_the_clubs_limit_decides_and_is_named(tmp_path: Path) -> None:
    """A hundredth of the law's limit is over where the law's is within; set and source are said."""
    event, _ = evaluated(desk_with_limits(tmp_path), tmp_path)
    finding = event.judgement.finding
    shipped = begin(desk_for_evaluation(tmp_path), NAME).session
    with_the_law = evaluate(shipped, "exposure", station_at(tmp_path))
    shipped.close()

    assert with_the_law.judgement.effect is Effect.CLEAR
    assert event.judgement.effect is Effect.STOP
    assert finding is not None
    assert "Limits of the odd hill club, 2026, the club's own set" in finding.given["limits"]
    assert "Decision of the odd hill club on exposure, 2026-03" in finding.given["limits"]
    assert any("the club's own set, “odd-hill”" in said for said in finding.result.cautions)
    assert "0.002 mW/cm2" in {cited.value for cited in finding.result.used}


def test_within_the_clubs_own_is_never_more_than_a_caution(tmp_path: Path) -> None:
    """A club's set that is laxer than the law clears nothing without a caution."""
    lax = LIMITS.replace("0.002 mW/cm2", "20 mW/cm2")
    event, _ = evaluated(desk_with_limits(tmp_path, lax), tmp_path)

    assert event.judgement.effect is Effect.CAUTION
    assert event.judgement.finding is not None
    assert event.judgement.finding.result.outcome is Outcome.WITHIN


def test_its_bytes_and_the_whole_evaluation_are_kept(tmp_path: Path) -> None:
    """The set's exact bytes lie with the session; the stored evaluation holds the set resolved."""
    desk = desk_with_limits(tmp_path)
    event, answer = evaluated(desk, tmp_path)

    assert answer.limits is not None
    assert answer.limits.name == "club-rules/limits/hill.yaml"
    assert kept.read(desk.folder, "rules", answer.limits.sha256) == LIMITS.encode()
    stored = evaluation_on_file(answer, desk.folder)
    assert stored is not None
    assert stored.evaluation.limits.is_clubs
    row = stored.evaluation.limits.at(146e6, Tier.UNCONTROLLED)[0]
    assert row.s_w_m2 == pytest.approx(0.02)  # 1 mW/cm2 is 10 W/m2
    assert event.judgement.finding is not None
    assert str(stored.evaluation.outcome) == str(event.judgement.finding.result.outcome)


@pytest.mark.parametrize("change", ["laxer", "gone", "broken"])
def test_an_audit_works_it_out_from_what_was_kept(tmp_path: Path, change: str) -> None:
    """Whatever becomes of the club's file, the rerun judges by the bytes of then."""
    desk = desk_with_limits(tmp_path)
    event, answer = evaluated(desk, tmp_path)
    path = tmp_path / "club-rules" / "limits" / "hill.yaml"
    match change:
        case "laxer":
            path.write_text(LIMITS.replace("0.002", "2"), encoding="utf-8")
        case "gone":
            path.unlink()
        case _:
            path.write_text("limits: [", encoding="utf-8")
    book = begin(desk, NAME).session.walk.book
    finding = event.judgement.finding

    assert finding is not None
    again = lambda: worked_out_again(answer, desk.folder, book)  # noqa: E731  # as compare takes it
    assert compare(finding, book, again)[0] is Checked.HOLDS
    milder = replace(finding, result=replace(finding.result, outcome=Outcome.WITHIN))
    assert compare(milder, book, again)[0] is Checked.FAILS


def test_a_set_without_a_source_is_refused(tmp_path: Path) -> None:
    """A set that cites nothing of the bibliography judges nobody; the sentence has its place."""
    text = LIMITS.replace("source: hill-decision", "source: hearsay")
    session = begin(desk_with_limits(tmp_path, text), NAME).session
    with pytest.raises(StandclearError, match="“hearsay” is not in") as refused:
        evaluate(session, "exposure", station_at(tmp_path, CHOSEN))
    session.close()

    assert "hill.yaml, line 5" in refused.value.sentence()


def test_a_rehearsal_keeps_no_evaluation(tmp_path: Path) -> None:
    """In class the finding is the same, and nothing is kept or referred to."""
    desk = desk_with_limits(tmp_path)
    event = evaluate(rehearse(desk, NAME).session, "exposure", station_at(tmp_path, CHOSEN))

    assert isinstance(event.answer, Described)
    assert event.answer.evaluation is None
    assert event.judgement.effect is Effect.STOP
