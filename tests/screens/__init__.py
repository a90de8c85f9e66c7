"""Tests of the screens, in a terminal of 80 by 24 unless said."""
