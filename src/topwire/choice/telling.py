"""What has to be told with a choice: needs that go short, what the figures rest on, cellar, press, batches, dangers."""

from collections.abc import Sequence

import numpy as np

from topwire.cellar.keeping import LOSS_PER_MONTH
from topwire.cellar.moisture import water_loss
from topwire.cellar.respiration import PULL_DOWN, breathing_heat, field_heat
from topwire.choice.asked import Barred, ChoiceQuestion
from topwire.choice.disease import Disease
from topwire.choice.findings import Batches, BlendMade
from topwire.choice.model import Index
from topwire.choice.needs import WeeklyNeed
from topwire.choice.pollination import REACH
from topwire.choice.scarce import Pinched
from topwire.choice.service import CLEAN_LOSS, WORST_SHARE
from topwire.choice.serving import Service
from topwire.choice.supply import LOST_TREES, TABLE_GRADE, Supply
from topwire.phenology.spring import HARDER_FROST
from topwire.phenology.traits import BY_SEASON
from topwire.values.notice import Fact, Measured, Notice, Severity, assumption, caution, remark, warning
from topwire.values.quantities import Plain
from topwire.values.terms import GARDEN, Blended, Use
from topwire.values.traits import Right
from topwire.values.units import Kind

USUALLY = 0.9  # share of years in which a blend should be within its bounds
SHORT = 0.9  # share of a need below which it is told as short
HUMIDITY = 0.9  # of a good cellar's air
MONTH = 30.0  # [d]
PICKED_AT = 18.0  # [deg C] fruit of an autumn afternoon: planning figure, no source
PICKING_DAYS = 6  # a week


def _of(need: WeeklyNeed, severity: Severity, code: str, source: str = "", **facts: Fact) -> Notice:
    """A notice about a need."""
    known: dict[str, Fact] = {
        "use": str(need.use),
        "kind": str(
            need.style
            or need.cider_class
            or ("blend" if need.blend is not None and need.blend.product is Blended.HOUSE_CIDER else "")
        ),
        "amount": Measured(need.weekly if need.weekly is not None else need.total, Kind.MASS),
        "a_week": need.weekly is not None,
        "start": Measured(need.start, Plain.DAY_OF_YEAR),
        "end": Measured(need.end, Plain.DAY_OF_YEAR),
    }
    if need.used_from is not None and need.used_to is not None:
        known["used_from"] = Measured(need.used_from, Plain.DAY_OF_YEAR)
        known["used_to"] = Measured(need.used_to, Plain.DAY_OF_YEAR)
    if need.volume is not None:
        known["volume"] = Measured(need.volume, Kind.SMALL_VOLUME)
    where = "kitchen.needs" if need.style is None else "kitchen.cider"
    return Notice(code, severity, where, facts=known | facts, source=source)


def choice_notices(
    asked: ChoiceQuestion,
    trees: Index,
    service: Service,
    batches: Batches | None,
    harder: Sequence[int],
    made: Sequence[BlendMade] = (),
    pinched: Sequence[Pinched] = (),
) -> tuple[Notice, ...]:
    """Every notice of the choice; `harder` are weather years weighed once more with harder frost, `made` its blends."""
    supply, needs = asked.supply, asked.needs
    return (
        *_short(asked, service, pinched),
        *_out_of_reach(supply, needs),
        *_places(asked, trees),
        *_rests_on(asked, trees),
        *_neighbours(asked, trees),
        *_sold_here(asked),
        *_disease(asked, trees),
        *_heat(asked, trees),
        *_cellar(asked, service),
        *_shelf(needs),
        *_blends(needs, made),
        *_food(needs),
        *_batches(asked, batches),
        *_harder(harder),
    )


_FIFTHS = 5  # weather years from which a fifth of them is one


def _short(asked: ChoiceQuestion, service: Service, pinched: Sequence[Pinched]) -> list[Notice]:
    found, limited = [], {line.need: line for line in pinched}
    for number, need in enumerate(asked.needs):
        served = service.served[:, number].sum(axis=1)
        if served.mean() < SHORT * need.total:
            found.append(
                _of(
                    need,
                    Severity.WARNING,
                    "choice.short",
                    "",
                    mean=float(served.mean()) / need.total,
                    few=served.size < _FIFTHS,
                    bad=float(np.sort(served)[: max(1, round(WORST_SHARE * served.size))].mean())
                    / need.total,
                    **_limited(limited.get(number)),
                )
            )
    return found


