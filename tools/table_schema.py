"""The schema of the tables and the census of their rows: what ``data/schema.json`` and ``data/README.md`` are made of.

Duty: say each column's type, unit and range as the row types have them, and count rows by basis. It must not hold a
type, a unit or a range of its own: the row types are the only place for them, the units are the columns' suffixes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from voicefit.catalogue.load import TABLES
from voicefit.catalogue.tables import FILLED_BY_READER, Row

UNITS = {"mm": "mm", "in": "in", "deg": "deg", "psi": "psi", "bar": "bar", "c": "degC", "percent": "%"}
_LIMITS = {
    "minimum": "minimum",
    "ge": "minimum",
    "exclusiveMinimum": "more_than",
    "gt": "more_than",
    "maximum": "maximum",
    "le": "maximum",
    "exclusiveMaximum": "less_than",
    "lt": "less_than",
}


def schema(tables: Mapping[str, type[Row]] = TABLES) -> dict[str, Any]:
    """Each family of tables with what a row is and its columns, ready for JSON."""
    return {family: _table(family, model) for family, model in tables.items()}


def _table(family: str, model: type[Row]) -> dict[str, Any]:
    full = model.model_json_schema()
    definitions = full.get("$defs", {})
    columns = {
        name: _column(name, part, definitions) | {"required": name in full["required"]}
        for name, part in full["properties"].items()
        if name not in FILLED_BY_READER
    }
    return {
        "files": f"{family}.csv, {family}-*.csv",
        "about": full.get("description", ""),
        "columns": columns,
    }


def _column(name: str, part: Mapping[str, Any], definitions: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {"type": "text"}
    for node in _nodes(part, definitions):
        if node.get("type") == "array":
            found["several"] = True
        elif node.get("type") in ("number", "integer") or node.get("format") == "fraction":
            whole = node.get("type") == "integer" and found["type"] == "text"
            found["type"] = "whole number" if whole else "exact number"
        if "enum" in node:
            found["one_of"] = node["enum"]
        if "const" in node:
            found["one_of"] = [node["const"]]
        found |= {ours: node[theirs] for theirs, ours in _LIMITS.items() if theirs in node}
    unit = UNITS.get(name.rpartition("_")[2])
    if unit is not None and found["type"] != "text":
        found["unit"] = unit
    return found


def _nodes(part: Mapping[str, Any], definitions: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """The schema's node and all alternatives and items below it, definitions filled in."""
    if "$ref" in part:
        part = definitions[str(part["$ref"]).rpartition("/")[2]]
    yield part
    below = [*part.get("anyOf", ()), *part.get("prefixItems", ()), *([part["items"]] if "items" in part else ())]
    for each in below:
        yield from _nodes(each, definitions)
