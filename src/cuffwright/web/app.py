"""Put the page together."""

import threading
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from cuffwright import __version__
from cuffwright.case.fact import FactBook
from cuffwright.case.sheet import CaseSheet
from cuffwright.compiled import is_warm
from cuffwright.course.access import DRAWS as SHOULDERS
from cuffwright.course.settling import DRAWS
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.web.access_desk import AccessDesk
from cuffwright.web.access_place import access
from cuffwright.web.answers import answers
from cuffwright.web.api import api
from cuffwright.web.bench import Bench
from cuffwright.web.case_list import listing
from cuffwright.web.cases import Cases
from cuffwright.web.finding import finding
from cuffwright.web.followup_place import followup
from cuffwright.web.guard import HOSTS, Guard
from cuffwright.web.help_pages import help_pages
from cuffwright.web.holding import Holding, course_holding
from cuffwright.web.images_desk import ImagesDesk
from cuffwright.web.images_place import images
from cuffwright.web.images_readings import readings
from cuffwright.web.interface import describe
from cuffwright.web.judgement_place import judgement
from cuffwright.web.limbs_desk import LimbsDesk
from cuffwright.web.limbs_place import limbs
from cuffwright.web.operations import Operations
from cuffwright.web.places import pages
from cuffwright.web.practice_place import practice
from cuffwright.web.record_place import records
from cuffwright.web.refusal import say_refusals
from cuffwright.web.settling import Settling
from cuffwright.web.strengths import Strengths
from cuffwright.web.tear_place import tear_place
from cuffwright.web.theatre_place import theatre
from cuffwright.web.trust import trust

SEED = 1
"""Numerical choice: the seed of every settled answer, so that the same repair gives the same numbers."""


def create_app(
    data: Path,
    book: FactBook,
    *,
    demos: Mapping[str, CaseSheet] | None = None,
    holding: Holding | None = None,
    limbs_desk: LimbsDesk | None = None,
    draws: int = DRAWS,
    shoulders: int = SHOULDERS,
    hosts: frozenset[str] = HOSTS,
) -> FastAPI:
    """The whole page over the cases kept in ``data``.

    Parameters
    ----------
    data
        Folder of the archive; made when absent.
    book
        The evidence that every answer cites.
    demos
        Invented cases to start from, by name; those that come with the program unless given.
    holding
        The course behind the page; the real one unless a test brings another.
    limbs_desk
        The desk that plans suture limbs; without one there is no page Limbs and no way to it.
    draws
        Draws of a settled answer.
    shoulders
        Shoulders drawn for the chances of reach.
    hosts
        Host names under which it may be asked.

    Raises
    ------
    ArchiveError
        When ``data`` cannot be opened.
    """
    course = holding or course_holding()
    settling = Settling(book, course, draws, SEED)
    desk = AccessDesk(book, SEED, shoulders)
    cases = Cases(data)
    pictures = ImagesDesk(data, book, cases)

    @asynccontextmanager
    async def lifetime(_: FastAPI) -> AsyncIterator[None]:
        if is_warm():
            threading.Thread(target=course.warm, args=(book,), daemon=True, name="loading-kernels").start()
        yield
        settling.close()
        desk.close()
        pictures.close()
        cases.close()

    app = FastAPI(
        title="Cuffwright",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        lifespan=lifetime,
    )
    app.state.bench = Bench(book, course, settling)
    app.state.access = desk
    app.state.images = pictures
    app.state.cases = cases
    app.state.operations = Operations(cases, data, limbs_desk)
    app.state.strengths = Strengths(app.state.bench)
    app.state.demos = demo_cases() if demos is None else demos
    app.state.limbs = limbs_desk
    if limbs_desk is not None:
        app.include_router(limbs)
    for router in (
        api,
        answers,
        access,
        images,
        readings,
        theatre,
        records,
        judgement,
        followup,
        practice,
        listing,
        pages,
        tear_place,
        trust,
        finding,
        help_pages,
    ):
        app.include_router(router)
    static = Path(__file__).parent / "static"
    app.mount("/static", StaticFiles(directory=static), name="static")
    say_refusals(app)
    describe(app)
    app.add_middleware(Guard, hosts=hosts)
    return app
