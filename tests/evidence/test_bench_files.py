"""Bench files are refused when they are wrong, and the packaged ones are complete."""

import pytest

from cuffwright.case.errors import EvidenceError
from cuffwright.evidence.bench_files import load_benches, read_benches
from cuffwright.evidence.book import load_book

GOOD = """
format = 1
title = "Invented"
protocol = "Invented."
[setup]
width = {value = 20.0, low = 16.0, high = 25.0}
[[construct]]
name = "single"
title = "single row"
medial = 0
lateral = 2
lateral_stitch = "simple"
[[target]]
id = "X1"
row = "published.invented"
words = "ultimate"
quantity = "ultimate"
role = "blind"
construct = "single"
"""
WRONG = (
    ("format = 1", "format = 9", "format 9"),
    ("format = 1", "format = ", "no TOML"),
    ('role = "blind"', 'role = "sure"', "no role"),
    ('lateral_stitch = "simple"', 'lateral_stitch = "glue"', "no lateral stitch"),
    ("medial = 0", "medial = 0\ncolour = 1", "colour is no field"),
    ("medial = 0", "", "lacks a field"),
    ("low = 16.0, ", "", "one end of a range"),
    ("low = 16.0", "low = 21.0", "outside 21 to 25"),
    ("value = 20.0, ", "", "needs a value"),
    ("published.invented", "invented.row", "no published row"),
)


def written(folder, text):
    (folder / "invented.toml").write_text(text, "utf-8")
    return read_benches(folder)


def test_a_good_file_is_read(tmp_path):
    """Set-up, construct and target arrive as written."""
    (bench,) = written(tmp_path, GOOD)
    assert bench.study == "invented"
    assert (bench.setup["width"].low, bench.setup["width"].high) == (16.0, 25.0)
    assert bench.construct("single").holes == 2
    assert bench.targets[0].role == "blind"


@pytest.mark.parametrize("old, new, words", WRONG)
def test_a_wrong_file_is_refused_by_name(tmp_path, old, new, words):
    """One sentence that names the file or target and the fault."""
    with pytest.raises(EvidenceError, match=words):
        written(tmp_path, GOOD.replace(old, new))


def test_every_target_has_its_row_its_construct_and_a_role_with_a_band():
    """Cited rows exist; constructs exist; a target without SD has a band of its own."""
    book = load_book()
    for bench in load_benches():
        assert bench.title
        assert bench.protocol
        for target in bench.targets:
            fact = book.fact(target.row)
            for name in (target.construct, target.over):
                assert not name or bench.construct(name)
            assert fact.sd is not None or target.needs or target.low is not None, target.id


def test_every_published_row_of_the_proof_is_used():
    """No published row of a bench stands unused: each is the row of a target or a constant of the null model.

    Rows of portals belong to access and are checked there.
    """
    used = {t.row for b in load_benches() for t in b.targets}
    spare = {"published.load.cyclic", "published.contact.window"}
    shares = {key for key in load_book().rows if key.startswith("published.contact.share.")}
    portals = {key for key in load_book().rows if key.startswith("published.portal.")}
    published = {key for key in load_book().rows if key.startswith("published.")}
    assert published - used - spare - shares - portals == set()
