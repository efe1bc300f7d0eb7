"""The page shows the numbers of the interface, to the last digit, for random layouts."""

import json
import random
import urllib.request
from dataclasses import replace

import pytest
from playwright.sync_api import Page

from cuffwright.exchange.demo_cases import demo_cases
from tests.browser.conftest import COLD_MS, Server
from tests.sampling import of

pytestmark = pytest.mark.browser

LAYOUTS = of(3, 8)


def told(number: float) -> str:
    """A number as the page writes it: without an empty decimal."""
    return f"{number:g}"


def answer(server: Server, key: str) -> dict:
    """The settled answer of the interface."""
    with urllib.request.urlopen(f"{server.address}/api/cases/{key}/hold") as found:
        return dict(json.load(found)["hold"])


def shown_numbers(hold: dict) -> list[str]:
    """What the right side of the page must say: each scenario's interval, the middle scenario's members, contact."""
    middle = hold["scenarios"][len(hold["scenarios"]) // 2]
    ends = [one["ultimate"][end] for one in hold["scenarios"] for end in ("middle", "low", "high")]
    members = [m["loaded"]["middle"] for m in middle["members"] if m["loaded"]]
    contact = [hold["contact"]["force"], hold["contact"]["peak"]]
    return [told(number) for number in (*ends, *members, *contact)]


@pytest.mark.req("REQ-040")
def test_page_and_interface_carry_the_same_numbers(page: Page, server: Server) -> None:
    """Random moves by keyboard, each settled: the verdict and every number on the page equal the interface's."""
    chance = random.Random(1)
    sheet = demo_cases()["small_crescent"]
    felt = replace(sheet, tear=replace(sheet.tear, tissue="fair"), bone=replace(sheet.bone, quality="good"))
    key = server.open_case(felt)
    page.goto(f"{server.address}/cases/{key}/repair")
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    names = page.eval_on_selector_all(".movable", "all => all.map(one => one.dataset.name)")
    seen = set()
    for _ in range(LAYOUTS):
        page.locator(f'.movable[data-name="{chance.choice(names)}"]').focus()
        with page.expect_response(lambda r: r.url.endswith("/commands")):
            page.keyboard.press(chance.choice(["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]))
        page.wait_for_selector(".state.settled", timeout=COLD_MS)
        hold = answer(server, key)
        assert page.locator("#verdict").inner_text() == hold["verdict"]
        words = page.locator("#right").inner_text()
        assert [number for number in shown_numbers(hold) if number not in words] == []
        seen.add(hold["input_hash"])
    assert len(seen) > LAYOUTS / 2
