"""
`report.html`: the bag for a person who reads, not checks.

One page, no script, nothing from the net: its pictures are the bag's own files, linked by their
place beside it, so the bag is unpacked to read it. The same bag gives the same bytes. Colours and
the broken or whole bar are our own tokens; the state of a step is always in words as well.
"""

import html
import re
from collections.abc import Iterable
from typing import Final

from twoturns.bag import layout
from twoturns.bag.contents import Contents
from twoturns.bag.told import (
    Line,
    Measure,
    Paper,
    PhaseAccount,
    Picture,
    Signature,
    StepAccount,
    Told,
)
from twoturns.ledger.instants import instant
from twoturns.words import t
from twoturns.words.en.bag import report as words
from twoturns.words.en.work import state as work

FORM: Final = 5
_FORM: Final = re.compile(r'<meta name="generator" content="Two Turns, report ([1-9][0-9]{0,3})">')
_PEN: Final = re.compile(r"[MLHVCSQTAZmlhvcsqtaz0-9 ,.\-]{1,2000}")

# What turns the words beside it round (Unicode UAX #9), or that no page can show.
_UNSEEN: Final = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]"
)

_STYLE: Final = """
:root{--ground:#E6ECE7;--plate:#CDD7D0;--ink:#0E1F1B;--ink2:#2C3F39;--line:#5C6D67;--act:#0B3A86;
--seat:#0E1F1B;--joint:#E6ECE7;--paint:#FF8A3C}
*{box-sizing:border-box;margin:0}
body{background:var(--ground);color:var(--ink);font:18px/25px Archivo,"Liberation Sans Narrow",
"Arial Narrow",sans-serif;font-variant-numeric:tabular-nums;max-width:1080px;margin:0 auto;
padding:32px 14px 80px;overflow-wrap:anywhere}
h1{font-size:44px;line-height:46px;letter-spacing:-.01em}
h2{font-size:28px;line-height:32px;margin:48px 0 12px}
h3{font-size:21px;line-height:26px;margin:28px 0 6px;color:var(--ink2)}
.state{font-size:23px;line-height:30px;margin-top:10px}
code{font:inherit;font-weight:700;letter-spacing:.04em}
dl{display:grid;grid-template-columns:max-content 1fr;gap:2px 20px}
dt{color:var(--ink2)}
.step{display:grid;grid-template-columns:44px 1fr;gap:0 16px;padding:10px 0;
border-top:1.3px solid var(--line)}
.step svg{display:block}
.step p b{font-size:20px}
.by,.small{color:var(--ink2);font-size:17px;line-height:23px}
.out{color:var(--act);font-weight:700}
ul{list-style:none;padding:0}
li{padding:2px 0}
figure{display:inline-block;vertical-align:top;width:240px;margin:8px 12px 4px 0}
figure img,figure i,figure svg{display:block;width:240px;height:180px;object-fit:contain;
background:var(--plate)}
figcaption{font-size:17px;line-height:22px}
table{border-collapse:collapse;width:100%;font-size:17px;line-height:22px}
td,th{text-align:left;vertical-align:top;padding:3px 12px 3px 0;
border-top:1.3px solid var(--line);font-weight:inherit}
th{color:var(--ink2)}
.rule{margin:18px 0 14px;width:100%;height:34px;display:block}
@media(max-width:640px){dl{grid-template-columns:1fr}h1{font-size:34px;line-height:36px}}
@media print{body{background:#fff;max-width:none}.step,figure{break-inside:avoid}}
"""


def render(told: Told, contents: Contents) -> str:
    """Return the page of what is told; its pictures are named, not read."""
    phases = "".join(_phase(phase, contents) for phase in told.phases)
    body = "".join(
        (
            _head(told, contents.made_on),
            _section(t(words.LOOK_AT), _exceptions(told.exceptions)),
            _section(t(work.BEFORE_ANY_WORK), _items(told.cautions)),
            _section(t(words.STEP_BY_STEP), _unpack(contents) + phases),
            _section(t(words.WHOLE_JOB), _lines(told.about)),
            _section(t(words.PARTS), _pairs(told.parts)),
            _section(t(words.TOOLS), _pairs(told.tools)),
            _section(t(words.WHO_ASSERTED), _pairs(told.people)),
            _section(t(words.PAPERS), _list(_paper(one, contents) for one in told.papers)),
            _section(t(words.CLOCKS), _pairs(told.clocks)),
            _section(t(words.NOT_SHOWN), _pairs(told.hidden)),
            _section(t(words.NOT_PROVEN), _items(told.unproven)),
        )
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width">'
        f'<meta name="generator" content="Two Turns, report {FORM}">'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "img-src 'self' file:; style-src 'unsafe-inline'\">"
        f"<title>{escape(told.title)}</title><style>{_STYLE}</style></head>\n"
        f"<body>\n{body}</body></html>\n"
    )


