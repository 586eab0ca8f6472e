"""Real server processes: they start, keep what they acknowledged, and stop cleanly."""

import signal
import socket

import httpx
import pytest

import fieldapp.shipped_files as shipped_files
from fieldapp.server.serving import bound_socket


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


def post(client, *numbers):
    body = {"format": "fieldapp-records", "version": 1, "records": [mark(number) for number in numbers]}
    answer = client.post("/api/sites/small-links/records", json=body)
    assert len(answer.json()["stored"]) == len(numbers)


def held(client):
    return len(client.get("/sites/small-links/records.csv").text.splitlines()) - 1


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


def test_starting_again_keeps_the_data(branched, data, client_of):
    server = branched("serve", "--port", 0, "--data", data)
    post(client_of(server), 1, 2)
    server.stop()
    assert held(client_of(branched("serve", "--port", 0, "--data", data))) == 2


@pytest.mark.parametrize("size", [1, 5, 50])
def test_a_mark_that_was_acknowledged_survives_a_kill(branched, data, client_of, size):
    server = branched("serve", "--port", 0, "--data", data)
    post(client_of(server), *range(size))
    assert server.stop(signal.SIGKILL)[0] == -signal.SIGKILL
    assert held(client_of(branched("serve", "--port", 0, "--data", data))) == size


def test_a_killed_servers_port_can_be_used_again_at_once(branched, data):
    server = branched("serve", "--port", 0, "--data", data)
    with httpx.Client() as visitor:
        visitor.get(f"{server.address}/api/sites")
        server.stop(signal.SIGKILL)
    port = server.address.rpartition(":")[2]
    again = branched("serve", "--port", port, "--data", data)
    assert again.address == server.address


def test_small_answers_are_sent_at_once():
    with bound_socket("127.0.0.1", 0) as listening:
        assert listening.proto == socket.IPPROTO_TCP, "asyncio sets TCP_NODELAY only on sockets that say TCP"


def test_a_slow_visitor_does_not_keep_it_from_stopping(branched, data):
    server = branched("serve", "--port", 0, "--data", data)
    with socket.create_connection(("127.0.0.1", int(server.address.rpartition(":")[2]))) as slow:
        slow.sendall(b"POST /api/sites/x/records HTTP/1.1\r\nhost: localhost\r\ncontent-length: 100\r\n\r\n{")
        assert server.stop()[0] == 0


def test_a_terminal_that_cannot_draw_the_code_still_gets_the_address(served, tmp_path):
    server = served("demo", "--port", 0, "--data", tmp_path / "data", PYTHONIOENCODING="ascii")
    code, printed = server.stop()
    assert code == 0
    assert server.address in printed
    assert printed.isascii()


def test_serve_trusts_nobody_by_address_and_lets_in_by_link(branched, data, client_of):
    server = branched("serve", "--port", 0, "--data", data, "--host", "0.0.0.0")
    port = server.address.rpartition(":")[2]
    assert httpx.get(f"http://127.0.0.1:{port}/api/sites").status_code == 401
    assert client_of(server, "look").get("/api/me").json() == {"name": "Robin", "role": "look", "crew": False}


def test_a_phone_that_was_let_in_stays_in_when_the_server_starts_again(branched, data, client_of):
    server = branched("serve", "--port", 0, "--data", data)
    phone = client_of(server, "mark")
    server.stop()
    phone.base_url = branched("serve", "--port", 0, "--data", data).address
    post(phone, 1)


def test_ending_a_link_on_the_command_line_shuts_its_phone_out_at_once(branched, data, client_of, fieldapp):
    phone = client_of(branched("serve", "--port", 0, "--data", data), "mark")
    link_id = fieldapp("link", "list", "--data", data).out.split()[0]
    assert phone.get("/api/sites").status_code == 200
    assert fieldapp("link", "end", link_id, "--data", data).code == 0
    answer = phone.get("/api/sites")
    assert (answer.status_code, "was ended" in answer.json()["detail"]) == (401, True)


def test_serve_does_not_start_where_nobody_could_manage_it(fieldapp, data):
    link_id = fieldapp("link", "list", "--data", data).out.split()[0]
    fieldapp("link", "end", link_id, "--data", data)
    fieldapp("link", "make", "--name", "Robin", "--role", "plan", "--data", data)
    done = fieldapp("serve", "--data", data, "--port", 0)
    assert (done.code, done.out) == (2, "")
    (line,) = done.err.splitlines()
    assert f"fieldapp link make --name Manager --role manage --data {data}" in line


def test_demo_needs_no_link_and_takes_this_machine_for_the_managers(served, tmp_path):
    server = served("demo", "--port", 0, "--data", tmp_path / "data")
    assert httpx.get(f"{server.address}/api/me").json() == {
        "name": "Manager at this machine",
        "role": "manage",
        "crew": True,
    }
    passed_on = {"x-forwarded-for": "192.0.2.9"}
    assert httpx.get(f"{server.address}/api/me", headers=passed_on).status_code == 401


def test_behind_a_proxy_a_phone_comes_in_at_its_public_name(branched, data, client_of):
    server = branched("serve", "--port", 0, "--data", data, FIELDAPP_HOSTS="course.example")
    assert any("https://course.example/" in line for line in server.lines)
    passed_on = {"host": "course.example", "x-forwarded-for": "192.0.2.9", "x-forwarded-proto": "http"}
    proxy = client_of(server, "mark", **passed_on)
    assert proxy.get("/api/me").json()["role"] == "mark"


def test_records_can_be_read_while_the_server_runs(branched, data, client_of, fieldapp):
    post(client_of(branched("serve", "--port", 0, "--data", data)), 1)
    done = fieldapp("records", "--data", data, "--site", "small-links", "--format", "csv")
    assert (done.code, len(done.out.splitlines())) == (0, 2)
