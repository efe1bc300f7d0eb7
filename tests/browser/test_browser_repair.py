"""The repair map under a real hand: drag, keys, clicks, undo, patterns, questions."""

import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from cuffwright.repair.patterns import patterns
from tests.browser.conftest import COLD_MS, Server

pytestmark = pytest.mark.browser

Repair = Callable[..., str]


def handle(page: Page, name: str) -> Any:
    """The handle called ``name`` on the map."""
    return page.locator(f'.movable[data-name="{name}"]')


def centre(page: Page, name: str) -> tuple[float, float]:
    """Where the body of a handle stands on the screen."""
    box = handle(page, name).locator(".body").bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def spot(server: Server, key: str, name: str) -> tuple[float, float]:
    """Where an anchor or a hole is stored."""
    layout = server.board(key)["layout"]
    found = next(one for one in (*layout["anchors"], *layout["holes"]) if one["name"] == name)
    return found["u"], found["v"]


def stored(page: Page) -> Any:
    """Wait for the answer to a command."""
    return page.expect_response(lambda r: r.url.endswith("/commands"))


def edge_words(page: Page) -> dict[str, Any]:
    """Where the four words of the map stand."""
    names = ("anterior", "posterior", "medial", "lateral")
    return {word: page.locator(".edge-word", has_text=word).bounding_box() for word in names}


def pixels_per_mm(page: Page) -> float:
    """The scale of the map, from its own handles."""
    first, second = handle(page, "1"), handle(page, "2")
    mm = float(second.get_attribute("data-u") or 0) - float(first.get_attribute("data-u") or 0)
    return abs(centre(page, "2")[0] - centre(page, "1")[0]) / mm


def test_a_mouse_drag_is_one_command_and_an_estimate_shows_meanwhile(
    page: Page, repair: Repair, server: Server
) -> None:
    """While an anchor is dragged an estimate shows; on release one event is stored, where the anchor was let go,
    by the hand's own way even when a longer sentence pushes the map down meanwhile."""
    key = repair()
    before, seq = spot(server, key, "2"), server.board(key)["seq"]
    scale = pixels_per_mm(page)
    x, y = centre(page, "2")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 1 * scale, y, steps=4)
    expect(page.locator("#state")).to_contain_text("Estimate while it moves", timeout=20_000)
    expect(page.locator("#holds .estimate").first).to_be_attached()
    expect(page.locator("#holds .ghost").first).to_be_attached()
    assert server.board(key)["seq"] == seq
    page.locator("#verdict").evaluate("sentence => { sentence.style.paddingBottom = '60px' }")  # the map slides down
    page.keyboard.down("Alt")
    page.mouse.move(x - 2 * scale, y + 1 * scale, steps=3)
    with stored(page):
        page.mouse.up()
    page.keyboard.up("Alt")
    after = spot(server, key, "2")
    assert server.board(key)["seq"] == seq + 1
    assert after[0] - before[0] == pytest.approx(2.0, abs=0.1)
    assert after[1] - before[1] == pytest.approx(1.0, abs=0.1)
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    assert page.locator("#holds .estimate").count() == 0


@pytest.mark.req("REQ-043")
def test_arrows_move_by_half_a_millimetre_and_shift_by_two(page: Page, repair: Repair, server: Server) -> None:
    """On a right shoulder the right arrow moves forward 0.5 mm, Shift 2 mm, told in mm; turned, the one up does."""
    key = repair()
    before = spot(server, key, "1aB")
    handle(page, "1aB").focus()
    with stored(page):
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowDown")
    with stored(page):
        page.keyboard.press("Shift+ArrowDown")
    after = spot(server, key, "1aB")
    assert after[0] == pytest.approx(before[0] - 0.5)
    assert after[1] == pytest.approx(before[1] + 2.5)
    told = handle(page, "1aB").get_attribute("aria-valuetext") or ""
    assert told == f"{after[0]:.1f} mm from the front, {after[1]:.1f} mm from the cartilage margin"
    assert page.evaluate("document.activeElement.dataset.name") == "1aB"
    page.keyboard.press("v")
    with stored(page):
        page.keyboard.press("ArrowUp")
    assert spot(server, key, "1aB") == (pytest.approx(after[0] - 0.5), after[1])


