"""fieldapp: from a designed bunker outline to a painted point on the ground."""

__version__ = "0.1.0"
