"""RF exposure around a station: limits, power that counts, methods, zones and remedies.

Pure; numpy is loaded only when an antenna is given by its wires.
"""

from checklist.calculations.exposure.evaluate import Evaluation, PlaceResult, evaluate
from checklist.calculations.exposure.figures import Figures, figures
from checklist.calculations.exposure.limitfile import LimitsRefused, load_limits
from checklist.calculations.exposure.limits import Limit, LimitSet, NotCovered, Tier
from checklist.calculations.exposure.remedies import Remedies, Remedy, remedies

__all__ = [
    "Evaluation",
    "Figures",
    "Limit",
    "LimitSet",
    "LimitsRefused",
    "NotCovered",
    "PlaceResult",
    "Remedies",
    "Remedy",
    "Tier",
    "evaluate",
    "figures",
    "load_limits",
    "remedies",
]
