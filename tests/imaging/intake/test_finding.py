"""Folder, zip file, media index and list give their files; what cannot be read is named and the rest go on."""

import zipfile
from pathlib import Path

import pydicom
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.finding import dropped, find_files
from cuffwright.imaging.intake.taking_in import take_in
from tests.imaging.stacks import TEST_FILES, write_stack

DISC = TEST_FILES / "dicomdirtests"


def test_a_zip_gives_what_its_folder_gives(tmp_path):
    """The same five slices from a folder and from a zip file of it, in the same order."""
    places = write_stack(tmp_path / "in", [0, 3, 6, 9, 12])
    with zipfile.ZipFile(tmp_path / "all.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for place in places:
            archive.write(place, f"a/b/{place.name}")
    (tmp_path / "work").mkdir()
    folder, packed = take_in(tmp_path / "in"), take_in(tmp_path / "all.zip", unpack_to=tmp_path / "work")
    uids = [[p.sop_instance_uid for p in one.pictures] for one in (folder, packed)]
    assert uids[0] == uids[1]
    assert len(uids[0]) == 5


def test_dropped_files_keep_their_names_and_zips_among_them_are_unpacked(tmp_path):
    """Two slices, a zip of two more and an index: four pictures, the index left out; a text set aside by name."""
    places = write_stack(tmp_path / "in", [0, 3, 6, 9])
    with zipfile.ZipFile(tmp_path / "more", "w") as archive:
        for place in places[2:]:
            archive.write(place, place.name)
    (tmp_path / "text").write_text("no image")
    files = [(places[0], "a"), (places[1], "b"), (tmp_path / "more", "c.zip"), (tmp_path / "text", "x/y.txt")]
    found = take_in(dropped([*files, (places[0], "disc/DICOMDIR")], tmp_path / "work"))
    assert (len(found.pictures), found.files) == (4, 5)
    assert [(one.name, one.reason.split(" is ")[0]) for one in found.set_aside] == [("x/y.txt", "x/y.txt")]
    with pytest.raises(ImageError, match="no file"):
        dropped([(places[0], "DICOMDIR")], tmp_path / "other")


def test_no_name_in_a_zip_leads_out_of_its_folder(tmp_path):
    """Members called ../../outside and /outside are unpacked under numbers, nowhere else."""
    work = tmp_path / "deep" / "work"
    work.mkdir(parents=True)
    place = write_stack(tmp_path / "in", [0])[0]
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        for name in ("../../outside", "/outside2"):
            archive.writestr(name, place.read_bytes())
    take_in(tmp_path / "bad.zip", unpack_to=work)
    assert sorted(p.name for p in work.iterdir()) == ["000000.dcm", "000001.dcm"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.zip", "deep", "in"]


def test_a_damaged_member_is_set_aside_and_the_rest_go_on(tmp_path):
    """One byte of a packed member changed: that file has a reason, the other is a picture."""
    places = write_stack(tmp_path / "in", [0, 3])
    with zipfile.ZipFile(tmp_path / "all.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for place in places:
            archive.write(place, place.name)
        offset = archive.infolist()[0].header_offset + 60
    content = bytearray((tmp_path / "all.zip").read_bytes())
    content[offset + 500] ^= 0xFF
    (tmp_path / "all.zip").write_bytes(content)
    (tmp_path / "work").mkdir()
    found = take_in(tmp_path / "all.zip", unpack_to=tmp_path / "work")
    assert len(found.pictures) == 1
    assert [a.name for a in found.set_aside] == [places[0].name]


def test_the_index_of_a_disc_names_its_files():
    """The packaged DICOMDIR (31 images of two patients) gives exactly the files it names."""
    listed = [
        DISC.joinpath(*([r.ReferencedFileID] if isinstance(r.ReferencedFileID, str) else r.ReferencedFileID))
        for r in pydicom.dcmread(DISC / "DICOMDIR").DirectoryRecordSequence
        if "ReferencedFileID" in r
    ]
    found = find_files(DISC / "DICOMDIR")
    assert sorted(f.place for f in found.files) == sorted(listed)
    assert found.notes == ()


def test_files_an_index_names_and_the_disc_lacks_are_counted(tmp_path):
    """The packaged index alone in a folder with one of its files: the others are called missing."""
    (tmp_path / "77654033" / "CR1").mkdir(parents=True)
    (tmp_path / "DICOMDIR").write_bytes((DISC / "DICOMDIR").read_bytes())
    (tmp_path / "77654033" / "CR1" / "6154").write_bytes((DISC / "77654033/CR1/6154").read_bytes())
    found = take_in(tmp_path)
    assert len(found.pictures) == 1
    assert "30 of 31 files named in DICOMDIR are missing" in found.notes[0]


@pytest.mark.parametrize("source", ["nothing", "empty", "list", "torn.zip"])
def test_nothing_to_read_is_one_sentence(tmp_path, source):
    """A missing place, an empty folder, an empty list, a zip file cut short."""
    (tmp_path / "empty").mkdir()
    with zipfile.ZipFile(tmp_path / "torn.zip", "w"):
        pass
    wanted: Path | list[Path] = [] if source == "list" else tmp_path / source
    with pytest.raises(ImageError, match=r"choose|check"):
        take_in(wanted, unpack_to=tmp_path)


def test_an_import_can_be_stopped(tmp_path):
    """Told to stop after the second of four files, nothing is kept, and the count is said."""
    write_stack(tmp_path / "in", [0, 3, 6, 9])
    told = []

    def go_on(done: int, count: int) -> bool:
        told.append((done, count))
        return done < 2

    with pytest.raises(ImageError, match="stopped after 2 of 4"):
        take_in(tmp_path / "in", go_on=go_on)
    assert told == [(1, 4), (2, 4)]


def test_what_is_no_picture_is_set_aside_with_a_reason():
    """F17, F19, F20, F34 of the packages among the files of pydicom: each refused file has one sentence."""
    found = take_in(
        [TEST_FILES / n for n in ("MR_truncated.dcm", "badVR.dcm", "test-SR.dcm", "README.txt", "CT_small.dcm")]
    )
    assert len(found.pictures) == 1
    words = {a.name: a.reason for a in found.set_aside}
    assert "truncated" in words["MR_truncated.dcm"]
    assert "how many frames" in words["badVR.dcm"]
    assert "holds no picture" in words["test-SR.dcm"]
    assert "not a readable DICOM file" in words["README.txt"]
