"""Judgement on Tear and the place Follow-up under a real hand."""

from datetime import date, timedelta

import pytest
from playwright.sync_api import Page, expect

from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.plain import sheet_from_plain, sheet_to_plain
from tests.browser.conftest import COLD_MS, SHOTS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser

TODAY = date.today()


def operated(server: Server) -> str:
    """A case without a planned pattern, operated on thirty weeks ago; returns its key."""
    plain = sheet_to_plain(demo_cases()["small_crescent"])
    plain["identity"] |= {"operation_date": (TODAY - timedelta(weeks=30)).isoformat(), "title": "Care after"}
    plain["identity"].pop("image_date", None)
    plain.pop("plan", None)
    return server.open_case(sheet_from_plain(plain))


def enter(page: Page, on: date, pain: str, each: str) -> None:
    """Enter one score by hand."""
    form = page.locator("details", has=page.locator('input[name="score"][value="ases"]'))
    form.locator("summary").click()
    form.locator('input[name="day"]').fill(on.isoformat())
    form.locator('input[name="pain.0"]').fill(pain)
    for item in range(10):
        form.locator(f'input[name="function.{item}"]').fill(each)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        form.get_by_role("button", name="Write it down").click()


@pytest.mark.req("REQ-201", "REQ-204")
def test_a_course_is_entered_drawn_and_released_by_hand(page: Page, server: Server) -> None:
    """Two scores are typed and drawn; a wrong one is refused with what was typed still there; protocol, word and
    release open the sheets; nothing breaks the rules of access at either size, nor on the practice it leads to."""
    key = operated(server)
    page.goto(f"{server.address}/cases/{key}/followup")
    page.expected_troubles.append("422")  # type: ignore[attr-defined]
    enter(page, TODAY - timedelta(weeks=31), "5", "1")
    expect(page.locator("#verdict")).to_contain_text("1 visit on record")
    enter(page, TODAY - timedelta(weeks=2), "11", "3")
    expect(page.locator("#trouble")).to_contain_text("pain")
    assert page.locator('input[name="pain.0"]').first.input_value() == "11"
    page.locator('details[open] input[name="pain.0"]').fill("1")
    page.locator("details[open]").get_by_role("button", name="Write it down").click()
    expect(page.locator(".curve-figure .middle-dot")).to_have_count(2)
    expect(page.locator("#trouble")).to_be_empty()
    page.get_by_label("Repair done as planned").select_option("yes")
    page.get_by_role("button", name="Say so").click()
    expect(page.locator("#verdict")).not_to_contain_text("not known")
    page.get_by_text("Give its weeks").click()
    for name, value in (("Name", "Ward A"), ("Version", "3"), ("Sling ends week", "6"), ("Passive week", "2")):
        page.get_by_label(name, exact=True).fill(value)
    page.get_by_label("Active week").fill("6")
    page.get_by_label("Strengthening week").fill("10")
    page.get_by_role("button", name="Write it down").last.click()
    expect(page.locator("#protocol-head + p")).to_contain_text("Ward A, version 3")
    expect(page.locator(".weeks td.small")).to_contain_text("not before week 12")
    page.get_by_text("Release both sheets").click()
    page.get_by_label("Released by").fill("surgeon")
    page.get_by_label("Whom the patient calls").fill("ward 3")
    page.get_by_role("button", name="Release").click()
    expect(page.locator("#released")).to_contain_text("Released on")
    assert page.request.get(f"{server.address}/cases/{key}/rehabilitation/patient.pdf").ok
    SHOTS.mkdir(parents=True, exist_ok=True)
    for width, height in ((1440, 900), (1024, 768)):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert violations(page) == []
        page.screenshot(path=SHOTS / f"followup-{width}.png")
    page.get_by_role("link", name="what all follow-ups add up to").click()
    expect(page.locator("#verdict")).to_contain_text("torn again")
    assert violations(page) == []


@pytest.mark.req("REQ-200")
def test_a_grade_by_eye_is_answered_in_the_judgement(page: Page, server: Server) -> None:
    """The missing grade is answered where it is asked, and its class follows at once."""
    key = server.open("large_l_shaped")
    page.goto(f"{server.address}/cases/{key}/tear")
    page.wait_for_selector(".tear-handle", timeout=COLD_MS)
    asked = page.locator('[id="judgement.retraction_stage"]')
    page.get_by_text("answers are missing").click()
    asked.locator("summary").click()
    asked.locator("select").select_option("3")
    asked.get_by_role("button", name="Write it down").click()
    stage = page.locator(".schemes li", has_text="Stage of retraction")
    expect(stage.locator(".ask").first).to_have_text("stage 3")
