"""Reading car files (JSON or TOML) and writing a new one."""

import json
import tomllib
from pathlib import Path
from typing import Any

from .assume import SIZE_NAMES, SURFACE_NAMES
from .errors import Fault, InputError
from .quantities import quantity
from .typical import PISTON_GAP_MM, SIZES

LARGEST_BYTES = 1_000_000
LARGEST_LOG_BYTES = 100_000_000
"""Of a log, whose answers go in again: some 4 kB a row."""


def refused(text: str) -> InputError:
    """An error about a file as a whole."""
    return InputError([Fault(pointer="", rule="file", text=text)])


def read_text(path: Path, most: int = LARGEST_BYTES, kind: str = "car file") -> str:
    """Text of a file of no more than so many bytes.

    Raises
    ------
    InputError : it cannot be read, is too large, is no text, is empty.
    """
    try:
        raw = path.read_bytes() if path.stat().st_size <= most else None
    except FileNotFoundError:
        raise refused("there is no such file; type 'python -m libdamp list' for what can be typed") from None
    except IsADirectoryError:
        raise refused("is a folder; name a car file (.toml or .json) or a log (.csv)") from None
    except OSError as error:
        raise refused(f"cannot be read: {error.strerror or error}") from None
    if raw is None:
        raise refused(f"is larger than {most // 1000} kB: this is no {kind}")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refused("is not a text file in UTF-8; save it as UTF-8") from None
    if not text.strip():
        raise refused("is empty; 'python -m libdamp new \"1:10 truck\" car.toml' writes one to fill in")
    return text


def read_car_file(path: Path) -> dict[str, Any]:
    """Plain data of a car file.

    Raises
    ------
    InputError : it cannot be read, or is neither JSON nor TOML.
    """
    text = read_text(path)
    as_json = path.suffix.lower() == ".json" or text.lstrip().startswith("{")
    try:
        data = json.loads(text, object_pairs_hook=_once) if as_json else tomllib.loads(text)
    except json.JSONDecodeError as error:
        raise refused(f"is broken JSON: line {error.lineno}, column {error.colno}: {error.msg}") from None
    except tomllib.TOMLDecodeError as error:
        raise refused(f"is broken TOML: {error}") from None
    except RecursionError:
        raise refused("is nested too deeply") from None
    except InputError:
        raise
    except ValueError:
        raise refused("holds a number of thousands of digits") from None
    if not isinstance(data, dict):
        raise refused("holds no object: a car file begins with car, box, use, size, surface")
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    keys = [key for key, _ in pairs]
    twice = next((key for key in keys if keys.count(key) > 1), None)
    if twice is not None:
        raise refused(f"gives '{twice[:60]}' twice in one place")
    return dict(pairs)


_END_FACTS = """
[car.{end}]
# {n1}. {axle}: {weigh}. Grams, a number without quotes: axle_g = 800
axle_g = "?"
# {n2}. Oil, "325 cst" or "315 mPas": {oil}.
# {n3}. Holes of the piston, number x diameter in mm, "2x1.7": {holes}.
shock = {{ oil = "?", piston = {{ holes = "?" }} }}
# {n4}. Spring, "0.38 N/mm", "2.2 lbf/in", "39 gf/mm": {spring}.
spring = "?"
"""
"""What a new car file asks of one end."""


_BOX = """\
# What is in your parts box, if the sheet shall choose from it: take the "# " away from the lines that you fill in.
# [box]
# oils = ["300 cst", "350 cst"]
# front_springs = ["0.33 N/mm", "2.2 lbf/in"]
# rear_springs = ["0.45 N/mm"]
# pistons = [{{ holes = "2x1.6", {piston}, count = 4 }}]
# blanks = {{ {piston}, count = 4, max_holes = 3 }}
# drills_mm = [1.4, 1.5, 1.6]
# limiters_mm = [2, 4, 6]
# collar_step_mm = 0.5
"""
"""What a new car file says of the parts box."""


def new_car_text(size: str) -> str:
    """Car file with ten facts to fill in, each with how to measure.

    Raises
    ------
    InputError : no such size.
    """
    if size not in SIZE_NAMES:
        names = ", ".join(f'"{name}"' for name in SIZE_NAMES)
        raise InputError(
            [Fault(pointer="/size", rule="choice", value=size, text=f"'{size}': must be one of {names}")]
        )
    oil, holes, spring = (
        quantity(name).how_to_measure for name in ("oil.viscosity_cst", "holes.diameter_mm", "spring.rate_n_mm")
    )
    ends = "".join(
        _END_FACTS.format(
            end=name,
            axle=f"Both {name} wheels on the scale, car ready to run, pack unplugged",
            weigh="the other axle on a block of equal height",
            oil=oil,
            holes=holes,
            spring=spring,
            n1=first,
            n2=first + 1,
            n3=first + 2,
            n4=first + 3,
        )
        for name, first in (("front", 3), ("rear", 7))
    )
    surfaces, row = " | ".join(SURFACE_NAMES), SIZES[size]
    piston = f"thickness_mm = {row.thickness_mm:g}, diameter_mm = {row.bore_mm - PISTON_GAP_MM:g}"
    return f"""# Ten facts about one car. Put yours in place of every "?"; then: python -m libdamp car.toml
# What is not given is assumed from the size and listed; each further measurement narrows the answer.

# 1. Size of the car: {" | ".join(SIZE_NAMES)}
size = "{size}"
# 2. Surface: {surfaces}
surface = "?"
{ends}
{_BOX.format(piston=piston)}"""
