"""The built wheel, installed in a fresh environment, works from any folder."""

import os
import sys
import zipfile
from pathlib import Path

import pytest

from .running import asked, started
from .tools import ROOT, run

pytestmark = pytest.mark.outside
QUIET = {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PYTHONPATH": ""}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this tree."""
    folder = tmp_path_factory.mktemp("wheel")
    command: list[str | Path] = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--wheel-dir",
        folder,
        ROOT,
    ]
    done = run(command, cwd=folder, environment=QUIET, seconds=180)
    assert done.returncode == 0, done.stderr
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Python of a fresh environment with the wheel and its extra for the service."""
    folder = tmp_path_factory.mktemp("environment")
    done = run([sys.executable, "-m", "venv", folder], cwd=folder)
    assert done.returncode == 0, done.stderr
    path = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    command: list[str | Path] = [path, "-m", "pip", "install", "-q", f"{wheel}[service]"]
    done = run(command, cwd=folder, environment=QUIET, seconds=240)
    assert done.returncode == 0, done.stderr
    return str(path)


def test_wheel_holds_what_it_needs(wheel: Path) -> None:
    """The two packages with their data and licences, and no `service` on top."""
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"libdamp", "libdamp_service"}
    inside = {str(path.relative_to(ROOT)) for path in (ROOT / "libdamp").rglob("*") if path.is_file()}
    data = {name for name in inside if not name.endswith(".pyc")}
    assert data <= set(names)
    assert any(name.startswith("libdamp/demo/") and name.endswith(".json") for name in data)
    static = {f"libdamp_service/static/{path.name}" for path in (ROOT / "service" / "static").iterdir()}
    assert "libdamp_service/static/swagger-ui.LICENSE" in static
    assert static <= set(names)
    assert any(name.endswith(".dist-info/licenses/LICENSE") for name in names)


def test_sheet_from_another_folder(python: str, tmp_path: Path) -> None:
    """The installed library prints the set-up sheet of the invented truck; a slow machine may ask for patience."""
    done = run([python, "-m", "libdamp", "demo-truck"], cwd=tmp_path, environment=QUIET)
    assert done.returncode == 0
    assert done.stderr in ("", "working out every build and every change ...\n")
    assert "SET-UP SHEET" in done.stdout


def test_help_from_another_folder(python: str, tmp_path: Path) -> None:
    """The installed service says its flags."""
    done = run([python, "-m", "libdamp_service", "--help"], cwd=tmp_path, environment=QUIET)
    assert (done.returncode, done.stderr) == (0, "")
    assert "--port" in done.stdout
    assert "python -m libdamp_service" in done.stdout


@pytest.mark.parametrize("workers", ["1", "2"])
def test_service_from_another_folder(python: str, tmp_path: Path, workers: str) -> None:
    """The installed service answers: health, page, a cell, long work; and ends cleanly."""
    how = {"module": "libdamp_service", "python": python, "cwd": tmp_path, "environment": QUIET}
    flags = ("--quiet", "--workers", workers)
    log = tmp_path / "log.txt"
    with started(log, flags=flags, **how) as service:
        assert asked(service.port, "GET", "/health").data == {"status": "up"}
        assert asked(service.port, "GET", "/docs").status == 200
        assert asked(service.port, "GET", "/static/swagger-ui-bundle.js").status == 200
        request = (ROOT / "openapi" / "examples" / "plan.request.json").read_bytes()
        assert asked(service.port, "POST", "/v1/plan", request).status == 200
        cell = "/v1/cell/ride?setup=demo-truck.front&only=frequency_hz"
        assert float(asked(service.port, "GET", cell).body) > 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["log.txt"]
