"""Why a cause, a zone, a family, a sign or a fact of history stands where it does, as trees."""

from collections.abc import Iterable

from leakdx.explain.reasons import because, entry_words, not_so, quoted
from leakdx.explain.tree import Branch
from leakdx.explain.words import FAINT, answer_name, capital, counted, listed, percent, sure
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.answer import CauseBelief, Likelihood, ObservationWeight, WorkedOut
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.justification import things_about

SHOWN_FROM = 0.02
MOVED_SHOWN = 6
APART_SHOWN = 4


def about_cause(diagnosis: Diagnosis, cause: str) -> Branch:
    """How sure, from where it started, what each answer did to it in order of entry, and what rules made of it."""
    row = row_of(diagnosis, cause)
    below = [Branch(how_sure(row)), Branch(start_of(diagnosis, cause)), _weights(diagnosis, row)]
    below += ruled_on(diagnosis, cause)
    helped = _contributors(diagnosis, row)
    if helped:
        below.append(Branch("made likelier by", helped))
    below += apart_from_rival(diagnosis, row)
    below.append(_cures(diagnosis, cause))
    return Branch(capital(row.name), tuple(below))


def about_leader(diagnosis: Diagnosis, most: int) -> Branch:
    """The leader in short: how sure, and the answers that spoke most for it and against it."""
    row = diagnosis.answers.causes[0]
    moved = moved_by(diagnosis, row.id)
    moved.sort(key=lambda pair: -abs(pair[0]))
    sides = (("for", [m for m in moved if m[0] > 0]), ("against", [m for m in moved if m[0] < 0]))
    shown = [(side, tuple(weight_line(diagnosis, *m) for m in found[:most])) for side, found in sides]
    below = [Branch(side, rows) for side, rows in shown if rows]
    return Branch(f"Leading: {row.name} - {sure(row.leaking_first)}", tuple(below))


def about_zone(diagnosis: Diagnosis, zone: str) -> Branch:
    """How likely oil comes out there, by which causes, where it gets to, and what was seen of it."""
    knowledge = diagnosis.knowledge
    row = next((z for z in diagnosis.answers.zones if z.id == zone), None)
    entry = knowledge.zones[zone]
    lets_out = [c for c, e in knowledge.causes.items() if zone in (e.zone, *e.also_zones)]
    signs = [id for id, sign in knowledge.signs.items() if zone in sign.place]
    below = [Branch(_likelihood(row))] if row else []
    below.append(Branch("causes that let oil out here", _ranked(diagnosis, lets_out)))
    below += [Branch(f"from here it {word}: {knowledge.name(place)}") for place, word in entry.paths.items()]
    below += _seen(diagnosis, signs)
    return Branch(capital(entry.name), tuple(below))


def about_family(diagnosis: Diagnosis, family: str) -> Branch:
    """How likely any cause of the family leaks, and which."""
    row = next(f for f in diagnosis.answers.families if f.id == family)
    members = _ranked(diagnosis, diagnosis.knowledge.family_members[family])
    return Branch(capital(row.name), (Branch(_likelihood(row)), Branch("its causes", members)))


def about_sign(diagnosis: Diagnosis, sign: str) -> Branch:
    """What was answered and what that did; or that nobody looked, and what it would take."""
    knowledge = diagnosis.knowledge
    below = [_effect(diagnosis, seen) for seen in diagnosis.answers.observations if seen.id == sign]
    below += [_work(knowledge, row) for row in diagnosis.answers.worked_out if row.id == sign]
    facts = [fact for fact in diagnosis.run.facts if fact.kind in ("sign", "reading") and fact.id == sign]
    below += _by_rule(diagnosis, facts)
    if not facts:
        below.append(Branch(_no_answer(diagnosis, sign)))
        nearest = not_so(diagnosis, sign)
        below += [nearest] if nearest else []
    below.append(Branch(f"looked at by: {_checks(diagnosis, sign)}"))
    return Branch(capital(knowledge.name(sign)), tuple(below))


def _work(knowledge: Knowledge, row: WorkedOut) -> Branch:
    """What raw readings came to, and the chance of each answer by them."""
    shown = {answer: chance for answer, chance in row.chances.items() if chance >= SHOWN_FROM}
    each = [f"{answer_name(knowledge, row.id, answer)} {percent(chance)}" for answer, chance in shown.items()]
    return Branch(f"worked out: {row.said} [entry {row.entry}]", (Branch(f"by these readings: {', '.join(each)}"),))


