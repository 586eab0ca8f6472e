"""Readings: what a position is worth, and what may be said from it."""
