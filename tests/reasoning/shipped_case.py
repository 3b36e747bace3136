"""Short cases on the shipped knowledge, from pairs of words, for tests of what stands above the rules."""

from leakdx.case import Case, Done, LogEntry, Observation, Sureness, Told
from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge

KNOWLEDGE = load_knowledge([shipped_folder()])


def said(*words: str | tuple[str, str] | tuple[str, str, Sureness]) -> Case:
    """A case at the joint: a lone word is an act, a pair a history answer or a sign's answer."""
    log: list[LogEntry] = []
    for number, word in enumerate(words, 1):
        if isinstance(word, str):
            log.append(Done(number=number, who="AB", act=word))
        elif word[0] in KNOWLEDGE.history:
            log.append(Told(number=number, who="AB", group=word[0], answer=word[1]))
        else:
            sure: Sureness = word[2] if len(word) == 3 else "sure"
            log.append(Observation(number=number, who="AB", sign=word[0], answer=word[1], sure=sure))
    return Case(id="T", complaint=KNOWLEDGE.complaint, log=tuple(log))
