"""One bracketed root-finder for arrays of independent increasing functions."""

from collections.abc import Callable

import numpy as np

from .numbers import Array, Real

_ROUND_OFF = 8.0 * float(np.finfo(float).eps)
_STEPS = 100


def bracketed_newton(
    residual: Callable[[Array], tuple[Array, Array]], start: Real, low: Real, high: Real, scale: float = 0.0
) -> Array:
    """Roots of increasing functions by Newton steps that never leave the bracket.

    Symbols: residual: from x, any shape, to (f, df/dx), same shape; start, low, high: any shape, broadcast,
    f(low) <= 0 <= f(high); scale: absolute size below which a step counts as round-off [unit of x].
    Returns x, broadcast shape; an element whose f is not a number keeps its last x.
    Raises: nothing.
    Validity: increasing f. An element stops moving once its own step is round-off, so that a batch gives
    the same bits as each of its members alone.
    Source: Newton's method safeguarded by bisection (any numerical-analysis text).

    >>> float(bracketed_newton(lambda x: (x**2 - 2.0, 2.0 * x), 1.0, 0.0, 2.0))
    1.414214
    """
    x, low, high = np.broadcast_arrays(start, low, high)
    x = np.array(np.clip(x, low, high), dtype=float)
    done = np.zeros(np.broadcast_shapes(x.shape, np.shape(residual(x)[0])), dtype=bool)
    x, low, high = (np.array(np.broadcast_to(a, done.shape), dtype=float) for a in (x, low, high))
    for _ in range(_STEPS):
        f, slope = residual(x)
        high = np.where(f > 0.0, x, high)
        low = np.where(f < 0.0, x, low)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = x - f / slope
        inside = (step >= low) & (step <= high)
        following = np.where(inside, step, 0.5 * (low + high))
        settled = np.abs(following - x) <= _ROUND_OFF * np.maximum(np.abs(x), scale)
        done = done | settled | (f == 0.0) | np.isnan(f)
        if done.all():
            break
        x = np.where(done, x, following)
    return x
