"""A stretch of sessions: the file against the ledger, then what it says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from checklist.audit.content import check_content
from checklist.audit.evaluations import Evaluated, Key, evaluations_in, take_evaluations
from checklist.audit.recompute import check_findings
from checklist.audit.report import Tally
from checklist.errors import StandclearError
from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.files.kept import LookedAt
from checklist.record.journals.lines import Line
from checklist.record.journals.states import SessionState, State, state_of
from checklist.record.ledgers.ledger import Recorded, read_note
from checklist.record.verifying.report import Findings, Outcome
from checklist.record.verifying.verify_session import check_session
from checklist.rulefile import Verdict
from checklist.sessions.library import Loaded
from checklist.sessions.opening import rules_kept
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.corrections import check_corrections, corrections_of, judged_anew
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.standing import standing_answers
from checklist.sessions.validity import Validity
from checklist.walk.events import Event

_GOOD = {Verdict.NO_STOP, Verdict.CAUTIONS}
"""Results for which a check counts as made."""


@dataclass(frozen=True, slots=True)
class SessionTask:
    """A few sessions of one folder, each with the numbers of its entries."""

    folder: LogFolder
    sessions: tuple[tuple[str, tuple[int, ...]], ...]
    recompute: bool = False
    run: int = 0
    """Which audit of this program it belongs to; 0 shares nothing with any other task."""


@dataclass(frozen=True, slots=True)
class Result:
    """The newest good result of one rule file, to see whether the check is overdue."""

    rule: str
    ended: datetime
    until: datetime | None
    folder: str
    session: str


@dataclass(slots=True)
class Sessions:
    """What some sessions came to."""

    tally: Tally
    newest: dict[str, Result] = field(default_factory=dict)
    """By the rule file's name."""

    evaluations: dict[Key, Evaluated] = field(default_factory=dict)
    """The newest of each station file by each calculation."""


MOST_RULES = 16
"""Sets of rules that are kept at once; each holds the whole book."""


class RulesAsUsed:
    """The rules that sessions were begun with; each set of bytes is loaded once."""

    def __init__(self, folder: LogFolder) -> None:
        self._folder = folder
        self._known: dict[str, Loaded | StandclearError] = {}

    def of(self, first: Line) -> Loaded:
        """Return the rules that a session's first line names; StandclearError if unreadable."""
        key = repr((first.data.get("rule"), first.data.get("book")))
        if key not in self._known:
            if len(self._known) >= MOST_RULES:
                del self._known[next(iter(self._known))]
            try:
                self._known[key] = rules_kept(self._folder, first)
            except StandclearError as problem:
                self._known[key] = problem
        found = self._known[key]
        if isinstance(found, StandclearError):
            raise found
        return found


class _Shared:
    """What the tasks of one audit share in one process: each rule file is read once for them."""

    def __init__(self, folder: LogFolder) -> None:
        self.rules, self.validity = RulesAsUsed(folder), Validity(folder)
        self.looked_at = LookedAt(folder)


_shared: dict[tuple[int, str], _Shared] = {}


def _shared_by(task: SessionTask) -> _Shared:
    """Return what is shared, of this audit alone: a later one must see what was changed since."""
    key = (task.run, str(task.folder.path))
    if task.run == 0 or key not in _shared:
        for other in [known for known in _shared if known[0] != task.run]:
            del _shared[other]
        _shared[key] = _Shared(task.folder)
    return _shared[key]


def forget_shared() -> None:
    """Let go what the tasks of an audit shared in this process."""
    _shared.clear()


def check_sessions(task: SessionTask) -> Sessions:
    """Check each session of the task; never raises for what it finds."""
    found = Sessions(Tally(str(task.folder.path)))
    shared = _shared_by(task)
    rules, validity = shared.rules, shared.validity
    for session_id, numbers in task.sessions:
        state, corrections = _entries(task.folder, numbers, found.tally)
        lines = _check_file(task.folder, session_id, state, found.tally, shared.looked_at)
        if not lines:
            continue
        events, unknown = events_of(lines)
        for problem in unknown:
            found.tally.add("content", Outcome.FAILS, problem[:400], session=session_id)
        loaded = _rules(rules, lines[0], session_id, found.tally)
        verdict = (state.ending.entry.verdict if state.ending else None) or ""
        check_content(events, loaded, verdict, session_id, found.tally)
        if task.recompute:
            _compute_again(task.folder, events, corrections, loaded, session_id, found.tally)
        counts = _check_corrections(
            task.folder, session_id, corrections, state, events, loaded, found.tally
        )
        if counts:
            _keep_newest(task.folder, session_id, state, validity, found)
        if state.ending and verdict:
            at, path = state.ending.entry.at, task.folder.path
            standing = standing_answers(events, corrections, state.ending, task.folder)
            take_evaluations(found.evaluations, evaluations_in(standing, path, session_id, at))
    return found


