"""What a knowledge was made of: its files and the shop's settings laid over them, enough to make it again."""

from msgspec import Struct

from leakdx.knowledge.files import Files
from leakdx.knowledge.model import Knowledge
from leakdx.store.settings import OwnSettings, Settings, hash_over, laid_over


class KnowledgeSource(Struct, frozen=True):
    """The files, and the settings, as they are decided by."""

    files: Files
    settings: Settings = Settings()

    @property
    def hash(self) -> str:
        """The hash of the knowledge that comes of it."""
        return hash_over(self.files.hash, self.settings)

    def knowledge(self) -> Knowledge:
        """The knowledge that comes of it. Raises KnowledgeError, SettingsError."""
        from leakdx.knowledge.build import build  # the YAML side is not needed where a copy is kept
        from leakdx.knowledge.cache import read_copy, write_copy

        known = read_copy(self.files.hash)
        if known is None:
            known = build(self.files)
            write_copy(known)
        return laid_over(known, OwnSettings(self.settings))
