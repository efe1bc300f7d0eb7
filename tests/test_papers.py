"""The papers tell the truth: every pattern, verb, format, key and command they name exists, and the reverse."""

import ast
import re
import tomllib
from importlib.metadata import metadata
from pathlib import Path

import pytest
import typer

from cuffwright import __version__
from cuffwright.archive.bundle import BUNDLE_FORMAT
from cuffwright.archive.upcasters import EVENT_FORMAT
from cuffwright.case.fact import UNVERIFIED
from cuffwright.evidence.book import load_book
from cuffwright.exchange.plain import FORMAT
from cuffwright.repair.patterns import patterns

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
PAPERS = [*sorted(ROOT.glob("*.md")), *sorted(DOCS.rglob("*.md"))]
SAFETY = DOCS / "safety"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
TICKED = re.compile(r"`([^`\n]+)`")
TEXT_ENDINGS = {".md", ".py", ".toml", ".csv", ".ts", ".css", ".html", ".cff", ".typ", ".json"}


def read(path: Path) -> str:
    return path.read_text("utf-8")


def name(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.fixture(scope="module")
def verbs():
    """The verbs of the command line; loading them takes a while, so the other papers do not wait for it."""
    from cuffwright.start.main import program

    return typer.main.get_command(program([])).commands


@pytest.mark.parametrize("pattern", patterns().values(), ids=lambda p: p.name)
def test_every_pattern_has_a_page(pattern):
    """The page of a pattern has its name and its title, and the list of patterns links to it."""
    page = read(DOCS / "patterns" / f"{pattern.name}.md")
    assert page.startswith(f"# {pattern.title}\n")
    assert f"`{pattern.name}`" in page
    assert f"({pattern.name}.md)" in read(DOCS / "patterns" / "README.md")


def test_every_pattern_page_has_a_pattern():
    """No page describes a pattern that is not laid."""
    pages = {path.stem for path in (DOCS / "patterns").glob("*.md")} - {"README"}
    assert pages == set(patterns())


def test_every_verb_has_a_section_and_every_section_a_verb(verbs):
    """The page on the command line names exactly the verbs there are."""
    sections = set(re.findall(r"^## cuffwright (\S+)$", read(DOCS / "cli.md"), re.MULTILINE))
    assert sections == set(verbs)


def test_every_command_of_the_readme_runs_on_files_that_exist(verbs):
    """Each command line in the readme uses a verb there is, on files that are there."""
    lines = re.findall(r"^\.venv/bin/cuffwright (\S+)(?: (\S+))?", read(ROOT / "README.md"), re.MULTILINE)
    assert len(lines) > 2
    for verb, file in lines:
        assert verb in verbs
        assert not file or (ROOT / file).exists()


def test_every_option_on_the_page_exists(verbs):
    """Each option that the section of a verb shows is an option of that verb."""
    for verb, section in re.findall(r"^## cuffwright (\S+)\n(.*?)(?=^## |\Z)", read(DOCS / "cli.md"), re.M | re.S):
        if verb not in verbs:
            continue
        known = {option for parameter in verbs[verb].params for option in parameter.opts}
        shown = {o for ticked in TICKED.findall(section) for o in re.findall(r"(?<![\w-])--?[a-z][\w-]*", ticked)}
        assert shown <= known, f"cuffwright {verb}: {sorted(shown - known)}"


def test_every_format_number_is_in_the_list_of_formats():
    """Each format constant in the code stands in the table of formats with its number."""
    page = read(DOCS / "formats" / "README.md")
    for what, number in (("case file", FORMAT), ("case bundle", BUNDLE_FORMAT), ("stored event", EVENT_FORMAT)):
        assert re.search(rf"^\| {what}[^|]*\| {number} \|", page, re.MULTILINE), what


def test_every_score_has_a_page():
    """Each score table has a page of its name, and the list of scores links to it."""
    scores = sorted((ROOT / "src" / "cuffwright" / "evidence").glob("scores/*.toml"))
    missing = [s.stem for s in scores if not (DOCS / "scores" / f"{s.stem}.md").exists()]
    assert missing == []
    listed = read(DOCS / "scores" / "README.md")
    assert [s.stem for s in scores if f"({s.stem}.md)" not in listed] == []
    assert scores


def test_the_change_log_opens_with_this_version():
    """Package, project file, change log and citation name one version."""
    top = re.search(r"^## \[(\d+\.\d+\.\d+)\]", read(ROOT / "CHANGELOG.md"), re.MULTILINE)
    assert top is not None
    cited = re.search(r"^version: (\S+)$", read(ROOT / "CITATION.cff"), re.MULTILINE)
    assert cited is not None
    assert {top[1], cited[1], PROJECT["version"]} == {__version__}


def literals(path: Path) -> set[str]:
    """The words a ``Literal[...]`` of a file allows."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(read(path))):
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Literal":
            found |= {c.value for c in ast.walk(node.slice) if isinstance(c, ast.Constant) and isinstance(c.value, str)}
    return found


def test_every_word_of_the_case_is_in_the_glossary():
    """Each word that a field of the case may hold, and each pattern name, has its line in the glossary."""
    heads = " ; ".join(re.findall(r"^- \*\*(.+?)\*\*: ", read(DOCS / "glossary.md"), re.MULTILINE)).lower()
    plain = {"female", "male", "other", "note", "stop"}
    words = {w for f in sorted((ROOT / "src/cuffwright/case").glob("*.py")) for w in literals(f)} - plain
    parts = {part for word in [*words, *patterns()] for part in ([word] if word in patterns() else word.split())}
    missing = [p for p in sorted(parts) if not re.search(rf"(?<!\w){re.escape(p.lower())}(?!\w)", heads)]
    assert missing == []


def test_the_glossary_is_in_order_without_doubles():
    """Each term stands once, in the order of the alphabet."""
    heads = [h.lower() for h in re.findall(r"^- \*\*(.+?)\*\*: ", read(DOCS / "glossary.md"), re.MULTILINE)]
    assert heads == sorted(set(heads))


@pytest.mark.parametrize("paper", PAPERS, ids=name)
def test_every_link_leads_somewhere(paper):
    """Each link between papers leads to a file that exists."""
    links = [link for link in LINK.findall(read(paper)) if not link.startswith(("http:", "https:", "mailto:"))]
    assert [link for link in links if not (paper.parent / link).exists()] == []


def test_every_make_command_in_the_papers_exists():
    """Each make target that a paper names is in the Makefile."""
    targets = set(re.findall(r"^([a-z-]+):", read(ROOT / "Makefile"), re.MULTILINE))
    named = {t for p in PAPERS for t in re.findall(r"(?:^|`)make ([a-z-]+)", read(p), re.MULTILINE)}
    assert {"demo", "test"} <= named
    assert named <= targets


def test_every_file_and_key_named_in_the_papers_exists():
    """A ticked path is a file, and a ticked word in the shape of a key of known family is a row."""
    keys = set(load_book().rows)
    families = {key.split(".")[0] for key in keys} - {"tear", "footprint", "contact"}
    lost = []
    for paper in PAPERS:
        for word in TICKED.findall(read(paper)):
            if re.fullmatch(r"(src|docs|tests|tools|examples)/[\w./-]+", word) and not (ROOT / word).exists():
                lost.append(f"{name(paper)}: {word}")
            if re.fullmatch(r"[a-z_]+(\.[a-z0-9_-]+)+", word) and word.split(".")[0] in families:
                lost += [] if word in keys or (ROOT / word).exists() else [f"{name(paper)}: {word}"]
    assert lost == []


def test_every_row_has_a_source_and_the_unverified_share_is_known(capsys):
    """Each row's source is listed with an address or a citation; the share of unverified rows is printed."""
    book = load_book()
    lost = [key for key, row in book.rows.items() if book.sources.get(row.source.source) != row.source]
    bare = [s.source for s in book.sources.values() if not s.citation]
    unverified = [key for key, row in book.rows.items() if row.provenance in UNVERIFIED]
    with capsys.disabled():
        print(f"\n{len(unverified)} of {len(book.rows)} rows unverified ({len(unverified) / len(book.rows):.0%})")
    assert lost == []
    assert bare == []
    assert all(not book.rows[key].verified for key in unverified)


def test_no_unverified_row_claims_a_page_it_was_read_on():
    """A row from memory names a source, never a page, table or figure that somebody would trust as read."""
    claimed = [
        k for k, r in load_book().rows.items() if r.provenance == "memory" and re.search(r"table|figure|page", r.where)
    ]
    assert claimed == []


@pytest.mark.req("REQ-058")
def test_the_list_of_libraries_is_the_list_of_the_project():
    """Libraries, ranges and licences: exactly those of the project file, as installed, and none under the GPL."""
    rows = {r["name"]: r for r in tomllib.loads(read(SAFETY / "dependencies.toml"))["dependency"]}
    wanted = dict(re.fullmatch(r"([\w-]+)(.*)", line).groups() for line in PROJECT["dependencies"])
    assert {n: r["range"] for n, r in rows.items()} == wanted
    for library, row in rows.items():
        stated = metadata(library)
        said = " ".join([stated.get("License-Expression") or "", *(stated.get_all("Classifier") or [])])
        said += (stated.get("License") or "")[:200]
        family = re.match(r"[A-Za-z]+", row["licence"])[0]
        assert family in said, library
        assert not re.search(r"(?<!L)GPL|General Public", row["licence"] + said), library
        assert all(row[part].strip() for part in ("purpose", "anomalies", "why_safe_enough")), library


def test_every_decision_says_context_choice_others_and_cost():
    """Each decision has its number, its date, and its four parts; no number stands twice."""
    pages = sorted((DOCS / "decisions").glob("[0-9]*.md"))
    numbers = [int(p.name[:4]) for p in pages]
    assert numbers == sorted(set(numbers))
    assert numbers[0] == 1
    for page in pages:
        text = read(page)
        assert text.startswith(f"# {int(page.name[:4])}. ")
        assert re.search(r"^Date: \d{4}-\d{2}-\d{2}\. ", text, re.MULTILINE)
        assert re.findall(r"^## (.+)$", text, re.MULTILINE) == ["Context", "Choice", "Other choices", "Cost"]
        assert f"({page.name})" in read(DOCS / "decisions" / "README.md")


def test_every_hazard_has_three_columns_and_a_known_severity():
    """Hazard, situation and harm are told apart, and the severity is one of three words."""
    for hazard in tomllib.loads(read(SAFETY / "hazards.toml"))["hazard"]:
        columns = [hazard["hazard"], hazard["situation"], hazard["harm"]]
        assert all(columns), hazard["id"]
        assert len(set(columns)) == len(columns), hazard["id"]
        assert hazard["severity"] in {"minor", "serious", "critical"}, hazard["id"]
        assert hazard["release"] == "later" or hazard["control"].split(":")[0] in {
            "Inherent",
            "Protective",
            "Information",
        }


def test_the_licence_is_the_one_named():
    """The licence file holds the whole text of the licence that project file and citation name."""
    text = read(ROOT / "LICENSE")
    assert "Apache License" in text
    assert "END OF TERMS AND CONDITIONS" in text
    assert PROJECT["license"] == "Apache-2.0"
    assert "license: Apache-2.0" in read(ROOT / "CITATION.cff")


def test_the_readme_says_what_it_is_not_and_fits_a_screen():
    """One screen: the job first, one picture, the two commands, and what it is not."""
    text = read(ROOT / "README.md")
    assert len(text.splitlines()) <= 60
    assert len(re.findall(r"!\[", text)) == 1
    for part in ("docs/pictures/repair.png", "make demo", "make test", "What it is not", "not for care"):
        assert part in text


def test_papers_and_code_stay_with_the_matter():
    """No file names a place on a builder's disk, or papers that are not part of the project."""
    halves = (("seed", " document"), ("trans", "cript"), ("/wo", "rk/"), ("/ro", "ot/"), ("/ho", "me/"))
    words = ["".join(pair) for pair in halves]
    files = [
        p for top in ("src", "tests", "tools", "docs", "examples", "news") for p in sorted((ROOT / top).rglob("*"))
    ]
    texts = [p for p in (*files, *ROOT.glob("*.md")) if p.suffix in TEXT_ENDINGS and "built" not in p.parts]
    found = [f"{name(p)}: {word}" for p in texts for word in words if word in read(p).lower()]
    assert found == []
