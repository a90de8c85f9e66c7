"""Constants of nature in SI units."""

SPEED_OF_LIGHT = 299_792_458.0
"""m/s, exact: BIPM, The International System of Units, 9th edition, 2019."""

IMPEDANCE = 376.730313668
"""Ohm; the impedance of free space, CODATA 2018."""
