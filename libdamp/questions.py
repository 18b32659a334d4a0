"""Twelve questions in a driver's words: the figures that answer them, the wanted way, the key words."""

import math
import re
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Literal, NamedTuple

from .effects import MEASURES, Better, ChangeFigures, Effect, steps
from .errors import Fault, InputError
from .goals import Aim
from .sentences import shown

Question = Literal[
    "slaps",
    "jumps_up",
    "bobs",
    "slow_back",
    "skips",
    "sinks",
    "kerb",
    "height",
    "rattles",
    "solid",
    "cold",
    "together",
]
"""Stable codes of the questions."""


class Asked(NamedTuple):
    """A question: in words, which figures answer it and which way they are wanted, when it is wrong and fine."""

    words: str
    figures: tuple[tuple[str, Better], ...]
    key_words: tuple[str, ...]
    wrong_at: float  # of the first figure; infinite where no value is wrong by itself
    fine_at: float  # with a goal both are in tolerances off it


QUESTIONS: dict[Question, Asked] = {
    "slaps": Asked(
        "chassis slaps",
        (("least_clearance_mm", "more"), ("touch_height_mm", "more")),
        ("slap", "slaps", "slapping", "bottom", "bottoms", "bottoming", "touches", "ground", "belly", "scrapes"),
        *(0.0, 10.0),
    ),
    "jumps_up": Asked(
        "jumps up again after landing",
        (("bounce_height_mm", "less"),),
        (
            "jump",
            "jumps",
            "bounce",
            "bounces",
            "bouncing",
            "bouncy",
            "kicks",
            "pogo",
            "hops",
            "landing",
            "landings",
        ),
        *(10.0, 0.0),
    ),
    "bobs": Asked(
        "keeps bobbing",
        (("overshoot_mm", "less"), ("damping_ratio_rebound", "more")),
        ("bob", "bobs", "bobbing", "bouncy", "swings", "swinging", "wallows", "floats", "wobbles"),
        *(2.0, 0.0),
    ),
    "slow_back": Asked(
        "comes back too slowly",
        (("half_time_s", "less"),),
        (
            "slow",
            "slowly",
            "sluggish",
            "lazy",
            "return",
            "returns",
            "comes",
            "rebound",
            "rebounds",
            "ages",
            "takes",
        ),
        *(0.15, 0.05),
    ),
    "skips": Asked(
        "skips on small bumps",
        (("tyre_load_variation", "less"), ("contact_share", "more")),
        (
            "skip",
            "skips",
            "skipping",
            "hop",
            "hops",
            "bumps",
            "chatter",
            "small",
            "grip",
            "rough",
            "ruts",
            "washboard",
        ),
        *(1.0, 0.5),
    ),
    "sinks": Asked(
        "sinks lower over many bumps",
        (("mean_shift_mm", "less"),),
        ("sink", "sinks", "packs", "packing", "lower", "many"),
        *(1.0, 0.0),
    ),
    "kerb": Asked(
        "a kerb feels like a wall",
        (("kerb_peak_n", "less"),),
        ("kerb", "kerbs", "curb", "curbs", "wall", "step", "edge", "harsh"),
        *(math.inf, 0.0),
    ),
    "height": Asked(
        "sits high, low or tilted",
        (("clearance_mm", "goal"),),
        ("sits", "high", "low", "tilted", "height", "level", "stands", "leans", "lopsided", "crooked"),
        *(1.0, 0.2),
    ),
    "rattles": Asked(
        "spring rattles or wheel hangs too far",
        (("preload_mm", "more"), ("droop_travel_mm", "less")),
        ("rattle", "rattles", "loose", "falls", "hangs", "hang", "droop", "far"),
        *(0.0, 1.0),
    ),
    "solid": Asked(
        "goes solid hot or stops short",
        (("spare_hot_ml", "more"), ("bump_travel_mm", "more")),
        ("solid", "locks", "lock", "hot", "stops", "short", "stuck", "compress", "fully", "travel"),
        *(0.0, 0.1),
    ),
    "cold": Asked(
        "good in summer, dead in the cold",
        (("cold_damping_ratio", "goal"),),
        ("cold", "summer", "winter", "dead", "frost", "season"),
        *(4.0, 1.0),
    ),
    "together": Asked(
        "nose and tail do not work together",
        (("damping_ratio_ratio", "goal"), ("frequency_ratio", "goal")),
        ("nose", "tail", "together", "balance", "balanced", "front", "rear", "pitches"),
        *(1.0, 0.3),
    ),
}
"""The questions; when a figure is wrong and when it is fine is judgement."""
GRAVE: tuple[Question, ...] = ("slaps", "height", "rattles", "solid")
"""Questions of which the wrong has to be cured, even where that costs more elsewhere."""


ANY_MENDS: tuple[Question, ...] = ("slaps",)
"""Questions of which each figure tells the same ill: past the first touch the ground hides what a landing gains."""


def way(code: Question, effect: Effect, aims: Mapping[str, Aim]) -> float:
    """How far an effect goes the way that a question wants, in least differences."""
    for name, better in QUESTIONS[code].figures:
        if name == effect.name:
            least = MEASURES[name].least(effect.before)
            return steps(better, least, effect.before, effect.after, aims.get(name))
    return 0.0


