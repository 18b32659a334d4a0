"""A season's log: the same rows out, with the answers of `check`."""

import csv
import io
from pathlib import Path

import pytest

from libdamp.calculations import calculate
from libdamp.demo import demo_data
from libdamp.errors import InputError
from libdamp.logbook import answered


def log(tmp_path: Path, text: str, name: str = "log.csv") -> tuple[list[dict[str, str]], list[str], str]:
    """Rows of an answered log, the columns kept, the text."""
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    out, _, kept = answered(path)
    delimiter = max(",;\t", key=out.splitlines()[0].count)
    return list(csv.DictReader(io.StringIO(out), delimiter=delimiter)), kept, out


def test_rows_equal_the_calculation(tmp_path: Path) -> None:
    """A row's answers are those of `check` with its cells put in."""
    rows, kept, _ = log(
        tmp_path,
        "date,setup,front.oil.viscosity_cst,use.oil_temperature_c,note\n"
        "2026-03-08,demo-truck,325,8,cold\n"
        "2026-07-19,demo-truck,400,38,\n",
    )
    assert kept == ["date", "note"]
    for row, (viscosity, warm) in zip(rows, [(325, 8), (400, 38)], strict=True):
        data = demo_data("demo-truck")
        data["car"]["front"]["shock"]["oil"]["viscosity_cst"] = viscosity
        data["use"]["oil_temperature_c"] = warm
        wanted = calculate("check", data)["front"]["ride"]["damping_ratio_compression"]
        assert float(row["answer.front.ride.damping_ratio_compression"]) == pytest.approx(wanted, rel=1e-9)
        assert row["answer.error"] == ""
    assert [row["date"] for row in rows] == ["2026-03-08", "2026-07-19"]


def test_units_holes_and_other_ways(tmp_path: Path) -> None:
    """Cells may carry units, holes, words, and other ways to give a thing."""
    rows, _, _ = log(
        tmp_path,
        "setup,front.spring.rate_n_mm,front.piston.holes,front.fill.closing,front.axle_g,front.unsprung_mass_g\n"
        "demo-truck,2.5 lbf/in,3x1.4,in,800,105\n"
        "demo-truck,0.43781708809,3x1.4,,,\n",
    )
    assert [row["answer.error"] for row in rows] == ["", ""]
    assert float(rows[0]["answer.front.ride.shock_force_n"]) == pytest.approx(
        float(rows[1]["answer.front.ride.shock_force_n"])
    )


def test_decimal_comma(tmp_path: Path) -> None:
    """A semicolon log with decimal commas is read and answered in kind."""
    rows, _, out = log(tmp_path, "setup;use.oil_temperature_c;front.spring.rate_n_mm\ndemo-truck;12,5;0,44\n")
    plain, _, _ = log(tmp_path, "setup,use.oil_temperature_c,front.spring.rate_n_mm\ndemo-truck,12.5,0.44\n")
    assert ";" in out.splitlines()[0]
    there = rows[0]["answer.front.ride.frequency_hz"]
    assert "," in there
    assert there.replace(",", ".") == plain[0]["answer.front.ride.frequency_hz"]


def test_every_unknown_column_is_named(tmp_path: Path) -> None:
    """Columns that are no addresses are refused together, each with the nearest that is."""
    with pytest.raises(InputError) as caught:
        log(tmp_path, "setup,front.oil.visc,rear.piston.hols\ndemo-truck,1,2\n")
    said = [fault.text for fault in caught.value.faults]
    assert ["front.oil.visc" in said[0], "'rear.piston.holes'" in said[1]] == [True, True]


def test_a_misspelt_setup_names_the_nearest(tmp_path: Path) -> None:
    """A car file without its ending, a bundled car with a slip of the pen; holes without their number."""
    (tmp_path / "mybug.toml").write_text("x = 1", encoding="utf-8")
    text = "setup,front.piston.holes\nmybug,\ndemo-truk,\ndemo-truck,1.4\n"
    said = [row["answer.error"] for row in log(tmp_path, text)[0]]
    assert "did you mean 'mybug.toml'?" in said[0]
    assert "did you mean 'demo-truck'?" in said[1]
    assert '"2x1.4"' in said[2]


def test_a_failing_row_keeps_its_place(tmp_path: Path) -> None:
    """A row that cannot be answered says why and the others are answered."""
    rows, _, _ = log(
        tmp_path,
        "setup,front.shock.bore_mm,use.jump\ndemo-truck,-3,none\nno-such.toml,,\ndemo-truck,,big\n,12,small\n",
    )
    assert "must be from 5 to 40 mm" in rows[0]["answer.error"]
    assert "no such file" in rows[1]["answer.error"]
    assert rows[2]["answer.error"] == ""
    assert float(rows[2]["answer.jump.overshot_mm"]) == 350.0
    assert rows[3]["answer.error"].startswith("the column setup is missing or empty: name demo-truck there")


def test_a_car_file_beside_the_log(tmp_path: Path) -> None:
    """`setup` may name a car file beside the log, and what it assumes is counted."""
    smallest = 'size = "1:10 truck"\nsurface = "loose"\n'
    for end, mass in (("front", 800), ("rear", 1250)):
        smallest += f'[car.{end}]\naxle_g = {mass}\nspring = "0.4 N/mm"\n'
        smallest += 'shock = { oil = "325 cst", piston = { holes = "2x1.7" } }\n'
    (tmp_path / "mine.toml").write_text(smallest, encoding="utf-8")
    rows, _, _ = log(tmp_path, "setup,front.spring.rate_n_mm,front.oil.viscosity_cst\nmine.toml,0.5,250\n")
    assert rows[0]["answer.error"] == ""
    assert int(rows[0]["answer.assumed"]) > 10


