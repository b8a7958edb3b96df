"""The JSON Schema of the design's file, made from the records.

`python3 -m designer.model.schema` writes it to resources/schema/design.schema.json, which is
checked in; run it after every change of the records.
"""

import json
from typing import Any

from designer.model.file import FORMAT, VERSION, design_adapter
from designer.resources import resource_path


def design_schema() -> dict[str, Any]:
    """The schema of the whole file: the records' own, with `format` and `version` in front."""
    schema = design_adapter().json_schema()
    head = {
        "format": {"const": FORMAT, "title": "Format", "type": "string"},
        "version": {"const": VERSION, "title": "Version", "type": "integer"},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "Rillwright design",
        "properties": {**head, **schema["properties"]},
        "required": [*head, *schema["required"]],
    }


def schema_text() -> str:
    """The schema as the text of its file."""
    return json.dumps(design_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    folder = resource_path() / "schema"
    folder.mkdir(exist_ok=True)
    (folder / "design.schema.json").write_text(schema_text(), "utf-8")
