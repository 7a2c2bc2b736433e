"""A real Chromium without a window, for tests that look, spoken to over a pipe (the DevTools protocol)."""

from __future__ import annotations

import base64
import json
import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine")
_SWITCHES = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
)
_PATIENCE = 60.0
"""Seconds for any one answer."""


class Page:
    """One page of the browser."""

    def __init__(self, commands: int, answers: int) -> None:
        self._commands, self._answers = commands, answers
        self._count = 0
        self._rest = b""
        self._session: str | None = None
        self.complaints: list[str] = []
        """What the page wrote to its console as a warning or an error, and what it threw."""
        self.requests: list[str] = []
        """Every address that the page asked for."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **params: Any) -> Any:
        """The answer to one command."""
        self._count += 1
        message: dict[str, Any] = {"id": self._count, "method": method, "params": params}
        if self._session is not None:
            message["sessionId"] = self._session
        os.write(self._commands, json.dumps(message).encode() + b"\0")
        while True:
            heard = self._hear()
            if heard.get("id") == self._count:
                assert "error" not in heard, heard
                return heard["result"]

    def open(self, file: Path) -> float:
        """Open a file; how long it took until it was loaded, in seconds."""
        begun = time.monotonic()
        self.call("Page.navigate", url=file.resolve().as_uri())
        assert self.evaluate(
            "new Promise(done => document.readyState === 'complete' ? done(1) : "
            "addEventListener('load', () => done(1)))"
        )
        self.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        return time.monotonic() - begun

    def evaluate(self, code: str) -> Any:
        """The value of an expression, waited for."""
        found = self.call("Runtime.evaluate", expression=code, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def press(self, key: str, *, code: int = 0, text: str = "") -> None:
        """Press and let go one key, as from the keyboard."""
        for kind in ("keyDown", "keyUp"):
            extra = {"text": text} if text and kind == "keyDown" else {}
            self.call("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code, **extra)

    def look(self, width: int, height: int, **media: str) -> None:
        """Give the page a width and height (CSS px), and media features such as a colour scheme."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )
        features = [{"name": name.replace("_", "-"), "value": value} for name, value in media.items()]
        self.call("Emulation.setEmulatedMedia", features=features)

    def shoot(self, file: Path, *, whole: bool = True) -> None:
        """A picture of the page."""
        shot = self.call("Page.captureScreenshot", captureBeyondViewport=whole)
        file.write_bytes(base64.b64decode(shot["data"]))

    def printed(self, width: float, height: float) -> bytes:
        """The page as it is printed on paper of that size (mm), as PDF."""
        done = self.call(
            "Page.printToPDF",
            paperWidth=width / 25.4,
            paperHeight=height / 25.4,
            printBackground=False,
            preferCSSPageSize=True,
        )
        return base64.b64decode(done["data"])

    def _hear(self) -> dict[str, Any]:
        """The next message; what the page complains of is kept on the way."""
        until = time.monotonic() + _PATIENCE
        while b"\0" not in self._rest:
            assert time.monotonic() < until, "the browser does not answer"
            more = os.read(self._answers, 1 << 20)
            assert more, "the browser has gone"
            self._rest += more
        message, _, self._rest = self._rest.partition(b"\0")
        heard: dict[str, Any] = json.loads(message)
        told = heard.get("params", {})
        match heard.get("method"):
            case "Runtime.exceptionThrown":
                self.complaints.append(json.dumps(told["exceptionDetails"]))
            case "Runtime.consoleAPICalled" if told["type"] in ("error", "warning", "assert"):
                self.complaints.append(json.dumps(told["args"]))
            case "Log.entryAdded" if told["entry"]["level"] in ("error", "warning"):
                self.complaints.append(told["entry"]["text"])
            case "Network.requestWillBeSent":
                self.requests.append(told["request"]["url"])
        return heard


@contextmanager
def browser(profile: Path) -> Iterator[Page]:
    """A page of a browser of its own."""
    assert CHROMIUM is not None
    theirs_in, ours_out = os.pipe()
    ours_in, theirs_out = os.pipe()
    # The browser reads commands from descriptor 3 and answers on 4.
    line = f'exec "$@" 3<&{theirs_in} 4>&{theirs_out}'
    command = ["/bin/bash", "-c", line, "sh", CHROMIUM, *_SWITCHES, f"--user-data-dir={profile}"]
    process = subprocess.Popen(
        command, pass_fds=(theirs_in, theirs_out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    os.close(theirs_in)
    os.close(theirs_out)
    try:
        yield Page(ours_out, ours_in)
    finally:
        process.terminate()
        process.wait(timeout=30)
        os.close(ours_out)
        os.close(ours_in)
