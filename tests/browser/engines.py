"""
Other browsers than Chromium, each with a profile that outlives it: Firefox by its own protocol, and
WebKit in a window of ours. Both do the same few things, so one test drives either.
"""

from __future__ import annotations

import json
import os
import select
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import which
from typing import Any, Protocol

from ports import free_port

FIREFOX = "/usr/bin/firefox-esr"
DEBIAN_PYTHON = "/usr/bin/python3"
WEBKIT_IS_THERE = "import gi; gi.require_version('WebKit2', '4.1')"
SCRIPT_S = 30


def engines_are_there() -> bool:
    """Say whether both browsers, and what drives them, are on this machine."""
    if not Path(DEBIAN_PYTHON).exists() or not Path(FIREFOX).exists() or not which("Xvfb"):
        return False
    asked = [DEBIAN_PYTHON, "-c", WEBKIT_IS_THERE]
    return subprocess.run(asked, capture_output=True, check=False).returncode == 0


class Engine(Protocol):
    """A browser with one page."""

    def open(self, url: str) -> None:
        """Go to an address; returns when the page is loaded."""

    def run(self, body: str, *arguments: Any) -> Any:
        """Run the body of an async function in the page, with `a` as its arguments."""

    def kill(self) -> None:
        """End it at once, as an empty battery would."""


def _called(body: str, arguments: tuple[Any, ...]) -> str:
    return f"const a = {json.dumps(arguments)};\n{body}"


class Firefox:
    """
    Firefox without a window, by its own remote protocol (Marionette, version 3): over TCP, each
    message with its length before it. The driver that the package index has for it does not
    import under Python 3.13.
    """

    def __init__(self, folder: Path) -> None:
        port = free_port()
        self._profile = folder
        folder.mkdir(exist_ok=True)
        (folder / "user.js").write_text(f'user_pref("marionette.port", {port});\n')
        self._process = subprocess.Popen(
            [FIREFOX, "--headless", "--no-remote", "--marionette", "--profile", str(folder)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            env=os.environ | {"HOME": str(folder)},
        )
        with _line_to(port) as line:
            self._line = line.makefile("rwb")
        self._read()  # its greeting
        self._do("WebDriver:NewSession", {})
        self._do("WebDriver:SetTimeouts", {"script": SCRIPT_S * 1000})

    def open(self, url: str) -> None:
        self._do("WebDriver:Navigate", {"url": url})

    def run(self, body: str, *arguments: Any) -> Any:
        called = f"""
            const done = arguments[0];
            (async () => {{ {_called(body, arguments)} }})().then(
                (value) => done({{ value: value ?? null }}),
                (error) => done({{ error: String(error) }}))"""
        said = {"script": called, "args": [], "sandbox": None}
        return _value(self._do("WebDriver:ExecuteAsyncScript", said)["value"])

    def _do(self, command: str, said: dict[str, Any]) -> Any:
        message = json.dumps([0, 1, command, said]).encode()
        self._line.write(b"%d:%s" % (len(message), message))
        self._line.flush()
        _, _, error, result = self._read()
        assert error is None, error
        return result

    def _read(self) -> Any:
        length = b"".join(iter(lambda: self._line.read(1), b":"))
        return json.loads(self._line.read(int(length)))

    def kill(self) -> None:
        _kill(self._process)
        self._line.close()


class WebKit:
    """WebKit in a window on a screen that nobody sees."""

    def __init__(self, folder: Path, display: str) -> None:
        self._process = subprocess.Popen(
            [DEBIAN_PYTHON, str(Path(__file__).with_name("webkit_view.py")), str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
            env={
                "DISPLAY": display,
                "HOME": str(folder),
                "PATH": os.environ["PATH"],
                "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1",  # it wants namespaces of its own
                "GSETTINGS_BACKEND": "memory",
            },
        )

    def open(self, url: str) -> None:
        self._do({"open": url})

    def run(self, body: str, *arguments: Any) -> Any:
        return self._do({"run": _called(body, arguments)})

    def _do(self, said: dict[str, Any]) -> Any:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(said) + "\n")
        self._process.stdin.flush()
        is_told, _, _ = select.select([self._process.stdout], [], [], SCRIPT_S)
        assert is_told, f"WebKit does not answer to {said}"
        return _value(json.loads(self._process.stdout.readline()))

    def kill(self) -> None:
        _kill(self._process)


def _kill(process: subprocess.Popen[Any]) -> None:
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    with process:  # waits, and closes its pipes
        pass


def _line_to(port: int) -> socket.socket:
    until = time.monotonic() + SCRIPT_S
    while True:
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=2 * SCRIPT_S)
        except OSError:
            assert time.monotonic() < until, "Firefox does not answer"
            time.sleep(0.1)


def _value(answered: dict[str, Any]) -> Any:
    assert "error" not in answered, answered["error"]
    return answered["value"]


@contextmanager
def screen() -> Iterator[str]:
    """Give the name of an X screen that nobody sees."""
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", "800x900x24", "-nolisten", "tcp"],
        pass_fds=[writing],
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    with os.fdopen(reading) as said:
        yield f":{said.readline().strip()}"
    server.terminate()
    server.wait()
