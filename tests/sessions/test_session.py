"""A session under way: what it tells to whoever calls for help."""

from __future__ import annotations

from pathlib import Path

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing


def test_what_nobody_knows_is_not_told_to_the_emergency_operator(tmp_path: Path) -> None:
    """Whoever calls reads the way from the screen: `don't know` there would be no help at all."""
    session = begin(Desk(tmp_path / "logs", RealDisk(), RealClock()), "tower-work").session
    rules = session.walk.rule_file
    session.answer("work", read_answer(rules.step("work"), rules.examples[0].answers["work"]))
    session.answer("call", read_answer(rules.step("call"), "don't know"))
    unknown = session.told_to_emergency()
    [way, *_] = rules.step("call").ways
    found = Clearing(way.do, dict.fromkeys(way.evidence, "the owner"))
    session.answer("call", read_answer(rules.step("call"), "Back Lane 3, second gate"), found)
    known = session.told_to_emergency()
    session.close()

    assert unknown == ""
    assert known == "Back Lane 3, second gate"
