"""A step of a repair: on one line of the list, and in full with its cautions and its hold."""

from typing import TYPE_CHECKING

from textual.content import Content

from leakdx.ui.widgets.plain import lines, plain

if TYPE_CHECKING:
    from leakdx.explain.course import Course, CourseStep


def step_row(step: "CourseStep") -> Content:
    """Its box, its number and how it begins."""
    box, word = ("[ ]", "") if step.done is None else ("[!]", "SIGN: ") if step.holds else ("[x]", "")
    return plain(f"{box} {step.number:<5}") + plain(word, "bold") + plain(step.step.do)


def step_in_full(course: "Course", step: "CourseStep") -> Content:
    """What is to be done, its cautions at it, then its hold and who has signed."""
    knowledge, barrier = course.knowledge, course.barrier(step.number)
    several = len(course.actions) > 1
    of = "; ".join(map(knowledge.name, step.of)) if several else ""
    return lines(
        plain(f"Not yet: the hold after step {barrier.number} is not signed." if barrier else "", "bold"),
        *(plain("CAUTION: ", "bold") + plain(knowledge.cautions[id].text) for id in step.step.cautions),
        plain(f"{step.number}  ", "bold") + plain(step.step.do),
        plain(f"For: {of}" if of else ""),
        plain("Order: key o counts through the ring." if step.step.fastening_order else "", "bold"),
        plain("Clock: key t takes the times on the label and the air of the shop." if step.step.clock else ""),
        _signature(step),
        plain(f"Done: {_signed(step)}" if step.done is not None else ""),
    )


def _signature(step: "CourseStep") -> Content:
    if not step.step.hold:
        return plain("")
    if step.signed is None:
        return plain(f"HOLD, initials (key s): {step.step.hold}", "bold")
    from leakdx.interview.readback import signed_by  # a step has come, so it is loaded

    note = f" - {step.signed.note}" if step.signed.note else ""
    return plain("HOLD signed ", "bold") + plain(f"by {signed_by(step.signed)}{note}: {step.step.hold}")


def _signed(step: "CourseStep") -> str:
    from leakdx.interview.readback import signed_by

    assert step.done is not None
    return signed_by(step.done)
