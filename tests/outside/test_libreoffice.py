"""Cells of a real LibreOffice, with a decimal point and with a decimal comma, show the library's numbers."""

import json
from copy import deepcopy
from typing import Any, NamedTuple

import pytest

from libdamp.calculations import calculate
from libdamp.demo import demo_data
from libdamp.packing import pack
from service.setups import setup_data

from .running import Service, asked
from .tools import HERE, program, run

pytestmark = pytest.mark.outside
LOCALES = {"en-US": ".", "de-DE": ","}
SHEET_FORMULA = '=IFERROR(NUMBERVALUE(WEBSERVICE({u});".");WEBSERVICE({u}))'


class Row(NamedTuple):
    """One address and what its cell must show: a number, or a text."""

    address: str
    wanted: float | str
    value: float | None = None
    """A number of the sheet itself, appended to the address by the sheet."""


def front(**changes: Any) -> dict[str, Any]:
    """Request of `ride` for the truck's front; a change is the address of a field, with '__' for '.'."""
    data: dict[str, Any] = {"corner": deepcopy(demo_data("demo-truck")["car"]["front"])}
    for name, value in changes.items():
        place = data["corner"]
        *parents, leaf = name.split("__")
        for parent in parents:
            place = place[parent]
        place[leaf] = value
    return data


def token() -> str:
    """Token of the truck's rear corner."""
    from libdamp.calculations import CALCULATIONS, read_request

    asked_for, _ = read_request(CALCULATIONS["ride"], {"corner": demo_data("demo-truck")["car"]["rear"]})
    return pack(asked_for.corner)  # type: ignore[attr-defined]


def rows() -> list[Row]:
    """Addresses with the numbers that the library gives for them."""
    standing = calculate("ride", front())
    checked = calculate("check", setup_data("demo-truck"))
    planned = calculate("plan", setup_data("demo-truck"))
    stiff = calculate("ride", front(spring__rate_n_mm="2.2 lbf/in"))
    comma = calculate("ride", front(spring__rate_n_mm=0.43, shock__piston__holes="3x1.4"))
    rear = calculate("ride", {"corner": demo_data("demo-truck")["car"]["rear"]})
    at = "ride?setup=demo-truck.front"
    return [
        Row(f"{at}&only=frequency_hz", standing["frequency_hz"]),
        Row(f"{at}&only=first_stop", standing["first_stop"]),
        Row(f"{at}&only=findings", codes(standing)),
        Row("check?setup=demo-truck&only=front.ride.frequency_hz", checked["front"]["ride"]["frequency_hz"]),
        Row("check?setup=demo-truck&only=findings", codes(checked)),
        Row(f"plan?setup=demo-truck&only={BUILD}.frequency_hz", planned["builds"][0]["front"]["frequency_hz"]),
        Row(f"plan?setup=demo-truck&only={BUILD}.preload_mm", planned["builds"][0]["front"]["preload_mm"]),
        Row(f"{at}&spring.rate_n_mm=2.2%20lbf/in&only=bump_travel_mm", stiff["bump_travel_mm"]),
        Row(f"{at}&spring.rate_n_mm=2.2 lbf/in&only=frequency_hz", stiff["frequency_hz"]),
        Row(f"{at}&piston.holes=3x1,4&spring.rate_n_mm=0,43&only={RATIO}", comma[RATIO]),
        Row(f"{at}&piston.holes=3x1.4&only={RATIO}&spring.rate_n_mm=", comma[RATIO], 0.43),
        Row(f"ride?setup={token()}&only=droop_travel_mm", rear["droop_travel_mm"]),
        Row("convert?value=38 gf/mm&to=lbf/in&only=value", calculate("convert", CONVERTED)["value"]),
        Row(f"{at}&spring.rate=0.4&only=frequency_hz", "error: spring.rate: unknown parameter; "),
        Row(f"{at}&shaft_mm=40&only=frequency_hz", "error: "),
        Row(f"{at}&only=frequenzy_hz", "error: only: no output 'frequenzy_hz'; "),
        Row("rode?only=x", "error: unknown calculation 'rode'; "),
    ]


BUILD = "builds.0.front"
RATIO = "damping_ratio_compression"
CONVERTED = {"value": "38 gf/mm", "to": "lbf/in"}


def codes(answer: dict[str, Any]) -> str:
    """Findings of an answer as a cell shows them."""
    return " ".join(dict.fromkeys(f["code"] for f in answer["findings"])) or "ok"


def shown_cells(cells: dict[str, Any], locale: str) -> dict[str, Any]:
    """What a real LibreOffice shows for cells."""
    program("soffice")
    done = run([program("/usr/bin/python3"), HERE / "calc_cells.py", locale], given=json.dumps(cells), seconds=150)
    assert done.returncode == 0, done.stderr
    shown: dict[str, Any] = json.loads(done.stdout)
    return shown


@pytest.mark.parametrize("locale", list(LOCALES))
def test_cells_show_the_numbers_of_the_library(service: Service, locale: str) -> None:
    """A number is a number, a text a text, an error a reason; whatever the decimal mark of the sheet."""
    wanted = rows()
    cells: dict[str, Any] = {"D1": 0.5, "E1": '=""&D1'}
    for place, row in enumerate(wanted, 1):
        cells[f"A{place}"] = f"{service.address}/v1/cell/{row.address}"
        if row.value is not None:
            cells[f"C{place}"] = row.value
        cells[f"B{place}"] = SHEET_FORMULA.format(u=f"A{place}&C{place}" if row.value is not None else f"A{place}")
    shown = shown_cells(cells, locale)
    assert shown["E1"]["shown"] == f"0{LOCALES[locale]}5"
    for place, row in enumerate(wanted, 1):
        cell = shown[f"B{place}"]
        assert cell["error"] == 0, (row.address, cell)
        if isinstance(row.wanted, str):
            assert cell["number"] is None, (row.address, cell)
            assert cell["shown"].startswith(row.wanted), (row.address, cell)
        else:
            assert cell["number"] == pytest.approx(row.wanted, rel=1e-13, abs=0), (row.address, cell)


def test_cell_that_asks_again_gets_the_same(service: Service) -> None:
    """An address answers HEAD with nothing and GET with the number, as often as it is asked."""
    path = "/v1/cell/ride?setup=demo-truck.front&only=frequency_hz&v=1"
    head, first, second = (asked(service.port, method, path) for method in ("HEAD", "GET", "GET"))
    assert (head.status, head.body) == (200, b"")
    assert first.body == second.body == repr(calculate("ride", front())["frequency_hz"]).encode()
