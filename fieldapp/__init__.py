"""fieldapp: from a designed bunker outline to a painted point on the ground."""

import os

__version__ = "0.1.0"

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
"""Before numpy is imported: its matrices are small here, and threads that wait for each other on a busy machine made
walked lines take many times as long."""
