"""The car around the shocks: linkage, tyre, corner, car, parts box, use, goals."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Annotated, Literal

import msgspec

from .checked import Model
from .errors import Fault
from .parts import Label, Oil, Piston, Shock, Spring, fault
from .quantities import Q

Size = Literal["1:10 truck", "1:10 buggy", "1:10 on-road", "1:8 buggy", "1:8 truck", "1:5 off-road"]
Surface = Literal["carpet or asphalt", "smooth", "loose", "rutted", "grass"]


_Mounts = msgspec.Meta(max_length=24)


class Arm(Model, frozen=True, kw_only=True, tag_field="kind", tag="arm"):
    """A swinging arm in front view, origin at its inner hinge pin.

    The other holes that either mount could go into are two columns each, one entry a hole; the hole in use may be
    among them. They change nothing by themselves: `changes` tries them.
    """

    arm_length_mm: Annotated[float, Q("arm_length_mm")]
    lower_mount_along_mm: Annotated[float, Q("lower_mount_along_mm")]
    lower_mount_above_mm: Annotated[float, Q("lower_mount_above_mm")]
    upper_mount_out_mm: Annotated[float, Q("upper_mount_out_mm")]
    upper_mount_up_mm: Annotated[float, Q("upper_mount_up_mm")]
    other_upper_mounts_out_mm: Annotated[tuple[Annotated[float, Q("other_upper_mounts_out_mm")], ...], _Mounts] = ()
    other_upper_mounts_up_mm: Annotated[tuple[Annotated[float, Q("other_upper_mounts_up_mm")], ...], _Mounts] = ()
    other_lower_mounts_along_mm: Annotated[
        tuple[Annotated[float, Q("other_lower_mounts_along_mm")], ...], _Mounts
    ] = ()
    other_lower_mounts_above_mm: Annotated[
        tuple[Annotated[float, Q("other_lower_mounts_above_mm")], ...], _Mounts
    ] = ()

    def consistency(self) -> Iterable[Fault]:
        """Both columns of the other holes have as many entries."""
        for one, two in (
            ("other_upper_mounts_out_mm", "other_upper_mounts_up_mm"),
            ("other_lower_mounts_along_mm", "other_lower_mounts_above_mm"),
        ):
            if len(getattr(self, one)) != len(getattr(self, two)):
                yield fault(f"/{two}", f"{one} and {two} must have as many entries, one for each hole")


class Pairs(Model, frozen=True, kw_only=True, tag_field="kind", tag="pairs"):
    """Measured pairs of wheel travel and shock length."""

    travel_mm: Annotated[
        tuple[Annotated[float, Q("pairs.travel_mm")], ...], msgspec.Meta(min_length=3, max_length=100)
    ]
    shock_length_mm: Annotated[
        tuple[Annotated[float, Q("pairs.shock_length_mm")], ...], msgspec.Meta(min_length=3, max_length=100)
    ]

    def consistency(self) -> Iterable[Fault]:
        """Rows of two, three different travels that include level arms, shorter as the wheel rises."""
        if len(self.travel_mm) != len(self.shock_length_mm):
            yield fault("/shock_length_mm", "travel_mm and shock_length_mm must have as many entries")
            return
        if not min(self.travel_mm) <= 0.0 <= max(self.travel_mm):
            yield fault("/travel_mm", "travel_mm must reach from droop (negative) past 0 (level arms) to bump")
        rows = sorted(zip(self.travel_mm, self.shock_length_mm, strict=True))
        if any(a[0] == b[0] for a, b in pairwise(rows)):
            yield fault("/travel_mm", "travel_mm holds the same travel twice: keep one row, or their mean")
        elif any(b[1] >= a[1] for a, b in pairwise(rows)):
            yield fault("/shock_length_mm", "shock_length_mm must fall as travel_mm (bump positive) rises")


class Ratio(Model, frozen=True, kw_only=True, tag_field="kind", tag="ratio"):
    """A fixed motion ratio."""

    assumable = ("motion_ratio", "level_length_mm")

    motion_ratio: Annotated[float, Q("motion_ratio")]
    level_length_mm: Annotated[float, Q("level_length_mm")]


Linkage = Arm | Pairs | Ratio


class Tyre(Model, frozen=True, kw_only=True):
    """A tyre as a spring that cannot pull, with its own loss."""

    assumable = ("rate_n_mm",)

    rate_n_mm: Annotated[float, Q("tyre.rate_n_mm")]
    damping_n_s_m: Annotated[float, Q("damping_n_s_m")] | None = None
    loss_factor: Annotated[float, Q("loss_factor")] | None = None
    radius_mm: Annotated[float, Q("radius_mm")] | None = None
    sidewall_mm: Annotated[float, Q("sidewall_mm")] | None = None

    def consistency(self) -> Iterable[Fault]:
        """One of the two ways to give the loss."""
        if (self.damping_n_s_m is None) == (self.loss_factor is None):
            yield fault("/loss_factor", "give one of damping_n_s_m and loss_factor (0.3 is usual)")


class Corner(Model, frozen=True, kw_only=True):
    """One wheel with its share of the car."""

    assumable = ("sprung_mass_g", "unsprung_mass_g", "level_clearance_mm", "linkage", "tyre")

    sprung_mass_g: Annotated[float, Q("sprung_mass_g")]
    unsprung_mass_g: Annotated[float, Q("unsprung_mass_g")]
    level_clearance_mm: Annotated[float, Q("level_clearance_mm")]
    linkage: Linkage
    tyre: Tyre
    shock: Shock
    spring: Spring
    preload_mm: Annotated[float, Q("preload_mm")] | None = None


class ScaleReadings(Model, frozen=True, kw_only=True):
    """The four wheels on the scale."""

    front_left: Annotated[float, Q("scale_reading_g")]
    front_right: Annotated[float, Q("scale_reading_g")]
    rear_left: Annotated[float, Q("scale_reading_g")]
    rear_right: Annotated[float, Q("scale_reading_g")]


class Car(Model, frozen=True, kw_only=True):
    """A car, left like right."""

    front: Corner
    rear: Corner
    wheelbase_mm: Annotated[float, Q("wheelbase_mm")] | None = None
    track_mm: Annotated[float, Q("track_mm")] | None = None
    cg_height_mm: Annotated[float, Q("cg_height_mm")] | None = None
    scale_readings_g: ScaleReadings | None = None
    label: Label | None = None


Count = Annotated[int, Q("part.count")] | None


class BoxSpring(Spring, frozen=True, kw_only=True):
    """A spring in the parts box."""

    count: Count = None


class BoxOil(Oil, frozen=True, kw_only=True):
    """A bottle of oil in the parts box."""

    count: Count = None


class BoxPiston(Piston, frozen=True, kw_only=True):
    """A piston in the parts box."""

    count: Count = None


class Blanks(Model, frozen=True, kw_only=True):
    """Undrilled pistons."""

    count: Annotated[int, Q("blanks.count")]
    diameter_mm: Annotated[float, Q("piston.diameter_mm")]
    thickness_mm: Annotated[float, Q("piston.thickness_mm")]
    max_holes: Annotated[int, Q("max_holes")]
    hole_circle_mm: Annotated[float, Q("hole_circle_mm")] | None = None


_Few = msgspec.Meta(max_length=200)


class Box(Model, frozen=True, kw_only=True):
    """The parts box; a list left out means: what is on the car."""

    front_springs: Annotated[tuple[BoxSpring, ...], _Few] = ()
    rear_springs: Annotated[tuple[BoxSpring, ...], _Few] = ()
    oils: Annotated[tuple[BoxOil, ...], _Few] = ()
    pistons: Annotated[tuple[BoxPiston, ...], _Few] = ()
    blanks: Blanks | None = None
    drills_mm: Annotated[tuple[Annotated[float, Q("drill_mm")], ...], _Few] = ()
    spacers_mm: Annotated[tuple[Annotated[float, Q("spacer_mm")], ...], msgspec.Meta(max_length=12)] = ()
    collar_step_mm: Annotated[float, Q("collar_step_mm")] | None = None
    limiters_mm: Annotated[tuple[Annotated[float, Q("limiter_mm")], ...], _Few] = ()
    mix_oils: bool = True


class Jump(Model, frozen=True, kw_only=True):
    """A jump, seen from the landing."""

    apex_m: Annotated[float, Q("apex_m")]
    speed_m_s: Annotated[float, Q("jump.speed_m_s")]
    landing_deg: Annotated[float, Q("landing_deg")]


JumpOrWord = Jump | Literal["none", "small", "big"]

JUMP_WORDS_MM = {"none": 0.0, "small": 100.0, "big": 350.0}
"""Equal fall onto the flat of the words for a jump, mm (common practice, from memory)."""


class Use(Model, frozen=True, kw_only=True):
    """Where and when the car is driven."""

    assumable = ("oil_temperature_c", "bump_height_mm", "bump_spacing_mm", "speed_m_s", "jump")

    surface: Surface | None = None
    oil_temperature_c: Annotated[float, Q("oil_temperature_c")]
    bump_height_mm: Annotated[float, Q("bump_height_mm")]
    bump_spacing_mm: Annotated[float, Q("bump_spacing_mm")]
    speed_m_s: Annotated[float, Q("use.speed_m_s")]
    jump: JumpOrWord
    label: Label | None = None


class Goal(Model, frozen=True, kw_only=True):
    """A wanted value and the deviation that counts as one."""

    target: Annotated[float, Q("goal.target")]
    tolerance: Annotated[float, Q("goal.tolerance")]


class EndGoals(Model, frozen=True, kw_only=True):
    """Goals of one end; null takes the surface's default, or none where there is none.

    Of the last five only one side counts: too little clearance or contact, too much bounce, force or variation.
    """

    frequency_hz: Goal | None = None
    damping_ratio: Goal | None = None
    damping_ratio_compression: Goal | None = None
    damping_ratio_rebound: Goal | None = None
    height_error_mm: Goal | None = None
    least_clearance_mm: Goal | None = None
    bounce_height_mm: Goal | None = None
    peak_shock_n: Goal | None = None
    tyre_load_variation: Goal | None = None
    contact_share: Goal | None = None


class BetweenGoals(Model, frozen=True, kw_only=True):
    """Goals between the ends, front over rear; null takes the default."""

    frequency_ratio: Goal | None = None
    damping_ratio_ratio: Goal | None = None


class Goals(Model, frozen=True, kw_only=True):
    """What the choice aims at."""

    front: EndGoals = msgspec.field(default_factory=EndGoals)
    rear: EndGoals = msgspec.field(default_factory=EndGoals)
    between: BetweenGoals = msgspec.field(default_factory=BetweenGoals)
