"""Two set-ups side by side, a second time: single calculations, one plain set-up after another."""

from typing import Any

import libdamp

Data = dict[str, Any]
Figures = dict[str, float]


def figures(one: Data, use: Data, celsius: float, fall_mm: float) -> Figures:
    """Headline figures of a corner by the single calculations."""
    at: Data = {"corner": one, "temperature_c": celsius}
    road = {name: use[name] for name in ("bump_height_mm", "bump_spacing_mm", "speed_m_s")}
    stands, lands = libdamp.calculate("ride", at), libdamp.calculate("drop", {**at, "height_mm": fall_mm})
    runs, back = (
        libdamp.calculate("bumps", {**at, **road}),
        libdamp.calculate("push_release", {**at, "push_mm": 10}),
    )
    fill = libdamp.calculate("fill_check", {"shock": one["shock"], "run_temperature_c": 50})
    touch = libdamp.calculate("touch_height", at)
    found: Figures = {"touch_height_mm": touch["height_mm"], "spare_hot_ml": fill["spare_hot_ml"]}
    for answer, names in (
        (stands, ("preload_mm", "frequency_hz", "damping_ratio_compression", "droop_travel_mm", "wheel_rate_n_mm")),
        (lands, ("least_clearance_mm", "peak_shock_n", "bounce_height_mm")),
        (runs, ("contact_share", "tyre_load_variation", "mean_shift_mm")),
        (back, ("half_time_s", "overshoot_mm")),
    ):
        found |= {name: answer[name] for name in names}
    return found


def compare(
    setups: tuple[Data, Data], alone: dict[str, Data], use: Data, celsius: tuple[float, float], fall_mm: float
) -> dict[str, tuple[float, float, Figures, float]]:
    """Both figures, each share, the interaction, by figure; `alone` holds each cause taken over alone."""
    seen = [figures(one, use, at, fall_mm) for one, at in zip(setups, celsius, strict=True)]
    causes = {name: figures(one, use, celsius[0], fall_mm) for name, one in alone.items()}
    causes["temperature"] = figures(setups[0], use, celsius[1], fall_mm)
    found = {}
    for name, was in seen[0].items():
        shares = {cause: made[name] - was for cause, made in causes.items()}
        found[name] = (was, seen[1][name], shares, seen[1][name] - was - sum(shares.values()))
    return found
