"""Walks through one rule file. Decides nothing: the walk does; keeps nothing: the session does."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType

from checklist.errors import StandclearError
from checklist.record.lookup.registers import Registers
from checklist.rulefile import Effect, Step
from checklist.screens.asking import AskEvidence, AskText, AskYes
from checklist.screens.longwork import in_thread
from checklist.screens.walking.entries import Chosen
from checklist.screens.walking.form import Form
from checklist.screens.walking.walkorders import OrderedWalk
from checklist.sessions.filledrows import typed_answer
from checklist.sessions.known import Known
from checklist.sessions.remember import remember, remember_reach
from checklist.sessions.tagging.hanging import applier_of
from checklist.walk.answers import Answer
from checklist.walk.clearing import ways_for
from checklist.walk.entry import not_applying, read_answer
from checklist.walk.events import Answered, Clearing
from checklist.walk.standing import Status, StepState
from checklist.walk.walk import StopStands
from checklist.walk.wording import answer_text


class WalkScreen(OrderedWalk):
    """The steps, the step at hand with its entry, and what was found."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+g", "finish", "finish", priority=True),
        Binding("ctrl+e", "evidence", "evidence", priority=True),
        Binding("f3", "picture", "picture", key_display="F3", priority=True),
        Binding("ctrl+r", "save_again", "save again", priority=True, show=False),
        Binding("ctrl+s", "stop_work", "stop work", priority=True),
        Binding("ctrl+s", "resume_work", "go on with work", priority=True),
        Binding("ctrl+n", "near_miss", "near miss", priority=True, show=False),
        Binding("ctrl+t", "note", "note", priority=True, show=False),
        Binding("ctrl+o", "attach", "photo", priority=True, show=False),
        Binding("pageup", "step(-1)", "step back", key_display="PgUp", priority=True, show=False),
        Binding("pagedown", "step(1)", "step on", key_display="PgDn", priority=True, show=False),
        Binding("escape", "back", "leave", show=False),
    ]

    async def on_mount(self) -> None:
        """Begin at the first step that is open."""
        await self._go_on()
        if self._says:
            self._notice(self._says)
        self.app.call_details = self.session.told_to_emergency()
        self.set_interval(20, self._refresh_time)
        if self.session.walk.closed:
            self.action_finish()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer evidence only where a stop takes it, and saving again only where it is needed."""
        if action == "save_again":
            return self.session.unsaved is not None
        if action in {"stop_work", "resume_work"}:
            return self._progress().work_stopped is (action == "resume_work")
        if action == "picture":
            return bool(self._current) and self._picture() is not None
        if action == "evidence" and self._current:
            state = self.state
            return state.status is Status.STOP and any(w.answer_stands for w in state.ways)
        return True

    @on(Chosen)
    def _chosen(self, event: Chosen) -> None:
        event.stop()
        if event.typed == "does not apply":
            self._set_aside()
        else:
            self._give(event.typed)

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        event.stop()
        step = self.state.step
        applier = applier_of(self.session.walk.events)
        try:
            typed, instrument = typed_answer(step, event.values, applier)
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        if typed == "n/a":
            self._set_aside()
        else:
            self._give(typed, instrument, str(event.values.get("reach", "")))

    @work
    async def _set_aside(self) -> None:
        step = self.state.step
        reason = await self.app.push_screen_wait(
            AskText("Why does this not apply here?", "reason", "no rotator on this tower")
        )
        if reason is not None:
            try:
                await self._answer(step, not_applying(step, reason))
            except StandclearError as error:
                self._notice(error.sentence(), wrong=True)

    @work
    async def _give(self, typed: object, instrument: str = "", reach: str = "") -> None:
        step = self.state.step
        if reach and self.session.folder is not None:
            applier = applier_of(self.session.walk.events)
            await asyncio.to_thread(remember_reach, self.session.folder, applier, reach)
        try:
            await self._answer(step, read_answer(step, typed, instrument=instrument))
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)

    async def _answer(self, step: Step, answer: Answer) -> None:
        """Give an answer; a final stop is asked about first, a cleared one needs its evidence."""
        found = await self._looked_up(answer)
        if found is None:
            return
        answer = found
        effect = self.session.walk.judged(step, answer).effect
        is_final = effect is Effect.STOP and not ways_for(step, answer)
        if is_final and not await self._is_meant(step, answer):
            return
        try:
            event = await self._keep(lambda: self.session.answer(step.id, answer))
        except StopStands:
            clearing = await self._evidence_for(self.state, stands=False)
            if clearing is None:
                self._notice("The stop stands until it is answered.", wrong=True)
                return
            event = await self._keep(lambda: self.session.answer(step.id, answer, clearing))
        if event is None:
            return
        self._forget_typed(event.step)
        await self._after(event)

    async def _looked_up(self, answer: Answer) -> Answer | None:
        """Return the answer with what is found out for it; None while another is sought."""
        if self._is_seeking:
            return None
        self._is_seeking = True
        try:
            return await in_thread(
                self.app,
                "Working it out",
                lambda tell: self.session.looked_up(answer, tell),
                self._notice,
            )
        finally:
            self._is_seeking = False

    def _forget_typed(self, step_id: str) -> None:
        """Let what was typed be no draft any more: it is the answer now."""
        self.app.drafts.drop((self._place[0], step_id))
        self._is_given = step_id == self._current

    async def _is_meant(self, step: Step, answer: Answer) -> bool:
        says = [
            step.ask,
            f"Your answer: {answer_text(answer, step)}",
            "Nothing answers this stop: the walk will end as stopped.",
        ]
        meant = await self.app.push_screen_wait(AskYes("Is this really so?", says))
        return meant is True

    async def _after(self, event: Answered) -> None:
        self._remember(event)
        self.app.call_details = self.session.told_to_emergency()
        saved = "rehearsed" if self.session.is_rehearsal else f"saved {event.at:%H:%M:%S}"
        if event.judgement.effect is Effect.CLEAR:
            await self._go_on()
        else:
            await self._show(event.step)
        if self._progress().next_open or event.judgement.effect is not Effect.CLEAR:
            self._notice(f"{saved}{_after_saving(event)}")

    def _remember(self, event: Answered) -> None:
        if self.session.folder is not None:
            self._fill_registers(event)

    @work(thread=True, group="registers")
    def _fill_registers(self, event: Answered) -> None:
        folder = self.session.folder
        step = self.session.walk.rule_file.step(event.step)
        if folder is not None and remember(folder, step, event.answer):
            self._known = Known.read(Registers.open(folder), self._known.hanging)

    async def _evidence_for(self, state: StepState, *, stands: bool) -> Clearing | None:
        ways = [w for w in state.ways if w.answer_stands is stands]
        if not ways:
            self._notice(
                "This stop is answered by a new answer." if stands else "Nothing answers this stop."
            )
            return None
        return await self.app.push_screen_wait(AskEvidence(state.step, ways, state.because))

    @work
    async def action_evidence(self) -> None:
        """Answer the stop at hand by evidence, its answer staying as it is."""
        state = self.state
        if state.status is not Status.STOP:
            self._notice("No stop stands at this step.")
            return
        clearing = await self._evidence_for(state, stands=True)
        if clearing is None:
            return
        try:
            kept = await self._keep(lambda: self.session.answer_stop(state.step.id, clearing))
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        if kept is not None:
            await self._go_on()

    @work
    async def action_finish(self) -> None:
        """End the walk: look it over and sign, or see what is still open."""
        if not self.session.walk.closed:
            try:
                self.session.end()
            except StandclearError as error:
                await self._go_on()
                self._notice(error.sentence(), wrong=True)
                return
        self.app.finish_walk(self.session)

    def let_go(self) -> bool:
        """Let go of the walk's file, unless an answer is not saved; say which of the two."""
        if self.session.unsaved is not None:
            self._notice("An answer is NOT SAVED. ^R tries again.", wrong=True)
            return False
        self._keep_typed()
        self.session.close()
        return True

    def action_back(self) -> None:
        """Leave; what was answered stays, and the walk can be gone on with."""
        if self.let_go():
            super().action_back()


def _after_saving(event: Answered) -> str:
    """Return what was found by what was just answered, or how one goes on after a caution."""
    effect, finding = event.judgement.effect, event.judgement.finding
    if effect is Effect.CAUTION:
        return ". A caution: read it, then PgDn goes on."
    if effect is Effect.CLEAR and finding is not None:
        return f". {str(finding.result.outcome).capitalize()}: {finding.result.says}"
    return ""
