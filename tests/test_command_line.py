"""The command line: what it prints, what it refuses, always in a clear sentence."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import libdamp
from libdamp.__main__ import main, run
from libdamp.demo import demo_data


def refusal(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What is said on a refused command line."""
    assert main(list(arguments)) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Traceback" not in said.err
    return said.err


def test_without_arguments() -> None:
    """One line what it is, the warning, eight lines of result, the commands."""
    what, warning, blank, *rest = run([]).splitlines()
    assert what.startswith("libdamp ")
    assert warning == "INVENTED 1:10 truck, not your car: do not build from it."
    assert blank == ""
    assert rest.index("") == 8
    assert sum(line.startswith("  python -m libdamp") for line in rest) == 8


def test_demo_sheet_has_the_figures() -> None:
    """The sheet shows the level-arm figures of the demo truck's front."""
    text = " ".join(run(["demo-truck"]).split())
    for figure in ("4.260 N", "4.264", "0.6791", "21.57", "0.57", "INVENTED"):
        assert figure in text


@pytest.mark.parametrize("name", ["demo-truck", "demo-buggy", "demo-smallest"])
def test_sheet_is_narrow_and_whole(name: str) -> None:
    """A sheet fits 82 columns and has every block."""
    text = run([name])
    assert max(map(len, text.splitlines())) <= 82
    for block in ("verdict", "1 fit", "2 fill", "3 set", "4 look", "5 expect", "together", "cautions"):
        assert block in text
    assert "nan" not in text.split()


def test_smallest_says_what_is_assumed() -> None:
    """What is assumed is starred and ranked by what measuring it narrows."""
    text = run(["demo-smallest"])
    assert "* assumed:" in text
    assert "Measure next" in text
    assert "ml* of oil" in text


def test_json_of_a_sheet() -> None:
    """--json gives the answers as data, with the same figures."""
    data = json.loads(run(["demo-truck", "--json"]))
    assert data["as_it_stands"]["front"]["ride"]["collar_for_level_mm"] == pytest.approx(21.5693, abs=1e-4)
    assert data["plan"]["builds"][0]["changed"] == []


@pytest.mark.usefixtures("no_changes")
def test_new_writes_ten_facts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The new file names ten facts, says of each open one how to get it, and works once they are filled in."""
    target = tmp_path / "car.toml"
    assert main(["new", "1:8 buggy", str(target)]) == 0
    capsys.readouterr()
    text = target.read_text(encoding="utf-8")
    assert all(f"# {n}. " in text for n in range(1, 11))
    said = refusal(capsys, str(target))
    assert said.count("still to be filled in") == 9
    assert "scale under both wheels" in said
    filled = text.replace('surface = "?"', 'surface = "grass"').replace('axle_g = "?"', "axle_g = 1700")
    filled = filled.replace('oil = "?"', 'oil = "400 cst"').replace('holes = "?"', 'holes = "8x1.4"')
    filled = filled.replace('spring = "?"', 'spring = "4 lbf/in"')
    target.write_text(filled, encoding="utf-8")
    assert main([str(target)]) == 0
    assert "SET-UP SHEET" in capsys.readouterr().out


def test_the_box_of_a_new_file_is_a_box(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its lines without their "# ", on a car of ten facts, are read."""
    target = tmp_path / "mine.toml"
    assert main(["new", "1:8 buggy", str(target)]) == 0
    lines = target.read_text(encoding="utf-8").splitlines()
    box = tomllib.loads("\n".join(line[2:] for line in lines[lines.index("# [box]") :]))["box"]
    assert len(box) == 8
    facts = demo_data("demo-smallest")
    answer = libdamp.calculate("check", {**facts, "size": "1:8 buggy", "box": box})
    assert answer["front"]["ride"]["frequency_hz"] > 0.0
    capsys.readouterr()


