"""Free vibration of two masses on springs as an eigenvalue problem, without damping."""

import numpy as np


def eigen_frequencies(sprung: float, unsprung: float, rate: float, tyre_rate: float) -> tuple[float, float]:
    """Frequencies in Hz, low then high, from the eigenvalues of M^-1 K."""
    matrix = np.array(
        [[rate / sprung, -rate / sprung], [-rate / unsprung, (rate + tyre_rate) / unsprung]], dtype=float
    )
    low, high = sorted(np.sqrt(np.linalg.eigvals(matrix).real) / (2.0 * np.pi))
    return float(low), float(high)


def free_decay(damping: float, rate: float, mass: float) -> tuple[float, float]:
    """(undamped frequency in Hz, damping ratio) from the eigenvalues of the state matrix."""
    matrix = np.array([[0.0, 1.0], [-rate / mass, -damping / mass]])
    first, second = np.linalg.eigvals(matrix)
    size = float(np.sqrt(abs(first * second)))  # product of the eigenvalues is k/m, sum is -c/m
    return size / (2.0 * np.pi), float(-(first + second).real / (2.0 * size))
