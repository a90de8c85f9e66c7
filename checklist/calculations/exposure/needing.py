"""The remedies of a whole evaluation: for each place that needs one."""

from __future__ import annotations

from collections.abc import Callable

from checklist.calculations.exposure.evaluate import Evaluation, PlaceResult
from checklist.calculations.exposure.remedies import Remedies, remedies
from checklist.calculations.kinds import Outcome
from checklist.rulebook import Book
from checklist.stopping import Stop, stoppable


def needed_remedies(
    evaluation: Evaluation,
    book: Book,
    share: float,
    progress: Callable[[int, int], None] | None = None,
    stop: Stop | None = None,
) -> tuple[Remedies, ...]:
    """Return what would bring each place that is over `share` or not shown to that share.

    `progress` hears how many places are done, and of how many. Raises Stopped soon after `stop`
    returns true.
    """
    with stoppable(stop):
        return _sought(evaluation, book, share, progress)


def _sought(
    evaluation: Evaluation,
    book: Book,
    share: float,
    progress: Callable[[int, int], None] | None,
) -> tuple[Remedies, ...]:
    needing = [result for result in evaluation.places if _needs(result, share)]
    found = []
    for done, result in enumerate(needing, 1):
        found.append(
            _unanswered(result, share)
            or remedies(evaluation.scene, result.place, evaluation.limits, book, share)
        )
        if progress:
            progress(done, len(needing))
    return tuple(found)


def _unanswered(result: PlaceResult, share: float) -> Remedies | None:
    """Return what must be known first where an emission's power is not; no change cures that."""
    unknown = [c for c in result.total.contributions if c.power is None]
    if not unknown:
        return None
    said = tuple(f"First: {c.emission}, its power. Nothing is shown without it." for c in unknown)
    return Remedies(result.place.name, share, unknown[0].emission, (), said)


def _needs(result: PlaceResult, share: float) -> bool:
    fraction = result.total.fraction
    return result.total.outcome is not Outcome.WITHIN or fraction is None or fraction > share
