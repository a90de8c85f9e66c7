"""Which page of the manual belongs to which screen, and to which walk."""

from __future__ import annotations

from collections.abc import Sequence

from textual.screen import Screen

from checklist.helppages import FIRST_PAGE

Place = tuple[str, str]
"""A page, and the heading on it (empty: its beginning)."""

PLACES: dict[str, Place] = {
    "HomeScreen": ("first-minutes", "what-home-shows"),
    "WalkScreen": ("first-minutes", "answer-a-step"),
    "PictureScreen": ("first-minutes", "answer-a-step"),
    "SignScreen": ("people", "sign-a-walk"),
    "PeopleScreen": ("people", ""),
    "TagsScreen": ("locks", ""),
    "ReviewScreen": ("audit", "find-a-past-session"),
    "SessionScreen": ("audit", "find-a-past-session"),
    "CorrectScreen": ("audit", "correct-an-answer"),
    "AuditScreen": ("audit", "audit-log-folders"),
    "ExposureScreen": ("exposure", ""),
    "Finder": ("exposure", ""),
    "StationScreen": ("station", ""),
    "ClassScreen": ("in-class", ""),
    "LessonScreen": ("in-class", ""),
    "NumbersScreen": ("in-class", "where-a-number-comes-from"),
    "NumberScreen": ("in-class", "where-a-number-comes-from"),
    "HurtScreen": ("first-minutes", "someone-is-hurt"),
    "PlainScreen": ("first-minutes", ""),
}

WALKS: dict[str, Place] = {
    "tower-work": ("tower-work", ""),
    "emergency-power": ("power-is-out", ""),
    "inside-equipment": ("inside-equipment", ""),
    "exposure-review": ("exposure", "walk-the-review"),
    "station-bonding": ("bonding", ""),
    "release": ("locks", "release-a-lock-in-a-walk"),
    "field-event": ("field-event", ""),
}
"""The page of a walk, by the name of its rule file; other walks have the general one."""

STEP_KINDS: dict[str, Place] = {
    "Tag": ("locks", "hang-a-lock"),
    "People": ("people", "who-is-here"),
    "Reading": ("first-minutes", "type-a-number"),
}
"""The heading of a step of this kind, which goes before the walk's page."""


def place_of(stack: Sequence[Screen[object]]) -> Place:
    """Return the page for what is on top; a question has the page of the screen it stands over."""
    for screen in reversed(stack):
        if session := getattr(screen, "session", None):
            return _in_walk(screen, session)
        for kind in type(screen).__mro__:
            if kind.__name__ in PLACES:
                return PLACES[kind.__name__]
    return FIRST_PAGE, ""


def _in_walk(screen: Screen[object], session: object) -> Place:
    rules = getattr(getattr(session, "walk", None), "rule_file", None)
    name = type(screen).__name__
    if name != "WalkScreen" or rules is None:
        return PLACES.get(name, (FIRST_PAGE, ""))
    step = getattr(getattr(screen, "state", None), "step", None)
    kind = type(getattr(step, "kind", None)).__name__
    return STEP_KINDS.get(kind) or WALKS.get(rules.name) or PLACES["WalkScreen"]
