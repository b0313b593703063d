"""
Which belts will be due, by the day that their own vehicles' readings forecast.

A job that was finished says when its belt ends, by distance and by date (the procedure's interval,
or what the job itself says of it). Where the workshop has read the same vehicle's odometer before,
its own use says which comes first (`trade.interval`); else the date alone is told, and above which
use a year the distance would come first. Kept with the job's summary, in the order of the days.
"""

from datetime import date, datetime
from typing import Final

from twoturns.store.port import Connection
from twoturns.trade.interval import Due, Interval, Reading, due, forecast

SCHEMA: Final = """
create table dues (job text primary key, day text not null, limit_km integer not null,
    limit_day text not null, closed_on text not null) strict, without rowid;
create index dues_day on dues(day, job);
"""
MOST_READINGS: Final = 20  # of one vehicle: the newest


def limit_of(odometer_km: int, closed: str, interval: Interval) -> Due:
    """
    Return where the belt of a job ends that was finished then, by the procedure's interval: nowhere
    if that is after the year 9999.
    """
    try:
        return due(odometer_km, _day(closed), interval)
    except (ValueError, OverflowError):  # so many months end after the calendar
        return Due(None, None)


def keep(db: Connection, job: str, limit: Due | None, closed: str | None) -> None:
    """Write when a job's belt is due, in the place of what was written; None: it is not known."""
    db.execute("delete from dues where job = ?", [job])
    if limit is None or limit.on is None or limit.km is None or closed is None:
        return
    readings = readings_of(db, job, closed)
    found = forecast(limit, readings, readings[-1].on) if readings else None
    day = limit.on if found is None or found.on is None else found.on
    row = [job, day.isoformat(), limit.km, limit.on.isoformat(), _day(closed).isoformat()]
    db.execute("insert into dues values (?, ?, ?, ?, ?)", row)


def readings_of(db: Connection, job: str, closed: str) -> list[Reading]:
    """Return what the odometer of a job's vehicle read, at this job and at those before it."""
    asked = {"job": job, "most": MOST_READINGS}
    rows = db.execute(_ODOMETER, asked).fetchall()
    own = db.execute("select odometer_km from jobs where job = ?", [job]).fetchone()
    found = {Reading(_day(begun), km) for begun, km in rows if km is not None}
    if own is not None and own[0] is not None:
        found.add(Reading(_day(closed), own[0]))
    return sorted(found, key=lambda one: (one.on, one.km))


def _day(at: str) -> date:
    return datetime.fromisoformat(at).date()


_ODOMETER = """
select other.begun, jobs.odometer_km
from finders as vin
    join finders as other on other.key = 'vin' and other.value = vin.value
        and other.begun < vin.begun
    join jobs on jobs.job = other.job
where vin.key = 'vin' and vin.job = :job order by other.begun desc limit :most
"""
