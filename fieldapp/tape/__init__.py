"""Pegs and tapes: ties, base lines, networks of pegs, captured outlines."""
