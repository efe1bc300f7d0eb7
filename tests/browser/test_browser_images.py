"""Images under a real hand: taken in, turned, windowed, marked by mouse and by keys, and found again from the tear."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Server
from tests.browser.test_browser_places import violations
from tests.web.invented_exam import Exam, write_exam

pytestmark = pytest.mark.browser

DURATIONS = "name => performance.getEntriesByName(name).map(entry => entry.duration)"
FIRST = "() => performance.getEntriesByName('first-picture')[0].startTime"
LEVELS = """() => {
  const canvas = document.querySelector(".stack-view > canvas");
  const pen = new OffscreenCanvas(80, 80).getContext("2d", { willReadFrequently: true });
  pen.drawImage(canvas, 40 - canvas.width / 2, 40 - canvas.height / 2);
  const middle = pen.getImageData(0, 0, 80, 80).data;
  return middle.reduce((sum, value, i) => i % 4 ? sum : sum + value, 0) / 6400;
}"""


@pytest.fixture(scope="module")
def exam(tmp_path_factory: pytest.TempPathFactory) -> Exam:
    """The invented examination."""
    return write_exam(tmp_path_factory.mktemp("exam"))


@pytest.fixture(scope="module")
def key(server: Server, browser: Browser, exam: Exam, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A case into which the examination and a text file were taken on the page, every question answered."""
    key = server.open("small_crescent")
    note = tmp_path_factory.mktemp("note") / "note.txt"
    note.write_text("no image", encoding="utf-8")
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    page = context.new_page()
    page.goto(f"{server.address}/cases/{key}/images")
    expect(page.locator("#verdict")).to_contain_text("No images yet")
    handed = [str(file) for file in (*exam.mr, exam.film, exam.secondary, note)]
    page.locator("#import-files").set_input_files(handed)
    page.wait_for_selector(".import-asks")
    assert violations(page) == []
    page.get_by_role("button", name="Strip the names").click()
    expect(page.locator(".import-asks .wrong")).to_contain_text("waits for an answer")
    for box in page.locator(".import-asks [id^=ask-]").all():
        box.check()
    page.get_by_role("button", name="Strip the names").click()
    page.wait_for_selector(".series-button")
    expect(page.locator("#aside")).to_contain_text("file 1 is not a readable DICOM file")
    context.close()
    return key


@pytest.fixture
def images(page: Page, server: Server, key: str) -> Page:
    """The place with its first picture drawn."""
    page.goto(f"{server.address}/cases/{key}/images")
    page.wait_for_selector(".slice-words")
    return page


def open_series(page: Page, words: str) -> None:
    """Bring a series to the stack and wait until all its slices are here."""
    button = page.locator(".series-button", has_text=words)
    button.click()
    expect(button).to_have_attribute("aria-pressed", "true")
    page.wait_for_load_state("networkidle")


def test_pages_turn_from_what_is_here_already(images: Page) -> None:
    """With the net gone every slice still comes by key or wheel; the times of the machine are printed, not judged."""
    open_series(images, "32 slices")
    images.context.set_offline(True)
    images.locator(".stack-view").focus()
    for press in ("ArrowDown", "PageDown", "ArrowUp", "Home", "End", "PageUp"):
        images.keyboard.press(press)
    expect(images.locator(".slice-words")).to_contain_text("slice 27 of 32")
    images.locator(".stack-view").hover()
    images.mouse.wheel(0, 100)
    expect(images.locator(".slice-words")).to_contain_text("slice 28 of 32")
    images.context.set_offline(False)
    changes = images.evaluate(DURATIONS, "slice-change")
    assert len(changes) >= 7
    print(f"first picture {images.evaluate(FIRST):.0f} ms, slowest of {len(changes)} changes {max(changes):.1f} ms")


