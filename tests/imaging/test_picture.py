"""One file opened safely: real files, junk, damage. Every refusal is one sentence."""

import tracemalloc
import zlib
from datetime import date

import numpy as np
import pydicom
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture, read_stored
from cuffwright.imaging.window import render
from tests.sampling import of


def refused(place) -> str:
    """The sentence with which a file is refused."""
    with pytest.raises(ImageError) as told:
        read_picture(place)
    sentence = str(told.value)
    assert "\n" not in sentence
    assert "Traceback" not in sentence
    assert len(sentence) < 300
    return sentence


@pytest.mark.req("REQ-048")
def test_junk_is_refused_in_a_sentence(tmp_path):
    """Empty file, folder, missing file, random bytes, ten megabytes of junk, text."""
    noise = np.random.default_rng(3)
    for name, content in {
        "empty.dcm": b"",
        "random.dcm": noise.bytes(5000),
        "junk.dcm": noise.bytes(10_000_000),
        "preamble.dcm": bytes(128) + b"DICM" + noise.bytes(20_000),
        "text.dcm": b"not a picture at all\n" * 50,
        "elements.dcm": b"\x08\x00\x05\x00" + noise.bytes(3000),
    }.items():
        (tmp_path / name).write_bytes(content)
        assert name in refused(tmp_path / name)
    assert "cannot be found" in refused(tmp_path / "missing.dcm")
    assert "not a file" in refused(tmp_path)
    assert "cannot be found" in refused("\0")
    assert "is empty" in refused(tmp_path / "empty.dcm")


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("no_meta.dcm", "not a readable DICOM file"),
        ("meta_missing_tsyntax.dcm", "what kind of object"),
        ("MR_truncated.dcm", "truncated: 8130 of 8192 bytes"),
        ("badVR.dcm", "how many frames"),
        ("test-SR.dcm", "SR without pixel data"),
        ("rtplan.dcm", "RTPLAN without pixel data"),
        ("emri_small_jpeg_2k_lossless_too_short.dcm", "what kind of object"),
    ],
)
def test_real_files_that_are_no_usable_image_say_why(real, name, why):
    """F17, F19, F20, F34: the reason is in the sentence."""
    assert why in refused(real(name))


@pytest.mark.req("REQ-048")
def test_a_tail_cut_off_anywhere_never_gives_a_picture(real, tmp_path):
    """The shoulder MR cut at ten places is refused at every one."""
    whole = real("MR2_UNCR.dcm").read_bytes()
    # the last 140 bytes are padding behind the picture (an element of 126 bytes with its head)
    for end in np.linspace(1, len(whole) - 200, 10).astype(int):
        (tmp_path / "cut.dcm").write_bytes(whole[:end])
        refused(tmp_path / "cut.dcm")


def test_padding_behind_the_picture_is_told(real):
    """F19: MR_small_padded reads as its plain twin, with a note."""
    padded, plain = read_picture(real("MR_small_padded.dcm")), read_picture(real("MR_small.dcm"))
    assert any("surplus bytes" in note for note in padded.warnings)
    assert np.array_equal(read_stored(padded)[0], read_stored(plain)[0])


def test_a_false_size_cannot_claim_memory(altered):
    """65535 by 65535 pixels in a small compressed file are refused before decoding, with little memory."""
    place = altered("MR_small_RLE.dcm", Rows=65535, Columns=65535)
    tracemalloc.start()
    assert "more than can be read" in refused(place)
    assert tracemalloc.get_traced_memory()[1] < 20_000_000
    tracemalloc.stop()


def test_a_file_that_inflates_without_end_is_refused(real, tmp_path, monkeypatch):
    """F35: a deflated file reads; one that unpacks beyond the limit is refused before it is unpacked."""
    assert read_picture(real("image_dfl.dcm")).rows == 512
    whole = real("image_dfl.dcm").read_bytes()
    meta = pydicom.filereader.read_file_meta_info(real("image_dfl.dcm"))
    start = 132 + 12 + meta.FileMetaInformationGroupLength
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    bomb = packer.compress(bytes(30_000_000)) + packer.flush()
    (tmp_path / "bomb.dcm").write_bytes(whole[:start] + bomb)
    monkeypatch.setattr("cuffwright.imaging.header.MAX_BYTES", 1_000_000)
    assert "unpacks to more than" in refused(tmp_path / "bomb.dcm")


