"""Implants as Device and DeviceUseStatement."""

import base64
from collections.abc import Iterator

from cuffwright.case.implant import ImplantLabel
from cuffwright.exchange.fhir.naming import Resource, reference, site, text
from cuffwright.theatre import Operation
from cuffwright.theatre.operation import ImplantHere

ISSUERS = {
    "gs1": "http://hl7.org/fhir/NamingSystem/gs1-di",
    "hibcc": "http://hl7.org/fhir/NamingSystem/hibcc",
}
"""Issuers as R4 writes them; later versions name the first one otherwise."""

USE = {"inside": "active", "removed": "stopped"}


def device(implant: ImplantHere, patient: str) -> Resource:
    """One implant, wherever it ended."""
    label = implant.entered.label
    found: Resource = {
        "resourceType": "Device",
        "identifier": [{"system": "urn:x-cuffwright:implant", "value": implant.entered.implant}],
        "udiCarrier": [carrier(label)],
        "status": "active" if implant.where == "inside" else "inactive",
        "type": text(implant.entered.item or "suture anchor, kind not stated"),
    }
    if implant.where in USE:
        found["patient"] = reference(patient)
    if implant.where != "inside":
        found["statusReason"] = [text(" ".join((implant.where, implant.reason)).strip())]
    dates = {"manufactureDate": label.made, "expirationDate": label.expires}
    texts = {"lotNumber": label.lot, "serialNumber": label.serial}
    found |= {key: day.isoformat() for key, day in dates.items() if day}
    return found | {key: value for key, value in texts.items() if value}


def carrier(label: ImplantLabel) -> Resource:
    """The label's code: as print gives it, and as it was scanned."""
    return {
        "deviceIdentifier": label.identifier,
        "issuer": ISSUERS[label.system],
        "carrierAIDC": base64.b64encode(label.raw.encode("utf-8")).decode("ascii"),
        "carrierHRF": label.printed,
        "entryType": "unknown",
    }


def uses(operation: Operation, names: dict[str, str], patient: str, side: str) -> Iterator[tuple[str, Resource]]:
    """A use for every implant that was in the patient, with the name of the implant."""
    moments = {kept.seq: kept.happened for kept in operation.entries}
    for implant in operation.implants:
        if implant.where in USE:
            yield (
                implant.entered.implant,
                {
                    "resourceType": "DeviceUseStatement",
                    "status": USE[implant.where],
                    "subject": reference(patient),
                    "timingDateTime": moments[implant.events[0]].isoformat(),
                    "device": reference(names[implant.entered.implant]),
                    "bodySite": {**site(side), "text": f"{side} shoulder, anchor {implant.entered.place}"},
                },
            )
