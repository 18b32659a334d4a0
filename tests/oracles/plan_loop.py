"""One corner at rest by plain loops: the written formulas in floats, a root by Brent's method, no arrays.

Written from the formulas alone: silicone law and density, creeping flow through holes and gap, the triangle of
the mounts by the law of cosines, an isothermal pocket, force balance by scipy.optimize.brentq, two masses by
the quadratic formula. Takes plain data with every part spelled out in millimetres and grams, as in a car file.
"""

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from scipy.optimize import brentq

G_N, P_ATM = 9.80665, 101_325.0
Data = Mapping[str, Any]

GRADES = ((10, 935), (20, 950), (50, 960), (100, 965), (350, 970), (1000, 971), (10_000, 975))
"""Density of silicone grades at 25 C, kg/m3, straight lines in log viscosity between them."""


def oil_at(oil: Data, celsius: float) -> tuple[float, float]:
    """Kinematic viscosity m2/s and density kg/m3 of a silicone oil graded at 25 C."""
    grade, t = oil["viscosity_cst"], celsius + 273.15
    nu = grade * 1e-6 * 10.0 ** (763.0 * (1.0 / t - 1.0 / 298.15))
    return nu, _grade_density(grade) / (1.0 + 9.4e-4 * (celsius - 25.0))


def _grade_density(grade: float) -> float:
    for (low, rho_low), (high, rho_high) in pairwise(GRADES):
        if low <= grade <= high:
            return rho_low + (rho_high - rho_low) * math.log(grade / low) / math.log(high / low)
    message = f"no printed density for {grade} cSt"
    raise ValueError(message)


def holes_of(text: str) -> list[tuple[int, float]]:
    """Kinds of holes of "2x1.7+4x1.0", all open both ways."""
    kinds = [kind.split("x") for kind in text.split("+")]
    return [(int(count), float(diameter)) for count, diameter in kinds]


def slow_damping(shock: Data, piston: Data, oil: Data, celsius: float) -> float:
    """Damping coefficient at the shock as v -> 0, N s/m: holes and gap side by side."""
    nu, rho = oil_at(oil, celsius)
    mu, bore, shaft = nu * rho, shock["bore_mm"] * 1e-3, shock["shaft_mm"] * 1e-3
    thick, kinds = piston["thickness_mm"] * 1e-3, holes_of(piston["holes"])
    share = sum(count * diameter**2 for count, diameter in kinds) * 1e-6 / bore**2
    conductance = 0.0
    for count, diameter in kinds:
        d = diameter * 1e-3
        resistance = mu / d * (18.56 - 6.6 * share**1.5 + 32.0 * thick / d)
        conductance += count * math.pi * d**2 / 4.0 / resistance
    if piston["diameter_mm"] is not None:
        c = (bore - piston["diameter_mm"] * 1e-3) / 2.0
        conductance += math.pi * bore * c**3 / (12.0 * mu * thick)
    annulus = math.pi / 4.0 * (bore**2 - shaft**2)
    return annulus**2 / conductance


class Mounts(NamedTuple):
    """The triangle of hinge pin, lower and upper mount, m and rad."""

    arm: float
    lower: float
    upper: float
    angle: float  # between the two mounts as seen from the hinge pin, arms level

    def at(self, travel: float) -> tuple[float, float, float]:
        """Length, motion ratio and its slope: L^2 = l^2 + u^2 - 2 l u cos(angle - t), z = arm sin t."""
        t = math.asin(travel / self.arm)
        open_angle, product = self.angle - t, self.lower * self.upper
        length = math.sqrt(self.lower**2 + self.upper**2 - 2.0 * product * math.cos(open_angle))
        swing = product * math.sin(open_angle) / length  # -dL/dt
        bend = -product * math.cos(open_angle) / length + swing**2 / length  # its derivative by t
        cosine = math.cos(t)
        slope = (bend / cosine + swing * math.sin(t) / cosine**2) / (self.arm**2 * cosine)
        return length, swing / (self.arm * cosine), slope

    def travel(self, length: float) -> float:
        """Wheel travel at a shock length."""
        cosine = (self.lower**2 + self.upper**2 - length**2) / (2.0 * self.lower * self.upper)
        return self.arm * math.sin(self.angle - math.acos(cosine))


def mounts_of(linkage: Data) -> Mounts:
    """Triangle of a swinging arm."""
    a, b = linkage["lower_mount_along_mm"], linkage["lower_mount_above_mm"]
    out, up = linkage["upper_mount_out_mm"], linkage["upper_mount_up_mm"]
    angle = math.atan2(up, out) - math.atan2(b, a)
    return Mounts(linkage["arm_length_mm"] * 1e-3, math.hypot(a, b) * 1e-3, math.hypot(out, up) * 1e-3, angle)


class Gas(NamedTuple):
    """A sealed pocket at rest, SI; the oil's gain on warming already taken off."""

    closed: float
    closing: float
    area: float
    heat: float  # absolute temperature over that at closing
    gain: float

    def force(self, insertion: float) -> tuple[float, float]:
        """Force on the shaft and its rate, isothermal."""
        room = self.closed - self.area * (insertion - self.closing) - self.gain
        pressure = P_ATM * self.closed / room * self.heat
        return (pressure - P_ATM) * self.area, pressure * self.area**2 / room


