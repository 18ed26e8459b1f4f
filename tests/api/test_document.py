"""The OpenAPI document says what the API does: Schemathesis asks by it, and answers must fit it."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from jsonschema import Draft202012Validator
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from app.api.document import described, document
from app.database import Database
from app.web.api.operations import operation_of
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.scripts import Script, make_token

EXAMPLES = 12
# Numbers of rows are in bounds and yet of no row: what fits the schema need not be taken.
CHECKS = [
    not_a_server_error, status_code_conformance, content_type_conformance,
    response_headers_conformance, response_schema_conformance, negative_data_rejection,
]  # fmt: skip


@pytest.fixture
def full(app: Flask, make: Make) -> Flask:
    furnish(make)
    app.config["API_A_MINUTE"] = 1_000_000
    return app


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_nothing_that_is_asked_by_the_document_fails_or_answers_otherwise(
    full: Flask, journal: Database, mode: GenerationMode
) -> None:
    """The same requests each time: drawn from a fixed seed."""
    headers = {"Authorization": f"Bearer {make_token(journal, from_network=True)}"}
    at = "/api/v1/openapi.json"
    schema = schemathesis.openapi.from_wsgi(at, full, headers=headers)
    answered: Counter[int] = Counter()
    for found in schema.get_all_operations():
        operation = found.ok()

        @given(case=operation.as_strategy(mode, headers=headers))
        @settings(
            max_examples=EXAMPLES, derandomize=True, database=None, deadline=None,
            phases=[Phase.generate], suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        def ask(case: Any) -> None:
            told = case.call_and_validate(
                base_url="http://localhost", headers=headers, checks=CHECKS
            )
            answered[told.status_code] += 1

        ask()
    assert answered.total() > 12 * EXAMPLES
    assert answered.keys() <= {200, 201, 400, 404, 415, 422}, answered
    usual = 200 if mode is GenerationMode.POSITIVE else 422
    assert answered[usual] > answered.total() / 8, answered


def test_the_document_holds_every_route_and_is_well_formed(full: Flask, journal: Database) -> None:
    said: dict[str, Any] = Script(full, make_token(journal)).ask("/api/v1/openapi.json").json
    assert said == document(full)
    assert said["openapi"] == "3.1.0"
    named = {
        (path, method)
        for path, method, rule in described(full)
        if operation_of(full, rule.endpoint)
    }
    assert {(p, m.upper()) for p, methods in said["paths"].items() for m in methods} == named
    left_out = {
        rule.endpoint for _, _, rule in described(full) if not operation_of(full, rule.endpoint)
    }
    assert left_out == {"api.openapi"}
    for schema in said["components"]["schemas"].values():
        Draft202012Validator.check_schema(schema)
    brew = said["components"]["schemas"]["NewBrew"]
    assert brew["properties"]["dose_g"]["maximum"] == 2000
    assert brew["required"] == ["dose_g", "water_g"]
