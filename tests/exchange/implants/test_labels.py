"""Implant labels: worked examples with their printed sources named beside them, and random strings."""

from datetime import date
from io import BytesIO

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.exchange.implants import open_stock, read_label, read_photograph, read_stock
from cuffwright.exchange.implants.gs1 import check_digit
from cuffwright.exchange.implants.hibcc import check_character
from tests.exchange.implants.random_labels import modulo_says, random_label, weights_say
from tests.test_architecture import ROOT

TODAY = date(2026, 8, 1)
SAMPLE = "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234"
PLAIN = "0151022222233336" + "11141231" + "17150707" + "10A213B1\x1d211234"
EXAMPLES = 10_000


@pytest.mark.req("REQ-225")
@pytest.mark.parametrize(
    "body, check",
    [
        ("890400021003", "7"),  # gs1india.org, check digit calculator
        ("629104150021", "3"),  # gs1hk.org, check digit calculator
        ("730001100001", "7"),  # gs1.se, how to work out the check digit
        ("5102222223333", "6"),  # the regulator's sample label, 2017
    ],
)
def test_check_digits_as_published(body, check):
    """Check digits worked out on paper by the numbering organisations."""
    assert check_digit(body) == check


@pytest.mark.req("REQ-225")
@pytest.mark.parametrize("text", [SAMPLE, PLAIN, PLAIN.replace("\x1d", "<GS>"), "]d2" + PLAIN, "\x1d" + PLAIN])
def test_the_regulators_sample(text):
    """The regulator's sample label reads the same printed and as a scanner sends it."""
    label = read_label(text, TODAY)
    assert (label.identifier, label.made, label.expires) == ("51022222233336", date(2014, 12, 31), date(2015, 7, 7))
    assert (label.lot, label.serial, label.raw, label.printed) == ("A213B1", "1234", text, SAMPLE)


@pytest.mark.req("REQ-225")
def test_a_dropped_separator_is_warned_of():
    """A lot that runs on into an expiry date, or may hold a serial, carries a note; a closed one does not."""
    label = read_label("0151022222233336" + "10A213B1" + "17150707", TODAY)
    assert label.lot == "A213B117150707"
    assert "(17) 150707" in label.notes[0]
    assert "serial" in read_label("0151022222233336" + "10A213B1211234", TODAY).notes[0]
    assert read_label(PLAIN, TODAY).notes == ()


@pytest.mark.req("REQ-225")
def test_a_wrong_check_digit_is_refused():
    """The sample with its last digit changed is refused in one sentence."""
    with pytest.raises(FormatError, match="wrong check digit"):
        read_label(SAMPLE.replace("33336", "33337"), TODAY)


@pytest.mark.req("REQ-225")
def test_dates_of_labels():
    """Day 00 is the last of the month with a note; two-digit years reach 49 back and 50 ahead; no day, no reading."""
    leap = read_label("(01)51022222233336(17)280200", TODAY)
    assert leap.expires == date(2028, 2, 29)
    assert "names no day" in leap.notes[0]
    assert read_label("(01)51022222233336(17)130200", TODAY).expires == date(2013, 2, 28)
    assert read_label("(01)51022222233336(17)160200", TODAY).expires == date(2016, 2, 29)
    future = read_label("(01)51022222233336(11)760115", TODAY)
    assert future.made == date(2076, 1, 15)
    assert "in the future" in future.notes[0]
    assert read_label("(01)51022222233336(11)770115", TODAY).made == date(1977, 1, 15)
    for wrong in ("261301", "260231", "260000"):
        with pytest.raises(FormatError, match="no day of the calendar"):
            read_label(f"(01)51022222233336(17){wrong}", TODAY)


@pytest.mark.req("REQ-225")
@pytest.mark.parametrize(
    "text, said",
    [
        ("0151022222233336" + "10" + "A" * 21, "21 characters"),
        ("", "empty"),
        ("17270630", "no device identifier"),
        ("0151022222233336" + "88X", "no field of an implant label"),
        ("015102222223333", "cut short"),
        ("0151022222233336" + "10LOT 7", "no label has"),
        ("0151022222233336\n0107300011000017", "twice"),
        ("01" + "1" * 500, "more than 400"),
    ],
)
def test_labels_that_are_refused(text, said):
    """A field too long, unknown, cut short or contradicted is refused, and the sentence says which."""
    with pytest.raises(FormatError, match=said):
        read_label(text, TODAY)


@pytest.mark.req("REQ-225")
def test_a_matrix_code_with_its_prefix_and_two_codes_of_one_label():
    """The prefix of a matrix code is dropped; fields split over two codes are joined."""
    label = read_label("]d20151022222233336" + "17270630" + "10LOT7\x1d21S9", TODAY)
    assert (label.expires, label.lot, label.serial) == (date(2027, 6, 30), "LOT7", "S9")
    assert read_label("0151022222233336\n17270630\x1d10LOT7", TODAY).lot == "LOT7"


@pytest.mark.req("REQ-226")
def test_the_expiry_date_is_the_last_good_day():
    """On the date itself an implant is good, the day after expired, without a date unknown."""
    label = read_label(SAMPLE, TODAY)
    assert label.shelf(date(2015, 7, 7)) == "good"
    assert label.shelf(date(2015, 7, 8)) == "expired"
    assert read_label("(01)51022222233336", TODAY).shelf(TODAY) == "unknown"