def test_tab_walks_the_map_from_front_to_back(page: Page, repair: Repair) -> None:
    """The handles come in anatomical order, and Escape takes a move back before it is stored."""
    repair()
    names = page.eval_on_selector_all(".movable", "all => all.map(one => [one.dataset.name, Number(one.dataset.u)])")
    assert [u for _, u in names] == sorted(u for _, u in names)
    handle(page, names[0][0]).focus()
    for name, _ in names[1:]:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.dataset.name") == name
    before = handle(page, "1").get_attribute("data-v")
    handle(page, "1").focus()
    page.keyboard.press("ArrowDown")
    assert handle(page, "1").get_attribute("data-v") != before
    page.keyboard.press("Escape")
    expect(handle(page, "1")).to_have_attribute("data-v", before or "")


@pytest.mark.req("REQ-044")
def test_two_clicks_place_an_anchor_without_dragging(page: Page, repair: Repair, server: Server) -> None:
    """Click an anchor, click a place: it stands there. Escape between the two leaves it."""
    key = repair()
    before = spot(server, key, "L2")
    scale = pixels_per_mm(page)
    x, y = centre(page, "L2")
    page.mouse.click(x, y)
    expect(page.locator("#hand")).to_contain_text("picked")
    page.keyboard.press("Escape")
    page.mouse.click(x - 60, y + 10)
    assert server.board(key)["seq"] == 2
    page.mouse.click(x, y)
    with stored(page):
        page.mouse.click(x - 3 * scale, y - 2 * scale)
    after = spot(server, key, "L2")
    assert after[0] - before[0] == pytest.approx(3.0, abs=0.55)
    assert after[1] - before[1] == pytest.approx(-2.0, abs=0.55)


def test_targets_are_large_enough(page: Page, repair: Repair) -> None:
    """Every handle can be hit within 24 by 24 pixels."""
    repair()
    for box in page.eval_on_selector_all(
        ".movable .target", "all => all.map(one => one.getBoundingClientRect().width)"
    ):
        assert box >= 24


@pytest.mark.req("REQ-034")
def test_undo_and_redo_work_across_a_reload(page: Page, repair: Repair, server: Server) -> None:
    """A move survives a reload; Ctrl+Z takes it back, Ctrl+Shift+Z and the button make it again."""
    key = repair()
    before = spot(server, key, "1")
    handle(page, "1").focus()
    with stored(page):
        page.keyboard.press("ArrowDown")
    moved = spot(server, key, "1")
    page.reload()
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    expect(page.locator("#undo")).to_contain_text("anchor 1 moved")
    with stored(page):
        page.keyboard.press("Control+z")
    assert spot(server, key, "1") == before
    page.reload()
    page.wait_for_selector("#redo:not([disabled])", timeout=COLD_MS)
    with stored(page):
        page.keyboard.press("Control+Shift+z")
    assert spot(server, key, "1") == moved
    with stored(page):
        page.locator("#undo").click()
    assert spot(server, key, "1") == before


def test_a_pattern_is_chosen_by_its_miniature(page: Page, repair: Repair, server: Server) -> None:
    """A miniature of every pattern, those not for this tear folded away; choosing one lays and settles it."""
    key = repair()
    buttons = page.locator("#patterns button")
    expect(buttons).to_have_count(len(patterns()))
    refused = page.locator("#patterns details button")
    assert 0 < refused.count() < len(patterns())
    expect(refused.first).to_be_hidden()
    expect(refused.first).to_be_disabled()
    with stored(page):
        page.locator('[data-pattern="double-row"]').click()
    assert server.board(key)["layout"]["pattern"] == "double-row"
    expect(page.locator('[data-pattern="double-row"]')).to_have_attribute("aria-pressed", "true")
    expect(handle(page, "L1aF")).to_be_visible()
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    expect(page.locator("#verdict")).to_contain_text("Double row")


