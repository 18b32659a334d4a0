"""`plan` in motion: landing and bumps of the builds that are best at rest, their goals, what trades for what."""

import functools
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import libdamp
from libdamp.builds import End, as_it_stands, equally_good, hardly
from libdamp.car import Box
from libdamp.demo import demo_corner, demo_data
from libdamp.goals import Aim
from libdamp.in_motion import FEW as FEW_BUILDS
from libdamp.likely import NEAREST, capped, furthest_wanted
from libdamp.pairing import BothEnds
from tests.plain_requests import USE, put

TRUCK = demo_data("demo-truck")
CAR = TRUCK["car"]
BOX: dict[str, Any] = {
    "oils": TRUCK["box"]["oils"][::3],
    "limiters_mm": [0, 4, 8],
    "collar_step_mm": 0.5,
    "mix_oils": False,
}
MOVED = ("least_clearance_mm", "bounce_height_mm", "peak_shock_n", "tyre_load_variation", "contact_share")


@functools.cache
def _whole() -> dict[str, Any]:
    """A small box with jump and bumps."""
    return libdamp.calculate("plan", {"car": CAR, "use": {**USE, "jump": "big"}, "box": BOX})


def _built(end: str, build: dict[str, Any]) -> dict[str, Any]:
    """The corner with a build fitted."""
    corner = put(CAR[end], "spring", build["spring"])
    for path, value in (
        ("shock.oil", build["oil"]),
        ("shock.piston", build["piston"]),
        ("shock.limiter_mm", build["limiter_mm"]),
        ("shock.fill.closing_insertion_mm", build["closing_insertion_mm"]),
        ("preload_mm", build["preload_mm"]),
    ):
        corner = put(corner, path, value)
    return corner


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("row", [0, 2])
def test_figures_are_those_of_the_single_calculations(end: str, row: int) -> None:
    """What a listed build lands and rides like is what `drop` and `bumps` say of it."""
    build = _whole()[end]["builds"][row]
    corner = _built(end, build)
    fell = libdamp.calculate("drop", {"corner": corner, "height_mm": 350, "temperature_c": 31})
    names = ("bump_height_mm", "bump_spacing_mm", "speed_m_s")
    road = {"shape": "washboard", **{name: USE[name] for name in names}}
    rode = libdamp.calculate("bumps", {"corner": corner, "temperature_c": 31, **road})
    for name in MOVED:
        single = fell[name] if name in fell and name != "tyre_load_variation" else rode[name]
        assert build[name] == pytest.approx(single, rel=1e-9, abs=1e-9), name


def test_goals_of_motion_are_counted() -> None:
    """Each term of landing and bumps stands with its side; the distance is the sum; too little only counts."""
    for row in _whole()["builds"]:
        for end in ("front", "rear"):
            terms = {t["quantity"]: t for t in row[end]["terms"]}
            assert row[end]["distance"] == pytest.approx(sum(t["term"] for t in terms.values()))
            clearance = terms["least_clearance_mm"]
            assert clearance["side"] == "below"
            assert clearance["source"] == "common practice"
            short = min(0.0, row[end]["least_clearance_mm"] - 2.0)
            assert clearance["term"] == pytest.approx(short**2)
            assert terms["tyre_load_variation"]["side"] == "above"


def test_a_landing_that_slaps_counts_against_a_build() -> None:
    """After a big jump the standing car falls short of the clearance it should keep, and the choice says so."""
    standing = _whole()["builds"][0]["front"]
    assert standing["least_clearance_mm"] < 1.0
    assert not _whole()["builds"][0]["meets_goals"]


def test_a_wish_for_more_clearance_is_followed() -> None:
    """With a clearance asked for, the nearest build keeps more of it than without."""
    goals = {"front": {"least_clearance_mm": {"target": 16, "tolerance": 0.5}}}
    use = {**USE, "bump_height_mm": 0}
    plain, wishing = (
        libdamp.calculate("plan", {"car": CAR, "use": use, "box": BOX, "goals": g})["front"]["builds"][1]
        for g in ({}, goals)
    )
    assert wishing["least_clearance_mm"] > plain["least_clearance_mm"] + 0.5