@pytest.mark.req("REQ-225")
@pytest.mark.parametrize("body, check", [("+A123BJC5D6E71", "G"), ("+A1234BJC5D6E71", "K")])
def test_check_characters_as_published(body, check):
    """The two printed examples of scanner manuals, which differ by one character, are both right."""
    assert check_character(body) == check
    assert read_label(body + check, TODAY).identifier == body[1:]
    with pytest.raises(FormatError, match="wrong check character"):
        read_label(body + "A", TODAY)


@pytest.mark.req("REQ-225")
@pytest.mark.parametrize(
    "part, expires, lot, serial",
    [
        ("$$0628LOT7", date(2028, 6, 30), "LOT7", None),
        ("$$2063028LOT7", date(2028, 6, 30), "LOT7", None),
        ("$$3280630LOT7", date(2028, 6, 30), "LOT7", None),
        ("$$528182LOT7", date(2028, 6, 30), "LOT7", None),
        ("$$8203280630LOT7", date(2028, 6, 30), "LOT7", None),
        ("$$7LOT7", None, "LOT7", None),
        ("$$+3280630S9", date(2028, 6, 30), None, "S9"),
        ("$LOT7", None, "LOT7", None),
        ("$+S9", None, None, "S9"),
        ("$$3280630LOT7/SS9/16D20260101", date(2028, 6, 30), "LOT7", "S9"),
    ],
)
def test_second_parts_of_a_joined_code(part, expires, lot, serial):
    """Each form of date, lot and serial after the primary code is read; all of them ask for a look at the print."""
    body = f"+A123BJC5D6E71/{part}"
    label = read_label(body + check_character(body), TODAY)
    assert label.quantity == (20 if "820" in part else None)
    assert (label.expires, label.lot, label.serial) == (expires, lot, serial)
    assert "compare" in label.notes[0]


@pytest.mark.req("REQ-225")
def test_a_second_code_on_its_own_line_must_belong_to_the_first():
    """The link character ties the two codes of one label together; another label's code is refused."""
    second = "+$$3280630LOT7G"
    assert read_label(f"*+A123BJC5D6E71G*\n*{second}{check_character(second)}*", TODAY).lot == "LOT7"
    other = "+$$3280630LOT7K"
    with pytest.raises(FormatError, match="another label"):
        read_label(f"+A123BJC5D6E71G\n{other}{check_character(other)}", TODAY)


@pytest.mark.req("REQ-225")
@settings(max_examples=300, deadline=None)
@given(st.integers(0, 10**13 - 1), st.integers(0, 13), st.integers(1, 9))
def test_every_single_wrong_digit_is_found(body, place, change):
    """Whatever one digit of a device identifier becomes another, the label is refused."""
    number = f"{body:013d}"
    number += check_digit(number)
    wrong = number[:place] + str((int(number[place]) + change) % 10) + number[place + 1 :]
    assert read_label(f"(01){number}", TODAY).identifier == number
    with pytest.raises(FormatError, match="check digit"):
        read_label(f"(01){wrong}", TODAY)


@pytest.mark.req("REQ-225")
def test_random_strings_never_break_it():
    """Ten thousand random strings: a reading or one sentence, and never a wrong check digit let through."""
    chance = np.random.default_rng(20260801)
    read = 0
    for _ in range(EXAMPLES):
        try:
            label = read_label(random_label(chance), TODAY)
        except FormatError:
            continue
        read += 1
        code = label.raw.replace("*", "").strip()
        assert weights_say(label.identifier) if label.system == "gs1" else modulo_says(code.split("\n")[0].strip())
    assert 500 < read < EXAMPLES - 500


@pytest.mark.req("REQ-225")
def test_a_photographed_matrix_code_is_read():
    """A matrix code, turned and compressed as a photograph is, gives what a scanner would send; a blank one nothing."""
    code = zxingcpp.create_barcode(
        "(01)51022222233336(17)270630(10)LOT7(21)S9", zxingcpp.BarcodeFormat.DataMatrix, gs1=True
    )
    drawn = Image.fromarray(np.array(zxingcpp.write_barcode_to_image(code, scale=5))).convert("L")
    label = read_label(read_photograph(_jpeg(drawn.rotate(11, expand=True, fillcolor=255)))[0], TODAY)
    assert (label.lot, label.serial, label.expires) == ("LOT7", "S9", date(2027, 6, 30))
    assert read_photograph(_jpeg(Image.new("L", (200, 200), 255))) == []
    with pytest.raises(FormatError, match="photograph"):
        read_photograph(b"%PDF-1.7 no picture")


def test_the_stock_is_data():
    """The invented stock finds an item by its label; a doubled identifier or an unsourced strength is refused."""
    stock = open_stock(ROOT / "examples" / "theatre" / "stock.toml")
    item = stock.of(read_label(SAMPLE, TODAY))
    assert item is not None
    assert (item.kind, item.eyelet_limit) == ("all-suture-2.5", 2)
    assert stock.of(read_label("(01)07300011000017", TODAY)) is None
    start = 'format = 1\nname = "a"\nversion = "1"\n'
    with pytest.raises(CaseError, match="twice"):
        read_stock(start + 'items = [{key = "x", kind = "k"}, {key = "x", kind = "k"}]')
    with pytest.raises(CaseError, match="source"):
        read_stock(start + 'items = [{key = "x", kind = "k", strengths = [{newtons = 9.0, source = " "}]}]')


def _jpeg(picture: Image.Image) -> bytes:
    held = BytesIO()
    picture.save(held, "JPEG", quality=60)
    return held.getvalue()
