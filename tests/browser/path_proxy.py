"""A small reverse proxy as a process: it shows a server under a path, which it takes off before it passes a request on.

    python path_proxy.py http://127.0.0.1:8000 /course

It prints its own address. Like any proxy it says who asked, how and by what name.
"""

import socket
import sys

import httpx
import uvicorn

NOT_PASSED_ON = {"connection", "keep-alive", "transfer-encoding", "content-length", "host"}


def reverse_proxy(server, path):
    """Return an ASGI application that passes everything below a path on to a server, and answers nothing else."""
    client = httpx.AsyncClient(base_url=server, timeout=30)

    async def proxy(scope, receive, send):
        assert scope["type"] == "http"
        if not scope["path"].startswith(f"{path}/"):
            await answer(send, 404, [], b"not here")
            return
        asked = client.build_request(
            scope["method"],
            scope["raw_path"].decode().removeprefix(path) + "?" + scope["query_string"].decode(),
            headers=[*kept(scope["headers"]), *forwarded(scope)],
            content=await body(receive),
        )
        got = await client.send(asked, stream=True)
        content = b"".join([piece async for piece in got.aiter_raw()])
        await answer(send, got.status_code, kept(got.headers.raw), content)

    return proxy


def kept(headers):
    return [(name, value) for name, value in headers if name.decode().lower() not in NOT_PASSED_ON]


def forwarded(scope):
    host = dict(scope["headers"])[b"host"]
    return [
        (b"x-forwarded-for", scope["client"][0].encode()),
        (b"x-forwarded-proto", scope["scheme"].encode()),
        (b"x-forwarded-host", host),
    ]


async def body(receive):
    content = b""
    while True:
        message = await receive()
        content += message.get("body", b"")
        if not message.get("more_body"):
            return content


async def answer(send, status, headers, content):
    length = (b"content-length", str(len(content)).encode())
    await send({"type": "http.response.start", "status": status, "headers": [*headers, length]})
    await send({"type": "http.response.body", "body": content})


if __name__ == "__main__":
    listening = socket.create_server(("127.0.0.1", 0))
    print(f"http://127.0.0.1:{listening.getsockname()[1]}", flush=True)
    config = uvicorn.Config(
        reverse_proxy(*sys.argv[1:]), lifespan="off", log_level="warning", server_header=False
    )
    uvicorn.Server(config).run(sockets=[listening])
