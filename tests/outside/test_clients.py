"""Clients made by two generators from the description compile, and call the running service."""

import json
import sys
from pathlib import Path
from typing import Any

import pytest

from libdamp.calculations import calculate

from .running import Service
from .tools import HERE, ROOT, npm_program, program, run

pytestmark = pytest.mark.outside
DESCRIPTION = ROOT / "openapi" / "openapi.json"
REQUEST_TEXT = (ROOT / "openapi" / "examples" / "ride.request.json").read_text(encoding="utf-8")
COMPILER = ("--strict", "--noUncheckedIndexedAccess", "--target", "es2022", "--module", "commonjs")
LIBRARIES = ("--lib", "es2022,dom", "--pretty", "false")

PYTHON_PROGRAM = """
import json
import sys

from made import Client
from made.api.calculations import check, convert, damping_curve, fill_check, plan, ride
from made.models import Problem, Ride, RideRequest

client = Client(base_url=sys.argv[1])
body = json.loads(sys.argv[2])
good = ride.sync_detailed(client=client, body=RideRequest.from_dict(body))
assert isinstance(good.parsed, Ride), good
bad = ride.sync_detailed(client=client, body=RideRequest.from_dict({**body, "temperature_c": 4000.0}))
assert isinstance(bad.parsed, Problem), bad
body["corner"]["shock"]["shaft_mm"] = 11.95
body["corner"]["shock"]["bore_mm"] = 11.95
apart = ride.sync_detailed(client=client, body=RideRequest.from_dict(body))
assert isinstance(apart.parsed, Problem), apart
print(json.dumps({
    "status": good.status_code,
    "frequency": good.parsed.frequency_hz,
    "refused": bad.parsed.status,
    "pointers": [fault.pointer for fault in bad.parsed.errors],
    "apart": apart.parsed.status,
}))
"""


def expected() -> dict[str, Any]:
    """The library's own answer."""
    return calculate("ride", json.loads(REQUEST_TEXT))


@pytest.fixture(scope="module")
def typescript(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with the types that openapi-typescript makes of the description."""
    folder = tmp_path_factory.mktemp("typescript")
    types = folder / "api.d.ts"
    done = run([npm_program("openapi-typescript"), DESCRIPTION, "--default-non-nullable=false", "-o", types])
    assert done.returncode == 0, done.stderr
    return folder


def written_program(folder: Path, name: str, address: str, request: str) -> Path:
    """The program with its address and its request put in."""
    text = (HERE / "client_program.ts").read_text(encoding="utf-8")
    path = folder / name
    path.write_text(text.replace("BASE_ADDRESS", address).replace("RIDE_REQUEST", request), encoding="utf-8")
    return path


def test_typescript_client_compiles_and_calls(service: Service, typescript: Path) -> None:
    """The program compiles strictly, runs on node and prints the library's number."""
    path = written_program(typescript, "program.ts", service.address, REQUEST_TEXT)
    done = run([npm_program("tsc"), *COMPILER, *LIBRARIES, path], cwd=typescript)
    assert (done.returncode, done.stdout) == (0, "")
    done = run([program("node"), path.with_suffix(".js")], cwd=typescript)
    assert done.returncode == 0, done.stderr
    answer = expected()
    assert json.loads(done.stdout) == {
        "status": 200,
        "frequency": answer["frequency_hz"],
        "stop": answer["first_stop"],
        "refused": 400,
        "pointers": ["/temperature_c"],
    }


@pytest.mark.parametrize(("right", "wrong"), [("temperature_c", "temperature_f"), ("tyre", "tire")])
def test_typescript_refuses_a_misspelt_field(typescript: Path, right: str, wrong: str) -> None:
    """The types know the names of the fields."""
    request = REQUEST_TEXT.replace(f'"{right}"', f'"{wrong}"')
    path = written_program(typescript, f"{wrong}.ts", "http://127.0.0.1:9", request)
    done = run([npm_program("tsc"), *COMPILER, *LIBRARIES, "--noEmit", path], cwd=typescript)
    assert done.returncode != 0
    assert wrong in done.stdout


def test_python_client_imports_and_calls(service: Service, tmp_path: Path) -> None:
    """The generator has nothing to say, and the client's answers and refusals are typed."""
    settings = tmp_path / "settings.yaml"
    settings.write_text("post_hooks: []\n", encoding="utf-8")
    generator = Path(sys.executable).with_name("openapi-python-client")
    assert generator.exists(), "openapi-python-client is not installed; run: pip install '.[test]'"
    command: list[str | Path] = [generator, "generate", "--path", DESCRIPTION, "--output-path", tmp_path / "made"]
    done = run([*command, "--meta", "none", "--config", settings, "--fail-on-warning"])
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr
    done = run([sys.executable, "-c", PYTHON_PROGRAM, service.address, REQUEST_TEXT], cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == {
        "status": 200,
        "frequency": expected()["frequency_hz"],
        "refused": 400,
        "pointers": ["/temperature_c"],
        "apart": 422,
    }