def test_trade_offs_are_not_bettered() -> None:
    """Of the builds that trade landing against bumps none is better in both, and each says what it costs."""
    oils = [{"viscosity_cst": oil} for oil in (100, 200, 450, 1000)]
    use = {**USE, "jump": "big", "bump_spacing_mm": 400, "speed_m_s": 2}
    box = {"oils": oils, "collar_step_mm": 0.5, "mix_oils": False}
    rows = libdamp.calculate("plan", {"car": CAR, "use": use, "box": box})["rear"]
    traded = rows["trade_offs"]
    assert len(traded) > 1
    pairs = [(one["build"]["least_clearance_mm"], one["build"]["tyre_load_variation"]) for one in traded]
    assert pairs == sorted(pairs, reverse=True)
    assert [one[1] for one in pairs] == sorted((one[1] for one in pairs), reverse=True)
    assert pairs[0][0] - pairs[-1][0] > 1.0
    assert pairs[0][1] / pairs[-1][1] > 1.05
    for one, (clearance, variation) in zip(traded, pairs, strict=True):
        assert one["distance_cost"] >= 0.0
        if one["text"] != "nearest to the goals":
            lands, even = f"{abs(one['clearance_gain_mm']):.1f} mm", f"{abs(one['variation_gain']):.2f}"
            assert ("as much clearance" if lands == "0.0 mm" else lands) in one["text"]
            assert ("tyre load as even" if even == "0.00" else f"tyre load {even}") in one["text"]
        others = [(b["least_clearance_mm"], b["tyre_load_variation"]) for b in rows["builds"][1:]]
        assert not any(c > clearance and v < variation for c, v in others)


def test_no_trade_where_nothing_pulls_apart() -> None:
    """On quick small bumps the damping hardly moves the tyre's load: there is nothing to trade."""
    assert not _whole()["rear"]["trade_offs"]


def test_what_is_not_moved_is_said() -> None:
    """Without jump and bumps the figures are missing, a finding says why, and their goals do not count."""
    use = {**USE, "jump": "none", "bump_height_mm": 0}
    answer = libdamp.calculate("plan", {"car": CAR, "use": use, "box": BOX})
    said = [f["where"] for f in answer["findings"] if f["code"] == "not_moved"]
    assert said == ["/use/jump", "/use/bump_height_mm"]
    for build in (*answer["front"]["builds"], *answer["rear"]["builds"]):
        assert all(build[name] is None for name in MOVED)
        assert not {t["quantity"] for t in build["terms"]} & set(MOVED)
    assert not answer["front"]["trade_offs"]
    assert not [f for f in _whole()["findings"] if f["code"] == "not_moved"]


def test_its_own_figures_as_goals() -> None:
    """Goals that are the standing car's own figures, in motion too, leave it as it is, at distance nought."""
    use = {**USE, "bump_height_mm": 0}
    request: dict[str, Any] = {"car": CAR, "use": use, "box": {**BOX, "collar_step_mm": None}}
    standing = libdamp.calculate("plan", request)["builds"][0]
    goals: dict[str, Any] = {}
    for end in ("front", "rear"):
        wishes = dict.fromkeys(("frequency_hz", "damping_ratio_compression", "damping_ratio_rebound"), 0.2)
        wishes |= {"least_clearance_mm": 1.0, "peak_shock_n": 2.0}
        goals[end] = {name: {"target": standing[end][name], "tolerance": t} for name, t in wishes.items()}
    names = ("frequency_ratio", "damping_ratio_ratio")
    goals["between"] = {name: {"target": standing[name], "tolerance": 0.1} for name in names}
    answer = libdamp.calculate("plan", {**request, "goals": goals})
    for row in answer["builds"][:2]:
        assert row["distance"] == pytest.approx(0.0, abs=1e-9)
        assert not row["changed"]
        assert row["meets_goals"]
    assert answer["verdict_front"] == "front: leave it"


