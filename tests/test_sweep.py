"""`sweep` at its doors: addresses, faults, order, progress, executors, and what it carries along."""

import copy
import pickle
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from typing import Any

import pytest

import libdamp
from libdamp import repeating
from libdamp.calculations import CALCULATIONS
from tests.plain_requests import SWEEP, Data, corner, put, shock

RIDE: Data = {
    "calculation": "ride",
    "request": {"corner": corner(), "collar_step_mm": 0.5},
    "over": [{"path": "spring.rate_n_mm", "values": [0.3, 0.4]}],
    "only": ["frequency_hz"],
}


def faults(request: Data, name: str = "sweep") -> list[tuple[str, str]]:
    """Pointer and rule of every fault of a request."""
    with pytest.raises(libdamp.InputError) as caught:
        libdamp.calculate(name, request)
    return [(fault.pointer, fault.rule) for fault in caught.value.faults]


@pytest.mark.parametrize(
    "path", ["oil.viscosity_cst", "corner.shock.oil.viscosity_cst", "/corner/shock/oil/viscosity_cst"]
)
def test_ways_to_name_a_field(path: str) -> None:
    """An address, a whole path and a JSON pointer name the same field."""
    over = [{"path": path, "values": [200, 400]}]
    answer = libdamp.calculate("sweep", {**RIDE, "over": over, "only": ["damping_ratio_compression"]})
    swept, found = answer["columns"]
    assert swept == {"path": path, "unit": "cSt", "values": [200.0, 400.0]}
    wanted = [
        libdamp.calculate("ride", {"corner": put(corner(), "shock.oil.viscosity_cst", cst)}) for cst in (200, 400)
    ]
    assert found["values"] == [one["damping_ratio_compression"] for one in wanted]


def test_inside_a_list_given_as_text() -> None:
    """A hole's diameter is reached though the holes are a text; a place that there is not is the row's fault."""
    data = put({"shock": shock(), "speeds_m_s": [0.1]}, "shock.piston.holes", "2x1.7+4x1")
    only = ["compression_n.0"]
    for place, failed in (("1", 0), ("2", 1)):
        over = [{"path": f"shock.piston.holes.{place}.diameter_mm", "values": [1.2]}]
        answer = libdamp.calculate(
            "sweep", {"calculation": "damping_curve", "request": data, "over": over, "only": only}
        )
        assert answer["failed"] == failed
    assert "the list has places 0 to 1" in answer["errors"][0]


@pytest.mark.parametrize(
    ("path", "text", "plain"),
    [
        ("spring", "0.4 N/mm", {"rate_n_mm": 0.4}),
        ("corner.spring.rate_n_mm", "2.2 lbf/in", "2.2 lbf/in"),
        ("corner.spring.rate_n_mm", "0,4", 0.4),
        ("shock.piston.holes", "3x1.4", "3x1.4"),
    ],
)
def test_texts(path: str, text: str, plain: Any) -> None:
    """A text is read as in a log: a part, a number with its unit, a decimal comma."""
    whole = {"spring": "corner.spring", "shock.piston.holes": "corner.shock.piston.holes"}.get(path, path)
    over = [{"path": whole, "values": [text]}]
    answer = libdamp.calculate("sweep", {**RIDE, "over": over})
    single = libdamp.calculate("ride", put(RIDE["request"], whole, plain))
    assert answer["columns"][0]["values"] == [text]
    assert answer["columns"][1]["values"] == [single["frequency_hz"]]


def test_lists_and_flags_as_texts() -> None:
    """Numbers with ':' between them are a list; 1 is yes."""
    wire = {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20}
    over = [{"path": "ground_ends", "values": ["0", "true"]}]
    asked = {"calculation": "spring_from_wire", "request": wire, "over": over, "only": ["block_length_mm"]}
    lengths = libdamp.calculate("sweep", asked)["columns"][1]["values"]
    assert lengths[0] != lengths[1]
    over = [{"path": "speeds_m_s", "values": ["0.05:0.1"]}]
    asked = {"calculation": "damping_curve", "request": {"shock": shock()}, "over": over, "only": ["speed_m_s.1"]}
    assert libdamp.calculate("sweep", asked)["columns"][1]["values"] == [0.1]


def test_all_faults_at_once() -> None:
    """Unknown fields and outputs are told together, with the nearest names."""
    over = [{"path": "oil.viscosity", "values": [1]}, {"path": "corner.shock.bor_mm", "values": [1]}]
    request = {**RIDE, "over": over, "only": ["frequency", "next_step", "findings", "frequency_hz.1", "findings.0"]}
    assert faults(request) == [
        ("/over/0/path", "address"),
        ("/over/1/path", "address"),
        ("/only/0", "output"),
        ("/only/1", "output"),
        ("/only/3", "output"),
        ("/only/4", "output"),
    ]
    with pytest.raises(libdamp.InputError, match=r"did you mean 'oil\.viscosity_cst'"):
        libdamp.calculate("sweep", request)
    with pytest.raises(libdamp.InputError, match="did you mean 'frequency_hz'"):
        libdamp.calculate("sweep", request)


@pytest.mark.parametrize("name", ["rides", "sweep", "tolerance", ""])
def test_no_such_calculation(name: str) -> None:
    """An unknown calculation is a fault of the request, and so is one that calls others itself."""
    assert faults({**RIDE, "calculation": name}) == [("/calculation", "calculation")]


def test_one_field_twice() -> None:
    """Two lists of one field, however it is named, are a fault."""
    over = [
        {"path": "oil.viscosity_cst", "values": [1]},
        {"path": "/corner/shock/oil/viscosity_cst", "values": [2]},
    ]
    assert faults({**RIDE, "over": over}) == [("/over/1/path", "twice")]


