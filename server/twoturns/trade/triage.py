"""
What is said on the telephone before anything else: may it run, and where is it looked at.

A belt that broke or jumped while the engine ran may have let valves and pistons meet; each turn of
the starter makes it worse. So it is asked first whether the engine runs, stopped while it ran, and
was cranked since; then whether it is a hybrid, and where it stands. Out of that comes where the
work is done, what the caller is told, and why.

A timing belt is never done at the roadside; an auxiliary belt only where nothing speaks against it.
Nothing here is known of the vehicle: the maker's data, local rules and trained people come first.

Sources: S1, HSE, motor vehicle repair, roadside repair, essential precautions: the place and its
traffic are judged before the work, by people with training, clothing and light for it. S2, HSE,
electric and hybrid vehicles: they are opened by trained people alone, and may be live when they are
still. All else: common practice, no source. The twin is `client/src/trade/triage.ts`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Final

from twoturns.words import t
from twoturns.words.en.trade import triage as words

YES, NO, UNKNOWN = "yes", "no", "unknown"
_KNOWN_OR_NOT = (YES, NO, UNKNOWN)

# What is asked, in this order, and what may be said to it.
ASKS: Final[dict[str, tuple[str, ...]]] = {
    "runs": _KNOWN_OR_NOT,
    "stopped": _KNOWN_OR_NOT,
    "cranked": _KNOWN_OR_NOT,
    "belt": ("timing", "auxiliary", UNKNOWN),
    "hybrid": _KNOWN_OR_NOT,
    "stands": ("workshop", "home", "car_park", "road_side", "fast_road"),
    "traffic": (YES, NO),
    "slope": (YES, NO),
    "dark": (YES, NO),
}


@dataclass(frozen=True)
class Triage:
    """
    `advice`: roadside, workshop or recover. `because`: the reasons, the gravest first. `told`: what
    the caller is asked to do and not to do. Words of both: `reason_words`, `told_words`.
    """

    advice: str
    because: tuple[str, ...]
    told: tuple[str, ...]


@dataclass(frozen=True)
class _Call:
    said: Mapping[str, str]
    noticed: Collection[str]

    def is_said(self, ask: str, *answers: str) -> bool:
        return self.said.get(ask, UNKNOWN) in answers

    @property
    def is_away(self) -> bool:
        return not self.is_said("stands", "workshop")

    @property
    def stands_still(self) -> bool:
        return not self.is_said("runs", YES)

    @property
    def is_in_traffic(self) -> bool:
        return self.is_away and (
            self.is_said("stands", "fast_road") or self.is_said("traffic", YES)
        )


def _noticed(name: str) -> Callable[[_Call], bool]:
    return lambda call: name in call.noticed


def _at_its_place(ask: str) -> Callable[[_Call], bool]:
    return lambda call: call.is_away and call.is_said(ask, YES)


_DRIVES_ITSELF = (
    "drives"  # what a reason forbids: to go on by itself, or to be worked on where it is
)
_ON_THE_SPOT = "on_the_spot"
_Reason = tuple[str, Callable[[_Call], bool], tuple[str, ...], tuple[str, ...]]

# A reason, when it holds, what it forbids, and what the caller is told for it.
_REASONS: Final[tuple[_Reason, ...]] = (
    ("smoke", _noticed("smoke"), (_DRIVES_ITSELF,), ("stop_engine", "away_from_it")),
    ("fuel_smell", _noticed("fuel_smell"), (_DRIVES_ITSELF,), ("do_not_crank", "away_from_it")),
    (
        "stopped_running",
        lambda call: call.stands_still and call.is_said("stopped", YES),
        (_DRIVES_ITSELF,),
        ("do_not_crank",),
    ),
    (
        "cranked_since",
        lambda call: call.stands_still and call.is_said("cranked", YES),
        (_DRIVES_ITSELF,),
        ("do_not_crank",),
    ),
    (
        "does_not_run",
        lambda call: call.stands_still and not call.is_said("stopped", YES),
        (_DRIVES_ITSELF,),
        ("do_not_crank",),
    ),
    ("belt_pieces", _noticed("belt_pieces"), (_DRIVES_ITSELF,), ("stop_engine", "do_not_crank")),
    ("knock", _noticed("knock"), (_DRIVES_ITSELF,), ("stop_engine", "do_not_crank")),
    ("steam", _noticed("steam"), (_DRIVES_ITSELF,), ("stop_engine", "cap_stays_shut")),
    ("traffic", lambda call: call.is_in_traffic, (_DRIVES_ITSELF,), ("behind_barrier",)),
    ("hybrid", lambda call: call.is_said("hybrid", YES), (_ON_THE_SPOT,), ("hybrid_shut",)),
    (
        "hybrid_unknown",
        lambda call: call.is_said("hybrid", UNKNOWN),
        (_ON_THE_SPOT,),
        ("hybrid_shut",),
    ),
    ("slope", _at_its_place("slope"), (_ON_THE_SPOT,), ("held_on_slope",)),
    ("dark", _at_its_place("dark"), (_ON_THE_SPOT,), ()),
    (
        "timing_belt",
        lambda call: not call.is_said("belt", "auxiliary"),
        (_ON_THE_SPOT,),
        (),
    ),
)


def asked(said: Mapping[str, str]) -> tuple[str, ...]:
    """
    Return what is to be asked, by what was said so far: of one that runs nobody asks whether it
    stopped, and of one in the workshop nobody asks for traffic.

    >>> asked({"runs": "yes", "stands": "workshop"})
    ('runs', 'belt', 'hybrid', 'stands')
    """
    left = set()
    if said.get("runs") == YES:
        left |= {"stopped", "cranked"}
    if said.get("stands") == "workshop":
        left |= {"traffic", "slope", "dark"}
    return tuple(ask for ask in ASKS if ask not in left)


def triage(said: Mapping[str, str], noticed: Collection[str] = ()) -> Triage:
    """
    Judge a call: what was said to `ASKS`, and which of `NOTICED_WORDS`. What was not asked is
    unknown.

    Raises:
        ValueError: On a question, an answer or a sign that is not known here.

    >>> triage({"runs": "no", "stopped": "yes", "hybrid": "no", "stands": "road_side"}).advice
    'recover'
    """
    _check(said, noticed)
    needed = asked(said)
    call = _Call({ask: answer for ask, answer in said.items() if ask in needed}, noticed)
    found = [reason for reason in _REASONS if reason[1](call)]
    forbidden = {one for _, _, forbids, _ in found for one in forbids}
    told = dict.fromkeys(one for _, _, _, tells in found for one in tells)
    if call.is_said("runs", NO):
        told.pop("stop_engine", None)
    return Triage(_advice(call, forbidden), tuple(code for code, *_ in found), tuple(told))


def _advice(call: _Call, forbidden: Collection[str]) -> str:
    if not call.is_away:
        return "workshop"
    if _DRIVES_ITSELF in forbidden:
        return "recover"
    if not call.is_said("belt", "auxiliary"):
        return "workshop"
    # Without its auxiliary belt an engine may be without a water pump: it is not driven in.
    return "recover" if forbidden else "roadside"


def _check(said: Mapping[str, str], noticed: Collection[str]) -> None:
    for ask, answer in said.items():
        if answer not in ASKS.get(ask, ()):
            raise ValueError(f"unknown answer {answer!r} to {ask!r}")
    for name in noticed:
        if name not in NOTICED_WORDS:
            raise ValueError(f"unknown sign {name!r}; expected one of {', '.join(NOTICED_WORDS)}")


ADVICE_WORDS: Final = {
    "roadside": t(words.ROADSIDE),
    "workshop": t(words.WORKSHOP),
    "recover": t(words.RECOVER),
}
REASON_WORDS: Final = {
    "smoke": t(words.BECAUSE_SMOKE),
    "fuel_smell": t(words.BECAUSE_FUEL_SMELL),
    "stopped_running": t(words.BECAUSE_STOPPED_RUNNING),
    "cranked_since": t(words.BECAUSE_CRANKED_SINCE),
    "does_not_run": t(words.BECAUSE_DOES_NOT_RUN),
    "belt_pieces": t(words.BECAUSE_BELT_PIECES),
    "knock": t(words.BECAUSE_KNOCK),
    "steam": t(words.BECAUSE_STEAM),
    "traffic": t(words.BECAUSE_TRAFFIC),
    "hybrid": t(words.BECAUSE_HYBRID),
    "hybrid_unknown": t(words.BECAUSE_HYBRID_UNKNOWN),
    "slope": t(words.BECAUSE_SLOPE),
    "dark": t(words.BECAUSE_DARK),
    "timing_belt": t(words.BECAUSE_TIMING_BELT),
}
TOLD_WORDS: Final = {
    "stop_engine": t(words.TELL_STOP_ENGINE),
    "do_not_crank": t(words.TELL_DO_NOT_CRANK),
    "away_from_it": t(words.TELL_AWAY_FROM_IT),
    "cap_stays_shut": t(words.TELL_CAP_STAYS_SHUT),
    "behind_barrier": t(words.TELL_BEHIND_BARRIER),
    "hybrid_shut": t(words.TELL_HYBRID_SHUT),
    "held_on_slope": t(words.TELL_HELD_ON_SLOPE),
}
# What may be noticed of a belt, or taken for one.
NOTICED_WORDS: Final = {
    "rattle_cold": t(words.NOTICED_RATTLE_COLD),
    "whine": t(words.NOTICED_WHINE),
    "knock": t(words.NOTICED_KNOCK),
    "hard_start": t(words.NOTICED_HARD_START),
    "low_power": t(words.NOTICED_LOW_POWER),
    "engine_lamp": t(words.NOTICED_ENGINE_LAMP),
    "charge_lamp": t(words.NOTICED_CHARGE_LAMP),
    "steering_heavy": t(words.NOTICED_STEERING_HEAVY),
    "coolant_loss": t(words.NOTICED_COOLANT_LOSS),
    "steam": t(words.NOTICED_STEAM),
    "oil_smell": t(words.NOTICED_OIL_SMELL),
    "fuel_smell": t(words.NOTICED_FUEL_SMELL),
    "smoke": t(words.NOTICED_SMOKE),
    "belt_pieces": t(words.NOTICED_BELT_PIECES),
}
