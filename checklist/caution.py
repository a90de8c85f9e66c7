"""The two sentences that stand on every screen and every page."""

from __future__ import annotations

BANNER = "The local electrical code and licensed electricians prevail over this program."
"""On every screen and every page."""

US_RULES = "The shipped rule files are written for US rules and 120/240 V."
"""Wherever rule files or their values are listed or used."""
