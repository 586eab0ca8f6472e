"""Very large files, files made to exhaust a server, and a server killed half way: a real server process each."""

import http.client
import io
import json
import signal
import sys
import threading
import time
import zipfile
from contextlib import closing, suppress
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

import pytest

from fieldapp.settings import Settings
from fieldapp.store.drafts import newest_drafts
from fieldapp.store.engine import open_store
from fieldapp.store.sites import standing_version
from tests.drawings import bunker_dxf, large_dxf

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")

SITE = "skerry-bank"
API = f"/api/sites/{SITE}/imports"
MOST_SERVER_GROWTH = 60e6
MOST_CHILD = 250e6
SLOWEST_ANSWER_S = 5.0
TAKE = {
    "hole": 4,
    "reading": {"system": "course", "unit": "metre", "order": "xy"},
    "layers": {"SAND": "sand edge", "DRAIN": "keep clear: drain"},
    "bunker": {"id": "4-right"},
    "person": "Kim",
}


def most_held_bytes(number):
    """Return the most memory that a process ever held."""
    told = Path(f"/proc/{number}/status").read_text()
    return int(told.split("VmHWM:")[1].split()[0]) * 1024


def post(address, path, body, **headers):
    """Send a body; return the status and the answer."""
    try:
        with urlopen(Request(address + path, body, headers)) as answer:
            return answer.status, json.load(answer)
    except HTTPError as refused:
        return refused.code, json.load(refused)


def state_of(address, found):
    with urlopen(f"{address}{API}/{found['id']}") as answer:
        return json.load(answer)


def read(address, found):
    """Wait until an import is read or refused."""
    end = time.monotonic() + 150
    while time.monotonic() < end:
        state = state_of(address, found)
        if state["state"] in ("ready", "refused"):
            return state
        time.sleep(0.1)
    raise AssertionError(state)


def children_of(process):
    """Return the ids of the processes that a process started."""
    tasks = Path(f"/proc/{process.pid}/task").glob("*/children")
    return [int(child) for task in tasks for child in task.read_text().split()]


class Others:
    """Somebody else who asks the server for its sites all the while; `slowest_s` is the longest that took.

    `child_bytes` is the most memory that any process held which the server started meanwhile.
    """

    def __init__(self, server):
        self._server, self._over = server, threading.Event()
        self.slowest_s, self.answers, self.child_bytes = 0.0, 0, 0
        self._thread = threading.Thread(target=self._ask)

    def _ask(self):
        while not self._over.wait(0.05):
            began = time.monotonic()
            with urlopen(f"{self._server.address}/api/sites") as answer:
                answer.read()
            self.slowest_s = max(self.slowest_s, time.monotonic() - began)
            for child in children_of(self._server.process):
                with suppress(OSError, IndexError):
                    self.child_bytes = max(self.child_bytes, most_held_bytes(child))
            self.answers += 1

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._over.set()
        self._thread.join()


