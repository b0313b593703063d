"""
What a procedure may not say, beyond the shape of its fields: names used once, proofs left by one
step, tools that come back, words that stand for something.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Final

from twoturns.procedure import shape
from twoturns.procedure.drive.sides import tensioner_of, tightens
from twoturns.procedure.drive.solve import fit
from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Path, Source
from twoturns.words import t
from twoturns.words.en.procedure.compile import check_steps as texts

#: Where the phone looks for the note of a span, Hz (`twoturns.instruments.pluck.OPEN`).
PLUCK_HZ: Final = (25, 450)

#: The signs of a step that says which way a tensioner is turned.
TENSIONED: Final = ("clockwise", "anticlockwise")


def check_steps(names: Names, data: Source) -> None:
    """What cannot be judged from one field: names used once, proofs left once, tools returned."""
    _check_once(names, data)
    makers: dict[str, str] = {}
    for at, step in enumerate(data["steps"]):
        path: Path = ("steps", at)
        _check_known(names, (*path, "phase"), "phase", [step["phase"]], data["phases"])
        _check_undo(names, path, step)
        _check_proofs(names, path, step, data)
        _check_one_maker(names, path, step, makers)
        for field in ("tools_out", "tools_in"):
            _check_known(names, (*path, field), "tool", step[field], data["tools"])
        if "picture" in step:
            shown, place = [step["picture"]["asset"]], (*path, "picture", "asset")
            _check_known(names, place, t(texts.PICTURE), shown, data["assets"])
        _check_known(names, (*path, "takes"), t(texts.PART_OF_KIT), step["takes"], data["kit"])
    _check_phases(names, data)
    _check_together(names, data)
    _check_tools_return(names, data)


def _check_once(names: Names, data: Source) -> None:
    _refuse_twice(names, [(("steps", at, "id"), s["id"]) for at, s in enumerate(data["steps"])])
    for at, step in enumerate(data["steps"]):
        for field, key in (("proof", "name"), ("fails", "id")):
            _refuse_twice(
                names,
                [
                    (("steps", at, field, number, key), each[key])
                    for number, each in enumerate(step[field])
                ],
            )


def _refuse_twice(names: Names, words: Sequence[tuple[Path, str]]) -> None:
    seen: set[str] = set()
    for path, word in words:
        if word in seen:
            names.refuse(
                path, t(texts.NAME_USED_TWICE, word=word), t(texts.NAME_USED_TWICE_HINT), "twice"
            )
        seen.add(word)


def _check_undo(names: Names, path: Path, step: Source) -> None:
    if not step["undo"]:
        if not step["number"]:
            names.refuse(path, t(texts.NO_STEP_NUMBER), "Write 'number:'.", "missing")
        return
    if step.get("must"):
        names.refuse(
            (*path, "must"),
            t(texts.UNDO_IS_MUST),
            t(texts.UNDO_IS_MUST_HINT),
            "undo-must",
        )
    for field in ("together", "once"):
        if step.get(field):
            names.refuse(
                (*path, field),
                t(texts.UNDO_HAS_FIELD, field=field),
                t(texts.UNDO_HAS_FIELD_HINT),
                "undo-order",
            )


def _check_proofs(names: Names, path: Path, step: Source, data: Source) -> None:
    for number, proof in enumerate(step["proof"]):
        place = (*path, "proof", number)
        if "part" in proof:
            _check_known(
                names, (*place, "part"), t(texts.PART_OF_KIT), [proof["part"]], data["kit"]
            )
        if "of" in proof:
            _check_count_of(names, (*place, "target"), proof, data)
        if "like" in proof:
            _check_like(names, (*place, "like"), step["id"], proof, data)
        if "wheel" in proof:
            _check_known(
                names, (*place, "wheel"), t(texts.TOOTHED_WHEEL), [proof["wheel"]], _toothed(data)
            )
        if "pluck" in proof.get("by", []):
            _check_pluck(names, place, proof)
        if "options" in proof:
            ids = [
                ((*place, "options", at, "id"), option["id"])
                for at, option in enumerate(proof["options"])
            ]
            _refuse_twice(names, ids)
    others = [each for each in step["proof"] if each["kind"] != "confirm"]
    for number, proof in enumerate(step["proof"]):
        if proof.get("by") == ["marks"] and len(others) == 1:
            names.refuse(
                (*path, "proof", number, "by"),
                t(texts.MARKS_ALONE),
                t(texts.MARKS_ALONE_HINT),
                "marks-alone",
            )


def _check_pluck(names: Names, place: Path, proof: Source) -> None:
    """A span that cannot be heard in its window would be refused by every phone, every time."""
    low, high = Decimal(proof["low"]), Decimal(proof["high"])
    if low < PLUCK_HZ[0] or high > PLUCK_HZ[1]:
        names.refuse(
            (*place, "by"),
            t(texts.WINDOW_UNHEARD, low=low, high=high),
            t(texts.WINDOW_UNHEARD_HINT, low=PLUCK_HZ[0], high=PLUCK_HZ[1]),
            "pluck-range",
        )


def _toothed(data: Source) -> list[str]:
    """The drive's wheels with teeth; what is wrong with the block itself is said elsewhere."""
    wheels = data["drive"].get("wheels") if isinstance(data["drive"], dict) else None
    each_of = wheels if isinstance(wheels, list) else []
    return [str(one.get("id")) for one in each_of if isinstance(one, dict) and "teeth" in one]