def _limited(by: Pinched | None) -> dict[str, Fact]:
    if by is None or not by.by:
        return {}
    return {"limits": tuple(str(limit) for limit, _ in by.by), "other": by.other}


def _out_of_reach(supply: Supply, needs: Sequence[WeeklyNeed]) -> list[Notice]:
    """Weeks of a need that no candidate reaches in more than half of the years."""
    found = []
    for need in needs:
        if need.weekly is None:
            continue
        fit = np.array([need.served_by(row) for row in supply.cultivars])
        weeks = np.array(need.weeks)
        kept = supply.kept_as(need.keeping)[:, fit][:, :, weeks - 1]
        closed = weeks[(kept > 0).any(axis=1).mean(axis=0) < 0.5]
        if closed.size:
            days: dict[str, Fact] = {"first": _first_day(int(closed[0])), "last": _first_day(int(closed[-1]))}
            found.append(_of(need, Severity.REMARK, "choice.out_of_reach", "", **days))
    return found


def _first_day(week: int) -> Measured:
    return Measured(7.0 * (week - 1) + 1, Plain.DAY_OF_YEAR)


def _places(asked: ChoiceQuestion, trees: Index) -> list[Notice]:
    free = asked.limits.places - sum(asked.limits.standing.values())
    if asked.to_plant is not None and asked.to_plant > free:
        return [warning("choice.ground_too_small", setting="trees.total", wanted=asked.to_plant, places=free)]
    spare = asked.limits.places - int(trees.sum())
    return [remark("choice.places_free", setting="trees.total", places=spare)] if spare > 0 else []


def _sold_here(asked: ChoiceQuestion) -> list[Notice]:
    left_out = sum(why is Barred.NOT_SOLD_HERE for why in asked.left_out.values())
    where, source = "taste.sold_in", "EUROPE-TREES"
    return (
        [assumption("choice.sold_here", setting=where, source=source, left_out=left_out)] if left_out else []
    )


def _neighbours(asked: ChoiceQuestion, trees: Index) -> list[Notice]:
    """Whether trees beyond the orchard count as donors; in a garden also that none is stated."""
    where, planted = "place.neighbours", np.flatnonzero(trees)
    if not asked.neighbours:
        few = 0 < trees.sum() <= GARDEN
        return (
            [remark("choice.no_neighbours", setting=where, reach=Measured(REACH, Kind.LENGTH, 0))]
            if few
            else []
        )
    helped = [asked.supply.cultivars[at].name for at in planted if asked.useful[at, at]]
    near = [one.tree for one in asked.neighbours if one.reaches]
    found = [
        assumption(
            "choice.neighbours",
            setting=where,
            source="KRON2001B",
            concerns=helped,
            near=tuple(near),
            helped=len(helped),
            planted=int(planted.size),
            reach=Measured(REACH, Kind.LENGTH, 0),
        )
    ]
    far = [one.tree for one in asked.neighbours if not one.reaches]
    if far:
        reach = Measured(REACH, Kind.LENGTH, 0)
        found.append(
            remark("choice.neighbours_far", setting=where, far=tuple(far), count=len(far), reach=reach)
        )
    return found


