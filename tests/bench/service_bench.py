"""CPU time of a request through the service, each figure beside a bare handler of the same run."""

import asyncio
import functools
import time
from collections.abc import Awaitable, Callable
from typing import Any

import msgspec
from litestar import Litestar, Request, Response, get, post

from libdamp.answers import calculation
from libdamp.calculations import CALCULATIONS, Calculation, calculate
from libdamp.demo import demo_corner
from libdamp.packing import pack
from service import work
from service.app import create_app
from service.guard import Guard
from service.settings import Settings
from tests.service.asgi import Answered, App, ask

TIMES, ROUNDS = 300, 7
CORNER = demo_corner("demo-truck.front")
REQUEST = {"corner": msgspec.to_builtins(CORNER), "temperature_c": 31.0, "collar_step_mm": 0.5}
BODY = msgspec.json.encode(REQUEST)
JSON = {"content-type": "application/json", "content-length": str(len(BODY))}


def cpu(*calls: Callable[[], Awaitable[Any]]) -> list[float]:
    """Least CPU time of each of some calls, s, taken in turns on one event loop."""

    async def timed() -> list[float]:
        least = [float("inf")] * len(calls)
        for _ in range(ROUNDS):
            for i, call in enumerate(calls):
                start = time.process_time()
                for _ in range(TIMES):
                    await call()
                least[i] = min(least[i], (time.process_time() - start) / TIMES)
        return least

    return asyncio.run(timed())


def _asking(app: Any, method: str, path: str, **more: Any) -> Callable[[], Awaitable[Answered]]:
    guarded: App = app

    async def call() -> Answered:
        answer = await ask(guarded, method, path, **more)
        assert answer.status == 200
        assert not answer.body.startswith(b"error")
        return answer

    return call


def _constant(entry: Calculation) -> Calculation:
    """The calculation without its physics: validation and envelope stay, the answer is always the same."""
    made = msgspec.convert(calculate(entry.name, REQUEST), entry.answer)
    physics: Any = entry.function.__wrapped__  # type: ignore[attr-defined]

    @functools.wraps(physics)
    def constant(**_: Any) -> Any:
        return made

    return Calculation(entry.name, calculation("springs_fly")(constant), entry.meaning)


def _bare(answer: msgspec.Struct, request: type[msgspec.Struct]) -> Litestar:
    """A service of the least: a POST that decodes and encodes, a GET of a constant."""
    decoder = msgspec.json.Decoder(request)

    @post("/bare", status_code=200)
    async def bare_post(request: Request[Any, Any, Any]) -> Response[bytes]:
        decoder.decode(await request.body())
        return Response(msgspec.json.encode(answer), media_type="application/json")

    @get("/bare", sync_to_thread=False)
    def bare_get() -> Response[str]:
        return Response("4.0343495028680785", media_type="text/plain")

    return Litestar([bare_post, bare_get], openapi_config=None, logging_config=None)


def bench_post() -> str:
    """POST of `ride` without its physics against the bare handler with the same payload."""
    real = CALCULATIONS["ride"]
    fixed = _constant(real)
    bare = _bare(calculation_answer(), real.request)
    app = create_app(Settings())
    CALCULATIONS["ride"] = fixed
    work._DECODERS.pop("ride", None)
    try:
        ours, least, guarded = cpu(
            _asking(app, "POST", "/v1/ride", headers=JSON, pieces=(BODY,)),
            _asking(bare, "POST", "/bare", headers=JSON, pieces=(BODY,)),
            _asking(Guard(app, 4096, 10.0, log=False), "POST", "/v1/ride", headers=JSON, pieces=(BODY,)),  # type: ignore[arg-type]
        )
    finally:
        CALCULATIONS["ride"] = real
        work._DECODERS.pop("ride", None)
    return (
        f"POST ride without physics: {1e6 * ours:.0f} us CPU, {least / ours:.2f} of a bare handler's pace "
        f"({1e6 * least:.0f} us; target 0.8); with the guard {1e6 * guarded:.0f} us, {least / guarded:.2f}"
    )


def bench_cell() -> str:
    """A cell with a token against the bare GET; what ride() itself takes is told beside it."""
    app = create_app(Settings())
    bare = _bare(calculation_answer(), CALCULATIONS["ride"].request)
    query = f"setup={pack(CORNER)}&spring.rate_n_mm=0.38&only=frequency_hz"
    real = CALCULATIONS["ride"]
    CALCULATIONS["ride"] = _constant(real)
    try:
        ours, least = cpu(_asking(app, "GET", "/v1/cell/ride", query=query), _asking(bare, "GET", "/bare"))
    finally:
        CALCULATIONS["ride"] = real
    (whole,) = cpu(_asking(app, "GET", "/v1/cell/ride", query=query))
    return (
        f"cell of ride with a token, without physics: {1e6 * ours:.0f} us CPU, {1e6 * (ours - least):.0f} us over "
        f"a bare GET ({1e6 * least:.0f} us; target 80 us over it); with physics {1e6 * whole:.0f} us"
    )


def calculation_answer() -> msgspec.Struct:
    """An answer of `ride`."""
    made: msgspec.Struct = CALCULATIONS["ride"].function(corner=CORNER)
    return made


def bench_service() -> list[str]:
    """All figures of the service, a line each."""
    return [bench_post(), bench_cell()]


if __name__ == "__main__":
    for line in bench_service():
        print(line)
