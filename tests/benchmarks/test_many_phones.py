"""Fifty phones come back into signal at the same moment and send what waited. Run with -s to see the figures.

Each phone is in by a link of its own, as out on the ground. It keeps its connection, as a browser does, asks for the
marks since, posts its batches of 20 marks one after another, and asks again, when it is told of what all the others
sent. Other work on the machine can only make a run slower, so the quickest of a few runs counts. Beside the times
stands what bare SQLite needs to commit the same rows with the same pragmas, a batch a transaction.
"""

from __future__ import annotations

import asyncio
import json
import sqlite3
import statistics
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.request import Request, urlopen

import pytest

from fieldapp.server.enter_form import DEVICE_COOKIE
from fieldapp.settings import DATABASE_FILE, Settings
from fieldapp.store.engine import PRAGMAS, open_store
from fieldapp.workflow.links import let_in, make_link
from fieldapp.workflow.sites import load_site
from tests.conftest import REPOSITORY, ServerProcess
from tests.field_records import FIX, READING, batch_of, mark_document

pytestmark = pytest.mark.benchmark

SITE, BUNKER, HOLE = "skerry-bank", "5-waste", 5
PHONES = 50
BATCHES = 4
MARKS = 20
RUNS = 4
AIM_P95_S = 0.250
PARSED_S = 0.00032
"""The aim is for a machine on which the standard library reads a batch in this time; slower ones get more."""
ATTEMPTS_WANTED = PHONES * BATCHES

Times = list[float]


@dataclass(frozen=True)
class Crew:
    """A server, and what lets each phone in."""

    server: ServerProcess
    cookies: list[str]


@pytest.fixture(scope="module")
def crew(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Crew]:
    data = tmp_path_factory.mktemp("crew")
    now = datetime.now(UTC)
    with closing(open_store(Settings(data_dir=data))) as store:
        load_site(store, REPOSITORY / "sample_sites" / SITE, now)
        tokens = [make_link(store, f"Phone {number}", "mark", now).token for number in range(PHONES)]
        cookies = [let_in(store, token, "", "", now).cookie for token in tokens]
    server = ServerProcess(data, "serve")
    yield Crew(server, [f"{DEVICE_COOKIE}={cookie}" for cookie in cookies])
    server.stop()


@pytest.fixture(scope="module")
def waste(crew: Crew) -> dict:
    """The bundle's own account of the bunker's sand edge."""
    address = f"{crew.server.address}/api/sites/{SITE}/holes/{HOLE}/bundle"
    with urlopen(Request(address, headers={"cookie": crew.cookies[0]})) as answer:
        bundle = json.load(answer)
    bunker = next(found for found in bundle["bunkers"] if found["id"] == BUNKER)
    return {
        "outline": bunker["outlines"][0],
        "revision": bunker["revision"],
        "origin": bundle["frame"]["origin"],
    }


def test_fifty_phones_at_once_send_without_an_error_and_soon(crew, waste):
    runs = [_run(crew, waste, turn) for turn in range(RUNS)]
    posts, polls = min(runs, key=lambda run: _p95(run[0]))
    assert all(len(run[0]) == ATTEMPTS_WANTED for run in runs)
    rows = _rows(crew.server.data)
    assert len(rows) == RUNS * PHONES * BATCHES * MARKS
    bare_s = _bare_commit_s(crew.server.data, rows)
    ours_s = _alone_s(crew, waste)
    print(
        f"\n{PHONES} phones at once, {BATCHES} batches of {MARKS} marks each, best of {RUNS} runs:"
        f" a batch median {statistics.median(posts) * 1000:.0f} ms, p95 {_p95(posts) * 1000:.0f} ms;"
        f" marks since p95 {_p95(polls) * 1000:.0f} ms; every run's p95"
        f" {', '.join(f'{_p95(run[0]) * 1000:.0f}' for run in runs)} ms"
        f"\na batch of {MARKS} by one phone alone {ours_s * 1000:.1f} ms; bare SQLite commits its rows in"
        f" {bare_s * 1000:.1f} ms: {ours_s / bare_s:.1f} times"
    )
    slowness = max(1.0, _parsed_s(waste) / PARSED_S)
    aim_s = AIM_P95_S * slowness
    print(f"the aim, here: p95 of a batch under {aim_s * 1000:.0f} ms")
    assert _p95(posts) < aim_s


def _parsed_s(waste: dict) -> float:
    """How long this machine takes now to read a batch by the standard library: the quickest of many, s."""
    body = _batch(waste, 0, 0)
    times = []
    for _ in range(200):
        start = time.perf_counter()
        json.loads(body)
        times.append(time.perf_counter() - start)
    return min(times)


def _p95(values: Times) -> float:
    return statistics.quantiles(values, n=20)[-1]


def _run(crew: Crew, waste: dict, turn: int) -> tuple[Times, Times]:
    """Let all phones begin at once; return how long each post and each question took, s."""
    return asyncio.run(_all_phones(crew, waste, turn))


async def _all_phones(crew: Crew, waste: dict, turn: int) -> tuple[Times, Times]:
    posts: Times = []
    polls: Times = []
    together = asyncio.Event()
    phones = [
        asyncio.create_task(_phone(crew, waste, turn, number, together, posts, polls))
        for number in range(PHONES)
    ]
    await asyncio.sleep(0.5)
    together.set()
    await asyncio.gather(*phones)
    return posts, polls