def _rests_on(asked: ChoiceQuestion, trees: Index) -> list[Notice]:
    planted = [asked.supply.cultivars[at] for at in np.flatnonzero(trees)]
    found = []
    unknown = [row.name for row in planted if not row.alleles]
    if unknown:
        found.append(assumption("choice.alleles_unknown", concerns=unknown, count=len(unknown)))
    by_season = [row.name for row in planted if row.harvest_error >= BY_SEASON]
    memory = [row.name for row in planted if not row.harvest_read and row.name not in by_season]
    if memory:
        found.append(assumption("choice.harvest_remembered", concerns=memory, count=len(memory)))
    if by_season:
        found.append(assumption("choice.known_by_season", concerns=by_season, count=len(by_season)))
    bought = [row.name for row in planted if row.right is not Right.FREE]
    if bought:
        found.append(caution("choice.to_be_bought", setting="taste.own_grafts_only", concerns=bought))
    found.append(
        assumption(
            "choice.full_crop",
            setting="catalogue/crop_load.csv",
            crop=Measured(asked.mature_yield, Kind.CROP),
            low=Measured(asked.mature_yield_range[0], Kind.CROP),
            high=Measured(asked.mature_yield_range[1], Kind.CROP),
            lost=LOST_TREES,
            below_grade=1 - TABLE_GRADE,
            trimmed=CLEAN_LOSS,
            a_month=LOSS_PER_MONTH,
        )
    )
    return found


def _disease(asked: ChoiceQuestion, trees: Index) -> list[Notice]:
    """Trees that fire blight may take, cultivars held to a few, ratings that are disputed or nobody's."""
    if not asked.disease:
        return []
    planted = [asked.supply.cultivars[at].name for at in np.flatnonzero(trees)]
    many = dict(zip(planted, trees[trees > 0], strict=True))
    found = []
    deadly = [name for name in planted if asked.disease[name].deadly]
    beyond = [name for name in deadly if many[name] > asked.limits.fewest_trees]
    if beyond:
        trees_of = sum(int(many[name]) for name in beyond)
        found.append(
            warning(
                "choice.deadly_blight",
                setting="taste.must_have",
                source="CLINE2023",
                concerns=beyond,
                trees=trees_of,
            )
        )
    total = float(sum(many.values()))
    low, middle, high = (
        sum(many[name] * getattr(asked.disease[name].trees, part) for name in planted) / max(total, 1.0)
        for part in ("low", "middle", "high")
    )
    found.append(
        caution(
            "choice.fire_blight",
            setting="taste.disease_resistance",
            source="STEINER1990",
            low=low,
            middle=middle,
            high=high,
        )
    )
    blight = {name: asked.disease[name].ratings[Disease.FIRE_BLIGHT] for name in planted}
    disputed = [
        name for name in planted if any(rating.disputed for rating in asked.disease[name].ratings.values())
    ]
    if disputed:
        found.append(
            assumption("choice.rating_disputed", setting="catalogue/disease_ratings.csv", concerns=disputed)
        )
    unknown = [name for name in planted if not blight[name].known]
    if unknown:
        found.append(
            assumption(
                "choice.blight_unknown",
                setting="catalogue/disease_ratings.csv",
                concerns=unknown,
                count=len(unknown),
                trees=int(sum(many[name] for name in unknown)),
            )
        )
    return found


def _heat(asked: ChoiceQuestion, trees: Index) -> list[Notice]:
    """Sorts of cool summers that were chosen all the same; and of how many nobody knows."""
    planted = [asked.supply.cultivars[at].name for at in np.flatnonzero(trees)]
    cool = [name for name in planted if asked.heat.get(name, 0.0) > 0]
    unknown = [name for name in planted if name not in asked.heat]
    found = []
    if cool:
        worst = max(asked.heat[name] for name in cool)
        found.append(
            warning("choice.cool_summers", setting="catalogue/cultivar_heat.csv", concerns=cool, share=worst)
        )
    if unknown and asked.heat:
        found.append(
            assumption(
                "choice.heat_unknown",
                setting="catalogue/cultivar_heat.csv",
                concerns=unknown,
                count=len(unknown),
            )
        )
    return found


def _cellar(asked: ChoiceQuestion, service: Service) -> list[Notice]:
    """The fullest week of the middle year, and the cooling it asks for."""
    middle = np.median(service.stored, axis=0)
    if middle.max() < 1.0:
        return []
    most = float(middle.max())
    # a week's harvest on its picking days
    day = float(np.max(np.diff(middle, append=middle[:1]), initial=0.0)) / PICKING_DAYS
    return [
        remark(
            "choice.cellar",
            setting="kitchen.cellar",
            source="NCSTATE-COOL",
            week=_first_day(int(np.argmax(middle)) + 1),
            most=Measured(most, Kind.MASS),
            breath=float(breathing_heat(most, asked.cellar)),
            fresh=float(field_heat(day, PICKED_AT, asked.cellar)) / PULL_DOWN,
            humidity=HUMIDITY,
            dried=float(water_loss(asked.cellar, HUMIDITY, MONTH)),
        )
    ]


