"""Outlines: curves on the ground, the paint points along them, their measures."""
