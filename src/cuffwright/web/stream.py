"""News of a settling repair as server-sent events."""

import json
from collections.abc import AsyncIterator

from cuffwright.web.settling import Course, Settling
from cuffwright.web.view import hold_view
from cuffwright.web.worker import Report


async def news(settling: Settling, course: Course) -> AsyncIterator[bytes]:
    """One event a report; a comment when there is no news, so that a lost reader is noticed."""
    async for report in settling.watch(course):
        yield b": still computing\n\n" if report is None else event(report)


def event(report: Report) -> bytes:
    """One report as an event: ``progress``, ``partial``, ``settled``, ``failed`` or ``cancelled``."""
    data: dict[str, object] = {"done": report.done, "total": report.total}
    if report.result is not None:
        data["hold"] = hold_view(report.result)
    if report.sentence:
        data["error" if report.kind == "failed" else "words"] = report.sentence
    return f"event: {report.kind}\ndata: {json.dumps(data, allow_nan=False)}\n\n".encode()
