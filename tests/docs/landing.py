"""Runs the README's worked landing; `python -m tests.docs.landing` draws its picture anew into docs/."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
PICTURE = "two-pistons.svg"


def readme_block(kind: str) -> str:
    """The README's only code block of a kind."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (block,) = re.findall(rf"^```{kind}\n(.*?)^```$", text, flags=re.M | re.S)
    return str(block)


def run_in(folder: Path) -> str:
    """What the worked landing prints; its picture goes into a folder."""
    start = f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
    done = subprocess.run(
        [sys.executable, "-c", start + readme_block("python landing")],
        capture_output=True,
        text=True,
        check=True,
        cwd=folder,
    )
    return done.stdout


if __name__ == "__main__":
    sys.stdout.write(run_in(ROOT / "docs"))