def test_a_file_beyond_the_limit_is_not_opened(real, monkeypatch):
    """The size is looked at before the content."""
    monkeypatch.setattr("cuffwright.imaging.header.MAX_BYTES", 1000)
    assert "larger than" in refused(real("MR2_UNCR.dcm"))


def test_a_file_without_meta_group_is_read_when_it_is_an_image(real, tmp_path):
    """Old files start with their elements at once; the picture is the same."""
    dataset = pydicom.dcmread(real("MR_small_implicit.dcm"))
    with (tmp_path / "bare.dcm").open("wb") as file:
        pydicom.dcmwrite(file, strip_meta(dataset), implicit_vr=True, little_endian=True)
    bare = read_picture(tmp_path / "bare.dcm")
    assert np.array_equal(read_stored(bare)[0], read_stored(read_picture(real("MR_small.dcm")))[0])


def strip_meta(dataset):
    """A copy of the elements without file meta and preamble."""
    bare = pydicom.Dataset()
    bare.update(dataset)
    return bare


def test_a_frame_that_is_not_there_is_refused(real):
    """F14 has two frames."""
    with pytest.raises(ImageError, match=r"2 frame\(s\), so there is no frame 3"):
        read_picture(real("eCT_Supplemental.dcm"), frame=2)


def test_what_is_odd_is_told(real):
    """F6 lossy 30:1; F31 overlays; F1 dates that disagree (read in its header: 1995 and 2004)."""
    assert any("30 to 1" in note for note in read_picture(real("RG3_J2KI.dcm")).warnings)
    assert any("overlays" in note for note in read_picture(real("examples_overlay.dcm")).warnings)
    shoulder = read_picture(real("MR2_UNCR.dcm"))
    assert shoulder.image_date == date(1995, 5, 1)
    assert any("dates disagree" in note for note in shoulder.warnings)


def test_no_identifier_stays_in_clear(real):
    """Name, identifier and birth date of F1 occur nowhere in the picture's own text."""
    text = repr(read_picture(real("MR2_UNCR.dcm")))
    assert not [word for word in ("CompressedSamples", "5MR2", "19500112", "1950-01-12") if word in text]


def test_a_damaged_length_cannot_carry_a_name_into_the_sentence(real, tmp_path, caplog):
    """A code whose length was damaged swallows what follows it, names too; none of it is printed or logged."""
    damaged = bytearray(real("eCT_Supplemental.dcm").read_bytes())
    damaged[652] = 0
    (tmp_path / "damaged.dcm").write_bytes(bytes(damaged))
    assert "Smith" not in refused(tmp_path / "damaged.dcm") + caplog.text


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=2000), st.booleans())
def test_random_bytes_never_raise_anything_else(tmp_path, content, preamble):
    """Any bytes, with or without the DICM mark, are refused by an ImageError."""
    (tmp_path / "any.dcm").write_bytes((bytes(128) + b"DICM" if preamble else b"") + content)
    refused(tmp_path / "any.dcm")


@settings(max_examples=of(12, 40), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, 1700), st.integers(0, 255)), min_size=1, max_size=12), st.booleans())
@pytest.mark.req("REQ-048")
def test_damaged_headers_give_a_picture_or_a_sentence(real, tmp_path, hits, enhanced):
    """Up to twelve bytes of a real header overwritten: read and drawn, or refused by an ImageError, nothing else."""
    damaged = bytearray(real("eCT_Supplemental.dcm" if enhanced else "MR_small.dcm").read_bytes())
    for place, value in hits:
        damaged[place] = value
    (tmp_path / "damaged.dcm").write_bytes(bytes(damaged))
    told = ""
    try:
        picture = read_picture(tmp_path / "damaged.dcm")
        fits = render(picture).levels.shape[:2] == (picture.rows, picture.columns)
    except ImageError as refusal:
        told = str(refusal)
    assert ("\n" not in told and len(told) < 300) if told else fits
