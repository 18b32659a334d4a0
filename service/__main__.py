"""Run the service, or write its description.

python -m service [--host H] [--port P] [--workers N] [--metrics] [--quiet]
python -m service --write-openapi openapi     openapi.json, worked examples, names of the cells
"""

import argparse
import os
import socket
import sys
from pathlib import Path

from .settings import Settings, from_environment, to_environment


def write_openapi(folder: Path) -> None:
    """Write openapi.json, a worked request and answer for every calculation, and the names of the cells."""
    from libdamp.calculations import CALCULATIONS, calculate

    from .cell_door import NAMES_OF_CELLS
    from .examples import example_request
    from .openapi import document, written

    examples = folder / "examples"
    examples.mkdir(parents=True, exist_ok=True)
    (folder / "openapi.json").write_text(written(document()), encoding="utf-8")
    for name in CALCULATIONS:
        request = example_request(name)
        (examples / f"{name}.request.json").write_text(written(request), encoding="utf-8")
        (examples / f"{name}.answer.json").write_text(written(calculate(name, request)), encoding="utf-8")
    names = folder / "cell_names.json"
    known: dict[str, list[str]] = {}
    if names.exists():
        import json

        known = json.loads(names.read_text(encoding="utf-8"))
    for name, own in NAMES_OF_CELLS.items():
        known[name] = [*known.get(name, []), *(n for n in own if n not in known.get(name, []))]
    names.write_text(written(known), encoding="utf-8")


def port_is_free(host: str, port: int) -> bool:
    """Tell whether the port can be listened on."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
    return True


def arguments(settings: Settings) -> argparse.Namespace:
    """Flags; the environment gives their defaults."""
    what = "libdamp over HTTP, on this machine."
    parser = argparse.ArgumentParser(prog=f"python -m {__package__}", description=what)
    parser.add_argument("--host", default=settings.host, help="address to listen on (127.0.0.1: this machine only)")
    parser.add_argument("--port", type=int, default=settings.port)
    parser.add_argument("--workers", type=int, default=settings.workers, help="processes that answer")
    parser.add_argument("--metrics", action="store_true", default=settings.metrics, help="serve /metrics")
    parser.add_argument("--quiet", action="store_true", help="no log line a request")
    parser.add_argument("--write-openapi", type=Path, metavar="FOLDER", help="write the description and end")
    return parser.parse_args()


def main() -> int:
    """Exit code: 0, or 2 after one clear sentence."""
    try:
        settings = from_environment()
    except ValueError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    flags = arguments(settings)
    if flags.write_openapi is not None:
        write_openapi(flags.write_openapi)
        return 0
    import msgspec

    settings = msgspec.structs.replace(
        settings,
        host=flags.host,
        port=flags.port,
        workers=flags.workers,
        metrics=flags.metrics,
        log=settings.log and not flags.quiet,
    )
    if not port_is_free(settings.host, settings.port):
        sys.stderr.write(
            f"Port {settings.port} on {settings.host} cannot be used; another program may have it. "
            f"Stop that program, or type --port {settings.port + 1}\n"
        )
        return 2
    from .server import serve

    os.environ.update(to_environment(settings))
    serve(settings)
    return 0


if __name__ == "__main__":
    sys.exit(main())
