"""The bundle against the generated models of the standard, and what those let through against our own check."""

import base64
import copy
import hashlib
import json

import pytest
from fhir.resources.R4B import get_fhir_model_class
from fhir.resources.R4B.bundle import Bundle
from pydantic import ValidationError

from cuffwright.case.errors import FormatError
from cuffwright.exchange.fhir.checking import check_bundle
from cuffwright.exchange.record import papers
from tests.exchange.record.whole_operation import plan_only, record_of, signed_log, worked

KINDS = {
    *("Patient", "Procedure", "Condition", "Observation"),
    *("Device", "DeviceUseStatement", "Provenance", "DocumentReference"),
}


@pytest.fixture(scope="module")
def signed_bundle():
    """The bundle of the signed operation, and its page."""
    operation = signed_log().operation
    made = papers(record_of(operation), operation)
    return json.loads(made.fhir), made.pdf


def resources(bundle, kind):
    return [entry["resource"] for entry in bundle["entry"] if entry["resource"]["resourceType"] == kind]


@pytest.mark.req("REQ-236")
@pytest.mark.parametrize("operation", [plan_only, lambda: worked().operation, lambda: signed_log().operation])
def test_bundles_parse_and_come_back_equal(operation):
    """Before theatre, as a draft and signed: the models of R4B take the bundle and give it back equal."""
    whole = operation()
    plain = json.loads(papers(record_of(whole), whole).fhir)
    assert json.loads(Bundle.model_validate(plain).model_dump_json(exclude_none=True)) == _zoned(plain)


@pytest.mark.req("REQ-236")
def test_every_kind_of_resource_is_there(signed_bundle):
    """Procedure, implants with UDI and use, findings, diagnosis, provenance and document are all in the bundle."""
    bundle, _ = signed_bundle
    assert {entry["resource"]["resourceType"] for entry in bundle["entry"]} == KINDS
    assert resources(bundle, "Procedure")[0]["status"] == "completed"


@pytest.mark.req("REQ-236")
def test_only_a_signed_operation_is_completed():
    """Before theatre the procedure is in preparation, in theatre in progress; nothing is final before signing."""
    for operation, status in ((plan_only(), "preparation"), (worked().operation, "in-progress")):
        bundle = json.loads(papers(record_of(operation), operation).fhir)
        assert resources(bundle, "Procedure")[0]["status"] == status
        assert {o["status"] for o in resources(bundle, "Observation")} <= {"preliminary"}
        assert resources(bundle, "DocumentReference")[0]["docStatus"] == "preliminary"


@pytest.mark.req("REQ-236")
def test_a_simulated_strength_is_never_final(signed_bundle):
    """The strength by the model says that it is simulated and stays preliminary even when signed."""
    found = [o for o in resources(signed_bundle[0], "Observation") if "ultimate load" in o["code"]["text"]]
    assert [o["status"] for o in found] == ["preliminary"]
    assert "simulated" in found[0]["method"]["text"]


@pytest.mark.req("REQ-232")
def test_devices_carry_their_udi_and_only_what_is_inside_is_implanted(signed_bundle):
    """Printed and scanned form, lot, serial, expiry; the procedure has those inside, the removed one is stopped."""
    bundle, pdf = signed_bundle
    by_serial = {
        d["serialNumber"]: (e["fullUrl"], d) for e in bundle["entry"] for d in [e["resource"]] if "udiCarrier" in d
    }
    _, one = by_serial["S9"]
    carrier = one["udiCarrier"][0]
    assert base64.b64decode(carrier["carrierAIDC"]) == b"raw"
    assert carrier["issuer"] == "http://hl7.org/fhir/NamingSystem/gs1-di"
    assert (one["lotNumber"], one["expirationDate"], one["status"]) == ("LOT7", "2028-01-01", "active")
    assert by_serial["S8"][1]["statusReason"][0]["text"] == "wasted fell to the floor"
    inside = {d["manipulated"]["reference"] for d in resources(bundle, "Procedure")[0]["focalDevice"]}
    assert inside == {full for serial, (full, _) in by_serial.items() if serial not in {"S0", "S8"}}
    uses = {u["device"]["reference"]: u["status"] for u in resources(bundle, "DeviceUseStatement")}
    assert uses[by_serial["S0"][0]] == "stopped"
    assert by_serial["S8"][0] not in uses
    attached = resources(bundle, "DocumentReference")[0]["content"][0]["attachment"]
    assert base64.b64decode(attached["hash"]) == hashlib.sha1(pdf).digest()


@pytest.mark.req("REQ-236")
@pytest.mark.parametrize(
    "kind, change",
    [
        ("Procedure", lambda r: r.pop("status")),
        ("Procedure", lambda r: r.pop("subject")),
        ("Procedure", lambda r: r.update(another="field")),
        ("Procedure", lambda r: r.update(performedPeriod={"start": "2026-08-01"})),
        ("Device", lambda r: r.update(expirationDate="2015-13-07")),
        ("DeviceUseStatement", lambda r: r.update(timingDateTime="2026-08-01T09:00:00")),
    ],
)
def test_what_the_standard_forbids_is_rejected_by_its_models(signed_bundle, kind, change):
    """No status or subject, an unknown field, two times performed, an impossible date, a time without zone."""
    one = copy.deepcopy(resources(signed_bundle[0], kind)[0])
    model = get_fhir_model_class(kind)
    model.model_validate(one)
    change(one)
    with pytest.raises(ValidationError):
        model.model_validate(one)


@pytest.mark.req("REQ-236")
def test_what_the_models_let_through_our_own_check_finds(signed_bundle):
    """A status that is none passes the models and not our check; so do a lost reference and a doubled name."""
    bundle = copy.deepcopy(signed_bundle[0])
    resources(bundle, "Procedure")[0]["status"] = "banana"
    Bundle.model_validate(bundle)
    with pytest.raises(FormatError, match="banana"):
        check_bundle(bundle)
    for change, said in (
        (lambda b: resources(b, "Procedure")[0]["subject"].update(reference="urn:uuid:none"), "not in the bundle"),
        (lambda b: b["entry"].append(b["entry"][0]), "one name"),
        (lambda b: resources(b, "Observation")[0].pop("code"), "lacks code"),
        (lambda b: resources(b, "Device")[0].update(expirationDate="7.7.2015"), "no moment"),
        (lambda b: resources(b, "Patient")[0].update(resourceType="Basic"), "not written here"),
    ):
        other = copy.deepcopy(signed_bundle[0])
        change(other)
        with pytest.raises(FormatError, match=said):
            check_bundle(other)
    check_bundle(signed_bundle[0])


@pytest.mark.req("REQ-236")
def test_a_carrier_without_issuer_and_a_partial_date_are_legal_in_r4(signed_bundle):
    """R4 takes a UDI carrier without issuer and a date of year and month."""
    one = copy.deepcopy(resources(signed_bundle[0], "Device")[0])
    one["udiCarrier"][0].pop("issuer")
    get_fhir_model_class("Device").model_validate(one)
    procedure = copy.deepcopy(resources(signed_bundle[0], "Procedure")[0])
    procedure["performedDateTime"] = "2026-08"
    get_fhir_model_class("Procedure").model_validate(procedure)


def _zoned(plain):
    """The models write UTC as Z."""
    return json.loads(json.dumps(plain).replace("+00:00", "Z"))
