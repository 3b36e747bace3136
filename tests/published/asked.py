"""Puts a test's tree and story before leakdx: the only place here where both readings meet."""

import hashlib
from collections.abc import Mapping

import msgspec

from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import place_signs
from leakdx.reasoning.belief import ActEvidence, Belief, Evidence, HistoryEvidence, SignEvidence, compile_model
from tests.published.reference.reader import Meaning, Story
from tests.published.tiny import Tree


def knowledge_of(tree: Tree) -> Knowledge:
    """The typed knowledge of a tree, without the loader's demands on a whole body of knowledge."""
    kinds: dict[str, object] = {field.name: {} for field in msgspec.structs.fields(Knowledge) if field.required}
    digest = hashlib.sha256(msgspec.json.encode(tree)).hexdigest()
    bare = msgspec.convert({**kinds, **tree, "hash": digest}, Knowledge, strict=False)
    made = place_signs(bare.words, bare.zones, bare.places)
    return msgspec.structs.replace(bare, signs={**bare.signs, **made})


def evidence_of(meaning: Meaning, story: Story, told: Mapping[str, str] | None = None) -> Evidence:
    """A story as evidence; entries are numbered history first, then acts, then signs."""
    history: list[HistoryEvidence] = []
    for group, answer in (told or {}).items():
        decibans, impossible = meaning.told({group: answer})
        history.append(HistoryEvidence(len(history) + 1, group, decibans, tuple(sorted(impossible))))
    start = len(history)
    acts = [ActEvidence(start + i, f"act{i}", cures, tuple(sorted(r))) for i, (cures, r) in enumerate(story.acts, 1)]
    start += len(acts)
    signs = [SignEvidence(start + i, sign, epoch, seen) for i, (sign, epoch, seen) in enumerate(story.seen, 1)]
    return Evidence(story.complaint, tuple(history), tuple(acts), tuple(signs))


def believe(tree: Tree, meaning: Meaning, story: Story, told: Mapping[str, str] | None = None) -> Belief:
    """What leakdx believes of a story under a tree."""
    return Belief(compile_model(knowledge_of(tree)), evidence_of(meaning, story, told))
