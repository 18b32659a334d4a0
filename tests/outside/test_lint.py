"""The description is clean under two linters for OpenAPI, warnings and hints included."""

import json
from pathlib import Path
from typing import Any

import pytest

from .running import Service, asked
from .tools import HERE, ROOT, npm_program, run

pytestmark = pytest.mark.outside
DESCRIPTION = ROOT / "openapi" / "openapi.json"
QUIET = {"REDOCLY_TELEMETRY": "off", "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true"}


def redocly(path: Path) -> dict[str, Any]:
    """Report of redocly's recommended rules."""
    command: list[str | Path] = [
        npm_program("redocly"),
        "lint",
        path,
        "--config",
        HERE / "redocly.yaml",
        "--format",
        "json",
    ]
    done = run(command, environment=QUIET)
    assert done.stdout.strip(), done.stderr
    report: dict[str, Any] = json.loads(done.stdout)
    return report


def spectral(path: Path) -> list[dict[str, Any]]:
    """Findings of spectral's rules for OpenAPI."""
    command: list[str | Path] = [
        npm_program("spectral"),
        "lint",
        path,
        "--ruleset",
        HERE / "spectral.yaml",
        "--format",
        "json",
    ]
    done = run([*command, "--fail-severity", "hint"])
    assert done.stdout.strip(), done.stderr
    findings: list[dict[str, Any]] = json.JSONDecoder().raw_decode(done.stdout)[0]
    return findings


def test_redocly_finds_nothing() -> None:
    """No error, no warning, nothing ignored."""
    report = redocly(DESCRIPTION)
    assert report["problems"] == []
    assert report["totals"] == {"errors": 0, "warnings": 0, "ignored": 0}


def test_spectral_finds_nothing() -> None:
    """No error, warning, information or hint."""
    assert spectral(DESCRIPTION) == []


def test_linters_find_a_fault(tmp_path: Path) -> None:
    """Both are awake: a description with a reference to nowhere and without a licence is refused."""
    broken = json.loads(DESCRIPTION.read_text(encoding="utf-8"))
    del broken["info"]["license"]
    broken["components"]["schemas"].pop("Piston")
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(broken), encoding="utf-8")
    assert redocly(path)["totals"]["errors"] > 0
    assert any(finding["code"] == "invalid-ref" for finding in spectral(path))


def test_service_gives_the_linted_description(service: Service) -> None:
    """What the service serves is what was linted."""
    assert asked(service.port, "GET", "/openapi.json").data == json.loads(DESCRIPTION.read_text(encoding="utf-8"))
