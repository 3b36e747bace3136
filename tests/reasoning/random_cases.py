"""Random small knowledges and cases, drawn by hypothesis."""

from itertools import combinations
from typing import Any

from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.evidence import (
    ActEvidence,
    DoubtEvidence,
    Evidence,
    HistoryEvidence,
    Otherwise,
    Redraw,
    Reported,
    SignEvidence,
)
from tests.reasoning.tiny import JOINT, cause, knowledge, look, sign, zone

chance = st.floats(0.02, 0.98)
small = st.floats(0.001, 0.3)


@st.composite
def knowledges(draw: st.DrawFn, *, most_causes: int = 3, not_listed: bool | None = None) -> Knowledge:
    """Up to three causes, two zones with a path or two, a place, a leak sign, a condition sign and a look."""
    names = [f"c{i}" for i in range(draw(st.integers(1, most_causes)))]
    zones: dict[str, Any] = {JOINT: zone(), "far": zone({JOINT: draw(chance), "under": draw(chance)})}
    signs = {
        "leak": sign(draw(small)),
        "condition": sign(draw(small), hangs_on="present"),
        "look": look({"none": None, "some": draw(small), "much": draw(small)}, hangs_on=draw(_hangs)),
    }
    causes = {}
    for i, name in enumerate(names):
        looks = {"some": draw(st.floats(0, 0.5)), "much": draw(st.floats(0, 0.4))}
        later = names[i + 1 :]
        causes[name] = cause(
            leaks=draw(st.sampled_from([1.0, 0.4, 0.8])),
            zone=draw(st.sampled_from(list(zones))),
            at_zone=draw(st.sampled_from([1.0, 1.0, 0.7])),
            family=draw(st.sampled_from(["one", "two"])),
            also={"far": draw(chance)} if draw(st.booleans()) else {},
            shows={s: draw(chance) for s in ("leak", "condition") if draw(st.booleans())},
            looks={"look": looks} if draw(st.booleans()) else {},
            leads_to={c: draw(chance) for c in later if draw(st.integers(0, 3)) == 0},
        )
        if causes[name].zone == "far":
            causes[name] = cause(
                leaks=float(causes[name].leaks.value),  # type: ignore[union-attr]
                zone="far",
                at_zone=float(causes[name].at_zone.value),  # type: ignore[union-attr]
                family=causes[name].family,
                shows={s: w.value for s, w in causes[name].shows.items()},  # type: ignore[union-attr]
                looks={"look": looks} if causes[name].looks else {},
                leads_to={c: w.value for c, w in causes[name].leads_to.items()},  # type: ignore[union-attr]
            )
    listed = draw(st.booleans()) if not_listed is None else not_listed
    return knowledge(
        causes,
        signs,
        zones=zones,
        places=("under",),
        reported=(draw(chance), draw(small)),
        wet=(draw(chance), draw(small)),
        origin=(draw(chance), draw(small)),
        trail=(draw(chance), draw(small)),
        on_first_drive=draw(st.sampled_from([None, 0.6, 1.0])),
        not_listed=(2.0, draw(chance), draw(small)) if listed else None,
    )


_hangs = st.sampled_from(["present", "leaking"])


@st.composite
def bases(draw: st.DrawFn, k: Knowledge) -> dict[str, float]:
    """Base chances."""
    names = [*k.causes, *([NOT_LISTED] if k.has_not_listed else [])]
    return {name: draw(st.floats(0.02, 0.6)) for name in names}


@st.composite
def evidences(draw: st.DrawFn, k: Knowledge, *, most_acts: int = 2, ask: bool = True) -> Evidence:
    """Some history, some acts, and some answers in any epoch: sure, fairly sure, or any likelihood."""
    names = list(k.causes)
    acts = []
    for number in range(draw(st.integers(0, most_acts))):
        cured = draw(st.lists(st.sampled_from(names), unique=True))
        cures = {c: draw(st.sampled_from([1.0, 0.9, 0.35])) for c in cured}
        renews = draw(st.sampled_from([(), ("condition",), ("condition", "look")]))
        acts.append(ActEvidence(50 + number, f"act{number}", cures, renews, draw(st.booleans())))
    history = []
    if draw(st.booleans()):
        shifts = {draw(st.sampled_from(names)): draw(st.floats(-16, 16))}
        ruled_out = (draw(st.sampled_from(names)),) if draw(st.integers(0, 3)) == 0 and len(names) > 1 else ()
        history.append(HistoryEvidence(draw(st.integers(1, 9)), "group", shifts, ruled_out))
    doubts = [DoubtEvidence(99, f"tool{n}", draw(st.sampled_from([0.0, 0.3, 0.8]))) for n in range(draw(_doubts))]
    signs = []
    for id, entry in k.signs.items():
        for epoch in range(len(acts) + 1):
            if draw(st.integers(0, 3)) == 0:
                says = draw(_answers(len(entry.outcomes)))
                otherwise = draw(_otherwise([d.id for d in doubts], len(says)))
                signs.append(SignEvidence(draw(st.integers(1, 99)), id, epoch, says, otherwise))
    askable = tuple(s for s in k.signs if draw(st.booleans())) if ask else ()
    return Evidence(JOINT, tuple(history), tuple(acts), tuple(signs), askable, tuple(doubts))


@st.composite
def reclosed(draw: st.DrawFn, k: Knowledge, evidence: Evidence) -> Evidence:
    """The same case, with one closing or two at which some causes were drawn afresh, and comebacks."""
    epochs = range(1, len(evidence.acts) + 1)
    if not epochs or len(k.causes) + len(epochs) > 3 or k.has_not_listed:
        return evidence  # there would be too many worlds to list
    names = st.lists(st.sampled_from(list(k.causes)), min_size=1, max_size=1, unique=True)
    closings = sorted(draw(st.lists(st.sampled_from(epochs), min_size=1, max_size=3 - len(k.causes))))
    redraws = tuple(Redraw(epoch, tuple(draw(names)), draw(st.sampled_from([0.03, 0.3]))) for epoch in closings)
    comebacks = tuple(Reported(e, draw(st.sampled_from([JOINT, "under"]))) for e in closings if draw(st.booleans()))
    history = list(evidence.history)
    if draw(st.booleans()):
        cause = draw(st.sampled_from(list(k.causes)))
        ruled_out = (
            (cause,) if draw(st.integers(0, 3)) == 0 and cause not in redraws[0].causes and len(k.causes) > 1 else ()
        )
        history.append(HistoryEvidence(9, "group", {cause: draw(st.floats(-16, 16))}, ruled_out, draw=1))
    return replace(evidence, history=tuple(history), redraws=redraws, comebacks=comebacks)


_doubts = st.sampled_from([0, 0, 1, 2])


@st.composite
def _otherwise(draw: st.DrawFn, doubts: list[str], outcomes: int) -> tuple[Otherwise, ...]:
    """What an answer says with any of what it relies on bad: the same of every outcome, now and then something."""
    relies = [d for d in doubts if draw(st.booleans())]
    found = []
    for count in range(1, len(relies) + 1):
        for bad in combinations(relies, count):
            same = draw(st.floats(0.05, 1.0))
            found.append(Otherwise(bad, (same,) * (outcomes - 1) + (draw(st.sampled_from([same, same, 0.5])),)))
    return tuple(found)


@st.composite
def _answers(draw: st.DrawFn, outcomes: int) -> tuple[float, ...]:
    sure = draw(st.integers(0, outcomes - 1))
    others = draw(st.sampled_from([0.0, 0.0, 0.15]))
    return tuple(1.0 if i == sure else others for i in range(outcomes))