def form_of(text: str) -> int:
    """Return the form in which a page says that it was made; this one's, if it says none."""
    said = _FORM.search(text)
    return int(said[1]) if said else FORM


def differs(found: str, anew: str) -> str | None:
    """Return from where on a bag's report differs from the one made anew, or None."""
    if found == anew:
        return None
    here, there = found.split("\n"), anew.split("\n")
    pairs = enumerate(zip(here, there, strict=False))
    shorter = min(len(here), len(there))
    at = next((n for n, (one, other) in pairs if one != other), shorter)
    return t(words.DIFFERS_FROM_LINE, line=at + 1)


def escape(text: str) -> str:
    """
    Return a text as HTML that shows it and is not led by it, whoever wrote it.

    >>> escape("<b>7\\u202e2</b>")
    '&lt;b&gt;7\\\\u202e2&lt;/b&gt;'
    """
    return html.escape(_UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", text))


def _head(told: Told, made_on: str) -> str:
    facts = (
        *told.facts,
        (t(words.WORKSHOP), told.workshop_name),
        (t(words.FINGERPRINT), _grouped(told.fingerprint)),
        (t(words.HEAD), told.head_code),
        (t(words.JOB), told.job),
        (t(words.MADE_ON), made_on),
    )
    steps = [step for phase in told.phases for step in phase.steps if step.must]
    return (
        f'<h1>{escape(told.title)}</h1><p class="state">{escape(told.state)}</p>\n'
        f"{_rule(steps)}\n{_pairs(facts)}"
    )


def _grouped(fingerprint: str) -> str:
    """Set a fingerprint in groups of four, as the phone and the paper show it."""
    return " ".join(fingerprint[n : n + 4] for n in range(0, len(fingerprint), 4))


def _section(title: str, content: str) -> str:
    return f"<section><h2>{title}</h2>\n{content or f'<p>{t(words.NOTHING)}</p>'}</section>\n"


def _rule(steps: list[StepAccount]) -> str:
    """Draw the job as one rule: a stripe a step, whole where it holds, half where it was passed."""
    slots = "".join(_stripe(n, step) for n, step in enumerate(steps))
    width = 20 * len(steps)
    held = sum(step.state == "done" for step in steps)
    return (
        f'<svg class="rule" viewBox="0 0 {width} 34" style="max-width:{width}px" '
        f'role="img" aria-label="{t(work.STEPS_HOLD, held=held, steps=len(steps))}">{slots}</svg>'
    )


def _stripe(n: int, step: StepAccount) -> str:
    seat = f'<rect x="{20 * n}" y="0" width="20" height="34" fill="#0E1F1B"/>'
    if step.state == "todo":
        return seat + f'<rect x="{20 * n + 8}" y="14" width="4" height="6" fill="#CDD7D0"/>'
    top, height = (2, 30) if step.state == "done" else (18, 14)
    return seat + f'<rect x="{20 * n + 7}" y="{top}" width="6" height="{height}" fill="#FF8A3C"/>'


_STATES: Final = {
    "done": t(work.HOLDS),
    "waived": t(work.PASSED_BY),
    "todo": t(words.UNPROVEN),
}
_SEALS: Final = {
    "done": '<path d="M17 4L23 36" stroke="#FF8A3C" stroke-width="8"/>',
    "waived": '<path d="M20.5 27L22.5 37" stroke="#FF8A3C" stroke-width="8"/>',
    "todo": "",
}


def _seal(state: str) -> str:
    """Draw a bolt head on its seat: one bar over both holds, on the seat alone was passed."""
    head = '<circle cx="20" cy="20" r="10" fill="none" stroke="#5C6D67" stroke-width="2.4"/>'
    fill = "none" if state == "todo" else "#0E1F1B"
    seat = f'<circle cx="20" cy="20" r="18" fill="{fill}" stroke="#5C6D67" stroke-width="1.3"/>'
    bars = seat + _SEALS[state] + head
    return f'<svg width="40" height="40" viewBox="0 0 40 40" aria-hidden="true">{bars}</svg>'


def _unpack(contents: Contents) -> str:
    """Say how the pictures are seen; a program that looks into a zip shows the page alone."""
    has_pictures = any(one.startswith(layout.PICTURES) for one in contents.names.values())
    return f'<p class="small">{t(words.UNPACK)}</p>\n' if has_pictures else ""


def _phase(phase: PhaseAccount, contents: Contents) -> str:
    steps = "".join(_step(step, contents) for step in phase.steps)
    return f"<h3>{escape(phase.name)}</h3>\n{steps}"


def _step(step: StepAccount, contents: Contents) -> str:
    name = f"{step.number} {step.title}".strip()
    said = t(words.WAY_BACK) if step.undo else _STATES[step.state]
    pictures = "".join(_figure(one, contents) for one in step.pictures)
    signatures = "".join(map(_signature, step.signatures))
    return (
        f'<div class="step">{_seal(step.state)}<div><p><b>{escape(name)}</b>: '
        f"{said}</p>\n{_measures(step.measures)}{_lines(step.lines)}"
        f"{pictures}{signatures}</div></div>\n"
    )


def _measures(measures: Iterable[Measure]) -> str:
    return _list(
        f"{escape(one.label)} <b>{escape(_with_unit(one))}</b> {_judged(one)}{escape(one.remark)}"
        for one in measures
    )


def _with_unit(measure: Measure) -> str:
    return measure.value if measure.unit in ("", "1") else f"{measure.value} {measure.unit}"


def _judged(measure: Measure) -> str:
    said = escape(measure.verdict)
    return f'<span class="out">{said}</span>' if measure.holds is False else said


def _signature(shown: Signature) -> str:
    drawn = "<i></i>"
    if shown.path is not None and _PEN.fullmatch(shown.path):
        # The pad's own size, as the phone draws it.
        drawn = (
            f'<svg viewBox="0 0 332 200" role="img" aria-label="{t(words.SIGNATURE)}">'
            f'<path d="{shown.path}" '
            'fill="none" stroke="#0E1F1B" stroke-width="3" stroke-linecap="round"/></svg>'
        )
    return (
        f"<figure>{drawn}<figcaption>{escape(shown.label)}<br>"
        f'<span class="small">{escape(shown.remark)}</span></figcaption></figure>\n'
    )


def _figure(shown: Picture, contents: Contents) -> str:
    name, image = contents.names.get(shown.blob, ""), "<i></i>"
    if name.startswith(layout.PICTURES):
        beside = name.removeprefix(layout.PAYLOAD)
        # Lazy: a page of two thousand photos as they were taken reads those that are looked at.
        picture = f'<img alt="{escape(shown.label)}" loading="lazy" src="{beside}">'
        image = f'<a href="{beside}">{picture}</a>'
    return (
        f"<figure>{image}<figcaption>{escape(shown.label)}<br>"
        f'<span class="small">{escape(shown.remark)}</span></figcaption></figure>\n'
    )


def _paper(told: Paper, contents: Contents) -> str:
    """Name a paper, as a link to its file where that lies in the bag."""
    name, label = contents.names.get(told.blob or "", ""), escape(told.label)
    if name.startswith(layout.PAPERS):
        label = f'<a href="{name.removeprefix(layout.PAYLOAD)}">{label}</a>'
    remark = [f'<span class="small">{escape(told.remark)}</span>'] if told.remark else []
    return ": ".join([label, *remark])


def _exceptions(lines: Iterable[Line]) -> str:
    return _list(f'<span class="out">{escape(one.what)}</span> {_by(one)}' for one in lines)


def _lines(lines: Iterable[Line]) -> str:
    return _list(f"{escape(one.what)} {_by(one)}" for one in lines)


def _by(line: Line) -> str:
    said = t(
        words.BY if line.standing == "good" else words.BY_WITH_STANDING,
        who=line.who,
        at=instant(line.at),
        received=instant(line.received),
        index=line.index,
        standing=line.standing,
    )
    return f'<span class="by">{escape(said)} <code>{escape(line.entry[:8])}</code></span>'


def _pairs(pairs: Iterable[tuple[str, str]]) -> str:
    rows = "".join(f"<dt>{escape(label)}</dt><dd>{escape(text)}</dd>\n" for label, text in pairs)
    return f"<dl>{rows}</dl>\n" if rows else ""


def _items(texts: Iterable[str]) -> str:
    return _list(escape(text) for text in texts)


def _list(items: Iterable[str]) -> str:
    rows = "".join(f"<li>{item}</li>\n" for item in items)
    return f"<ul>{rows}</ul>\n" if rows else ""
