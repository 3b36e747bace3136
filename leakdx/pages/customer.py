"""The customer's page: may it be driven, what was found and how sure, the ways to go on, what to watch, signatures."""

from leakdx.explain.customer import customer_sections, may_be_driven, repair_is_settled
from leakdx.explain.options import customer_options, if_nothing_is_done
from leakdx.explain.words import capital
from leakdx.pages.document import Beside, Blanks, Block, Column, Document, Heading, Notice, Points, Say, Table, Tone
from leakdx.pages.front import about_truck, foot, truck_name
from leakdx.pages.ring import wet_picture
from leakdx.reasoning.diagnosis import Diagnosis

TONES: dict[str, Tone] = {"no": "stop", "recheck": "watch", "yes": "go", "not_judged": "plain"}
_BESIDE = 6
"""Blocks that stand beside the picture: what was seen, what it likely is, and what is not known yet."""
WATCH = (
    "The oil level of the axle, before each day's work, as long as it leaks.",
    "Stop and call us when drops turn into a run, when oil gets near a brake or a hot exhaust, "
    "or when the axle gets loud or hot.",
)
"""Common practice, no source. Nothing that a driver needs a tool for."""
DEFERS = (
    "Where the axle maker's current service manual, local rules or the judgement of whoever is licensed for the "
    "work say otherwise, they go before this page."
)


def customer_page(diagnosis: Diagnosis) -> Document:
    """The page of one case, in words that need no trade."""
    settled = repair_is_settled(diagnosis)
    return Document(
        title=f"{truck_name(diagnosis)}: what we found",
        about=about_truck(diagnosis),
        blocks=(
            _driven(diagnosis),
            *_found(diagnosis),
            *_choice(diagnosis, settled),
            *_watch(diagnosis),
            *_agreed(settled),
        ),
        foot=(DEFERS, foot(diagnosis)[1]),
    )


def _driven(diagnosis: Diagnosis) -> Notice:
    head, *why = may_be_driven(diagnosis.knowledge, diagnosis)
    return Notice(TONES[diagnosis.fit_to_drive.answer], head, capital(" ".join(why)))


def _found(diagnosis: Diagnosis) -> list[Block]:
    """What was seen, with the wet stretch beside it, then the rest of what there is to say."""
    made: list[Block] = []
    for label, said in customer_sections(diagnosis.knowledge, diagnosis):
        made += [Heading(label), Say(said)]
    picture = wet_picture(diagnosis, "Where it is wet, as one looks at the axle from the driveshaft")
    return made if picture is None else [Beside((*made[:_BESIDE],), picture), *made[_BESIDE:]]


def _choice(diagnosis: Diagnosis, settled: bool) -> list[Block]:
    """What there is to choose between; nothing once the work is on its way or done."""
    return [] if settled else [*_ways(diagnosis), Say(if_nothing_is_done(diagnosis), "If nothing is done")]


def _ways(diagnosis: Diagnosis) -> list[Block]:
    """The ways to choose between, with cost and the chance that it comes back."""
    options = customer_options(diagnosis)
    if not options or diagnosis.answers.decision.do == "stop_and_ask":
        return []
    looking = diagnosis.answers.decision.do == "look_further"
    columns = (
        Column("What is done", 4.6),
        Column("Work", 1.2),
        Column("Waiting", 1.2),
        Column("Labour and parts", 1.5),
        Column("Chance that it is wet again", 1.3),
    )
    rows = tuple((way.what, way.work, way.waiting, way.cost, way.comes_back) for way in options)
    head = "If it had to be decided today" if looking else "The ways to go on"
    return [Heading(head), Table("The ways to go on with time, cost and the chance of a comeback", columns, rows)]


def _watch(diagnosis: Diagnosis) -> list[Block]:
    """What a driver looks at until it is repaired, where the truck is to be driven at all."""
    if diagnosis.fit_to_drive.answer == "no":
        return []
    return [Heading("What to watch until then"), Points(WATCH)]


def _agreed(settled: bool) -> list[Block]:
    """How far the shop may go before it calls, and who agreed; once the work is agreed, who has read this."""
    asked = () if settled else ("You may go on before you call me up to", "Call me at")
    return [Heading("Read by" if settled else "Agreed"), Blanks((*asked, "Customer, date", "Shop, date"))]
