"""The README's worked landing: it prints what is shown, draws the committed picture, bears out the claim."""

import re
from pathlib import Path

import pytest

from tests.docs.landing import PICTURE, ROOT, readme_block, run_in


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the worked landing has run."""
    made: Path = tmp_path_factory.mktemp("landing")
    (made / "printed.txt").write_text(run_in(made), encoding="utf-8")
    return made


def printed(folder: Path) -> str:
    """What the worked landing printed."""
    return (folder / "printed.txt").read_text(encoding="utf-8")


def description(picture: Path) -> tuple[str, list[float]]:
    """Words of a picture's description, and its numbers."""
    (text,) = re.findall(r"<dc:description>(.*?)</dc:description>", picture.read_text(encoding="utf-8"), flags=re.S)
    number = r"-?\d+(?:\.\d+)?(?:e-?\d+)?"
    return re.sub(number, "#", text), [float(n) for n in re.findall(number, text)]


def test_readme_shows_what_is_printed(folder: Path) -> None:
    """The README's figures are those that its code prints."""
    assert printed(folder) == readme_block("text landing")


def test_picture_is_current(folder: Path) -> None:
    """The committed picture holds the curves that the code draws now, to a thousandth of their range."""
    words, numbers = description(folder / PICTURE)
    known_words, known = description(ROOT / "docs" / PICTURE)
    assert words == known_words
    assert numbers == pytest.approx(known, rel=1e-3, abs=1e-3)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert f"(docs/{PICTURE})" in readme


def test_the_claim(folder: Path) -> None:
    """Alike when slow; dropped, the smaller holes with the thinner oil peak harder and bounce at least as high."""
    landing = r"(\d) holes of (\d\.\d) mm, (\d+) cSt: peak ([\d.]+) N, bounce ([\d.]+) mm"
    wide, narrow = ([float(n) for n in found] for found in re.findall(landing, printed(folder)))
    assert narrow[0] * narrow[1] ** 2 < wide[0] * wide[1] ** 2
    assert narrow[2] < wide[2]
    assert narrow[3] > wide[3]
    assert narrow[4] >= wide[4]
    slow, fast = (float(n) for n in re.findall(r"slow ([\d.]+), fast ([\d.]+) times", printed(folder))[0])
    assert slow == 1.0
    assert fast > 1.0


def test_the_touch_height_without_losses(folder: Path) -> None:
    """The README's sentence names the height that the code prints."""
    (height,) = re.findall(r"damping from ([\d.]+) m", printed(folder))
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    assert f"without both, the demo truck's front would touch its chassis from a fall of {height} m" in readme