def _food(needs: Sequence[WeeklyNeed]) -> list[Notice]:
    """What is made out of apples is food: told wherever it is made, blended or not."""
    found = []
    if any(need.pressed for need in needs):
        found.append(caution("choice.pressed_is_food"))
    if any(need.use in (Use.SAUCE, Use.BUTTER) for need in needs):
        found.append(caution("choice.preserves_are_food", source="NCHFP-YEAR"))
    return found


def _shelf(needs: Sequence[WeeklyNeed]) -> list[Notice]:
    """Products wanted in weeks when what was made is no longer good, or not yet made."""
    found = []
    for need in needs:
        none = need.off_the_shelf()
        if none:
            found.append(
                _of(
                    need,
                    Severity.WARNING,
                    "choice.off_the_shelf",
                    keeps=round(need.shelf_weeks),
                    weeks=len(none),
                    of=len(need.used),
                    first=_first_day(none[0]),
                    last=_first_day(none[-1]),
                )
            )
    return found


def _blends(needs: Sequence[WeeklyNeed], made: Sequence[BlendMade]) -> list[Notice]:
    """What of the blends is measured, those that leave their bounds, and what of them is guessed.

    A pan is sweetened or soured as it is cooked; what strays is told of what the press gives alone.
    """
    found = []
    if made:
        measured = [blend.season.measured for blend in made]
        sources = dict.fromkeys(side.source for blend in made for side in blend.sides if side.source)
        found.append(
            remark(
                "choice.blends_rest_on",
                setting="kitchen.needs",
                source="+".join(sources),
                least=min(measured),
                most=max(measured),
            )
        )
    strays = [blend for blend in made if blend.pressed and blend.within >= USUALLY and blend.chance < USUALLY]
    if strays:
        found.append(
            warning(
                "choice.blends_stray",
                setting="kitchen.needs",
                products=tuple(str(blend.product) for blend in strays),
                chances=tuple(round(100 * blend.chance) for blend in strays),
                measured=tuple(round(100 * blend.season.measured) for blend in strays),
                within=min(blend.within for blend in strays),
            )
        )
    for blend in made:
        need = needs[blend.need]
        if blend.within < USUALLY:
            found.append(
                _of(
                    need,
                    Severity.WARNING,
                    "choice.blend_outside",
                    product=str(blend.product),
                    within=blend.within,
                )
            )
    guessed = sorted({name for blend in made for name in blend.guessed})
    if guessed:
        found.append(
            assumption(
                "choice.juice_of_its_class",
                setting="catalogue/cultivars.csv",
                concerns=guessed,
                count=len(guessed),
            )
        )
    return found


def _batches(asked: ChoiceQuestion, found: Batches | None) -> list[Notice]:
    """Too few autumns for the nursery, and what the other departments make of several."""
    if found is None or not found.planned:
        return []
    time = asked.time
    takes = len(found.autumns)
    raised = sum(batch.total - batch.bought for batch in found.autumns)
    where = "years.autumns"
    notices = []
    if time.per_year is not None and raised > time.autumns * time.per_year:
        notices.append(
            warning(
                "choice.too_few_autumns",
                setting=where,
                takes=takes,
                per_year=time.per_year,
                raised=raised,
                stated=time.autumns,
            )
        )
    if takes > 1:
        last = str(found.autumns[-1].autumn)
        notices.append(
            warning("choice.several_autumns", setting=where, takes=takes, first=str(time.first), last=last)
        )
    elif time.autumns > 1:
        notices.append(remark("choice.one_autumn_serves", setting=where, first=str(time.first)))
    return notices


def _harder(years: Sequence[int]) -> list[Notice]:
    if not years:
        return []
    step = Measured(HARDER_FROST, Kind.TEMPERATURE_STEP)
    return [assumption("choice.harder_springs", concerns=[str(year) for year in sorted(years)], colder=step)]
