"""Who may pass the door, and what strange requests are told."""

import json
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from cuffwright.web.guard import LARGEST_BODY
from cuffwright.web.orders import PAYLOADS, Kind
from tests.web.door import Door

pytestmark = pytest.mark.door


def told(answer: Any) -> str:
    """The one sentence of a refusal, checked for its shape."""
    assert 400 <= answer.status_code < 500, (answer.status_code, answer.text)
    sentence = answer.json()["error"]
    assert isinstance(sentence, str)
    assert 10 < len(sentence) < 400
    assert "Traceback" not in sentence
    assert "\n" not in sentence
    return str(sentence)


@pytest.mark.req("REQ-045")
@pytest.mark.parametrize("host", ["evil.example", "evil.example:8750", "127.0.0.1.evil.example", "", "10.0.0.1:8750"])
def test_a_foreign_host_is_refused(door: Door, host: str) -> None:
    """Only this machine's own names are answered, whatever port stands behind them."""
    answer = door.get("/", headers={"Host": host})
    assert answer.status_code == 421
    told(answer)


@pytest.mark.req("REQ-045")
@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:9999", "https://localhost", "http://127.0.0.1"]
)
def test_a_foreign_origin_is_refused(door: Door, origin: str) -> None:
    """A page of another origin can neither read nor change a case, not even one on another port of this machine."""
    key = door.open()
    for method, path in (("GET", f"/api/cases/{key}"), ("POST", f"/cases/{key}/archive"), ("POST", "/api/cases")):
        answer = door.ask(method, path, headers={"Origin": origin})
        assert answer.status_code == 403
        told(answer)
    assert door.get("/api/cases").json()["cases"][0]["archived"] is False


