"""``leakdx`` and ``leakdx screen``: the technician's screen. What is heavy is loaded after its first picture."""

from argparse import Namespace
from functools import partial
from typing import TYPE_CHECKING

from leakdx.commands.output import is_terminal
from leakdx.errors import ExitCode, UsageError
from leakdx.ui.app import LeakdxApp
from leakdx.ui.given import Given

if TYPE_CHECKING:
    from leakdx.knowledge.model import Knowledge
    from leakdx.store.settings import Ways
    from leakdx.store.source import KnowledgeSource


def run(args: Namespace) -> int:
    """Open the screen. Raises UsageError where there is no terminal."""
    if not is_terminal():
        raise UsageError("the screen needs a terminal; without one, 'leakdx ask' asks in plain lines")
    app = LeakdxApp(given(args))
    app.run()
    if app.failure is not None:
        raise app.failure
    return app.return_code or ExitCode.OK


def given(args: Namespace) -> Given:
    """What was typed, and how the knowledge of this shop is loaded."""
    return Given(
        knowledge=partial(_knowledge, args.knowledge),
        source=partial(_source, args.knowledge),
        ways=_ways,
        store=args.store,
        who=args.who or "",
        bay=args.bay or "",
        case=args.case,
    )


def _knowledge(own: str | None) -> "Knowledge":
    from leakdx.commands.inputs import knowledge_here

    return knowledge_here(own)


def _source(own: str | None) -> "KnowledgeSource":
    from leakdx.commands.inputs import knowledge_source

    return knowledge_source(own)


def _ways() -> "Ways":
    from leakdx.commands.inputs import ways_here

    return ways_here()
