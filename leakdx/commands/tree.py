"""``leakdx tree``: the policy as a decision tree, from a wet joint or from a case as it stands."""

from argparse import Namespace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from leakdx.case import Case
from leakdx.commands.inputs import diagnosed, knowledge_here
from leakdx.commands.output import say, width
from leakdx.commands.pictures import TO_OUTPUT, Drawn, as_bytes, kind_of, put
from leakdx.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from leakdx.explain.policy_tree import Book
    from leakdx.knowledge.model import Knowledge
    from leakdx.reasoning.decision_tree import Branch, Limits

RAREST, COMMONEST = 1e-4, 0.5
DEEPEST, LONGEST = 12, 480.0
FROM_NOTHING = "wet"
"""What a tree that begins at no case is called."""


def run(args: Namespace) -> int:
    """Compile and print, or draw, one tree."""
    limits = _limits(args)
    kind = kind_of(args) if args.out is not None else ""
    if args.out == TO_OUTPUT and args.page == "all":
        raise UsageError("all pages need files to go to; name one, as -o tree.svg")
    if args.json and args.out is not None:
        raise UsageError("--json writes to standard output; leave out -o")
    from leakdx.explain.policy_tree import Book
    from leakdx.reasoning.decision_tree import Compiler

    knowledge, case = _subject(args)
    tree = Compiler(knowledge, limits=limits).compile(case)
    if args.json:
        _say_json(tree)
        return ExitCode.OK
    shop = knowledge.shops[case.shop] if case.shop else next(iter(knowledge.shops.values()))
    book = Book(knowledge, tree, shop.currency, limits.floor)
    pages = _pages(args.page, len(book.pages))
    if args.out is None:
        say(book.text(pages, width()))
    else:
        _draw(args, book, pages, kind)
    return ExitCode.OK


def _subject(args: Namespace) -> "tuple[Knowledge, Case]":
    """What the tree begins at: a case as it stands, or an axle reported wet of which nothing is known."""
    if args.case is not None:
        made = diagnosed(args)
        return made.knowledge, made.case
    knowledge = knowledge_here(args.knowledge)
    return knowledge, Case(id=FROM_NOTHING, complaint=knowledge.complaint, log=())


def _limits(args: Namespace) -> "Limits":
    """Where the tree is cut. Raises UsageError."""
    from leakdx.reasoning.decision_tree import Limits

    if not RAREST <= args.cut <= COMMONEST:
        raise UsageError(f"--cut is a chance of {RAREST:g} to {COMMONEST:g}, not {args.cut:g}")
    if not 1 <= args.depth <= DEEPEST:
        raise UsageError(f"--depth is a count of 1 to {DEEPEST} answers, not {args.depth}")
    if not 0 <= args.floor <= LONGEST:
        raise UsageError(f"--floor is 0 to {LONGEST:g} minutes, not {args.floor:g}")
    return Limits(args.cut, args.depth, floor=args.floor)


def _pages(typed: str, count: int) -> list[int]:
    """Numbers of pages: one, or all. Raises UsageError."""
    if typed == "all":
        return list(range(1, count + 1))
    if typed.isdecimal() and 1 <= int(typed) <= count:
        return [int(typed)]
    raise UsageError(f"this tree has the pages 1 to {count}, and 'all'; there is no page '{typed}'")


def _say_json(tree: "Branch") -> None:
    import msgspec

    from leakdx.reasoning.decision_tree import summary

    said = msgspec.json.encode({"summary": summary(tree), "tree": tree})
    say(msgspec.json.format(said).decode())


def _draw(args: Namespace, book: "Book", pages: list[int], kind: str) -> None:
    """Write one file for each page: FILE.svg for the first that was asked for, FILE-2.svg for page 2."""
    from leakdx.diagrams.policy_tree import page_dot, page_svg

    out = Path(args.out)
    for number in pages:
        path = out if number == pages[0] else out.with_name(f"{out.stem}-{number}{out.suffix}")
        picture = Drawn(partial(page_svg, book, number), partial(page_dot, book, number))
        put(as_bytes(picture, kind, on_dark=args.dark), str(path), force=args.force)