def test_window_zoom_and_invert_answer_to_keys_and_numbers(images: Page) -> None:
    """Invert turns light and dark; a lower centre brightens; zoom and fit are said; cross-lines go."""
    open_series(images, "32 slices")
    view = images.locator(".stack-view")
    view.focus()
    light = images.evaluate(LEVELS)
    images.keyboard.press("i")
    assert images.evaluate(LEVELS) == pytest.approx(255 - light, abs=1)
    images.keyboard.press("i")
    images.locator("#window-centre").fill("100")
    images.locator("#window-centre").press("Enter")
    assert images.evaluate(LEVELS) > light + 20
    view.focus()
    images.keyboard.press("w")
    assert images.evaluate(LEVELS) == pytest.approx(light, abs=0.5)
    images.keyboard.press("+")
    expect(images.locator(".zoom")).to_have_text("125 %")
    images.keyboard.press("0")
    expect(images.locator(".zoom")).to_have_text("100 %")
    expect(images.locator(".line.cut")).not_to_have_count(0)
    images.keyboard.press("x")
    expect(images.locator(".line.cut")).to_have_count(0)
    expect(images.locator(".beside canvas")).to_have_count(0)


@pytest.mark.req("REQ-192")
def test_a_measure_goes_from_clicks_to_the_tear_and_back(images: Page, server: Server, key: str) -> None:
    """One mark by mouse, one by Enter and arrows; the value follows; kept it stands in Tear, whose link shows it."""
    open_series(images, "32 slices")
    images.locator("#guide-tear_width").click()
    box = images.locator(".stack-view").bounding_box()
    assert box
    images.mouse.click(box["x"] + box["width"] / 2 - 60, box["y"] + box["height"] / 2)
    images.locator(".stack-view").focus()
    images.keyboard.press("Enter")
    expect(images.locator("[data-mark=back]")).to_be_focused()
    expect(images.locator("#live-value")).to_contain_text("mm, SD")
    before = images.locator("#live-value").inner_text()
    images.keyboard.press("Shift+ArrowRight")
    expect(images.locator("#live-value")).not_to_have_text(before)
    expect(images.locator(".parts")).to_contain_text("pixel grid")
    expect(images.locator(".where-picture")).to_be_visible()
    assert violations(images) == []
    value = images.locator("#live-value").inner_text().split(" mm")[0]
    images.locator("#measure-accept").click()
    expect(images.locator("#taken-tear_width")).to_contain_text(f"{value} mm")
    images.goto(f"{server.address}/cases/{key}/tear")
    row = images.locator("li", has_text="Width of the tear")
    assert float(row.locator(".value").inner_text().split(" mm")[0]) == pytest.approx(float(value), abs=0.05)
    row.get_by_role("link").click()
    expect(images.locator("[data-mark^=kept]")).to_have_count(2)
    expect(images.locator("#taken-tear_width")).to_have_attribute("aria-pressed", "true")


@pytest.mark.req("REQ-193")
def test_a_screen_shot_is_plainly_no_measure(images: Page) -> None:
    """Secondary capture: "Cannot be measured" with the reason, and every guide but none is offered."""
    open_series(images, "MR, 1 picture")
    expect(images.locator("#measure")).to_contain_text("Cannot be measured.")
    expect(images.locator("#measure .guide-button:not(:disabled)")).to_have_count(0)


@pytest.mark.req("REQ-193")
def test_a_stated_magnification_is_kept_with_its_reading(images: Page, server: Server, key: str) -> None:
    """Without a scale the interval is not offered; with one stated it is read, and the scale stands after a reload."""
    open_series(images, "DX, 1 picture")
    interval = images.locator("#guide-acromiohumeral_interval")
    expect(interval).to_be_disabled()
    images.locator(".scale-panel summary").click()
    images.locator("#scale-known").fill("distances of the room")
    images.locator("#scale-factor").fill("1.1")
    images.locator("#scale-sd").fill("0.02")
    images.get_by_role("button", name="State the magnification").click()
    interval.click()
    box = images.locator(".stack-view").bounding_box()
    assert box
    for up in (60, 30):
        images.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 - up)
    expect(images.locator(".parts")).to_contain_text("the scale itself")
    images.locator("#measure-accept").click()
    expect(images.locator("#taken-acromiohumeral_interval")).to_be_visible()
    images.goto(f"{server.address}/cases/{key}/images?reading=acromiohumeral_interval")
    expect(images.locator(".scale-said")).to_have_text("Scale: magnification 1.1, SD 0.02 (distances of the room).")


def test_images_fits_both_widths(images: Page, tmp_path: Path) -> None:
    """Nothing runs out of the page sideways at 1440 and at 1024 px."""
    for width in (1440, 1024):
        images.set_viewport_size({"width": width, "height": 800})
        assert images.evaluate("document.documentElement.scrollWidth") <= width
