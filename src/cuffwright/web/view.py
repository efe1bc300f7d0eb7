"""A case as the page sees it: identity in words, the map, what stands, and the way back and forth."""

from typing import Any

from cuffwright.case.errors import CuffError
from cuffwright.case.fact import Citing
from cuffwright.case.hold import HoldResult
from cuffwright.case.identity import Identity
from cuffwright.course.board import Board
from cuffwright.course.editing import implants
from cuffwright.course.rules import check_layout
from cuffwright.exchange.plain import layout_to_plain, sheet_to_plain
from cuffwright.web.bench import Bench
from cuffwright.web.images_outline import still_there
from cuffwright.web.measure_words import WORDS
from cuffwright.web.older_repair import older_view


def identity_view(identity: Identity) -> dict[str, Any]:
    """Whose shoulder, with the side in words."""
    return {
        "patient": identity.patient,
        "side": identity.side,
        "side_words": f"{identity.side.upper()} shoulder",
        "operation_date": identity.operation_date.isoformat() if identity.operation_date else None,
        "title": identity.title,
        "invented": identity.invented,
    }


def board_view(key: str, seq: int, board: Board, bench: Bench) -> dict[str, Any]:
    """What stands in case ``key`` after event ``seq``, with the best answer at hand.

    A case that cannot be worked on still shows who it is; ``refused`` then says why there is no map.
    """
    view: dict[str, Any] = {
        "key": key,
        "seq": seq,
        "identity": identity_view(board.sheet.identity),
        "archived": board.archived,
        "layout": layout_to_plain(board.layout) if board.layout else None,
        "tear": sheet_to_plain(board.sheet)["tear"],
        "implants": list(implants()),
        "shelf": [{"name": one.name, "layout": layout_to_plain(one.layout)} for one in board.stand.shelf],
        "undo": board.undo,
        "redo": board.redo,
        "refused": None,
        "labels": {path: label for path, (label, _) in WORDS.items()},
        "chart": None,
        "hold": None,
        "outline": still_there(board.sheet, board.stand.readings),
        "older": older_view(board, bench),
        "edition": bench.book.edition,
    }
    try:
        ready = bench.prepared(board.sheet)
        view["chart"] = bench.holding.chart(ready)
        if board.layout:
            check_layout(board.layout, ready.strip, ready.bed, Citing(bench.book))
        view["hold"] = hold_view(bench.answer(key, board))
    except CuffError as wrong:
        view["refused"] = str(wrong)
    return view


def hold_view(result: HoldResult | None) -> dict[str, Any] | None:
    """An answer as plain values, just as the command line and the print carry it."""
    return _plain(result) if result else None


def _plain(value: Any) -> Any:
    """The same as ``dataclasses.asdict``, several times faster: it is on the way of every redrawn map."""
    if value is None or isinstance(value, float | str | int):
        return value
    if isinstance(value, tuple):
        return value if value and isinstance(value[0], float) else [_plain(one) for one in value]
    names = getattr(value, "__dataclass_fields__", None)
    return value if names is None else {name: _plain(getattr(value, name)) for name in names}


def patterns_view(board: Board, bench: Bench) -> list[dict[str, Any]]:
    """Every pattern laid on this very tear, for the miniatures; one that cannot be laid says why."""
    shown: list[dict[str, Any]] = []
    for name, title in bench.holding.patterns().items():
        try:
            layout = bench.holding.lay(bench.prepared(board.sheet), name)
            shown.append({"name": name, "title": title, "layout": layout_to_plain(layout), "refused": None})
        except CuffError as wrong:
            shown.append({"name": name, "title": title, "layout": None, "refused": str(wrong)})
    return shown
