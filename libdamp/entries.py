"""What a line of the catalogue of findings is, and the lines that are kept by subject outside of it."""

from typing import Literal, NamedTuple

Severity = Literal["note", "warning", "do_not_run"]


class Entry(NamedTuple):
    """A line of the catalogue; the sentence may use {value}, {limit}, {unit} and {name}."""

    severity: Severity
    unit: str | None
    sentence: str


PISTON_ON_ITS_CLIP: dict[str, Entry] = {
    "groove_overloaded": Entry(
        "warning",
        "N",
        "The piston pushes on its clip with {value} N; the groove in the shaft takes {limit} N (static value "
        "halved for blows). Less damping, a harder shaft (say its yield stress), or a thicker one.",
    ),
    "clip_overloaded": Entry(
        "warning",
        "N",
        "The piston pushes on its clip with {value} N; the clip takes {limit} N (static value halved for blows). "
        "Less damping, a piston whose hole has square edges, or a thicker shaft with its larger clip.",
    ),
    "piston_crushed": Entry(
        "warning",
        "MPa",
        "The clip presses on the piston with {value} MPa; the piston takes {limit} MPa. Less damping, a washer "
        "between clip and piston, or a piston of harder material.",
    ),
    "clip_unknown": Entry(
        "warning",
        "mm",
        "No standard clip fits a shaft of {value} mm with a groove of {limit} mm: what clip, groove and piston "
        "take cannot be said. Measure shaft and groove again.",
    ),
    "no_load": Entry("note", "N", "Nothing pushes on the piston: no margin can be said. Give more than 0."),
    "void_caps_load": Entry(
        "note",
        "N",
        "Steady compression damping would be {value} N; from {limit} N an empty space opens under the piston and "
        "the gas sets the load. A landing squeezes the gas to several bar: give pressure_difference_kpa for that.",
    ),
    "difference_above_gas": Entry(
        "note",
        "kPa",
        "A difference of {value} kPa is more than the gas has at rest with the shaft fully in, {limit} kPa: on "
        "compression it is reached only while a landing squeezes the gas.",
    ),
}
"""Findings on the piston's load on clip, groove and shaft."""

MATCHING: dict[str, Entry] = {
    "oil_unusual": Entry(
        "warning",
        "cSt",
        "An oil of {value} cSt at 25 C is asked for; shock oils usually have {limit} cSt: mix it, or take a piston "
        "with other holes.",
    ),
    "not_harder_fast": Entry(
        "note",
        "mm2",
        "The piston with less hole area ({value} against {limit} mm2) is here the softer one when fast, by {name}. "
        "It is the harder one for sure only without a gap, at equal thickness and edges, against holes of one size "
        "and where it needs the thinner oil. Trust the ratios.",
    ),
    "hole_kept": Entry("note", None, "The holes stay as they are: nothing is drilled."),
    "oil_alone_does": Entry(
        "note",
        "%",
        "The oil alone comes within {value} % at all these speeds, no more than {limit} %: do not drill, it gains "
        "nothing and cannot be undone.",
    ),
    "no_hole_matches": Entry(
        "warning",
        "1",
        "No hole that fits this piston agrees at both speeds: the nearest gives {value} times the reference when "
        "fast, {limit} is wanted. Take another number of holes, or speeds closer together.",
    ),
    "hole_smaller": Entry(
        "warning",
        "mm",
        "The hole must be {value} mm, {limit} mm is there: drilling cannot make a hole smaller. Take a new piston "
        "or a blank, or the oil alone.",
    ),
    "no_drill_fits": Entry(
        "warning",
        "mm",
        "None of the drills fits: {value} mm is wanted. A drill cannot make a hole smaller, nor one that this "
        "piston has no room for.",
    ),
    "wall_thin": Entry(
        "warning",
        "mm",
        "Only {value} mm would stay between hole and {name}, {limit} mm is the least: more but smaller holes, "
        "another circle, or the oil alone.",
    ),
    "too_many_holes": Entry(
        "warning", "1", "{value} holes are needed, the blank has room for {limit}: fewer and larger ones."
    ),
}
"""Findings on making one shock damp as another, and on drilling for it."""

