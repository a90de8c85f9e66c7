"""Walks through one rule file. Decides nothing: the walk does; keeps nothing: the session does."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static

from checklist.errors import StandclearError
from checklist.pictures.ofcalculations import picture_of
from checklist.plaintext import shown
from checklist.record.errors import NotSaved
from checklist.record.lookup.registers import Registers
from checklist.rulefile import Effect, Step
from checklist.screens.asking import AskEvidence, AskText, AskYes
from checklist.screens.frame import Framed
from checklist.screens.walking.detail import detail_lines
from checklist.screens.walking.entries import Chosen, Keys, Waiting, entry_for
from checklist.screens.walking.form import Form
from checklist.screens.walking.steplist import StepList
from checklist.sessions.entryrows import typed_answer
from checklist.sessions.known import Known
from checklist.sessions.lasttime import LastTime
from checklist.sessions.remember import remember, remember_reach
from checklist.sessions.session import Session
from checklist.sessions.tagging.hanging import applier_of
from checklist.walk.answers import Answer
from checklist.walk.clearing import ways_for
from checklist.walk.entry import not_applying, read_answer
from checklist.walk.events import Answered, Clearing
from checklist.walk.progress import Progress, Status, StepState
from checklist.walk.walk import StopStands
from checklist.walk.wording import answer_text, standing_text

if TYPE_CHECKING:
    from checklist.pictures.drawing import Picture
    from checklist.screens.app import StandclearApp


class WalkScreen(Framed):
    """The steps, the step at hand with its entry, and what was found."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+g", "finish", "finish", priority=True),
        Binding("ctrl+e", "evidence", "evidence", priority=True),
        Binding("ctrl+r", "save_again", "save again", priority=True),
        Binding("ctrl+s", "stop_work", "stop work", priority=True),
        Binding("ctrl+n", "near_miss", "near miss", priority=True),
        Binding("ctrl+t", "note", "note", priority=True),
        Binding("ctrl+o", "attach", "photo", priority=True, show=False),
        Binding("f2", "picture", "picture", priority=True),
        Binding("pageup", "step(-1)", "step back", priority=True, show=False),
        Binding("pagedown", "step(1)", "step on", priority=True, show=False),
        Binding("escape", "back", "leave", show=False),
    ]

    app: StandclearApp

    def __init__(
        self, session: Session, known: Known, says: str = "", before: LastTime | None = None
    ) -> None:
        super().__init__()
        self.session = session
        self._known = known
        self._before = before
        self._says = says
        self._current = ""
        self._busy = False
        self._is_given = False

    def body(self) -> ComposeResult:
        """Yield the list of steps and the step at hand."""
        with Container(id="walk"):
            yield StepList(id="steps")
            with Vertical(id="hand"):
                with VerticalScroll(id="detail", can_focus=False):
                    yield Static(id="ask", markup=False)
                    yield Static(id="found", markup=False)
                    yield Container(id="entry")
                    yield Static(id="why", markup=False)
                yield Static(id="notice", markup=False)

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
        if action == "picture":
            return bool(self._current) and self._picture() is not None
        if action == "evidence" and self._current:
            state = self.state
            return state.status is Status.STOP and any(w.answer_stands for w in state.ways)
        return True

    def _picture(self) -> Picture | None:
        """Return the picture of what was found at this step, where there is one."""
        answered = self.state.answered
        finding = answered.judgement.finding if answered else None
        return picture_of(finding) if finding else None

    def action_picture(self) -> None:
        """Draw what was found at this step, as loads beside their ratings or a mast's reach."""
        picture = self._picture()
        if picture is not None:
            from checklist.screens.walking.picture import PictureScreen

            self.app.push_screen(PictureScreen(picture))

    @property
    def state(self) -> StepState:
        """The step at hand as it stands now."""
        return self._progress().of(self._current)

    def _progress(self) -> Progress:
        return self.session.progress()

    async def _go_on(self) -> None:
        """Go to the next open step, or stay where the last answer was when none is open."""
        progress = self._progress()
        following = progress.next_open
        if following:
            await self._show(following.step.id)
        else:
            await self._show(self._current or progress.asked[-1].step.id)
            self._notice("Every step is answered. ^G finishes: look it over and sign.")

    async def _show(self, step_id: str) -> None:
        """Show one step with its entry; what was typed there and not given stands in it again."""
        self._keep_typed()
        self._current, self._is_given = step_id, False
        if self._is_gone:
            return
        state = self.state
        self.query_one("#ask", Static).update(Content(shown(state.step.ask)))
        entry = self.query_one("#entry", Container)
        await entry.remove_children()
        if state.status is Status.WAITS:
            await entry.mount(Waiting("This waits for an earlier step."))
        else:
            last = state.answered.answer if state.answered else None
            known = replace(self._known, applier=applier_of(self.session.walk.events))
            drafts, place = self.app.drafts, self._place
            widget = entry_for(
                state.step,
                known,
                last,
                self._before,
                lambda rows: drafts.into(place, rows),
                on_the_spot=self.session.walk.rule_file.part_of(step_id).name != "beforehand",
            )
            await entry.mount(widget)
            if isinstance(widget, Keys):
                widget.focus()
        self._refresh()
        self.query_one("#detail", VerticalScroll).scroll_home(animate=False)

    @property
    def _place(self) -> tuple[int | str, str]:
        """Where something is typed: in this walk, at the step at hand."""
        return self.session.id or id(self.session), self._current

    def _keep_typed(self) -> None:
        """Keep what stands in the entry and was not given, for when somebody comes back to it."""
        for form in self.query("#entry Form").results(Form):
            if form.is_touched and not self._is_given:
                self.app.drafts.keep(self._place, form.typed)

    def _refresh(self) -> None:
        """Show list, findings and title as they stand now, without touching the entry."""
        if self._is_gone:
            return
        progress = self._progress()
        rule_file = self.session.walk.rule_file
        self.query_one(StepList).show(rule_file, progress, self._current)
        found, why = detail_lines(progress.of(self._current), self.session.walk)
        self.query_one("#found", Static).update(found)
        self.query_one("#found").display = bool(found.plain)
        self.query_one("#why", Static).update(why)
        title = f"{'REHEARSAL: ' if self.session.is_rehearsal else ''}{rule_file.title}"
        urgent = bool(progress.stops) or progress.work_stopped or self.session.unsaved is not None
        right = standing_text(progress)
        if self.session.unsaved is not None:
            right = f"NOT SAVED   {right}"
        self.title_line.say(title, right, urgent=urgent)
        self.refresh_bindings()

    def _refresh_time(self) -> None:
        """Let answers expire before people's eyes, unless a save is under way."""
        if not self._busy and self._current and self.is_current:
            self._refresh()

    @property
    def _is_gone(self) -> bool:
        """Whether the screen was left while something was still being saved for it."""
        return not self.is_running or not self.query("#notice")

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if self._is_gone:
            return
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")

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
        answer = await asyncio.to_thread(self.session.looked_up, answer, self._tell)
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

    def _tell(self, said: str) -> None:
        """Show how far an evaluation is; called from the thread that does it."""
        self.app.call_from_thread(self._notice, said)

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
            self._notice(saved)

    def _remember(self, event: Answered) -> None:
        if self.session.folder is not None:
            self._fill_registers(event)

    @work(thread=True, group="registers")
    def _fill_registers(self, event: Answered) -> None:
        folder = self.session.folder
        step = self.session.walk.rule_file.step(event.step)
        if folder is not None and remember(folder, step, event.answer):
            self._known = Known.read(Registers.open(folder), self._known.hanging)

    async def _keep(self, save: Callable[[], Any]) -> Any:
        """Save off the event loop; return what was saved, or None with NOT SAVED on the screen."""
        if self._busy:
            return None
        self._busy = True
        try:
            return await asyncio.to_thread(save)
        except NotSaved as error:
            self._refresh()
            self._notice(f"NOT SAVED: {error.sentence()} ^R tries again.", wrong=True)
            return None
        finally:
            self._busy = False

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
    async def action_stop_work(self) -> None:
        """Call a stop of work, or go on after one."""
        if self._progress().work_stopped:
            sure = await self.app.push_screen_wait(
                AskYes("Go on with the work?", ["Weather and the like will be asked again."])
            )
            if sure and await self._keep(self.session.resume_work):
                await self._go_on()
            return
        reason = await self.app.push_screen_wait(
            AskText("STOP OF WORK. Everybody stops now.", "reason", "thunder heard")
        )
        if reason and await self._keep(lambda: self.session.stop_work(reason)):
            self._refresh()
            self._notice("The work is stopped. ^S goes on with it.", wrong=True)

    @work
    async def action_near_miss(self) -> None:
        """Keep a report of a near miss."""
        text = await self.app.push_screen_wait(
            AskText("Near miss or incident", "what happened", "wrench fell, nobody hit")
        )
        if text and await self._keep(lambda: self.session.near_miss(text)):
            self._notice("The near miss is kept.")

    @work
    async def action_note(self) -> None:
        """Keep a note beside the step at hand."""
        text = await self.app.push_screen_wait(AskText(self.state.step.ask, "note"))
        if text and await self._keep(lambda: self.session.note(self._current, text)):
            await self._show(self._current)
            self._notice("The note is kept.")

    @work
    async def action_attach(self) -> None:
        """Keep a photo or paper beside the step at hand."""
        text = await self.app.push_screen_wait(
            AskText("Keep a photo or paper with this step", "its file", "photo of the rating plate")
        )
        if not text:
            return
        path = Path(text.strip().strip("'\"")).expanduser()
        try:
            kept = await self._keep(lambda: self.session.attach(self._current, path))
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        if kept is not None:
            self._refresh()
            self._notice(f"{kept.name} is kept, {kept.size} bytes.")

    @work
    async def action_save_again(self) -> None:
        """Try once more to save what was not saved."""
        if self.session.unsaved is None:
            self._notice("Everything is saved.")
            return
        try:
            await asyncio.to_thread(self.session.save_again)
        except StandclearError as error:
            self._notice(f"NOT SAVED: {error.sentence()} ^R tries again.", wrong=True)
            return
        await self._go_on()
        self._notice("saved")

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

    async def action_step(self, by: int) -> None:
        """Go to the step before or after the one at hand."""
        asked = [s.step.id for s in self._progress().asked]
        at = asked.index(self._current) if self._current in asked else 0
        await self._show(asked[max(0, min(at + by, len(asked) - 1))])

    @on(OptionList.OptionSelected)
    async def _selected(self, event: OptionList.OptionSelected) -> None:
        if event.option.id:
            await self._show(event.option.id)

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
