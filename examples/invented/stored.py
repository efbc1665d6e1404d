"""From the picking to the spring: crates, the cellar, press and pan, guests; drawn for an invented year."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from drawn import KG_A_TREE, LAST, MOST_CRATE, Invented

from topwire.catalogue.model import Cultivar
from topwire.cellar.cider import ph_of_acid
from topwire.choice.hands import picking_ease
from topwire.records.entries import (
    BatchNoted,
    CellarMoved,
    CellarRead,
    FruitGrade,
    FruitPicked,
    FruitPressed,
    FruitServed,
    FruitSold,
    FruitTested,
    LotChecked,
    LotFate,
    SeenStage,
    StageSeen,
    WorkDone,
)

# What the guests get of a cultivar by the uses it has: dish, and kilograms of a portion.
DISHES = {"pie": ("apple pie", 0.17), "fresh": ("apples on the board", 0.15), "baked": ("baked apples", 0.2)}


def harvest(
    made: Invented,
    leaf: int,
    bloom: dict[str, Any],
    home: dict[str, Any],
    trees: dict[str, int],
    fertile: dict[str, float],
    cultivars: Mapping[str, Cultivar],
) -> list[FruitPicked]:
    lots: list[FruitPicked] = []
    crop = max(0.4, made.near(1.0, 0.12))
    for name in sorted(bloom, key=lambda one: bloom[one][1]):
        total = trees[name] * KG_A_TREE[leaf - 1] * fertile[name] * crop * made.near(1.0, 0.08)
        if total < 3.0:
            continue
        _, first, last = bloom[name]
        where = {"block": home[name]["block"], "row": home[name]["row"]}
        for before, starch in ((10, 2.5), (3, 4.0)):
            made.add(
                FruitTested,
                first - timedelta(days=before),
                cultivar=name,
                fruits=10,
                starch=round(min(8.0, max(1.0, made.near(starch, 0.4))), 1),
                firmness=round(made.near(78.0 - 2.0 * starch, 3.0), 1),
                brix=round(made.near(11.0 + 0.4 * starch, 0.5), 1),
                **where,
            )
        ease = float(picking_ease((cultivars[name].fruit_mass_g or 180.0) / 1000.0))
        passes = 1 if total < 60 else 2 if total < 400 else 3
        for number in range(passes):
            mass = total / passes * made.near(1.0, 0.05)
            day = first + (last - first) * number / max(1, passes)
            for grade, share in (
                (FruitGrade.TABLE, 0.55),
                (FruitGrade.KITCHEN, 0.25),
                (FruitGrade.PRESS, 0.2),
            ):
                kilograms = round(mass * share, 1)
                if kilograms < 1.0:
                    continue
                made.crates += 1
                crates = max(1, round(kilograms / MOST_CRATE))
                picked = made.add(
                    FruitPicked,
                    day,
                    cultivar=name,
                    mass=kilograms,
                    grade=grade,
                    crates=crates,
                    lot=f"lot {made.crates}",
                    stored="cellar",
                    **where,
                )
                assert isinstance(picked, FruitPicked)
                lots.append(picked)
            made.add(
                WorkDone,
                day,
                job="picking",
                hours=round(mass / (75.0 * ease) * made.near(1.0, 0.1) + 0.3, 1),
                cultivar=name,
                **where,
            )
        made.add(StageSeen, last, cultivar=name, stage=SeenStage.LAST_PICK)
    if lots:
        one = lots[-1]  # a slip of the pen, put right two days later
        mended = made.add(
            FruitPicked,
            one.day,
            noted=one.noted + timedelta(days=2),
            cultivar=one.cultivar,
            mass=round(one.mass * 0.9, 1),
            grade=one.grade,
            crates=one.crates,
            lot=one.lot,
            stored=one.stored,
            block=one.block,
            row=one.row,
            corrects=one.identity,
            remark="weighed again",
        )
        assert isinstance(mended, FruitPicked)
        lots[-1] = mended
    return lots


def winter(
    made: Invented,
    year: int,
    lots: list[FruitPicked],
    keeps: dict[str, float],
    known: Mapping[str, Cultivar],
) -> None:
    until = date(year + 1, 4, 1) if year < LAST else date(2020, 1, 30)
    day = date(year, 10, 4)
    while day < until:
        made.add(
            CellarRead,
            day,
            temperature=round(made.near(2.4, 0.5), 1),
            humidity=round(min(0.97, made.near(0.9, 0.03)), 2),
        )
        day += timedelta(days=7)
    press: list[FruitPicked] = []
    cider: list[FruitPicked] = []  # of cultivars that nobody would eat
    for lot in lots:
        dishes = [dish for use, dish in DISHES.items() if use in known[lot.cultivar].uses]
        if lot.grade is FruitGrade.PRESS or not dishes:
            (press if dishes else cider).append(lot)
            continue
        weeks = keeps[lot.cultivar]
        between = timedelta(days=max(6, round(7.0 * weeks / 4.0)))  # keepers are left for last
        left, day, sound = lot.mass, lot.day + between, 1.0
        while left > 2.0 and day < until:
            used = round(min(left, max(6.0, lot.mass * 0.3)), 1)
            made.add(CellarMoved, day, fate=LotFate.KITCHEN, mass=used, cultivar=lot.cultivar, lot=lot.lot)
            left = round(left - used, 1)
            dish, each = made.draw.choice(dishes)
            portions = max(1, round(used / each))
            made.add(FruitServed, day, dish=dish, portions=portions, mass=used, cultivar=lot.cultivar)
            day += between
            # A fifth is gone when the cultivar no longer keeps.
            sound = max(0.3, 1.0 - 0.2 * ((day - lot.day).days / 7.0 / weeks / made.near(1.0, 0.08)) ** 2)
            if left > 2.0 and day < until:
                made.add(
                    LotChecked,
                    day,
                    sound=round(sound, 2),
                    cultivar=lot.cultivar,
                    lot=lot.lot,
                    stored="cellar",
                )
            if left > 2.0 and sound < 0.7 and day < until:
                made.add(
                    CellarMoved,
                    day,
                    fate=LotFate.LOST,
                    mass=left,
                    cultivar=lot.cultivar,
                    lot=lot.lot,
                    remark="soft",
                )
                left = 0.0
        if made.draw.random() < 0.15 and day < until:
            made.add(
                FruitSold,
                lot.day + timedelta(days=5),
                what="fruit",
                cultivar=lot.cultivar,
                money=round(made.near(30.0, 8.0)),
            )
    batches = [kind[at : at + 4] for kind in (press, cider) for at in range(0, len(kind), 4)]
    # Lots stand by their cultivars' first picks: the last of a batch is not always the last that was picked.
    ready = sorted(((max(lot.day for lot in some), some) for some in batches), key=lambda one: one[0])
    for number, (last, some) in enumerate(ready):
        day = last + timedelta(days=4)
        batch = f"{year}-{number + 1}"
        acid = [known[lot.cultivar].acid_g_l or 5.0 for lot in some]
        ph = float(ph_of_acid(sum(acid) / len(acid)))
        litres = 0.0
        for lot in some:
            juice = round(lot.mass * made.near(0.6, 0.03), 1)
            litres += juice
            made.add(
                FruitPressed,
                day,
                cultivar=lot.cultivar,
                lot=lot.lot,
                mass=lot.mass,
                volume=juice / 1e3,
                batch=batch,
                brix=round(made.near(13.0, 0.6), 1),
                ph=round(made.near(ph, 0.1), 2),
            )
        product = "juice" if number % 2 == 0 and some[0] not in cider else "cider"
        made.add(
            BatchNoted,
            day,
            batch=batch,
            product=product,
            step="started",
            volume=litres / 1e3,
            ph=round(made.near(ph, 0.1), 2),
        )
        later = day + timedelta(days=2 if product == "juice" else 60)
        if later < until:
            made.add(
                BatchNoted, later, batch=batch, product=product, step="bottled", volume=litres * 0.95 / 1e3
            )
