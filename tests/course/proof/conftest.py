"""The proof worked out once for all its tests: few draws, the set-ups as written down."""

import pytest

from cuffwright.course.proof.prove import prove
from cuffwright.evidence.bench_files import load_benches
from cuffwright.evidence.book import load_book


@pytest.fixture(scope="session")
def benches():
    """The packaged benches."""
    return load_benches()


@pytest.fixture(scope="session")
def book():
    """The packaged rows."""
    return load_book()


@pytest.fixture(scope="session")
def proof(benches, book):
    """Every row of every bench with 100 draws."""
    return prove(benches, book, draws=100, setups=0)