def test_new_never_overwrites(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An existing file is left alone."""
    target = tmp_path / "car.toml"
    target.write_text("mine", encoding="utf-8")
    assert "exists already" in refusal(capsys, "new", "1:10 truck", str(target))
    assert target.read_text(encoding="utf-8") == "mine"


WRONG_FILES = {
    "broken.json": ('{"car": ', "broken JSON: line 1"),
    "broken.toml": ("x = [", "broken TOML"),
    "empty.toml": ("", "is empty"),
    "blank.json": ("  \n", "is empty"),
    "list.json": ("[1]", "holds no object"),
    "twice.json": ('{"a": 1, "a": 2}', "gives 'a' twice"),
    "deep.json": ("[" * 100_000, "nested"),
    "nothing.toml": ("note = 'x'", "car"),
}


@pytest.mark.parametrize("name", WRONG_FILES)
def test_wrong_files(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong file is refused with its name and what is wrong."""
    content, wanted = WRONG_FILES[name]
    path = tmp_path / name
    path.write_text(content, encoding="utf-8")
    said = refusal(capsys, str(path))
    assert wanted in said
    assert name in said


def test_wrong_fields_are_all_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every wrong field is named with rule, value and what is allowed."""
    data = demo_data("demo-truck")
    data["car"]["front"]["shock"]["bore_mm"] = -12
    data["car"]["rear"]["shock"]["oil"] = "30 wt"
    data["car"]["rear"]["spring"] = "4 lb"
    data["use"]["oil_temprature_c"] = 3
    path = tmp_path / "car.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    said = refusal(capsys, str(path))
    assert "car.front.shock.bore_mm: bore_mm = -12: must be from 5 to 40 mm" in said
    assert "car.rear.shock.oil" in said
    assert "325 cst" in said
    assert "'lb' is a mass, a spring rate (force per length) is needed" in said
    assert "did you mean 'oil_temperature_c'?" in said
    assert len(said.splitlines()) == 4


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["chnages", "demo-truck"], "python -m libdamp changes demo-truck"),
        (["seson", "demo-truck", "5"], "python -m libdamp season demo-truck 5"),
        (["demo-truck", "season"], "python -m libdamp season demo-truck"),
        (["demo-truck", "rear slaps"], 'python -m libdamp changes demo-truck "rear slaps"'),
        (["demo-truck", "tail", "slaps"], 'python -m libdamp changes demo-truck "tail slaps"'),
        (["chnages"], "did you mean 'changes'?"),
        (["demo-truk"], "did you mean 'demo-truck'?"),
        (["demo-truck", "sheet.pdf"], "python -m libdamp demo-truck sheet.html"),
    ],
)
def test_wrong_words_say_what_to_type(words: list[str], wanted: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip of the pen, words in another order, a complaint without its command: the right line is said."""
    assert wanted in refusal(capsys, *words)


@pytest.mark.parametrize("word", ["new", "season", "changes"])
def test_help_of_a_command(word: str) -> None:
    """A command with --help says what it takes."""
    assert f"python -m libdamp {word}" in run([word, "--help"])


@pytest.mark.parametrize("words", [["--foo"], ["new"], ["new", "1:10 truck"], ["a", "b"], ["no-such-file"], ["."]])
def test_wrong_words(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """A command line that is not understood ends in one sentence."""
    assert len(refusal(capsys, *words).splitlines()) == 1


def test_wrong_size(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown size names the known ones and writes nothing."""
    target = tmp_path / "car.toml"
    assert '"1:8 buggy"' in refusal(capsys, "new", "1:12 truck", str(target))
    assert not target.exists()


def test_changes_of_a_car(capsys: pytest.CaptureFixture[str]) -> None:
    """What is wrong in a driver's words gives what helps; as data too; slow work says so on standard error."""
    assert main(["changes", "demo-smallest", "rear", "slaps", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["question"] == "slaps"
    assert {row["end"] for row in answer["rows"]} == {"rear"}


def test_wrong_words_for_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Unknown words list the twelve questions; no car, no such car are said with what to type."""
    said = refusal(capsys, "changes", "demo-truck", "frogs")
    assert "keeps bobbing" in said
    assert said.startswith("demo-truck: question: ")
    assert 'changes car.toml "slaps"' in refusal(capsys, "changes")
    assert str(tmp_path / "no.toml") in refusal(capsys, "changes", str(tmp_path / "no.toml"), "slaps")


def test_list_names_everything() -> None:
    """The list names calculations, bundled cars, and columns."""
    text = run(["list"])
    for name in ("damping_curve", "demo-buggy", '"1:5 off-road"', "front.oil.viscosity_cst", "use.jump"):
        assert name in text


def test_module_runs() -> None:
    """The module runs as a program, and a broken pipe is no error."""
    done = subprocess.run(
        [sys.executable, "-m", "libdamp", "--version"], capture_output=True, text=True, check=True
    )
    assert done.stdout.count(".") == 2
