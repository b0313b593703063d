"""The real server, in a process of its own: what the in-process tests cannot ask of it."""

import os
import re
import select
import signal
import socket
import time
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from ports import free_port
from served import is_answered, served, serving
from twoturns.web import serve
from workshop import Workshop

# The head and the first byte of a body that never comes.
BROKEN_OFF = (
    b"POST /api/session/nonce HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
    b"Content-Length: 1000\r\n\r\n{"
)
SAID = b'{"device":"%s"}' % (b"A" * 43)
ASKED = BROKEN_OFF[:-1].replace(b"1000", b"%d" % len(SAID)) + SAID


@pytest.fixture(scope="module")
def port(tmp_path_factory):
    with served(Workshop(tmp_path_factory.mktemp("served") / "data").folder) as number:
        yield number


def test_bodies_that_never_end_do_not_stop_the_others(port):
    """More of them than one stranger may send; another is let in all the while."""
    with ExitStack() as stack:
        lines = []
        for _ in range(40):
            line = stack.enter_context(socket.create_connection(("127.0.0.1", port)))
            line.sendall(BROKEN_OFF)
            lines.append(line)
        assert is_answered(port)
        held, refused = lines, []
        until = time.monotonic() + 20
        while len(refused) < 32 and time.monotonic() < until:
            told_now, _, _ = select.select(held, [], [], 1)
            refused += [line.recv(4096) for line in told_now]
            held = [line for line in held if line not in told_now]
        # Each of the two processes lets four bodies of one address in.
        assert len(refused) >= 32
        assert all(answer.startswith(b"HTTP/1.1 503") for answer in refused)
        assert is_answered(port)
        others = [told(port, ASKED, address="127.0.0.2") for _ in range(8)]
        assert all("unknown-device" in answer for answer in others)


def told(port: int, request: bytes, address: str = "") -> str:
    with socket.create_connection(("127.0.0.1", port), 10, (address, 0)) as line:
        line.sendall(request)
        with line.makefile("rb") as answer:
            head = b"".join(iter(answer.readline, b"\r\n"))
            length = re.search(rb"content-length: (\d+)", head)
            return (head + answer.read(int(length[1]) if length else 0)).decode()


def test_a_line_whose_phone_is_gone_is_found_out(port):
    """The kernel's own list: each line of the server has its keepalive timer (`02:`) running."""
    # A process sees to its lines as its first request comes in, and the system deals them out.
    assert all(is_answered(port) for _ in range(24))
    with ExitStack() as stack:
        lines = [
            stack.enter_context(socket.create_connection(("127.0.0.1", port))) for _ in range(8)
        ]
        ours = {line.getsockname()[1] for line in lines}
        timers = dict(timers_of_lines_from(port))
        assert {timers[number] for number in ours} == {"02"}


def timers_of_lines_from(port: int):
    for row in Path("/proc/net/tcp").read_text().splitlines()[1:]:
        _, here, there, state, _, timer, *_ = row.split()
        if int(here.split(":")[1], 16) == port and state == "01":  # established
            yield int(there.split(":")[1], 16), timer.split(":")[0]


def test_a_head_of_64_kib_and_a_doubled_length_are_answered_and_nothing_stops(port):
    head = b"GET /api/workshop HTTP/1.1\r\nHost: localhost\r\nX: " + b"a" * 65_536 + b"\r\n\r\n"
    assert told(port, head).split(" ")[1] in ("200", "400", "431")
    both = BROKEN_OFF.replace(b"\r\n\r\n", b"\r\nTransfer-Encoding: chunked\r\n\r\n")
    assert told(port, both).split(" ")[1][0] == "4"
    assert is_answered(port)


def test_a_chunked_body_is_read_as_any_other(port):
    head = BROKEN_OFF.partition(b"Content-Length")[0] + b"Transfer-Encoding: chunked\r\n\r\n"
    said = b'{"device":"' + b"A" * 43 + b'"}'
    body = b"".join(b"1\r\n" + said[n : n + 1] + b"\r\n" for n in range(len(said)))
    assert "unknown-device" in told(port, head + body + b"0\r\n\r\n")


def test_a_chunked_body_over_the_limit_is_refused_though_it_names_no_length(port):
    head = BROKEN_OFF.partition(b"Content-Length")[0] + b"Transfer-Encoding: chunked\r\n\r\n"
    with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
        line.sendall(head)
        piece = b"10000\r\n" + b" " * 0x10000 + b"\r\n"
        answer = b""
        with suppress(OSError):  # it may hang up on us: it need not hear the rest
            for _ in range(200):  # 12.5 MiB, of which 8 are allowed
                line.sendall(piece)
            line.sendall(b"0\r\n\r\n")
        with suppress(OSError):
            answer = line.recv(4096)
    assert answer == b"" or answer.split(b" ")[1] in (b"413", b"400"), answer
    assert is_answered(port)


def workers_of(server: int) -> set[int]:
    """The processes that answer."""
    children = Path(f"/proc/{server}/task/{server}/children").read_text().split()
    return set(map(int, children))


def test_a_worker_that_was_killed_comes_back_and_the_other_answers_meanwhile(tmp_path):
    """15 of 15 such kills ended the server."""
    with serving(Workshop(tmp_path / "data").folder) as (number, server):
        before = workers_of(server)
        assert len(before) == serve.PROCESSES
        for worker in sorted(before):
            os.kill(worker, signal.SIGKILL)
            until = time.monotonic() + 30
            # The next one is killed when the one that came back can answer: one always does.
            while worker in workers_of(server) or len(workers_of(server)) < serve.PROCESSES:
                assert time.monotonic() < until, "it did not come back"
                time.sleep(0.2)
            while not is_answered(number):
                assert time.monotonic() < until, "nobody answers"
        assert not before & workers_of(server)


def test_nothing_is_said_of_threads_that_are_meant_to_be_so_many(tmp_path, capfd):
    with serving(Workshop(tmp_path / "data").folder):
        pass
    assert "threads" not in "".join(capfd.readouterr())


@pytest.mark.parametrize(
    ("host", "number", "fact"),
    [
        ("127.0.0.1", None, "another program listens there"),
        ("192.0.2.1", 8437, "this computer has no such address"),  # RFC 5737: nobody's
    ],
)
def test_an_address_that_cannot_be_listened_on_is_refused_in_words(port, host, number, fact):
    with pytest.raises(serve.CannotListen, match=fact) as refused:
        serve.require_free(host, number or port)
    assert refused.value.hint
    serve.require_free("127.0.0.1", free_port())
