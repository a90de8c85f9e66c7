"""Whatever people do in whatever order, a walk keeps its promises: checked against a model."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from checklist.rulefile import Effect, Verdict
from checklist.walk.events import Clearing, Event, Noted, WorkResumed, WorkStopped
from checklist.walk.stored import as_data, from_data
from checklist.walk.walk import StopStands, Walk, WalkRefused
from tests.walk.making import START, answer, new

FAR, NEAR = "1000 ft", "1 ft"
REST = {"above-top": "10 ft", "sideways-reach": "0 ft", "line-voltage": "7.2 kV"}
CREW = ["Wren Holloway, in charge", "Tamsin Oakes, worker, trained 2026-04-11"]

CLEAR, CAUTION, STOP = Effect.CLEAR, Effect.CAUTION, Effect.STOP
MENU: dict[str, list[tuple[Any, Effect]]] = {
    "crew": [(CREW, CLEAR), (CREW[:1], STOP), ("don't know", STOP)],
    "way": [("hand", CLEAR), ("winch", CLEAR), ("hand", CLEAR), ("car", STOP)],
    "marked": [("yes", CLEAR), ("no", STOP), ("don't know", STOP)],
    "height": [("30 ft", CLEAR), ("12 m", CLEAR), ("don't know", STOP)],
    "tags": [
        (["plug, 4, Wren Holloway"], CLEAR),
        ([], STOP),
        ({"does not apply": "nothing is fed"}, CLEAR),
    ],
    "gust": [("8 mph", CLEAR), ("16 mph", CAUTION), ("21 mph", STOP), ("don't know", STOP)],
    "winch-held": [("yes", CLEAR), ("no", STOP)],
    "lines": [
        (REST | {"ground-distance": FAR}, CLEAR),
        (REST | {"ground-distance": NEAR}, STOP),
        (REST | {"ground-distance": "unknown"}, STOP),
    ],
    "call": [("Ridge Hollow Road 14", CLEAR), ("don't know", CAUTION)],
}
"""What is typed for each step, and what it must do, written down by hand.

