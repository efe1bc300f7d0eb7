"""Templates made into pages, with what every page carries."""

from datetime import datetime
from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from cuffwright import __version__

HERE = Path(__file__).parent
templates = Environment(
    loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
)


def begun(words: str) -> str:
    """The words as the beginning of a sentence: the first letter large, the others as they are."""
    return words[:1].upper() + words[1:]


templates.filters["begun"] = begun


def page(request: Request, template: str, **words: Any) -> HTMLResponse:
    """One page, with what every page carries: version, edition, and whether the front end is built."""
    built = (HERE / "static" / "built" / "page.js").is_file()
    edition = request.app.state.bench.book.edition
    text = templates.get_template(template).render(version=__version__, edition=edition, built=built, **words)
    return HTMLResponse(text)


def age(at: datetime, now: datetime) -> str:
    """How long ago, in words."""
    minutes = int((now - at).total_seconds() // 60)
    if minutes < 1:
        return "just now"
    if minutes < 60:
        return f"{minutes} min ago"
    if minutes < 24 * 60:
        return f"{minutes // 60} h ago"
    return at.date().isoformat()
