"""What models of the standard let through: codes outside their lists, references that lead nowhere."""

import re
from collections.abc import Iterator
from typing import Any

from cuffwright.case.errors import FormatError

STATUSES = {
    "Procedure": "preparation in-progress not-done on-hold stopped completed entered-in-error unknown",
    "Device": "active inactive entered-in-error unknown",
    "DeviceUseStatement": "active completed entered-in-error intended stopped on-hold",
    "Observation": "registered preliminary final amended corrected cancelled entered-in-error unknown",
    "DocumentReference": "current superseded entered-in-error",
}
"""The status codes of R4, by resource."""

REQUIRED = {
    "Procedure": ("status", "subject"),
    "DeviceUseStatement": ("status", "subject", "device"),
    "Observation": ("status", "code"),
    "Condition": ("subject",),
    "DocumentReference": ("status", "content"),
    "Provenance": ("target", "recorded", "agent"),
    "Patient": (),
    "Device": (),
}
"""What each resource must have in R4; any other resource is refused."""

MOMENT = re.compile(r"\d{4}(-\d\d(-\d\d(T\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d))?)?)?")


def check_bundle(bundle: dict[str, Any]) -> None:
    """Check statuses, required elements, moments and references of a bundle.

    Raises
    ------
    FormatError
        Naming the first thing that R4 does not allow.
    """
    names = [entry["fullUrl"] for entry in bundle["entry"]]
    if len(names) != len(set(names)):
        raise FormatError("two resources of the bundle have one name; report this as a fault")
    for entry in bundle["entry"]:
        resource = entry["resource"]
        kind = resource["resourceType"]
        if kind not in REQUIRED:
            raise FormatError(f"the bundle holds a {kind}, which is not written here")
        lacking = [key for key in REQUIRED[kind] if not resource.get(key)]
        if lacking:
            raise FormatError(f"a {kind} of the bundle lacks {lacking[0]}")
        status = resource.get("status")
        if kind in STATUSES and status is not None and status not in STATUSES[kind].split():
            raise FormatError(f"a {kind} of the bundle has the status {status!r}, which is none")
        for path, value in _leaves(resource, kind):
            if path.endswith(".reference") and value not in names:
                raise FormatError(f"{path} leads to {value}, which is not in the bundle")
            if path.endswith(("DateTime", ".recorded", ".date", "Date")) and not MOMENT.fullmatch(str(value)):
                raise FormatError(f"{path} is {value!r}, which is no moment of the standard")


def _leaves(value: Any, path: str) -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for inner in value:
            yield from _leaves(inner, path)
    else:
        yield path, value