async def _phone(
    crew: Crew, waste: dict, turn: int, number: int, together: asyncio.Event, posts: Times, polls: Times
) -> None:
    bodies = [_batch(waste, (turn * PHONES + number) * BATCHES + batch, number) for batch in range(BATCHES)]
    line = await Line.to(crew, number)
    await together.wait()
    polls.append(await line.ask(turn * ATTEMPTS_WANTED * MARKS))
    for body in bodies:
        posts.append(await line.post(body))
    polls.append(await line.ask(turn * ATTEMPTS_WANTED * MARKS))
    line.close()


class Line:
    """A connection that is kept, with so little work on this side that the server has the processor to itself."""

    def __init__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, head: str) -> None:
        self._reader, self._writer, self._head = reader, writer, head

    @classmethod
    async def to(cls, crew: Crew, number: int) -> Line:
        host = crew.server.address.removeprefix("http://")
        name, _, port = host.partition(":")
        head = f"host: {host}\r\ncookie: {crew.cookies[number]}"
        return cls(*await asyncio.open_connection(name, int(port), limit=2**24), head)

    def close(self) -> None:
        self._writer.close()

    async def post(self, body: bytes) -> float:
        """Post a batch, all of which must be called stored; return the seconds it took."""
        head = f"content-type: application/json\r\ncontent-length: {len(body)}\r\n"
        took, told = await self._exchange("POST", f"/api/sites/{SITE}/records", head, body)
        answer = json.loads(told)
        assert len(answer["stored"]) == MARKS, told[:300]
        assert (answer["refused"], answer["remarks"]) == ([], []), told[:300]
        return took

    async def ask(self, since: int) -> float:
        """Ask for the marks since; return the seconds it took."""
        path = f"/api/sites/{SITE}/records?hole={HOLE}&since={since}"
        took, _ = await self._exchange("GET", path, "accept-encoding: gzip\r\n", b"")
        return took

    async def _exchange(self, method: str, path: str, head: str, body: bytes) -> tuple[float, bytes]:
        request = f"{method} {path} HTTP/1.1\r\n{self._head}\r\n{head}\r\n".encode() + body
        start = time.perf_counter()
        self._writer.write(request)
        headers = (await self._reader.readuntil(b"\r\n\r\n")).decode().lower()
        length = int(headers.partition("content-length: ")[2].partition("\r\n")[0])
        told = await self._reader.readexactly(length)
        took = time.perf_counter() - start
        assert headers.startswith("http/1.1 200 "), told[:300]
        return took, told


def _batch(waste: dict, serial: int, phone: int) -> bytes:
    """Twenty marks of real points, as a phone writes them: a fix, a reading, what was aimed at."""
    lat, lon, _ = waste["origin"]
    here = {"lat_deg": lat + phone * 1e-6 + 1e-9, "lon_deg": lon + serial * 1e-9 + 1e-9}
    points = waste["outline"]["points"]
    marks = []
    for turn in range(MARKS):
        number, x, y, _ = points[(serial * MARKS + turn) % len(points)]
        mark = mark_document(serial * MARKS + turn, site=SITE, hole=HOLE, device=f"phone-of-{phone:04d}")
        mark |= {"made_at": datetime.now(UTC).isoformat(), "fix": FIX | here, "reading": READING | here}
        mark["target"] = {
            "bunker": BUNKER, "outline": waste["outline"]["id"], "part": "sand edge",
            "number": number, "revision": waste["revision"], "x": x, "y": y,
        }  # fmt: skip
        marks.append(mark)
    return json.dumps(batch_of(*marks)).encode()


def _alone_s(crew: Crew, waste: dict) -> float:
    """How long one phone's batch takes when nobody else sends: the median of some."""

    async def alone() -> Times:
        line = await Line.to(crew, 1)
        first = RUNS * PHONES * BATCHES
        times = [await line.post(_batch(waste, first + batch, 1)) for batch in range(30)]
        line.close()
        return times

    return statistics.median(asyncio.run(alone()))


def _rows(data: Path) -> list[tuple]:
    with closing(sqlite3.connect(data / DATABASE_FILE)) as database:
        return database.execute("SELECT * FROM field_record ORDER BY sequence").fetchall()


def _bare_commit_s(data: Path, rows: list[tuple]) -> float:
    """The median time to commit a batch of the same rows to the same tables, with the same pragmas."""
    with closing(sqlite3.connect(data / DATABASE_FILE)) as held:
        tables = [
            sql for (sql,) in held.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL") if sql
        ]
    with closing(sqlite3.connect(data / "bare.sqlite", isolation_level=None)) as bare:
        for pragma in ("journal_mode=WAL", *PRAGMAS):
            bare.execute(f"PRAGMA {pragma}")
        for sql in (sql for sql in tables if "sqlite_sequence" not in sql):
            bare.execute(sql)
        bare.execute("ATTACH ? AS held", [str(data / DATABASE_FILE)])
        bare.execute("INSERT INTO site_version SELECT * FROM held.site_version")
        bare.execute("DETACH held")
        marks = ", ".join("?" * len(rows[0]))
        times = [
            _commit_s(bare, rows[start : start + MARKS], marks) for start in range(0, 100 * MARKS, MARKS)
        ]
    return statistics.median(times)


def _commit_s(bare: sqlite3.Connection, rows: list[tuple], marks: str) -> float:
    start = time.perf_counter()
    bare.execute("BEGIN IMMEDIATE")
    bare.executemany(f"INSERT INTO field_record VALUES ({marks})", rows)
    bare.execute("COMMIT")
    return time.perf_counter() - start