@pytest.mark.req("REQ-003")
@pytest.mark.parametrize("demo, anterior", [("small_crescent", "right"), ("large_l_shaped", "left")])
def test_anterior_lies_on_its_sides_edge(page: Page, repair: Repair, demo: str, anterior: str) -> None:
    """Right shoulder: anterior at the right edge; left: at the left. Anchor 1, the front one, lies towards it.

    Turned as in lateral decubitus, seen from behind, front comes up and the joint lies where the head lies: at the left
    of a right shoulder. From an anterior portal the back is up. The words turn with it and nothing is mirrored.
    """
    repair(demo)
    words = edge_words(page)
    forward = words["anterior"]["x"] > words["posterior"]["x"]
    assert forward == (anterior == "right")
    assert (centre(page, "1")[0] > centre(page, "2")[0]) == forward
    assert words["medial"]["y"] < words["lateral"]["y"]
    assert centre(page, "1")[1] < centre(page, "L1")[1]
    expect(page.locator(".side")).to_have_text(f"{anterior.upper()} shoulder")
    for way, up in (("decubitus", "anterior"), ("scope-anterior", "posterior")):
        page.locator(".map-tools select").select_option(way)
        words = edge_words(page)
        assert min(words, key=lambda word: words[word]["y"]) == up
        assert (words["medial"]["x"] < words["lateral"]["x"]) == (forward == (up == "anterior"))
        assert (centre(page, "1")[1] < centre(page, "2")[1]) == (up == "anterior")
        assert (centre(page, "1")[0] < centre(page, "L1")[0]) == (words["medial"]["x"] < words["lateral"]["x"])


@pytest.mark.req("REQ-017", "REQ-040", "REQ-056")
def test_the_page_shows_the_numbers_of_the_answer(page: Page, repair: Repair, server: Server) -> None:
    """Verdict, scenarios and contact carry the very numbers of the interface, with interval and threshold."""
    key = repair()
    hold = server.board(key)["hold"]
    words = " ".join(page.locator("#verdict").inner_text().split())
    assert words == " ".join(hold["verdict"].split())
    assert "laboratory" in words
    shown = page.locator("#holds").inner_text()
    for scenario in hold["scenarios"]:
        reach = scenario["ultimate"]
        for number in (reach["middle"], reach["low"], reach["high"]):
            assert f"{number:g}" in shown
    assert f"above {hold['contact']['threshold']:g} MPa" in page.locator("#contact").inner_text()


@pytest.mark.req("REQ-021", "REQ-022")
def test_a_number_is_asked_by_click_and_by_enter(page: Page, repair: Repair) -> None:
    """Asking opens the answer beside the number with meaning, formula, inputs and rows; Escape closes it again."""
    repair()
    page.locator("#verdict .ask").first.click()
    answer = page.locator("#answer")
    expect(answer).to_be_visible()
    expect(answer).to_contain_text("Distance of anchor beds")
    expect(answer).to_contain_text("rule.anchor.spacing")
    page.keyboard.press("Escape")
    expect(answer).to_be_hidden()
    assert "ask" in page.evaluate("document.activeElement.className")
    page.locator('#holds [data-ask="ultimate.fair"]').first.focus()
    page.keyboard.press("Enter")
    expect(answer).to_contain_text("Ultimate load, fair tissue", timeout=20_000)
    expect(answer).to_contain_text("How it is computed")
    assert answer.locator(".facts li").count() > 3
    unverified = answer.locator(".facts li.unverified .provenance").all_inner_texts()
    assert all(words.startswith("unverified") for words in unverified)
    map_box, answer_box = page.locator("#map").bounding_box(), answer.bounding_box()
    assert answer_box["x"] >= map_box["x"] + map_box["width"]


@pytest.mark.req("REQ-041")
def test_limbs_differ_by_line_and_name_not_by_colour_alone(page: Page, repair: Repair, server: Server) -> None:
    """No two limbs share hue and line pattern, each bridging limb carries its name at both ends."""
    key = repair()
    names = [hole["name"] for hole in server.board(key)["layout"]["holes"]]
    shown = page.locator(".limb-name").all_text_contents()
    for name in names:
        assert sum(text.split()[0] == name for text in shown) == 2
    looks = page.eval_on_selector_all(
        "#map .limb", "all => all.map(g => g.className.baseVal + g.querySelector('.hue').getAttribute('stroke'))"
    )
    assert len(set(looks)) == len(names)
    patterns = page.eval_on_selector_all("#map .limb", "all => all.map(g => g.className.baseVal)")
    assert len(set(patterns)) == min(4, len(names))


