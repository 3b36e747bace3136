"""``leakdx calc fasteners``: what a torque gives a fastener, and what a torque audit says."""

from argparse import ArgumentParser, Namespace
from dataclasses import asdict

from leakdx.commands.calc.sheet import AREA, CHANCE, FORCE, NUMBER, SHARE, TORQUE, Row, Sheet, cell, shown
from leakdx.commands.calc.typed import count, number_in, plain
from leakdx.errors import UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.measured.axle import COUNT, DIAMETER, PER_INCH
from leakdx.measured.axle import TORQUE as ORDERED
from leakdx.measured.fields import from_names
from leakdx.measured.ring import RingRead, audited, tightening
from leakdx.mechanics.audit import SURE, Audit, Fastener, State, Tightening
from leakdx.mechanics.band import Band
from leakdx.mechanics.preload import arms, friction_for, scatter_of, usual_head_radius
from leakdx.mechanics.threads import read_grade

ABOUT = """\
Say what a torque gives a fastener, with the scatter of a torque wrench, and what of
its strength that is. With --audit: which fasteners have lost clamp, from the torque at
which each just moves, in order round the ring (0 for one that turns freely)."""
EXAMPLES = """\
examples:
  leakdx calc fasteners 5/8-11 --grade 8 --torque 225lb-ft
  leakdx calc fasteners M16x2 --grade 10.9 --torque 305N-m --turning oiled
  leakdx calc fasteners 5/8-11 --grade 8 --torque 225lb-ft \\
    --audit 225 230 90 0 110 220 lb-ft
"""
FROM_AXLE = {"count": COUNT, "torque": ORDERED, "diameter": DIAMETER, "per_inch": PER_INCH}
_BAR = 10


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    numbers = known.trade_numbers
    torque = number_in("N*m", "225lb-ft")
    command.add_argument("thread", metavar="THREAD", nargs="?", help="such as 5/8-11 or M16x2")
    command.add_argument("--grade", required=True, help=f"one of {', '.join(numbers.grades)}")
    command.add_argument("--torque", type=torque, help="that was ordered")
    command.add_argument("--turning", choices=tuple(numbers.threads_state), default="zinc", help="how the thread is")
    command.add_argument("--nut-factor", type=plain("0.2"), metavar="K", help="of T = K F D, where it is known")
    command.add_argument("--audit", nargs="+", metavar="TORQUE", help="first movement of each fastener, unit last")
    command.add_argument("--count", type=count, metavar="N", help="fasteners of the joint, so that none is forgotten")
    command.add_argument("--way", choices=("moving", "peak", "loosening"), help="how it was read (default: moving)")
    command.add_argument("--bond", type=torque, help="torque that thread adhesive may hold")


def sheet(args: Namespace) -> Sheet:
    """The command's answer; the table of an audit is in the units that it was typed in."""
    done, title = _done(args)
    if args.audit is None and (args.way or args.bond is not None):
        raise UsageError("--way and --bond go with --audit; give the first movement of each fastener")
    if args.audit is None:
        return Sheet(title, [*_rows(done), *_all_rows(done, args.count)], _words(done))
    found = _audited(args)
    words = _audit_words(found)
    if done.turning.bonds and not args.bond:
        words.append("Cured thread adhesive holds a part of each reading; give what it may hold with --bond.")
    metric = args.units == "metric" or (args.units == "both" and "lb" not in " ".join(args.audit))
    return Sheet(title, _audit_rows(found), words, _table(found, metric=metric), _more(found))


def svg(args: Namespace) -> str:
    """The audited ring as a picture."""
    from leakdx.diagrams.joint import ring_svg

    if args.audit is None:
        raise UsageError("a picture shows an audit; give the readings with --audit")
    return ring_svg(_audited(args), _done(args)[1])


def _done(args: Namespace) -> tuple[Tightening, str]:
    """How the ring was tightened, and in words."""
    done = tightening(from_names(RingRead, args), args.known.trade_numbers)
    grade = read_grade(args.grade, args.known.trade_numbers)
    return done, f"{done.thread.name}, {grade.name}, {done.turning.words}, {_ordered(done.torque, args.units)}"


def _audited(args: Namespace) -> Audit:
    return audited(from_names(RingRead, args), args.known.trade_numbers)


