"""Parents of cultivars, as far as they are known."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue


@dataclass(frozen=True)
class ParentsRow:
    """A row of cultivar_parents.csv; None = not known."""

    cultivar: str
    seed_parent: str | None
    pollen_parent: str | None
    source: str | None
    mark: str | None
    remark: str | None

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(name for name in (self.seed_parent, self.pollen_parent) if name)


def parents_of(catalogue: Catalogue) -> Mapping[str, tuple[str, ...]]:
    """The known parents of each cultivar, in the catalogue or not; cultivars without any are left out."""
    return {row.cultivar: row.names for row in catalogue.rows("cultivar_parents", ParentsRow) if row.names}
