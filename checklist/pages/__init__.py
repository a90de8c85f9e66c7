"""Printed pages: one description of each, drawn as plain text or set as PDF."""
