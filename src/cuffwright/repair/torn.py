"""The torn tendon as a pattern sees it: the strip the mechanics knows, with the tear as it was measured."""

from dataclasses import dataclass

from cuffwright.case.layout import TendonStrip
from cuffwright.case.tear import Tear


@dataclass(frozen=True)
class TornStrip(TendonStrip):
    """A strip (chart mm) that remembers the ``tear`` it was drawn from."""

    tear: Tear

    @classmethod
    def of(cls, strip: TendonStrip, tear: Tear) -> "TornStrip":
        """The strip with its tear."""
        return cls(strip.front, strip.width, strip.edge, strip.thickness, tear)


def tear_of(strip: TendonStrip) -> Tear | None:
    """The tear behind the strip; None for a strip drawn without a case."""
    return strip.tear if isinstance(strip, TornStrip) else None
