"""The packaged pictures are found without a network, or their absence is said."""

import hashlib
from importlib.metadata import PackageNotFoundError

import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.samples import SAMPLES, sample_path


@pytest.mark.parametrize("name", list(SAMPLES))
def test_every_sample_is_there_and_reads(name):
    """Each named sample opens as a picture, and its marks lie on it."""
    picture = read_picture(sample_path(name))
    picture.check_inside(*SAMPLES[name].head_marks)
    assert picture.rows > 0


def test_the_shoulder_is_the_file_its_oracles_were_worked_on():
    """F1: the pixels' digest begins 7d1a676f3c012d0c; they are the last 2 MB before the padding element."""
    content = sample_path("shoulder-mr").read_bytes()
    start = content.index(b"\xe0\x7f\x10\x00OW\x00\x00") + 12
    assert hashlib.sha256(content[start : start + 2 * 1024 * 1024]).hexdigest().startswith("7d1a676f3c012d0c")


def test_an_unknown_name_lists_the_known_ones():
    """The sentence names what there is."""
    with pytest.raises(ImageError, match="shoulder-mr"):
        sample_path("knee")


def test_a_missing_extra_says_how_to_install_it(monkeypatch):
    """Without the demonstration extra: one sentence with the command."""

    def absent(name):
        raise PackageNotFoundError(name)

    monkeypatch.setattr("cuffwright.imaging.samples.distribution", absent)
    with pytest.raises(ImageError, match=r"cuffwright\[demo\]"):
        sample_path("shoulder-mr")
