"""Ask the published interface what its description allows and much that it forbids: one sentence, never a bug.

``make long-api`` lets schemathesis make requests from ``/api/openapi.json``, right and wrong ones, at a real case and
at none, beside handmade monsters: oversized bodies, numbers that are none, markup in names, path tricks. It counts
answers by operation and status, checks that a refusal is one sentence and stores nothing, keeps the outcome in
``docs/long/api.json``, and exits 1 when anything broke.
"""

import argparse
import json
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from long_record import write_record

ROOT = Path(__file__).resolve().parent.parent
COVERS = ["src/cuffwright/web", "src/cuffwright/course", "src/cuffwright/archive", "src/cuffwright/exchange/plain.py"]
SLOW = ("/hold", "/hold/stream", "/access/answer")
"""Waits for a settled answer; asked only at cases that do not exist."""

MONSTERS: list[tuple[str, bytes]] = [
    ("oversized", b'{"toml":"' + b"x" * 300_000 + b'"}'),
    ("nested", b"[" * 60_000),
    ("not a number", b'{"id":"long-enough","expected":2,"kind":"move-anchor","payload":{"name":"1","u":NaN,"v":1.0}}'),
    ("infinite", b'{"id":"long-enough","expected":2,"kind":"move-anchor","payload":{"name":"1","u":1e999,"v":1.0}}'),
    ("lone surrogate", b'{"id":"\\ud800aaaaaaa","expected":2,"kind":"undo","payload":{}}'),
    ("no text", b"\xff\xfe\x00"),
    ("markup", b'{"id":"long-enough","expected":2,"kind":"keep-version","payload":{"name":"<script>"},"x":1}'),
    ("path", b'{"copy_of":"../../etc/passwd"}'),
]


class Asked:
    """What was asked and how it was answered; ``broken`` are sentences about what must not be."""

    def __init__(self) -> None:
        self.answers: Counter[str] = Counter()
        self.broken: list[str] = []

    def note(self, what: str, status: int, text: str) -> None:
        """Count one answer and judge it."""
        self.answers[f"{what} {status}"] += 1
        if status >= 500 and status != 503:
            self.broken.append(f"{what}: {status} {text[:200]}")
        if 400 <= status < 500 and not _is_sentence(text):
            self.broken.append(f"{what}: {status} is no sentence: {text[:200]}")


def _is_sentence(text: str) -> bool:
    try:
        told = json.loads(text)["error"]
    except (ValueError, KeyError, TypeError):
        return False
    return isinstance(told, str) and 5 < len(told) < 600 and "\n" not in told and "Traceback" not in told


class Questions:
    """A client at one real case, and what it was told."""

    def __init__(self, client: Any, examples: int) -> None:
        from schemathesis.core import NotSet

        self.client, self.examples, self.none = client, examples, NotSet
        self.asked = Asked()
        self.key = client.post("/api/cases", json={"demo": "small_crescent"}).json()["key"]

    def seq(self) -> int:
        """How many events the case has."""
        rows = self.client.get("/api/cases").json()["cases"]
        return next(int(row["seq"]) for row in rows if row["key"] == self.key)

    def one(self, case: Any, here: bool) -> None:
        """Send one request, at the real case when ``here``, and judge its answer."""
        path = case.path
        if "key" in case.path_parameters and here and not path.endswith(SLOW):
            case.path_parameters["key"] = self.key
        before = self.seq()
        if here and isinstance(case.body, dict) and "expected" in case.body:
            case.body["expected"] = before
        body = {} if isinstance(case.body, self.none) else {"content": _bytes(case.body)}
        query = {name: str(value) for name, value in (case.query or {}).items()}
        kind = {"Content-Type": "application/json"}
        answer = self.client.request(case.method, case.formatted_path, params=query, headers=kind, **body)
        self.asked.note(f"{case.method} {path}", answer.status_code, answer.text)
        if answer.status_code >= 400 and self.seq() != before:
            self.asked.broken.append(f"{case.method} {path}: {answer.status_code} and yet something was stored")

    def operation(self, operation: Any, mode: Any) -> None:
        """Ask one operation in one way, right or wrong, at the real case and at none."""
        from hypothesis import HealthCheck, Phase, given, settings

        wide = settings(
            max_examples=self.examples,
            deadline=None,
            database=None,
            derandomize=True,
            phases=(Phase.explicit, Phase.generate),
            suppress_health_check=list(HealthCheck),
        )
        try:
            cases = operation.as_strategy(generation_mode=mode)
            for here in (True, False):
                wide(given(cases)(self.at(here)))()
        except Exception as wrong:
            _unasked(self.asked, operation.label, mode.value, wrong)

    def at(self, here: bool) -> Callable[[Any], None]:
        """The question with its place chosen."""

        def one(case: Any) -> None:
            self.one(case, here)

        return one

    def monsters(self) -> None:
        """Send what no description allows; all of it must be refused."""
        for name, body in MONSTERS:
            for path in ("/api/cases", f"/api/cases/{self.key}/commands", f"/api/cases/{self.key}/try"):
                answer = self.client.post(path, content=body, headers={"Content-Type": "application/json"})
                self.asked.note(name, answer.status_code, answer.text)
                if answer.status_code < 400:
                    self.asked.broken.append(f"{name} at {path}: taken with {answer.status_code}")


def run(examples: int) -> dict[str, Any]:
    """Ask each operation ``examples`` times in each way."""
    import schemathesis
    from starlette.testclient import TestClient

    from cuffwright.evidence.book import load_book
    from cuffwright.web.app import create_app

    with tempfile.TemporaryDirectory() as folder, TestClient(create_app(Path(folder), load_book())) as client:
        client.base_url = "http://127.0.0.1:8750"
        questions = Questions(client, examples)
        asked = questions.asked
        schema = schemathesis.openapi.from_dict(client.get("/api/openapi.json").json())
        for found in schema.get_all_operations():
            operation = found.ok()
            for mode in (schemathesis.GenerationMode.POSITIVE, schemathesis.GenerationMode.NEGATIVE):
                questions.operation(operation, mode)
            print(operation.label, sum(asked.answers.values()), file=sys.stderr, flush=True)
        questions.monsters()
    return {
        "examples": examples,
        "requests": sum(asked.answers.values()),
        "answers": dict(sorted(asked.answers.items())),
        "broken": sorted(set(asked.broken)),
    }


def _unasked(asked: Asked, label: str, mode: str, wrong: Exception) -> None:
    """An operation for which no such request can be made, such as a wrong one where nothing can be wrong."""
    if type(wrong).__name__ not in {"Unsatisfiable", "SkipTest"}:
        asked.broken.append(f"{label} {mode}: {type(wrong).__name__} {wrong}"[:300])
    asked.answers[f"{label} no {mode} cases: {type(wrong).__name__}"] += 1


def _bytes(body: Any) -> bytes:
    return body if isinstance(body, bytes) else json.dumps(body).encode()


def main() -> int:
    """Read the options, run, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--examples", type=int, default=60)
    given = options.parse_args()
    found = run(given.examples)
    print(json.dumps(found, indent=1, sort_keys=True))
    if given.examples >= options.get_default("examples"):
        write_record("api", COVERS, found)
    return 1 if found["broken"] else 0


if __name__ == "__main__":
    sys.exit(main())
