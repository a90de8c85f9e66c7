"""Exemption is no finding of being within the limits, and sums over sources."""

from __future__ import annotations

from checklist.calculations.exposure.exempt import Radiator, share, together
from checklist.rulebook import Book


def _source(name: str, erp_w: float | None, metres: float = 5.0, mhz: float = 50.1) -> Radiator:
    return Radiator(name, mhz * 1e6, metres, (erp_w or 1.0) / 2, erp_w)


def test_exempt_ones_can_fail_together(book: Book) -> None:
    """1.1307(b)(3)(ii)(B): 60 W + 60 W ERP at 5 m on 50.1 MHz, where 95.75 W is the threshold."""
    first, second = _source("first", 60), _source("second", 60)

    assert share(first, book).is_exempt
    assert share(second, book).is_exempt
    both = together([first, second], book)
    assert not both.is_exempt
    assert both.total is not None
    assert abs(both.total - 120 / 95.75) < 1e-9


def test_exempt_says_that_it_is_not_compliant(book: Book) -> None:
    """1.1307(b)(3): exempt from routine evaluation alone, not from 1.1310."""
    assert "not the same as within the limits" in together([_source("one", 10)], book).says


def test_a_milliwatt_is_not_combined_with_other_criteria(book: Book) -> None:
    """(b)(3)(i)(A): beside a stronger source the small one needs a criterion of its own."""
    small = Radiator("small", 50.1e6, 0.05, 0.0009, 0.0009)

    assert share(small, book).criterion == "A"
    assert together([small], book).is_exempt
    assert not together([small, _source("strong", 10)], book).is_exempt


def test_what_is_unknown_is_not_exempt(book: Book) -> None:
    """Without ERP, nearer than a wavelength over 2 pi, or outside the table: no exemption."""
    assert not share(_source("no gain", None), book).is_exempt
    assert not share(_source("near", 0.01, metres=0.9), book).is_exempt
    assert not share(_source("above", 0.01, mhz=122_500), book).is_exempt
    assert not together([], book).is_exempt
