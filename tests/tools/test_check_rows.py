"""The row check finds every wrong row and every wrong citation, on small invented folders."""

import pytest

HEAD = "key,value,unit,low,high,sd,source,where,provenance,note\n"
GOOD = "anchor.strength.fair,300,N,200,400,,bench-1,table 2,read,\n"
SOURCES = "source,citation,year,url\nbench-1,An invented journal,2001,https://example.org/1\n"
CODE = 'def pull(book):\n    """Pull."""\n    return book.number("anchor.strength.fair")\n'


@pytest.fixture
def check(tmp_path, chore):
    """Run the check over invented rows, code and tests; returns the findings."""
    tool = chore("check_rows")

    def run(rows=GOOD, code=CODE, sources=SOURCES, tests=""):
        for name in ("rows", "code", "tests"):
            (tmp_path / name).mkdir()
        (tmp_path / "rows" / "invented.csv").write_text(HEAD + rows)
        (tmp_path / "rows" / "sources_invented.csv").write_text(sources)
        (tmp_path / "code" / "pull.py").write_text(code)
        (tmp_path / "tests" / "test_pull.py").write_text(tests)
        return tool.findings(tmp_path / "rows", tmp_path / "code", tmp_path / "tests")

    return run


def test_good_rows_give_no_finding(check):
    """One row, one source, one citation: nothing to say."""
    assert check() == []


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (GOOD + GOOD, "stands twice"),
        (GOOD.replace("bench-1", "bench-9"), "in no list of sources"),
        (GOOD.replace("read", "heard"), "the provenance 'heard'"),
        (GOOD.replace("300,N", "500,N"), "outside its own range 200 to 400"),
        (GOOD.replace("300,N", "100,N"), "outside its own range"),
        (GOOD.replace("300,N", "nan,N"), "outside its own range"),
        (GOOD.replace("300,N", "many,N"), "is no number"),
        (GOOD + GOOD.replace("fair", "poor"), "no code uses anchor.strength.poor"),
    ],
)
def test_a_wrong_row_is_found(check, rows, words):
    """Each way in which a row can be wrong gives a finding that names it."""
    assert any(words in line for line in check(rows=rows))


def test_a_key_without_a_row_is_found(check):
    """A key in the code that no row provides is named with its place."""
    found = check(code=CODE.replace("fair", "good"))
    assert "pull.py:3: the code cites anchor.strength.good, but no row provides it" in found


def test_a_key_built_at_run_time_covers_its_rows(check):
    """A key with a part filled in later counts for every row it can name, and for no other."""
    code = CODE.replace('"anchor.strength.fair"', 'f"anchor.strength.{book.grade}"')
    assert check(code=code) == []


def test_a_family_of_keys_covers_its_rows(check):
    """A text that ends in a dot stands for every row that starts with it."""
    rows = GOOD + GOOD.replace("anchor.strength.fair", "bench.gap.double")
    assert check(rows=rows, code=CODE + 'FAMILY = "bench.gap."\n') == []


def test_a_built_key_that_can_name_no_row_is_found(check):
    """A key with a part filled in later that fits no row is a wrong citation."""
    code = CODE + '\n\ndef lost(book, grade):\n    return book.fact(f"anchor.weight.{grade}")\n'
    assert any("anchor.weight.*" in line for line in check(code=code))


def test_a_row_used_by_tests_only_is_used(check):
    """A published bench value that only a test compares with is in use."""
    rows = GOOD + GOOD.replace("fair", "bench")
    assert check(rows=rows, tests='KEY = "anchor.strength.bench"\n') == []


def test_a_source_that_nothing_cites_is_found(check):
    """A source without a row is named."""
    assert any("no row cites the source bench-2" in x for x in check(sources=SOURCES + "bench-2,Another,2002,\n"))


def test_the_unverified_share_is_counted(tmp_path, chore):
    """Rows from memory or assumed count as unverified; the others do not."""
    tool = chore("check_rows")
    (tmp_path / "a.csv").write_text(HEAD + GOOD + GOOD.replace("fair", "poor").replace("read", "memory"))
    assert tool.unverified(tool.read_rows(tmp_path)).startswith("1 of 2 rows are unverified (50%")
