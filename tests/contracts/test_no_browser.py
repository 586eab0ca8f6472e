"""What the test command says on a machine without a browser."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

REPOSITORY = Path(__file__).parents[2]


def run_browser_tests(**environment: str) -> subprocess.CompletedProcess[str]:
    """Collect the browser tests where no Chromium can be found."""
    clean = {key: value for key, value in os.environ.items() if key not in ("CI", "FIELDAPP_CHROMIUM")}
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/browser", "tests/reading"],
        cwd=REPOSITORY,
        env={**clean, "PATH": "/nowhere", **environment},
        capture_output=True,
        text=True,
    )


def test_without_a_browser_the_rest_runs_and_the_end_says_what_did_not():
    done = run_browser_tests()
    assert done.returncode == 0, done.stdout
    assert "browser tests did NOT run" in done.stdout
    assert "sudo apt-get install chromium" in done.stdout


def test_in_ci_a_missing_browser_is_a_failure():
    done = run_browser_tests(CI="true")
    assert done.returncode != 0
    assert "In CI this is a failure" in done.stdout + done.stderr
