"""Check values of `match`: a separate evaluation by general root-finders, tests/oracles/same_damping.py."""

from tests.check_values.table import Row
from tests.oracles.same_damping import Plain, as_request, hole_and_oil, oil_alone

ALONE = "slow coefficients set equal by scipy.optimize.brentq on the written creeping loss, tests/oracles"
BOTH = "both forces set equal by scipy.optimize.fsolve on the written loss, tests/oracles"
ROUND_OFF = "the same equations, other root-finders: round-off"
RHO = 970.0

TRUCK = Plain(12e-3, 3e-3, 11.9e-3, 2.4e-3, ((2, 1.7e-3),), 325e-6 * RHO, RHO)
LARGER = Plain(13e-3, 3.5e-3, 12.9e-3, 2.4e-3, ((2, 1.7e-3),), 325e-6 * RHO, RHO)
FOUR = Plain(13e-3, 3.5e-3, 13e-3, 3.0e-3, ((4, 1.2e-3),), 200e-6 * RHO, RHO)
MIXED = Plain(12e-3, 3e-3, 11.8e-3, 2.4e-3, ((2, 1.5e-3), (3, 1.1e-3)), 325e-6 * RHO, RHO)
PAIRS = ((TRUCK, LARGER), (TRUCK, FOUR), (LARGER, TRUCK), (TRUCK, MIXED), (MIXED, FOUR))


def _alone_row(reference: Plain, candidate: Plain) -> Row:
    return Row(
        model="match",
        inputs={"reference": as_request(reference), "candidate": as_request(candidate)},
        pick="dynamic_mpa_s",
        expected=lambda: 1e3 * oil_alone(reference, candidate),
        source=ALONE,
        kind="independent",
        tolerance=1e-12,
        reason=ROUND_OFF,
    )


def _rows(reference: Plain, candidate: Plain, speeds: tuple[float, float]) -> list[Row]:
    request = {
        "reference": as_request(reference),
        "candidate": as_request(candidate),
        "free": ["oil", "hole"],
        "speeds_m_s": list(speeds),
    }

    def factor() -> float:
        return 1e3 * candidate.kinds[0][1] * hole_and_oil(reference, candidate, speeds)[0]

    def viscosity() -> float:
        return 1e6 * hole_and_oil(reference, candidate, speeds)[1] / candidate.density

    def alone_fast() -> float:
        made = candidate.changed(1.0, oil_alone(reference, candidate))
        return made.force(speeds[1]) / reference.force(speeds[1])

    def middle() -> float:
        """Largest deviation over a hundred speeds, each by itself."""
        made = candidate.changed(*hole_and_oil(reference, candidate, speeds))
        steps = [speeds[0] * (speeds[1] / speeds[0]) ** (i / 100.0) for i in range(101)]
        return max(abs(made.force(v) / reference.force(v) - 1.0) for v in steps)

    wanted = {
        "holes_mm.0": (factor, 1e-9),
        "viscosity_cst": (viscosity, 1e-9),
        "oil_alone_high_speed_ratio": (alone_fast, 1e-11),
        "curve_deviation": (middle, 1e-7),
    }
    return [
        Row(
            model="match",
            inputs=request,
            pick=pick,
            expected=expected,
            source=f"{BOTH}, {speeds[0]:g} and {speeds[1]:g} m/s",
            kind="independent",
            tolerance=tolerance,
            reason=ROUND_OFF,
        )
        for pick, (expected, tolerance) in wanted.items()
    ]


ROWS = [
    *(_alone_row(*pair) for pair in PAIRS),
    *(row for pair in PAIRS for row in _rows(*pair, (0.02, 0.5))),
    *_rows(TRUCK, LARGER, (0.05, 2.0)),
]
