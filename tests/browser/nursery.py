"""Servers as processes of their own: one process has read the program once and forks them."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATIENCE_SECONDS = 30.0
STEP_SECONDS = 0.01

PROGRAM = """
import json, os, signal, sys
from cuffwright.compiled import point_compiler_here
point_compiler_here()
import cuffwright.web.serve
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
said = os.dup(1)
born = []
for line in sys.stdin:
    order = json.loads(line)
    child = os.fork()
    if child == 0:
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.dup2(os.open(order["said"], os.O_WRONLY), 1)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.close(said)
        sys.argv = ["-c", *order["arguments"]]
        try:
            exec(order["program"], {"__name__": "__main__"})
        finally:
            sys.stdout.flush()
            os._exit(0)
    born.append(child)
    os.write(said, f"{child}\\n".encode())
for child in born:
    try:
        os.kill(child, signal.SIGKILL)
    except ProcessLookupError:
        pass
"""
"""Forks a process for each order, in which the program of the order runs; at the end it kills what is left."""


class Nursery:
    """The process that has read the program; started when the first server is asked for."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None
        self._count = 0

    def born(self, program: str, arguments: list[str], folder: Path) -> tuple[int, str]:
        """Run a program in a process of its own; its number, and the first line it says."""
        self._count += 1
        pipe = folder / f"said-{os.getpid()}-{self._count}"
        os.mkfifo(pipe)
        process = self._started()
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(json.dumps({"program": program, "arguments": arguments, "said": str(pipe)}) + "\n")
        process.stdin.flush()
        number = int(process.stdout.readline())
        with pipe.open(encoding="utf-8") as heard:
            first = heard.readline()
        pipe.unlink()
        return number, first

    def close(self) -> None:
        """End it, and whatever it started."""
        if self._process is not None and self._process.stdin is not None:
            self._process.stdin.close()
            self._process.wait(timeout=PATIENCE_SECONDS)
            if self._process.stdout:
                self._process.stdout.close()
        self._process = None

    def _started(self) -> subprocess.Popen[str]:
        if self._process is None:
            paths = [str(ROOT / "src"), str(ROOT), os.environ.get("PYTHONPATH", "")]
            env = {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}
            self._process = subprocess.Popen(
                [sys.executable, "-c", PROGRAM], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env
            )
        return self._process


def ended(number: int, how: int = signal.SIGTERM) -> None:
    """End a process that is no child of this one, and wait until it is gone."""
    end = time.monotonic() + PATIENCE_SECONDS
    with contextlib.suppress(ProcessLookupError):
        os.kill(number, how)
        while time.monotonic() < end:
            os.kill(number, 0)
            time.sleep(STEP_SECONDS)
        raise TimeoutError(f"process {number} did not end")


NURSERY = Nursery()
