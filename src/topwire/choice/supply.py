"""What each cultivar would bring: crop of a tree by weather year, weeks of picking, weeks of keeping."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from topwire.cellar.keeping import share_kept, storage_life
from topwire.choice.plate import Juice, is_bitter
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.traits import BY_SEASON
from topwire.values.calendar import WEEKS, week_of_day
from topwire.values.terms import CiderClass, Pan, Use
from topwire.values.traits import Grade, Pollen, Right

Array = npt.NDArray[np.float64]
Weeks = npt.NDArray[np.int64]

# Full crop beside an evenly bearing cultivar: 20 kg and 14 kg a tree at full size in the crop-by-leaf table (proposal).
BEARING = {Grade.LOW: 1.0, Grade.MEDIUM: 0.85, Grade.HIGH: 0.7}
# Share of next year's flowers a full crop costs, with ordinary thinning (proposal; direction READ).
ALTERNATION = {Grade.LOW: 0.05, Grade.MEDIUM: 0.2, Grade.HIGH: 0.45}
WEAK_SCION = 0.85  # a weak scion fills its space less (proposal)
HARD_SPRINGS = 10  # weather years for one that is also weighed with harder frost: planning figure, no source
FEW_LEFT, MANY_LEFT = (
    0.1,
    0.9,
)  # share of the crop a telling frost leaves at the least; of the year's own, at the most
LOST_TREES = 0.04  # share of places without a bearing tree: planning figure, no source
TABLE_GRADE = (
    0.75  # share of a dessert crop fit for the table; the rest cooks and presses (pack-out 0.72 READ)
)


PRIME = 2 / 3  # share of its life at table in which fruit is at its best: planning figure, no source


class Keeping(StrEnum):
    """Where fruit waits for its use, and how long it is good for it."""

    TABLE = "table"
    KITCHEN = "kitchen"
    BINS = "bins"  # outdoors, to be pressed for cider once it has sweated


SWEAT_WEEKS = (
    2  # cider fruit lies until a thumb leaves its mark: one to four weeks (common practice, no source)
)
OUTDOORS = 10.0  # [deg C] of bins outdoors in autumn where the place does not say: planning figure, no source


@dataclass(frozen=True)
class CandidateCultivar:
    """What the choice needs to know of a cultivar. None = not known.

    Attributes
    ----------
    juice : measured, or that of its class or kind; pan : what it does when cooked
    storage_weeks : in cold air; mellow_weeks : in store before it is good at table
    harvest_read : its harvest date was read in a source, not remembered
    """

    name: str
    uses: tuple[Use, ...]
    cider_class: CiderClass | None
    juice: Juice
    pan: Pan | None
    alleles: tuple[int, ...]
    ploidy: int | None
    pollen: Pollen | None
    heritage: bool
    right: Right
    biennial: Grade | None
    precocity: Grade | None
    vigour: Grade | None
    storage_weeks: float | None
    mellow_weeks: float
    harvest_read: bool
    harvest_error: float = 0.0  # [d] of its date, where wider than usual
    trade_marks: tuple[str, ...] = ()  # it is sold under
    table_share: float = TABLE_GRADE  # of its crop that is fit for the table

    @property
    def bitter(self) -> bool:
        """Whether its juice is bitter."""
        return is_bitter(self.cider_class, self.juice)


@dataclass(frozen=True)
class Supply:
    """Candidates and their fruit. Arrays (years, cultivars) unless said otherwise.

    Attributes
    ----------
    cultivars : the candidates
    crop : [kg] of a full-grown tree in each weather year
    ordinary : (cultivars,) [kg] of a full-grown tree without frost, mean over on and off years
    first, last : week 1 to 52 of the first and last pick
    eating, cooking : (cultivars,) [weeks] life in the cellar for the table and for all else
    mellow : (cultivars,) [weeks] in store before fruit is good at table; 0 = from the tree
    harder : [kg] crop of a tree had the spring's nights been colder; None where that is not known
    bins : (cultivars,) [weeks] life in bins outdoors; None: as in the kitchen's cellar
    sweat : (cultivars,) [weeks] from the tree to the mill for cider; None: pressed as it comes
    """

    cultivars: tuple[CandidateCultivar, ...]
    years: Weeks
    crop: Array
    ordinary: Array
    first: Weeks
    last: Weeks
    eating: Array
    cooking: Array
    mellow: Array
    harder: Array | None = None
    bins: Array | None = None
    sweat: Weeks | None = None

    @property
    def sweats(self) -> Weeks:
        """(cultivars,) weeks from the tree to the mill for cider."""
        return np.zeros(len(self.cultivars), dtype=np.int64) if self.sweat is None else self.sweat

    @property
    def picking_weeks(self) -> Weeks:
        """Weeks from first to last pick, both counted."""
        return (self.last - self.first) % WEEKS + 1

    def by_season(self, which: Weeks) -> Weeks:
        """Some cultivars, from the first that is picked to the last. Where one after the other is left out the years'
        programmes have a shorter way from neighbour to neighbour: an eighth fewer steps (measured)."""
        return which[np.argsort(np.median(self.first[:, which], axis=0), kind="stable")]

    def kept(self, *, eating: bool) -> Array:
        """Share left of fruit served in a week, (years, cultivars, 52): age counted from the middle of picking.

        A week is served from what is on the trees or in the cellar: fruit of the first picking week is fresh, not of
        negative age. Weeks before the first pick give 0, and at table also the weeks in which fruit is not mellow yet.
        """
        return self.kept_as(Keeping.TABLE if eating else Keeping.KITCHEN)

    def age(self) -> Array:
        """Weeks since the middle of picking, (years, cultivars, 52); 0 while it is picked."""
        since_first = (np.arange(1, WEEKS + 1)[None, None, :] - self.first[:, :, None]) % WEEKS
        weeks: Array = np.maximum(since_first - (self.picking_weeks[:, :, None] - 1) / 2, 0.0)
        return weeks

    def past_its_prime(self) -> npt.NDArray[np.bool_]:
        """Whether fruit served at table in a week has lain there for most of its life, (years, cultivars, 52)."""
        return np.asarray(self.age() > PRIME * self.eating[None, :, None])

    def kept_as(self, how: Keeping) -> Array:
        """The same by where it waits; fruit in bins has to sweat before it is pressed."""
        week = np.arange(1, WEEKS + 1)
        since_first = (week[None, None, :] - self.first[:, :, None]) % WEEKS
        age = self.age()
        outdoors = self.cooking if self.bins is None else self.bins
        life = {Keeping.TABLE: self.eating, Keeping.KITCHEN: self.cooking, Keeping.BINS: outdoors}[how]
        wait = {Keeping.TABLE: self.mellow, Keeping.BINS: self.sweats.astype(float)}.get(how)
        kept = share_kept(age, life[None, :, None])
        return kept if wait is None else np.where(since_first < wait[None, :, None], 0.0, kept)

    def chosen(self, keep: npt.NDArray[np.int64]) -> "Supply":
        """The same of some cultivars only."""
        return replace(
            self,
            cultivars=tuple(self.cultivars[at] for at in keep),
            crop=self.crop[:, keep],
            ordinary=self.ordinary[keep],
            first=self.first[:, keep],
            last=self.last[:, keep],
            eating=self.eating[keep],
            cooking=self.cooking[keep],
            mellow=self.mellow[keep],
            harder=None if self.harder is None else self.harder[:, keep],
            bins=None if self.bins is None else self.bins[keep],
            sweat=None if self.sweat is None else self.sweat[keep],
        )

    def in_years(self, keep: npt.NDArray[np.int64]) -> "Supply":
        """The same in some weather years only."""
        return replace(
            self,
            years=self.years[keep],
            crop=self.crop[keep],
            first=self.first[keep],
            last=self.last[keep],
            harder=None if self.harder is None else self.harder[keep],
        )

    def with_harder_springs(self) -> "Supply":
        """The years, and some of them once more with harder frost: twenty or thirty springs hold few bad ones.

        One for every HARD_SPRINGS years, spread evenly over those in which harder frost takes some of the crop and
        leaves some: a spring that takes all tells cultivars not apart.
        """
        if self.harder is None:
            return self
        left = (self.harder / self.ordinary).mean(axis=1)
        telling = np.flatnonzero(
            (left > FEW_LEFT) & (left < MANY_LEFT * (self.crop / self.ordinary).mean(axis=1))
        )
        order = telling[np.argsort(left[telling], kind="stable")]
        count = min(order.size, round(self.years.size / HARD_SPRINGS))
        picks = order[np.round((np.arange(count) + 0.5) / max(count, 1) * order.size - 0.5).astype(np.int64)]
        return replace(
            self,
            years=np.concatenate([self.years, self.years[picks]]),
            crop=np.concatenate([self.crop, self.harder[picks]]),
            first=np.concatenate([self.first, self.first[picks]]),
            last=np.concatenate([self.last, self.last[picks]]),
            harder=None,
        )

    def mean_year(self) -> "Supply":
        """One year with the mean crop and the middle picking weeks of all."""
        middle = np.median(self.first, axis=0, keepdims=True).astype(np.int64)
        long = np.median(self.picking_weeks, axis=0, keepdims=True).astype(np.int64)
        return replace(
            self,
            years=self.years[:1],
            crop=self.crop.mean(axis=0, keepdims=True),
            first=middle,
            last=(middle + long - 2) % WEEKS + 1,
            harder=None,
        )


def supply_of(
    cultivars: Sequence[CandidateCultivar],
    seasons: PlaceSeasons,
    *,
    mature_yield: float,
    ground_per_tree: float,
    cellar: float,
    ill: Array | None = None,
    outdoors: float = OUTDOORS,
) -> Supply:
    """Supply of the candidates over the place's weather years.

    Parameters
    ----------
    mature_yield : [kg/m2] of a full-grown orchard of an evenly bearing cultivar
    ground_per_tree : [m2] row spacing times tree spacing
    cellar, outdoors : [deg C] of the cellar, and of bins outdoors in autumn
    ill : (cultivars,) share of the crop that disease takes or spoils
    """
    columns = [seasons.cultivars.index(row.name) for row in cultivars]
    first = _filled(seasons.harvest_first[:, columns])
    last = np.maximum(_filled(seasons.harvest_last[:, columns]), first)
    wide = np.array([row.harvest_error if row.harvest_error >= BY_SEASON else 0.0 for row in cultivars])
    first, last = first - wide, last + wide
    ripe = np.isfinite(seasons.harvest_first[:, columns])
    frost = np.where(ripe, np.nan_to_num(seasons.crop_after_frost[:, columns]), 0.0)
    grade = [row.biennial or Grade.MEDIUM for row in cultivars]
    weak = np.array([WEAK_SCION if row.vigour is Grade.LOW else 1.0 for row in cultivars])
    level = np.array([BEARING[item] for item in grade])
    ordinary = mature_yield * ground_per_tree * level * weak * (1 - LOST_TREES)
    harder = seasons.crop_after_harder_frost
    harder = np.where(ripe, np.nan_to_num(harder[:, columns]), 0.0) if harder.size else frost
    cost = np.array([ALTERNATION[item] for item in grade])
    flowers = flowering(frost, cost)
    sound = 1.0 - (np.zeros(len(cultivars)) if ill is None else ill)
    weeks = np.array([row.storage_weeks if row.storage_weeks is not None else np.nan for row in cultivars])
    bins = bins_weeks(weeks, outdoors)
    return Supply(
        tuple(cultivars),
        seasons.years,
        ordinary[None, :] * flowers * frost * sound,
        ordinary,
        week_of_day(first),
        week_of_day(last),
        storage_life(weeks, cellar, eating=True),
        storage_life(weeks, cellar, eating=False),
        np.array([row.mellow_weeks for row in cultivars]),
        ordinary[None, :] * flowers * harder * sound,
        bins,
        np.where([row.cider_class is not None for row in cultivars], sweat_weeks(bins), 0),
    )


def bins_weeks(best_case_weeks: npt.ArrayLike, outdoors: float) -> Array:
    """Weeks fruit is good for the press in bins outdoors, 0 where not known.

    Parameters
    ----------
    best_case_weeks : [weeks] in cold air; outdoors : [deg C] in autumn
    """
    return np.nan_to_num(storage_life(best_case_weeks, outdoors, eating=False))


def sweat_weeks(bins: npt.ArrayLike) -> Weeks:
    """Whole weeks cider fruit lies before it is milled: two, or half of what it keeps in bins."""
    whole: Weeks = np.minimum(SWEAT_WEEKS, np.asarray(bins) // 2).astype(np.int64)
    return whole


def flowering(frost: Array, cost: Array) -> Array:
    """Flowers of successive years beside those of a frost-free run, shape (years, cultivars).

    A full crop costs a share of the next year's flowers; a year that frost thinned costs less, and so the state goes
    from year to year. Years that are missing between two weather years count as ordinary. Crop is flowers times
    `frost`.

    Parameters
    ----------
    frost : (years, cultivars) share of a full crop that frost leaves
    cost : (cultivars,) share of next year's flowers a full crop costs
    """
    steady = 1 / (1 + cost)  # the crop that reproduces itself
    flowers = np.empty_like(frost)
    now = steady.copy()
    for year in range(frost.shape[0]):
        flowers[year] = now
        now = 1 - cost * now * frost[year]
    return flowers / steady


def _filled(days: Array) -> Array:
    """Days of the year with unripe years at the cultivar's middle date: their crop is 0 anyway."""
    middle = np.nanmedian(days, axis=0)
    return np.where(np.isfinite(days), days, middle[None, :])
