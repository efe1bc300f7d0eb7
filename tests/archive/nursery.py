"""A program that sends out appenders on demand, each a process of its own, so that they can be killed.

It reads lines: ``folder name count`` sends out an appender, ``wait`` waits for one to end and prints how. The
libraries are loaded once, before the first appender leaves.
"""

import os
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path

from cuffwright.archive import StaleCase, open_archive


def append(folder: Path, name: str, most: int) -> None:
    """Append ``most`` events to the invented case, printing each id once it is acknowledged."""
    at = datetime(2026, 3, 1, tzinfo=UTC)
    with open_archive(folder, wait_seconds=30) as archive:
        say(f"open {os.getpid()}")
        done = 0
        while done < most:
            seq = archive.line("case-1").last_seq
            try:
                event = archive.append("case-1", seq, f"{name}/{done}", "hole.moved", {"u": done}, name, "surgeon", at)
            except StaleCase as stale:
                say(f"stale {name} {len(stale.since)}")
                continue
            say(f"kept {event.id}")
            done += 1


def say(line: str) -> None:
    """Write one line in one piece, so that lines of several processes do not mix."""
    os.write(1, f"{line}\n".encode())


def send_out(folder: Path, name: str, most: int) -> None:
    """Fork an appender; what goes wrong in it is printed and ends it with status 1."""
    if os.fork() == 0:
        try:
            append(folder, name, most)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
        os._exit(0)


if __name__ == "__main__":
    for order in sys.stdin:
        words = order.split()
        if words == ["wait"]:
            say(f"ended {os.waitstatus_to_exitcode(os.wait()[1])}")
        else:
            send_out(Path(words[0]), words[1], int(words[2]))
