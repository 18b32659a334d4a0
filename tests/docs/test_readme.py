"""README and DEVELOPERS say what is there."""

import re
import subprocess
import sys
from pathlib import Path

from libdamp.calculations import CALCULATIONS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(kind: str) -> list[str]:
    """Code blocks of a kind."""
    return re.findall(rf"^```{kind}\n(.*?)^```$", README, flags=re.M | re.S)


def test_readme_has_one_command_of_each_kind() -> None:
    """One line tries it, one line tests it, and Windows has both."""
    assert [len(blocks(kind)) for kind in ("sh try", "sh test", "bat")] == [1, 1, 2]
    assert all(block.count("\n") == 1 for kind in ("sh try", "sh test", "bat") for block in blocks(kind))


def test_windows_lines_say_the_same() -> None:
    """Unix and Windows lines differ in the names of the programs only."""
    unix = [blocks("sh try")[0], blocks("sh test")[0]]
    for line, windows in zip(unix, blocks("bat"), strict=True):
        same = line.replace("python3 -m", "py -m").replace(".venv/bin/", ".venv\\Scripts\\")
        assert same == windows


def test_readme_python_runs() -> None:
    """The lines of Python print the demo's figures."""
    (code,) = blocks("python")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.startswith("0.679")
    assert "21.569" in done.stdout


def test_readme_charts_run() -> None:
    """Sweep, changes and compare as shown print columns and sentences."""
    (code,) = blocks("python charts")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.startswith("piston.holes ['2x1.5', '2x1.6', '2x1.7']")
    assert "chassis slaps: rear piston 2x1.5 instead of 2x1.6 gives: lands with" in done.stdout
    assert "damping ratio compression: 0.982 instead of 0.797" in done.stdout


def test_readme_names_every_calculation() -> None:
    """The table lists the calculations, no more and no fewer."""
    table = README.split("| calculation | answers |")[1].split("\n\n")[0]
    assert re.findall(r"^\| `(\w+)` \|", table, flags=re.M) == list(CALCULATIONS)


def test_paths_exist() -> None:
    """Every path named in README and DEVELOPERS exists."""
    text = README + (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:libdamp|tests|\.ci|service|openapi)/[\w./*]*)`", text))
    assert named
    missing = [path for path in named if not list(ROOT.glob(path.rstrip("/")))]
    assert not missing


def test_every_module_is_in_the_guide() -> None:
    """DEVELOPERS.md names every module of the library."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    modules = [p.stem for p in (ROOT / "libdamp").glob("*.py") if not p.stem.startswith("__")]
    assert [m for m in modules if f"`{m}`" not in guide] == []