@pytest.mark.req("REQ-045")
def test_a_request_from_another_site_is_refused_and_a_link_is_not(door: Door) -> None:
    """What a browser marks as cross-site is refused unless a person follows a link."""
    assert door.get("/api/cases", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
    assert door.get("/", headers={"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}).status_code == 200


def test_its_own_origin_passes(door: Door) -> None:
    """The page's own origin may do everything."""
    answer = door.post("/api/cases", json={"demo": "small_crescent"}, headers={"Origin": "http://127.0.0.1:8750"})
    assert answer.status_code == 201


@pytest.mark.req("REQ-046")
@pytest.mark.parametrize("path", ["/", "/api/cases", "/nowhere", "/static/icon.svg", "/api/openapi.json"])
def test_every_answer_is_hardened(door: Door, path: str) -> None:
    """Each answer forbids everything from elsewhere, inline code, framing and guessing of types."""
    headers = door.get(path).headers
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "http" not in policy
    assert "data:" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cache-control"] in {"no-store", "no-cache"}
    assert "access-control-allow-origin" not in headers
    assert "set-cookie" not in headers


@pytest.mark.req("REQ-046")
def test_no_page_names_another_host(door: Door) -> None:
    """No page refers to anything by a full address."""
    key = door.open()
    for path in ("/", f"/cases/{key}/repair", f"/cases/{key}/tear"):
        page = door.get(path).text
        assert "http://" not in page.replace("http://www.w3.org/2000/svg", "")
        assert "https://" not in page
        assert "<style" not in page
        assert " style=" not in page
        assert " onclick=" not in page


STRANGE_PATHS = [
    "/api/cases/..%2F..%2Fetc%2Fpasswd",
    "/api/cases/%00",
    "/api/cases/case-0000000000",
    "/api/cases/CASE-0000000000",
    "/api/cases/case-0000000000/hold",
    "/api/cases/case-0000000000/ask/ultimate",
    "/api/cases/" + "x" * 3000,
    "/cases/nobody/repair",
    "/cases/case-0000000000/tear",
    "/static/../app.py",
    "/static/%2e%2e/app.py",
    "/static/..%5capp.py",
    "/static//etc/passwd",
]


@pytest.mark.parametrize("path", STRANGE_PATHS)
def test_unknown_cases_and_path_tricks_are_told_in_one_sentence(door: Door, path: str) -> None:
    """Whatever the address, the answer is 404 and a sentence, never a file or a bug."""
    answer = door.get(path)
    assert answer.status_code == 404
    told(answer)


STRANGE_ORDERS: list[dict[str, Any]] = [
    {},
    {"id": "long-enough", "expected": 2, "kind": "explode", "payload": {}},
    {"id": "short", "expected": 2, "kind": "undo", "payload": {}},
    {"id": "../../etc/passwd", "expected": 2, "kind": "undo", "payload": {}},
    {"id": "long-enough", "expected": "2", "kind": "undo", "payload": {}},
    {"id": "long-enough", "expected": -1, "kind": "undo", "payload": {}},
    {"id": "long-enough", "expected": 2.5, "kind": "undo", "payload": {}},
    {"id": "long-enough", "expected": True, "kind": "undo", "payload": {}},
    {"id": "long-enough", "expected": 2, "kind": "undo", "payload": {"more": 1}},
    {"id": "long-enough", "expected": 2, "kind": "undo", "payload": []},
    {"id": "long-enough", "expected": 2, "kind": "redo"},
    {"id": "long-enough", "expected": 2, "kind": "move-anchor", "payload": {}},
    {"id": "long-enough", "expected": 2, "kind": "move-anchor", "payload": {"name": "1", "u": "3", "v": 1.0}},
    {"id": "long-enough", "expected": 2, "kind": "move-anchor", "payload": {"name": "1", "u": 1e9, "v": 1.0}},
    {"id": "long-enough", "expected": 2, "kind": "move-anchor", "payload": {"name": "99", "u": 8.0, "v": 2.0}},
    {"id": "long-enough", "expected": 2, "kind": "move-anchor", "payload": {"name": "1", "u": 8.0, "v": 2.0, "z": 1}},
    {"id": "long-enough", "expected": 2, "kind": "move-hole", "payload": {"name": None, "u": 8.0, "v": 2.0}},
    {"id": "long-enough", "expected": 2, "kind": "choose-pattern", "payload": {"name": "none-of-ours"}},
    {"id": "long-enough", "expected": 2, "kind": "choose-pattern", "payload": {"name": "x" * 5000}},
]


@pytest.mark.parametrize("order", STRANGE_ORDERS, ids=range(len(STRANGE_ORDERS)))
def test_strange_commands_are_told_and_store_nothing(door: Door, order: dict[str, Any]) -> None:
    """Missing, wrong, unknown or endless fields are refused in one sentence and leave no event."""
    key = door.open()
    told(door.post(f"/api/cases/{key}/commands", json=order))
    assert door.board(key)["seq"] == 2


NOT_JSON = [
    b"",
    b"{",
    b"[" * 100_000,
    b"\xff\xfe",
    b"null",
    b'"text"',
    b'{"id":"long-enough","expected":2,"kind":"move-anchor","payload":{"name":"1","u":NaN,"v":1.0}}',
    b'{"id":"long-enough","expected":2,"kind":"move-anchor","payload":{"name":"1","u":Infinity,"v":1.0}}',
    b'{"id":"long-enough","expected":2,"kind":"move-anchor","payload":{"name":"1","u":1e999,"v":1.0}}',
    b'{"id":"long-enough","expected":99999999999999999999999,"kind":"undo","payload":{}}',
    b'{"id":"\\ud800aaaaaaa","expected":2,"kind":"undo","payload":{}}',
    b'{"id":"long-enough","expected":2,"kind":"choose-pattern","payload":{"name":"\\ud800"}}',
]


@pytest.mark.parametrize("body", NOT_JSON, ids=range(len(NOT_JSON)))
def test_broken_bodies_are_told_and_store_nothing(door: Door, body: bytes) -> None:
    """Broken text, endless nesting, numbers that are none: one sentence, no event, no bug."""
    key = door.open()
    for path in ("commands", "try"):
        told(door.post(f"/api/cases/{key}/{path}", content=body, headers={"Content-Type": "application/json"}))
    told(door.post("/api/cases", content=body, headers={"Content-Type": "application/json"}))
    assert door.board(key)["seq"] == 2
    assert len(door.get("/api/cases").json()["cases"]) == 1


@pytest.mark.req("REQ-047")
@pytest.mark.parametrize(
    "toml", ["", "garbage", "format = 1", "format = 99", "[[[[", "\x00", "format = 1\n[identity]\nside = 3"]
)
def test_a_strange_case_file_is_told_and_opens_nothing(door: Door, toml: str) -> None:
    """A case file that is none, of a newer format or without its side is refused in one sentence."""
    told(door.post("/api/cases", json={"toml": toml}))
    assert door.get("/api/cases").json()["cases"] == []


@pytest.mark.parametrize("wanted", [{}, {"demo": "x", "toml": "y"}, {"demo": "../small_crescent"}, {"demo": 3}])
def test_a_new_case_needs_exactly_one_known_source(door: Door, wanted: dict[str, Any]) -> None:
    """Neither, both, or an unknown demo case is refused."""
    told(door.post("/api/cases", json=wanted))


@pytest.mark.parametrize("form", [b"", b"demo=", b"demo=a&demo=b", b"\xff", b"demo=%ff", b"a=1&" * 50])
def test_a_strange_form_is_told(door: Door, form: bytes) -> None:
    """The plain form answers strange fields with one sentence too."""
    told(door.post("/cases", content=form))


def test_an_oversized_body_is_refused_before_it_is_read_whole(door: Door) -> None:
    """A body beyond the limit is refused, whether its size is stated or not."""
    big = b"x" * (LARGEST_BODY + 1)
    assert door.post("/api/cases", content=big).status_code == 413

    async def chunks() -> Any:
        for _ in range(40):
            yield b"x" * 10_000

    answer = door.post("/api/cases", content=chunks())
    assert answer.status_code == 413
    told(answer)


def test_a_number_that_is_none_is_told(door: Door) -> None:
    """Asking for a result there is not gives one sentence, whatever it is called."""
    key = door.open()
    door.get(f"/api/cases/{key}/hold")
    for name in ("nothing", "ultimate.excellent", "member", "member.hole.9z", "a/b", "%2e%2e", "contact.volume"):
        told(door.get(f"/api/cases/{key}/ask/{name}"))


@pytest.mark.req("REQ-021", "REQ-022")
def test_a_number_answers_with_its_rows(door: Door) -> None:
    """What stands behind a number: meaning, formula, inputs with origin, rows with source and provenance, validity."""
    key = door.open()
    door.get(f"/api/cases/{key}/hold")
    answer = door.get(f"/api/cases/{key}/ask/spacing").json()["answer"]
    assert answer["value"] == "7.0 mm between anchors 1 and 2"
    (row,) = answer["facts"]
    assert row["key"] == "rule.anchor.spacing"
    assert row["source"]["citation"]
    assert row["provenance"] == "read"
    assert any(path == "tear.width_mm" and "typed" in told_by for path, told_by in answer["inputs"])
    assert answer["validity"]
    assert answer["meaning"] in answer["text"]


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=20),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["id", "expected", "kind", "payload", "name", "u", "v", "demo", "toml"]), inner
            )
        ),
        max_leaves=8,
    )
)
def test_no_body_is_a_bug(door: Door, body: Any) -> None:
    """Whatever JSON arrives, the answer is never a bug and no event is stored."""
    keys = [row["key"] for row in door.get("/api/cases").json()["cases"]]
    key = keys[0] if keys else door.open()
    text = json.dumps(body).encode()
    for path in (f"/api/cases/{key}/commands", f"/api/cases/{key}/try", "/api/cases"):
        answer = door.post(path, content=text, headers={"Content-Type": "application/json"})
        assert answer.status_code < 500, (path, body, answer.text)
    assert door.board(key)["seq"] == 2