def about_history(diagnosis: Diagnosis, group: str) -> Branch:
    """The answer and what it did, or that it is not known."""
    knowledge = diagnosis.knowledge
    below = [_effect(diagnosis, seen) for seen in diagnosis.answers.observations if seen.id == group]
    below += _by_rule(diagnosis, [f for f in diagnosis.run.facts if f.kind == "history" and f.id == group])
    if not below:
        below.append(Branch("not known, so it moves nothing"))
    below.append(Branch(f"asked by: {_checks(diagnosis, group)}"))
    return Branch(capital(knowledge.name(group)), tuple(below))


# -- a cause ---------------------------------------------------------------------------------------------


def row_of(diagnosis: Diagnosis, cause: str) -> CauseBelief:
    """What the answer says of a cause."""
    return next(row for row in diagnosis.answers.causes if row.id == cause)


def how_sure(row: CauseBelief) -> str:
    """That it leaked, that it leaks now, that it is there."""
    return (
        f"{sure(row.leaking_first)}, that it leaked when it came in; {percent(row.leaking)} that it leaks now, "
        f"{percent(row.present)} that it is there, leaking or quiet"
    )


def _likelihood(row: Likelihood) -> str:
    return f"{sure(row.leaking_first)}, when it came in; {percent(row.leaking)} now"


def start_of(diagnosis: Diagnosis, cause: str) -> str:
    """The share that it starts from, with its ground."""
    knowledge = diagnosis.knowledge
    place = knowledge.name(knowledge.complaint)
    entry = knowledge.causes.get(cause)
    share = entry.share if entry else knowledge.words.not_listed.share
    ground = f" ({entry.mark}: {entry.reason})" if entry else ""
    return f"starts at {share:g} of 100 axles that come in wet at the {place}{ground}"


def moved_by(diagnosis: Diagnosis, cause: str) -> list[tuple[float, ObservationWeight]]:
    """Answers that moved a cause by more than hardly, in order of entry."""
    rows = [(seen.decibans[cause], seen) for seen in diagnosis.answers.observations if cause in seen.decibans]
    return [(moved, seen) for moved, seen in rows if abs(moved) >= FAINT]


def _weights(diagnosis: Diagnosis, row: CauseBelief) -> Branch:
    """Every answer's decibans in order of entry, and their sum."""
    answers = diagnosis.answers
    if not answers.observations:
        return Branch("nothing was answered yet, so it stands where it starts, scaled with the others to one whole")
    shown = [weight_line(diagnosis, moved, seen) for moved, seen in moved_by(diagnosis, row.id)]
    faint = [seen.decibans[row.id] for seen in answers.observations if abs(seen.decibans.get(row.id, FAINT)) < FAINT]
    if faint:
        shown.append(Branch(f"and {counted(len(faint), 'answer')} that hardly moved it", (), f"{sum(faint):+.1f} dB"))
    final = [_entry(diagnosis, s) for s in answers.observations if row.id not in s.decibans]
    if final:
        shown += [Branch(f"settled by {words}") for words in final]
    else:
        total = sum(seen.decibans[row.id] for seen in answers.observations)
        start = decibans(row.leaking_first) - total
        from_chance = 1 / (1 + 10 ** (-start / 10))
        shown.append(
            Branch(f"together, from {percent(from_chance)} to {percent(row.leaking_first)}", (), f"{total:+.1f} dB")
        )
    return Branch("what spoke, in order of entry (10 dB: ten times the odds)", tuple(shown))


def weight_line(diagnosis: Diagnosis, moved: float, seen: ObservationWeight) -> Branch:
    """An answer, and by how many decibans it moved a cause."""
    return Branch(_entry(diagnosis, seen), (), f"{moved:+.1f} dB")


def _entry(diagnosis: Diagnosis, seen: ObservationWeight) -> str:
    how = {"fairly": ", fairly sure", "by rule": ", by rule", "worked out": ", worked out"}.get(seen.sure, "")
    number = f" [entry {seen.entry}]" if seen.entry else " [by the axle family]"
    return f"{seen.name}: {answer_name(diagnosis.knowledge, seen.id, seen.answer)}{how}{number}"


def ruled_on(diagnosis: Diagnosis, cause: str) -> list[Branch]:
    """Rules that proved it or ruled it out; where none did, what the nearest one misses."""
    facts = [Fact(kind, cause, "", is_sure) for kind in ("established", "excluded") for is_sure in (True, False)]
    found = [because(diagnosis, fact) for fact in facts if fact in diagnosis.run.facts]
    if found:
        return found
    nearest = not_so(diagnosis, cause)
    return [Branch("no rule proves it or rules it out", (nearest,))] if nearest else []


def _contributors(diagnosis: Diagnosis, row: CauseBelief) -> tuple[Branch, ...]:
    knowledge, history = diagnosis.knowledge, diagnosis.history
    return tuple(
        Branch(f"{knowledge.name(id)}: {answer_name(knowledge, id, history[id])}")
        if id in knowledge.history
        else Branch(f"{knowledge.name(id)} (leads to it)")
        for id in row.contributors
    )


