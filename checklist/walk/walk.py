"""One run of a rule file: what may be answered now, and what each answer does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from checklist.calculations.kinds import Outcome
from checklist.errors import StandclearError
from checklist.rulebook import Book
from checklist.rulefile import Effect, RuleFile, Step, Verdict
from checklist.walk.answers import DONT_KNOW, Answer
from checklist.walk.clearing import is_whole
from checklist.walk.events import (
    Answered,
    Clearing,
    Closed,
    Event,
    StopAnswered,
)
from checklist.walk.fitting import misfit
from checklist.walk.judge import Judgement, judge
from checklist.walk.progress import inputs_from_steps, progress
from checklist.walk.standing import Progress, Status, StepState


class WalkRefused(StandclearError):
    """The walk cannot take this now."""


class StopStands(WalkRefused):
    """An answer that stopped is changed only with the evidence that one of its ways names."""

    def __init__(self, state: StepState) -> None:
        self.state = state
        right = (
            "Say what changed and give the evidence." if state.ways else "The walk ends as stopped."
        )
        super().__init__("this answer stopped the walk", right=right)


@dataclass(frozen=True, slots=True)
class Walk:
    """A rule file and what has happened so far."""

    rule_file: RuleFile
    book: Book
    events: tuple[Event, ...] = ()

    @property
    def closed(self) -> Closed | None:
        """The end of the walk, if it has ended."""
        return next((e for e in reversed(self.events) if isinstance(e, Closed)), None)

    def with_event(self, event: Event) -> Walk:
        """Return the walk after `event`, which is taken as it stands."""
        return replace(self, events=(*self.events, event))

    def progress(self, now: datetime) -> Progress:
        """Return where every step stands at `now`."""
        return progress(self.rule_file, self.events, now)

    def provided(self, step: Step) -> dict[str, str]:
        """Return the inputs of a calculation step that earlier steps give, as typed there.

        A step that is not asked now gives none, whatever it was answered before.
        """
        if not self.events:
            return inputs_from_steps(step, {})
        # Which steps are asked does not hang on the time; any will do.
        asked = self.progress(self.events[-1].at).asked
        return inputs_from_steps(step, {s.step.id: s.answered.answer for s in asked if s.answered})

    def judged(self, step: Step, answer: Answer) -> Judgement:
        """Return what `answer` would do, without giving it."""
        return judge(step, answer, self.provided(step), self.book)

    def answered(
        self, step_id: str, answer: Answer, at: datetime, clearing: Clearing | None = None
    ) -> Answered:
        """Return the event that `answer` is; nothing has happened until it is added.

        Raises StopStands where the step's answer stops, the new one does not, and no
        clearing with all its evidence comes with it; WalkRefused on a closed walk or a
        step that is not asked now, or an answer that it cannot take.
        """
        state = self._state(step_id, at)
        if wrong := misfit(state.step, answer, at.date()):
            raise WalkRefused(wrong, right="Answer as the step asks, or say don't know.")
        judgement = self.judged(state.step, answer)
        clears = state.has_unanswered_stop and judgement.effect is not Effect.STOP
        if clears and _is_not_known(answer, judgement):
            raise WalkRefused(
                "not knowing does not answer a stop", right="The stop stands until it is known."
            )
        if clears and not is_whole(state.ways, clearing, stands=False):
            raise StopStands(state)
        return Answered(
            step_id,
            answer,
            judgement,
            at,
            self.provided(state.step),
            clearing if clears else None,
        )

    def stop_answered(self, step_id: str, clearing: Clearing, at: datetime) -> StopAnswered:
        """Return the event that answers a standing stop by evidence, its answer staying.

        Raises WalkRefused where no stop stands, StopStands where the evidence is not whole.
        """
        state = self._state(step_id, at)
        if state.status is not Status.STOP:
            raise WalkRefused("no stop stands at this step")
        if not is_whole(state.ways, clearing, stands=True):
            raise StopStands(state)
        return StopAnswered(step_id, clearing, at)

    def ended(self, at: datetime) -> Closed:
        """Return the event that ends the walk; raises WalkRefused while it may not end.

        A walk ends when every step that applies has an answer that holds, or, at any
        time, as stopped while a stop stands.
        """
        if self.closed:
            raise WalkRefused("the walk is over already")
        now = self.progress(at)
        if now.stops:
            return Closed(Verdict.STOPPED, at)
        if now.work_stopped:
            raise WalkRefused("the work is stopped", right="Go on with the work first.")
        if not now.is_complete:
            pending = [s.step.ask for s in now.steps if s.is_pending]
            open_steps = "1 step is" if len(pending) == 1 else f"{len(pending)} steps are"
            raise WalkRefused(f"{open_steps} open", right=f"The first: {pending[0]}")
        return Closed(now.verdict, at)

    def _state(self, step_id: str, at: datetime) -> StepState:
        if self.closed:
            raise WalkRefused("the walk is over", right="Begin a new one.")
        try:
            state = self.progress(at).of(step_id)
        except KeyError:
            raise WalkRefused(f"there is no step “{step_id}”") from None
        if state.status in (Status.NOT_ASKED, Status.WAITS):
            raise WalkRefused("this step is not asked now")
        return state


def _is_not_known(answer: Answer, judgement: Judgement) -> bool:
    finding = judgement.finding
    not_shown = finding is not None and finding.result.outcome is Outcome.NOT_SHOWN
    return answer == DONT_KNOW or not_shown
