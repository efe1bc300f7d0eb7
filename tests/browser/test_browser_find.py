"""The "/" box, the keys, and every place on paper."""

import io

import pypdf
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COLD_MS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser


def test_one_box_finds_a_limb_a_measure_and_the_keys(page: Page, server: Server) -> None:
    """Slash, a few letters and Enter go to a limb and to a measure's line; the question mark shows the keys."""
    key = server.open("small_crescent")
    page.goto(f"{server.address}/cases/{key}/repair")
    page.wait_for_selector(".movable", timeout=COLD_MS)
    page.keyboard.press("/")
    page.keyboard.type("2aB")
    expect(page.get_by_role("option").first).to_contain_text("Limb 2aB")
    assert violations(page) == []
    page.keyboard.press("Enter")
    expect(page.locator('.movable[data-name="2aB"]')).to_be_focused()
    expect(page.get_by_role("search")).to_be_hidden()
    page.keyboard.press("?")
    expect(page.locator(".keys")).to_contain_text("takes it out")
    page.keyboard.press("Escape")
    expect(page.locator(".keys")).to_be_hidden()
    page.keyboard.press("/")
    page.keyboard.type("head radius of")
    page.keyboard.press("Escape")
    page.keyboard.press("/")
    page.keyboard.type("radius of the head")
    expect(page.get_by_role("option").first).to_contain_text("Radius of the head")
    page.keyboard.press("Enter")
    page.wait_for_url("**/tear#footprint.head_radius_mm")


@pytest.mark.req("REQ-216")
@pytest.mark.parametrize("place", ["repair", "tear", "access"])
def test_every_sheet_of_a_printed_place_names_side_and_patient(page: Page, server: Server, place: str) -> None:
    """Whatever place is printed, each sheet carries side, patient key, date and that it is not for care."""
    key = server.open("large_l_shaped")
    page.goto(f"{server.address}/cases/{key}/{place}")
    page.wait_for_selector(".chart" if place != "access" else "#reach table", timeout=COLD_MS)
    sheets = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True))).pages
    for number, sheet in enumerate(sheets, 1):
        text = sheet.extract_text()
        for words in ("LEFT shoulder", "demo-l-shaped", "2026-12-10", "not for care", f"{number} / {len(sheets)}"):
            assert words in text
