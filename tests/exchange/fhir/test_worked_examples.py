"""Worked examples of the standard in its versions R4B and R5: what each takes and what each rejects."""

import json
from typing import Any

import pytest
from fhir.resources import get_fhir_model_class as r5
from fhir.resources.R4B import get_fhir_model_class as r4b
from pydantic import ValidationError

from cuffwright.case.errors import FormatError
from cuffwright.exchange.fhir.checking import check_bundle

MODELS = {"R4B": r4b, "R5": r5}
WHO = {"reference": "Patient/1"}
PROCEDURE = {"resourceType": "Procedure", "status": "completed", "subject": WHO}
DEVICE = {"resourceType": "Device"}
CARRIER = {"deviceIdentifier": "51022222233336", "issuer": "http://hl7.org/fhir/NamingSystem/gs1-di"}
ANSWERS = {"resourceType": "QuestionnaireResponse", "status": "completed"}
PLAN = {"resourceType": "CarePlan", "status": "draft", "intent": "plan", "subject": WHO}
DETAIL = {"status": "not-started", "description": "sling"}


def takes(version: str, resource: dict[str, Any]) -> bool:
    """Whether the models of a version take a resource."""
    try:
        MODELS[version](resource["resourceType"]).model_validate(resource)
    except ValidationError:
        return False
    return True


@pytest.mark.req("REQ-236")
@pytest.mark.parametrize(
    "resource, old, new",
    [
        ({"resourceType": "Procedure", "subject": WHO}, False, False),
        ({"resourceType": "Procedure", "status": "completed"}, False, False),
        ({**PROCEDURE, "status": "banana"}, True, True),
        ({**PROCEDURE, "another": "field"}, False, False),
        ({**DEVICE, "udiCarrier": [{"deviceIdentifier": "51022222233336"}]}, True, False),
        ({**DEVICE, "udiCarrier": [CARRIER]}, True, True),
        (ANSWERS, True, False),
        ({**DEVICE, "expirationDate": "2015-13-07"}, False, False),
        ({**DEVICE, "expirationDate": "2015-07-07"}, True, True),
        ({**PLAN, "activity": [{"detail": DETAIL}]}, True, False),
    ],
)
def test_what_each_version_takes(resource, old, new):
    """Status, subject, unknown fields, carrier without issuer, answers without questionnaire, dates, plan details."""
    assert (takes("R4B", resource), takes("R5", resource)) == (old, new)


@pytest.mark.req("REQ-236")
@pytest.mark.parametrize("version, moment", [("R4B", "performedDateTime"), ("R5", "occurrenceDateTime")])
def test_moments_of_each_version(version, moment):
    """A partial date is taken, a clock time without zone is not, nor two kinds of moment at once."""
    assert takes(version, {**PROCEDURE, moment: "2026-08"})
    assert takes(version, {**PROCEDURE, moment: "2026-08-01T09:00:00+02:00"})
    assert not takes(version, {**PROCEDURE, moment: "2026-08-01T09:00:00"})
    period = moment.replace("DateTime", "Period")
    assert not takes(version, {**PROCEDURE, moment: "2026-08-01", period: {"start": "2026-08-01"}})


@pytest.mark.req("REQ-236")
@pytest.mark.parametrize("version", ["R4B", "R5"])
def test_a_bundle_of_six_comes_back_equal(version):
    """Patient, device, procedure, observation, answers and plan go through the models and back unchanged."""
    observation = {"resourceType": "Observation", "status": "final", "code": {"text": "width of the tear"}}
    answers = {**ANSWERS, "questionnaire": "urn:x-own:score"}
    parts = [{"resourceType": "Patient"}, DEVICE, PROCEDURE, observation, answers, PLAN]
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": part} for part in parts]}
    made = MODELS[version]("Bundle").model_validate(bundle)
    assert json.loads(made.model_dump_json(exclude_none=True)) == bundle


@pytest.mark.req("REQ-236")
def test_our_own_check_knows_the_status_codes():
    """The status that both versions let through is found by our own check."""
    entry = {"fullUrl": "urn:uuid:1", "resource": {**PROCEDURE, "status": "banana"}}
    with pytest.raises(FormatError, match="banana"):
        check_bundle({"entry": [entry]})
