"""
What was found in a job beside the procedure's work, and how far each finding has come.

Never of the fold: a finding changes nothing of the engine, and what is done for it is work beside
the order. A gate of the phone before the end, as recalls are. Of a customer's words the newest
count, those that no other follows; two that contradict each other are asked once more. A yes is to
the extras that it names: one that was added since is to be asked for, one that it passed over is
left out. Who answers or adds after a finding was settled opens it again. The phone's twin is
`client/src/work/findings.ts`.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from twoturns.procedure.machine.log import History, LogEntry

State = Literal["asked", "agreed", "refused", "unsure", "done", "dropped"]
ExtraState = Literal["asked", "agreed", "left_out", "done"]
OPEN: Final = ("asked", "agreed", "unsure")  # somebody has to do or ask something


@dataclass(frozen=True, slots=True)
class Extra:
    """Work beside the procedure's: its `extra.added`, and how far it is."""

    entry: str
    state: ExtraState


@dataclass(frozen=True, slots=True)
class Finding:
    """
    A finding: its `finding.noted`, its step, and how far it has come. `answers` are the words of
    the customer that count, `settled` is what ended it, `is_agreed`: the customer's word is yes.
    """

    entry: str
    step: str
    state: State
    is_agreed: bool
    answers: tuple[str, ...]
    settled: str | None
    extras: tuple[Extra, ...]


def findings(entries: Sequence[LogEntry]) -> list[Finding]:
    """Return what was found, in the order of the log."""
    if not any(entry.kind == "finding.noted" for entry in entries):
        return []
    log = _Log(History(entries))
    return [_Of(log, one).finding() for one in log.noted]


def offered(entries: Sequence[LogEntry], steps: Sequence[Mapping[str, Any]]) -> list[LogEntry]:
    """
    Return the entries that say what the bundle's steps call a finding, and of which none was noted:
    of a choice's readings the last, and failures.
    """
    asked = _asked(steps)
    if not any(one.kind in _OFFERING and _place(one) in asked for one in entries):
        return []
    history = History(entries)
    noted = {_place(one) for one in history.entries if one.kind == "finding.noted"}
    newest = {_spot(one): one for one in history.entries if one.kind in _OFFERING}
    offers = [one for one in newest.values() if _place(one) in asked - noted]
    return sorted(offers, key=lambda one: history.index[one.id])


class _Log:
    """A log, read once: what it says of which finding, as far as that counts."""

    def __init__(self, history: History) -> None:
        self.history = history
        self.noted: list[LogEntry] = []
        self.done: set[str] = set()
        self._about: dict[tuple[str, str], list[int]] = defaultdict(list)
        for at, one in enumerate(history.entries):
            if one.kind == "finding.noted":
                self.noted.append(one)
            elif one.good and one.kind in _ABOUT:
                self._about[one.kind, one.body["finding"]].append(at)
            elif one.good and one.kind == "extra.done":
                self.done.add(one.body["extra"])

    def about(self, kind: str, finding: str) -> list[int]:
        """Return what is said of a finding in a kind."""
        return self._about.get((kind, finding), [])

    def newest(self, kind: str, finding: str) -> list[int]:
        """Return those of them that no other of the kind follows."""
        said = self.about(kind, finding)
        all_said = _bits_of(said)
        return [at for at in said if not self.history.future[at] & all_said]


class _Of:
    """One finding, and what else the log says of it."""

    def __init__(self, log: _Log, noted: LogEntry) -> None:
        self.log, self.noted = log, noted
        self.answers = log.newest("finding.answered", noted.id)
        bodies = [log.history.entries[one].body for one in self.answers]
        words = {body["answer"] for body in bodies}
        self.is_agreed, self.is_unsure = words == {"yes"}, len(words) > 1
        self.named = {extra for body in bodies for extra in body.get("extras", ())}
        self.known = log.history.all if self.answers else 0  # what all answers have in their past
        for one in self.answers:
            self.known &= log.history.past[one]

    def finding(self) -> Finding:
        extras, settled = tuple(self._extras()), self._settled()
        return Finding(
            entry=self.noted.id,
            step=str(self.noted.body["step"]),
            state=self._state(settled, extras),
            is_agreed=self.is_agreed,
            answers=tuple(self.log.history.entries[one].id for one in self.answers),
            settled=settled.id if settled else None,
            extras=extras,
        )

    def _state(self, settled: LogEntry | None, extras: Sequence[Extra]) -> State:
        if settled:
            return "done" if settled.body["how"] == "done" else "dropped"
        if self.is_unsure:
            return "unsure"
        if self.is_agreed:
            return "asked" if any(one.state == "asked" for one in extras) else "agreed"
        return "refused" if self.answers else "asked"

    def _extras(self) -> Iterator[Extra]:
        for at in self.log.about("extra.added", self.noted.id):
            entry = self.log.history.entries[at].id
            yield Extra(entry, self._extra_state(at, entry))

    def _extra_state(self, at: int, entry: str) -> ExtraState:
        if entry in self.log.done:
            return "done"
        if self.is_agreed and entry in self.named:
            return "agreed"
        return "left_out" if self.known >> at & 1 else "asked"

    def _settled(self) -> LogEntry | None:
        """Return what ended it; who answered or added since has opened it again."""
        settled = self.log.newest("finding.settled", self.noted.id)
        if not settled:
            return None
        kinds = ("finding.answered", "extra.added")
        since = _bits_of([at for kind in kinds for at in self.log.about(kind, self.noted.id)])
        is_over = bool(self.log.history.future[settled[-1]] & since)
        return None if is_over else self.log.history.entries[settled[-1]]


def _bits_of(entries: Sequence[int]) -> int:
    found = 0
    for at in entries:
        found |= 1 << at
    return found


_ABOUT: Final = ("finding.answered", "finding.settled", "extra.added")
_OFFERING: Final = ("reading.taken", "step.failed")
_Place = tuple[str, ...]


def _asked(steps: Sequence[Mapping[str, Any]]) -> set[_Place]:
    """Return what a bundle's steps call findings: options, and failures."""
    options = {
        (step["id"], proof["name"], option["id"])
        for step in steps
        for proof in step["proof"]
        for option in proof.get("options", ())
        if option.get("finding")
    }
    return options | {
        (step["id"], failure["id"])
        for step in steps
        for failure in step["fails"]
        if failure.get("finding")
    }


def _place(entry: LogEntry) -> _Place:
    """Return what an entry says of a choice or a failure."""
    names = ("step", "failure") if "failure" in entry.body else ("step", "name", "value")
    return tuple(str(entry.body.get(name)) for name in names)


def _spot(entry: LogEntry) -> _Place:
    """Return what a later entry takes the place of: the same choice, the same failure."""
    names = ("step", "failure") if "failure" in entry.body else ("step", "name")
    return tuple(str(entry.body.get(name)) for name in names)
