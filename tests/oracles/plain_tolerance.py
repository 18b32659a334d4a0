"""The band of an output, a second time: plain loops over the nodes of a quadrature, no draws.

Inputs are normal and independent. The mean and the variance of a figure are its sums over the product of
Gauss-Hermite nodes; an input's share is the variance of the mean over all the others.
"""

import math
from collections.abc import Callable
from itertools import product

from numpy.polynomial.hermite_e import hermegauss

Figure = Callable[[dict[str, float]], float]


def tolerance(
    figure: Figure, centre: dict[str, float], sds: dict[str, float], order: int = 5
) -> tuple[float, float, dict[str, float]]:
    """Mean, standard deviation, and the share of each input in the variance."""
    nodes, weights = (values.tolist() for values in hermegauss(order))
    weights = [weight / math.sqrt(2.0 * math.pi) for weight in weights]
    names = list(sds)
    mean, square = 0.0, 0.0
    partly = {name: [0.0] * order for name in names}  # mean over the others at each node of an input
    for places in product(range(order), repeat=len(names)):
        inputs = dict(centre)
        weight = 1.0
        for name, place in zip(names, places, strict=True):
            inputs[name] += sds[name] * nodes[place]
            weight *= weights[place]
        value = figure(inputs)
        mean += weight * value
        square += weight * value * value
        for name, place in zip(names, places, strict=True):
            partly[name][place] += weight / weights[place] * value
    variance = square - mean * mean
    shares = {
        name: sum(w * (m - mean) ** 2 for w, m in zip(weights, means, strict=True)) / variance
        for name, means in partly.items()
    }
    return mean, math.sqrt(variance), shares
