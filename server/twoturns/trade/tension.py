"""
A belt span as a string: its lowest note from its tension, and back.

Bending stiffness is left out. On a short span the note then reads high: at 120 mm and 400 N by
0.9 to 14 % of the tension for a soft belt, depending on how its ends are held. So a job is
judged by the frequency window of its procedure; newtons are shown only as a rough figure.

Sources: S1, OpenStax University Physics vol. 1, section 16.6 (string fixed at both ends).
S2, own comparison with a stiff-string finite-element model (Blevins 1979, eq. 8.20).
"""

import math


def span_frequency_hz(tension_n: float, span_m: float, mass_kg_per_m: float) -> float:
    """
    Lowest transverse note of a free span, Hz. S1.

    Args:
        tension_n: Tension in one strand, N.
        span_m: Free length between the two tangent points, m. Not centre distance.
        mass_kg_per_m: Belt mass per metre at its full width, kg/m.

    Raises:
        ValueError: If any argument is not finite and above zero.

    >>> round(span_frequency_hz(tension_n=330, span_m=0.1874, mass_kg_per_m=0.131), 1)
    133.9
    """
    _above_zero(tension_n=tension_n, span_m=span_m, mass_kg_per_m=mass_kg_per_m)
    return math.sqrt(tension_n / mass_kg_per_m) / (2 * span_m)


def span_tension_n(frequency_hz: float, span_m: float, mass_kg_per_m: float) -> float:
    """
    Tension of a span from its lowest note, N: reads high on short spans. S1.

    Args:
        frequency_hz: Lowest note of the free span, Hz. Not its octave.
        span_m: Free length between the two tangent points, m.
        mass_kg_per_m: Belt mass per metre at its full width, kg/m.

    Raises:
        ValueError: If any argument is not finite and above zero.

    >>> round(span_tension_n(frequency_hz=80, span_m=0.25, mass_kg_per_m=0.110), 1)
    176.0
    """
    _above_zero(frequency_hz=frequency_hz, span_m=span_m, mass_kg_per_m=mass_kg_per_m)
    return 4 * mass_kg_per_m * span_m**2 * frequency_hz**2


def frequency_window_hz(
    tension_n: float, within_percent: float, span_m: float, mass_kg_per_m: float
) -> tuple[float, float, float]:
    """Lowest, target and highest note for a tension and its allowance; as the root, not linear."""
    if not 0 < within_percent < 100:
        raise ValueError(f"within_percent must be above 0 and below 100, got {within_percent!r}")
    low, target, high = (
        span_frequency_hz(tension_n * (1 + part / 100), span_m, mass_kg_per_m)
        for part in (-within_percent, 0, within_percent)
    )
    return low, target, high


def tension_uncertainty(
    frequency_part: float, span_part: float, mass_part: float
) -> tuple[float, float]:
    """
    Relative error of a tension from relative errors of its three figures: (worst case, rms).

    >>> [round(part, 3) for part in tension_uncertainty(0.01, 0.005, 0.02)]
    [0.05, 0.03]
    """
    parts = 2 * frequency_part, 2 * span_part, mass_part
    return math.fsum(parts), math.hypot(*parts)


def _above_zero(**figures: float) -> None:
    for name, value in figures.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be finite and above zero, got {value!r}")
