"""Corrects an answer of a finished session from the shell: added, signed, nothing edited."""

from __future__ import annotations

from collections.abc import Sequence

from checklist.commands.asking import ask_signature
from checklist.commands.exits import FINE
from checklist.commands.output import print_document, print_page
from checklist.commands.progress import to_the_next_word
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.rulefile import Compute, People, RuleFile, Step, Tag, TagsOff
from checklist.sessions.closing import short_code
from checklist.sessions.desk import Desk
from checklist.sessions.past.correcting import correct, finished, outlook
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.corrections import correction_text
from checklist.sessions.past.review import session_named
from checklist.walk.entry import read_answer
from checklist.walk.entrylines import sets_aside


def correct_answer(
    desk: Desk,
    name: str,
    step_id: str,
    given: Sequence[str],
    *,
    reason: str,
    person: str,
    role: str,
    instrument: str,
    not_applying: str,
    as_json: bool,
) -> int:
    """Add the correction of one answer, signed by `person`, and print both results.

    Raises StandclearError for a session, a step or an answer that cannot be taken.
    """
    session_id = session_named(desk.folder, name)
    known = finished(desk.folder, session_id)
    step = _step(known.loaded.rule_file, step_id)
    if not not_applying and sets_aside(" ".join(given)):
        raise StandclearError("a reason is needed", right="Give --not-applying WHY.")
    typed = {"does not apply": not_applying} if not_applying else _typed(step, given)
    answer = read_answer(step, typed, instrument=instrument)
    with to_the_next_word() as tell:
        seen = outlook(desk.folder, session_id, step_id, answer, desk.library, tell)
    signer = ask_signature(desk.folder, person, role)
    entry = correct(desk.folder, session_id, step_id, seen.answer, reason, signer, desk.library)
    correction = read_correction(entry, desk.folder)
    said = correction_text(correction, known.loaded)
    if as_json:
        print_document(
            {
                "session": session_id,
                "entry": str(correction.number),
                "code": short_code(entry),
                "before": correction.before,
                "after": correction.after,
                "says": said,
            }
        )
    else:
        print_page([said, f"Entry {correction.number}, code {short_code(entry)}."])
    return FINE


def _step(rules: RuleFile, step_id: str) -> Step:
    names = [step.id for step in rules.steps]
    if step_id not in names:
        raise StandclearError(
            f"{rules.name} has no step “{shown(step_id[:60])}”",
            right=f"It has: {', '.join(names)}.",
        )
    return rules.step(step_id)


def _typed(step: Step, given: Sequence[str]) -> str | list[str] | dict[str, str]:
    """Return the words of the command line in the form that the step's answer is read from."""
    if isinstance(step.kind, Compute):
        pairs = [word.partition("=") for word in given]
        return {name: value for name, _, value in pairs}
    if isinstance(step.kind, People | Tag | TagsOff):
        return list(given)
    return " ".join(given)
