"""Long random histories of a log folder against a plain list of what was told."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    consumes,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from checklist.record.errors import EntryRefused, NotSaved
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import abandon, resume_session
from checklist.record.journals.states import State, session_states
from checklist.record.verifying.verify import verify
from tests.record.crashdisk import ROOT, CrashDisk
from tests.record.making import HandClock, begin, come_late, finish, person

if TYPE_CHECKING:
    from checklist.record.journals.journal import Journal
    from checklist.record.roll.keys import UnlockedKey

LOG = ROOT / "logs"


class Histories(RuleBasedStateMachine):
    """Begins, answers, refused writes, power cuts, ends, late signatures, in any order."""

    running = Bundle("running")
    waiting = Bundle("waiting")

    def __init__(self) -> None:
        super().__init__()
        self.disk = CrashDisk()
        self.clock = HandClock()
        self.folder = LogFolder.open(LOG, self.disk, self.clock)
        self.open: dict[str, Journal] = {}
        self.told: dict[str, list[str]] = {}
        self.ended: dict[str, State] = {}
        self.people: list[UnlockedKey] = []

    @initialize()
    def people_come(self) -> None:
        self.people = [person(self.folder, "Ada Quill"), person(self.folder, "Ben Marsh")]

    @rule(target=running)
    def begins(self) -> str:
        journal = begin(self.folder, f"{len(self.told):032x}")
        self.open[journal.session_id] = journal
        self.told[journal.session_id] = []
        return journal.session_id

    def _journal(self, session_id: str) -> Journal:
        if session_id not in self.open:
            self.open[session_id], _ = resume_session(self.folder, session_id)
        return self.open[session_id]

    @rule(session_id=running, text=st.text(st.characters(exclude_categories=["Cs"]), max_size=9))
    def answers(self, session_id: str, text: str) -> None:
        self._journal(session_id).append("answered", {"typed": text})
        self.told[session_id].append(text)

    @rule(session_id=running, later=st.integers(0, 1), short=st.none() | st.integers(0, 50))
    def answer_is_refused(self, session_id: str, later: int, short: int | None) -> None:
        journal = self._journal(session_id)
        self.disk.fail_at, self.disk.short = self.disk.done + later, short
        with pytest.raises(NotSaved):
            journal.append("answered", {"typed": "refused"})
        self.disk.fail_at = self.disk.short = None
        self.open.pop(session_id).close()
        again = self._journal(session_id)
        found = [line.data["typed"] for line in again.lines if line.what == "answered"]
        assert found in (self.told[session_id], [*self.told[session_id], "refused"])
        self.told[session_id] = [str(text) for text in found]

    @rule(choice=st.integers(0, 50))
    def power_is_cut(self, choice: int) -> None:
        states = list(self.disk.after_power_cut(3))
        self.disk = states[choice % len(states)]
        self.clock.boot_id, self.clock.ns = f"boot-{choice}", 0
        self.folder = LogFolder.open(LOG, self.disk, self.clock)
        self.open.clear()

    @rule(session_id=running)
    def is_let_go(self, session_id: str) -> None:
        if session_id in self.open:
            self.open.pop(session_id).close()

    @rule(seconds=st.integers(-9000, 9000))
    def clock_is_set(self, seconds: int) -> None:
        self.clock.set_wall(seconds)

    @rule(session_id=consumes(running))
    def is_sealed(self, session_id: str) -> None:
        finish(self.folder, self._journal(session_id), *self.people)
        self.ended[session_id] = State.SEALED
        self.open.pop(session_id).close()

    @rule(session_id=consumes(running))
    def is_given_up(self, session_id: str) -> None:
        self.is_let_go(session_id)
        abandon(self.folder, session_id, "rain")
        self.ended[session_id] = State.ABANDONED

    @rule(target=waiting, session_id=consumes(running))
    def is_closed(self, session_id: str) -> str:
        finish(self.folder, self._journal(session_id), self.people[0], absent=("Ben Marsh",))
        self.ended[session_id] = State.SIGNATURE_MISSING
        self.open.pop(session_id).close()
        return session_id

    @rule(session_id=consumes(waiting))
    def is_signed_late(self, session_id: str) -> None:
        come_late(self.folder, session_id, self.people[1])
        self.ended[session_id] = State.SEALED
        with pytest.raises(EntryRefused):
            come_late(self.folder, session_id, self.people[1])

    @invariant()
    def everything_told_is_there(self) -> None:
        states = session_states(self.folder)
        assert set(states) == set(self.told)
        for session_id, state in states.items():
            assert state.state is self.ended.get(session_id, State.RUNNING)
        assert verify(self.folder).failures == ()


def _run(examples: int, steps: int) -> None:
    run_state_machine_as_test(
        Histories,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_histories() -> None:
    """Whatever happens in whatever order, what was told is there and the record verifies."""
    _run(20, 25)


@pytest.mark.long
def test_long_histories() -> None:
    """The same, longer and more of them."""
    _run(200, 60)
