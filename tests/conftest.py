"""What every test shares: one cache of compiled kernels, requirement marks in the report, repeatable properties."""

from hypothesis import settings

from cuffwright.compiled import point_compiler_here
from tests.requirement_marks import pytest_collection_modifyitems

__all__ = ["pytest_collection_modifyitems"]

point_compiler_here()
settings.register_profile("house", deadline=None, derandomize=True, database=None, print_blob=True)
settings.load_profile("house")
