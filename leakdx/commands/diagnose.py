"""``leakdx diagnose``: what a case comes to."""

from argparse import Namespace

from leakdx.commands.inputs import diagnosed, time_at_hand
from leakdx.commands.output import say, width
from leakdx.errors import ExitCode


def run(args: Namespace) -> int:
    """Print the diagnosis of one case."""
    diagnosis = diagnosed(args, args.shop, time_at_hand(args.minutes))
    if args.json:
        import msgspec

        say(msgspec.json.format(msgspec.json.encode(diagnosis.answers), indent=2).decode())
    elif args.reader == "customer":
        from leakdx.explain.customer import customer_text

        say(customer_text(diagnosis.knowledge, diagnosis.case, diagnosis, width()))
    else:
        from leakdx.explain.technician import technician_text

        say(technician_text(diagnosis.knowledge, diagnosis.case, diagnosis, width()))
    return ExitCode.OK
