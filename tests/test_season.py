"""Oils of a season on the command line and in a log: the figures of `season`, plain words, clear refusals."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

import libdamp
from libdamp.__main__ import main, run
from libdamp.demo import demo_data
from libdamp.logbook import answered
from libdamp.season_table import USUAL_C, season_of, season_text, temperatures_of
from tests.plain_requests import corner, put

TRUCK = demo_data("demo-truck")


def table_rows(text: str, end: str) -> list[str]:
    """Lines of an end's table that begin with a temperature."""
    block = next(part for part in text.split("\n\n") if part.startswith(f"{end.upper()}:"))
    return [line for line in block.splitlines() if " C  " in line[:9]]


@pytest.mark.parametrize("end", ["front", "rear"])
def test_table_has_the_figures(end: str) -> None:
    """Each row says wanted oil, what to fit, the damping ratio then and with the oil left in."""
    rows = table_rows(run(["season", "demo-truck"]), end)
    answer = libdamp.calculate(
        "season",
        {
            "corner": TRUCK["car"][end],
            "temperatures_c": list(USUAL_C),
            "oils": TRUCK["box"]["oils"],
            "reference_temperature_c": TRUCK["use"]["oil_temperature_c"],
        },
    )
    assert [row[:8].strip() for row in rows] == [f"{t:g} C" for t in USUAL_C]
    for i, row in enumerate(rows):
        assert f"{answer['wanted_viscosity_cst'][i]:.0f} cSt" in row
        assert f"{answer['damping_ratio_compression'][i]:.2f}, " in row
        assert f"{answer['damping_ratio_compression_unchanged'][i]:.2f}, " in row
        start = "leave it" if answer["advice"][i] == "leave" else answer["fit"][i][:20]
        assert start in row
    assert set(answer["advice"]) == {"leave", "fit", "mix"}


def test_named_temperatures_and_words() -> None:
    """Temperatures come in the order they are named; what is out of reach says what to buy, at which end."""
    text = run(["season", "demo-truck", "31", "-5", "12,5C"])
    assert [row[:8].strip() for row in table_rows(text, "front")] == ["31 C", "-5 C", "12.5 C"]
    assert "INVENTED" in text
    words = " ".join(text.split())
    assert "warning (front): -5 C: buy an oil of 138 to 152 cSt at 25 C, best 145 cSt." in words
    assert "nearest: fit 200 cSt" in words
    assert max(map(len, text.splitlines())) <= 82


def test_the_file_says_where_the_car_is_right() -> None:
    """The row of the file's own oil temperature leaves the oil in; what is assumed is marked."""
    text = run(["season", "demo-smallest", "31", "10"])
    assert "at 31 C* of oil temperature" in " ".join(text.split())
    first, second = table_rows(text, "front")
    assert "leave it" in first
    assert "buy oil as wanted" in second
    assert "values are assumed by size and surface" in text


