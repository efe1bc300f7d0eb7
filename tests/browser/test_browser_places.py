"""Every place in a real Chromium: accessible, whole at both widths, quiet on the network."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cuffwright.exchange.case_file import write_case
from cuffwright.exchange.demo_cases import demo_cases
from tests.browser.conftest import COLD_MS, ROOT, SHOTS, Server

pytestmark = pytest.mark.browser

AXE = ROOT / "front" / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
Repair = Callable[..., str]


def violations(page: Page, part: str = "html") -> list[str]:
    """What axe finds against WCAG 2.2 A and AA in a part of the page, with the places where it finds it."""
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("([part, tags]) => axe.run(part, {runOnly: {type: 'tag', values: tags}})", [part, TAGS])
    assert len(found["passes"]) > (8 if part == "html" else 2)
    return [f"{v['id']}: {[n['target'] for n in v['nodes']][:4]}" for v in found["violations"]]


@pytest.mark.req("REQ-042")
def test_the_case_list_breaks_no_accessibility_rule(page: Page, server: Server) -> None:
    """Case list with cases, demo cases and upload: no violation."""
    server.open("small_crescent")
    page.goto(server.address)
    assert violations(page) == []


@pytest.mark.req("REQ-042")
def test_the_tear_breaks_no_accessibility_rule(page: Page, server: Server) -> None:
    """The measures: no violation."""
    page.goto(f"{server.address}/cases/{server.open('large_l_shaped')}/tear")
    assert violations(page) == []


@pytest.mark.req("REQ-042")
def test_the_repair_breaks_no_accessibility_rule(page: Page, repair: Repair) -> None:
    """The settled repair, with all layers and an open answer: no violation."""
    repair("large_l_shaped")
    page.keyboard.press("g")
    page.locator("#verdict .ask").first.click()
    page.wait_for_selector("#answer:not([hidden])")
    assert violations(page) == []


@pytest.mark.parametrize("width, height", [(1440, 900), (1024, 768)])
def test_pictures_of_every_place(page: Page, server: Server, width: int, height: int) -> None:
    """Each place fits its width without sideways scrolling; pictures are kept for looking at."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.set_viewport_size({"width": width, "height": height})
    keys = {demo: server.open(demo) for demo in demo_cases()}
    places = {"cases": "/", "tear": f"/cases/{keys['large_l_shaped']}/tear"}
    places |= {f"repair-{demo}": f"/cases/{key}/repair" for demo, key in keys.items()}
    places["access"] = f"/cases/{keys['large_l_shaped']}/access"
    for name, path in places.items():
        page.goto(server.address + path)
        if name.startswith("repair"):
            page.wait_for_selector(".state.settled", timeout=COLD_MS)
            expect(page.locator("#map svg.chart")).to_be_visible()
        if name == "access":
            page.wait_for_selector("#state.settled", timeout=COLD_MS)
            expect(page.locator("#shoulder canvas")).to_be_visible()
        page.screenshot(path=SHOTS / f"{name}-{width}.png", full_page=True)
        wide = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert wide[0] <= wide[1], name
    text = page.evaluate(
        "[...document.querySelectorAll('h2:not(.unseen), p, li')].map(one => one.scrollWidth - one.clientWidth)"
    )
    assert max(text) <= 1


def test_from_an_empty_list_to_a_moved_anchor(page: Page, tmp_path: Path) -> None:
    """A first-time user opens an invented case and moves an anchor in three actions."""
    server = Server(tmp_path)
    try:
        page.goto(server.address)
        page.get_by_role("button", name="Small crescent tear").click()
        handle = page.locator('.movable[data-name="1"]')
        handle.wait_for(timeout=COLD_MS)
        with page.expect_response(lambda r: r.url.endswith("/commands")):
            handle.focus()
            page.keyboard.press("ArrowDown")
        expect(page.locator("#undo")).to_contain_text("anchor 1 moved")
        page.goto("about:blank")
    finally:
        server.stop()