def gas_of(shock: Data, piston: Data, celsius: float, filled_c: float) -> Gas:
    """Pocket of a bladder filled at one temperature, used at another."""
    fill, area = shock["fill"], math.pi / 4.0 * shock["shaft_mm"] ** 2
    across = shock["bore_mm"] if piston["diameter_mm"] is None else piston["diameter_mm"]
    oil_mm3 = (
        math.pi / 4.0 * shock["bore_mm"] ** 2 * shock["cavity_length_mm"]
        - math.pi / 4.0 * across**2 * piston["thickness_mm"]
        - area * fill["closing_insertion_mm"]
    )
    return Gas(
        fill["gas_ml"] * 1e-6,
        fill["closing_insertion_mm"] * 1e-3,
        area * 1e-6,
        (celsius + 273.15) / (filled_c + 273.15),
        9.4e-4 * oil_mm3 * 1e-9 * (celsius - filled_c),
    )


class Standing(NamedTuple):
    """What a corner does at rest; lengths mm, rates N/mm."""

    level_preload_mm: float
    shock_force_n: float
    spring_force_n: float
    gas_force_n: float
    travel_mm: float
    droop_mm: float
    bump_mm: float
    wheel_rate: float
    frequency_hz: float
    with_tyre_hz: float
    hop_hz: float
    damping_ratio: float
    drag_band_mm: float
    bind_margin_mm: float | None


def level_preload(corner: Data, spring: Data, limiter_mm: float, gas: Gas) -> tuple[float, float, float, float]:
    """Preload for level arms, mm, and the forces of shock, spring and gas there."""
    length, ratio, _ = mounts_of(corner["linkage"]).at(0.0)
    insertion = corner["shock"]["extended_length_mm"] - 1e3 * length
    total = corner["sprung_mass_g"] * 1e-3 * G_N / ratio
    pushed = gas.force(insertion * 1e-3)[0]
    preload = (total - pushed) / spring["rate_n_mm"] - (insertion - limiter_mm)
    return preload, total, total - pushed, pushed


def binding(shock: Data, spring: Data, limiter: float, preload: float) -> tuple[float | None, float | None]:
    """Spring length left with the shaft fully in, and the insertion at which the coils touch, mm."""
    if spring.get("block_length_mm") is None:
        return None, None
    block = spring["free_length_mm"] - spring["block_length_mm"]
    return block - (preload + shock["stroke_mm"] - limiter), limiter + block - preload


def pushing(
    z: float, corner: Data, build: Data, mounts: Mounts, gas: Gas, preload: float
) -> tuple[float, float, float, float]:
    """Force and rate of spring and gas at a wheel travel, the motion ratio and its slope."""
    length, ratio, slope = mounts.at(z)
    insertion = corner["shock"]["extended_length_mm"] - 1e3 * length
    squeeze, stiff = preload + insertion - build["limiter_mm"], build["spring"]["rate_n_mm"]
    pushed, gas_rate = gas.force(insertion * 1e-3)
    rate = 1e3 * stiff if squeeze >= 0.0 else 0.0
    return stiff * max(0.0, squeeze) + pushed, rate + gas_rate, ratio, slope


def stand(corner: Data, build: Data, celsius: float, preload_mm: float | None) -> Standing | str:
    """A corner with a build {spring, oil, piston, limiter_mm}; a word where it finds no rest between its stops."""
    shock, spring, limiter = corner["shock"], build["spring"], build["limiter_mm"]
    mounts, gas = mounts_of(corner["linkage"]), gas_of(shock, build["piston"], celsius, celsius)
    level = level_preload(corner, spring, limiter, gas)
    preload = level[0] if preload_mm is None else preload_mm
    weight, extended = corner["sprung_mass_g"] * 1e-3 * G_N, shock["extended_length_mm"]

    def shock_at(z: float) -> tuple[float, float, float, float]:
        return pushing(z, corner, build, mounts, gas, preload)

    def excess(z: float) -> float:
        force, _, ratio, _ = shock_at(z)
        return force * ratio - weight

    low = mounts.travel((extended - limiter) * 1e-3)
    high = mounts.travel((extended - shock["stroke_mm"]) * 1e-3)
    if excess(low) > 0.0 or excess(high) < 0.0:
        return "topped_out" if excess(low) > 0.0 else "no_equilibrium"
    z = brentq(excess, low, high, xtol=1e-16, rtol=9e-16)
    force, rate, ratio, slope = shock_at(z)
    wheel_rate = rate * ratio**2 + force * slope
    margin, bind = binding(shock, spring, limiter, preload)
    stops = [1e3 * high, corner["level_clearance_mm"]]
    if bind is not None:
        stops.append(1e3 * mounts.travel((extended - bind) * 1e-3))
    damping = slow_damping(shock, build["piston"], build["oil"], celsius) * ratio**2
    sprung, (body, hop) = corner["sprung_mass_g"] * 1e-3, two_masses(corner, wheel_rate)
    return Standing(
        *level,
        travel_mm=1e3 * z,
        droop_mm=1e3 * (z - low),
        bump_mm=min(stops) - 1e3 * z,
        wheel_rate=1e-3 * wheel_rate,
        frequency_hz=math.sqrt(wheel_rate / sprung) / (2.0 * math.pi),
        with_tyre_hz=body,
        hop_hz=hop,
        damping_ratio=damping / (2.0 * math.sqrt(wheel_rate * sprung)),
        drag_band_mm=1e3 * shock["seal_drag_n"] * ratio / wheel_rate,
        bind_margin_mm=margin,
    )


def two_masses(corner: Data, wheel_rate: float) -> tuple[float, float]:
    """Body and wheel frequency, Hz, from the quadratic in w^2."""
    ms, mu = corner["sprung_mass_g"] * 1e-3, corner["unsprung_mass_g"] * 1e-3
    kt = corner["tyre"]["rate_n_mm"] * 1e3
    half = ((wheel_rate + kt) / mu + wheel_rate / ms) / 2.0
    root = math.sqrt(half**2 - wheel_rate * kt / (ms * mu))
    return math.sqrt(half - root) / (2.0 * math.pi), math.sqrt(half + root) / (2.0 * math.pi)
