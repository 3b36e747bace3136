"""Cases with raw readings, written as a technician writes them."""

from collections.abc import Mapping
from typing import Any

import yaml

from leakdx.case import Case
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.casefile import parse_case
from tests import shipped

LOG = [
    {"who": "AB", "wet": ["carrier_joint"], "dry": ["pinion_seal"]},
    {"who": "AB", "told": "sealing_material", "is": "sealant"},
]
OPEN = {"who": "AB", "did": "carrier_out"}

FACE = {"face": "housing", "dial": "12=0 1:30=3 3=8 4:30=4 6=0 7:30=3 9=8 10:30=4 thou", "gauge": "0.5 thou"}
RING = {
    "thread": "5/8-11",
    "grade": "8",
    "torque": "225 lb-ft",
    "audit": "225 230 222 228 100 80 95 218 226 230 224 221 227 225 229 224 lb-ft",
}
BEAD = {"process": "gmaw", "volts": "25", "amperes": "220", "speed": "6 mm/s", "wall": "10 mm", "distance": "8 mm"}
STANDS = {"wet": "3:30..5", "count": "16", "weak": "5 6 7"}
DRIPS = {"drops": "12", "time": "10 min"}


def measured(by: str, readings: Mapping[str, str], **more: str) -> dict[str, Any]:
    return {"who": "AB", "measured": by, "readings": dict(readings), **more}


def saw(sign: str, answer: str) -> dict[str, Any]:
    return {"who": "AB", "saw": sign, "is": answer}


def text(*entries: Mapping[str, Any], axle: str | None = None) -> str:
    head = {"case": "KD-1", **({"axle": axle} if axle else {})}
    return yaml.safe_dump({**head, "log": [*LOG, *entries]}, sort_keys=False, width=1000)


def case(*entries: Mapping[str, Any], axle: str | None = None) -> Case:
    return parse_case(text(*entries, axle=axle).encode(), "case.yaml", shipped.knowledge())


def diagnosed(*entries: Mapping[str, Any], knowledge: Knowledge | None = None, axle: str | None = None) -> Diagnosis:
    return diagnose(knowledge or shipped.knowledge(), case(*entries, axle=axle))


def chances(diagnosis: Diagnosis) -> dict[str, float]:
    """Cause -> chance that it leaked when brought in."""
    return {cause.id: cause.leaking_first for cause in diagnosis.causes}


def said(diagnosis: Diagnosis) -> dict[str, tuple[float, ...]]:
    """Sign -> likelihood that the belief is given, from written entries."""
    return {seen.sign: seen.likelihood for seen in diagnosis.evidence.signs if not seen.sign.startswith("wet.")}
