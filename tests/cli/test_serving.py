"""Real server processes: they start, keep what they acknowledged, and stop cleanly."""

import signal
import socket
from pathlib import Path

import httpx
import pytest

import fieldapp.shipped_files as shipped_files
from fieldapp.server.serving import bound_socket
from fieldapp.settings import CREW_LINKS_FILE


def mark(number):
    return {
        "id": f"00000000-0000-4000-8000-{number:012d}",
        "kind": "mark",
        "site": "small-links",
        "hole": 1,
        "made_at": "2026-05-01T09:30:15Z",
        "person": "Ada",
        "device": "phone",
        "practice": False,
        "receiver": "phone",
        "target": {
            "bunker": "square",
            "outline": "sand",
            "part": "sand edge",
            "number": number,
            "revision": "A",
            "x": 0.0,
            "y": 0.0,
        },
        "fix": None,
        "off_m": None,
        "verdict": "cannot tell",
    }


def post(server, *numbers):
    body = {"format": "fieldapp-records", "version": 1, "records": [mark(number) for number in numbers]}
    answer = httpx.post(f"{server.address}/api/sites/small-links/records", json=body)
    assert len(answer.json()["stored"]) == len(numbers)


def held(server):
    return len(httpx.get(f"{server.address}/sites/small-links/records.csv").text.splitlines()) - 1


def test_demo_serves_the_samples_and_prints_its_address_and_a_qr_code(served, tmp_path):
    server = served("demo", "--port", 0, "--data", tmp_path / "data")
    sites = httpx.get(f"{server.address}/api/sites").json()["sites"]
    assert len(sites) == len(shipped_files.sample_site_folders()) == 3
    assert httpx.get(f"{server.address}/").status_code == 200
    code, printed = server.stop()
    assert code == 0
    assert "█" in printed
    assert "Traceback" not in printed


def test_demo_started_again_loads_nothing_twice(served, tmp_path):
    first = served("demo", "--port", 0, "--data", tmp_path / "data").stop()[1]
    again = served("demo", "--port", 0, "--data", tmp_path / "data").stop()[1]
    assert first.count("Loaded ") == 3
    assert "Loaded " not in again


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_request_to_stop_ends_it_cleanly_with_a_line(served, data, how):
    code, printed = served("serve", "--port", 0, "--data", data).stop(how)
    assert code == 0
    assert printed.endswith("fieldapp has stopped; the data is kept.\n")


def test_starting_again_keeps_the_data(served, data):
    server = served("serve", "--port", 0, "--data", data)
    post(server, 1, 2)
    server.stop()
    assert held(served("serve", "--port", 0, "--data", data)) == 2


@pytest.mark.parametrize("size", [1, 5, 50])
def test_a_mark_that_was_acknowledged_survives_a_kill(served, data, size):
    server = served("serve", "--port", 0, "--data", data)
    post(server, *range(size))
    assert server.stop(signal.SIGKILL)[0] == -signal.SIGKILL
    assert held(served("serve", "--port", 0, "--data", data)) == size


def test_a_killed_servers_port_can_be_used_again_at_once(served, data):
    server = served("serve", "--port", 0, "--data", data)
    with httpx.Client() as visitor:
        visitor.get(f"{server.address}/api/sites")
        server.stop(signal.SIGKILL)
    port = server.address.rpartition(":")[2]
    again = served("serve", "--port", port, "--data", data)
    assert again.address == server.address


def test_small_answers_are_sent_at_once():
    with bound_socket("127.0.0.1", 0) as listening:
        assert listening.proto == socket.IPPROTO_TCP, "asyncio sets TCP_NODELAY only on sockets that say TCP"


def test_a_slow_visitor_does_not_keep_it_from_stopping(served, data):
    server = served("serve", "--port", 0, "--data", data)
    with socket.create_connection(("127.0.0.1", int(server.address.rpartition(":")[2]))) as slow:
        slow.sendall(b"POST /api/sites/x/records HTTP/1.1\r\nhost: localhost\r\ncontent-length: 100\r\n\r\n{")
        assert server.stop()[0] == 0


def test_a_terminal_that_cannot_draw_the_code_still_gets_the_address(served, tmp_path):
    server = served("demo", "--port", 0, "--data", tmp_path / "data", PYTHONIOENCODING="ascii")
    code, printed = server.stop()
    assert code == 0
    assert server.address in printed
    assert printed.isascii()


def test_others_come_in_by_the_link_that_serve_prints(served, data):
    server = served("serve", "--port", 0, "--data", data, "--host", "0.0.0.0")
    link = next(line for line in server.lines if "/enter/" in line).rpartition(" ")[2].strip()
    with httpx.Client(headers={"x-forwarded-for": "192.0.2.9"}, follow_redirects=True) as phone:
        assert phone.get(f"{server.address}/api/sites").status_code == 401
        assert phone.get(link).status_code == 200
        assert phone.get(f"{server.address}/api/sites").status_code == 200
    assert link.rpartition("/")[2] not in (Path(data) / CREW_LINKS_FILE).read_text()


def test_behind_a_proxy_the_crew_gets_a_link_at_its_public_name(served, data):
    server = served("serve", "--port", 0, "--data", data, FIELDAPP_HOSTS="course.example")
    link = next(line for line in server.lines if "/enter/" in line).rpartition(" ")[2].strip()
    assert link.startswith("https://course.example/enter/")
    passed_on = {"host": "course.example", "x-forwarded-for": "192.0.2.9", "x-forwarded-proto": "https"}
    with httpx.Client(headers=passed_on) as proxy:
        assert proxy.get(f"{server.address}/api/sites").status_code == 401
        answer = proxy.get(f"{server.address}/enter/{link.rpartition('/')[2]}")
        assert answer.status_code == 303
        cookie = answer.headers["set-cookie"].partition(";")[0]
        assert proxy.get(f"{server.address}/api/sites", headers={"cookie": cookie}).status_code == 200


def test_a_crew_key_of_ones_own_is_printed_and_not_kept(served, data):
    server = served(
        "serve",
        "--port",
        0,
        "--data",
        data,
        "--host",
        "0.0.0.0",
        FIELDAPP_CREW_KEY="a-key-long-enough-to-be-safe",
    )
    assert any(line.endswith("/enter/a-key-long-enough-to-be-safe\n") for line in server.lines)
    assert not (Path(data) / CREW_LINKS_FILE).exists()


def test_records_can_be_read_while_the_server_runs(served, data, fieldapp):
    post(served("serve", "--port", 0, "--data", data), 1)
    done = fieldapp("records", "--data", data, "--site", "small-links", "--format", "csv")
    assert (done.code, len(done.out.splitlines())) == (0, 2)
