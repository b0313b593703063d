"""A span's note, the coolant and the interval: `tension`, `coolant`, `interval`."""

from collections.abc import Iterable

import click

from twoturns.cli.calc.answer import Answer, calculation, count, day_of, number, shown, whole
from twoturns.trade import coolant as mixes
from twoturns.trade import interval as intervals
from twoturns.trade import tension
from twoturns.words import t
from twoturns.words.en.cli.calc import service as words

# How true the three figures of a tension are, as parts of them: heard, with a rule, as stated.
_HEARD, _MEASURED, _STATED = 0.02, 0.01, 0.02
# Beyond these a figure was typed in another unit.
LEAST_SPAN_MM, MOST_SPAN_MM, MOST_KG_PER_M = 10, 5000, 5


@calculation("tension")
@click.argument("span_mm", type=number)
@click.option("--mass-kg-per-m", type=number, required=True, help="At the belt's full width.")
@click.option("--tension-n", type=number, help="Asked for, in one strand.")
@click.option("--within-percent", type=number, default=15.0, show_default=True, help="Either way.")
@click.option("--frequency-hz", type=number, help="Or as it was heard.")
@click.option("--stiffness-nm2", type=number, help="Bending stiffness, to see what it changes.")
def span(
    span_mm: float,
    mass_kg_per_m: float,
    tension_n: float | None,
    within_percent: float,
    frequency_hz: float | None,
    stiffness_nm2: float | None,
) -> Answer:
    """
    The note of a free span of SPAN_MM for a tension, or the tension of a note.

    Example:

    \b
        twoturns calc tension 187.4 --tension-n 330 --mass-kg-per-m 0.131
    """
    if (tension_n is None) == (frequency_hz is None):
        raise ValueError(t(words.TENSION_OR_FREQUENCY))
    if stiffness_nm2 is not None and tension_n is None:
        raise ValueError(t(words.STIFFNESS_NEEDS_TENSION))
    answer = Answer()
    if not LEAST_SPAN_MM <= span_mm <= MOST_SPAN_MM:
        raise ValueError(
            t(
                words.SPAN_OUT_OF_RANGE,
                span_mm=f"{span_mm:g}",
                least_span_mm=LEAST_SPAN_MM,
                most_span_mm=MOST_SPAN_MM,
            )
        )
    if mass_kg_per_m > MOST_KG_PER_M:
        raise ValueError(
            t(
                words.MASS_OUT_OF_RANGE,
                mass_kg_per_m=f"{mass_kg_per_m:g}",
                kg=f"{mass_kg_per_m / 1000:g}",
            )
        )
    span_m = span_mm / 1000
    if tension_n is not None:
        low, target, high = tension.frequency_window_hz(
            tension_n, within_percent, span_m, mass_kg_per_m
        )
        answer.add("low_hz", "lowest", low, "Hz")
        answer.add("target_hz", "target", target, "Hz")
        answer.add("high_hz", "highest", high, "Hz")
        if stiffness_nm2 is not None:
            for clamped, name in ((False, "pinned"), (True, "clamped")):
                note = tension.stiff_span_frequency_hz(
                    tension_n, span_m, mass_kg_per_m, stiffness_nm2, clamped=clamped
                )
                answer.add(f"{name}_hz", t(words.STIFF_BELT, name=name), note, "Hz")
    else:
        found = tension.span_tension_n(frequency_hz or 0.0, span_m, mass_kg_per_m)
        _, band = tension.tension_uncertainty(_HEARD, _MEASURED, _STATED)
        answer.add("tension_n", t(words.STRING_TENSION), round(found, -1), "N")
        answer.add("within_n", t(words.GIVE_OR_TAKE), max(10.0, round(found * band, -1)), "N")
        sensitive = tension.sensitivities(frequency_hz or 0.0, span_m, mass_kg_per_m)
        answer.add("per_hz", t(words.PER_HZ), sensitive["per_hz"], "N")
        answer.add("per_mm", t(words.PER_MM_OF_SPAN), sensitive["per_mm"], "N")
        answer.notes.append(t(words.WHAT_BAND_COVERS))
    answer.notes.append(t(words.JUDGE_BY_NOTE))
    return answer


