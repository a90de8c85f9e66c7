"""Generators, cords and wire, capacitors, shock, instruments, batteries, carbon monoxide."""