def _check_count_of(names: Names, place: Path, proof: Source, data: Source) -> None:
    """A count of things that are listed has as many as the list."""
    parts = [p for p in data["kit"].values() if proof["of"] == "kit" or p["single_use"]]
    is_tools = proof["of"] == "tools"
    listed = len(data["tools"]) if is_tools else sum(part["count"] for part in parts)
    if proof["target"] != str(listed):
        names.refuse(
            place,
            t(texts.TARGET_UNLIKE_LIST, target=proof["target"], of=proof["of"], listed=listed),
            t(texts.TARGET_UNLIKE_LIST_HINT, listed=listed),
            "count-of",
        )


def _check_like(names: Names, place: Path, step: str, proof: Source, data: Source) -> None:
    """What is held against another figure comes after it, and is of its kind and unit."""
    before: dict[str, Source] = {}
    for each in data["steps"]:
        if each["id"] == step:
            break
        before |= {f"{each['id']}.{one['name']}": one for one in each["proof"]}
    other = before.get(proof["like"])
    if other is None:
        names.unknown(place, t(texts.EARLIER_PROOF), proof["like"], before)
    elif (other["kind"], other.get("unit")) != (proof["kind"], proof.get("unit")):
        names.refuse(
            place,
            t(texts.UNIT_DIFFERS, like=proof["like"], kind=proof["kind"]),
            t(texts.UNIT_DIFFERS_HINT),
            "like",
        )


def _check_one_maker(names: Names, path: Path, step: Source, makers: dict[str, str]) -> None:
    """Who left a proof must be plain: it says which step is to be done again when it falls."""
    for number, deed in enumerate(step["does"]):
        word, _, value = deed.partition("=")
        at = names.index.get(word)
        if at is None or not names.conditions[at].proof or value == names.conditions[at].values[0]:
            continue
        place = (*path, "does", number)
        if step["undo"]:
            names.refuse(
                place,
                t(texts.UNDO_PROVES, word=word),
                t(texts.UNDO_PROVES_HINT),
                "undo-proves",
            )
        elif makers.setdefault(deed, step["id"]) != step["id"]:
            names.refuse(
                place,
                t(texts.PROOF_LEFT_TWICE, deed=deed, makers=makers[deed]),
                t(texts.PROOF_LEFT_TWICE_HINT),
                "proof-twice",
            )


