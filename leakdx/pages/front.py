"""What every page says at its head and foot: which truck, which case, as of when, by which version."""

from leakdx.explain.technician import DEFERS
from leakdx.knowledge.model import Axle
from leakdx.reasoning.diagnosis import Diagnosis


def about_truck(diagnosis: Diagnosis) -> tuple[str, ...]:
    """Case, axle and truck, and until when the case was written."""
    case, knowledge = diagnosis.case, diagnosis.knowledge
    axle = axle_name(knowledge.axles[case.axle]) if case.axle else ""
    truck = ", ".join(f"{what}: {value}" for what, value in case.truck.items())
    until = as_of(diagnosis)
    said = (f"Case {case.id}", axle, truck, f"as written down until {until}" if until else "")
    return tuple(part for part in said if part)


def axle_name(axle: Axle) -> str:
    """The axle family with the mark of its numbers, so that nobody takes invented ones for his own."""
    return f"{axle.name} ({axle.mark})"


def as_of(diagnosis: Diagnosis) -> str:
    """When the last dated entry was written; empty where none is dated."""
    dated = [entry.at for entry in diagnosis.case.log if entry.at is not None]
    return f"{max(dated):%Y-%m-%d %H:%M}" if dated else ""


def truck_name(diagnosis: Diagnosis) -> str:
    """The unit, or the case where none is named."""
    return diagnosis.case.unit or diagnosis.case.id


def foot(diagnosis: Diagnosis) -> tuple[str, ...]:
    """That the maker's manual rules, and what the page was made by."""
    answers = diagnosis.answers
    return DEFERS, f"Case {diagnosis.case.id}. leakdx {answers.version}, knowledge {answers.knowledge[:8]}."
