"""The arithmetic of the checks: pure, with units, each with its formula, limits and sources.

A finding is *within*, *over* or *not shown*; an unknown input is never within.
"""

from checklist.calculations.kinds import (
    Calculation,
    Finding,
    Given,
    Input,
    Outcome,
    Output,
    Result,
)
from checklist.calculations.refusals import InputRefused, UnknownCalculation
from checklist.calculations.registry import CALCULATIONS, calculation_named
from checklist.calculations.run import check_input, run
from checklist.calculations.stored import StoredFindingRefused, as_data, from_data
from checklist.calculations.wording import as_text

__all__ = [
    "CALCULATIONS",
    "Calculation",
    "Finding",
    "Given",
    "Input",
    "InputRefused",
    "Outcome",
    "Output",
    "Result",
    "StoredFindingRefused",
    "UnknownCalculation",
    "as_data",
    "as_text",
    "calculation_named",
    "check_input",
    "from_data",
    "run",
]
