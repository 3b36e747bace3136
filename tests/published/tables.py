"""The simulation's tables, as plain text to read or as Markdown for docs/simulation.md."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from tests.published.figures import (
    MEASURES,
    Figure,
    belief_groups,
    by_cause,
    cell,
    figure,
    groups,
    repaired,
    row,
    sure_of,
    taken_for,
    worked,
)
from tests.published.worked import Outcome, Refused

Drawn = Sequence[Outcome | Refused]
Style = Callable[[Sequence[str], Sequence[Sequence[str]]], str]


def MARKDOWN(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:  # noqa: N802 - chosen like a constant
    """A table of Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def PLAIN(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:  # noqa: N802 - chosen like a constant
    """Columns under each other."""
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    lines = ("  ".join(text.ljust(width) for text, width in zip(line, widths, strict=True)) for line in (head, *rows))
    return "\n".join(line.rstrip() for line in lines)


@dataclass(frozen=True)
class Unknown:
    """The same trucks, in each of which one cause leaks: with it known, unknown, and its own signs unknown too."""

    cause: str
    known: Drawn
    unknown: Drawn
    forgotten: Drawn


def unchanged(seeds: Mapping[int, Drawn], style: Style) -> str:
    """What is so in the world that the knowledge describes: by seed, by what was said, by what leaked."""
    drawn = [truck for trucks in seeds.values() for truck in trucks]
    each = {f"seed {seed}": ("", trucks) for seed, trucks in seeds.items()} if len(seeds) > 1 else {}
    return "\n\n".join(
        [
            worlds({**each, "together": ("", drawn)}, style),
            _decisions(drawn),
            _calibration("P(hold), in ten groups of equal count", groups(repaired(drawn)), style),
            _calibration("chances of single causes, by what was said", belief_groups(worked(drawn)), style),
            _causes(worked(drawn), style),
            *_refusals(drawn),
        ]
    )


def worlds(rows: Mapping[str, tuple[str, Drawn]], style: Style) -> str:
    """A line for each world, all in the same units; turned, since there are more measures than worlds."""
    head = ["", *rows]
    cells = [row(worked(drawn)) for _, drawn in rows.values()]
    counts = [["trucks", *(str(len(drawn)) for _, drawn in rows.values())]]
    refused = [["refused", *(str(len(drawn) - len(worked(drawn))) for _, drawn in rows.values())]]
    lines = [[m.title, *(column[i] for column in cells)] for i, m in enumerate(MEASURES)]
    legend = "\n".join(f"- {name}: {says}." for name, (says, _) in rows.items() if says)
    return "\n\n".join(filter(None, [legend, style(head, [*counts, *lines, *_lost(rows), *refused])]))


def _lost(rows: Mapping[str, tuple[str, Drawn]]) -> list[list[str]]:
    """What each truck cost more than the truck of the same number in the unchanged world."""
    if "unchanged" not in rows or len(rows) == 1:
        return []
    base = {o.number: o.above for o in worked(rows["unchanged"][1])}
    more = {
        name: [o.above - base[o.number] for o in worked(drawn) if o.number in base] for name, (_, drawn) in rows.items()
    }
    return [["above unchanged", *(cell(figure(m), 0) if name != "unchanged" else "" for name, m in more.items())]]


def unknown(causes: Sequence[Unknown], style: Style) -> str:
    """A line for each cause that was never heard of, and all together."""
    head = [
        "cause", "trucks", "none of these said", "said, its signs unknown too", "wrong cause at .6", "mostly",
        "its repair right", "above knowing", "stopped to ask", "above, cause known",
    ]  # fmt: skip
    rows = [_unknown_row(u.cause, worked(u.known), worked(u.unknown), worked(u.forgotten)) for u in causes]
    every = [[o for u in causes for o in worked(getattr(u, part))] for part in ("known", "unknown", "forgotten")]
    total = _unknown_row("**all**" if style is MARKDOWN else "all", *every)
    false_alarm = cell(figure(o.warned for o in every[0]))
    refused = [line for u in causes for line in _refusals([*u.unknown, *u.forgotten])]
    alarm = f'"None of these" said of the same trucks with every cause known: {false_alarm}.'
    return "\n\n".join([style(head, [*rows, total]), alarm, *refused])


def _unknown_row(
    name: str, known: Sequence[Outcome], lost: Sequence[Outcome], forgotten: Sequence[Outcome]
) -> list[str]:
    sure = [o for o in lost if o.wrongly_sure]
    return [
        name,
        str(len(lost)),
        cell(figure(o.warned for o in lost), 2),
        cell(figure(o.warned for o in forgotten), 2),
        cell(figure(o.wrongly_sure is not None for o in lost), 2),
        sure_of(lost) or "-",
        cell(figure(o.right for o in sure if not o.stopped), 2),
        cell(figure(o.above for o in lost), 0),
        cell(figure(o.stopped for o in lost), 2),
        cell(figure(o.above for o in known), 0),
    ]


def _causes(outcomes: Sequence[Outcome], style: Style) -> str:
    head = [
        "what leaked",
        "trucks",
        "first leaked",
        "it is of the first three",
        "right repair",
        "above knowing",
        "took the lead instead",
    ]
    rows = [
        [
            cause,
            str(len(trucks)),
            cell(figure(o.leader in o.leaked for o in trucks), 2),
            cell(figure(cause in [c for c, _ in o.ranked[:3]] for o in trucks), 2),
            cell(figure(o.right for o in trucks if not o.stopped), 2),
            cell(figure(o.above for o in trucks), 0),
            taken_for(trucks) or "-",
        ]
        for cause, trucks in by_cause(outcomes).items()
    ]
    return style(head, rows)


def _calibration(title: str, parts: Iterable[tuple[Figure, Figure]], style: Style) -> str:
    rows = [
        [str(i), f"{said.mean:.3f}", cell(true), f"{said.mean - true.mean:+.3f}", str(said.number)]
        for i, (said, true) in enumerate(parts, 1)
    ]
    return f"{title[0].upper()}{title[1:]}:\n\n{style(['group', 'said', 'true', 'said less true', 'count'], rows)}"


def _decisions(drawn: Drawn) -> str:
    did = Counter(o.did for o in worked(drawn))
    steps = figure(o.steps for o in worked(drawn)).mean
    decisions = ", ".join(f"{d} {n}" for d, n in sorted(did.items()))
    return f"Decisions: {decisions}; {steps:.2f} checks after the opening questions."


def _refusals(drawn: Drawn) -> list[str]:
    return [f"refused truck {truck.number}: {truck.sentence}" for truck in drawn if isinstance(truck, Refused)]
