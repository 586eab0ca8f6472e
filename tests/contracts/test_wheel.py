"""A plain `pip install` of the built wheel serves the whole thing: web pages and samples are inside."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import urllib.request
import venv
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A virtual environment with nothing of the checkout: only the built wheel (its dependencies come from here)."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [
            sys.executable,
            "-m",
            "build",
            "--wheel",
            "--no-isolation",
            "--outdir",
            str(folder),
            str(REPOSITORY),
        ],
        check=True,
        capture_output=True,
    )
    (wheel,) = folder.glob("*.whl")
    venv.create(folder / "venv", with_pip=False)
    python = folder / "venv" / "bin" / "python"
    subprocess.run(
        [sys.executable, "-m", "pip", "--python", str(python), "install", "-q", "--no-deps", str(wheel)],
        check=True,
    )
    return folder


def test_demo_runs_from_the_built_wheel(installed: Path):
    here = Path(sys.executable).parents[1] / "lib" / f"python{sys.version_info[0]}.{sys.version_info[1]}"
    dependencies = os.pathsep.join(
        entry for entry in sys.path if "site-packages" in entry and entry.startswith(str(here))
    )
    own = next((installed / "venv" / "lib").glob("python*")) / "site-packages"
    process = subprocess.Popen(
        [str(installed / "venv" / "bin" / "fieldapp"), "demo", "--port", "0"],
        cwd=installed,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": os.pathsep.join([str(own), dependencies])},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        printed = ""
        for line in process.stdout:
            printed += line
            if found := re.search(r"http://[\w.:]+:\d+", line):
                break
        else:
            raise AssertionError(printed)
        with urllib.request.urlopen(found.group(0)) as answer:
            page = answer.read().decode()
        assert page.count('class="site-card"') == 3
        release = re.search(r'href="/s/(\w+)/styles/desk\.css"', page).group(1)
        for wanted in (
            f"/s/{release}/styles/desk.css",
            f"/s/{release}/phone/main.js",
            "/sites/skerry-bank/set-out/4-right",
            "/api/sites/skerry-bank/holes/4/bundle",
        ):
            with urllib.request.urlopen(found.group(0) + wanted) as answer:
                assert answer.status == 200
    finally:
        process.send_signal(signal.SIGINT)
        process.stdout.read()
        process.stdout.close()
        assert process.wait(timeout=20) == 0
