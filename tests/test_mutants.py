"""The mutation check itself: it finds the numbers, changes one, kills what it should and sees what survives."""

import pkgutil
from collections import Counter
from typing import Any

import numpy as np
import pytest

import libdamp.physics
from tests.mutants import points as places
from tests.mutants.__main__ import main, trial, untested
from tests.mutants.points import LEFT_OUT, SKIPPED, modules, mutated, points


def _changed(module: str, wanted: int) -> dict[str, Any]:
    """Names of a module with one of its points changed."""
    tree, _ = mutated(module, wanted)
    names: dict[str, Any] = {"__package__": "libdamp.physics", "__name__": f"libdamp.physics.{module}"}
    exec(compile(tree, module, "exec"), names)
    return names


def test_points_of_a_small_module() -> None:
    """Numbers, squares and roots in the order of the source."""
    assert [(p.place, p.what) for p in points("contact")] == [
        ("contact.landing_speed", "2.0 -> 2.02"),
        ("contact.landing_speed", "np.sqrt(2.0 * G_N * np.asarray(apex)) to the power 0.505"),
        ("contact.fall_height", "np.square(speed) to the power 2.02"),
        ("contact.fall_height", "2.0 -> 2.02"),
    ]


@pytest.mark.parametrize(
    ("wanted", "landing", "fall"),
    [(0, 1.0, 1.0), (1, 1.01**0.5, 1.0), (2, 19.6133**0.005, 1.0), (3, 1.0, 3.0**0.02), (4, 1.0, 1.0 / 1.01)],
)
def test_one_point_changes_one_thing(wanted: int, landing: float, fall: float) -> None:
    """Each point makes its own equation wrong as it says, and leaves the other alone."""
    true, changed = _changed("contact", 0), _changed("contact", wanted)
    ratio = changed["landing_speed"](1.0, 0.0, 0.0) / true["landing_speed"](1.0, 0.0, 0.0)
    assert ratio == pytest.approx(landing, rel=1e-13)
    assert changed["fall_height"](3.0) / true["fall_height"](3.0) == pytest.approx(fall, rel=1e-13)


def test_a_repeated_factor_is_a_power() -> None:
    """In a product, z z goes to the power 2.02, in one place."""
    (at,) = (number for number, p in enumerate(points("linkage"), 1) if p.place == "linkage.parabola_length")
    bent = _changed("linkage", at)["parabola_length"](np.array([0.5, 2.0]), 0.0, 0.0, 1.0)
    assert bent == pytest.approx(np.array([0.5, 2.0]) ** 2.02, rel=1e-13)


def test_a_module_that_is_not_changed_passes() -> None:
    """A trial that changes nothing kills nothing."""
    assert trial("contact", 0) is None


def test_a_mutant_dies() -> None:
    """A wrong factor is found, by a written equation."""
    killer = trial("contact", 4)
    assert killer is not None
    assert killer.startswith("physics.contact.fall_height")


def test_a_survivor_is_seen() -> None:
    """Where a bracket is halved decides no root: a trial tells so."""
    (half,) = (number for number, p in enumerate(points("roots"), 1) if p.what == "0.5 -> 0.505")
    assert trial("roots", half) is None


def test_the_modules_find_themselves() -> None:
    """Every module of equations is mutated, or stands in the list of those that are not."""
    found = {module.name for module in pkgutil.iter_modules(libdamp.physics.__path__)}
    assert set(modules()) == found - set(LEFT_OUT)
    assert set(LEFT_OUT) <= found


def test_a_module_without_tests_is_told() -> None:
    """Every module has rows or laws of its own; one that has none is named."""
    assert untested([*modules(), "nowhere"]) == ["nowhere"]


def test_nothing_is_left_aside_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each place of the list of exceptions holds a number, and a reason stands beside it."""
    monkeypatch.setattr(places, "SKIPPED", {})
    found = Counter(point.place for name in modules() for point in points(name))
    names = [f"{place}#{i}" for place, most in found.items() for i in range(1, most + 1)]
    assert [one for one in SKIPPED if not any(f"{n}#".startswith((f"{one}.", f"{one}#")) for n in names)] == []
    assert all(len(why) > 10 for why in (*SKIPPED.values(), *LEFT_OUT.values()))


def test_the_command_lists(capsys: pytest.CaptureFixture[str]) -> None:
    """--list names file, line, place and change, and tries nothing; a sample is the same for the same seed."""
    assert main(["--list", "--module", "contact"]) == 0
    first = capsys.readouterr().out.splitlines()
    assert len(first) == len(points("contact"))
    assert first[0].startswith("libdamp/physics/contact.py:")
    drawn = []
    for _ in range(2):
        main(["--list", "--sample", "5", "--seed", "3"])
        drawn.append(capsys.readouterr().out.splitlines())
    assert len(drawn[0]) == 5
    assert drawn[0] == drawn[1]