def bomb():
    """A zip of some 0.3 MB that unpacks to 300 MB."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        for name in ("a.shp", "a.shx", "a.dbf"):
            with packed.open(name, "w") as inner:
                for _ in range(100):
                    inner.write(b"\x00" * 1_000_000)
    return out.getvalue()


def folders(data):
    return list((data / "imports").glob("*"))


def left_files(data):
    """Return every file of the imports but the words about each."""
    told = {"about.json", "asked.json"}
    return {file.name for folder in folders(data) for file in folder.iterdir()} - told


def send_without_length(address, pieces):
    """Send a body in chunks, saying nothing of its length; return the status."""
    where = urlsplit(address)
    with closing(http.client.HTTPConnection(where.hostname, where.port)) as connection:
        with suppress(BrokenPipeError, ConnectionResetError):
            connection.request("POST", f"{API}?name=endless.dxf", body=pieces, encode_chunked=True)
        try:
            return connection.getresponse().status
        except (ConnectionError, http.client.HTTPException):
            return "cut off"


def test_a_huge_dxf_and_a_zip_bomb_never_exhaust_the_server(start_server):
    server = start_server()
    address, data = server.address, server.data
    huge = large_dxf(50)
    assert 49e6 < len(huge) < 52e6
    urlopen(f"{address}/api/sites").read()
    before = most_held_bytes(server.process.pid)
    with Others(server) as others:
        began = time.monotonic()
        status, found = post(address, f"{API}?name=huge.dxf", huge)
        sent_s = time.monotonic() - began
        packed_status, packed = post(address, f"{API}?name=bomb.zip", bomb())
        third, refused = post(address, f"{API}?name=third.csv", b"x,y\n1,2\n")
        huge_read, bomb_read = read(address, found), read(address, packed)
        too_long = send_without_length(address, (b"0\nLINE\n" * 100_000 for _ in range(90)))
    grown = most_held_bytes(server.process.pid) - before
    print(
        f"\n50 MB DXF: sent in {sent_s:.1f} s, {huge_read['state']} after {huge_read['seconds']} s"
        f"\n{huge_read['words']}"
        f"\nzip bomb: {bomb_read['state']} after {bomb_read['seconds']} s ({bomb_read['words']})"
        f"\nprocesses that read: at most {others.child_bytes / 1e6:.0f} MB each; server: {grown / 1e6:.0f} MB more"
        f"\nothers: {others.answers} answers, the slowest {others.slowest_s * 1000:.0f} ms"
    )
    assert (status, packed_status) == (200, 200)
    assert third == 429 or refused["state"] in ("reading", "ready", "refused")
    assert (huge_read["state"], bomb_read["state"]) == ("refused", "refused")
    assert "keep only the layers" in huge_read["words"]
    assert 20e6 < others.child_bytes < MOST_CHILD
    assert grown < MOST_SERVER_GROWTH
    assert others.slowest_s < SLOWEST_ANSWER_S
    assert too_long in (413, "cut off")
    time.sleep(0.3)
    assert left_files(data) <= {"drawing.json"}
    assert post(address, f"{API}?name=after.csv", b"x,y\n2200,5300\n2210,5310\n")[0] == 200


def kept_in(data):
    """Return what stands of the site: its version, its drafts' numbers, its things to keep clear of."""
    with closing(open_store(Settings(data_dir=data))) as store, store.reading() as transaction:
        version = standing_version(transaction, SITE)
        drafts = {draft.bunker_id: draft.number for draft in newest_drafts(transaction, SITE)}
        return version.sequence, drafts, version.document.count("[[keep_clear]]")


def test_a_server_killed_half_way_keeps_all_of_an_import_or_nothing(start_server, tmp_path):
    data = tmp_path / "data"
    server = start_server(data)
    found = read(server.address, post(server.address, f"{API}?name=a.dxf", bunker_dxf(2216, 5240))[1])
    reading = post(server.address, f"{API}?name=huge.dxf", large_dxf(20))[1]
    assert state_of(server.address, reading)["state"] == "reading"
    before = kept_in(data)
    body = json.dumps(TAKE).encode()
    headers = {"content-type": "application/json", "if-match": '"0"'}

    def take():
        with suppress(OSError):
            post(server.address, f"{API}/{found['id']}/take", body, **headers)

    taking = threading.Thread(target=take)
    taking.start()
    time.sleep(0.02)
    server.stop(signal.SIGKILL)
    taking.join()
    after = kept_in(data)
    whole = (before[0] + 1, {"4-right": 1}, before[2] + 1)
    assert after in (before, whole), "all of it or nothing"
    assert len(folders(data)) == 2
    again = start_server(data)
    assert [folder.name for folder in folders(data)] == [found["id"]], "what was half read is gone"
    assert post(again.address, f"{API}/{found['id']}/preview", body, **headers)[1]["faults"] == []