def _check_phases(names: Names, data: Source) -> None:
    """A step between those of another phase is most often one that slipped to the wrong place."""
    phases = list(data["phases"])
    furthest = 0
    for at, step in enumerate(data["steps"]):
        if step["undo"] or step["phase"] not in phases:
            continue
        place = phases.index(step["phase"])
        if place < furthest:
            names.refuse(
                ("steps", at, "phase"),
                t(texts.PHASE_OUT_OF_ORDER, phase=step["phase"], phases=phases[furthest]),
                t(texts.PHASE_OUT_OF_ORDER_HINT),
                "phase-order",
            )
        furthest = max(furthest, place)


def _check_together(names: Names, data: Source) -> None:
    closed: set[str] = set()
    before = None
    for at, step in enumerate(data["steps"]):
        group = step.get("together")
        if group != before and group in closed:
            names.refuse(
                ("steps", at, "together"),
                t(texts.GROUP_SCATTERED, group=group),
                t(texts.GROUP_SCATTERED_HINT),
                "together",
            )
        if before is not None:
            closed.add(before)
        before = group


def _check_tools_return(names: Names, data: Source) -> None:
    last_in = {slot: at for at, step in enumerate(data["steps"]) for slot in step["tools_in"]}
    for at, step in enumerate(data["steps"]):
        for slot in step["tools_out"]:
            back = last_in.get(slot)
            # An undo step has no place in the order: any later step may take the tool back.
            if back is None or (back < at and not step["undo"]):
                names.refuse(
                    ("steps", at, "tools_out"),
                    t(texts.TOOL_NEVER_BACK, slot=slot),
                    t(texts.TOOL_NEVER_BACK_HINT),
                    "tool-out",
                )


def check_looks(names: Names, data: Source, solved: shape.Drive | None) -> None:
    """Refuse a `look` at a wheel, tooth mark or tool that the drawing does not have."""
    if solved is None:
        return  # every wheel would be unknown; the fault in the drive is told already
    known = [wheel["id"] for wheel in solved["wheels"]] + list(data["tools"])
    for at, step in enumerate(data["steps"]):
        _check_known(names, ("steps", at, "look"), t(texts.WHEEL_TOOL), step["look"], known)


def check_drive(names: Names, data: Source, solved: shape.Drive) -> None:
    """What the drawing shows must be something the state knows."""
    shown: list[tuple[Path, str | None]] = [
        (("drive", "belt", "condition"), solved["belt"].get("condition"))
    ]
    for at, wheel in enumerate(solved["wheels"]):
        path: Path = ("drive", "wheels", at)
        shown.append(((*path, "condition"), wheel.get("condition")))
        hole = wheel.get("hole")
        if hole:
            shown.append(((*path, "hole", "condition"), hole["condition"]))
            _check_known(names, (*path, "hole", "pin"), "tool", [hole["pin"]], data["tools"])
    for place, word in shown:
        if word is not None:
            names.condition(place, word, proof=False)
    _check_notch(names, data, solved)


def _check_notch(names: Names, data: Source, solved: shape.Drive) -> None:
    """
    A belt fits at two angles of the eccentric. Tightened the way that the step warns of, the
    roller comes to one of them; at the other it lets go.
    """
    way, at = tightens(solved), tensioner_of(solved)
    for step in data["steps"]:
        sign = (step.get("caution") or {}).get("sign")
        if "tension=set" in step["does"] and sign in TENSIONED and sign != way:
            notch_deg = data["drive"]["wheels"][at]["notch_deg"]
            fitting = fit(data["drive"]).angles_deg
            names.refuse(
                ("drive", "wheels", at, "notch_deg"),
                t(texts.NOTCH_LETS_GO, notch=notch_deg, way=way, step=step["id"], sign=sign),
                t(texts.NOTCH_LETS_GO_HINT, angles=", ".join(f"{each:.1f}" for each in fitting)),
                "notch-lets-go",
            )


def _check_known(
    names: Names, path: Path, what: str, words: Iterable[str], known: Iterable[str]
) -> None:
    known = list(known)
    for word in words:
        if word not in known:
            names.unknown(path, what, word, known)
