"""Completes what a crash left: tags that a walk named and that are not in the ledger yet."""

from __future__ import annotations

from datetime import timedelta

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.sessions.opening import rules_kept
from checklist.sessions.past.sessionfile import SessionFile, read_session_file
from checklist.sessions.tagging.hanging import enter_due
from checklist.sessions.tagging.tags import TagsHere, answers_in, look_at_tags


def complete_due(folder: LogFolder, here: TagsHere) -> TagsHere:
    """Enter the tags that are due, and return what hangs then.

    A session file that is damaged is left alone: its tags go on to be shown as they stand
    in it. What cannot be written stays due, and is a sentence.
    """
    if not here.due or folder.is_for_reading:
        return here
    problems = []
    for session_id in dict.fromkeys(tag.session for tag in here.due):
        file = read_session_file(folder, session_id)
        if file.problem:
            continue
        title = next(tag.why for tag in here.due if tag.session == session_id)
        try:
            enter_due(folder, session_id, title, answers_in(file.lines), _lasts(folder, file))
        except StandclearError as problem:
            problems.append(problem.sentence())
    after = look_at_tags(folder)
    return TagsHere(after.tags, after.due, after.logs, (*after.problems, *problems))


def _lasts(folder: LogFolder, file: SessionFile) -> timedelta | None:
    try:
        return rules_kept(folder, file.first).rule_file.valid if file.first else None
    except StandclearError:  # the expected end is then not known, and the tag hangs all the same
        return None