def _check_corrections(
    folder: LogFolder,
    session_id: str,
    corrections: Sequence[Recorded],
    state: SessionState,
    events: Sequence[Event],
    loaded: Loaded | None,
    tally: Tally,
) -> bool:
    """Say what each correction came to; return whether the session's result is still a good one.

    A result that was corrected counts only where every correction can be followed and the last
    one leaves it good.
    """
    checked = check_corrections(folder, corrections, state, events, loaded)
    for number, outcome, said in checked:
        tally.add("corrections", outcome, said, session=session_id, entry=number)
    if not checked:
        return True
    follow = all(outcome is Outcome.WARNING for _, outcome, _ in checked)
    return follow and corrections[-1].entry.field("after") in _GOOD


def _entries(
    folder: LogFolder, numbers: Iterable[int], tally: Tally
) -> tuple[SessionState, tuple[Recorded, ...]]:
    group = []
    for number in sorted(map(abs, numbers)):
        try:
            group.append(read_note(folder, f"{number:08}.note"))
        except RecordError:  # said already, where the ledger was read
            continue
    return state_of(group), corrections_of(group)


def _check_file(
    folder: LogFolder, session_id: str, state: SessionState, tally: Tally, looked_at: LookedAt
) -> tuple[Line, ...]:
    findings = Findings()
    lines = check_session(folder, session_id, state, findings, looked_at)
    for check in findings.report().checks:
        if check.outcome is Outcome.HOLDS:
            tally.passed(check.name)
        else:
            tally.add(check.name, check.outcome, check.sentence, session=session_id)
    return lines


def _compute_again(
    folder: LogFolder,
    events: Sequence[Event],
    corrections: Sequence[Recorded],
    loaded: Loaded | None,
    session_id: str,
    tally: Tally,
) -> None:
    """Compute every finding again: of the answers as given, then of what was corrected."""
    check_findings(events, loaded, session_id, tally, folder)
    now: Sequence[Event] = events
    for recorded in corrections:
        if loaded is None:
            return
        try:
            now, changed = judged_anew(now, loaded, read_correction(recorded, folder))
        except StandclearError:  # said where the corrections themselves are checked
            continue
        check_findings(changed, loaded, session_id, tally, folder)


def _rules(rules: RulesAsUsed, first: Line, session_id: str, tally: Tally) -> Loaded | None:
    try:
        loaded = rules.of(first)
    except StandclearError as problem:
        said = f"The rules as used cannot be read: {problem.sentence()}"
        tally.add("rules as used", Outcome.CANNOT_TELL, said, session=session_id)
        return None
    tally.passed("rules as used")
    return loaded


def _keep_newest(
    folder: LogFolder,
    session_id: str,
    state: SessionState,
    validity: Validity,
    found: Sessions,
) -> None:
    ending = state.ending
    if ending is None or ending.entry.rule is None or state.state is not State.SEALED:
        return
    if ending.entry.verdict not in _GOOD:
        return
    name = ending.entry.rule.name
    result = Result(name, ending.entry.at, validity.until(state), str(folder.path), session_id)
    take_newest(found.newest, result)


def take_newest(newest: dict[str, Result], result: Result) -> None:
    """Keep the later of two results of one rule file."""
    if result.rule not in newest or newest[result.rule].ended < result.ended:
        newest[result.rule] = result


def overdue(newest: Mapping[str, Result], now: datetime, tally: Tally) -> None:
    """Say for each rule file whether the newest good result still holds, by its own validity."""
    for name, result in sorted(newest.items()):
        if result.until is None:
            outcome, said = (
                Outcome.CANNOT_TELL,
                f"“{name}” last came out on {result.ended:%Y-%m-%d}; how long that held is not "
                "known, take it as overdue.",
            )
        elif result.until <= now:
            outcome, said = (
                Outcome.WARNING,
                f"“{name}” is overdue: its newest result, of {result.ended:%Y-%m-%d %H:%M}, "
                f"expired on {result.until:%Y-%m-%d %H:%M}.",
            )
        else:
            outcome, said = (
                Outcome.HOLDS,
                f"The newest result of “{name}” lasts until {result.until:%Y-%m-%d %H:%M}.",
            )
        finding_folder, tally.folder = tally.folder, result.folder
        tally.add("overdue", outcome, said, session=result.session)
        tally.folder = finding_folder