Nothing answers a stop at `way`: after a car there the walk can only end as stopped.
"""

LIFE = dict.fromkeys(("crew", "way", "marked", "height"), timedelta(days=7)) | {
    step: timedelta(hours=8) for step in ("tags", "winch-held", "lines", "call")
}
LIFE["gust"] = timedelta(minutes=30)


@dataclass
class Last:
    """The last answer to one step, as the model knows it."""

    typed: Any
    effect: Effect
    at: datetime
    height: Any = None
    """For the distance from the line: the height that it was reckoned with."""

    evidence: bool = False
    """Whether whole evidence has answered its stop while it stays."""


class AnySequence(RuleBasedStateMachine):
    """People answer, change their minds, give good and bad evidence, and the clock moves."""

    def __init__(self) -> None:
        super().__init__()
        self.walk: Walk = new()
        self.now = START
        self.last: dict[str, Last] = {}
        self.must_repeat: set[str] = set()

    @initialize(good=st.booleans())
    def begin(self, good: bool) -> None:
        """Half of the plays begin with a walk in which everything is in order."""
        for step_id, menu in MENU.items() if good else ():
            if step_id != "winch-held":
                self.answer(step_id, menu[0], "none")

    @rule(
        step_and_answer=st.sampled_from([(s, a) for s, menu in MENU.items() for a in menu]),
        evidence=st.sampled_from(["none", "blank", "part", "other way", "whole"]),
    )
    def answers(self, step_and_answer: tuple[str, tuple[Any, Effect]], evidence: str) -> None:
        """Somebody answers a step."""
        self.answer(*step_and_answer, evidence)

    def answer(self, step_id: str, what: tuple[Any, Effect], evidence: str) -> None:
        typed, effect = what
        height = self.last["height"].typed if "height" in self.last else None
        if step_id == "lines" and height == "don't know":
            effect = STOP
        stood = self.stop_stands(step_id)
        try:
            event = self.walk.answered(
                step_id, answer(self.walk, step_id, typed), self.now,
                self.clearing(step_id, evidence, stands=False),
            )  # fmt: skip
        except StopStands:
            assert stood
            assert effect is not STOP
            assert evidence != "whole" or not self.walk.rule_file.step(step_id).ways
            return
        except WalkRefused:
            assert not self.is_asked(step_id)
            return
        self.walk = self.walk.with_event(event)

        assert self.is_asked(step_id)
        assert event.judgement.effect is effect
        assert bool(event.clearing) == (stood and effect is not STOP)
        if event.clearing:
            assert evidence == "whole"
        self.last[step_id] = Last(typed, effect, self.now, height)
        self.must_repeat.discard(step_id)

    @precondition(lambda self: "lines" in self.last)
    @rule(evidence=st.sampled_from(["blank", "part", "other way", "whole"]))
    def answers_the_stop(self, evidence: str) -> None:
        """Give the utility's evidence for the distance from the line."""
        clearing = self.clearing("lines", evidence, stands=True)
        assert clearing is not None
        try:
            event = self.walk.stop_answered("lines", clearing, self.now)
        except WalkRefused:
            return
        assert evidence == "whole"
        assert self.last["lines"].effect is STOP
        self.last["lines"].evidence = True
        self.walk = self.walk.with_event(event)

    @rule()
    def stops_the_work(self) -> None:
        """Somebody calls a stop of work."""
        self.walk = self.walk.with_event(WorkStopped("thunder", self.now))

    @rule()
    def goes_on(self) -> None:
        """Go on with the work; the gust must be measured again."""
        self.walk = self.walk.with_event(WorkResumed(self.now))
        self.must_repeat.add("gust")

    @rule(minutes=st.sampled_from([1, 29, 31, 60 * 8 + 1, 60 * 24 * 7 + 1]))
    def time_passes(self, minutes: int) -> None:
        """Time passes, and somebody notes it."""
        self.now += timedelta(minutes=minutes)
        self.walk = self.walk.with_event(Noted("", "later", self.now))

    @rule(minutes=st.sampled_from([1, 10, 40, 600]))
    def clock_is_set_back(self, minutes: int) -> None:
        """Set the clock back."""
        self.now -= timedelta(minutes=minutes)

    def clearing(self, step_id: str, evidence: str, *, stands: bool) -> Clearing | None:
        ways = [w for w in self.walk.rule_file.step(step_id).ways if w.answer_stands is stands]
        if evidence == "none" or not ways:
            return None
        texts = dict.fromkeys(ways[0].evidence, "Wren, 9:30")
        if evidence == "blank":
            texts[ways[0].evidence[-1]] = "  \u200d "
        if evidence == "part":
            del texts[ways[0].evidence[0]]
        return Clearing("Wait." if evidence == "other way" else ways[0].do, texts)

    def is_asked(self, step_id: str) -> bool:
        way = self.last.get("way")
        if step_id == "winch-held":
            return way is not None and way.typed == "winch"
        return step_id != "lines" or "height" in self.last

    def stop_stands(self, step_id: str) -> bool:
        last = self.last.get(step_id)
        return last is not None and last.effect is STOP and not self.answered_by_evidence(step_id)

    def answered_by_evidence(self, step_id: str) -> bool:
        return self.last[step_id].evidence and self.holds(step_id)

    def holds(self, step_id: str) -> bool:
        """Whether the answer is neither too old, nor overtaken, nor to be repeated."""
        last = self.last[step_id]
        if step_id in self.must_repeat or last.at > self.now + timedelta(minutes=2):
            return False
        if step_id == "lines" and last.height != self.last["height"].typed:
            return False
        given = next(
            i for i in reversed(range(len(self.walk.events)))
            if getattr(self.walk.events[i], "step", "") == step_id
            and hasattr(self.walk.events[i], "answer")
        )  # fmt: skip
        latest = max([self.now, *(e.at for e in self.walk.events[given:])])
        return latest - last.at <= LIFE[step_id]

    @invariant()
    def the_end_is_what_the_model_says(self) -> None:
        """See it stopped while a stop stands, and otherwise only when all is answered and holds."""
        asked = [step_id for step_id in MENU if self.is_asked(step_id)]
        stands = [s for s in asked if self.stop_stands(s)]
        try:
            verdict = self.walk.ended(self.now).verdict
        except WalkRefused:
            assert not stands
            working = not self.walk.progress(self.now).work_stopped
            whole = "height" in self.last and all(s in self.last and self.holds(s) for s in asked)
            assert not (whole and working and "way" in self.last)
            return
        assert (verdict is Verdict.STOPPED) == bool(stands)
        if verdict is Verdict.STOPPED:
            return
        assert all(s in self.last and self.holds(s) for s in asked)
        softened = [
            s for s in asked if self.last[s].effect is CAUTION or self.answered_by_evidence(s)
        ]
        assert verdict is (Verdict.CAUTIONS if softened else Verdict.NO_STOP)

    def teardown(self) -> None:
        """See what was stored read back as the same walk, standing the same."""
        events: list[Event] = []
        for event in self.walk.events:
            what, data = as_data(event)
            events.append(from_data(what, json.loads(json.dumps(data)), event.at))
        again = Walk(self.walk.rule_file, self.walk.book, tuple(events))

        assert again.events == self.walk.events
        assert again.progress(self.now) == self.walk.progress(self.now)


TestAnySequence = AnySequence.TestCase
TestAnySequence.settings = settings(
    max_examples=100,
    stateful_step_count=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
