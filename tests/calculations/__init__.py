"""Tests of the calculations, against what is published and against what people type."""