@pytest.mark.long
def test_likely_builds_better_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the landing decides, builds moved for a guess come nearer to the goals than those chosen at rest."""

    def best() -> float:
        whole = libdamp.calculate("plan", {"car": CAR, "use": {**TRUCK["use"], "jump": "big"}, "box": TRUCK["box"]})
        return min(float(car["distance"]) for car in whole["builds"] if car["distance"] is not None)

    with_guess = best()
    monkeypatch.setattr("libdamp.in_rounds.likely", lambda *_: [np.zeros(0, dtype=int)] * 2)
    assert with_guess < 0.75 * best()


def test_what_is_too_far_at_rest_is_not_wanted() -> None:
    """Of moved builds the eightieth nearest in pairs is the limit; beside fewer every other is wanted."""
    end = _standing()
    distance = np.arange(100.0)
    table = {name: np.ones(100) for name in ("frequency_hz", "damping_ratio")}
    table |= {"distance": distance, "piston": np.zeros(100, dtype=int)}
    many, few = end._replace(table=table), end._replace(table={name: column[:79] for name, column in table.items()})
    aim = Aim(1.0, 0.5, "yours")
    between = {"frequency_ratio": aim, "damping_ratio_ratio": aim}
    assert furthest_wanted(BothEnds(many, few, between)) == (NEAREST - 1.0, np.inf)
    assert furthest_wanted(BothEnds(few, end._replace(table={}), between)) == (np.inf, np.inf)


@given(st.lists(st.integers(0, 3), max_size=30), st.integers(1, 4))
def test_of_each_kind_no_more(kinds: list[int], most: int) -> None:
    """A capped order keeps the first of each kind, in order."""
    order = np.argsort(np.array([-k % 7 for k in range(len(kinds))], dtype=int), kind="stable")
    kept = capped(order, np.array(kinds, dtype=int), most).tolist()
    plain: list[int] = []
    for row in order.tolist():
        if sum(kinds[other] == kinds[row] for other in plain) < most:
            plain.append(row)
    assert kept == plain


FEW: dict[str, Any] = {"oils": [{"viscosity_cst": 300}], "mix_oils": False, "spacers_mm": [1]}
MORE: dict[str, dict[str, Any]] = {
    "oil": {"oils": [*FEW["oils"], {"viscosity_cst": 450}]},
    "piston": {"pistons": [{"holes": "2x1.5", "thickness_mm": 2.4, "diameter_mm": 11.9}]},
    "spring": {"rear_springs": [{"rate_n_mm": 0.39, "free_length_mm": 75, "block_length_mm": 16}]},
    "limiter": {"limiters_mm": [2]},
}


@functools.cache
def _few(part: str) -> dict[str, Any]:
    """A box so small that every legal build is moved, with a part more perhaps."""
    box = {**FEW, **MORE.get(part, {})}
    return libdamp.calculate("plan", {"car": CAR, "use": {**TRUCK["use"], "jump": "big"}, "box": box})


@pytest.mark.parametrize("part", MORE)
def test_a_part_more_never_worsens_the_best(part: str) -> None:
    """Landing and bumps counted too, where every legal build is moved: the nearest car is no further."""
    few, more = _few(""), _few(part)
    assert max(more[end]["legal"] for end in ("front", "rear")) <= FEW_BUILDS
    assert sum(more[end]["legal"] - few[end]["legal"] for end in ("front", "rear")) > 0
    best = [min(car["distance"] for car in one["builds"][1:]) for one in (few, more)]
    assert best[1] <= best[0] * (1.0 + 1e-9)


TAKEN_OUT: list[tuple[str, str, int]] = [
    ("demo-truck", "limiters_mm", 4),
    ("demo-truck", "oils", 0),
    ("demo-buggy", "pistons", 6),
    ("demo-buggy", "oils", 2),
]
"""Parts without which the best car of a whole box has been better by more than the error, or a little."""


@functools.cache
def _of_all(name: str, part: str = "", place: int = 0) -> dict[str, Any]:
    """The choice from a demo's whole box, a part of it taken out perhaps, for big jumps."""
    demo = demo_data(name)
    box = dict(demo["box"])
    if part:
        box[part] = [one for i, one in enumerate(box[part]) if i != place]
    return libdamp.calculate("plan", {"car": demo["car"], "use": {**USE, "jump": "big"}, "box": box})


