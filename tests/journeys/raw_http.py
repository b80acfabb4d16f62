"""HTTP as bytes, for requests that no client would send."""

import re
import socket
from contextlib import suppress


def exchange(address: str, request: bytes) -> bytes:
    """Send bytes as they are; return head and body of the answer, or what came until the connection ended."""
    host, port = address.removeprefix("http://").split(":")
    answer = b""
    with socket.create_connection((host, int(port)), 30) as connection:
        with suppress(OSError):  # turned away before all was sent
            connection.sendall(request)
        with suppress(ConnectionResetError):
            while not is_whole(answer) and (more := connection.recv(10_000)):
                answer += more
    return answer


def is_whole(answer: bytes) -> bool:
    """Tell whether an answer has come to its end: its head, and as much body as that states."""
    head, ended, body = answer.partition(b"\r\n\r\n")
    length = re.search(rb"(?im)^content-length: *(\d+)", head)
    return bool(ended) and len(body) >= (int(length[1]) if length else 0)


def status(answer: bytes) -> int:
    """Return the status of an answer; 0 where the connection was ended without one."""
    return int(answer.split()[1]) if answer else 0
