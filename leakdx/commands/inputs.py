"""What commands read: the knowledge they reason with and the case they are about."""

import re
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from leakdx.case import Case
from leakdx.commands.output import talk
from leakdx.commands.stored import is_file_name, keep_shown, store_of
from leakdx.errors import CaseError, StorageError, TooWideError, UsageError
from leakdx.explain.numbers import write_numbers
from leakdx.knowledge.files import gather
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import read_case
from leakdx.store.settings import Ways, laid_over, read_settings, settings_path, write_template
from leakdx.store.source import KnowledgeSource

if TYPE_CHECKING:
    from leakdx.reasoning.diagnosis import Diagnosis
    from leakdx.training.body import Truck

LONGEST_AT_HAND = 1440
"""Minutes: a day."""
_SAYS_COMPLAINT = re.compile(rb"^complaint\s*:", re.MULTILINE)


def knowledge_folders(own: str | None) -> list[Path]:
    """The folders to load: the shipped one and a shop's own laid over it; one that is whole stands alone."""
    if own is None:
        return [shipped_folder()]
    folder = Path(own)
    return [folder] if is_whole(folder) else [shipped_folder(), folder]


def is_whole(folder: Path) -> bool:
    """Whether a knowledge stands alone."""
    return any(_SAYS_COMPLAINT.search(file.data) for file in gather([folder]).files)


def usual_cases() -> list[Path]:
    """The bodies of cases beside the shipped knowledge; an installed leakdx has none."""
    project = shipped_folder().parent
    return [folder for folder in (project / "tests" / "cases", project / "docs" / "cases") if folder.is_dir()]


def trucks_of(named: Sequence[str], knowledge: Knowledge, *, usual: bool) -> "list[Truck]":
    """The trucks of the named folders and files; of the usual ones, where none is named, those that can be diagnosed.

    Raises CaseError for a named one that cannot.
    """
    from leakdx.training.body import case_files, read_truck

    trucks = []
    for file in case_files([Path(place) for place in named] or (usual_cases() if usual else [])):
        try:
            truck = read_truck(file, knowledge)
            truck.diagnosis  # noqa: B018 - worked out here, where it can be passed over
            trucks.append(truck)
        except (CaseError, StorageError, TooWideError) as error:
            if named:
                raise
            said = str(error).splitlines()[0]
            talk(f"{said if str(file) in said else f'{file}: {said}'} (this case is passed over)")
    return trucks


def knowledge_for(own: str | None) -> Knowledge:
    """The knowledge that a command reasons with. Raises KnowledgeError."""
    return load_knowledge(knowledge_folders(own))


def knowledge_here(own: str | None) -> Knowledge:
    """The knowledge as this shop decides by it: its settings laid over. Raises KnowledgeError, SettingsError.

    The first time on a machine a commented file of settings is written, which changes nothing.
    """
    knowledge, path = knowledge_for(own), settings_path()
    if path is not None and own is None:
        write_template(path, knowledge)
    own_settings = read_settings(path)
    write_numbers(own_settings.ways.numbers)
    return laid_over(knowledge, own_settings)


def ways_here() -> Ways:
    """How this shop asks and writes. Raises SettingsError."""
    return read_settings(settings_path()).ways


def knowledge_source(own: str | None) -> KnowledgeSource:
    """What the knowledge of this shop is made of."""
    return KnowledgeSource(gather(knowledge_folders(own)), read_settings(settings_path()).settings)


def diagnosed(args: Namespace, shop: str | None = None, at_hand: float | None = None) -> "Diagnosis":
    """The diagnosis of the case that a command was given; that of a stored case is kept with it, since it is shown.

    ``at_hand``: minutes that there are for looking; what is shown for a time box is not kept.

    Raises CaseError, KnowledgeError, SettingsError, UsageError, StorageError.
    """
    knowledge = knowledge_here(args.knowledge)
    if is_file_name(args.case):
        case = read_case(Path(args.case), knowledge)
        case = case if shop is None else _with_shop(case, shop, knowledge)
        return diagnosis_of(args.case, knowledge, case, at_hand)
    # A database costs more than the diagnosis of a file.
    from leakdx.store.database.kept import parsed

    store = store_of(args)
    kept = store.kept(store.meant(args.case))
    case = parsed(kept, knowledge)
    case = case if shop is None else _with_shop(case, shop, knowledge)
    made = diagnosis_of(f"case {kept.id}", knowledge, case, at_hand)
    if at_hand is None:
        keep_shown(store, kept, made, knowledge_source(args.knowledge), shop)
    return made


def diagnosis_of(case_file: str, knowledge: Knowledge, case: Case, at_hand: float | None = None) -> "Diagnosis":
    """As ``diagnose``, its sentences naming the file."""
    # Numerics and the rule engine, which commands about the knowledge itself do not need.
    from leakdx.reasoning.diagnosis import diagnose

    try:
        made = diagnose(knowledge, case, at_hand=at_hand)
        made.answers  # noqa: B018 - worked out here, so that its sentences name the file too
    except CaseError as error:
        raise CaseError(f"{case_file}: {error}") from error
    return made


def time_at_hand(minutes: float | None) -> float | None:
    """The minutes that there are for looking, as typed. Raises UsageError."""
    if minutes is not None and not 0 < minutes <= LONGEST_AT_HAND:
        span = f"more than 0 and at most {LONGEST_AT_HAND}"
        raise UsageError(f"--minutes is the time that there is for looking, {span}, not {minutes:g}")
    return minutes


def _with_shop(case: Case, shop: str, knowledge: Knowledge) -> Case:
    import msgspec

    if shop not in knowledge.shops:
        raise UsageError(f"there is no shop '{shop}'; known are {', '.join(knowledge.shops)}")
    return msgspec.structs.replace(case, shop=shop)