def _best_of_all(name: str, part: str = "", place: int = 0) -> float:
    return min(float(car["distance"]) for car in _of_all(name, part, place)["builds"][1:])


@pytest.mark.long
@pytest.mark.parametrize(("name", "part", "place"), TAKEN_OUT)
def test_a_part_out_of_a_big_box_hardly_betters_the_best(name: str, part: str, place: int) -> None:
    """Of millions of builds some hundred are moved: the best may be missed, not by what `plan` calls further."""
    assert len(demo_data(name)["box"][part]) > place
    with_all, without = _best_of_all(name), _best_of_all(name, part, place)
    assert with_all <= hardly(without)


@pytest.mark.long
@pytest.mark.parametrize("name", ["demo-truck", "demo-buggy"])
def test_an_easy_car_is_told(name: str) -> None:
    """Where the best cars drill blanks, the nearest that drills nothing and mixes nothing is told as well."""
    builds = _of_all(name)["builds"]
    assert any(builds[1][end]["drill"] for end in ("front", "rear"))
    easy = [
        car for car in builds[2:] if not any(car[end][how] for end in ("front", "rear") for how in ("drill", "mix"))
    ]
    assert easy
    assert all(car["distance"] > builds[1]["distance"] for car in easy)


def _standing() -> End:
    """An end, to be given other tables and goals."""
    return as_it_stands(demo_corner("demo-truck.front"), Box(), 31.0, {})


SAME: dict[str, tuple[Aim, list[float]]] = {
    "least_clearance_mm": (Aim(2.0, 1.0, "yours", "below"), [0.5, 1.4, -0.4, -0.6, 1.6, 30.0]),
    "bounce_height_mm": (Aim(10.0, 5.0, "yours", "above"), [20.0, 21.9, 18.1, 22.1, 17.9, 0.0]),
    "peak_shock_n": (Aim(40.0, 5.0, "yours", "above"), [60.0, 62.9, 57.1, 63.1, 56.9, 10.0]),
    "tyre_load_variation": (Aim(0.5, 0.2, "yours", "above"), [0.8, 0.83, 0.77, 0.85, 0.75, 0.1]),
    "contact_share": (Aim(0.9, 0.1, "yours", "below"), [0.6, 0.619, 0.581, 0.621, 0.579, 1.0]),
}
"""Values of which the second and third are as good as the first, the others not."""


@pytest.mark.parametrize("name", SAME)
def test_builds_are_told_apart_by_what_has_a_goal(name: str) -> None:
    """By more than the error, and only as far as the goal is missed; a figure without a goal tells nothing."""
    aim, values = SAME[name]
    ones = np.ones(len(values))
    alike = {"height_error_mm": ones, "drag_band": 1e-3 * ones, "frequency_hz": ones}
    alike |= {"damping_ratio_compression": ones, "damping_ratio_rebound": ones}
    every = np.arange(len(values))
    end = _standing()._replace(aims={name: aim}, table={**alike, name: np.array(values)})
    assert equally_good(end, 0, every).tolist() == [True, True, True, False, False, False]
    assert equally_good(end._replace(aims={}), 0, every).all()
    met = [aim.target + (1.0 if aim.side == "below" else -1.0) * far for far in (0.0, 1.0, 50.0)]
    easy = end._replace(table={**{k: v[:3] for k, v in alike.items()}, name: np.array(met)})
    assert equally_good(easy, 0, np.arange(3)).all()


