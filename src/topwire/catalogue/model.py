"""What is known of cultivars and rootstocks: typed rows, each figure with its evidence."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from topwire.catalogue.names import CultivarNames, names_of
from topwire.catalogue.prices import PriceRow
from topwire.catalogue.tables import RawTable, Row, typed_rows
from topwire.plan.kitchen import CiderClass, Use
from topwire.values.mark import Mark as Mark
from topwire.values.price import Price
from topwire.values.traits import Chill as Chill
from topwire.values.traits import CultivarKind as CultivarKind
from topwire.values.traits import Grade as Grade
from topwire.values.traits import Pollen as Pollen
from topwire.values.traits import ReplantTolerance as ReplantTolerance
from topwire.values.traits import Right as Right
from topwire.values.traits import StockPrecocity as StockPrecocity
from topwire.values.traits import Susceptibility as Susceptibility


@dataclass(frozen=True)
class Evidence:
    """Where one figure comes from."""

    mark: Mark
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Cultivar:
    """One row of cultivars.csv. None = not known.

    Offsets count days from Golden Delicious; masses in grams, acid and tannin in g/L, storage in weeks of cold air
    (0 to 2 deg C), best case; best_after_weeks for late cultivars that want to mellow.
    """

    name: str
    synonyms: tuple[str, ...]
    trade_marks: tuple[str, ...]  # it is sold under; not its name
    origin: str | None
    era: str | None
    introduced: int | None
    kind: CultivarKind
    uses: tuple[str, ...]
    cider_class: CiderClass | None
    bloom_offset_days: float | None
    harvest_offset_days: float | None
    harvest_error_days: float | None  # of the offset, where wider than usual: known by its season only
    ploidy: int | None
    pollen: Pollen | None
    s_alleles: str | None
    storage_weeks: float | None
    best_after_weeks: float | None  # in store before it is good at table
    chill: Chill | None
    vigour: Grade | None
    growth_type: str | None
    biennial: Grade | None
    precocity: Grade | None
    fruit_mass_g: float | None
    brix: float | None
    acid_g_l: float | None
    tannin_g_l: float | None
    scab: Susceptibility | None
    fire_blight: Susceptibility | None
    cedar_apple_rust: Susceptibility | None
    powdery_mildew: Susceptibility | None
    tip_bearing: str | None
    propagation_right: Right
    notes: str | None
    evidence: str | None

    @cached_property
    def kitchen_uses(self) -> frozenset[Use]:
        """Uses the kitchen may put it to; “keeping” is storage_weeks, not a use."""
        known = set(Use)
        return frozenset(Use(use) for use in self.uses if use in known)

    @property
    def alleles(self) -> tuple[int, ...]:
        """S-alleles by number; empty where the genotype is not known."""
        return tuple(int(part) for part in (self.s_alleles or "").split("S") if part)

    @property
    def heritage(self) -> bool:
        """Known before 1900."""
        return self.introduced is not None and self.introduced < 1900

    def evidence_of(self, field: str) -> Evidence:
        """Mark and source keys of one field."""
        return parse_evidence(self.evidence).get(field, Evidence(Mark.UNSAID))


@dataclass(frozen=True)
class Rootstock:
    """One row of rootstocks.csv. None = not known.

    `vigour_low`, `vigour`, `vigour_high`: trunk cross-section as a share of M.9 NAKBT337 (1 = equal).
    """

    name: str
    size_class: str
    seedling_low_pct: float | None
    seedling_high_pct: float | None
    vigour_low: float | None
    vigour: float | None
    vigour_high: float | None
    height_after_5_years_m: float | None
    cumulative_yield_5_years_kg: float | None
    yield_efficiency_kg_cm2: float | None
    precocity: StockPrecocity | None
    fire_blight: str | None
    phytophthora: str | None
    replant: ReplantTolerance | None
    woolly_aphid: str | None
    burr_knots: str | None
    cold_hardiness: str | None
    support: str | None
    graft_union: str | None
    freestanding: str | None
    propagation_right: Right
    notes: str | None
    evidence: str | None

    def evidence_of(self, field: str) -> Evidence:
        return parse_evidence(self.evidence).get(field, Evidence(Mark.UNSAID))


@cache
def parse_evidence(text: str | None) -> Mapping[str, Evidence]:
    """ "bloom_offset_days=READ:ABC2021+NCHIL302; ploidy=MEMORY" by field."""
    found = {}
    for part in (text or "").split(";"):
        field, _, said = part.strip().partition("=")
        mark, _, keys = said.partition(":")
        if field and mark in set(Mark):
            found[field] = Evidence(Mark(mark), tuple(key for key in keys.split("+") if key))
    return found


@dataclass(frozen=True)
class Catalogue:
    """All tables, shipped and own, with typed access."""

    tables: Mapping[str, RawTable]

    def rows(self, name: str, row_type: type[Row]) -> tuple[Row, ...]:
        """Typed rows of any table; see `typed_rows`."""
        return typed_rows(self.tables[name], row_type)

    @cached_property
    def cultivars(self) -> tuple[Cultivar, ...]:
        return self.rows("cultivars", Cultivar)

    @cached_property
    def rootstocks(self) -> tuple[Rootstock, ...]:
        return self.rows("rootstocks", Rootstock)

    @cached_property
    def cultivar(self) -> Mapping[str, Cultivar]:
        """Cultivars by name."""
        return {row.name: row for row in self.cultivars}

    @cached_property
    def names(self) -> CultivarNames:
        """All names of cultivars."""
        return names_of(row.cells for row in self.tables["cultivars"].rows.values())

    @cached_property
    def rootstock(self) -> Mapping[str, Rootstock]:
        """Rootstocks by name."""
        return {row.name: row for row in self.rootstocks}

    @cached_property
    def prices(self) -> Mapping[str, Price]:
        """Prices by item."""
        return {
            row.item: Price(row.item, row.price, row.currency, row.mark, row.source or "", row.low, row.high)
            for row in self.rows("prices", PriceRow)
        }