GAS_IN_OIL: dict[str, Entry] = {
    "emulsion_stands": Entry(
        "note",
        None,
        "In a shock that stands, the gas rises to the top and is a pocket: work the shaft ten times over its whole "
        "stroke before you feel or compare it.",
    ),
    "gas_dissolves": Entry(
        "note",
        "ml",
        "Given time the oil takes up about {value} ml of gas for each bar of pressure, of {limit} ml closed in: "
        "read free gas and its pressure as upper values, and look at the fill again after a day.",
    ),
    "air_dissolves": Entry(
        "note",
        "1",
        "Given time at this pressure the oil takes up {value} ml of air per ml of oil and air, all of the {limit} "
        "that is free: the figures hold for strokes, after minutes under pressure they are upper values.",
    ),
    "air_comes_out": Entry(
        "note",
        "1",
        "Below the atmosphere's pressure oil gives off air it had dissolved, given time up to {value} ml per ml "
        "beside the {limit} that is free: expect more dead travel than this.",
    ),
    "bubble_fast": Entry(
        "warning",
        "1",
        "The bubble's Reynolds number is {value}; the law holds up to {limit} (there 12 % too fast) and says too "
        "short a wait above it: wait until the oil looks clear.",
    ),
}
"""Findings on gas in the oil: an emulsion at rest, air that dissolves or comes out, bubbles that rise."""

IN_MOTION: dict[str, Entry] = {
    "cannot_move": Entry(
        "do_not_run",
        None,
        "Linkage, shock lengths or fill leave this corner no way to move: look at `ride` and `fill_check` first.",
    ),
    "not_resolved": Entry(
        "do_not_run",
        "1",
        "This run cannot be worked out within {limit} time steps: something is far stiffer, lighter or tighter "
        "than in a car. Look at the gas left with the shaft fully in (`fill_check`), the wheel's mass, the tyre's "
        "damping, the rates of stops and ground.",
    ),
    "bound_left_out": Entry(
        "note",
        None,
        "These bounds could not be worked out and are left out, so the band may be wider: {name}. It says that the "
        "corner is near the edge of what can be: look at its gas and its stops.",
    ),
    "slap": Entry(
        "warning",
        "mm",
        "The chassis hits the ground: the least clearance is {value} mm, less than {limit}. More clearance, less "
        "limiter, or more compression damping; then look at the bounds, above all the tyre's.",
    ),
    "rim_strike": Entry(
        "warning",
        "mm",
        "The tyre is squashed by {value} mm, its sidewall is {limit} mm: the rim carries and can break. A stiffer "
        "insert or tyre, or a lower fall.",
    ),
    "stop_peak": Entry(
        "note",
        "mm",
        "A stop is pressed in by {value} mm (more than {limit}): the peak force is the stop's, whose stiffness "
        "is an input, not the oil's. More compression damping, spring or stroke keeps off it.",
    ),
    "void_opens": Entry(
        "note",
        "m/s",
        "From {value} m/s of shaft speed an empty space opens under the piston, up to {limit} ml: from there the "
        "gas sets the force. The blow when it closes, shorter than a thousandth of a second, is not in the loads. "
        "Usual in landings; more or larger holes let it open later.",
    ),
    "vented_full": Entry(
        "warning",
        "N",
        "The room behind the vented bladder is used up and the shock goes solid: the peak of {value} N is "
        "good to 15 % only (the oil's own give is left out). Less oil, or a cap with more room.",
    ),
    "bounce": Entry(
        "note",
        "mm",
        "After the landing the wheel leaves the ground by {value} mm (said above {limit}): a tyre with more loss "
        "or more rebound damping keeps it down.",
    ),
    "slow_settling": Entry(
        "note",
        "s",
        "The body takes {value} s to settle (said above {limit} s): less damping if it creeps back, more if it "
        "swings.",
    ),
    "not_settled": Entry(
        "warning",
        "s",
        "The body has not settled after {limit} s: `settle_s` is a lower bound. More damping if it swings, less if "
        "it creeps.",
    ),
    "never_touches": Entry(
        "note",
        "mm",
        "The chassis touches from no height up to {limit} mm: the shock's stop or the tyre holds it off; look at "
        "the forces of `drop` instead.",
    ),
    "touches_at_once": Entry(
        "warning",
        "mm",
        "The chassis touches from any height ({value} mm): more clearance or preload first.",
    ),
    "band_open": Entry(
        "note",
        "mm",
        "With one of the unknowns at its bound the chassis touches from no height up to {limit} mm: the band has "
        "no upper end.",
    ),
    "tyre_assumed": Entry(
        "warning",
        "N/mm",
        "The tyre is assumed ({value} N/mm): read this landing as anything within the bounds of the tyre's rate, "
        "{name}. Measure it first: axle height with the wheel lifted less standing is the squash.",
    ),
    "road_like": Entry(
        "note",
        None,
        "The road has the form that a standard fitted to full-size roads; its waves are shorter than that fit: "
        "compare set-ups by it, do not read it as your track.",
    ),
    "not_steady": Entry(
        "warning",
        "s",
        "The run was not steady after {value} s: the figures are those of the last {limit} s and would still move. "
        "Read them as a guide; less damping, or another speed or spacing, comes to rest sooner.",
    ),
    "wheel_leaves": Entry(
        "note",
        "%",
        "The tyre touches {value} % of the time (said below {limit}): in the air it neither steers nor drives. "
        "Less damping or a softer spring follows better.",
    ),
    "packs_down": Entry(
        "warning",
        "mm",
        "Over many bumps the car runs {value} mm lower (seals hold it within {limit} mm): rebound is harder than "
        "compression. Open the rebound or close the compression.",
    ),
    "figures_left_out": Entry(
        "note",
        None,
        "Not worked out for every set-up of this end: {name}. They do not exist for a use without jump or "
        "bumps, bumps that the car merely follows, a fall from too high, a chassis that touches from no height, "
        "a car that does not come to rest, a run that does not settle, or one that needs finer time steps than "
        "many at once are given (drop, bumps and touch_height alone may have it).",
    ),
    "push_too_far": Entry(
        "warning",
        "mm",
        "A push of {value} mm reaches the ground: {limit} mm is left below the chassis. Push less.",
    ),
    "stays_down": Entry(
        "warning",
        "mm",
        "The body does not come half-way back from a push of {value} mm; the seals' drag alone holds it within "
        "{limit} mm of rest: a longer push, freer seals.",
    ),
}
"""Findings on runs in motion: landings, bumps, a push."""


