"""What the description promises is what the service does: requests made from the description, all checks.

25 requests of each kind for the quick calculations, 3 for the rest. `LIBDAMP_EXAMPLES=200` makes it 200 and 8, as
`.ci/run` does, and walks through the quick ones field by field; more than 200 through the rest too.
"""

import os
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from litestar.testing import TestClient

from service.guard import Guard
from service.work import LONG
from tests.service.conftest import small_app

pytestmark = pytest.mark.long

SLOW = tuple(f"/v1/{door}{name}" for name in sorted(LONG) for door in ("", "cell/"))
"""Addresses of long work: a request takes more than 5 ms."""
EXAMPLES = int(os.environ.get("LIBDAMP_EXAMPLES", "25"))
OF_LONG_WORK = max(3, EXAMPLES // 25)
WALK, WHOLE = EXAMPLES >= 200, EXAMPLES > 200
"""Whether requests are walked through field by field, and those of long work too."""
CONFIG = {
    "generation": {"max-examples": EXAMPLES, "no-shrink": WHOLE},
    "phases": {"coverage": {"enabled": WALK}, "examples": {"enabled": WALK}},
    "checks": {
        "positive_data_acceptance": {"expected-statuses": ["2xx", "422"]},
        "negative_data_rejection": {"expected-statuses": ["400", "405", "406", "413", "414", "415"]},
    },
    "operations": [
        *(
            {
                "include-path": path,
                "generation": {"max-examples": OF_LONG_WORK},
                "phases": {"coverage": {"enabled": WHOLE}},
            }
            for path in SLOW
        ),
        {  # a cell tells everything, a wrong method too, as text with status 200
            "include-tag": "cells",
            "checks": {"negative_data_rejection": {"enabled": False}, "unsupported_method": {"enabled": False}},
        },
    ],
}
APP = small_app()
GUARDED = Guard(APP, 4096, 10.0, log=False)


@pytest.fixture(scope="module", autouse=True)
def _started() -> Iterator[None]:
    """The application with its workers, started once."""
    with TestClient(APP):
        yield


async def running(scope: Any, receive: Any, send: Any) -> None:
    """The guarded application; that each operation would start and end it anew is only nodded at."""
    while scope["type"] == "lifespan":
        kind = (await receive())["type"]
        await send({"type": f"{kind}.complete"})
        if kind == "lifespan.shutdown":
            return
    await GUARDED(scope, receive, send)


SCHEMA = schemathesis.openapi.from_asgi(
    "/openapi.json",
    running,
    config=schemathesis.Config.from_dict(CONFIG),
)


@SCHEMA.parametrize()
def test_promises(case: schemathesis.Case) -> None:
    """Every operation keeps every promise of its description, and never fails."""
    case.call_and_validate()
