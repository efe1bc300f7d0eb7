"""What the routes of one server share: its cases, its bench, its demo cases."""

from typing import Annotated

from fastapi import Depends, Request

from cuffwright.case.sheet import CaseSheet
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Cases
from cuffwright.web.refusal import Refusal


def the_cases(request: Request) -> Cases:
    """The cases of this server."""
    cases: Cases = request.app.state.cases
    return cases


def the_bench(request: Request) -> Bench:
    """The bench of this server."""
    bench: Bench = request.app.state.bench
    return bench


def demo(request: Request, name: str) -> CaseSheet:
    """The sheet of the demo case ``name``; raises Refusal 404 when there is none of exactly that name."""
    found: CaseSheet | None = request.app.state.demos.get(name)
    if found is None:
        raise Refusal(404, f"there is no demo case {name[:40]!r}; choose one from the case list at /")
    return found


CasesHere = Annotated[Cases, Depends(the_cases)]
BenchHere = Annotated[Bench, Depends(the_bench)]
