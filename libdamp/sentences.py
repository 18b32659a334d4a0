"""Effects in words: one sentence a change, every number and sign taken from the figures."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from .effects import ChangeFigures, Effect

NO_CLEAR_EFFECT = "no clear effect"
MOST_SAID = 3
"""Effects that a sentence names, and as many costs."""
TINY = 1e-9


class Phrase(NamedTuple):
    """How a figure is said: when it grows, when it falls, its name, and how its numbers are shown."""

    more: str
    less: str
    name: str
    unit: str
    scale: float  # to the unit shown
    digits: int
    percent: bool = False  # the change in percent instead of the unit


PHRASES: dict[str, Phrase] = {
    "least_clearance_mm": Phrase("lands with {} more to spare", "lands with {} less to spare", "", "mm", 1.0, 1),
    "touch_height_mm": Phrase("touches from {} higher", "touches from {} lower", "", "mm", 1.0, 0),
    "bounce_height_mm": Phrase("bounces {} higher", "bounces {} lower", "", "mm", 1.0, 1),
    "tyre_load_variation": Phrase(
        "tyre load on bumps varies {} more", "tyre load on bumps varies {} less", "", "", 1.0, 2, percent=True
    ),
    "contact_share": Phrase(
        "on the ground {} more of the time", "on the ground {} less of the time", "", "%", 100.0, 0
    ),
    "kerb_peak_n": Phrase("a kerb hits {} harder", "a kerb hits {} softer", "", "N", 1.0, 1, percent=True),
    "half_time_s": Phrase("comes back {} slower", "comes back {} faster", "half time", "ms", 1e3, 0, percent=True),
    "overshoot_mm": Phrase("swings over by {} more", "swings over by {} less", "", "mm", 1.0, 1),
    "mean_shift_mm": Phrase("runs {} lower on bumps", "runs {} higher on bumps", "lower by", "mm", 1.0, 1),
    "peak_shock_n": Phrase("a landing hits {} harder", "a landing hits {} softer", "", "N", 1.0, 1, percent=True),
    "clearance_mm": Phrase("stands {} higher", "stands {} lower", "", "mm", 1.0, 1),
    "spare_hot_ml": Phrase("{} more gas left hot", "{} less gas left hot", "", "ml", 1.0, 2),
    "damping_ratio_compression": Phrase(
        "damping ratio in {} higher", "damping ratio in {} lower", "", "", 1.0, 2, percent=True
    ),
    "damping_ratio_rebound": Phrase(
        "damping ratio out {} higher", "damping ratio out {} lower", "", "", 1.0, 2, percent=True
    ),
    "damping_ratio": Phrase("damping ratio {} higher", "damping ratio {} lower", "", "", 1.0, 2, percent=True),
    "frequency_hz": Phrase(
        "natural frequency {} higher", "natural frequency {} lower", "", "Hz", 1.0, 2, percent=True
    ),
    "droop_travel_mm": Phrase("wheel hangs {} further", "wheel hangs {} less far", "", "mm", 1.0, 1),
    "bump_travel_mm": Phrase("{} more bump travel", "{} less bump travel", "", "mm", 1.0, 1),
    "preload_mm": Phrase("{} more preload", "{} less preload", "at full droop", "mm", 1.0, 1),
    "wheel_rate_n_mm": Phrase("wheel rate {} higher", "wheel rate {} lower", "", "N/mm", 1.0, 3, percent=True),
    "cold_damping_ratio": Phrase(
        "damping ratio on a cold day {} higher",
        "damping ratio on a cold day {} lower",
        "",
        "",
        1.0,
        2,
        percent=True,
    ),
    "frequency_ratio": Phrase(
        "front/rear frequency {} higher", "front/rear frequency {} lower", "", "", 1.0, 2, percent=True
    ),
    "damping_ratio_ratio": Phrase(
        "front/rear damping ratio {} higher", "front/rear damping ratio {} lower", "", "", 1.0, 2, percent=True
    ),
}
"""Words of every figure."""

SAYS_IT: dict[str, tuple[str, ...]] = {
    "touch_height_mm": ("least_clearance_mm",),
    "wheel_rate_n_mm": ("frequency_hz",),
    "droop_travel_mm": ("clearance_mm",),
    "bump_travel_mm": ("clearance_mm",),
    "damping_ratio_ratio": ("damping_ratio_compression", "damping_ratio_rebound"),
    "frequency_ratio": ("frequency_hz",),
    "cold_damping_ratio": ("damping_ratio_compression", "damping_ratio_rebound"),
}
"""ChangeFigures that go without saying once another is said the same way, unless they were asked for."""

LAST = ("preload_mm", "bump_travel_mm", "wheel_rate_n_mm", "droop_travel_mm", "cold_damping_ratio", "spare_hot_ml")
"""ChangeFigures that a driver does not feel: said after the others."""

FAULT_WORDS: dict[str, str] = {
    "lock_cold": "goes solid cold",
    "lock_hot": "goes solid hot",
    "loose_spring": "spring loose at full droop",
    "coil_bind": "coils touch before the shock is fully in",
    "no_equilibrium": "sinks to the stop",
    "topped_out": "stands on its droop stop",
    "chassis_on_ground": "chassis drags on the ground",
    "collar_off": "spring too long for the shock",
    "closed_one_way": "no hole is open one way",
    "level_out_of_reach": "level arms are out of reach",
    "linkage_out_of_reach": "linkage does not reach full travel",
    "falling_rate": "does not stand stably",
}
"""Faults that a change brings or cures; the first words of what the finding says."""
CURE_SAID: dict[str, str] = {"loose_spring": "preload_mm", "lock_hot": "spare_hot_ml"}
"""The figure whose clear change says itself that a fault is cured."""


def shown(name: str, value: float) -> str:
    """A figure in the digits and scale of its phrase, without a sign on nothing."""
    phrase = PHRASES[name]
    text = f"{value * phrase.scale:.{phrase.digits}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def with_unit(name: str, value: float) -> str:
    """A figure with its unit: "7.1 mm", "0.65"."""
    unit = PHRASES[name].unit
    return f"{shown(name, value)} {unit}" if unit else shown(name, value)


def phrase_of(effect: Effect, name: str | None = None) -> str:
    """An effect in words: "lands with 1.2 mm more to spare (7.1 -> 8.3 mm)"."""
    name = name or effect.name
    phrase, change = PHRASES[name], effect.after - effect.before
    before, after = shown(name, effect.before), shown(name, effect.after)
    if phrase.percent and effect.before > TINY:
        by = f"{100.0 * abs(change) / effect.before:.0f} %"
    else:  # so that the three numbers agree as they are shown
        by = f"{abs(float(after) - float(before)):.{phrase.digits}f} {phrase.unit}".strip()
    word, end = phrase.name, effect.after
    if word in OPPOSITE and max(effect.before, effect.after) < 0.0:
        word, before, end = OPPOSITE[word], shown(name, -effect.before), -effect.after
    span = f"{before} -> {with_unit(name, end)}"
    named = f"{word} {span}" if word else span
    return f"{(phrase.more if change > 0.0 else phrase.less).format(by)} ({named}{_beyond(effect)})"


OPPOSITE: dict[str, str] = {"lower by": "higher by"}
"""What a figure is called while it stays below nothing."""
BEYOND: dict[str, str] = {"least_clearance_mm": "slaps", "preload_mm": "loose", "spare_hot_ml": "solid"}
"""What it means that a figure is below nothing."""


def _beyond(effect: Effect) -> str:
    """What it means that a figure is below nothing, is so still, or no longer: ": slaps no more"."""
    was, now = (float(shown(effect.name, value)) < 0.0 for value in (effect.before, effect.after))
    if effect.name not in BEYOND or not (was or now):
        return ""
    words = BEYOND[effect.name]
    return f": {words} no more" if not now else f": still {words}" if was else f": {words}"


def _merged(effects: Iterable[Effect]) -> list[tuple[Effect, str]]:
    """Effects with the name that they are said by: equal damping ratios in and out are one."""
    every = list(effects)
    both = {e.name: e for e in every if e.name in ("damping_ratio_compression", "damping_ratio_rebound")}
    same = len(both) == 2 and _alike(*both.values())
    told = []
    for effect in every:
        if same and effect.name == "damping_ratio_rebound":
            continue
        told.append((effect, "damping_ratio" if same and effect.name in both else effect.name))
    return told


def _alike(a: Effect, b: Effect) -> bool:
    return shown(a.name, a.before) == shown(b.name, b.before) and shown(a.name, a.after) == shown(b.name, b.after)


def said(effects: Sequence[Effect], clear: Sequence[Effect], first: Sequence[str] = ()) -> list[str]:
    """The most telling of some effects in words; figures in `first` come first and are never left out."""
    by_name = {effect.name: effect for effect in clear}

    def told_already(effect: Effect) -> bool:
        sayers = [by_name[name] for name in SAYS_IT.get(effect.name, ()) if name in by_name]
        return effect.name not in first and any(sayer.worse or not effect.worse for sayer in sayers)

    telling = [effect for effect in effects if not told_already(effect)]

    def rank(effect: Effect) -> tuple[float, ...]:
        asked = first.index(effect.name) if effect.name in first else len(first)
        return asked, not effect.better, effect.name in LAST, -effect.size

    order = sorted(telling, key=rank)
    return [phrase_of(effect, name) for effect, name in _merged(order)][:MOST_SAID]


class Told(NamedTuple):
    """A change in words; `costs` is empty where it costs nothing clear."""

    title: str
    gives: str
    costs: str

    @property
    def sentence(self) -> str:
        """One sentence: what is changed, what it does, then what it costs."""
        costs = f"costs: {self.costs}" if self.costs else ""
        return f"{self.title}: {'; '.join(part for part in (self.gives, costs) if part)}"


def told_of(
    title: str,
    effects: Sequence[Effect],
    faults: Sequence[str] = (),
    first: Sequence[str] = (),
    cured: Sequence[str] = (),
) -> Told:
    """What a change does, and what it costs: clear effects alone, faults that it cures and brings."""
    clear = [effect for effect in effects if effect.clear]
    names = {effect.name for effect in clear}
    gives = [f"cured: {_fault_words(code)}" for code in cured if CURE_SAID.get(code) not in names]
    gives += said([e for e in clear if not e.worse], clear, first)
    costs = [_fault_words(code) for code in faults]
    costs += said([e for e in clear if e.worse], clear, first)
    return Told(title, ", ".join(gives) or ("" if costs else NO_CLEAR_EFFECT), ", ".join(costs))


def _fault_words(code: str) -> str:
    return FAULT_WORDS.get(code, code.replace("_", " "))


def now_words(figures: Mapping[str, float]) -> str:
    """ChangeFigures as they are: "7.1 mm to spare on the landing, touches from a fall of 189 mm"."""
    told = []
    for name, value in figures.items():
        below = name in BELOW_NOTHING and float(shown(name, value)) < 0.0
        words = BELOW_NOTHING[name] if below else NOW_WORDS[name]
        told.append(words.format(with_unit(name, abs(value) if below else value)))
    return ", ".join(told)


NOW_WORDS: dict[str, str] = {
    "least_clearance_mm": "{} to spare on the landing",
    "touch_height_mm": "touches from a fall of {}",
    "bounce_height_mm": "bounces {}",
    "tyre_load_variation": "tyre load on bumps varies by {} of its mean",
    "contact_share": "on the ground {} of the time",
    "kerb_peak_n": "a kerb hits with {}",
    "half_time_s": "half-way back in {}",
    "overshoot_mm": "swings over by {}",
    "mean_shift_mm": "runs {} lower on bumps",
    "clearance_mm": "stands {} above ground",
    "spare_hot_ml": "{} of gas left hot",
    "bump_travel_mm": "bump travel {}",
    "damping_ratio_rebound": "damping ratio out {}",
    "preload_mm": "preload {} at full droop",
    "droop_travel_mm": "wheel hangs {}",
    "cold_damping_ratio": "damping ratio on a cold day {}",
    "frequency_ratio": "front/rear frequency {}",
    "damping_ratio_ratio": "front/rear damping ratio {}",
}
"""Words of the figures that questions look at, as they are now."""

BELOW_NOTHING: dict[str, str] = {
    "least_clearance_mm": "slaps, {} too low on the landing",
    "mean_shift_mm": "runs {} higher on bumps",
    "preload_mm": "loose by {} at full droop",
}
"""The same of figures below nothing."""


def figures_said(at: ChangeFigures, names: Iterable[str]) -> str:
    """Some figures of an end as they are, in words; what does not exist is left out."""
    return now_words({name: value for name in names if (value := getattr(at, name)) is not None})
