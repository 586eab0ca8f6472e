"""Proof that no mark is lost or doubled: browsers and server are killed at random while phones paint without end.

    python -m tests.browser.no_loss --marks 2000 [--seed N] [--phones 4] [--trouble 1.0]

Every phone is a real Chromium with a profile on disk; the server is a real process behind a proxy that loses answers. A
mark counts as said when the page's own button says 'stored on this phone', and that is written down here, outside. In
the end everything is left in peace, and the database is counted directly. The exit code is 0 if every mark said is held
exactly once and no phone's mark twice.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import random
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from playwright.async_api import Browser, Error, Page, Playwright, async_playwright

from tests.browser.losing_proxy import LosingProxy
from tests.conftest import CHROMIUM_ARGUMENTS, REPOSITORY, chromium_path

SITE = "skerry-bank"
BUNKERS = ("3-pot", "3-left", "4-old", "4-right", "5-waste", "5-green")
MARKS_A_PHONE = (8, 24)
MARKS_A_SERVER = (6, 20)
"""So many marks of one phone, or of all, come between one trouble of it, or of the server, and the next."""
LEAST_KILLS = 3
SHARE_LOST = 0.1
POINTS_AT_ONE_METRE = 454
PATIENCE_S = 120
MOST_OPENINGS = 4
PORTS = range(20_000, 30_000)
"""Below those that a system gives to outgoing connections, so that a killed server finds its port free again."""
MARK = """async () => {
  const button = document.querySelector('.actions .main-button');
  const until = async (holds, ms) => {
    for (const end = Date.now() + ms; Date.now() < end;) {
      if (holds()) return true;
      await new Promise((done) => { setTimeout(done, 15); });
    }
    return false;
  };
  if (!await until(() => button.dataset.state === 'ready', 8000)) return 'not ready';
  const label = button.querySelector('strong').textContent;
  const [head, part] = ['.head-bunker', '.head-part'].map((name) => document.querySelector(name).textContent);
  button.click();
  if (!/^Painted \\d+$/.test(label)) return label.startsWith('Go on') ? 'went on' : 'all painted';
  if (button.dataset.state === 'asking') button.click();
  const says = (words) => () => button.textContent.includes(words);
  const number = Number(label.match(/\\d+/)[0]);
  if (!await until(() => says('stored on this phone')() && says(`${number} painted`)(), 8000)) return 'not said';
  return { bunker: head, part: part.split(', revision')[0], number };
}"""

Said = tuple[str, str, str, int]
"""Who painted which point: person, bunker's name, part, number."""


@dataclass
class Tally:
    """What happened, and what the screens said was stored."""

    said: list[Said] = field(default_factory=list)
    events: Counter[str] = field(default_factory=Counter)