@pytest.mark.parametrize(
    ("header", "wanted"),
    [
        ("setup,front.oil.viscosty_cst", "did you mean 'front.oil.viscosity_cst'"),
        ("date,note", "has no column that says anything"),
        ("setup,setup", "twice"),
        ("setup,viscosity_cst", "does not say where"),
    ],
)
def test_wrong_headers(tmp_path: Path, header: str, wanted: str) -> None:
    """A header that cannot be meant is refused as a whole."""
    path = tmp_path / "log.csv"
    path.write_text(f"{header}\nx,y\n", encoding="utf-8")
    with pytest.raises(InputError, match=wanted):
        answered(path)


def test_order_and_count_are_kept(tmp_path: Path) -> None:
    """Rows come out in the order they went in, empty lines left out, progress told."""
    path = tmp_path / "log.csv"
    path.write_text("setup,n\n" + "".join(f"demo-truck,{i}\n\n" for i in range(5)), encoding="utf-8")
    told: list[tuple[int, int]] = []
    _, rows, _ = answered(path, lambda done, of: told.append((done, of)))
    assert [row["n"] for row in rows] == ["0", "1", "2", "3", "4"]
    assert told[-1] == (5, 5)


def test_an_answered_log_goes_in_again(tmp_path: Path) -> None:
    """A log with answers is answered anew, the same; a row may be added."""
    _, _, first = log(tmp_path, "setup,findings,use.oil_temperature_c\ndemo-truck,mine,12\n")
    rows, kept, second = log(tmp_path, first + "demo-truck,new,20\n", "again.csv")
    assert second.startswith(first)
    assert kept == ["findings"]
    assert [row["findings"] for row in rows] == ["mine", "new"]
    assert rows[1]["answer.error"] == ""


def test_another_kind_and_surface(tmp_path: Path) -> None:
    """Naming another kind takes out what belongs to the old one; a surface column counts."""
    rows, _, _ = log(
        tmp_path,
        "setup,front.fill.kind,front.fill.room_ml,front.linkage.kind,front.linkage.motion_ratio,"
        "front.linkage.level_length_mm,surface\n"
        "demo-truck,vented,0.5,ratio,0.68,73,grass\ndemo-truck,,,,,,\n",
    )
    assert [row["answer.error"] for row in rows] == ["", ""]
    assert float(rows[0]["answer.front.ride.gas_force_n"]) == 0.0
    assert rows[0]["answer.distance"] != rows[1]["answer.distance"]


def test_quotes_blank_lines_and_empty_cells(tmp_path: Path) -> None:
    """Blank lines and empty cells at the end are nothing; quotes must close."""
    rows, _, _ = log(tmp_path, "\nsetup,use.oil_temperature_c\n\ndemo-truck,12,,\n")
    assert rows[0]["answer.error"] == ""
    path = tmp_path / "open.csv"
    path.write_text('setup,note\ndemo-truck,"open\ndemo-truck,x\n', encoding="utf-8")
    with pytest.raises(InputError, match="quote"):
        answered(path)


def test_a_row_of_blank_cells_stays(tmp_path: Path) -> None:
    """Rows stay in their place, those of blank cells too; answered again they are the same."""
    path = tmp_path / "log.csv"
    lines = ["setup,front.oil.viscosity_cst,note", "demo-truck,300,a", ",,", "demo-truck,350,b", "", ",,"]
    path.write_text("\n".join([",,", *lines]) + "\n", encoding="utf-8")
    text, rows, kept = answered(path)
    assert [row["note"] for row in rows] == ["a", "", "b", ""]
    assert [bool(row.get("answer.front.ride.frequency_hz")) for row in rows] == [True, False, True, False]
    assert not any(row["answer.error"] for row in rows)
    assert kept == ["note"]
    blank = text.splitlines()[2]
    assert set(blank) == {","}
    path.write_text(text, encoding="utf-8")
    assert answered(path)[0] == text


def test_a_column_that_names_a_part_is_told_its_parts(tmp_path: Path) -> None:
    """A spring is no cell: its rate is."""
    with pytest.raises(InputError, match=r"it has parts: front\.spring\.rate_n_mm"):
        log(tmp_path, "setup,front.spring\ndemo-truck,0.4\n")


def test_a_row_with_too_many_cells_stays_wrong(tmp_path: Path) -> None:
    """A decimal comma between commas: nothing of the row is lost, and read again it is refused again."""
    path = tmp_path / "log.csv"
    path.write_text("setup,front.preload_mm,note\ndemo-truck,1,5,cold\n", encoding="utf-8")
    once, rows, _ = answered(path)
    assert rows[0]["answer.error"].startswith("more cells than the header has columns")
    assert once.splitlines()[1].endswith(",cold")
    path.write_text(once, encoding="utf-8")
    again, rows, _ = answered(path)
    assert again == once
    assert rows[0]["answer.error"].startswith("more cells than the header has columns")
