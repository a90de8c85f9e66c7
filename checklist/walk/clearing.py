"""How the stop of an answer can be answered."""

from __future__ import annotations

from checklist.plaintext import says_something
from checklist.rulefile import Step, Way
from checklist.walk.answers import DONT_KNOW, Answer
from checklist.walk.events import Clearing

FIND_OUT = Way("Find out, and answer again.", ("How it was found out",))
"""Answers a don't know, also where nothing answers what might be found."""


def ways_for(step: Step, answer: Answer | None) -> tuple[Way, ...]:
    """Return the ways in which the stop of `answer` can be answered; empty where nothing does.

    A step without ways stops for good by what was found; not knowing yet is no finding.
    """
    return (FIND_OUT,) if not step.ways and answer == DONT_KNOW else step.ways


def is_whole(ways: tuple[Way, ...], clearing: Clearing | None, *, stands: bool) -> bool:
    """Return whether `clearing` takes one of the ways and gives all its evidence."""
    return clearing is not None and any(
        way.do == clearing.do
        and way.answer_stands is stands
        and all(says_something(clearing.evidence.get(label, "")) for label in way.evidence)
        for way in ways
    )
