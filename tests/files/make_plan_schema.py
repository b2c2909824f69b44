"""Write the JSON Schema of the plan file and the page of its fields.

PYTHONPATH=. python tests/files/make_plan_schema.py
"""

from __future__ import annotations

from heave.files.plan_schema import PAGE_FILE, SCHEMA_FILE, fields_page, schema_text
from heave.files.tables import write_text

if __name__ == "__main__":
    write_text(SCHEMA_FILE, schema_text())
    write_text(PAGE_FILE, fields_page())
