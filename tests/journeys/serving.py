"""A real ``strikeladder``, as a person runs it: a command and what it prints, or one that serves until a block ends."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

LONGEST_START_SECONDS = 90.0


def free_port() -> int:
    """A port nobody uses at this moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def strikeladder(*command: str) -> str:
    """What a command prints; it must succeed."""
    run = subprocess.run(
        [sys.executable, "-m", "tracker.cli.main", *command], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, f"{command}: {run.stderr}"
    return run.stdout


@contextmanager
def running(*command: str, port: int | None = None) -> Iterator[str]:
    """Runs ``strikeladder`` with this command until the block ends; gives the address once it answers."""
    chosen = port or free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "tracker.cli.main", *command, "--no-browser", "--port", str(chosen)],
        env={key: value for key, value in os.environ.items() if key != "STRIKELADDER_DB"},
    )
    try:
        yield answering(chosen, process)
    finally:
        process.terminate()
        process.wait(timeout=20)


def answering(port: int, process: subprocess.Popen[bytes]) -> str:
    """The address of a process that serves at a port on this computer, once it answers."""
    address = f"http://127.0.0.1:{port}"
    deadline = time.monotonic() + LONGEST_START_SECONDS
    while True:
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=2):
                return address
        except OSError:
            assert process.poll() is None, "the server ended by itself"
            assert time.monotonic() < deadline, f"the server does not answer at {address}"
            time.sleep(0.1)
