"""Published values: a test that asks for ``case`` runs once for each entry of its cases file."""

import json
from pathlib import Path

import pytest


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        stem = Path(metafunc.module.__file__).stem.removeprefix("test_")
        cases = json.loads(
            (Path(metafunc.module.__file__).parent / "cases" / f"{stem}.json").read_text()
        )
        metafunc.parametrize("case", cases, ids=[case["name"] for case in cases])