def test_equals_do_not_give_a_goal_away() -> None:
    """A goal narrower than the error: no car is proposed that misses it, nor further, while its equals meet it."""

    def goal(target: float, tolerance: float) -> dict[str, float]:
        return {"target": target, "tolerance": tolerance}

    end = {"frequency_hz": goal(3.5, 2), "damping_ratio": goal(0.8, 1), "height_error_mm": goal(0, 4)}
    end |= {"bounce_height_mm": goal(60, 20), "least_clearance_mm": goal(2, 0.2)}
    between = {"frequency_ratio": goal(1, 5), "damping_ratio_ratio": goal(1, 5)}
    kept = ("pistons", "limiters_mm", "front_springs", "rear_springs", "collar_step_mm")
    box = {name: TRUCK["box"][name] for name in kept} | {"oils": TRUCK["box"]["oils"][:4], "mix_oils": False}
    use = {**USE, "jump": "big", "bump_height_mm": 0}
    goals = {"front": end, "rear": end, "between": between}
    answer = libdamp.calculate("plan", {"car": CAR, "use": use, "box": box, "goals": goals})
    cars = answer["builds"][1:]
    best = min(car["distance"] for car in cars)
    assert best < 2.0
    assert cars[0]["meets_goals"]
    for row in (*cars, *answer["front"]["builds"][1:], *answer["rear"]["builds"][1:]):
        assert row["distance"] <= hardly(row["best_of_equals"]) + 1e-9


def test_of_equals_the_smaller_change() -> None:
    """Where distances differ by round-off alone, the limiters move least; else the nearest counts."""
    end = _standing()
    fitted = end.space.corner.shock.limiter_mm * 1e-3
    end = end._replace(
        space=end.space._replace(limiters=np.array([fitted + 2e-3, fitted])),
        table={**end.table, "limiter": np.array([0, 1]), "piston": np.zeros(2, dtype=int)},
    )
    pairs, both, yes = BothEnds(end, end, {}), np.arange(2), np.ones((2, 2), dtype=bool)
    far = np.array([[1.0 - 1e-9, 1.0], [1.0, 1.0]])
    assert pairs.first(both, both, far, yes) == (1, 1)
    assert pairs.first(both, both, far - np.array([[0.01, 0.0], [0.0, 0.0]]), yes) == (0, 0)


@pytest.mark.long
@pytest.mark.parametrize("name", ["demo-truck", "demo-buggy"])
def test_the_proposal_is_listed_once(name: str) -> None:
    """No later row holds the very builds of the proposal."""
    builds = _of_all(name)["builds"]
    assert not [car for car in builds[2:] if all(car[end] == builds[1][end] for end in ("front", "rear"))]


@pytest.mark.parametrize(("front", "rear"), [(2.3, 2.8), (0.7, 3.1)])
def test_a_preload_between_the_steps_is_left(front: float, rear: float) -> None:
    """Goals that are the car's own figures leave it as it is, though no turn of the collar gives its preload."""
    car = {**CAR, "front": {**CAR["front"], "preload_mm": front}, "rear": {**CAR["rear"], "preload_mm": rear}}
    use = {**USE, "jump": "none", "bump_height_mm": 0}
    request: dict[str, Any] = {"car": car, "use": use, "box": {**BOX, "collar_step_mm": 0.5}}
    standing = libdamp.calculate("plan", request)["builds"][0]
    wishes = {"frequency_hz": 0.1, "damping_ratio_compression": 0.05, "damping_ratio_rebound": 0.05}
    wishes |= {"height_error_mm": 0.3}
    goals: dict[str, Any] = {
        end: {name: {"target": standing[end][name], "tolerance": t} for name, t in wishes.items()}
        for end in ("front", "rear")
    }
    names = ("frequency_ratio", "damping_ratio_ratio")
    goals["between"] = {name: {"target": standing[name], "tolerance": 0.05} for name in names}
    answer = libdamp.calculate("plan", {**request, "goals": goals})
    now, first = answer["builds"][:2]
    for end in ("front", "rear"):
        assert first[end] == {**now[end], **{name: first[end][name] for name in ("equally_good", "best_of_equals")}}
        assert answer[end]["builds"][1]["best_of_equals"] == pytest.approx(0.0, abs=1e-12)
    assert (first["changed"], now["distance"], first["distance"]) == ([], 0.0, 0.0)
    assert (answer["verdict_front"], answer["verdict_rear"]) == ("front: leave it", "rear: leave it")
    assert answer["best_missing_part"] is None