class Server:
    """The server process on one port for good; it can be killed, halted and started again."""

    def __init__(self, data: Path, port: int) -> None:
        self._data, self.port = data, port
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        words = ["-m", "fieldapp", "demo", "--port", str(self.port), "--data", str(self._data)]
        self.process = subprocess.Popen(
            [sys.executable, *words], cwd=REPOSITORY, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    def start_again_if_ended(self) -> None:
        if self.process is None or self.process.poll() is not None:
            self.start()

    def send(self, what: int) -> None:
        assert self.process is not None
        self.process.send_signal(what)

    def kill(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.send(signal.SIGKILL)
            self.process.wait()


class Phone:
    """One Chromium on one profile, painting through the page's main button until told to stop."""

    def __init__(self, playwright: Playwright, folder: Path, name: str, address: str, turn: int) -> None:
        self._playwright, self._profile, self.name, self._address = playwright, folder / name, name, address
        self._bunkers = BUNKERS[turn % len(BUNKERS) :] + BUNKERS[: turn % len(BUNKERS)]
        self.painted = 0
        self._process: asyncio.subprocess.Process | None = None
        self._browser: Browser | None = None
        self._page: Page | None = None

    async def open(self) -> Page:
        """Start the browser on its profile, open the page and press Start; tries on until there is a server."""
        arguments = [*CHROMIUM_ARGUMENTS, "--headless=new", "--remote-debugging-port=0"]
        self._process = await asyncio.create_subprocess_exec(
            chromium_path() or "", *arguments, f"--user-data-dir={self._profile}",
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, start_new_session=True,
        )  # fmt: skip
        assert self._process.stderr is not None
        while line := await self._process.stderr.readline():
            if found := re.search(rb"ws://\S+", line):
                break
        else:
            raise Error("the browser ended before it could be reached")
        self._drain = asyncio.create_task(self._process.stderr.read())
        self._browser = await self._playwright.chromium.connect_over_cdp(found.group(0).decode())
        self._page = await self._browser.contexts[0].new_page()
        await self._start()
        return self._page

    async def _open_again(self) -> Page:
        """Open it once more; a browser just after a kill may take the connection and then say nothing: end it too."""
        for _ in range(MOST_OPENINGS - 1):
            await self.kill()
            with contextlib.suppress(Error):
                return await self.open()
        await self.kill()
        return await self.open()

    async def _start(self) -> None:
        page = self._page
        assert page is not None
        while True:
            try:
                await page.goto(
                    f"{self._address}/sites/{SITE}/set-out/{self._bunkers[0]}",
                    timeout=10_000,
                    wait_until="commit",
                )
                await page.locator("#person").fill(self.name, timeout=10_000)
                await page.get_by_role("button", name="Start", exact=True).click(timeout=10_000)
                await page.locator(".work").wait_for(timeout=10_000)
                return
            except Error:
                if page.is_closed() or self._browser is None or not self._browser.is_connected():
                    raise
                await asyncio.sleep(0.5)

    async def paint(self, tally: Tally) -> None:
        """Paint one point, or go on to the next outline or bunker."""
        assert self._page is not None
        came = await self._page.evaluate(MARK)
        if isinstance(came, dict):
            self.painted += 1
            tally.said.append((self.name, came["bunker"], came["part"], came["number"]))
        elif came == "all painted":
            self._bunkers = self._bunkers[1:] + self._bunkers[:1]
            await self._start()
        else:
            tally.events[came] += 1

    async def set_offline(self, offline: bool) -> None:
        if self._browser is not None and self._browser.is_connected():
            with contextlib.suppress(Error):
                await self._browser.contexts[0].set_offline(offline)

    async def kill(self) -> bool:
        """Kill the browser with everything that belongs to it; True if it was running."""
        if self._process is None or self._process.returncode is not None:
            return False
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        await self._process.wait()
        return True

    async def settle(self) -> str:
        """Wait until the page says that all is sent; return what it says at last."""
        page = self._page
        if page is None or page.is_closed() or self._browser is None or not self._browser.is_connected():
            page = await self._open_again()
        told = ""
        for _ in range(PATIENCE_S):
            await self.set_offline(False)
            await page.evaluate("dispatchEvent(new Event('online'))")
            told = await page.locator(".head-send").inner_text()
            if told == "all sent":
                break
            await asyncio.sleep(1)
        return told


class Trial:
    """One run: phones, a server behind a proxy, and trouble."""

    def __init__(self, folder: Path, marks: int, phones: int, seed: int, trouble: float) -> None:
        self.folder, self.marks, self.count, self.seed, self.trouble = folder, marks, phones, seed, trouble
        self.tally = Tally()
        self.server = Server(folder / "data", _free_port())
        self.done = asyncio.Event()

    async def run(self) -> dict[str, int]:
        """Load a site with points enough, paint through the trouble, settle, and count."""
        _load_site(self.folder, self.marks)
        self.server.start()
        proxy = LosingProxy(self.server.port, SHARE_LOST, f"{self.seed} proxy")
        try:
            async with async_playwright() as playwright:
                address = f"http://127.0.0.1:{proxy.port}"
                phones = [
                    Phone(playwright, self.folder, f"phone {turn + 1}", address, turn)
                    for turn in range(self.count)
                ]
                try:
                    return await self._through(phones, proxy)
                finally:
                    for phone in phones:
                        await phone.kill()
        finally:
            proxy.close()
            self.server.kill()

    async def _through(self, phones: list[Phone], proxy: LosingProxy) -> dict[str, int]:
        troubles = [asyncio.create_task(self._trouble_server(proxy))]
        troubles += [
            asyncio.create_task(self._trouble_phone(phone, turn)) for turn, phone in enumerate(phones)
        ]
        await asyncio.gather(*(self._work(phone) for phone in phones))
        await asyncio.gather(*troubles)
        self.server.start_again_if_ended()
        self.tally.events["answers lost"] = proxy.lost
        for phone in phones:
            told = await phone.settle()
            self.tally.events["phones not settled"] += told != "all sent"
        return self._counted()

    async def _work(self, phone: Phone) -> None:
        while not self.done.is_set():
            try:
                await phone.open()
                while not self.done.is_set():
                    await phone.paint(self.tally)
                    self._look()
            except Error:
                await phone.kill()

    def _look(self) -> None:
        said = len(self.tally.said)
        if said % 50 == 0 and said != self.tally.events["told"]:
            self.tally.events["told"] = said
            print(f"{said} of {self.marks} marks said to be stored", flush=True)
        kills = min(self.tally.events["browser kills"], self.tally.events["server kills"])
        if said >= self.marks and kills >= LEAST_KILLS:
            self.done.set()

    async def _trouble_phone(self, phone: Phone, turn: int) -> None:
        chance = random.Random(f"{self.seed} phone {turn}")
        for what in _shuffled(chance, ("kill", "no signal")):
            if not await self._marks_more(lambda: phone.painted, chance.uniform(*MARKS_A_PHONE)):
                return
            await self._pause(chance.uniform(0, 1.5))
            if what == "kill":
                self.tally.events["browser kills"] += await phone.kill()
            else:
                self.tally.events["spells without signal"] += 1
                await phone.set_offline(True)
                await self._pause(chance.uniform(0.5, 6))
                await phone.set_offline(False)

    async def _trouble_server(self, proxy: LosingProxy) -> None:
        chance = random.Random(f"{self.seed} server")
        for what in _shuffled(chance, ("kill", "halt", "kill", "lose")):
            self.server.start_again_if_ended()
            if not await self._marks_more(lambda: len(self.tally.said), chance.uniform(*MARKS_A_SERVER)):
                return
            await self._pause(chance.uniform(0, 1.5))
            if what == "kill":
                self.tally.events["server kills"] += 1
                self.server.kill()
                await self._pause(chance.uniform(0, 2))
            elif what == "halt":
                self.tally.events["server halts"] += 1
                self.server.send(signal.SIGSTOP)
                await self._pause(chance.uniform(0.5, 10))
                self.server.send(signal.SIGCONT)
            else:
                proxy.losing = True
                await self._pause(chance.uniform(0.5, 5))
                proxy.losing = False

    async def _marks_more(self, counted: Callable[[], int], more: float) -> bool:
        """Wait for so many marks more, fewer where more trouble is wanted; False when the work is done.

        Trouble goes by marks and not by the clock, so that on a slow machine it does not outrun the work.
        """
        target = counted() + more / self.trouble
        while counted() < target and not self.done.is_set():
            await self._pause(0.05)
        return not self.done.is_set()

    async def _pause(self, seconds: float) -> None:
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self.done.wait(), seconds)

    def _counted(self) -> dict[str, int]:
        """Count the database itself against what the screens said."""
        with contextlib.closing(sqlite3.connect(self.folder / "data" / "fieldapp.sqlite")) as database:
            rows = database.execute(
                "SELECT id, person, json_extract(body, '$.target.bunker'), json_extract(body, '$.target.part'), "
                "number FROM field_record WHERE kind = 'mark'"
            ).fetchall()
        names = _bunker_names(self.folder)
        held = Counter((person, names[bunker], part, number) for _, person, bunker, part, number in rows)
        said = Counter(self.tally.said)
        return {
            "marks the screens said were stored": sum(said.values()),
            "marks held in the database": len(rows),
            "missing": sum((said - held).values()),
            "double": sum(count - 1 for count in held.values()) + len(rows) - len({row[0] for row in rows}),
            "held though no screen had said so before the kill": sum((held - said).values()),
        }


def _shuffled(chance: random.Random, troubles: tuple[str, ...]) -> Iterator[str]:
    """Yield troubles without end, each as often as the others."""
    while True:
        yield from chance.sample(troubles, len(troubles))


def _load_site(folder: Path, marks: int) -> None:
    """Load the sample with its paint points so close that there are twice as many as marks are wanted."""
    site = Path(shutil.copytree(REPOSITORY / "sample_sites" / SITE, folder / SITE))
    spacing_m = min(1.0, POINTS_AT_ONE_METRE / (2 * marks))
    text = (site / "site.toml").read_text(encoding="utf-8")
    changed = re.sub(r"(?m)^spacing_m = [\d.]+", f"spacing_m = {spacing_m:.3f}", text, count=1)
    assert changed != text or spacing_m == 1.0, "the sample has no spacing to change"
    (site / "site.toml").write_text(changed, encoding="utf-8")
    words = ["-m", "fieldapp", "site", "load", str(site), "--data", str(folder / "data")]
    subprocess.run([sys.executable, *words], cwd=REPOSITORY, check=True, capture_output=True)


def _bunker_names(folder: Path) -> dict[str, str]:
    text = (folder / SITE / "site.toml").read_text(encoding="utf-8")
    return {bunker["id"]: bunker["name"] for bunker in tomllib.loads(text)["bunker"]}


def _free_port() -> int:
    for port in random.SystemRandom().sample(PORTS, 50):
        with contextlib.suppress(OSError), socket.create_server(("127.0.0.1", port)):
            return port
    raise OSError("no port is free for the server")


def main() -> int:
    """Run from the command line and print the tally."""
    asked = argparse.ArgumentParser(description="Kill browsers and server while phones paint; then count.")
    asked.add_argument("--marks", type=int, default=2000)
    asked.add_argument("--phones", type=int, default=4)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--trouble", type=float, default=1.0, help="2 means twice as often")
    given = asked.parse_args()
    start = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="no-loss-", ignore_cleanup_errors=True) as folder:
        counts, tally = asyncio.run(_run(Path(folder), given))
    figures = counts | {name: count for name, count in sorted(tally.events.items()) if name != "told"}
    for name, count in figures.items():
        print(f"{name}: {count:,}")
    print(f"seconds: {time.monotonic() - start:.0f} (seed {given.seed}, {given.phones} phones)")
    bad = counts["missing"] + counts["double"] + tally.events["phones not settled"]
    print("NOT PROVEN: see above" if bad else "Nothing was lost and nothing doubled.")
    return 1 if bad else 0


async def _run(folder: Path, given: argparse.Namespace) -> tuple[dict[str, int], Tally]:
    trial = Trial(folder, given.marks, given.phones, given.seed, given.trouble)
    return await trial.run(), trial.tally


if __name__ == "__main__":
    sys.exit(main())