def _rows(done: Tightening) -> list[Row]:
    thread, preload = done.thread, done.preload
    friction = friction_for(done.turning.nut_factor, thread, usual_head_radius(thread))
    shares = arms(thread, friction, friction, usual_head_radius(thread)).shares
    return [
        Row("stress area", thread.stress_area, AREA),
        Row("proof load", done.proof_load, FORCE),
        Row("tensile load", done.tensile_load, FORCE),
        Row("nut factor", done.turning.nut_factor, NUMBER),
        Row("preload", preload, FORCE),
        Row("preload by proof load", preload.over(done.proof_load), SHARE),
        Row("chance that one yields", done.chance_of_yield, CHANCE),
        Row("comes loose again at", done.torque * done.loosening_share, TORQUE),
        Row("of the torque, stretches", shares[0], SHARE),
        Row("rubs in the thread", shares[1], SHARE),
        Row("rubs under the head", shares[2], SHARE),
    ]


def _all_rows(done: Tightening, count: int | None) -> list[Row]:
    return [] if count is None else [Row(f"clamp of all {count}, likely", count * done.preload.likely, FORCE)]


def _words(done: Tightening) -> list[str]:
    share = done.preload.likely / done.proof_load
    if done.chance_of_yield >= 0.5:
        said = "Too much: this torque likely stretches the fastener for good. Look at torque, grade and thread."
    elif share > 0.9:
        said = "High: little is left before the fastener yields, and torque alone is not so exact."
    elif share < 0.5:
        said = "Low: less than half of what the fastener bears; the joint gets less clamp than it could."
    else:
        said = "In the usual range of half to nine tenths of the proof load."
    return [said, "The axle maker's torque rules; this says what it means, not what it should be."]


def _audit_rows(found: Audit) -> list[Row]:
    mean, _, scatter = scatter_of([each.torque for each in found.fasteners])
    return [
        Row("fasteners", str(len(found.fasteners))),
        Row("mean reading", mean, TORQUE),
        Row("scatter of the readings", scatter, SHARE),
        *(
            Row(
                f"clamp left from {span.first} to {span.second}",
                Band(max(span.low, 1e-3), span.likely, span.high),
                SHARE,
            )
            if span.likely > 0
            else Row(f"clamp left from {span.first} to {span.second}", "none")
            for span in found.spans
        ),
    ]


def _table(found: Audit, *, metric: bool) -> list[str]:
    """Each fastener with a bar of the clamp that it kept."""
    rows = [_line(each, metric=metric) for each in found.fasteners]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def _line(each: Fastener, *, metric: bool) -> tuple[str, ...]:
    filled = min(_BAR, round(_BAR * each.kept.likely)) if each.kept else 0
    kept = cell(Row("", each.kept, SHARE), metric=metric) if each.kept else "0%"
    preload = cell(Row("", each.preload, FORCE), metric=metric) if each.preload else "none"
    reading = cell(Row("", each.torque, TORQUE), metric=metric)
    return f"{each.number:3d}", reading, "#" * filled + "-" * (_BAR - filled), kept, preload, str(each.state)


def _audit_words(found: Audit) -> list[str]:
    unsure = " ".join(str(each.number) for each in found.fasteners if each.state is State.UNSURE)
    lines = [] if found.runs else ["No fastener has surely lost its clamp."]
    if found.runs:
        runs = "; ".join(" ".join(map(str, run)) for run in found.runs)
        side_by_side = ", side by side" if any(len(run) > 1 for run in found.runs) else ""
        lines.append(f"Lost clamp{side_by_side}: {runs}.")
        lines.append("See whether the wet arc stands at these, and write all down before any is turned on.")
    if len(found.weak) > len(found.fasteners) / 2:
        lines.append("Most of the ring is low: think of the tool, of sealing that gave way, of oily thread.")
    if unsure:
        lines.append(f"Too close to say: {unsure}; read again while it moves, with a wrench that was checked.")
    if any(each.state is State.STRETCHED for each in found.fasteners):
        lines.append("One that may be stretched is replaced, never turned back and used again.")
    return [*lines, f"Under four fifths of the order counts as lost; it is said from a chance of {SURE:.0%} on."]


def _more(found: Audit) -> dict[str, object]:
    """Each fastener for machines; torques in N m, preloads in N."""
    fasteners = [
        {
            "number": each.number,
            "torque": each.torque,
            "kept": each.kept and asdict(each.kept),
            "preload": each.preload and asdict(each.preload),
            "chance_lost": each.chance_lost,
            "state": str(each.state),
        }
        for each in found.fasteners
    ]
    return {"fasteners": fasteners, "runs": [list(run) for run in found.runs]}


def _ordered(torque: float, units: str) -> str:
    return f"tightened to {shown(torque, TORQUE, units)}"
