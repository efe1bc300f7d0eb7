"""Serve the page on this machine until told to stop."""

import errno
import socket
import threading
import webbrowser
from pathlib import Path

import uvicorn

from cuffwright.case.errors import ArchiveError
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.access import DRAWS as SHOULDERS
from cuffwright.course.settling import DRAWS
from cuffwright.evidence.book import load_book
from cuffwright.web.app import create_app
from cuffwright.web.images_given import Given, give
from cuffwright.web.limbs_case import case_desk
from cuffwright.web.limbs_desk import LimbsDesk

HERE = "127.0.0.1"
"""The only address it listens on."""

GRACE_SECONDS = 2
"""Numerical choice: open streams are given this long when the server stops."""

QUEUE = 128
"""Numerical choice: requests that may wait while the program starts."""


def serve(
    data: Path,
    port: int,
    open_browser: bool,
    show: CaseSheet | None = None,
    images: Given | None = None,
    limbs_desk: LimbsDesk | None = None,
    draws: int = DRAWS,
    shoulders: int = SHOULDERS,
) -> None:
    """Serve the cases in ``data`` on 127.0.0.1 at ``port`` (0 takes a free one) until Ctrl-C.

    With ``show`` the browser opens on the repair of that case, which is opened when it is not there yet and given the
    examination ``images``. Suture limbs are planned from the case unless ``limbs_desk`` plans them otherwise; so many
    ``draws`` settle a repair, and so many ``shoulders`` are drawn for the chances of reach.

    Raises
    ------
    ArchiveError
        When the port is taken or the cases cannot be opened.
    ImageError
        When the examination is refused.
    """
    book = load_book()
    desk = limbs_desk or case_desk(book, data)
    app = create_app(data, book, limbs_desk=desk, draws=draws, shoulders=shoulders)
    door = _door(port)
    place = ""
    if show:
        key = app.state.cases.opened(show, app.state.bench)
        place = f"cases/{key}/repair"
        if images:
            give(key, images, app.state.cases, app.state.images, app.state.bench)
    address = f"http://{HERE}:{door.getsockname()[1]}/{place}"
    print(f"Cuffwright is open at {address} (Ctrl-C stops it)", flush=True)
    config = uvicorn.Config(
        app, log_level="warning", server_header=False, timeout_graceful_shutdown=GRACE_SECONDS, lifespan="on"
    )
    if open_browser:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    uvicorn.Server(config).run(sockets=[door])


def _door(port: int) -> socket.socket:
    # named as TCP, so that the event loop sends small answers at once instead of holding them back for 40 ms
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((HERE, port))
        door.listen(QUEUE)
    except OSError as wrong:
        door.close()
        taken = "is taken by another program" if wrong.errno == errno.EADDRINUSE else "cannot be used"
        raise ArchiveError(f"port {port} on {HERE} {taken}; choose another with --port") from None
    return door
