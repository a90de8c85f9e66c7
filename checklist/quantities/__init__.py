"""Numbers with units: read strictly as typed, compared unrounded, shown in feet and metres."""

from checklist.quantities.display import both, rounded
from checklist.quantities.parse import QuantityRefused, parse_quantity
from checklist.quantities.quantity import Quantity
from checklist.quantities.units import DIMENSIONS, UNITS, Unit, unit_named

__all__ = [
    "DIMENSIONS",
    "UNITS",
    "Quantity",
    "QuantityRefused",
    "Unit",
    "both",
    "parse_quantity",
    "rounded",
    "unit_named",
]