MANY_TIMES: dict[str, Entry] = {
    "rows_failed": Entry(
        "warning", "1", "{value} of {limit} rows could not be worked out: `errors` says why, row by row."
    ),
    "values_missing": Entry(
        "note",
        "1",
        "{value} of {limit} values do not exist for the set-up of their row: put 'findings' into `only`, its codes "
        "say why.",
    ),
    "draws_impossible": Entry(
        "warning",
        "%",
        "{value} % of the {name} are set-ups that cannot be (said above {limit} %); "
        "they are left out, so the band is too narrow. Measure what is given as a range or assumed.",
    ),
    "output_missing": Entry(
        "warning",
        "%",
        "{name} is missing in {value} % of the draws, or for the request as it stands: its band is that of the "
        "others. Look at the findings of the single calculation.",
    ),
    "no_spread": Entry(
        "note",
        None,
        "{limit} moves {name}: there is nothing of it to measure for that. What is given "
        "and not drawn (a spring's rate, a weight, a length) is taken as exact; put it into `spreads` to draw it.",
    ),
}
"""Findings on one calculation that is called many times."""


COMPARING: dict[str, Entry] = {
    "cause_not_alone": Entry(
        "note",
        None,
        "The candidate's {name} does not go into the reference by itself: what it does cannot be told from the "
        "rest, so there is no interaction either.",
    ),
    "figures_missing": Entry(
        "note",
        None,
        "Not there for this set-up, or not asked for by the use: {name}. The findings here say why, else the run "
        "does not settle, or needs finer time steps, in what many at once are given: drop, bumps and touch_height "
        "alone may have it.",
    ),
}
"""Findings on two set-ups side by side."""
OVER_A_SEASON: dict[str, Entry] = {
    "season_gap": Entry(
        "warning",
        "%",
        "{name} The nearest in hand is off by {value} %, more than the {limit} % that can be told apart.",
    ),
    "no_bottles": Entry(
        "note",
        "1",
        "No bottle of oil is in hand: for {value} of {limit} temperatures only the wanted viscosity can be said.",
    ),
}
"""Findings on oils over a season."""
