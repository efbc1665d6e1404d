"""The second stage of the choice: picking, keeping, making, pressing and serving in each weather year.

Least mean weighted shortfall, joined with the mean of the worst fifth of years (ROCKAFELLAR2000), plus a little for
waste. One function per condition, in the trade's words.

Fruit of a cultivar is picked in equal parts over its picking weeks and goes to a need in a week. What is served by a
week has been picked by then. What is made once goes through pan and press week by week where these have a limit; what
is used of a product in a week was made by then, and within its shelf life.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from topwire.choice.model import Index, Model
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.supply import Keeping, Supply
from topwire.values.calendar import WEEKS

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

WORST_SHARE = 0.2  # the worst fifth of years
WASTE_COST = 0.02  # [weighted kg] of a kilogram picked that never reaches the kitchen
SAMENESS_COST = (
    0.3  # share of a need's weight by which fruit beyond a cultivar's part of the board falls short
)
LATE_COST = (
    0.3  # share of a need's weight by which fruit past its prime falls short: planning figure, no source
)
CLEAN_LOSS = 0.03  # trimmings and rot of fruit processed within its life: planning figure, no source


@dataclass(frozen=True)
class Fruit:
    """Columns of fruit [kg as picked] given to needs: of each its cultivar, need and week (0 = as it is picked), the
    share that reaches the kitchen, and the most it may be."""

    columns: Index
    cultivar: Index
    need: Index
    week: Index
    kept: Array
    most: Array
    outdoors: Flags  # sweated in bins outdoors, not kept in the cellar

    @classmethod
    def joined(cls, parts: Sequence["Fruit"]) -> "Fruit":
        return cls(*(np.concatenate([getattr(part, each.name) for part in parts]) for each in fields(cls)))

    def some(self, keep: Flags) -> "Fruit":
        return Fruit(*(getattr(self, each.name)[keep] for each in fields(self)))


@dataclass(frozen=True)
class Weekly:
    """Columns [kg in the kitchen] of needs in weeks (0 = over the season)."""

    columns: Index
    need: Index
    week: Index

    @classmethod
    def joined(cls, parts: Sequence["Weekly"]) -> "Weekly":
        none = np.zeros(0, dtype=np.int64)
        return cls(
            *(np.concatenate([none, *(getattr(part, each.name) for part in parts)]) for each in fields(cls))
        )


@dataclass(frozen=True)
class Crop:
    """Rows that hold a cultivar's crop, and the share of a tree's crop they hold."""

    rows: Index
    cultivar: Index
    share: Array


@dataclass(frozen=True)
class Year:
    """Columns and rows of one weather year: fruit given to needs, what is missing, and where the crop is shared out.

    Attributes
    ----------
    wanted : rows of what is missing, in its order
    press, pan, mixed : rows of the press, of kitchen pans, and of bounds of blends
    ends : (needs, 2) how many columns and rows the programme had when each need had been put in
    """

    fruit: Fruit
    missing: Weekly
    crop: Crop
    wanted: Index
    press: Index
    pan: Index
    mixed: Index
    ends: Index


def add_years(
    model: Model,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    *,
    trees: Index,
    counts: float = 1.0,
) -> tuple[Year, ...]:
    """Serving in every weather year, and what it counts; `trees` are columns.

    Parameters
    ----------
    counts : times the cost, where several calendar years of an orchard stand side by side
    """
    years = supply.years.size
    level = model.add_columns(counts * limits.worst_weight, low=-np.inf)
    over = model.add_columns(np.full(years, counts * limits.worst_weight / (WORST_SHARE * years)))
    kept = {how: supply.kept_as(how) for how in Keeping}
    fits = fits_of(supply, needs)
    found = []
    for at in range(years):
        year = _YearModel(model, supply, needs, limits, at, {how: kept[how][at] for how in kept}, fits)
        year.counted = model.add_rows(0.0, np.inf)  # over + level - what counts >= 0
        year.in_the_mean = counts * (1 - limits.worst_weight) / years
        model.put(year.counted, over[at : at + 1], 1.0)
        model.put(year.counted, level, 1.0)
        found.append(year.build(trees, None))
    return tuple(found)


@dataclass(frozen=True)
class Fits:
    """What is alike in every year.

    fit : (needs, cultivars) whether a need is served by a cultivar
    blends : by number of a need that is blended, its bounds (`Blend.edges`)
    """

    fit: Flags
    blends: Mapping[int, tuple[tuple[Array, Array], ...]]


def fits_of(supply: Supply, needs: Sequence[WeeklyNeed]) -> Fits:
    juices, bitter = [row.juice for row in supply.cultivars], [row.bitter for row in supply.cultivars]
    return Fits(
        np.array([[need.served_by(row) for row in supply.cultivars] for need in needs]),
        {
            at: tuple(need.blend.edges(juices, bitter))
            for at, need in enumerate(needs)
            if need.blend is not None
        },
    )


def add_one_year(
    model: Model,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    fits: Fits | None = None,
    *,
    trees: Array | None = None,
) -> Year:
    """Serving in the only year of `supply`. What counts stands in the cost alone.

    Parameters
    ----------
    fits : of its cultivars, where they are known
    trees : (cultivars,); None: crop rows are given their fruit later
    """
    kept = {how: supply.kept_as(how)[0] for how in Keeping}
    year = _YearModel(model, supply, needs, limits, 0, kept, fits or fits_of(supply, needs))
    return year.build(None, np.zeros(len(supply.cultivars)) if trees is None else trees)


class _YearModel:
    """One weather year put together: fruit to needs, what is missing, what is wasted.

    What counts stands twice: in the cost, as its part of the mean, and in the row `counted`, which asks that level and
    overshoot of the worst years cover it: in all but those years that row is slack, and the solver has it easy.
    """

    in_the_mean: float = 1.0  # what a kilogram that counts costs
    counted: Index | None = None

    def __init__(
        self,
        model: Model,
        supply: Supply,
        needs: Sequence[WeeklyNeed],
        limits: Limits,
        year: int,
        kept: dict[Keeping, Array],
        fits: Fits,
    ) -> None:
        self.model, self.supply, self.needs, self.limits = model, supply, needs, limits
        self.kept, self.fit, self.blends = kept, fits.fit, fits.blends
        self.crop, self.first = supply.crop[year], supply.first[year]
        self.picking = supply.picking_weeks[year]
        self.late = (
            supply.in_years(np.array([year])).past_its_prime()[0] if limits.prime else np.zeros((0, WEEKS))
        )
        self.fruit: list[Fruit] = []
        self.missing: list[Weekly] = []
        self.pressed: list[tuple[Index, Index]] = []  # columns with their weeks
        none: Index = np.zeros(0, dtype=np.int64)
        self.wanted, self.pan, self.mixed = [none], [none], [none]
        self.press = none
        self.ends: list[tuple[int, int]] = []

    def build(self, trees: Index | None, fixed: Array | None) -> Year:
        # What never reaches the kitchen is picked - (wanted - missing).
        picked = 0.0 if fixed is None else float(self.crop @ fixed)
        wanted = sum(need.total for need in self.needs)
        always = self.model.add_columns(0.0, low=1.0, high=1.0)
        self.count(always, WASTE_COST * (picked - wanted))
        if trees is not None:
            self.count(trees, WASTE_COST * self.crop)
        for number, need in enumerate(self.needs):
            if need.weekly is not None:
                self.served_weekly(number, need)
            elif need.limited(self.limits.press_week):
                self.made_by_the_week(number, need)
            else:
                self.made_as_picked(number, need)
            self.ends.append((self.model.width, self.model.height))
        self.press_holds()
        fruit = Fruit.joined(self.fruit)
        crop = self.crop_is_shared(fruit, trees, fixed)
        missing = Weekly.joined(self.missing)
        rows, pan, mixed = (np.concatenate(each) for each in (self.wanted, self.pan, self.mixed))
        return Year(fruit, missing, crop, rows, self.press, pan, mixed, np.array(self.ends))

    def count(self, columns: Index, weighted: npt.ArrayLike) -> None:
        """What a unit of some columns counts, [weighted kg]."""
        if self.counted is not None:
            self.model.put(self.counted, columns, -np.asarray(weighted, dtype=float))
        self.model.add_cost(columns, self.in_the_mean * np.asarray(weighted, dtype=float))

    def _give(self, number: int, which: Index, week: Index, share: Array, most: Array) -> Index:
        given = self.model.add_columns(np.zeros(which.size), high=most)
        outdoors = np.full(which.size, self.needs[number].keeping is Keeping.BINS)
        self.fruit.append(Fruit(given, which, np.full(which.size, number), week, share, most, outdoors))
        return given

    def _may_miss(self, number: int, weeks: Index, rows: Index) -> None:
        """What is wanted in these rows may be missing, and counts."""
        missing = self.model.add_columns(np.zeros(weeks.size))
        self.count(missing, self.needs[number].weight + WASTE_COST)
        self.missing.append(Weekly(missing, np.full(weeks.size, number), weeks))
        self.wanted.append(rows)
        self.model.put(rows, missing, 1.0)

    def served_weekly(self, number: int, need: WeeklyNeed) -> None:
        """A need of each week. On the board, fruit beyond a cultivar's part of it counts less."""
        assert need.weekly is not None
        weeks = np.array(need.weeks, dtype=np.int64)
        share = self.kept[need.keeping][:, weeks - 1] * self.fit[number][:, None]
        if need.picked_by_guests:
            share = share * self.on_the_tree(weeks)
        rows = self.model.add_rows(np.full(weeks.size, need.weekly), need.weekly)
        self._may_miss(number, weeks, rows)
        which, when = np.nonzero(share)
        reaches = share[which, when]
        late = np.zeros(reaches.size)
        if need.eaten_fresh and self.limits.prime:
            late = LATE_COST * need.weight * self.late[:, weeks - 1][which, when]
        pieces = [(need.weekly, 0.0)]
        if need.eaten_fresh and self.limits.board > 1:
            pieces = [(need.weekly / self.limits.board, 0.0), (need.weekly, SAMENESS_COST * need.weight)]
        for most, extra in pieces:
            given = self._give(number, which, weeks[when], reaches, most / reaches)
            self.model.put(rows[when], given, reaches)
            if extra or late.any():
                self.count(given, (extra + late) * reaches)
            if need.pressed:
                self.pressed.append((given, weeks[when]))
            self.blended(number, given, which, reaches)

    def made_as_picked(self, number: int, need: WeeklyNeed) -> None:
        """A product without limit of pan or press: made while its fruit is at its best."""
        weeks = np.array(need.weeks, dtype=np.int64)
        best = self.kept[need.keeping][:, weeks - 1].max(axis=1) * self.fit[number] * (1 - CLEAN_LOSS)
        which = np.flatnonzero(best)
        row = self.model.add_rows(need.total, need.total)
        self._may_miss(number, np.zeros(1, dtype=np.int64), row)
        given = self._give(
            number, which, np.zeros(which.size, dtype=np.int64), best[which], need.total / best[which]
        )
        self.model.put(row, given, best[which])
        self.blended(number, given, which, best[which])

    def made_by_the_week(self, number: int, need: WeeklyNeed) -> None:
        """A product made in the weeks the kitchen has for it, no more in a week than its pan or the press takes."""
        weeks = np.array(need.weeks, dtype=np.int64)
        share = self.kept[need.keeping][:, weeks - 1] * self.fit[number][:, None] * (1 - CLEAN_LOSS)
        which, when = np.nonzero(share)
        reaches = share[which, when]
        a_week = [need.weekly_capacity, self.limits.press_week if need.pressed else None]
        most = np.minimum(
            need.total / reaches, min((value for value in a_week if value is not None), default=np.inf)
        )
        given = self._give(number, which, weeks[when], reaches, most)
        if need.weekly_capacity is not None:
            pan = self.model.add_rows(np.full(weeks.size, -np.inf), need.weekly_capacity)
            self.model.put(pan[when], given, 1.0)
            self.pan.append(pan)
        self.blended(number, given, which, reaches)
        if need.pressed:
            self.pressed.append((given, weeks[when]))
        if need.used:
            use = self.used_while_it_keeps if need.keeps_throughout else self.used_within_its_life
            use(number, need, given, weeks[when], reaches)
            return
        row = self.model.add_rows(need.total, need.total)
        self._may_miss(number, np.zeros(1, dtype=np.int64), row)
        self.model.put(row, given, reaches)

    def used_while_it_keeps(
        self, number: int, need: WeeklyNeed, given: Index, made_in: Index, reaches: Array
    ) -> None:
        """Stock of a product that keeps until its last use: what is used by a week was made by then.

        Of the weeks of use none counts more than another, so that only the sum of what is missing does: it is as good
        as stock there was before. A row for each stretch from one week of making to the next in which any is used:
        before + made - used - after = 0.
        """
        model, begin = self.model, need.weeks[0]
        making = (np.array(need.weeks, dtype=np.int64) - begin) % WEEKS
        used_at = (np.array(need.used, dtype=np.int64) - begin) % WEEKS
        stretch = np.searchsorted(making, used_at, side="right") - 1
        uses = np.bincount(stretch, minlength=making.size) * (need.total / used_at.size)
        row_of = np.concatenate(
            [[0], np.cumsum(uses > 0)[:-1]]
        )  # of what is made, with the next of which any is used
        used = np.bincount(row_of, weights=uses)
        balance = model.add_rows(used, used)
        self._may_miss(number, np.zeros(1, dtype=np.int64), balance[:1])
        stock = model.add_columns(np.zeros(used.size - 1))
        model.put(balance[:-1], stock, -1.0)
        model.put(balance[1:], stock, 1.0)
        made = np.searchsorted(making, (made_in - begin) % WEEKS)
        model.put(balance[row_of[made]], given, reaches)

    def used_within_its_life(
        self, number: int, need: WeeklyNeed, given: Index, made_in: Index, reaches: Array
    ) -> None:
        """Stock of a product: what is used in a week was made by then, and not longer ago than it keeps."""
        model, begin = self.model, need.weeks[0]
        used_in = np.array(need.used, dtype=np.int64)
        wanted = need.total / used_in.size
        used = model.add_columns(np.zeros(used_in.size), high=wanted)
        rows = model.add_rows(np.full(used_in.size, wanted), wanted)
        model.put(rows, used, 1.0)
        self._may_miss(number, used_in, rows)
        made_at, used_at = (made_in - begin) % WEEKS, (used_in - begin) % WEEKS
        stock = model.add_columns(np.zeros(WEEKS), high=np.where(np.arange(WEEKS) == WEEKS - 1, 0.0, np.inf))
        balance = model.add_rows(np.zeros(WEEKS), 0.0)  # stock before + made - used - stock after = 0
        model.put(balance, stock, -1.0)
        model.put(balance[1:], stock[:-1], 1.0)
        model.put(balance[made_at], given, reaches)
        model.put(balance[used_at], used, -1.0)
        ahead = (used_at[None, :] > np.arange(WEEKS)[:, None]) & (
            used_at[None, :] <= np.arange(WEEKS)[:, None] + need.shelf_weeks
        )
        keeps = model.add_rows(np.full(WEEKS, -np.inf), 0.0)  # stock <= used within its life
        model.put(keeps, stock, 1.0)
        week, one = np.nonzero(ahead)
        model.put(keeps[week], used[one], -1.0)

    def blended(self, number: int, given: Index, which: Index, reaches: Array) -> None:
        if number in self.blends:
            rows = blend(self.model, self.blends[number], given=given, which=which, share=reaches)
            self.mixed.append(rows)

    def press_holds(self) -> None:
        """The press takes no more in a week than it can, of all that is pressed together."""
        if self.limits.press_week is None or not self.pressed:
            return
        weeks = np.unique([week for need in self.needs if need.pressed for week in need.weeks])
        self.press = self.model.add_rows(np.full(weeks.size, -np.inf), self.limits.press_week)
        for given, week in self.pressed:
            self.model.put(self.press[np.searchsorted(weeks, week)], given, 1.0)

    def on_the_tree(self, weeks: Index) -> Flags:
        """Guests pick from the tree: weeks in which each cultivar is picked, (cultivars, weeks)."""
        return np.asarray((weeks[None, :] - self.first[:, None]) % WEEKS < self.picking[:, None])

    def crop_is_shared(self, fruit: Fruit, trees: Index | None, fixed: Array | None) -> Crop:
        """What is served by a week has been picked by then; only table grade is eaten fresh.

        For every picking week of a cultivar one row for all fruit and one for table fruit. Fruit without a week counts
        to the last.
        """
        model = self.model
        eaten = np.array([one.eaten_fresh for one in self.needs])[fruit.need]
        since = np.where(fruit.week > 0, (fruit.week - self.first[fruit.cultivar]) % WEEKS, WEEKS)
        since = since - np.where(fruit.outdoors & (fruit.week > 0), self.supply.sweats[fruit.cultivar], 0)
        offset = np.concatenate([[0], np.cumsum(self.picking)])[:-1]
        of = np.repeat(np.arange(self.picking.size), self.picking)
        step = np.arange(of.size) - offset[of]  # picking week of each row, 0 = first
        share = (step + 1) / self.picking[of]
        found = []
        table = np.array([row.table_share for row in self.supply.cultivars])[of]
        for grade, inside in ((np.ones(of.size), np.ones(eaten.size, dtype=bool)), (table, eaten)):
            row_of, column = [], []
            for back in range(int(self.picking.max(initial=1))):
                at = (
                    self.picking[fruit.cultivar] - 1 - back
                )  # row of the last picking week, the one before, and so on
                part = inside & (at >= 0) & ((back == 0) | (since <= at))
                row_of.append(offset[fruit.cultivar[part]] + at[part])
                column.append(fruit.columns[part])
            some, row_of_some = np.unique(
                np.concatenate(row_of), return_inverse=True
            )  # in which fruit is given
            held = (grade * share)[some]
            none = np.zeros(some.size) if fixed is None else -held * self.crop[of[some]] * fixed[of[some]]
            rows = model.add_rows(none, np.inf)
            if trees is not None:
                model.put(rows, trees[of[some]], held * self.crop[of[some]])
            model.put(rows[row_of_some], np.concatenate(column), -1.0)
            found.append(Crop(rows, of[some], held))
        whole, table = found
        return Crop(
            np.concatenate([whole.rows, table.rows]),
            np.concatenate([whole.cultivar, table.cultivar]),
            np.concatenate([whole.share, table.share]),
        )


def blend(
    model: Model, bounds: Sequence[tuple[Array, Array]], *, given: Index, which: Index, share: Array
) -> Index:
    """What is mixed for a need, by mass, stays within its bounds; the rows that say so: as many, whatever fruit there
    is."""
    edges = [inside for pair in bounds for inside in pair]
    rows = model.add_rows(np.zeros(len(edges)), np.inf)
    for row, inside in zip(rows, edges, strict=True):
        model.put(row, given, share * inside[which])
    return rows
