"""How many examples the laws draw: few in the README's command, more where `LIBDAMP_LAWS` says so."""

import os

LAWS = int(os.environ.get("LIBDAMP_LAWS", "6"))
"""Examples of a law that does not say otherwise."""
USUAL = 10


def examples(usual: int) -> int:
    """Examples of a law that draws so many where others draw `USUAL`: a dear one few, a cheap one more."""
    return max(1, round(usual * LAWS / USUAL))
