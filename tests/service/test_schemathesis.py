"""What the description promises is what the service does: requests made from the description, all checks.

200 requests of each kind for the quick calculations, 20 for the rest; `LIBDAMP_EXAMPLES=1000` makes it 1,000.
"""

import os

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings

from service.guard import Guard
from tests.service.conftest import small_app

SLOW = ("plan", "cell_plan")
EXAMPLES = int(os.environ.get("LIBDAMP_EXAMPLES", "0"))
CONFIG = {
    "checks": {
        "positive_data_acceptance": {"expected-statuses": ["2xx", "422"]},
        "negative_data_rejection": {"expected-statuses": ["400", "405", "406", "413", "415"]},
    },
    "operations": [
        {  # a cell tells everything, a wrong method too, as text with status 200
            "include-tag": "cells",
            "checks": {"negative_data_rejection": {"enabled": False}, "unsupported_method": {"enabled": False}},
        }
    ],
}
SCHEMA = schemathesis.openapi.from_asgi(
    "/openapi.json",
    Guard(small_app(), 4096, 10.0, log=False),  # type: ignore[arg-type]
    config=schemathesis.Config.from_dict(CONFIG),
)


def examples(number: int) -> settings:
    """Settings of a run of some requests an operation."""
    return settings(
        max_examples=EXAMPLES or number,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.explicit, Phase.generate],
    )


@SCHEMA.exclude(operation_id=list(SLOW)).parametrize()
@examples(200)
def test_quick(case: schemathesis.Case) -> None:
    """Every operation that takes a few milliseconds keeps its promises."""
    case.call_and_validate()


@SCHEMA.include(operation_id=list(SLOW)).parametrize()
@examples(20)
def test_slow(case: schemathesis.Case) -> None:
    """Long work keeps its promises; too much of it is refused."""
    case.call_and_validate()
