"""What the belief is told about a case: history, acts that start epochs, and answers to signs.

Epoch 0 is before any act; act number i (from 0) starts epoch i + 1.
"""

from collections.abc import Mapping

from msgspec import Struct


class HistoryEvidence(Struct, frozen=True):
    """A history answer: decibans on base chances (of causes or families), and causes that it rules out."""

    entry: int
    group: str
    decibans: Mapping[str, float]
    impossible: tuple[str, ...] = ()


class Otherwise(Struct, frozen=True):
    """What an answer says instead when just these of the doubted things it relies on are bad.

    ``likelihood`` stands on the same scale as that of the answer itself: a reading by a bad instrument comes
    as often as after the complaint alone, whatever the outcome.
    """

    bad: tuple[str, ...]
    likelihood: tuple[float, ...]


class SignEvidence(Struct, frozen=True):
    """An answer to a sign in one epoch, as the likelihood of each outcome, the normal one first.

    A hard "no" is (1, 0), "fairly sure yes" (.15, 1). Likelihoods of the same sign in the same epoch speak
    of one and the same result and are multiplied. ``otherwise``: one for each way in which doubted things
    that it relies on may be bad; none where nothing is doubted.
    """

    entry: int
    sign: str
    epoch: int
    likelihood: tuple[float, ...]
    otherwise: tuple[Otherwise, ...] = ()

    @property
    def relies(self) -> tuple[str, ...]:
        """The doubts that bear on it, in order."""
        return tuple(sorted({id for other in self.otherwise for id in other.bad}))


class DoubtEvidence(Struct, frozen=True):
    """A doubt of an instrument or act: the chance that it is bad, one coin for all that relies on it."""

    entry: int
    id: str
    chance: float


class ActEvidence(Struct, frozen=True):
    """An act: chance that it ends each cause (or each of a family), and the signs whose stray it renews."""

    entry: int
    act: str
    cures: Mapping[str, float]
    renews: tuple[str, ...] = ()


class Evidence(Struct, frozen=True):
    """All that a case says. ``askable``: signs that may still be asked in the last epoch."""

    complaint: str
    history: tuple[HistoryEvidence, ...] = ()
    acts: tuple[ActEvidence, ...] = ()
    signs: tuple[SignEvidence, ...] = ()
    askable: tuple[str, ...] = ()
    doubts: tuple[DoubtEvidence, ...] = ()

    @property
    def last_epoch(self) -> int:
        """The epoch that the case stands in."""
        return len(self.acts)
