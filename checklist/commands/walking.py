"""A walk line by line: the same questions, the same record and the same stops, without a screen."""

from __future__ import annotations

from collections.abc import Callable

from checklist.calculations.wording import as_text
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.filling import fill
from checklist.commands.lines import HURT, Left, choose, hear, say
from checklist.commands.sealing import seal_by_lines
from checklist.errors import StandclearError
from checklist.record.errors import NotSaved
from checklist.rulefile import Effect, OfStation, Step, Way
from checklist.sessions.desk import Desk
from checklist.sessions.entryrows import choices_for, rows_for, typed_answer
from checklist.sessions.hanging import applier_of
from checklist.sessions.known import Known, known_for
from checklist.sessions.lasttime import LastTime, last_time
from checklist.sessions.opening import Opened
from checklist.sessions.remember import remember, remember_reach
from checklist.walk.answers import Answer
from checklist.walk.clearing import ways_for
from checklist.walk.entry import not_applying, read_answer
from checklist.walk.events import Answered, Clearing
from checklist.walk.progress import Status, StepState
from checklist.walk.walk import StopStands
from checklist.walk.wording import (
    answer_text,
    limits_text,
    needs_text,
    standing_text,
    way_text,
)

ORDERS = {
    HURT: "someone is hurt: what to do first",
    "why": "why this is asked, and what it rests on",
    "steps": "every step and how it stands; then its number goes there",
    "back": "the step before",
    "evidence": "answer the stop of this step by evidence, where that is a way",
    "note": "keep a note beside this step",
    "near miss": "report that something went wrong, or nearly",
    "stop work": "everybody stops; the work is stopped until it goes on",
    "finish": "end the walk: look it over and sign",
    "leave": "leave; what was answered stays, and one can go on later",
}
"""What can be typed at every question instead of an answer."""

MORE = "more"


class _Ordered(Exception):
    """Something was typed that is no answer but one of the orders."""

    def __init__(self, order: str) -> None:
        super().__init__(order)
        self.order = order


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


