"""The JSON Schema of ``diagnose --json``, made from the very types that are printed.

``python -m leakdx.commands.schema`` writes the two copies that are shipped: beside the documents, for
people, and inside the package, for programs.
"""

import json
from pathlib import Path

import msgspec

from leakdx.reasoning.answer import Answers

PACKAGE = Path(__file__).parent.parent
SHIPPED = (PACKAGE / "schema" / "diagnosis.schema.json", PACKAGE.parent / "docs" / "schema" / "diagnosis.schema.json")


def diagnosis_schema_text() -> str:
    """The schema as JSON text, the same for the same types."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "leakdx diagnosis",
        **msgspec.json.schema(Answers),
    }
    return json.dumps(schema, indent=2) + "\n"


def main() -> None:
    """Write the shipped copies anew."""
    for path in SHIPPED:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(diagnosis_schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
