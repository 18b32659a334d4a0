"""What the description promises is what the service does: requests made from the description, all checks.

200 requests of each kind for the quick calculations, 8 for the rest; `LIBDAMP_EXAMPLES=1000` makes it 1,000.
"""

import os

import schemathesis

from service.guard import Guard
from service.work import LONG
from tests.service.conftest import small_app

SLOW = tuple(f"/v1/{door}{name}" for name in sorted(LONG) for door in ("", "cell/"))
"""Addresses of long work: a request takes more than 5 ms."""
EXAMPLES = int(os.environ.get("LIBDAMP_EXAMPLES", "0"))
CONFIG = {
    "generation": {"max-examples": EXAMPLES or 200, "no-shrink": bool(EXAMPLES)},
    "checks": {
        "positive_data_acceptance": {"expected-statuses": ["2xx", "422"]},
        "negative_data_rejection": {"expected-statuses": ["400", "405", "406", "413", "414", "415"]},
    },
    "operations": [
        # long work is walked through field by field in the long run only
        *(
            {
                "include-path": path,
                "generation": {"max-examples": EXAMPLES or 8},
                "phases": {"coverage": {"enabled": bool(EXAMPLES)}},
            }
            for path in SLOW
        ),
        {  # a cell tells everything, a wrong method too, as text with status 200
            "include-tag": "cells",
            "checks": {"negative_data_rejection": {"enabled": False}, "unsupported_method": {"enabled": False}},
        },
    ],
}
SCHEMA = schemathesis.openapi.from_asgi(
    "/openapi.json",
    Guard(small_app(), 4096, 10.0, log=False),  # type: ignore[arg-type]
    config=schemathesis.Config.from_dict(CONFIG),
)


@SCHEMA.parametrize()
def test_promises(case: schemathesis.Case) -> None:
    """Every operation keeps every promise of its description, and never fails."""
    case.call_and_validate()
