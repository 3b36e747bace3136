"""Looks and plain signs kept apart, strays where they belong, measures and units that can be used."""

from collections.abc import Iterable

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code, suggest
from leakdx.knowledge.model import Measure, Sign
from leakdx.measured.kinds import RESULTS, SPEAKS_OF
from leakdx.quantities import QuantityError, check_unit

MOST_OF_A_LOOK = 0.95
"""The words of one look may not promise more, so that something is left for "none of these results"."""


def check_looks(ground: Ground) -> None:
    """A cause shows plain signs and looks with results, each in its own field, and asks for no normal result."""
    for id, cause in ground.causes.items():
        for sign in cause.shows:
            if sign in ground.signs and ground.signs[sign].results:
                wrong = f"'{sign}' is a look with results"
                right = f"write it under looks, as '{sign}: {{result: word}}'"
                ground.fault(Code.LOOK_MISUSED, wrong, right, "causes", id, "shows", sign)
        for sign, results in cause.looks.items():
            _check_look(ground, id, sign, results)
            total = _sum(ground.link(word) for word in results.values())
            if total is not None and total > MOST_OF_A_LOOK + 1e-9:
                wrong = f"the results of '{sign}' sum to {total:.2f} for '{id}'"
                right = f"choose words that sum to at most {MOST_OF_A_LOOK}"
                ground.fault(Code.LOOK_SUM, wrong, right, "causes", id, "looks", sign)


def _check_look(ground: Ground, cause: str, sign: str, results: Iterable[str]) -> None:
    known = ground.signs.get(sign)
    if known is None or not ground.is_sound("signs", sign):
        return
    if not known.results:
        right = f"write it under shows, as '{sign}: word'"
        wrong = f"'{sign}' is so or not and has no results"
        ground.fault(Code.LOOK_MISUSED, wrong, right, "causes", cause, "looks", sign)
    elif known.outcomes[0] in results:
        wrong = f"'{known.outcomes[0]}' is the normal result of '{sign}'"
        right = "name only results that are out of order, what is left over is normal"
        ground.fault(Code.LOOK_MISUSED, wrong, right, "causes", cause, "looks", sign, known.outcomes[0])


def _sum(chances: Iterable[float | None]) -> float | None:
    known = list(chances)
    return None if None in known else sum(chance for chance in known if chance is not None)


def check_strays(ground: Ground) -> None:
    """A plain sign has one stray; a look has one on each result but the normal one."""
    for id, sign in ground.signs.items():
        if not ground.is_sound("signs", id):
            continue
        if not sign.results:
            if sign.stray is None:
                right = "say how often it is seen with nothing behind it"
                ground.fault(Code.STRAY, f"'{id}' has no stray", right, "signs", id)
            continue
        if sign.stray is not None:
            right = "give each of its results a stray instead"
            ground.fault(Code.STRAY, f"'{id}' has results and a stray of its own", right, "signs", id, "stray")
        _check_results(ground, id, sign)


def _check_results(ground: Ground, id: str, sign: Sign) -> None:
    for number, (result, about) in enumerate(sign.results.items()):
        if number == 0 and about.stray is not None:
            wrong = f"'{result}' is the normal result of '{id}' and has a stray"
            ground.fault(Code.STRAY, wrong, "leave it out", "signs", id, "results", result, "stray")
        if number > 0 and about.stray is None:
            right = "say how often it is seen with nothing behind it"
            ground.fault(Code.STRAY, f"result '{result}' of '{id}' has no stray", right, "signs", id, "results", result)
    if len(sign.results) == 1:
        right = "write the normal result first and at least one more"
        ground.fault(Code.LOOK_MISUSED, f"'{id}' has only one result", right, "signs", id, "results")
    total = _sum(ground.stray(result.stray) for result in sign.results.values())
    if total is not None and total > MOST_OF_A_LOOK + 1e-9:
        wrong = f"the strays of '{id}' sum to {total:.2f}"
        ground.fault(Code.LOOK_SUM, wrong, f"choose words that sum to at most {MOST_OF_A_LOOK}", "signs", id, "results")


def check_measures(ground: Ground) -> None:
    """The limit lies inside the readings that are taken, and a measured sign is so or not."""
    for id, sign in ground.signs.items():
        if sign.measure is None:
            continue
        if sign.results:
            wrong = f"'{id}' is measured and has results"
            ground.fault(Code.MEASURE, wrong, "keep one of the two", "signs", id, "measure")
        _check_range(ground, id, sign.measure)


def check_worked_out(ground: Ground) -> None:
    """Every result of the calculation means an answer that the sign has; a measured sign takes the value itself."""
    for id, sign in ground.signs.items():
        worked = sign.worked_out
        if worked is None or not ground.is_sound("signs", id):
            continue
        results = RESULTS[worked.by]
        if bool(results) == bool(sign.measure):
            wrong = f"'{worked.by}' comes to {'a result' if results else 'a value'}, and '{id}' takes "
            wrong += "a value" if sign.measure else "an answer"
            ground.fault(Code.MEASURE, wrong, "name a calculation that fits", "signs", id, "worked_out", "by")
            continue
        speaks = SPEAKS_OF.get(worked.by, ("",))
        if worked.of not in speaks:
            wrong = f"'{worked.by}' does not speak of '{worked.of}'"
            right = suggest(worked.of, speaks) if any(speaks) else "leave 'of' out"
            ground.fault(Code.MEASURE, wrong, right, "signs", id, "worked_out", "of")
        for result, answer in worked.means.items():
            if result not in results:
                wrong = f"'{worked.by}' never comes to '{result}'"
                right = suggest(result, results) if results else "leave 'means' out, the value says it"
                ground.fault(Code.MEASURE, wrong, right, "signs", id, "worked_out", "means", result)
            elif answer not in sign.outcomes:
                wrong, right = f"'{id}' has no answer '{answer}'", suggest(answer, sign.outcomes)
                ground.fault(Code.UNKNOWN_ANSWER, wrong, right, "signs", id, "worked_out", "means", result)
        missing = [result for result in results if result not in worked.means]
        if missing:
            wrong = f"'means' does not say what {', '.join(missing)} of '{worked.by}' stands for"
            right = "name an answer of the sign for each"
            ground.fault(Code.MEASURE, wrong, right, "signs", id, "worked_out", "means")


def _check_range(ground: Ground, id: str, measure: Measure) -> None:
    if measure.lowest >= measure.highest:
        wrong = f"the highest reading of '{id}' is not above the lowest"
        ground.fault(Code.MEASURE, wrong, "write lowest below highest", "signs", id, "measure", "highest")
        return
    for field, value in (("limit", measure.limit), ("median", measure.median)):
        if not measure.lowest <= value <= measure.highest:
            wrong = f"the {field} of '{id}' is {value:g}, outside its readings"
            right = f"write a value from {measure.lowest:g} to {measure.highest:g}, or widen lowest and highest"
            ground.fault(Code.MEASURE, wrong, right, "signs", id, "measure", field)


def check_units(ground: Ground) -> None:
    """Units of measures and of axle values that can be converted."""
    measures = [
        ("signs", id, sign.measure.unit, ("measure", "unit")) for id, sign in ground.signs.items() if sign.measure
    ]
    values = [
        ("axles", id, value.unit, ("values", name, "unit"))
        for id, axle in ground.axles.items()
        for name, value in axle.values.items()
    ]
    for kind, id, unit, path in [*measures, *values]:
        try:
            check_unit(unit)
        except QuantityError as error:
            wrong, _, right = str(error).partition("; ")
            ground.fault(Code.UNIT, wrong, right, kind, id, *path)
