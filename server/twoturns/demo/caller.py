"""A call, as a phone writes it down: what was said, what that makes of it, a written warning."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from twoturns.demo.scripted_phone import ScriptedPhone
from twoturns.trade.belt_due import Fitted, Verdict, judge_belt, warning
from twoturns.trade.interval import Interval, Reading
from twoturns.trade.triage import triage

_PRIVATE = ("customer", "phone", "plate", "words")


def enquiry(phone: ScriptedPhone, said: Mapping[str, Any], today: date) -> dict[str, Any]:
    """
    Return the body of `enquiry.taken`.

    Args:
        phone: Who takes the call; its private values go with its next batch.
        said: `customer`, `phone`, `plate`, `words`; `engine_code`, `odometer_km`, `noticed`;
            `fitted_days_ago` and `fitted_km`; `interval` in km and months; `triage`, its answers.
        today: The day of the call.
    """
    verdict = _verdict(said, today)
    found = triage(said["triage"], said["noticed"])
    body: dict[str, Any] = {name: phone.private(name, said[name]) for name in _PRIVATE}
    body |= {name: said[name] for name in ("engine_code", "odometer_km", "noticed")}
    body |= {
        "fitted_on": _fitted_on(said, today).isoformat(),
        "fitted_km": said["fitted_km"],
        "interval_km": said["interval"]["km"],
        "interval_months": said["interval"]["months"],
        "due": verdict.code,
        "triage": [{"ask": ask, "said": answer} for ask, answer in said["triage"].items()],
        "advice": found.advice,
        "because": list(found.because),
        "told": list(found.told),
    }
    if verdict.limit.on is not None:
        body["due_on"] = verdict.limit.on.isoformat()
    if verdict.limit.km is not None:
        body["due_km"] = verdict.limit.km
    warned = warning(verdict, said["plate"])
    if warned is not None:
        body["warning"] = phone.private("words", warned)
    return body


def _fitted_on(said: Mapping[str, Any], today: date) -> date:
    return today - timedelta(days=said["fitted_days_ago"])


def _verdict(said: Mapping[str, Any], today: date) -> Verdict:
    interval = Interval(km=said["interval"]["km"], months=said["interval"]["months"])
    fitted = Fitted(on=_fitted_on(said, today), km=said["fitted_km"])
    return judge_belt(fitted, interval, [Reading(today, said["odometer_km"])], today)
