"""One trial: a module's own tests with one of its numbers changed.

python -m tests.mutants.trial MODULE NUMBER   (NUMBER counts the points from 1; 0 changes nothing)

The tests of a module are its rows in tests/check_values (files that name "physics.<module>.") and
tests/laws/test_<module>_laws.py. Rows of the changed equation go first, of kind "formula" before others; the
first that fails ends the trial. The examples in docstrings are left aside: they print few digits.
"""

import importlib
import importlib.util
import math
import sys
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Any

from tests.mutants.points import PHYSICS, mutated, points

SURVIVED, DIED = 0, 10
TESTS = Path(__file__).parents[1]

ALSO = {"motion": ("laws/test_leapfrog_laws.py", "oracles/test_motion_limits.py")}
"""Files beside a module's laws that are its own tests, too."""


class Loader(SourceFileLoader):
    """Loads one module from a changed syntax tree."""

    wanted = 0

    def get_code(self, fullname: str) -> CodeType:
        """Code of the changed module; nothing is read from a cache or written to one."""
        tree, _ = mutated(fullname.rsplit(".", 1)[-1], self.wanted)
        return compile(tree, self.path, "exec")


class Hook:
    """Finds the changed module before anything else finds the true one."""

    def __init__(self, module: str, wanted: int) -> None:
        self.name, self.path = f"libdamp.physics.{module}", PHYSICS / f"{module}.py"
        self.wanted = wanted

    def find_spec(self, name: str, *_: Any) -> ModuleSpec | None:
        """How to load the module."""
        if name != self.name:
            return None
        loader = Loader(name, str(self.path))
        loader.wanted = self.wanted
        return importlib.util.spec_from_file_location(name, self.path, loader=loader)


def row_files(module: str) -> list[str]:
    """Files of check values that name equations of a module."""
    paths = sorted((TESTS / "check_values").glob("*_rows.py"))
    return [path.stem for path in paths if f"physics.{module}." in path.read_text(encoding="utf-8")]


def law_files(module: str) -> list[str]:
    """Files of a module's laws, as far as there are any."""
    paths = (TESTS / "laws" / f"test_{module}_laws.py", *(TESTS / name for name in ALSO.get(module, ())))
    return [str(path) for path in paths if path.is_file()]


def row_that_fails(module: str, place: str) -> str | None:
    """First row of a module that fails; an equation that breaks down fails, too."""
    try:
        rows = []
        for name in row_files(module):
            rows += importlib.import_module(f"tests.check_values.{name}").ROWS
        own = [row for row in rows if row.model.startswith(f"physics.{module}.")]
        for row in sorted(own, key=lambda row: (not _of_place(row.model, place), row.kind != "formula")):
            got = row.computed()
            if not math.isfinite(got) or abs(got - row.wanted()) > row.allowed():
                return f"{row.model}, {row.source}"
    except Exception as error:  # whatever a changed equation raises, it is found out
        return repr(error)
    return None


def _of_place(model: str, place: str) -> bool:
    """Whether a row is of the very equation or constant at a place."""
    return f"physics.{place}.".startswith(f"{model}.")


class Quick:
    """Draws the same examples in every trial, keeps none, and does not look for smaller ones."""

    def pytest_collection(self) -> None:
        """Before the laws are read, after tests/conftest.py."""
        from hypothesis import Phase, settings

        settings.register_profile(
            "mutants", derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
        )
        settings.load_profile("mutants")


def law_that_fails(module: str) -> str | None:
    """Whether a law of a module fails."""
    files = law_files(module)
    if not files:
        return None
    import pytest

    code = pytest.main(["-x", "-p", "no:cacheprovider", "-p", "no:terminal", *files], plugins=[Quick()])
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.INTERRUPTED):
        message = f"the laws of {module} did not run: {code!r}"
        raise RuntimeError(message)
    return None if code == pytest.ExitCode.OK else f"the laws of {module}"


def main(module: str, wanted: int) -> int:
    """Try one point of a module; the exit code says whether it survived."""
    if any(name.startswith("libdamp.") for name in sys.modules):
        message = "the library is loaded already"
        raise RuntimeError(message)
    sys.meta_path.insert(0, Hook(module, wanted))  # type: ignore[arg-type]
    place = points(module)[wanted - 1].place if wanted else module
    failed = row_that_fails(module, place) or law_that_fails(module)
    print(failed or "survived")
    return DIED if failed else SURVIVED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2])))