@pytest.mark.req("REQ-047")
def test_a_case_file_is_opened_and_a_strange_one_is_told(page: Page, server: Server, tmp_path: Path) -> None:
    """A case file chosen in the list opens its repair; garbage gives one sentence beside the field."""
    page.expected_troubles.append("422")  # type: ignore[attr-defined]
    strange, good = tmp_path / "strange.toml", tmp_path / "good.toml"
    strange.write_text("this is no case", encoding="utf-8")
    good.write_text(write_case(demo_cases()["elderly_soft_bone"]), encoding="utf-8")
    page.goto(server.address)
    page.locator("#file").set_input_files(strange)
    page.get_by_role("button", name="Open the case file").click()
    expect(page.locator("#file-wrong")).to_contain_text("not valid TOML")
    page.locator("#file").set_input_files(good)
    page.get_by_role("button", name="Open the case file").click()
    page.wait_for_url("**/repair")
    expect(page.locator(".side")).to_contain_text("shoulder")


def test_a_case_is_archived_and_brought_back(page: Page, server: Server) -> None:
    """Archiving takes a case out of the list; it can be brought back from below."""
    key = server.open("small_crescent")
    page.goto(server.address)
    row = page.locator(f'li.case:has(a[href="/cases/{key}/repair"])')
    row.get_by_role("button", name="Archive").click()
    expect(page.locator("#away-head")).to_be_visible()
    row.get_by_role("button", name="Bring back").click()
    expect(row.get_by_role("button", name="Archive")).to_be_visible()


def test_the_thread_is_walked_by_links_and_arrows(page: Page, repair: Repair) -> None:
    """The places that exist are links, the present one is announced, arrows walk between them."""
    repair()
    here = page.locator('.thread [aria-current="page"]')
    expect(here).to_contain_text("Repair")
    here.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    page.wait_for_url("**/tear")
    expect(page.locator('.thread [aria-current="page"]')).to_contain_text("Tear")
    expect(page.locator(".thread .later")).to_have_count(3)


@pytest.mark.req("REQ-213")
def test_the_short_path_and_a_dropped_file_open_a_repair(page: Page, server: Server) -> None:
    """Five measures typed into the list open a repair; a case file dropped on the page does so too."""
    page.expected_troubles.append("422")  # type: ignore[attr-defined]
    page.goto(server.address)
    page.get_by_label("Patient key, never a name").fill("K-12")
    page.get_by_label("left", exact=True).check()
    page.get_by_label("Width, front to back, mm").fill("150")
    page.get_by_label("Retraction, mm").fill("15")
    page.get_by_label("Age, years").fill("60")
    page.get_by_label("Shape").select_option("crescent")
    page.get_by_role("button", name="Open the repair").click()
    expect(page.locator("#short-wrong")).to_contain_text("more than any human footprint")
    page.get_by_label("Width, front to back, mm").fill("19")
    page.get_by_role("button", name="Open the repair").click()
    page.wait_for_url("**/repair")
    expect(page.locator(".side")).to_have_text("LEFT shoulder")
    expect(page.locator("#verdict")).to_contain_text("Choose a pattern")
    page.goto(server.address)
    page.evaluate(
        """text => { const all = new DataTransfer(); all.items.add(new File([text], "case.toml"));
        document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: all, bubbles: true }));
        }""",
        write_case(demo_cases()["elderly_soft_bone"]),
    )
    page.wait_for_url("**/repair")
    expect(page.locator(".who")).to_contain_text("demo-soft-bone")


def test_a_phone_shows_list_tear_and_repair_without_sideways_scrolling(page: Page, server: Server) -> None:
    """At 390 by 844 the case list, a tear with an open form and a repair fit their width."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.set_viewport_size({"width": 390, "height": 844})
    key = server.open("large_l_shaped")
    for name, path in (("cases", "/"), ("tear", f"/cases/{key}/tear"), ("repair", f"/cases/{key}/repair")):
        page.goto(server.address + path)
        if name == "tear":
            page.locator("li[id='tear.tissue'] summary").click()
        if name != "cases":
            expect(page.locator("#map svg.chart")).to_be_visible(timeout=COLD_MS)
        page.screenshot(path=SHOTS / f"{name}-390.png", full_page=True)
        wide = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert wide[0] <= wide[1], name
