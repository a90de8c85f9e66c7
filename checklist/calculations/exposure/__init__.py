"""RF exposure around a station: limits, power that counts, methods, zones and remedies.

Pure; numpy is loaded only when an antenna is given by its wires.
"""

import os

# The matrices are small: a second thread of the linear algebra waits for the first one longer
# than it helps, and on a busy machine trebles the time. To be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

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
