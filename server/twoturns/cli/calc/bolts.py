"""Torque and bolts: `convert`, `adaptor`, `wrench`, `stages`, `bolt`, `stud`, `roller`."""

import click

from twoturns.cli.calc.answer import Answer, calculation, count, day_of, figure, number
from twoturns.trade import fastener, torque, units
from twoturns.words import t
from twoturns.words.en.cli.calc import bolts as words


@calculation("convert")
@click.argument("value", type=number)
@click.argument("unit")
@click.argument("into")
def convert(value: float, unit: str, into: str) -> Answer:
    """
    Convert VALUE from UNIT INTO another, as `convert 30 lbf-ft Nm`.

    Example:

    \b
        twoturns calc convert 30 lbf-ft Nm
    """
    answer = Answer()
    answer.add("value", f"{value:g} {units.unit_named(unit)}", units.convert(value, unit, into))
    name, text, number, _ = answer.figures[0]
    named = units.unit_named(into)
    answer.figures[0] = (name, text, number, named)
    if "gal" in (units.unit_named(unit), named):
        answer.notes.append(t(words.US_GALLON))
    return answer


@calculation("adaptor")
@click.argument("torque_nm", type=number)
@click.option("--wrench-mm", type=number, required=True, help="Hand to square.")
@click.option("--adaptor-mm", type=number, required=True, help="Square to fastener.")
@click.option("--angle-deg", type=number, default=0.0, show_default=True, help="0 lengthens.")
def adaptor(torque_nm: float, wrench_mm: float, adaptor_mm: float, angle_deg: float) -> Answer:
    """
    What to set on a wrench with an adaptor, so that the fastener gets TORQUE_NM.

    Example:

    \b
        twoturns calc adaptor 25 --wrench-mm 400 --adaptor-mm 50
    """
    setting = torque.wrench_setting_nm(torque_nm, wrench_mm, adaptor_mm, angle_deg)
    answer = Answer(notes=[t(words.HOLD_GRIP_MIDDLE)])
    answer.add("setting_nm", "setting", setting, "N·m")
    return answer


@calculation("wrench")
@click.argument("setting_nm", type=number)
@click.option("--low-nm", type=number, help="Its lowest mark; without it a fifth of the highest.")
@click.option("--high-nm", type=number, required=True, help="Its highest mark.")
@click.option("--due", help="Calibrated until, YYYY-MM-DD.")
@click.option("--cycles", type=count, default=0, show_default=True, help="Clicks since then.")
@click.option("--today", help="YYYY-MM-DD.")
def wrench(
    setting_nm: float,
    low_nm: float | None,
    high_nm: float,
    due: str | None,
    cycles: int,
    today: str | None,
) -> Answer:
    """
    Whether a wrench may be used for SETTING_NM: its range, its calibration.

    Example:

    \b
        twoturns calc wrench 25 --low-nm 20 --high-nm 120 --due 2027-05-01
    """
    one = torque.Wrench(high_nm, low_nm, None if due is None else str(day_of(due)), cycles)
    found = torque.wrench_fits(one, setting_nm, str(day_of(today)))
    answer = Answer(notes=[found.message, found.hint], accepted=found.fits)
    answer.add("code", "verdict", found.code)
    return answer


@calculation("stages")
@click.argument("stages", nargs=-1, required=True)
@click.option(
    "--bolts",
    type=click.IntRange(1, 100),
    required=True,
    help="How many, in a ring: pulled star-wise.",
)
def stages(stages: tuple[str, ...], bolts: int) -> Answer:
    """
    Every pull of a staged tightening, in order: STAGES as `20 35 90deg`.

    Example:

    \b
        twoturns calc stages 20 35 90deg --bolts 4
    """
    parsed = [
        (None, figure(each.removesuffix("deg"))) if each.endswith("deg") else (figure(each), None)
        for each in stages
    ]
    pulls = torque.staged([str(place) for place in torque.star(bolts)], parsed)
    answer = Answer()
    for at, pull in enumerate(pulls, start=1):
        what = (pull.nm, "N·m") if pull.angle_deg is None else (pull.angle_deg, "° further")
        answer.add(f"pull_{at}_bolt_{pull.bolt}", f"{at}. bolt {pull.bolt}", *what)
    answer.notes.append("Where the maker gives an order, that one comes first.")
    if pulls[-1].angle_deg is not None:
        answer.notes.append(t(words.FIT_NEW_BOLTS))
    return answer


