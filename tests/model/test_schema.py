"""The JSON Schema of the design's file agrees with the records and with what is written."""

import json
from typing import Any

from hypothesis import given

from designer.model.design import Design
from designer.model.file import format_design
from designer.model.schema import design_schema, schema_text
from designer.resources import resource_path
from tests.strategies import designs

SCHEMA = json.loads(resource_path("schema", "design.schema.json").read_text("utf-8"))
TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "boolean": bool,
    "number": (int, float),
    "integer": int,
    "null": type(None),
}


def disagreements(value: Any, schema: dict[str, Any], place: str = "") -> list[str]:
    """Where a value is not as a schema says: types, fields, choices and bounds."""
    if "$ref" in schema:
        return disagreements(value, SCHEMA["$defs"][schema["$ref"].split("/")[-1]], place)
    options = schema.get("anyOf") or schema.get("oneOf")
    if options:
        found = [disagreements(value, option, place) for option in options]
        return min(found, key=len)
    wrong = []
    kind = schema.get("type")
    if kind and (
        not isinstance(value, TYPES[kind]) or (isinstance(value, bool) and kind != "boolean")
    ):
        return [f"{place} is not of type {kind}"]
    if "const" in schema and value != schema["const"]:
        wrong.append(f"{place} is not {schema['const']}")
    if "enum" in schema and value not in schema["enum"]:
        wrong.append(f"{place} is not among {schema['enum']}")
    wrong += [
        f"{place} breaks {key}"
        for key in _BOUNDS
        if key in schema and not _BOUNDS[key](value, schema[key])
    ]
    if kind == "object":
        wrong += [f"{place} lacks {key}" for key in schema.get("required", ()) if key not in value]
        assert schema["additionalProperties"] is False
        for key, member in value.items():
            if key in schema["properties"]:
                wrong += disagreements(member, schema["properties"][key], f"{place}/{key}")
            else:
                wrong.append(f"{place} has an unknown {key}")
    if kind == "array":
        for index, member in enumerate(value):
            wrong += disagreements(member, schema["items"], f"{place}/{index}")
    return wrong


_BOUNDS = {
    "minimum": lambda value, bound: value >= bound,
    "maximum": lambda value, bound: value <= bound,
    "exclusiveMinimum": lambda value, bound: value > bound,
    "minLength": lambda value, bound: len(value) >= bound,
    "maxLength": lambda value, bound: len(value) <= bound,
}


def test_the_checked_in_schema_is_the_one_the_records_make() -> None:
    assert json.loads(schema_text()) == design_schema()
    assert design_schema() == SCHEMA, "run: python3 -m designer.model.schema"


def test_every_record_and_field_of_the_schema_has_a_title() -> None:
    for name, record in {**SCHEMA["$defs"], "Design": SCHEMA}.items():
        assert record["title"]
        assert record["description"], name
        assert all(
            "title" in field or "$ref" in field or "anyOf" in field
            for field in record["properties"].values()
        )


@given(designs())
def test_every_file_written_agrees_with_the_schema(design: Design) -> None:
    assert disagreements(json.loads(format_design(design)), SCHEMA) == []


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    good = json.loads(format_design(Design(title="A")))
    assert disagreements(good, SCHEMA) == []
    for change in ({"version": 3}, {"titel": "B"}, {"title": 3}, {"paper": "a3"}, {"runs": [{}]}):
        assert disagreements({**good, **change}, SCHEMA)
    assert disagreements({"title": "A"}, SCHEMA)
