"""Decoded values against their uncompressed twins, and damage that must not become a picture."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import cuffwright
from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture, read_stored


def stored(place):
    """Stored values of a file's first frame."""
    return read_stored(read_picture(place))[0]


@pytest.mark.req("REQ-049")
def test_the_shoulder_and_its_lossless_twin_are_the_same_picture(real):
    """D-40: JPEG 2000 reversible equals uncompressed; digest of the pixels and mean 75.0836."""
    plain, packed = stored(real("MR2_UNCR.dcm")), stored(real("MR2_J2KR.dcm"))
    assert np.array_equal(plain, packed)
    assert hashlib.sha256(plain.tobytes()).hexdigest().startswith("7d1a676f3c012d0c")
    assert plain.mean() == pytest.approx(75.0836, abs=5e-5)


def test_the_lossy_twins_agree_and_differ_from_the_original(real):
    """D-41: the two irreversible copies are identical and up to 32 stored units off."""
    lossy = stored(real("MR2_J2KI.dcm"))
    assert np.array_equal(lossy, stored(real("MR2_UNCI.dcm")))
    assert np.abs(lossy.astype(int) - stored(real("MR2_UNCR.dcm")).astype(int)).max() == 32


@pytest.mark.parametrize("stem", ["RG1", "RG3", "693", "US1"])
@pytest.mark.req("REQ-049")
def test_other_lossless_twins(real, stem):
    """D-42: reversible JPEG 2000 equals uncompressed."""
    assert np.array_equal(stored(real(f"{stem}_J2KR.dcm")), stored(real(f"{stem}_UNCR.dcm")))


@pytest.mark.parametrize(
    "name",
    [
        "MR_small_RLE.dcm",
        "MR_small_jpeg_ls_lossless.dcm",
        "MR_small_jp2klossless.dcm",
        "MR_small_implicit.dcm",
        "MR_small_bigendian.dcm",
    ],
)
@pytest.mark.req("REQ-049")
def test_one_image_in_every_form(real, name):
    """D-43 and F33: the same values in every lossless form."""
    assert np.array_equal(stored(real(name)), stored(real("MR_small.dcm")))


@pytest.mark.parametrize("name", ["JPEG-lossy.dcm", "JPEG2000-embedded-sequence-delimiter.dcm"])
def test_what_no_decoder_reads_is_no_picture(real, name, capfd):
    """D-45: a clear message, no picture, and nothing of the decoder's own words on the screen."""
    with pytest.raises(ImageError, match="cannot be decoded"):
        stored(real(name))
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("name", ["JPGLosslessP14SV1_1s_1f_8b.dcm", "MR_small_jp2klossless.dcm", "MR_small_RLE.dcm"])
@pytest.mark.req("REQ-048")
def test_damaged_streams_end_in_a_sentence_and_not_the_process(real, tmp_path, name, capfd):
    """Damaged compressed data: some decoders abort their process; ours goes on and prints nothing."""
    rng = np.random.default_rng(1)
    whole, sound = real(name).read_bytes(), read_picture(real(name))
    for _ in range(2):
        damaged = bytearray(whole)
        for place in rng.integers(len(whole) // 2, len(whole), 40):
            damaged[place] = int(rng.integers(256))
        (tmp_path / "damaged.dcm").write_bytes(bytes(damaged))
        told = ""
        try:
            shape = stored(tmp_path / "damaged.dcm").shape
        except ImageError as refusal:
            told = str(refusal)
        assert ("\n" not in told) if told else shape[:2] == (sound.rows, sound.columns)
    assert capfd.readouterr() == ("", "")


def test_the_sign_contradiction_is_resolved_as_the_codestream_says(real):
    """F7: 13 bits, signed in the stream; a CT must reach air, near -1000 after rescale, and padding at -2000."""
    values = stored(real("J2K_pixelrep_mismatch.dcm"))
    assert (int(values.min()), int(values.max())) == (-2000, 1896)


def test_a_folder_called_dl_does_not_stop_the_reader(tmp_path):
    """One decoder imports a module called dl if it can; a folder of that name must not be taken for it."""
    (tmp_path / "dl").mkdir()
    script = "from cuffwright.imaging.picture import *; from cuffwright.imaging.samples import *; " + (
        "print(read_stored(read_picture(sample_path('ultrasound')))[0].shape)"
    )
    source = str(Path(cuffwright.__file__).parents[1])
    environment = {**os.environ, "PYTHONPATH": source}
    ran = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert (ran.stdout.strip(), ran.stderr) == ("(768, 1024)", "")