def test_the_interface_is_described_as_it_is(door: Door) -> None:
    """The description names every kind of command with its payload, and one shape for every refusal."""
    told = door.get("/api/openapi.json").json()
    schemas = told["components"]["schemas"]
    kinds = {one["properties"]["kind"]["const"]: one for one in schemas["Order"]["oneOf"]}
    assert set(kinds) == set(get_args(Kind)) == set(PAYLOADS)
    for one in kinds.values():
        assert one["properties"]["payload"]["$ref"].split("/")[-1] in schemas
    for path, methods in told["paths"].items():
        assert path.startswith("/api/")
        for operation in methods.values():
            assert "422" not in operation["responses"]
            shown = operation["responses"]["4XX"]["content"]["application/json"]["schema"]["$ref"]
            assert shown == "#/components/schemas/Refused"
    validator = Draft202012Validator({**schemas["Order"], "components": told["components"]})
    key = door.open()
    order = {"id": "long-enough", "expected": 2, "kind": "keep-version", "payload": {"name": "A"}}
    validator.validate(order)
    assert not validator.is_valid({**order, "payload": {"title": "A"}})
    assert door.post(f"/api/cases/{key}/commands", json=order).status_code == 200


def test_what_a_client_sent_cannot_break_the_sentence(door: Door) -> None:
    """Line ends and control signs in a name do not reach the answer, which stays one short line."""
    key = door.open()
    name = "1\n\x00\u202e\u2028a"
    sentence = told(door.give(key, "move-anchor", {"name": name, "u": 8.0, "v": 2.0}))
    assert sentence.isprintable()
    told(door.give(key, "take-version", {"name": "y" * 40}))