def gain(code: Question, effects: tuple[Effect, ...], aims: Mapping[str, Aim]) -> float:
    """How much a change helps a question, in least differences; 0 where it does not clearly help.

    Where the first figure of a question is wrong by itself, only what clearly mends that one helps; of ANY_MENDS,
    what mends any.
    """
    ways = {effect.name: way(code, effect, aims) for effect in effects}
    if not ways or max(ways.values()) <= 1.0 or min(ways.values()) <= -1.0:
        return 0.0
    first = _first(code, effects)
    if first is not None:
        wrong = _off(code, first.name, first.before, aims) > 1.0
        unmended = code not in ANY_MENDS and ways[first.name] <= 1.0 and wrong
        if unmended or cured(code, first.before):
            return 0.0
    return sum(ways.values())


def _first(code: Question, effects: tuple[Effect, ...]) -> Effect | None:
    """The effect on the first figure of a question, where there is one."""
    name = QUESTIONS[code].figures[0][0]
    return next((effect for effect in effects if effect.name == name), None)


def cures(code: Question, effects: tuple[Effect, ...], aims: Mapping[str, Aim]) -> bool:
    """Whether a change mends what is wrong and has to be cured."""
    seen = _first(code, effects)
    if seen is None or code not in GRAVE:
        return False
    return _off(code, seen.name, seen.before, aims) > 1.0 >= _off(code, seen.name, seen.after, aims)


def cured(code: Question, value: float | None) -> bool:
    """Whether there is nothing to cure: the first figure is none of what ought to be none, as it is shown."""
    asked = QUESTIONS[code]
    name, better = asked.figures[0]
    if better != "less" or asked.fine_at != 0.0 or math.isinf(asked.wrong_at) or value is None:
        return False
    return float(shown(name, value)) <= 0.0


def cost(effects: tuple[Effect, ...]) -> float:
    """What a change costs elsewhere, in least differences."""
    return sum(-effect.nearer for effect in effects if effect.worse)


def now_of(code: Question, at: ChangeFigures) -> dict[str, float]:
    """ChangeFigures of a question as they are; what does not exist is left out."""
    found = ((name, getattr(at, name)) for name, _ in QUESTIONS[code].figures)
    return {name: value for name, value in found if value is not None}


def concern(code: Question, at: ChangeFigures, aims: Mapping[str, Aim]) -> float:
    """How near to wrong an end is: more than 1 is wrong, 0 and less is fine."""
    offs = _offs(code, at, aims)
    return max(offs) if offs else 0.0


def fine(code: Question, at: ChangeFigures, aims: Mapping[str, Aim]) -> bool:
    """Whether nothing is wrong with an end: what tells it is there, and fine or better."""
    offs, value = _offs(code, at, aims), getattr(at, QUESTIONS[code].figures[0][0])
    if not offs or math.isinf(QUESTIONS[code].wrong_at):
        return False
    return cured(code, value) or max(offs) <= 0.0


def _offs(code: Question, at: ChangeFigures, aims: Mapping[str, Aim]) -> list[float]:
    """How near to wrong the figures are that tell it: the first, and all that have a goal."""
    (first, _), *others = QUESTIONS[code].figures
    names = [first, *(name for name, better in others if better == "goal")]
    told = [(name, getattr(at, name)) for name in names]
    return [_off(code, name, value, aims) for name, value in told if value is not None]


def _off(code: Question, name: str, value: float, aims: Mapping[str, Aim]) -> float:
    """How near to wrong a figure of a question is."""
    asked = QUESTIONS[code]
    if dict(asked.figures)[name] == "goal":
        if name not in aims:
            return 0.0
        value = abs(value - aims[name].target) / aims[name].tolerance
    return float((asked.fine_at - value) / (asked.fine_at - asked.wrong_at)) + 0.0


def question_of(text: str, typed: str = "") -> Question:
    """Question that free words mean: its code, or the one whose key words they hold most of.

    `typed` is what an error quotes instead, where more was typed than these words.

    Raises
    ------
    InputError : no question, or more than one, is meant; all are listed.

    Examples
    --------
    >>> question_of("the chassis slaps"), question_of("dead in the cold")
    ('slaps', 'cold')
    """
    words = re.findall(r"[a-z]+", text.lower().replace("_", " "))
    for code, asked in QUESTIONS.items():
        if text.strip().lower() in (code, asked.words):
            return code
    counts = {code: _hits(words, asked) for code, asked in QUESTIONS.items()}
    most = max(counts.values())
    best = [code for code, count in counts.items() if count == most]
    if most and len(best) == 1:
        return best[0]
    between = f" (it may mean {' or '.join(best)})" if most else ""
    known = "; ".join(f"{code}: {asked.words}" for code, asked in QUESTIONS.items())
    said = (typed or text)[:60]
    asked_for = f"'{said}' is none of the twelve questions{between}. Type one of these codes or words - {known}"
    raise InputError([Fault(pointer="/question", rule="choice", value=text[:60], text=asked_for)])


def _hits(words: list[str], asked: Asked) -> float:
    """How many of some words are key words of a question; a slip of the pen counts less."""
    hits = 0.0
    for word in words:
        if word in asked.key_words:
            hits += 1.0
        elif len(word) > 3 and get_close_matches(word, asked.key_words, n=1, cutoff=0.85):
            hits += 0.5
    return hits
