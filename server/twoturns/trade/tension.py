"""
A belt span as a string: its lowest note from its tension, and back.

The string law leaves bending stiffness out. On a short span the note then reads high: at 120 mm
and 400 N by 0.9 to 14 % of the tension for a soft belt, depending on how its ends are held. So a
job is judged by the frequency window of its procedure; newtons are only a rough figure.

Sources: S1, OpenStax University Physics vol. 1, section 16.6 (string fixed at both ends).
S2, Blevins 1979, eq. 8.20 (beam under tension, ends pinned). S3, the Euler-Bernoulli beam under
tension, ends clamped: the lowest root of its frequency equation.
"""

import math

_FREE_BEAM = 4.7300408  # S3: the lowest root of cos b · cosh b = 1, a clamped beam without tension


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


def stiff_span_frequency_hz(
    tension_n: float, span_m: float, mass_kg_per_m: float, stiffness_nm2: float, *, clamped: bool
) -> float:
    """
    Lowest note of a span that also bends, Hz. A belt's ends are held between the two cases.

    Args:
        tension_n, span_m, mass_kg_per_m: As in `span_frequency_hz`.
        stiffness_nm2: Bending stiffness EI of the whole width, N·m².
        clamped: Ends held straight (S3), not free to turn (S2).

    >>> span = dict(tension_n=400, span_m=0.12, mass_kg_per_m=0.09, stiffness_nm2=0.02)
    >>> [round(stiff_span_frequency_hz(**span, clamped=each), 1) for each in (False, True)]
    [282.5, 320.2]
    """
    _above_zero(stiffness_nm2=stiffness_nm2)
    string_hz = span_frequency_hz(tension_n, span_m, mass_kg_per_m)
    pull = tension_n * span_m**2 / stiffness_nm2  # against the beam's own stiffness
    if not clamped:
        return string_hz * math.sqrt(1 + math.pi**2 / pull)
    # The root lies between that of a string, pi, and that of a beam without tension.
    low, high = math.pi, _FREE_BEAM
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _clamped(middle, pull) < 0 else (low, middle)
    bent = low * math.sqrt(low**2 + pull)
    return bent / span_m**2 * math.sqrt(stiffness_nm2 / mass_kg_per_m) / math.tau


def _clamped(b: float, pull: float) -> float:
    """S3's frequency equation over cosh(a), which alone would overflow; below 0 under the root."""
    a = math.sqrt(b**2 + pull)
    sech = 1 / math.cosh(a) if a < 700 else 0.0
    return math.cos(b) - sech - pull / (2 * a * b) * math.tanh(a) * math.sin(b)


def sensitivities(frequency_hz: float, span_m: float, mass_kg_per_m: float) -> dict[str, float]:
    """
    What one more of each figure does to the tension, N: `per_hz`, `per_mm`, `per_g_per_m`.

    >>> {name: round(n, 2) for name, n in sensitivities(80, 0.25, 0.110).items()}
    {'per_hz': 4.4, 'per_mm': 1.41, 'per_g_per_m': 1.6}
    """
    tension_n = span_tension_n(frequency_hz, span_m, mass_kg_per_m)
    return {
        "per_hz": 2 * tension_n / frequency_hz,
        "per_mm": 2 * tension_n / span_m / 1000,
        "per_g_per_m": tension_n / mass_kg_per_m / 1000,
    }


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
