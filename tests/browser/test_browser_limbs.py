"""The rehearsal of the limbs under a real hand: keys, the learner's own moves, a mishap."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COLD_MS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser

Limbs = Callable[..., str]


@pytest.fixture
def limbs(page: Page, server: Server) -> Limbs:
    """Open a fresh demo case in its limbs and wait for map and picture; returns its key."""

    def opened(demo: str = "small_crescent") -> str:
        key = server.open(demo)
        page.goto(f"{server.address}/cases/{key}/limbs")
        page.wait_for_selector("#picture canvas", timeout=COLD_MS)
        return key

    return opened


def test_keys_and_mouse_walk_through_the_plan(page: Page, limbs: Limbs) -> None:
    """Page Down and Up, arrows, Home, End, a click: step, map and number follow; no rule of access broken."""
    limbs()
    count = page.locator(".now-count")
    total = int(count.inner_text().split(" of ")[1])
    assert count.inner_text() == f"0 of {total}"
    page.keyboard.press("PageDown")
    page.keyboard.press("ArrowRight")
    expect(count).to_have_text(f"2 of {total}")
    page.keyboard.press("PageUp")
    expect(count).to_have_text(f"1 of {total}")
    page.keyboard.press("End")
    expect(count).to_have_text(f"{total} of {total}")
    expect(page.locator(".bay .chip")).to_have_count(0)
    page.keyboard.press("Home")
    page.locator(".step-go").nth(3).click()
    expect(count).to_have_text(f"4 of {total}")
    expect(page.locator(".step-go[aria-current=step]")).to_contain_text(page.locator(".now-words").inner_text())
    expect(page.locator(".chip.moved")).not_to_have_count(0)
    page.locator("#verdict .ask").first.click()
    expect(page.locator("#answer")).to_contain_text("Everything an instrument does once")
    page.locator(".usual > summary").click()
    usual, here = page.locator(".usual-counts tbody tr").first.locator("td").all_inner_texts()
    assert int(usual) > int(here) == total
    expect(page.locator("#portals")).to_have_value("fewest")
    assert violations(page) == []


@pytest.mark.req("REQ-184")
def test_the_learner_is_stopped_told_why_and_goes_on(page: Page, limbs: Limbs, server: Server) -> None:
    """A knot before anything is passed is not made and explained; the right one is made, then taken back."""
    key = limbs()
    seq = server.board(key)["seq"]
    page.keyboard.press("PageDown")
    page.get_by_role("button", name="I choose the move").click()
    expect(page.locator(".step-go")).to_have_count(1)
    expect(page.locator("details.now-next")).not_to_have_attribute("open", "")
    page.locator("button.chip").first.click()
    page.get_by_role("button", name="Tie", exact=True).click()
    page.get_by_role("button", name="Ask the judge").click()
    judged = page.locator("#judged")
    expect(judged.locator("h2")).to_contain_text("Not made")
    expect(judged.locator("li.stop").first).to_contain_text("What to do")
    assert violations(page, "#right") == []
    page.get_by_role("button", name="Insert anchor", exact=True).click()
    page.get_by_label("Anchor", exact=True).first.select_option("2")
    through = page.locator(".step-words").first.inner_text().split(" through the ")[1].split(" portal")[0]
    page.get_by_label("Portal, through").select_option(through)
    page.get_by_role("button", name="Ask the judge").click()
    expect(judged.locator("h2")).to_contain_text("Made")
    expect(page.locator("#verdict")).to_contain_text("2 moves made")
    page.get_by_role("button", name="Step back").click()
    expect(page.locator("#verdict")).to_contain_text("1 move made")
    assert server.board(key)["seq"] == seq


@pytest.mark.req("REQ-186")
def test_a_mishap_is_entered_and_the_new_plan_says_what_changed(page: Page, limbs: Limbs) -> None:
    """An anchor pulled out half way: what changed is listed, the mishap stands among the steps, the plan goes on."""
    limbs()
    for _ in range(5):
        page.keyboard.press("PageDown")
    page.get_by_text("Something happened").click()
    page.get_by_label("What").select_option("Anchor pulled out")
    page.get_by_role("button", name="Plan again from here").click()
    expect(page.locator("#changed li")).not_to_have_count(0)
    expect(page.locator(".step.mishap")).to_contain_text("Anchor pulled out")
    expect(page.locator("#verdict")).to_contain_text("to go")
    page.keyboard.press("End")
    expect(page.locator(".bay .chip")).to_have_count(0)
