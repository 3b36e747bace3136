"""What the belief is told about a case: history, acts that start epochs, and answers to signs.

Epoch 0 is before any act; act number i (from 0) starts epoch i + 1.
"""

from collections.abc import Mapping

from msgspec import Struct


class HistoryEvidence(Struct, frozen=True):
    """A history answer: decibans on base chances (of causes or families), and causes that it rules out.

    ``draw``: of causes that were drawn afresh, the draw that it speaks of (0: the first); others have but one.
    """

    entry: int
    group: str
    decibans: Mapping[str, float]
    impossible: tuple[str, ...] = ()
    draw: int = 0


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
    """An act: chance that it ends each cause (or each of a family), and the signs whose stray it renews.

    ``dries``: every place is dry after it, until oil comes anew.
    """

    entry: int
    act: str
    cures: Mapping[str, float]
    renews: tuple[str, ...] = ()
    dries: bool = False


class Redraw(Struct, frozen=True):
    """The joint was closed anew, and from ``epoch`` on these causes may be there a second time, by this closing.

    ``chance``: that any of them leaks, before history speaks. What was there before goes on, unless it was cured.
    """

    epoch: int
    causes: tuple[str, ...]
    chance: float


class Reported(Struct, frozen=True):
    """The truck came back wet at this place: the complaint once more, in a later epoch."""

    epoch: int
    place: str


class Evidence(Struct, frozen=True):
    """All that a case says. ``askable``: signs that may still be asked in the last epoch."""

    complaint: str
    history: tuple[HistoryEvidence, ...] = ()
    acts: tuple[ActEvidence, ...] = ()
    signs: tuple[SignEvidence, ...] = ()
    askable: tuple[str, ...] = ()
    doubts: tuple[DoubtEvidence, ...] = ()
    redraws: tuple[Redraw, ...] = ()
    comebacks: tuple[Reported, ...] = ()

    @property
    def soon_after_dry(self) -> frozenset[int]:
        """The epochs since all was dry, without a comeback since: oil had no more than a drive to spread."""
        back = {one.epoch for one in self.comebacks}
        found: set[int] = set()
        for epoch, act in enumerate(self.acts, start=1):
            if act.dries or (epoch - 1 in found and epoch not in back):
                found.add(epoch)
        return frozenset(found)

    @property
    def first_epoch(self) -> int:
        """The epoch in which the truck was brought in, the last time that it was."""
        return self.comebacks[-1].epoch if self.comebacks else 0

    @property
    def last_epoch(self) -> int:
        """The epoch that the case stands in."""
        return len(self.acts)
