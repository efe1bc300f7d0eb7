"""The published interface: what each command carries, and the one shape of every refusal, as OpenAPI."""

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from cuffwright.web.orders import PAYLOADS, TRIED

ABOUT = """What the page speaks, open to any program on this machine.

A command carries its own id and the sequence number it was made at. The same id sent again changes nothing more. One
made at an older number is refused with 409, what changed since, and what stands now. Every refusal is one sentence in
`error`; nothing is stored then. Streams are server-sent events: `progress`, `partial`, `settled`, `failed`,
`cancelled`.
"""

REFUSED = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {"type": "string", "description": "One sentence: what, where, what to do."},
        "changed": {
            "type": "array",
            "description": "With 409: what the client has not seen.",
            "items": {
                "type": "object",
                "required": ["seq", "words"],
                "properties": {"seq": {"type": "integer"}, "words": {"type": "string"}},
            },
        },
        "board": {"type": "object", "description": "With 409: what stands now."},
    },
}
"""The one shape of a refusal."""


def describe(app: FastAPI) -> None:
    """Let ``app`` publish its interface with the payload of every command and the one shape of every refusal."""

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            app.openapi_schema = _described(app)
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _described(app: FastAPI) -> dict[str, Any]:
    told = get_openapi(title=app.title, version=app.version, description=ABOUT, routes=app.routes)
    schemas: dict[str, Any] = told["components"]["schemas"]
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    schemas["Refused"] = REFUSED
    for kind, model in PAYLOADS.items():
        schema = model.model_json_schema(ref_template="#/components/schemas/{model}")
        schemas.update(schema.pop("$defs", {}))
        schemas[_name(kind)] = schema
    _one_of(schemas, "Order", tuple(PAYLOADS))
    _one_of(schemas, "Trial", TRIED)
    refused = {"description": "Refused.", "content": {"application/json": {"schema": _ref("Refused")}}}
    for path in told["paths"].values():
        for operation in path.values():
            operation["responses"].pop("422", None)
            operation["responses"] |= {"4XX": refused, "503": refused}
    return told


def _one_of(schemas: dict[str, Any], name: str, kinds: tuple[str, ...]) -> None:
    """Split an order into one schema a kind, each with the payload it carries."""
    whole = schemas[name]
    split = []
    for kind in kinds:
        properties = {**whole["properties"], "kind": {"const": kind}, "payload": _ref(_name(kind))}
        needed = sorted({*whole["required"], *(["payload"] if schemas[_name(kind)].get("required") else [])})
        split.append({**whole, "title": f"{name} {kind}", "properties": properties, "required": needed})
    schemas[name] = {"title": name, "description": whole.get("description", ""), "oneOf": split}


def _name(kind: str) -> str:
    return "Payload-" + kind


def _ref(name: str) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{name}"}