@calculation("coolant")
@click.argument("percent", type=number)
@click.option("--system-l", type=number, help="All that the system holds.")
@click.option("--drained-l", type=number, help="What came out.")
@click.option("--wanted", type=number, help="Glycol wanted, % by volume.")
@click.option("--holds-c", type=number, help="Or the temperature it must hold to.")
@click.option("--by-mass", is_flag=True, help="PERCENT is by mass.")
def coolant(
    percent: float,
    system_l: float | None,
    drained_l: float | None,
    wanted: float | None,
    holds_c: float | None,
    by_mass: bool,
) -> Answer:
    """
    Where a mix of PERCENT glycol by volume freezes, and what to fill after a drain.

    Example:

    \b
        twoturns calc coolant 20 --system-l 8 --drained-l 5.5 --holds-c -36
    """
    answer = Answer()
    if by_mass:
        percent = mixes.volume_percent(percent)
        answer.add("by_volume", t(words.BY_VOLUME), percent, "%")
    _freezes(answer, "freezes_c", t(words.FREEZES_AT), percent)
    if holds_c is not None:
        if wanted is not None:
            raise ValueError(t(words.WANTED_OR_HOLDS))
        wanted = mixes.percent_for(holds_c)
        answer.add("wanted", t(words.TO_HOLD_TO, holds_c=f"{holds_c:g}"), wanted, "%")
    if wanted == 0:
        answer.danger(t(words.PLAIN_WATER))
    if (system_l, drained_l) != (None, None) or (wanted is not None and holds_c is None):
        if system_l is None or drained_l is None or wanted is None:
            raise ValueError(t(words.FILL_NEEDS_OPTIONS))
        fill = mixes.fill_for(system_l, drained_l, percent, wanted)
        answer.add("concentrate_l", "concentrate", fill.concentrate_l, "L")
        answer.add("water_l", "water", fill.water_l, "L")
        answer.add("percent", t(words.MIX_REACHED), fill.percent, "%")
        _freezes(answer, "then_freezes_c", "and freezes at", fill.percent)
        answer.notes.append(fill.says)
        answer.accepted &= fill.is_reached
    answer.notes.append(t(words.ROUNDED_TO_WARM_SIDE))
    return answer


def _freezes(answer: Answer, name: str, label: str, percent: float) -> None:
    if mixes.MOST_PERCENT < percent <= 100:
        answer.danger(
            t(
                words.TOO_MUCH_GLYCOL,
                shown=shown(percent),
                most_percent=mixes.MOST_PERCENT,
            )
        )
    else:
        answer.add(name, label, mixes.shown_freeze_point_c(percent), "°C")


@calculation("interval")
@click.option("--last-km", type=count, required=True, help="When the belt was fitted.")
@click.option("--last-on", required=True, help="The day it was fitted, YYYY-MM-DD.")
@click.option("--every-km", type=count, help="The maker's interval.")
@click.option("--every-months", type=count, help="The maker's interval.")
@click.option("--severe", type=number, default=1.0, show_default=True, help="Part of it, hard use.")
@click.option("--reading", "read", multiple=True, help="DAY=KM, as often as there are readings.")
@click.option("--today", help="YYYY-MM-DD.")
def interval(
    last_km: int,
    last_on: str,
    every_km: int | None,
    every_months: int | None,
    severe: float,
    read: Iterable[str],
    today: str | None,
) -> Answer:
    """
    When a belt is due: by distance or date, whichever comes first; a forecast from readings.

    Example:

    \b
        twoturns calc interval --last-km 60000 --last-on 2022-05-01 --every-km 90000 \\
            --reading 2024-05-01=90500 --reading 2026-06-01=121000
    """
    limit = intervals.due(
        last_km, day_of(last_on), intervals.Interval(every_km, every_months, severe)
    )
    answer = Answer()
    answer.add("due_km", t(words.DUE_AT), limit.km, "km")
    answer.add("due_on", t(words.DUE_ON), limit.on)
    readings = [intervals.Reading(day_of(last_on), last_km), *map(_reading, read)]
    for each in readings:
        if each.km < 0:
            raise ValueError(t(words.KM_OUT_OF_RANGE, km=each.km))
        if each.on > day_of(today):
            raise ValueError(t(words.DAY_IN_FUTURE, on=str(each.on), day_of=str(day_of(today))))
    if len(readings) > 1:
        found = intervals.forecast(limit, readings, day_of(today))
        answer.add("forecast_on", "forecast", found.on)
        answer.add("earliest", "between", found.earliest)
        answer.add("latest", "and", found.latest)
        answer.add("by", "by", found.by)
        answer.add("km_a_day", "at", found.km_a_day, t(words.KM_PER_DAY))
        answer.notes += [each.says for each in found.oddities]
    due = intervals.why_due(limit, readings, day_of(today))
    if due is not None:
        answer.danger(due)
    answer.notes.append(t(words.MAKERS_DATA_DECIDE))
    return answer


def _reading(text: str) -> intervals.Reading:
    day, _, km = text.partition("=")
    if not km:
        raise ValueError(t(words.NOT_A_READING, text=f"{text!r}"))
    return intervals.Reading(day_of(day), whole(km))