class LineWalk:
    """One walk under way. Decides nothing: the walk does; keeps nothing: the session does."""

    def __init__(self, opened: Opened, known: Known, before: LastTime) -> None:
        self.session = opened.session
        self._says = opened.says
        self._known, self._before = known, before
        self._at = ""
        self._is_done = False

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
            except _Ordered as given:
                self._order(given.order, state)
        except NotSaved as error:
            self._save_again(error)
        except StandclearError as error:
            say(error.sentence())

    def _hear(self, prompt: str) -> str:
        typed = hear(prompt, self.session.told_to_emergency)
        if typed.casefold() in {*ORDERS, MORE}:
            raise _Ordered(typed.casefold())
        return typed

    def _asked(self, state: StepState) -> Answer:
        step = state.step
        choices = choices_for(step)
        if choices is not None:
            return self._chosen(step, choices)
        last = state.answered.answer if state.answered else None
        before = self._before.answers.get(step.id)
        rows = rows_for(step, self._known, last, before)
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
            if found:
                aside = found[0] == "does not apply"
                return self._set_aside(step) if aside else read_answer(step, found[0])
            say(f"“{typed}” is no answer here. Type one of {', '.join(k for k, *_ in choices)}.")

    def _set_aside(self, step: Step) -> Answer:
        return not_applying(step, self._hear("Why does this not apply here?"))

    def _answer(self, step: Step, answer: Answer) -> None:
        """Give an answer; a final stop is asked about first, a cleared one needs its evidence."""
        found = self.session.looked_up(answer, say if isinstance(step.kind, OfStation) else None)
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

    def _evidence(self, step: Step, *, stands: bool) -> Clearing | None:
        """Return how a stop was answered, asked for; None where there is no such way."""
        ways = [w for w in self.session.progress().of(step.id).ways if w.answer_stands is stands]
        if not ways:
            say("Nothing of that kind answers this stop.")
            return None
        way = ways[0] if len(ways) == 1 else self._one_of(ways)
        say("How was this stop answered?", way.do)
        given = {label: self._hear(f"{label}.") for label in way.evidence}
        if any(text in {"", "?"} for text in given.values()):
            say("Evidence that is not known answers no stop. The stop stands.")
            return None
        return Clearing(way.do, given)

    def _one_of(self, ways: list[Way]) -> Way:
        numbered = [(str(n), str(n), way_text(way)) for n, way in enumerate(ways, start=1)]
        return ways[int(choose("Which way?", numbered)) - 1]

    def _order(self, order: str, state: StepState) -> None:
        match order:
            case "leave":
                raise Left
            case "why":
                say(*_explained(state.step))
            case "steps":
                self._pick()
            case "back":
                self._back(state)
            case "evidence":
                self._by_evidence(state)
            case "note":
                self.session.note(state.step.id, hear("The note, in words."))
                say("The note is kept.")
            case "near miss":
                self.session.near_miss(hear("What happened?"))
                say("The near miss is kept.")
            case "stop work":
                self._stop_work()
            case "finish":
                self._finish()
            case _:
                say(*(f"{word}: {means}." for word, means in ORDERS.items()))

    def _back(self, state: StepState) -> None:
        asked = [s.step.id for s in self.session.progress().asked]
        self._at = asked[max(asked.index(state.step.id) - 1, 0)]

    def _pick(self) -> None:
        """Print how every step stands, and go to the one that is typed."""
        asked = self.session.progress().asked
        for number, state in enumerate(asked, start=1):
            say(f"{number}. {_stands(state)}: {state.step.ask}")
        typed = hear("Number of the step to go to, or Enter alone to stay.")
        if typed.isascii() and typed.isdigit() and 0 < int(typed) <= len(asked):
            self._at = asked[int(typed) - 1].step.id
        elif typed:
            say(f"There is no step {typed}.")

    def _by_evidence(self, state: StepState) -> None:
        """Answer a stop while its answer stays: of this step, or of the one before it."""
        standing = [
            s for s in self.session.progress().stops if any(w.answer_stands for w in s.ways)
        ]
        meant = state if state in standing else (standing[-1] if standing else None)
        if meant is None:
            say("No stop stands that is answered by evidence alone.")
            return
        say(meant.step.ask)
        clearing = self._evidence(meant.step, stands=True)
        if clearing is not None:
            self.session.answer_stop(meant.step.id, clearing)
            say("The stop is answered. It is kept as a caution.")
            self._at = ""

    def _stop_work(self) -> None:
        self.session.stop_work(hear("STOP OF WORK. Everybody stops now. Why?"))
        while hear("The work is stopped. Type go on when it goes on.").casefold() != "go on":
            pass
        self.session.resume_work()
        say("The work goes on. Weather and the like will be asked again.")
        self._at = ""

    def _save_again(self, error: NotSaved) -> None:
        """Say that an answer is not saved, and try until it is; nothing else is taken."""
        problem: StandclearError = error
        while self.session.unsaved is not None:
            say(f"NOT SAVED. {problem.sentence()}")
            hear("Put it right, then press Enter to save the answer again.")
            try:
                self.session.save_again()
            except StandclearError as again:
                problem = again
        say("Saved.")
        self._at = ""

    def _when_all_answered(self) -> None:
        progress = self.session.progress()
        say("", f"Every step is answered. So far: {standing_text(progress)}.")
        for state in progress.stops:
            say(f"STOP. {state.step.ask}", *state.because)
        prompt = "Type finish to look it over and sign, or steps to change an answer."
        self._obey(lambda: self._hear(prompt), progress.asked[-1])

    def _finish(self) -> None:
        self.session.end()
        self._is_done = True

    def _end(self) -> int:
        if self.session.is_rehearsal:
            say("A rehearsal is not signed and not kept.")
            return FINE
        entry = seal_by_lines(self.session)
        if entry is None:
            return self._leave()
        stopped = entry.entry.verdict == "stopped"
        return WRONG if stopped else FINE if entry.entry.kind == "sealed" else NOT_SHOWN


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


def _explained(step: Step) -> list[str]:
    cited = [f"Source: {source.citation()}." for source in step.sources]
    return [f"Why: {step.why}", *cited]


def _stands(state: StepState) -> str:
    if state.answered is None:
        return str(state.status)
    return f"{state.status}, {answer_text(state.answered.answer, state.step)}"