@calculation("bolt")
@click.argument("thread")
@click.option("--strength", default="8.8", show_default=True, help="Property class.")
@click.option("--torque-nm", type=number, help="Tightened to.")
@click.option("--angle-deg", type=number, help="And turned further.")
@click.option("--clamped-mm", type=number, help="Length between head and thread, for an angle.")
def bolt(
    thread: str,
    strength: str,
    torque_nm: float | None,
    angle_deg: float | None,
    clamped_mm: float | None,
) -> Answer:
    """
    A THREAD as M10 or M10x1.25: what it bears, and what a torque or an angle makes of it.

    Example:

    \b
        twoturns calc bolt M10 --strength 10.9 --torque-nm 60
    """
    named = fastener.thread_named(thread)
    answer = Answer()
    answer.add("pitch_mm", "pitch", named.pitch_mm, "mm")
    answer.add("stress_area_mm2", t(words.STRESS_AREA), named.stress_area_mm2, "mm²")
    answer.add("proof_n", t(words.PROOF_LOAD), float(fastener.proof_load_n(named, strength)), "N")
    usual = fastener.FRICTION[1]
    at_yield = fastener.preload_at_yield_n(named, strength, usual)
    answer.add("at_90_percent_of_yield_n", t(words.PRELOAD_NEAR_YIELD), at_yield, "N")
    snug_n = 0.0
    if torque_nm is not None:
        snug_n = _preload(answer, torque_nm, named, strength).usual_n
    if (angle_deg is None) != (clamped_mm is None):
        raise ValueError(t(words.ANGLE_NEEDS_CLAMPED))
    if angle_deg is not None and clamped_mm is not None:
        turned = fastener.tightened_by_angle(
            angle_deg, named, strength, clamped_mm=clamped_mm, snug_n=snug_n
        )
        answer.add("added_n", t(words.ADDED_IF_ELASTIC), turned.added_n, "N")
        answer.add("reached_n", t(words.PRELOAD_REACHED), turned.reached_n, "N")
        if turned.is_past_yield:
            answer.notes.append(t(words.TORQUE_TO_YIELD))
    return answer


def _preload(
    answer: Answer, torque_nm: float, thread: fastener.Thread, strength: str
) -> fastener.Band:
    band = fastener.preload_band(torque_nm, thread, strength)
    oiled, usual, bare = fastener.FRICTION
    answer.add("low_n", t(words.PRELOAD_BARE, bare=f"{bare:g}"), _roughly(band.low_n), "N")
    answer.add("usual_n", t(words.PRELOAD_USUAL, usual=f"{usual:g}"), _roughly(band.usual_n), "N")
    answer.add("high_n", t(words.PRELOAD_OILED, oiled=f"{oiled:g}"), _roughly(band.high_n), "N")
    answer.notes.append(t(words.PRELOAD_IS_A_BAND))
    _judge(
        answer,
        band,
        t(words.PULL_OF_TORQUE, torque_nm=f"{torque_nm:g}", thread=str(thread), strength=strength),
    )
    return band


def _judge(answer: Answer, band: fastener.Band, pulled: str) -> None:
    if band.is_overtightened:
        answer.danger(t(words.OVERTIGHTENED, pulled=pulled))
    elif band.may_yield:
        answer.notes.append(t(words.OILED_ABOVE_PROOF))


def _roughly(newtons: float) -> float:
    """Two digits that count: the band is wider than the third."""
    return float(f"{newtons:.1e}")


@calculation("stud")
@click.argument("thread")
@click.option("--stands-out-mm", type=number, required=True, help="As measured.")
@click.option("--seated-mm", type=number, required=True, help="When it is seated.")
@click.option("--within-mm", type=number, default=0.5, show_default=True, help="A caliper: 0.1.")
def stud(thread: str, stands_out_mm: float, seated_mm: float, within_mm: float) -> Answer:
    """
    How many turns a stud of THREAD stands out too far.

    Example:

    \b
        twoturns calc stud M8 --stands-out-mm 34.9 --seated-mm 33
    """
    found = fastener.stud_turns(
        stands_out_mm, seated_mm, fastener.thread_named(thread), within_mm=within_mm
    )
    answer = Answer(accepted=found.is_seated)
    answer.add("turns", t(words.TURNS_TOO_FAR_OUT), found.turns)
    answer.add("within_turns", t(words.MEASURED_WITHIN), found.within_turns, "turns")
    says = t(words.SEATED) if found.is_seated else t(words.NOT_SEATED)
    answer.notes.append(says)
    return answer


@calculation("roller")
@click.argument("thread")
@click.option("--tension-n", type=number, required=True, help="In one strand.")
@click.option("--wrap-deg", type=number, required=True, help="That the belt wraps round it.")
@click.option("--arm-mm", type=number, required=True, help="The face to the belt's middle.")
@click.option("--torque-nm", type=number, required=True, help="Of its nut or bolt.")
def roller(
    thread: str, tension_n: float, wrap_deg: float, arm_mm: float, torque_nm: float
) -> Answer:
    """
    What a roller's stud of THREAD bears: flush on its face, and not flush.

    Example:

    \b
        twoturns calc roller M8 --tension-n 400 --wrap-deg 60 --arm-mm 20 --torque-nm 25
    """
    named = fastener.thread_named(thread)
    load = fastener.hub_load_n(tension_n, wrap_deg)
    answer = Answer()
    band = fastener.preload_band(torque_nm, named, "8.8")
    _judge(answer, band, t(words.PULL_OF_STUD, torque_nm=f"{torque_nm:g}", named=str(named)))
    bending = fastener.bending_mpa(load, arm_mm, named)
    reserve = fastener.flush_reserve(load, band.low_n)
    answer.add("load_n", t(words.PULL_ON_ROLLER), load, "N")
    answer.add("reserve", t(words.FRICTION_HOLDS), reserve, t(words.TIMES_THE_PULL))
    answer.add("bending_mpa", t(words.BENDING), bending, "MPa")
    part = round(100 * bending / fastener.PROOF_MPA["8.8"])
    answer.notes.append(t(words.STUD_BENDS, part=part))
    if reserve < 1:
        answer.danger(
            t(words.ROLLER_NOT_HELD, torque_nm=f"{torque_nm:g}", reserve=f"{reserve:.2g}")
        )
    else:
        answer.notes.append(t(words.STUD_STRAIGHT))
    return answer