def test_layers_follow_their_keys(page: Page, repair: Repair) -> None:
    """p, g and n switch pressure, gap and net on the map; r writes beside each anchor from which portal it is reached,
    and says nothing of one that is being moved."""
    repair()
    for key, layer, at_first in (("p", "pressure", "visible"), ("g", "gap", "hidden"), ("n", "graticule", "visible")):
        other = "hidden" if at_first == "visible" else "visible"
        expect(page.locator(f".layer-{layer}")).to_have_attribute("visibility", at_first)
        page.keyboard.press(key)
        expect(page.locator(f".layer-{layer}")).to_have_attribute("visibility", other)
    expect(page.locator("#reach")).to_be_hidden()
    page.keyboard.press("r")
    anchors = page.locator(".movable.anchor")
    expect(page.locator(".reach-label")).to_have_count(anchors.count())
    expect(page.locator("#reach li")).to_have_count(page.locator(".movable").count())
    x, y = centre(page, "1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 12, y + 4, steps=2)
    expect(page.locator(".reach-label")).to_have_count(anchors.count() - 1)
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator(".reach-label")).to_have_count(anchors.count())


@pytest.mark.req("REQ-052")
def test_an_anchor_dragged_off_the_bone_is_told_and_goes_back(page: Page, repair: Repair, server: Server) -> None:
    """Dropping an anchor on the cartilage says why it cannot be and leaves it where it was."""
    key = repair()
    page.expected_troubles.append("422")  # type: ignore[attr-defined]
    x, y = centre(page, "1")
    before = handle(page, "1").get_attribute("data-v")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 70, steps=3)
    with stored(page):
        page.mouse.up()
    expect(page.locator("#trouble")).to_contain_text("off the bone")
    expect(handle(page, "1")).to_have_attribute("data-v", before or "")
    assert server.board(key)["seq"] == 2


@pytest.mark.req("REQ-025")
def test_a_change_from_another_window_is_told(page: Page, repair: Repair, server: Server) -> None:
    """A move on an outdated page is refused, the change is named and shown."""
    key = repair()
    page.expected_troubles.append("409")  # type: ignore[attr-defined]
    other = page.context.new_page()
    other.goto(f"{server.address}/cases/{key}/repair")
    other.wait_for_selector('[data-pattern="double-row"]', timeout=COLD_MS)
    with stored(other):
        other.locator('[data-pattern="double-row"]').click()
    other.close()
    handle(page, "1").focus()
    with stored(page):
        page.keyboard.press("ArrowDown")
    expect(page.locator("#trouble")).to_contain_text("pattern double-row laid")
    expect(page.locator('[data-pattern="double-row"]')).to_have_attribute("aria-pressed", "true")


def test_a_killed_server_is_told_and_its_return_is_noticed(page: Page, tmp_path: Path) -> None:
    """When the server is gone the page says what was not stored; when it is back the page goes on by itself."""
    page.expected_troubles.append("ERR_")  # type: ignore[attr-defined]
    server = Server(tmp_path)
    key = server.open("small_crescent")
    page.goto(f"{server.address}/cases/{key}/repair")
    handle(page, "1").wait_for(timeout=COLD_MS)
    server.stop(signal.SIGKILL)
    handle(page, "1").focus()
    with page.expect_event("requestfailed", lambda sent: sent.url.endswith("/commands")):
        page.keyboard.press("ArrowDown")
    expect(page.locator("#trouble")).to_contain_text("server does not answer", timeout=10_000)
    expect(page.locator("#trouble")).to_contain_text("not stored")
    again = Server(tmp_path, server.port)
    try:
        expect(page.locator("#trouble")).to_be_empty(timeout=20_000)
        assert again.board(key)["seq"] == 2
    finally:
        page.goto("about:blank")
        again.stop()
