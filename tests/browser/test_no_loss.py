"""No mark is lost and none is doubled while browsers and server are killed at random: the short run of `no_loss`.

The long one is `python -m tests.browser.no_loss --marks 2000`.
"""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from tests.conftest import REPOSITORY

pytestmark = pytest.mark.browser

MARKS = 60


@pytest.mark.timeout(300)
def test_every_mark_that_a_screen_said_was_stored_is_held_exactly_once():
    words = ["-m", "tests.browser.no_loss", "--marks", str(MARKS), "--phones", "4", "--trouble", "4"]
    done = subprocess.run(
        [sys.executable, *words], cwd=REPOSITORY, capture_output=True, text=True, timeout=280
    )
    print(done.stdout)
    tally = {
        name: int(count.replace(",", "")) for name, count in re.findall(r"(?m)^(.+): ([\d,]+)", done.stdout)
    }
    assert done.returncode == 0, done.stdout + done.stderr
    assert tally["marks the screens said were stored"] >= MARKS
    assert tally["browser kills"] >= 3
    assert tally["server kills"] >= 3
    assert tally["answers lost"] >= 1
    assert (tally["missing"], tally["double"], tally["phones not settled"]) == (0, 0, 0)
