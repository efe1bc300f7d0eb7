"""The papers as help pages: the same text that lies beside the program, made readable in the browser."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path, PurePosixPath

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from markdown_it import MarkdownIt
from markdown_it.token import Token

from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page

ORDER = (
    *("keys", "page", "images", "access", "mechanics", "odds", "rehab", "case_file", "glossary"),
    *("proof", "theory", "evidence", "cli", "stability"),
)
"""The papers a surgeon reads, in the order in which they are offered; the patterns follow."""

HERE = Path(__file__).resolve()
PLACES = (HERE.parent / "help", HERE.parents[3] / "docs")
"""Where the papers lie: packed with the program, or beside its source."""

help_pages = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class Paper:
    """One paper: its name in addresses, its title, its headings, and its text as HTML that this program made."""

    name: str
    title: str
    headings: tuple[str, ...]
    html: str


@cache
def papers() -> dict[str, Paper]:
    """Every paper by its name, in the order in which they are offered; none where they were not packed."""
    folder = next((place for place in PLACES if (place / "page.md").is_file()), None)
    if folder is None:
        return {}
    patterns = sorted(path.stem for path in (folder / "patterns").glob("*.md") if path.stem != "README")
    files = [(name, folder / f"{name}.md") for name in ORDER]
    files += [(f"pattern-{stem}", folder / "patterns" / f"{stem}.md") for stem in patterns]
    return {name: _paper(name, path.read_text(encoding="utf-8")) for name, path in files if path.is_file()}


@help_pages.get("/help")
def contents(request: Request) -> HTMLResponse:
    """All papers by their titles."""
    return page(request, "help.html", paper=None, papers=papers())


@help_pages.get("/help/{name}")
def paper(name: str, request: Request) -> HTMLResponse:
    """One paper."""
    found = papers().get(name)
    if found is None:
        raise Refusal(404, f"there is no help page {name[:40]!r}; see the list at /help")
    return page(request, "help.html", paper=found, papers=papers())


def _paper(name: str, text: str) -> Paper:
    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = reader.parse(text)
    heads = [tokens[i + 1].content for i, token in enumerate(tokens) if token.type == "heading_open"]
    _settle_links(name, tokens)
    title, *others = (head.replace("`", "") for head in heads or [name])
    return Paper(name, title, tuple(others), str(reader.renderer.render(tokens, reader.options, {})))


def _settle_links(name: str, tokens: Sequence[Token]) -> None:
    """Links to other papers lead to their help pages; all others keep their words and lose their address."""
    for token in tokens:
        kept: list[Token] = []
        dead = False
        for child in token.children or ():
            if child.type == "link_open":
                to = _address(name, str(child.attrGet("href") or ""))
                dead = to is None
                if to is not None:
                    child.attrSet("href", to)
            if child.type == "image" or (dead and child.type in {"link_open", "link_close"}):
                continue
            kept.append(child)
        if token.children is not None:
            token.children = kept


def _address(name: str, to: str) -> str | None:
    target, _, part = to.partition("#")
    if not target:
        return to
    path = PurePosixPath(target)
    if path.suffix != ".md" or "://" in to:
        return None
    within = "patterns" if name.startswith("pattern-") else ""
    folder = path.parent.name if path.parent.name not in {"", ".."} else ("" if ".." in path.parts else within)
    if folder == "patterns" and path.stem != "README":
        return f"/help/pattern-{path.stem}"
    return f"/help/{path.stem}{'#' + part if part else ''}" if not folder and path.stem in ORDER else None
