"""Looks up, for an answer about points that must be free, what hangs there by the logs here."""

from __future__ import annotations

from dataclasses import replace

from checklist.record.files.folder import LogFolder
from checklist.sessions.tagging.tags import look_at_tags
from checklist.walk.answers import HungTag, SeenLog, Sought


def looked_up(folder: LogFolder, sought: Sought) -> Sought:
    """Return the answer with the tags that hang at its points and the logs that were read."""
    here = look_at_tags(folder)
    hangs = {tag.id: tag for point in sought.points for tag in here.at(point)}
    return replace(
        sought,
        hangs=tuple(HungTag(tag.point, tag.lock, tag.person) for tag in hangs.values()),
        logs=tuple(SeenLog(log.origin, log.at) for log in here.logs),
        at=folder.clock.now(),
        unread=tuple(said for said in here.problems if said not in here.tags.wrong),
    )
