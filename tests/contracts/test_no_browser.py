"""What the test command says on a machine without a browser, or without what makes one trust an authority."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[2]


TWO_PROCESSES = ("-n", "2")


def run_browser_tests(*more: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Collect browser tests where no Chromium can be found."""
    clean = {key: value for key, value in os.environ.items() if key not in ("CI", "FIELDAPP_CHROMIUM")}
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "tests/browser/test_signal.py",
            "tests/reading/test_verdict.py",
            *more,
        ],
        cwd=REPOSITORY,
        env={**clean, "PATH": "/nowhere", **environment},
        capture_output=True,
        text=True,
    )


@pytest.mark.parametrize("more", [(), TWO_PROCESSES], ids=["one process", "two processes"])
def test_without_a_browser_the_rest_runs_and_the_end_says_what_did_not(more: tuple[str, ...]):
    done = run_browser_tests(*more)
    assert done.returncode == 0, done.stdout
    assert "browser tests did NOT run" in done.stdout
    assert "sudo apt-get install chromium" in done.stdout


@pytest.mark.parametrize("more", [(), TWO_PROCESSES], ids=["one process", "two processes"])
def test_in_ci_a_missing_browser_is_a_failure(more: tuple[str, ...]):
    done = run_browser_tests(*more, CI="true")
    assert done.returncode != 0
    assert "In CI this is a failure" in done.stdout + done.stderr


def run_certutil_tests(folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """Collect the tests of trusted https where a browser seems to be but no certutil can be found."""
    clean = {key: value for key, value in os.environ.items() if key != "CI"}
    found = {**clean, "PATH": str(folder), "FIELDAPP_CHROMIUM": sys.executable, **environment}
    words = ["-p", "no:cacheprovider", "tests/browser/test_trusted_https.py", "tests/reading/test_verdict.py"]
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", *words],
        cwd=REPOSITORY,
        env=found,
        capture_output=True,
        text=True,
    )


def test_without_certutil_the_rest_runs_and_the_end_says_what_did_not(tmp_path: Path):
    done = run_certutil_tests(tmp_path)
    assert done.returncode == 0, done.stdout
    assert "tests of https by the machine's own authority did NOT run" in done.stdout
    assert "sudo apt-get install libnss3-tools" in done.stdout


def test_in_ci_a_missing_certutil_is_a_failure(tmp_path: Path):
    done = run_certutil_tests(tmp_path, CI="true")
    assert done.returncode != 0
    assert "In CI this is a failure" in done.stdout + done.stderr
