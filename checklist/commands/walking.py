"""A walk line by line: the same questions, the same record and the same stops, without a screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from checklist.calculations.reading import is_unknown
from checklist.calculations.wording import as_text
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.filling import fill
from checklist.commands.lines import HURT, Left, choose, say
from checklist.commands.sealing import seal_by_lines
from checklist.commands.walkorders import MORE, Ordered, OrderedWalk
from checklist.errors import StandclearError
from checklist.record.errors import NotSaved
from checklist.rulefile import Effect, Step
from checklist.sessions.desk import Desk
from checklist.sessions.entryrows import choices_for, rows_for
from checklist.sessions.filledrows import typed_answer
from checklist.sessions.known import Known, known_for
from checklist.sessions.lasttime import LastTime, last_time
from checklist.sessions.opening import Opened
from checklist.sessions.remember import remember, remember_reach
from checklist.sessions.tagging.hanging import applier_of, crew_of
from checklist.stopping import how_far
from checklist.walk.answers import Answer
from checklist.walk.clearing import ways_for
from checklist.walk.entry import not_applying, read_answer, require_may_not_apply
from checklist.walk.entrylines import sets_aside
from checklist.walk.events import Answered
from checklist.walk.standing import Status, StepState
from checklist.walk.walk import StopStands
from checklist.walk.wording import (
    answer_text,
    limits_text,
    needs_text,
    standing_text,
    way_text,
)


def walk_by_lines(desk: Desk, opened: Opened) -> int:
    """Walk to the seal, or until somebody leaves; return the number to end with.

    FINE for a sealed session without a stop (and for a rehearsal), WRONG for one that ended
    as stopped, NOT_SHOWN where the walk was left or a signature is missing.
    """
    session = opened.session
    known, before = Known(), LastTime()
    if not session.is_rehearsal:
        known = known_for(desk, session.walk.rule_file)
        before = last_time(desk.folder, session.walk.rule_file.name)
    return LineWalk(opened, known, before).run()


class LineWalk(OrderedWalk):
    """One walk under way. Decides nothing: the walk does; keeps nothing: the session does."""

    def __init__(self, opened: Opened, known: Known, before: LastTime) -> None:
        super().__init__(opened.session)
        self._says = opened.says
        self._known, self._before = known, before

    def run(self) -> int:
        """Ask step by step; see walk_by_lines."""
        rules = self.session.walk.rule_file
        kept = "This is a rehearsal: nothing is kept." if self.session.is_rehearsal else ""
        say(
            f"{rules.title}.",
            *filter(None, [kept, self._says]),
            f"At every question, {HURT} brings help, {MORE} lists what else can be typed, and "
            "? says that nobody knows.",
        )
        try:
            while not (self.session.walk.closed or self._is_done):
                self._step()
            return self._end()
        except (Left, KeyboardInterrupt):
            return self._leave()
        finally:
            self.session.close()

    def _leave(self) -> int:
        if self.session.is_rehearsal:
            say("The rehearsal is left.")
        else:
            name = self.session.id[:8]
            say("You have left the walk. What was answered is saved. Go on with it, or give it up:")
            say(f"standclear go-on {name}", f"standclear give-up {name} --reason WHY")
        return FINE if self.session.is_rehearsal else NOT_SHOWN

    def _step(self) -> None:
        """Ask one step, or what to do when none is open."""
        progress = self.session.progress()
        if not self._at:
            if progress.next_open is None:
                self._when_all_answered()
                return
            self._at = progress.next_open.step.id
        state = progress.of(self._at)
        number = [s.step.id for s in progress.asked].index(self._at) + 1
        say("", f"Step {number} of {len(progress.asked)}. {state.step.ask}", *_needed(state))
        self._obey(lambda: self._answer(state.step, self._asked(state)), state)

    def _obey(self, ask: Callable[[], object], state: StepState) -> None:
        """Ask, and do what was ordered instead; whatever is refused is said, and asked again."""
        try:
            try:
                ask()
            except Ordered as given:
                self._order(given.order, state)
        except NotSaved as error:
            self._save_again(error)
        except StandclearError as error:
            say(error.sentence())

    def _asked(self, state: StepState) -> Answer:
        step = state.step
        choices = choices_for(step)
        if choices is not None:
            return self._chosen(step, choices)
        last = state.answered.answer if state.answered else None
        before = self._before.answers.get(step.id)
        known = replace(self._known, crew=crew_of(self.session.walk.events))
        rows = rows_for(step, known, last, before)
        values = fill(rows, self._before.said, self._hear)
        applier = applier_of(self.session.walk.events)
        typed, instrument = typed_answer(step, values, applier)
        reach = str(values.get("reach", ""))
        if reach and self.session.folder is not None:
            remember_reach(self.session.folder, applier, reach)
        if typed == "n/a":
            return self._set_aside(step)
        return read_answer(step, typed, instrument=instrument)

    def _chosen(self, step: Step, choices: list[tuple[str, str, str]]) -> Answer:
        for key, _, label in choices:
            say(f"Type {key} for: {label}.")
        while True:
            typed = self._hear("Your answer.").casefold()
            found = [
                g for key, g, label in choices if typed in {key, g.casefold(), label.casefold()}
            ]
            if found[:1] == ["does not apply"] or (not found and sets_aside(typed)):
                return self._set_aside(step)
            if found or is_unknown(typed):
                return read_answer(step, *found[:1] or [typed])
            say(f"“{typed}” is no answer here. Type one of {', '.join(k for k, *_ in choices)}.")

    def _set_aside(self, step: Step) -> Answer:
        require_may_not_apply(step)
        return not_applying(step, self._hear("Why does this not apply here?"))

    def _answer(self, step: Step, answer: Answer) -> None:
        """Give an answer; a final stop is asked about first, a cleared one needs its evidence."""
        found = self.session.looked_up(answer, _say_how_far)
        effect = self.session.walk.judged(step, found).effect
        if effect is Effect.STOP and not ways_for(step, found) and not self._is_meant(step, found):
            return
        try:
            event = self.session.answer(step.id, found)
        except StopStands:
            clearing = self._evidence(step, stands=False)
            if clearing is None:
                return
            event = self.session.answer(step.id, found, clearing)
        self._after(event)

    def _after(self, event: Answered) -> None:
        folder, step = self.session.folder, self.session.walk.rule_file.step(event.step)
        if folder is not None:
            remember(folder, step, event.answer)
        saved = "Rehearsed" if self.session.is_rehearsal else f"Saved at {event.at:%H:%M:%S}"
        say(f"{saved}: {answer_text(event.answer, step)}.")
        if event.judgement.finding is not None:
            say(*as_text(event.judgement.finding).splitlines())
        word = "STOP" if event.judgement.effect is Effect.STOP else "Caution"
        for sentence in event.judgement.because:
            say(f"{word}. {sentence}")
        self._at = ""
        if event.judgement.effect is Effect.STOP:
            self._say_ways(self.session.progress().of(event.step))
        say(f"So far: {standing_text(self.session.progress())}.")

    def _say_ways(self, state: StepState) -> None:
        if not state.ways:
            say("Nothing answers this stop: the walk will end as stopped.")
            return
        say("The stop stands until it is answered, now or later. It is answered by:")
        for way in state.ways:
            say(way_text(way))
        say("Type back to answer it again, or evidence where the answer stays.")

    def _is_meant(self, step: Step, answer: Answer) -> bool:
        say(
            f"You answered: {answer_text(answer, step)}.",
            "Nothing answers this stop: the walk will end as stopped. Is it really so?",
        )
        choices = (("y", "yes", "yes, it is so"), ("n", "no", "no, ask me again"))
        return choose("Your answer.", choices) == "yes"

    def _when_all_answered(self) -> None:
        progress = self.session.progress()
        say("", f"Every step is answered. So far: {standing_text(progress)}.")
        for state in progress.stops:
            say(f"STOP. {state.step.ask}", *state.because)
        prompt = "Type finish to look it over and sign, or steps to change an answer."
        self._obey(lambda: self._hear(prompt), progress.asked[-1])

    def _end(self) -> int:
        if self.session.is_rehearsal:
            say("A rehearsal is not signed and not kept.")
            return FINE
        entry = seal_by_lines(self.session)
        if entry is None:
            return self._leave()
        stopped = entry.entry.verdict == "stopped"
        return WRONG if stopped else FINE if entry.entry.kind == "sealed" else NOT_SHOWN


def _say_how_far(what: str, done: int, of: int) -> None:
    say(f"Working it out: {how_far(what, done, of)} ...")


def _needed(state: StepState) -> list[str]:
    lines: list[str] = []
    if state.step.help:
        lines.append(state.step.help)
    if state.status in (Status.EXPIRED, Status.CHANGED):
        lines.append("It was answered before, and must be answered again.")
    lines += [f"{line}." for line in limits_text(state.step)]
    if needs_text(state.step):
        lines.append(f"{needs_text(state.step)}.")
    return lines
