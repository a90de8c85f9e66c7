"""Rods, soil, bonding conductors, leads to ground and the metals they join."""
