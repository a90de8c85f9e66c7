"""What can be typed at a question of a walk instead of an answer."""

from __future__ import annotations

from checklist.commands.lines import HURT, Left, choose, hear, say
from checklist.errors import StandclearError
from checklist.record.errors import NotSaved
from checklist.rulefile import Step, Way
from checklist.sessions.session import Session
from checklist.walk.events import Clearing
from checklist.walk.standing import StepState
from checklist.walk.wording import answer_text, way_text

ORDERS = {
    HURT: "someone is hurt: what to do first",
    "why": "why this is asked, and what it rests on",
    "steps": "every step and how it stands; then its number goes there",
    "back": "the step before",
    "evidence": "answer the stop of this step by evidence, where that is a way",
    "note": "keep a note beside this step",
    "photo": "keep a photo or paper with this step, from its file",
    "near miss": "report that something went wrong, or nearly",
    "stop work": "everybody stops; the work is stopped until it goes on",
    "finish": "end the walk: look it over and sign",
    "leave": "leave; what was answered stays, and one can go on later",
}
"""What can be typed at every question instead of an answer."""

MORE = "more"


class Ordered(Exception):
    """Something was typed that is no answer but one of the orders."""

    def __init__(self, order: str) -> None:
        super().__init__(order)
        self.order = order


class OrderedWalk:
    """A walk under way that obeys orders; what it asks by itself is added by LineWalk."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._at = ""
        """The step to ask next; empty for the first that is open."""

        self._is_done = False

    def _hear(self, prompt: str) -> str:
        typed = hear(prompt, self.session.told_to_emergency)
        if typed.casefold() in {*ORDERS, MORE}:
            raise Ordered(typed.casefold())
        return typed

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
            case "note" | "photo" | "near miss":
                self._keep_beside(order, state)
            case "stop work":
                self._stop_work()
            case "finish":
                self._finish()
            case _:
                say(*(f"{word}: {means}." for word, means in ORDERS.items()))

    def _keep_beside(self, what: str, state: StepState) -> None:
        """Keep a note, a photo or a near miss; none of them answers the step."""
        if what == "near miss":
            self.session.near_miss(hear("What happened?"))
            say("The near miss is kept.")
        elif what == "note":
            self.session.note(state.step.id, hear("The note, in words."))
            say("The note is kept.")
        elif typed := hear("The file of the photo or paper, or Enter alone for none."):
            kept = self.session.attach(state.step.id, typed)
            say(f"{kept.name} is kept, {kept.size} bytes.")

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

    def _finish(self) -> None:
        self.session.end()
        self._is_done = True

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


def _explained(step: Step) -> list[str]:
    cited = [f"Source: {source.citation()}." for source in step.sources]
    return [f"Why: {step.why}", *cited]


def _stands(state: StepState) -> str:
    if state.answered is None:
        return str(state.status)
    return f"{state.status}, {answer_text(state.answered.answer, state.step)}"
