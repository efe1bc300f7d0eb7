"""Ask an app in process, as a browser on this machine would."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
from anyio.from_thread import BlockingPortal, start_blocking_portal
from fastapi import FastAPI

from cuffwright.case.fact import FactBook
from cuffwright.evidence.book import load_book
from cuffwright.web.app import create_app
from cuffwright.web.holding import Holding
from cuffwright.web.limbs_desk import LimbsDesk

HERE = "http://127.0.0.1:8750"


class Door:
    """One app and a client in front of it."""

    def __init__(self, app: FastAPI, portal: BlockingPortal, client: httpx.AsyncClient) -> None:
        self.app, self._portal, self._client = app, portal, client

    def ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        """The answer to one request."""

        async def request() -> httpx.Response:
            return await self._client.request(method, path, **more)

        return self._portal.call(request)

    def get(self, path: str, **more: Any) -> httpx.Response:
        """The answer to GET."""
        return self.ask("GET", path, **more)

    def post(self, path: str, **more: Any) -> httpx.Response:
        """The answer to POST."""
        return self.ask("POST", path, **more)

    def open(self, demo: str = "small_crescent") -> str:
        """Open a demo case; returns its key."""
        return str(self.post("/api/cases", json={"demo": demo}).json()["key"])

    def board(self, key: str) -> dict[str, Any]:
        """What stands in a case."""
        found: dict[str, Any] = self.get(f"/api/cases/{key}").json()
        return found

    def give(self, key: str, kind: str, payload: dict[str, Any] | None = None, **more: Any) -> httpx.Response:
        """Give a command on what stands now."""
        order = {"id": more.get("id", f"test-{kind}-{self._next()}"), "kind": kind, "payload": payload or {}}
        order["expected"] = more.get("expected", self.board(key)["seq"])
        return self.post(f"/api/cases/{key}/commands", json=order)

    def _next(self) -> int:
        self.count = getattr(self, "count", 0) + 1
        return self.count


@contextmanager
def opened(
    data: Path, holding: Holding | None, draws: int = 300, book: FactBook | None = None, limbs: LimbsDesk | None = None
) -> Iterator[Door]:
    """A door to an app over ``data`` that is closed at the end."""
    app = create_app(data, book or load_book(), holding=holding, limbs_desk=limbs, draws=draws)
    with start_blocking_portal() as portal:
        transport = httpx.ASGITransport(app, raise_app_exceptions=False)
        client = httpx.AsyncClient(transport=transport, base_url=HERE, timeout=120)
        with portal.wrap_async_context_manager(app.router.lifespan_context(app)):
            yield Door(app, portal, client)
        portal.call(client.aclose)
