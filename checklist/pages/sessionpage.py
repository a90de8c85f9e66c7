"""One session as a page for the binder: who, when, every answer, every finding, the signatures."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from checklist.calculations.kinds import Finding
from checklist.calculations.wording import as_text as finding_text
from checklist.pages.answertable import answer_blocks
from checklist.pages.page import (
    Block,
    Fixed,
    Grid,
    Heading,
    Identity,
    Labelled,
    Listed,
    Page,
    Together,
    Words,
)
from checklist.pages.pictured import drawn
from checklist.pictures.ofcalculations import picture_of
from checklist.record.journals.states import State
from checklist.record.verifying.report import Outcome
from checklist.rulebook import Cited
from checklist.rulefile import Effect
from checklist.sessions.past.recordtext import IDENTITY
from checklist.sessions.past.sessionrecord import SessionRecord, Signed
from checklist.walk.wording import RESTS_ON, clearing_text

IS_NOT = (
    "This page is no permission, no licence to climb, to touch or to switch on, and no proof by "
    "itself: the ledger is."
)


def session_page(record: SessionRecord, identity: Identity) -> Page:
    """Return the page of a session as `review.read_session` gives it."""
    blocks: list[Block] = [
        Words(record.result, "strong"),
        *_not_sealed(record),
        Labelled(tuple(_head(record))),
        *_part("Damaged or not read", record.problems),
        *_part("Corrected afterwards", tuple(_corrections(record))),
        *_part("The station since then", record.stale),
        *signature_blocks(record),
        *_part("Stops", tuple(_stops(record))),
        *_part("Cautions", tuple(_cautions(record))),
        *_club_values(record),
        *_remarks(record),
        *answer_blocks(record),
        *_findings(record),
        *_part("Checked while this page was made", tuple(_checks(record))),
        *how_to_check(record.session_id),
    ]
    return Page(record.title, "Session record", identity, IS_NOT, tuple(blocks))


def how_to_check(session_id: str) -> Iterator[Block]:
    """Yield how a stranger checks a session against the log folder."""
    steps = Listed(
        (
            "Hold the code at the foot against what the program, or the paper log, shows for the "
            "same entry: they must agree to the last character.",
            f"With the log folder at hand: standclear verify --session {session_id[:10]}",
            f"Without this program: standclear export {session_id[:10]} FOLDER writes the files "
            "with the steps for sha256sum and OpenSSL; logs/README.md has the form of every file.",
            "Whose a key is, only the roster or the person can tell; the codes of both are "
            "compared aloud.",
        ),
        is_numbered=True,
        weight="small",
    )
    yield Together((Heading("How to check it", 2), steps))


def _head(record: SessionRecord) -> Iterator[tuple[str, str]]:
    yield "Session", record.session_id
    yield "Ledger", record.origin
    yield "Begun", _moment(record.begun)
    if record.ended:
        yield "Ended", _moment(record.ended)
    yield "As signed" if record.corrections else "Verdict", record.verdict or "none"
    if record.valid_until:
        yield "Expires", _moment(record.valid_until)
    yield "State", record.state.value
    if record.abandoned_because:
        yield "Given up", record.abandoned_because
    if record.people:
        yield "People", ", ".join(record.people)
    yield "Rule file", f"{record.rule_file}, edition {record.edition or 'not known'}"
    yield "Its SHA-256", record.rule_sha256 or "not known"
    yield "Program", record.program or "not known"
    if record.receipts:
        yield "Receipts", record.receipts


def _moment(at: datetime | None) -> str:
    return "not known" if at is None else at.isoformat(" ", "seconds")


def _not_sealed(record: SessionRecord) -> Iterator[Block]:
    if record.missing:
        people = ", ".join(f"{s.person} ({s.role})" for s in record.missing)
        yield Words(f"NOT SEALED: the signature of {people} is MISSING.", "strong")
    if record.verdict:
        yield Words(RESTS_ON)


def _part(heading: str, entries: tuple[str, ...]) -> Iterator[Block]:
    if entries:
        yield Heading(heading, 2)
        yield Listed(entries)


def _corrections(record: SessionRecord) -> Iterator[str]:
    for one in record.corrections:
        people = ", ".join(one.people) or "nobody"
        yield f"{one.text} Signed by {people}, {_moment(one.at)}, entry {one.entry}."


def signature_blocks(record: SessionRecord) -> Iterator[Block]:
    """Yield who signed, when, and with which key; who is missing; and what that does not tell."""
    yield Heading("Signatures", 2)
    if not record.signatures:
        running = record.state is State.RUNNING
        yield Words("Nobody has signed" + (": the walk is not finished." if running else "."))
        return
    rows = []
    for one in record.signatures:
        late = " (signed later)" if one.is_late else ""
        at = "not signed yet" if one.outcome is Signed.MISSING else _moment(one.at) + late
        rows.append((f"{one.person}, {one.role}", str(one.outcome), at))
    yield Grid(("who", "signature", "when"), tuple(rows), (4, 2, 5))
    yield Words("The public keys that these were made with", "lead")
    yield Labelled(tuple(dict.fromkeys((one.person, one.key) for one in record.signatures)))
    yield Words(IDENTITY, "small")


def _stops(record: SessionRecord) -> Iterator[str]:
    for step in record.steps:
        stopped = [g for g in step.answers if g.event.judgement.effect is Effect.STOP]
        if not stopped:
            continue
        head = "STOP STANDS" if step.stop_stands else "answered"
        because = "; ".join(
            f"{g.event.at:%H:%M:%S} {g.text}: {'; '.join(g.event.judgement.because)}"
            for g in stopped
        )
        cleared = "".join(
            f" Answered {c.at:%H:%M:%S}: {clearing_text(c.clearing)}" for c in step.cleared
        )
        yield f"{head}: {step.ask} {because}.{cleared}"


def _cautions(record: SessionRecord) -> Iterator[str]:
    for step in record.steps:
        if step.effect is Effect.CAUTION:
            yield f"{step.ask} {'; '.join(step.answers[-1].event.judgement.because)}"


def _club_values(record: SessionRecord) -> Iterator[Block]:
    seen: dict[Cited, None] = {}
    for step in record.steps:
        for given in step.answers:
            seen |= dict.fromkeys(c for c in given.event.judgement.used if c.replaced)
    rows = tuple(
        f"{c.means}: {c.club_note} [{c.citation}]; shipped: [{c.replaced.citation}]"
        for c in seen
        if c.replaced
    )
    yield from _part("Club values in the place of shipped ones", rows)


def _remarks(record: SessionRecord) -> Iterator[Block]:
    if record.remarks:
        yield Heading("Near misses, stops of work and what else happened", 2)
        rows = tuple((f"{r.at:%H:%M:%S}", r.what, r.text) for r in record.remarks)
        yield Grid(("time", "what", "in words"), rows, (2, 3, 9))


def _findings(record: SessionRecord) -> Iterator[Block]:
    found = [
        (step.ask, given.event.at, given.event.judgement.finding)
        for step in record.steps
        for given in step.answers
        if given.event.judgement.finding
    ]
    if found:
        yield Heading("What was computed")
    for ask, at, finding in found:
        yield Heading(f"{ask} ({at:%H:%M:%S})", 2)
        yield from finding_blocks(finding)


def finding_blocks(finding: Finding) -> Iterator[Block]:
    """Yield a finding with its whole arithmetic, and its picture where there is one."""
    _, outcome, *rest = finding_text(finding).splitlines()
    yield Words(outcome, "strong")
    entries: list[str] = []
    heading = ""
    for line in [*rest, "end"]:
        if line.startswith("  "):
            entries.append(line.strip())
            continue
        yield from _entries(heading, entries)
        heading, entries = line, []
    picture = picture_of(finding)
    if picture is not None:
        yield drawn(picture)


def _entries(heading: str, entries: list[str]) -> Iterator[Block]:
    if heading == "Arithmetic":
        yield Together((Words(heading, "small"), Fixed(tuple(f"  {e}" for e in entries))))
    elif entries:
        yield from ([Words(heading, "lead")] if heading else [])
        yield Listed(tuple(entries), weight="small")
    elif heading:
        yield Words(heading, "small")


def _checks(record: SessionRecord) -> Iterator[str]:
    for check in record.checks:
        word = check.outcome.value
        yield f"{word.upper() if check.outcome is Outcome.FAILS else word}: {check.sentence}"
