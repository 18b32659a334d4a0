"""The application: routes from the list of calculations, one shape for every problem."""

import logging
import sys
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import msgspec
from litestar import Litestar, Request, Response, get, route
from litestar.config.cors import CORSConfig
from litestar.datastructures import State
from litestar.static_files import create_static_files_router

from libdamp import __version__
from libdamp.answers import MODEL_REVISION
from libdamp.calculations import CALCULATIONS

from .cell_door import PREFIX, cell_routes, error_text, is_cell, text_response
from .guard import App, Guard
from .json_door import JSON, calculation_route, catalogue, make_setup, read_setup
from .openapi import document
from .pool import Pool
from .problems import MEDIA_TYPE, encoded, headers_of, problem_of
from .settings import Settings, from_environment

STATIC = Path(__file__).parent / "static"
AnyRequest = Request[Any, Any, Any]
_log = logging.getLogger("libdamp.service")


def on_error(request: AnyRequest, error: Exception) -> Response[Any]:
    """Problem of an exception; text where a cell asks."""
    found = problem_of(error)
    if found.status >= 500 and found.status != 503:
        log_failure(error)
    if is_cell(request.url.path):
        return text_response(error_text(error))
    return Response(encoded(found), status_code=found.status, media_type=MEDIA_TYPE, headers=headers_of(error))


def log_failure(error: BaseException) -> None:
    """Log a failure of the service itself, without the request's body."""
    _log.error("failure", exc_info=(type(error), error, error.__traceback__))


@get("/health", sync_to_thread=False)
def health() -> dict[str, str]:
    """The process is up."""
    return {"status": "up"}


@get("/version", sync_to_thread=False)
def version() -> dict[str, str | int]:
    """Version of library and model."""
    return {"version": __version__, "model_revision": MODEL_REVISION}


@get("/docs", sync_to_thread=False)
def docs() -> Response[bytes]:
    """Interactive page on all addresses; works offline."""
    return Response((STATIC / "docs.html").read_bytes(), media_type="text/html")


def _ready_route(pool: Pool) -> Any:
    @get("/ready", sync_to_thread=False)
    def ready() -> Response[dict[str, str]]:
        """The pool is warm."""
        return Response({"status": "ready" if pool.ready else "starting"}, status_code=200 if pool.ready else 503)

    return ready


def _openapi_route() -> Any:
    body = msgspec.json.encode(document())

    @get("/openapi.json", sync_to_thread=False)
    def openapi() -> Response[bytes]:
        """The description of this service."""
        return Response(body, media_type=JSON)

    return openapi


def _options_route(path: str, *methods: str) -> Any:
    """OPTIONS of an address with several handlers: Litestar's own would name the first one's methods only."""

    @route(path, http_method="OPTIONS", status_code=204, sync_to_thread=False)
    def options() -> Response[None]:
        """Which methods the address takes."""
        return Response(None, status_code=204, headers={"allow": ", ".join((*methods, "OPTIONS"))})

    return options


def _lifespan(pool: Pool) -> Callable[[Litestar], Any]:
    @asynccontextmanager
    async def life(_: Litestar) -> AsyncIterator[None]:
        await pool.start()
        try:
            yield
        finally:
            await pool.stop()

    return life


def create_app(settings: Settings | None = None) -> Litestar:
    """Application with some settings."""
    settings = settings or Settings()
    if settings.most_builds:
        import libdamp.grid

        libdamp.grid.MOST_BUILDS = settings.most_builds
    pool = Pool(settings.pool_workers, settings.pool_queue, settings.pool_seconds, settings.most_builds)
    routes = [calculation_route(entry, pool) for entry in CALCULATIONS.values()]
    origins = list(settings.cors_origins)
    cors = CORSConfig(allow_origins=origins, allow_methods=["GET", "POST"]) if origins else None
    return Litestar(
        route_handlers=[
            _options_route("/v1/setup", "GET", "POST"),  # before the handlers of its address
            _options_route(f"{PREFIX}/{{name:path}}", "GET", "HEAD"),
            *routes,
            *cell_routes(pool),
            catalogue,
            make_setup,
            read_setup,
            health,
            version,
            docs,
            _ready_route(pool),
            _openapi_route(),
            create_static_files_router(path="/static", directories=[STATIC]),
        ],
        exception_handlers={Exception: on_error},
        request_max_body_size=settings.body_bytes,
        cors_config=cors,
        openapi_config=None,
        logging_config=None,
        lifespan=[_lifespan(pool)],
        state=State({"log_failure": log_failure}),
    )


def served() -> App:
    """Application with the settings of the environment, guarded; what the server runs."""
    settings = from_environment()
    logging.basicConfig(stream=sys.stderr, level=logging.WARNING)
    guarded: App = Guard(
        create_app(settings),  # type: ignore[arg-type]
        settings.address_bytes,
        settings.read_seconds,
        settings.log,
    )
    if settings.metrics:
        from .metrics import Metrics

        guarded = Metrics(guarded)
    return guarded
