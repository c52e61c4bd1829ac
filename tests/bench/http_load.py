"""Send one request over and over on some connections: python -m tests.bench.http_load < asked

Reads {"port", "path", "body", "connections", "seconds"}, writes {"times"} of all answers [s].
A process of its own, so that the sender does not share an interpreter with anything measured.
"""

import http.client
import json
import sys
import threading
import time


def send(
    port: int, path: str, body: bytes, until: float, times: list[float], refused: list[int]
) -> None:
    """Ask on one connection until the time is up, or until an answer is not 200."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    headers = {"Content-Type": "application/json"}
    while time.perf_counter() < until:
        start = time.perf_counter()
        try:
            connection.request("POST", path, body, headers)
            answer = connection.getresponse()
            answer.read()
        except (http.client.RemoteDisconnected, ConnectionResetError, BrokenPipeError):
            connection.close()  # an idle connection that the server closed; asked again
            continue
        if answer.status != 200:
            refused.append(answer.status)
            return
        times.append(time.perf_counter() - start)


def main() -> None:
    """Read what is asked for, send, tell the times."""
    asked = json.load(sys.stdin)
    times: list[float] = []
    refused: list[int] = []
    until = time.perf_counter() + asked["seconds"]
    threads = [
        threading.Thread(
            target=send,
            args=(asked["port"], asked["path"], asked["body"].encode(), until, times, refused),
        )
        for _ in range(asked["connections"])
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if refused:
        raise SystemExit(f"{asked['path']} answered {refused}")
    json.dump({"times": times}, sys.stdout)


if __name__ == "__main__":
    main()