def apart_from_rival(diagnosis: Diagnosis, row: CauseBelief) -> list[Branch]:
    """The answers that tell it most from its nearest rival."""
    rival = next((r for r in diagnosis.answers.causes if r.id != row.id), None)
    if rival is None:
        return []
    both = [s for s in diagnosis.answers.observations if row.id in s.decibans and rival.id in s.decibans]
    apart = [(seen.decibans[row.id] - seen.decibans[rival.id], seen) for seen in both]
    apart = sorted((a for a in apart if abs(a[0]) >= FAINT), key=lambda a: -abs(a[0]))[:APART_SHOWN]
    head = f"what tells it from {rival.name} ({percent(rival.leaking_first)})"
    return [Branch(head, tuple(weight_line(diagnosis, *a) for a in apart))] if apart else []


def _cures(diagnosis: Diagnosis, cause: str) -> Branch:
    knowledge = diagnosis.knowledge
    found = [
        f"{repair.name} ({repair.cures[whom]})" if isinstance(repair.cures[whom], str) else repair.name
        for repair in knowledge.repairs.values()
        for whom in repair.cures
        if cause != NOT_LISTED and cause in knowledge.members(whom)
    ]
    return Branch(f"cured by: {listed(found) or 'nothing that is listed here'}")


# -- zones, families, signs ------------------------------------------------------------------------------


def _ranked(diagnosis: Diagnosis, causes: Iterable[str]) -> tuple[Branch, ...]:
    """Causes by their chance, the unlikely ones counted."""
    wanted = set(causes)
    rows = [row for row in diagnosis.answers.causes if row.id in wanted]
    shown = [Branch(row.name, (), percent(row.leaking_first)) for row in rows if row.leaking_first >= SHOWN_FROM]
    rest = len(rows) - len(shown)
    if rest:
        shown.append(Branch(f"and {rest} more, each under {percent(SHOWN_FROM)}"))
    return tuple(shown)


def _seen(diagnosis: Diagnosis, signs: Iterable[str]) -> list[Branch]:
    """The answers to these signs."""
    wanted = set(signs)
    rows = [seen for seen in diagnosis.answers.observations if seen.id in wanted]
    return [Branch("what was seen of it", tuple(Branch(_entry(diagnosis, seen)) for seen in rows))] if rows else []


def _by_rule(diagnosis: Diagnosis, facts: Iterable[Fact]) -> list[Branch]:
    """The reasons of those facts that rules gave; what only the log says was said already."""
    return [branch for branch in (because(diagnosis, fact) for fact in facts) if branch.below]


def _effect(diagnosis: Diagnosis, seen: ObservationWeight) -> Branch:
    """An answer, and the causes that it moved most."""
    moved = sorted(seen.decibans.items(), key=lambda item: -abs(item[1]))
    shown = [(c, d) for c, d in moved if abs(d) >= FAINT][:MOVED_SHOWN]
    below = tuple(Branch(diagnosis.knowledge.name(c), (), f"{d:+.1f} dB") for c, d in shown)
    said = f"{answer_name(diagnosis.knowledge, seen.id, seen.answer)} [{entry_words(diagnosis, seen.entry)}]"
    return Branch(f"{said} moved most" if below else f"{said} moved nothing", below)


def _no_answer(diagnosis: Diagnosis, sign: str) -> str:
    now = diagnosis.timeline
    reasons = (
        (now.unsure, "looked at, and nobody could tell"),
        (now.out_of_reach, "could not be reached, so it was not looked at"),
        (now.not_fitted, "this truck does not have it"),
        (now.spoiled, "not looked at, and it can no longer be seen as found"),
    )
    return next((words for signs, words in reasons if sign in signs), "not looked at")


def _checks(diagnosis: Diagnosis, revealed: str) -> str:
    knowledge = diagnosis.knowledge
    ways = [quoted(knowledge, id) for id, check in knowledge.checks.items() if revealed in check.reveals]
    sign = knowledge.signs.get(revealed)
    if sign is not None and sign.worked_out is not None:
        ways.append(f"raw readings ({sign.worked_out.by})")
    return listed(ways) or "no check"


# -- what only rules speak of ----------------------------------------------------------------------------


def about_ruled(diagnosis: Diagnosis, id: str) -> list[Branch]:
    """Everything that rules made of an id; where they made nothing, what the nearest rule misses."""
    found = [because(diagnosis, thing) for thing in things_about(diagnosis.run, id)]
    nearest = None if found else not_so(diagnosis, id)
    return found or ([Branch("not so", (nearest,))] if nearest else [])
