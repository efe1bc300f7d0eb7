"""Cases, protocols and hold results for rehabilitation."""

from dataclasses import replace
from datetime import date

from cuffwright.case.body import BodyHold, CyclicGap
from cuffwright.case.contact import Contact, PressureMap
from cuffwright.case.hold import HoldResult
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Interval
from cuffwright.case.rehab import Protocol, Release, Stage
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear

OPERATION = date(2025, 3, 1)
STAGES = (Stage("protect", 0, 6, "sling, passive motion", 90, 30, ("little pain",)),)
PROTOCOL = Protocol("Ward A", "3", 6, 2, 6, 12, STAGES)
RELEASE = Release("surgeon", OPERATION, delays_taken=False)


def case(width_cm: float = 0.9, **tear: object) -> CaseSheet:
    """An invented case of this width, operated on 1 March 2025."""
    identity = Identity("demo", "right", OPERATION, invented=True)
    return CaseSheet(identity, replace(Tear(Measurement(width_cm * 10, 0.0, "typed")), **tear))


def held(final: Interval | None, lost: str | None = None) -> HoldResult:
    """What an invented repair holds, with this gap after many pulls."""
    contact = Contact(1, 0.1, 0.2, (0.1,), (0.5,), 0.1, 0.5, 100, 0, 0)
    cycles = CyclicGap(100, (1, 500), (1.0, None if final is None else final.middle), final, lost)
    body = BodyHold("fair", "fair", None, (), (), 1.0, cycles, None, None, ())
    layout, strip = Layout("single-row-simple", (), (), ()), TendonStrip(0, 9, 12, 4)
    return HoldResult(
        case="demo",
        side="right",
        layout=layout,
        strip=strip,
        scenarios=(),
        contact=contact,
        contact_loaded=None,
        pressure=PressureMap((), (), ()),
        cautions=(),
        verdict="",
        inputs=(),
        missing=(),
        facts=(),
        draws=100,
        seed=1,
        version="0",
        edition="x",
        input_hash="x",
        body=body,
    )


def gap(middle: float, high: float) -> Interval:
    """A gap, mm."""
    return Interval(middle, middle / 2, high, "mm", 0.9)
