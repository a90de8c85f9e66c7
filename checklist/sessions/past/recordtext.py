"""A session as plain whole lines, the same for the shell, the screen and the page."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from checklist.calculations.wording import as_text as finding_text
from checklist.caution import BANNER
from checklist.plaintext import shown
from checklist.record.journals.states import State
from checklist.record.verifying.report import Outcome
from checklist.rulebook import Cited, Standing
from checklist.rulefile import Effect
from checklist.sessions.past.sessionrecord import (
    Given,
    SessionRecord,
    SignatureRecord,
    Signed,
    StepRecord,
)
from checklist.walk.events import Attached, Noted
from checklist.walk.wording import RESTS_ON, clearing_text

_WIDTH = 13
"""Columns before the text, so that a hash of 64 digits still fits into 80."""

IDENTITY = (
    "A signature that holds was made with the key named. Whose key it is, a roster tells where a "
    "safety officer's key is pinned; otherwise that cannot be told."
)


def as_text(record: SessionRecord) -> list[str]:
    """Return everything about a session, the weightiest first, one line for each thing said.

    Every line is safe for a terminal: harmful characters are written out.
    """
    parts = (
        ("", _head(record)),
        ("DAMAGED OR NOT READ", [f"  {problem}" for problem in record.problems]),
        ("CORRECTED AFTERWARDS", _corrections(record)),
        ("THE STATION SINCE THEN", [f"  {said}" for said in record.stale]),
        ("SIGNATURES", _signatures(record)),
        ("STOPS", _stops(record)),
        ("CAUTIONS", _cautions(record)),
        ("CLUB VALUES IN THE PLACE OF SHIPPED ONES", _club_values(record)),
        ("NEAR MISSES, STOPS OF WORK AND WHAT ELSE HAPPENED", _remarks(record)),
        ("ANSWERS", _answers(record)),
        ("CHECKED WHILE READING", _checked(record)),
        ("", [BANNER]),
    )
    lines: list[str] = []
    for heading, body in parts:
        rows = list(body)
        if rows:
            lines += [*([""] if lines else []), *([heading] if heading else []), *rows]
    return [shown(line) for line in lines]


def _head(record: SessionRecord) -> Iterator[str]:
    yield record.title
    yield record.result
    if record.missing:
        people = ", ".join(f"{s.person} ({s.role})" for s in record.missing)
        yield f"NOT SEALED: the signature of {people} is MISSING."
    if record.verdict:
        yield RESTS_ON
    yield ""
    yield _row("Session", record.session_id)
    yield _row("Begun", _moment(record.begun))
    if record.ended:
        yield _row("Ended", _moment(record.ended))
    if record.verdict:
        yield _row("As signed" if record.corrections else "Verdict", record.verdict)
    if record.valid_until:
        yield _row("Expires", _moment(record.valid_until))
    yield _row("State", record.state.value)
    if record.abandoned_because:
        yield _row("Given up", record.abandoned_because)
    if record.people:
        yield _row("People", ", ".join(record.people))
    yield _row("Rule file", f"{record.rule_file}, edition {record.edition or 'not known'}")
    yield _row("Its SHA-256", record.rule_sha256 or "not known")
    yield _row("Program", record.program or "not known")
    yield _row("Log folder", record.origin)
    if record.receipts:
        yield _row("Receipts", record.receipts)


def _row(name: str, text: str) -> str:
    return f"{name.ljust(_WIDTH)}{text}"


def _moment(at: datetime | None) -> str:
    return "not known" if at is None else at.isoformat(" ", "seconds")


def _corrections(record: SessionRecord) -> Iterator[str]:
    for correction in record.corrections:
        people = ", ".join(correction.people) or "nobody"
        yield f"  {_one_line(correction.text)}"
        yield f"    signed by {people}, {_moment(correction.at)}, entry {correction.entry}"
        for given in correction.judged:
            first, *rest = _given(given)
            yield f"    now: {first}"
            yield from (f"         {row}" for row in rest)


def _signatures(record: SessionRecord) -> Iterator[str]:
    for signature in record.signatures:
        who = f"{signature.outcome:<8}{signature.person}, {signature.role}"
        if signature.outcome is Signed.MISSING:
            yield f"  {who}: not signed yet"
            continue
        late = ", signed later" if signature.is_late else ""
        yield f"  {who}, {_moment(signature.at)}{late}"
        yield f"        key {signature.key}"
        if signature.whose is not None:
            yield f"        whose: {_whose(signature)}"
    if record.signatures:
        yield f"  {IDENTITY}"
    elif record.state is State.RUNNING:
        yield "  nobody has signed: the walk is not finished"


def _whose(signature: SignatureRecord) -> str:
    """Return whose the key is; what is not shown is never said as if it were."""
    if signature.whose is Outcome.HOLDS:
        return signature.identity
    word = "FAILS" if signature.whose is Outcome.FAILS else "cannot tell"
    return f"{word}: {signature.identity}"


def _stops(record: SessionRecord) -> Iterator[str]:
    for step in record.steps:
        stopped = [given for given in step.answers if given.event.judgement.effect is Effect.STOP]
        if not stopped:
            continue
        yield f"  {'STOP STANDS' if step.stop_stands else 'answered'}: {step.ask}"
        for given in stopped:
            yield f"    {given.event.at:%H:%M:%S}  {given.text}"
            yield from (f"              {why}" for why in given.event.judgement.because)
        for cleared in step.cleared:
            yield f"    {cleared.at:%H:%M:%S}  answered by: {clearing_text(cleared.clearing)}"


def _cautions(record: SessionRecord) -> Iterator[str]:
    for step in record.steps:
        if step.effect is Effect.CAUTION:
            yield f"  {step.ask}"
            yield from (f"    {why}" for why in step.answers[-1].event.judgement.because)


def _club_values(record: SessionRecord) -> Iterator[str]:
    """Yield each club value that an answer was held against, once, the shipped one beside it."""
    seen: dict[Cited, None] = {}
    for step in record.steps:
        for given in step.answers:
            seen.update(dict.fromkeys(c for c in given.event.judgement.used if c.replaced))
    for cited in seen:
        yield f"  {cited.means}: {cited.club_note}"
        yield f"    [{cited.citation}]"
        if cited.replaced is not None:
            yield f"    shipped: [{cited.replaced.citation}]"


def _remarks(record: SessionRecord) -> Iterator[str]:
    for remark in record.remarks:
        said = f": {_one_line(remark.text)}" if remark.text else ""
        yield f"  {remark.at:%H:%M:%S}  {remark.what}{said}"


def _answers(record: SessionRecord) -> Iterator[str]:
    part = ""
    for step in record.steps:
        if step.part != part:
            part = step.part
            yield f" {part}"
        fell_away = "" if step.was_asked else " (not asked any more after a later answer)"
        yield f"  {step.ask}{fell_away}"
        yield from _one_step(step)


def _one_step(step: StepRecord) -> Iterator[str]:
    happened: list[tuple[datetime, list[str]]] = []
    happened += [(given.event.at, list(_given(given))) for given in step.answers]
    happened += [
        (cleared.at, [f"stop answered: {clearing_text(cleared.clearing)}"])
        for cleared in step.cleared
    ]
    happened += [(note.at, [_note(note)]) for note in step.notes]
    for at, rows in sorted(happened, key=lambda pair: pair[0]):
        yield f"    {at:%H:%M:%S}  {rows[0]}"
        yield from (f"              {row}" for row in rows[1:])


def _given(given: Given) -> Iterator[str]:
    yield given.text
    judgement = given.event.judgement
    word = {Effect.STOP: "STOP", Effect.CAUTION: "caution"}.get(judgement.effect, "")
    yield from (f"{word}: {why}" for why in judgement.because)
    for name, typed in given.event.provided.items():
        yield f"{name}: {_one_line(typed)}, from an earlier step"
    if judgement.finding:
        yield from finding_text(judgement.finding).splitlines()
        yield from (_unverified(cited) for cited in judgement.used if cited.is_unverified)
    else:
        yield from (_used(cited) for cited in judgement.used)


def _used(cited: Cited) -> str:
    standing = "" if cited.standing is Standing.READ else f", {cited.standing}"
    unverified = ": unverified" if cited.is_unverified else ""
    club = f"; {cited.club_note}" if cited.replaced else ""
    return (
        f"held against {cited.means}: {cited.value} [{cited.citation}{standing}{unverified}]{club}"
    )


def _unverified(cited: Cited) -> str:
    return f"unverified, from memory: {cited.means}: {cited.value}"


def _note(note: Noted | Attached) -> str:
    if isinstance(note, Noted):
        return f"note: {_one_line(note.text)}"
    return f"kept: {note.name}, {note.size} bytes, SHA-256 {note.sha256}"


def _checked(record: SessionRecord) -> Iterator[str]:
    for check in record.checks:
        word = check.outcome.value
        yield f"  {word.upper() if check.outcome is Outcome.FAILS else word}: {check.sentence}"


def _one_line(text: str) -> str:
    return " / ".join(text.splitlines())