def test_json_is_the_answer_of_both_ends() -> None:
    """--json gives each end's answer as data."""
    data = json.loads(run(["season", "demo-truck", "10", "--json"]))
    assert data["front"]["fit"] == ["fit 200 cSt"]
    assert data["rear"]["temperature_c"] == [10.0]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["season"], "python -m libdamp season car.toml 5 15 30"),
        (["season", "no-such.toml"], "no-such.toml: there is no such file"),
        (["season", "demo-truck", "warm"], "'warm' is no temperature: write numbers in C"),
        (["season", "demo-truck", "500"], "temperatures_c.0 = 500.0: must be from -20 to 120 C"),
    ],
)
def test_refusals(words: list[str], wanted: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be meant ends in one sentence that says what to type."""
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert wanted in said.err
    assert len(said.err.splitlines()) == 1


def test_no_temperature_is_lost() -> None:
    """Every wrong word is named, none of the right ones taken for it."""
    with pytest.raises(libdamp.InputError) as caught:
        temperatures_of(["5", "x", "20", "y"])
    assert [fault.value for fault in caught.value.faults] == ["x", "y"]
    assert temperatures_of([]) == USUAL_C


def test_both_ways_and_a_corner_that_does_not_stand() -> None:
    """One-way holes give two ratios; where there is no damping ratio the errors stand alone."""
    data = demo_data("demo-truck")
    holes = [{"count": 2, "diameter_mm": 1.7}, {"count": 1, "diameter_mm": 1.0, "direction": "compression"}]
    data["car"]["front"]["shock"]["piston"]["holes"] = holes
    data["car"]["rear"]["spring"]["rate_n_mm"] = 0.06
    data["car"]["rear"]["preload_mm"] = 0
    made = season_of(data, [10.0])
    text = season_text(made)
    both = made.ends["front"].wanted_damping_ratio_compression, made.ends["front"].wanted_damping_ratio_rebound
    assert f"damping ratio {both[0]:.2f} in, {both[1]:.2f} out wanted" in text
    (row,) = table_rows(text, "rear")
    assert row.endswith("+57 %")
    assert made.ends["rear"].damping_ratio_compression == (None,)
    assert "DO NOT RUN (rear)" in text


LOG = """date,setup,front.oil.viscosity_cst,use.oil_temperature_c,note
2026-03-08,demo-truck,325,8,cold hall
2026-03-22,demo-truck,250,12,
2026-07-19,demo-truck,400,38,dusty
2026-09-13,demo-truck,,22,as in the file
2026-11-01,demo-truck,250,,as warm as in the file
"""


def test_a_log_of_the_season_agrees(tmp_path: Path) -> None:
    """Rows of a log keep their order, blanks are what the file has, and damping ratios are those of `season`."""
    path = tmp_path / "log.csv"
    path.write_text(LOG, encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(answered(path)[0])))
    assert [row["date"] for row in rows] == [line.split(",")[0] for line in LOG.splitlines()[1:]]
    assert [row["note"] for row in rows] == [line.split(",")[4] for line in LOG.splitlines()[1:]]
    for row in rows:
        corner = demo_data("demo-truck")["car"]["front"]
        corner["shock"]["oil"] = f"{row['front.oil.viscosity_cst'] or 325} cst"
        warm = float(row["use.oil_temperature_c"] or 31)
        (ratio,) = libdamp.calculate("season", {"corner": corner, "temperatures_c": [warm]})[
            "damping_ratio_compression_unchanged"
        ]
        assert float(row["answer.front.ride.damping_ratio_compression"]) == pytest.approx(ratio, rel=1e-9)


def test_a_long_log_goes_in_again(tmp_path: Path) -> None:
    """An answered log is far longer than a car file may be; a car file that long is refused."""
    path = tmp_path / "log.csv"
    path.write_text(f"setup,note\nno-such,{'x' * 1_100_000}\n", encoding="utf-8")
    csv.field_size_limit(2_000_000)
    try:
        assert len(answered(path)[1]) == 1
    finally:
        csv.field_size_limit(131_072)
    car = tmp_path / "car.json"
    car.write_text(" " * 1_100_000, encoding="utf-8")
    with pytest.raises(libdamp.InputError, match="this is no car file"):
        run([str(car)])


def test_per_cent_is_that_of_the_ratio() -> None:
    """Filled cold, run hot: the damping ratio itself is so far off the wanted; what thins in shear is not mixed."""
    front = put(put(corner(), "shock.oil.viscosity_cst", 500), "shock.fill.filled_at_c", 0)
    asked = {"corner": front, "temperatures_c": [60], "oils": [{"viscosity_cst": nu} for nu in (600, 700, 1000)]}
    found = libdamp.calculate("season", asked)
    wanted = found["wanted_damping_ratio_compression"]
    off = found["damping_ratio_compression"][0] / wanted - 1.0
    assert found["damping_error_share"][0] == pytest.approx(off, abs=1e-12)
    thinning = {"relaxation_time_s": 1e-5, "power_index": 0.5}
    cold = {"corner": corner(), "temperatures_c": [10]}
    plain: list[dict[str, Any]] = [{"viscosity_cst": nu} for nu in (140, 300)]
    assert libdamp.calculate("season", {**cold, "oils": plain})["advice"] == ["mix"]
    sheared = [{**oil, "thinning": thinning} for oil in plain]
    assert libdamp.calculate("season", {**cold, "oils": sheared})["advice"] == ["fit"]