def test_bounds() -> None:
    """10,000 rows and not one more; ten minutes of work and no more; the text names the bound."""
    many = [
        {"path": "temperature_c", "values": list(range(100))},
        {"path": "oil.viscosity_cst", "values": [325] * 101},
    ]
    oil = {"calculation": "oil_viscosity", "request": {"oil": "325 cst", "temperature_c": 1}, "only": ["findings"]}
    with pytest.raises(libdamp.TooCostly, match="10100 rows, at most 10000"):
        libdamp.calculate("sweep", {**oil, "over": many})
    slow = [{"path": "use.speed_m_s", "values": [6] * 201}]
    with pytest.raises(libdamp.TooCostly, match="at most 200 at once"):
        libdamp.calculate("sweep", {"calculation": "plan", "request": {}, "over": slow, "only": ["findings"]})


def test_costs_are_of_calculations() -> None:
    """The slow ones that a list of costs names exist; a calculation that is not listed is quick."""
    slow = {name for name, cost in repeating.COST_MS.items() if cost > repeating.USUAL_COST_MS}
    assert slow & set(CALCULATIONS) >= {"plan", "touch_height", "drop"}


def test_the_request_stays_as_it_is() -> None:
    """What the caller gave is not changed, and the answer holds none of it."""
    before = copy.deepcopy(SWEEP)
    libdamp.calculate("sweep", SWEEP)
    assert before == SWEEP


def test_what_is_carried_along() -> None:
    """Cautions of the calculation, and what was assumed, with its place in the outer request."""
    draft = {"shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}, "size": "1:10 truck"}
    over = [{"path": "fill_temperature_c", "values": [-500, 20]}]
    asked = {"calculation": "fill_check", "request": draft, "over": over, "only": ["spare_cold_ml"]}
    answer, single = libdamp.calculate("sweep", asked), libdamp.calculate("fill_check", draft)
    assert answer["cautions"] == single["cautions"]
    assert [one["path"] for one in answer["assumed"]] == [f"/request{one['path']}" for one in single["assumed"]]
    assert answer["errors"][0].startswith("/fill_temperature_c: ")
    assert answer["errors"][1] is None


def test_a_request_wrong_in_every_row() -> None:
    """A fault that no list mends stands in every row; nothing is assumed then."""
    answer = libdamp.calculate("sweep", {**RIDE, "request": {"corner": {}}})
    assert answer["failed"] == answer["rows"] == 2
    assert answer["assumed"] == []
    assert all("sprung_mass_g" in error for error in answer["errors"])


def test_texts_that_are_no_unicode() -> None:
    """Whatever a text quotes, the answer can be written."""
    over = [{"path": "oil", "values": ["\ud800"]}]
    oil = {"calculation": "oil_viscosity", "request": {"temperature_c": 1}, "over": over, "only": ["viscosity_cst"]}
    assert libdamp.calculate("sweep", oil)["failed"] == 1


class Posting(Executor):
    """An executor that sends everything as bytes, as another process would get it."""

    def __init__(self) -> None:
        self.sent = 0

    def submit(self, function: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Do it at once, on copies."""
        self.sent += 1
        work, given, named = pickle.loads(pickle.dumps((function, args, kwargs)))
        future: Future[Any] = Future()
        future.set_result(pickle.loads(pickle.dumps(work(*given, **named))))
        return future


def test_any_executor_gives_the_same() -> None:
    """Threads, or whatever sends work away, give what one process gives; work goes in chunks."""
    over = [{"path": "temperature_c", "values": list(range(60))}]
    request = {**RIDE, "over": over, "only": ["damping_ratio_rebound", "findings"]}
    alone = libdamp.calculate("sweep", request)
    posting = Posting()
    assert libdamp.calculate("sweep", request, executor=posting) == alone
    assert 1 < posting.sent < 60
    with ThreadPoolExecutor(2) as threads:
        assert libdamp.calculate("sweep", request, executor=threads) == alone


def test_progress() -> None:
    """Slow work is told row by row, in order, up to the end; a true answer stops it."""
    told: list[tuple[int, int]] = []
    over = [{"path": "height_mm", "values": [50, 100, 150]}]
    request = {"calculation": "drop", "request": {"corner": corner()}, "over": over, "only": ["peak_shock_n"]}
    libdamp.calculate("sweep", request, progress=lambda done, total: told.append((done, total)))
    assert told == [(1, 3), (2, 3), (3, 3)]
    seen: list[int] = []

    def stop(done: int, total: int) -> bool:  # noqa: ARG001 - called with both
        seen.append(done)
        return done >= 2

    with pytest.raises(libdamp.Cancelled):
        libdamp.calculate("sweep", request, progress=stop)
    assert seen == [1, 2]


def test_typed() -> None:
    """The typed function takes Structs, and finds the calculations by itself."""
    over = (libdamp.Over(path="temperature_c", values=(25.0, 40.0)),)
    answer = libdamp.sweep(
        calculation="oil_viscosity", request={"oil": {"viscosity_cst": 325}}, over=over, only=("viscosity_cst",)
    )
    assert isinstance(answer, libdamp.Sweep)
    assert answer.columns[1].values[0] == 325.0


def test_without_a_list_of_calculations() -> None:
    """Below the list of calculations nothing is known by name."""
    from libdamp.sweeping import sweep

    with pytest.raises(libdamp.InputError, match="no list of calculations"):
        sweep(calculation="ride", request={}, over=RIDE["over"], only=("frequency_hz",))
