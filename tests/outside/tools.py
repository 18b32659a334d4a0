"""Where the outside programs are; a missing one is a failure with a clear sentence, never a skip."""

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
NPM_FOLDER = Path(os.environ.get("LIBDAMP_NPM", "/tmp/libdamp-npm"))  # as in install.sh
HINT = "run: bash tests/outside/install.sh"


def program(*names: str) -> str:
    """Path of the first of some programs that is installed."""
    for name in names:
        found = shutil.which(name)
        if found:
            return found
    pytest.fail(f"The program {' or '.join(names)} is not installed; {HINT}", pytrace=False)


def npm_program(name: str) -> str:
    """Path of a program of the npm folder."""
    path = NPM_FOLDER / "node_modules" / ".bin" / name
    if not path.exists():
        pytest.fail(f"The npm program {name} is not in {NPM_FOLDER}; {HINT}", pytrace=False)
    return str(path)


def run(
    command: Sequence[str | Path],
    *,
    cwd: Path = ROOT,
    seconds: float = 120,
    environment: Mapping[str, str] | None = None,
    given: str | None = None,
) -> subprocess.CompletedProcess[str]:
    """Run a program to its end, with a limit of time; its output is text."""
    return subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        timeout=seconds,
        env={**os.environ, **(environment or {})},
        input=given,
        capture_output=True,
        text=True,
        check=False,
    )
