"""What a handed-over job scores: result, work, evidence, reasons, each in plain words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from dampinglab.course.handover_draw import Case
from dampinglab.course.handover_limits import beyond
from dampinglab.course.handover_looks import MINUTES, failed
from dampinglab.course.handover_moves import DRIVE, REASONS, Stand, take
from dampinglab.course.handover_parts import KINDS, true_scores
from dampinglab.course.handover_words import ROWS, cause, driver
from dampinglab.workshop.gates import GATES

__all__ = ["CHANGED", "MOST", "NOTHING", "Score", "judge"]

MOST = {"result": 40, "work": 20, "evidence": 20, "reasons": 20}
"""Most points of each topic."""

NOTHING = "nothing"
CHANGED = (NOTHING, "clicks", "part, tyre or load", "clicks, and part, tyre or load")
_PER_CLICKS = 4  # drives that an adjuster which stands wrong may take
_ASKED = {key: words[0].lower() + words[1:] for key, words in REASONS.items()}
_WORSE = 0.4  # of the way from healthy to the limit: from here on a loss may be felt


@dataclass(frozen=True)
class Score:
    """Points and a sentence for each topic, and what had been wrong."""

    good: bool  # inside limits, or rightly refused
    points: Mapping[str, int]
    words: Mapping[str, str]
    cause: str

    @property
    def total(self) -> int:
        """All points, of 100."""
        return sum(self.points.values())


def judge(case: Case, moves: Sequence[Mapping]) -> Score:
    """Return the score of a job that is over, from what was done."""
    stands = [Stand(case.found)]
    for move in moves:
        stands.append(take(stands[-1], move))
    topics = {
        "result": _result(case, stands[-1], moves[-1]),
        "work": _work(case, stands[-1]),
        "evidence": _evidence(stands, moves),
        "reasons": _reasons(case, stands[-1], moves[-1]),
    }
    topics["work"] = _earned(*topics["work"], topics["evidence"][0])
    points = {topic: round(MOST[topic] * share) for topic, (share, _) in topics.items()}
    words = {topic: said for topic, (_, said) in topics.items()}
    return Score(topics["result"][0] == 1, points, words, cause(case))


def _result(case: Case, stand: Stand, last: Mapping) -> tuple[float, str]:
    stays = [f for f in stand.patient.faults if not KINDS[f.kind].mends]
    if last["do"] == "refuse":
        return _refused(stand, stays, last["gate"])
    left = sorted(failed(stand.patient), key=list(GATES).index)
    off = beyond(true_scores(stand.patient), true_scores(case.healthy))
    outside = [key for key in off if off[key] > 1]
    if left:
        told = f"Handed back with a check still failed: {', '.join(left)}."
        return 0.0, f"{told}{' It had to be refused.' if stays else ''}"
    if outside:
        return 0.0, f"Handed back outside its limits. {driver(off)}"
    return 1.0, "Handed back inside all limits."


def _refused(stand: Stand, stays: Sequence, gate: str) -> tuple[float, str]:
    if any(gate in KINDS[fault.kind].gates for fault in stays):
        return 1.0, "Rightly refused: it must not go back on the road like this."
    why = "another check holds it up" if stays else "this workshop could have mended it"
    why = why if stays or gate in failed(stand.patient) else "nothing is wrong there now"
    return 0.0, f"Refused for {gate!r}, and {why}."


def _work(case: Case, stand: Stand) -> tuple[float, str]:
    """Return full points up to what a good hand needs, none at twice that."""
    par = _par(case)
    told = (
        f"{stand.turns} turn{'s' * (stand.turns != 1)} of an adjuster, {stand.drives} "
        f"drive{'s' * (stand.drives != 1)}, {stand.minutes} minutes; {par} would be good time."
    )
    vain = f" Mended for nothing: {stand.vain}." if stand.vain else ""
    return min(1.0, max(0.0, 2 - stand.minutes / par)), told + vain


def _earned(share: float, told: str, evidence: float) -> tuple[float, str]:
    """Return the share for work, no more than for evidence: time saved on that is not saved."""
    if share <= evidence:
        return share, told
    return evidence, f"{told} Time saved on the evidence that is missing does not count."


def _par(case: Case) -> int:
    """Return minutes for all checks, what is to be mended, and some drives for each adjuster."""
    wrong = {
        (wheel // 2, place)
        for wheel in range(4)
        for place, clicks in enumerate(case.found.clicks[wheel])
        if clicks != case.content[wheel][place]
    }
    mends = sum(KINDS[fault.kind].minutes for fault in case.found.faults)
    return sum(MINUTES.values()) + mends + DRIVE * (2 + _PER_CLICKS * len(wrong))


def _evidence(stands: Sequence[Stand], moves: Sequence[Mapping]) -> tuple[float, str]:
    kinds = [move["do"] for move in moves]
    tries = [i for i, kind in enumerate(kinds) if kind in ("drive", "turn", "mend")]
    turned = [i for i, kind in enumerate(kinds) if kind == "turn"]
    driven = [stands[i].patient for i, kind in enumerate(kinds) if kind == "drive"]
    seen = {move["gate"] for move in moves[: _first(tries, kinds)] if move["do"] == "look"}
    refused = moves[-1].get("gate") if kinds[-1] == "refuse" else None
    wanted = list(GATES)[: list(GATES).index(refused) + 1] if refused else list(GATES)
    points = [(set(wanted) <= seen, "every check before drive and turn")]
    if not refused:
        points += [(stands[-1].patient in driven, "the vehicle as handed back was driven")]
    if turned and not refused:  # one that must not be driven cannot be driven again
        points += [
            ("drive" in kinds[: turned[0]], "driven before the first turn"),
            (len(driven) > len(set(driven)), "a setting was driven again (A-B-A)"),
        ]
    return _told(points)


def _first(tries: Sequence[int], kinds: Sequence[str]) -> int:
    """Return where the first drive or turn stands; mending a check in its order is right."""
    return next((i for i in tries if kinds[i] != "mend"), len(kinds))


def _told(points: Sequence[tuple[bool, str]]) -> tuple[float, str]:
    there = [words for held, words in points if held]
    lacks = [words for held, words in points if not held]
    told = [f"There: {'; '.join(there)}." if there else "", f"Missing: {'; '.join(lacks)}."]
    return len(there) / len(points), " ".join(told[: 1 + bool(lacks)]).strip()


def _reasons(case: Case, stand: Stand, last: Mapping) -> tuple[float, str]:
    said = last.get("reasons") or {}
    good = _true_reasons(case, stand)
    wrong = {key: fits for key, fits in good.items() if said.get(key) not in fits}
    told = [f"{_ASKED[key]} ({' or '.join(sorted(fits))})" for key, fits in wrong.items()]
    share = 1 - len(wrong) / len(good)
    how = " Compare the first drive with the last." if "given up" in wrong else ""
    return share, f"Not so, or not said: {'; '.join(told)}.{how}" if told else "All four are true."


def _true_reasons(case: Case, stand: Stand) -> dict[str, set[str]]:
    """Return what may be said of each of REASONS."""
    before, after = (true_scores(each) for each in (case.found, stand.patient))
    healthy = true_scores(case.healthy)
    old, new = beyond(before, healthy), beyond(after, healthy)
    felt = {ROWS[i] for axle, i in old if old[axle, i] > 1}
    lost = {ROWS[i] for axle, i in old if new[axle, i] - old[axle, i] > _WORSE}
    parts = stand.patient.faults != case.found.faults
    clicks = stand.patient.clicks != case.found.clicks
    return {
        "felt": felt or {NOTHING},
        "changed": {CHANGED[clicks + 2 * parts]},
        "given up": lost or {NOTHING},
        "not fixed": failed(stand.patient) or {NOTHING},
    }
