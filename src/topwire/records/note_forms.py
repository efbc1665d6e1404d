"""How each kind of entry is said in a note: the words that begin it, an example, and how its figures are read."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from topwire.records.entries import (
    Counted,
    EntryKind,
    FruitGrade,
    LabFigure,
    LotFate,
    SeenStage,
    TreeEvent,
)
from topwire.records.form import Written
from topwire.records.note_grafts import grafted_tree, take
from topwire.records.note_pests import PESTS, pest
from topwire.records.sold import is_fruit
from topwire.records.words_left import LOT, NotUnderstood, WordsLeft, alternatives, as_said
from topwire.values.figures import NUMBER, number_of
from topwire.values.units import Kind, parse, to_si, written_units

Facts = dict[str, Any]
MASSES = alternatives(written_units(Kind.MASS))


@dataclass(frozen=True)
class NoteForm:
    """One way to say a thing.

    Attributes
    ----------
    words : pattern of the words by which it is known
    example : a whole note of this form; printed where one was meant and missed, and tried by a test
    read : takes its figures from the words left; the fields of the entry, or None where it is another form after all
    """

    kind: EntryKind
    words: str
    example: str
    read: Callable[[WordsLeft], Facts | None]


_EVENTS: Mapping[str, TreeEvent] = {
    "died|dead|has died": TreeEvent.DIED,
    "planted": TreeEvent.PLANTED,
    "replaced|replanted": TreeEvent.REPLACED,
    r"re-?grafted|top-?worked|grafted over": TreeEvent.REGRAFTED,
    "removed|taken out|grubbed|pulled out": TreeEvent.REMOVED,
}


def _tree(left: WordsLeft) -> Facts | None:
    event = next(found for pattern, found in _EVENTS.items() if left.take(pattern))
    stock = left.take(r"(?:on|stock|rootstock)\s+(?P<stock>[A-Za-z][\w.]*\d[\w.]*(?:\s+[A-Z]\w*)?)")
    return {"event": event, "rootstock": stock["stock"] if stock else ""}


_STAGES: Mapping[str, SeenStage] = {
    r"silver tip": SeenStage.SILVER_TIP,
    r"green tip": SeenStage.GREEN_TIP,
    r"half[- ]inch(?: green)?": SeenStage.HALF_INCH_GREEN,
    r"tight clusters?": SeenStage.TIGHT_CLUSTER,
    r"pink": SeenStage.PINK,
    r"first blooms?|bloom begins|first flowers?": SeenStage.FIRST_BLOOM,
    r"full bloom|in full flower": SeenStage.FULL_BLOOM,
    r"petal fall|petals? (?:down|fallen|off)": SeenStage.PETAL_FALL,
    r"fruit set": SeenStage.FRUIT_SET,
    r"june drop": SeenStage.JUNE_DROP,
    r"first picks?": SeenStage.FIRST_PICK,
    r"last picks?|picked out|all picked": SeenStage.LAST_PICK,
    r"leaf fall|leaves (?:down|fallen)": SeenStage.LEAF_FALL,
}


def _stage(left: WordsLeft) -> Facts:
    return {"stage": next(stage for pattern, stage in _STAGES.items() if left.take(pattern))}


def _mass(left: WordsLeft, verb: str) -> float:
    mass = left.quantity(Kind.MASS)
    if mass is None:
        bare = left.take(NUMBER)
        what = f"{bare[0]} of which unit?" if bare else "how much?"
        raise NotUnderstood(f"“{verb}”: {what}", "Write for instance 120 lb or 54 kg.")
    return mass


_GRADES: Mapping[str, FruitGrade] = {
    r"windfalls?|drops|off the ground": FruitGrade.WINDFALL,
    r"(?:for (?:the )?)?(?:press|cider|juice)(?: grade)?": FruitGrade.PRESS,
    r"(?:for (?:the )?)?(?:kitchen|sauce|cooking|seconds?)(?: grade)?": FruitGrade.KITCHEN,
    r"(?:for (?:the )?)?(?:table|board|dessert|firsts?)(?: grade)?": FruitGrade.TABLE,
}


_CRATES = r"(?:crates?|bins?|boxes|bushels?|baskets?)"


def _crates_weighed(left: WordsLeft) -> None:
    """Nothing where a mass stands beside crates, and says whether of each. Raises NotUnderstood."""
    if left.has(rf"{NUMBER}\s*{_CRATES}") and not left.has(rf"{NUMBER}\s*(?:{MASSES})"):
        raise NotUnderstood("how heavy are they?", "A crate is not always as full: write 3 crates, 120 lb.")
    if left.has(rf"{NUMBER}\s*{_CRATES}\s+of\s+{NUMBER}\s*(?:{MASSES})") and not left.has("each|apiece"):
        raise NotUnderstood("of each, or in all?", "Write 3 crates, 40 lb each, or 3 crates, 120 lb.")


def _pick(left: WordsLeft) -> Facts | None:
    if left.has("all picked|picked out|(?:first|last) pick") and not left.has(NUMBER):
        return None  # a date
    left.take("picked|harvested|picking")
    _crates_weighed(left)
    facts: Facts = {"mass": _mass(left, "picked")}
    lot = left.take(rf"(?:in(?:to)?\s+)?{LOT}")
    facts["crates"] = left.whole(after=rf"\s*{_CRATES}")
    each = left.take(rf"each|apiece|per {_CRATES}")
    if each is not None:
        if facts["crates"] is None:
            raise NotUnderstood(f"“{each[0]}”: of how many?", "Write 3 crates, 40 lb each, or 120 lb.")
        facts["mass"] *= facts["crates"]
    facts["grade"] = next(
        (grade for pattern, grade in _GRADES.items() if left.take(pattern)), FruitGrade.TABLE
    )
    facts["stored"] = left.name("(?:stored|kept|put)?\\s*(?:in|to)(?: the)?")
    return {**facts, "lot": lot["lot"] if lot else ""}


_FATES: Mapping[str, LotFate] = {
    "moved|put(?! by)": LotFate.MOVED,
    "used|to (?:the )?kitchen": LotFate.KITCHEN,
    "lost|threw out|thrown out|rotten|discarded": LotFate.LOST,
    "gave(?: away)?|given(?: away)?": LotFate.GIVEN,
}


def _cellar(left: WordsLeft) -> Facts:
    fate = next(fate for pattern, fate in _FATES.items() if left.take(pattern))
    mass = left.quantity(Kind.MASS)
    lot = left.take(rf"(?:from\s+|out of\s+|of\s+)?{LOT}")
    left.take("all")
    facts: Facts = {"fate": fate, "mass": mass, "lot": lot["lot"] if lot else ""}
    if fate is LotFate.MOVED:
        facts["stored"] = left.name("(?:(?:in)?to|in)(?: the)?")
    elif fate is LotFate.LOST:
        facts["remark"] = left.name("to")
    else:
        left.take("kitchen|(?:the )?kitchen")
    return facts


def _press(left: WordsLeft) -> Facts:
    left.take("pressed|pressing")
    volume = left.quantity(Kind.VOLUME)
    return {
        "mass": _mass(left, "pressed"),
        "volume": volume,
        "brix": left.figure(before=r"brix\s*"),
        "ph": left.figure(before=r"ph\s*"),
        "batch": left.name("(?:into |to )?batch", 1),
        "lot": _lot(left),
    }


def _lot(left: WordsLeft) -> str:
    lot = left.take(rf"(?:from\s+)?{LOT}")
    return lot["lot"] if lot else ""


def _batch(left: WordsLeft) -> Facts:
    batch = left.name("batch", 1)
    if not batch:
        raise NotUnderstood("which batch?", "Give it a short name: batch 3.")
    step = left.take(
        "started|racked|bottled|sealed|canned|filtered|opened|pitched|cooked|froze[n]?|dried|cooled"
    )
    return {
        "batch": batch,
        "step": step[0].lower() if step else "",
        "ph": left.figure(before=r"ph\s*"),
        "volume": left.quantity(Kind.VOLUME),
        "temperature": left.quantity(Kind.TEMPERATURE),
        "product": left.take_rest(),
    }


def _sale(left: WordsLeft) -> Facts:
    left.take("sold")
    if is_fruit(left.text):
        _crates_weighed(left)
    price = left.take(
        rf"(?<![-−])(?:(?:at|for|@)\s*)?[$€£]?\s*(?P<money>{NUMBER})\s*"
        rf"(?:(?P<each>each|apiece)|(?:/\s*|per\s+)(?P<unit>[a-z]+)|an?\s+(?P<mass>{MASSES}))"
    )
    money = price or left.take(
        rf"(?<![-−])(?:for\s+)?[$€£]\s*(?P<money>{NUMBER})|for\s+(?P<bare>{NUMBER})(?!\s*(?:lb|kg|g|oz)\b)"
    )
    facts: Facts = {"mass": left.quantity(Kind.MASS), "lot": _lot(left)}
    crates = left.whole(after=rf"\s*{_CRATES}(?:\s+of)?") if facts["mass"] is not None else None
    if crates is not None and left.take("each|apiece"):
        facts["mass"] *= crates
    facts["pieces"] = left.whole() if facts["mass"] is None else None
    purpose = left.take(r"for\s+(?P<purpose>[a-z][a-z ]*?)(?=\s*(?:[|,;.]|$))")
    facts["remark"] = purpose["purpose"].strip() if purpose else ""
    facts["what"] = left.take_rest() or "fruit"
    if price is not None:
        facts["money"] = _in_all(price, facts)
    else:
        facts["money"] = number_of(money["money"] or money["bare"]) if money else None
    return facts


def _in_all(price: re.Match[str], sold: Facts) -> float:
    """Money for all that was sold at a price for a pound, or for a piece."""
    unit = (price["unit"] or price["mass"] or "").lower()
    amount = sold["pieces"]
    if unit and re.fullmatch(MASSES, unit):
        amount = None if sold["mass"] is None else sold["mass"] / parse(f"1 {unit}", Kind.MASS)
    elif unit and not re.search(rf"\b{unit}(?:e?s)?\b", sold["what"], re.IGNORECASE):
        amount = None
    if amount is None:
        raise NotUnderstood(f"“{as_said(price)}”: how much is that in all?", "Write the money taken.")
    return round(number_of(price["money"]) * float(amount), 2)


def _service(left: WordsLeft) -> Facts:
    left.take("served")
    facts: Facts = {"mass": left.quantity(Kind.MASS), "lot": _lot(left)}
    facts["portions"] = left.whole(after=r"(?:\s*portions?(?: of)?)?")
    left.take("with|from")
    facts["dish"] = left.take_rest()
    if not facts["dish"]:
        raise NotUnderstood("what was served?", "Name the dish: served 24 apple pie.")
    return facts


_RAIN = "rain"  # its figures may be in millimetres or inches, as sizes are


def _trunk(left: WordsLeft) -> Facts:
    left.take("trunks?(?: diameter)?")
    above = left.quantity(Kind.LENGTH, before=r"at\s+", after=r"(?:\s+above(?: the)? union)?")
    diameter = left.quantity(Kind.LENGTH)
    if diameter is None:
        raise NotUnderstood("how thick is the trunk?", "Write for instance trunk 1.2 in, or trunk 31 mm.")
    return {"diameter": diameter, "above_union": above}


def _height(left: WordsLeft) -> Facts | None:
    if left.has(_RAIN):
        return None  # “high 60 F, rain 0.2 in”
    left.take("height|high|tall")
    height = left.quantity(Kind.LENGTH)
    return None if height is None else {"height": height}


def _count(left: WordsLeft) -> Facts | None:
    found = left.take(rf"(?P<count>{NUMBER})\s+(?P<what>(?:flower\s+)?clusters?|fruitlets?|fruits?|apples?)")
    if found is None or left.has(rf"{NUMBER}\s+(?:out )?of(?: the)?"):
        return None  # “scab on 5 of 100 fruits”
    what = found["what"].lower()
    counted = (
        Counted.CLUSTERS if "cluster" in what else Counted.FRUITLETS if "let" in what else Counted.FRUITS
    )
    each = left.take("(?:per|a) tree")
    trees = left.whole(after=r"\s+trees?") or 1
    left.take("counted")
    count = number_of(found["count"]) * (trees if each else 1)
    if not each and not count.is_integer():  # a mean of a tree may have a part of one
        raise NotUnderstood(f"“{found[0]}” is no whole number.", "Write how many, or how many per tree.")
    return {"counted": counted, "count": round(count), "trees": trees}


def _size(left: WordsLeft) -> Facts | None:
    if left.has(_RAIN):
        return None  # “rain 5 mm”
    left.take("(?:fruit )?(?:sizes?|diameters?|measures?|cal+iper(?:ed)?|fruits?)")
    tag = left.take(r"(?:fruitlet|tag)\s+(?P<tag>[\w-]+)")
    cluster = left.take(r"cluster\s+(?P<cluster>[\w-]+)")
    fallen = left.take("fallen|gone|dropped")
    found = left.take(rf"(?P<all>{NUMBER}(?:[\s,;]+{NUMBER})*)\s*(?P<unit>mm|cm|in|inch|inches|\")")
    if found is None and not fallen:
        raise NotUnderstood("the sizes need a unit.", "Write for instance sizes 22 24 26 mm.")
    unit = found["unit"].lower() if found else ""
    unit = unit if unit in ("mm", "cm") else "in"
    sizes = re.findall(NUMBER, found["all"]) if found else []
    diameters = [to_si(number_of(size), unit, Kind.LENGTH) for size in sizes]
    for size, diameter in zip(sizes, diameters, strict=True):
        left.written[diameter] = Written(f"{size} {unit}", unit)
    return {
        "diameters": tuple(diameters),
        "tag": tag["tag"] if tag else "",
        "cluster": cluster["cluster"] if cluster else "",
        "clusters_per_tree": left.figure(after=r"\s+clusters? (?:a|per) tree"),
    }


_FORCES = {"lb": 4.4482216152605, "n": 1.0, "kg": 9.80665}  # exact by definition (NIST SP 811, appendix B.8)


def _test(left: WordsLeft) -> Facts:
    figure = rf"(?P<figure>{NUMBER})\s*(?P<unit>lbf|lbs?|pounds?|kgf|kg|N)"
    firm = left.take(rf"firmness\s*{figure}") or left.take(rf"{figure}\s*firmness")
    if firm is None and left.has("firmness"):
        raise NotUnderstood("firmness of which unit?", "Write for instance firmness 16 lb, or firmness 71 N.")
    firmness = None
    if firm:
        unit = firm["unit"].lower()
        unit = "kg" if unit.startswith("kg") else "n" if unit == "n" else "lb"
        firmness = number_of(firm["figure"]) * _FORCES[unit]
        told = Written(f"{firm['figure']} {firm['unit']}", "lbf" if unit == "lb" else "N")
        left.written[firmness] = told
    acid = left.figure(before=r"acid(?:ity)?\s*", after=r"\s*g/l")
    left.take("tested|test")
    return {
        "starch": left.figure(before=r"starch\s*(?:index\s*)?"),
        "brix": left.figure(before=r"brix\s*") or left.figure(after=r"\s*brix"),
        "firmness": firmness,
        "acid": acid,
        "mass": left.quantity(Kind.MASS, before=r"weigh(?:t|s)?\s*"),
        "fruits": left.whole(after=r"\s+(?:fruits?|apples?)"),
        "lot": _lot(left),
    }


def _sample(left: WordsLeft) -> Facts:
    of = left.take("(?P<of>soil|leaf|leaves) (?:test|sample|analysis)")
    depth = left.quantity(Kind.LENGTH, before=r"(?:down )?to\s+", after=r"(?:\s+deep)?")
    figures = []
    units = r"%|ppm|mg/kg|mg/L|lb/acre|kg/ha|meq/100 g|cmol/kg"
    pattern = rf"(?P<name>[A-Za-z][A-Za-z ]*?)\s*[:=]?\s*(?P<value>{NUMBER})\s*(?P<unit>{units})?"
    while (found := left.take(rf"{pattern}(?=\s*(?:[,;|]|$))")) is not None:
        figures.append(LabFigure(found["name"].strip(), number_of(found["value"]), found["unit"] or ""))
    if not figures:
        raise NotUnderstood(
            "what did the laboratory find?", "Write for instance soil test: pH 6.4, potassium 120 ppm."
        )
    return {
        "of": "soil" if of and of["of"].lower() == "soil" else "leaf",
        "figures": tuple(figures),
        "depth": depth,
    }


def _ph(left: WordsLeft) -> Facts:
    ph = left.figure(before=r"ph\s*(?:of\s*)?(?:is\s*)?")
    of = left.take("(?P<of>water|juice|cider|sauce|soil|must)")
    if ph is None or of is None:
        raise NotUnderstood(
            "pH of what, and how much?", "Write for instance water pH 7.2, or juice pH 3.6 batch 3."
        )
    return {"ph": ph, "of": of["of"].lower(), "batch": left.name("batch", 1)}


def _refuse_unitless(left: WordsLeft, words: str, kind: Kind, example: str) -> None:
    units = "|".join(map(re.escape, written_units(kind)))
    bare = left.take(rf"(?:{words})\s*[-−]?{NUMBER}(?!\s*(?:{units})(?!\w))")
    if bare is not None:
        raise NotUnderstood(f"“{as_said(bare)}”: of which unit?", f"Write for instance {example}.")


def _weather(left: WordsLeft) -> Facts:
    _refuse_unitless(
        left, "low(?:est)?|high(?:est)?|minimum|maximum", Kind.TEMPERATURE, "low 28 F, or low -2 C"
    )
    _refuse_unitless(left, "rain", Kind.RAIN, "rain 0.2 in, or rain 5 mm")
    left.take("frost last night|last night|frost|this morning")
    low = left.quantity(Kind.TEMPERATURE, before=r"(?:low(?:est)?|minimum)\s*")
    high_said = left.has("high(?:est)?|maximum")
    return {
        "low": low if low is not None or high_said else left.quantity(Kind.TEMPERATURE),
        "high": left.quantity(Kind.TEMPERATURE, before=r"(?:high(?:est)?|maximum)\s*"),
        "rain": left.quantity(Kind.RAIN, before=r"rain\s*"),
        "at": left.name("(?:in|at|by)(?: the)?"),
    }


def _cellar_reading(left: WordsLeft) -> Facts | None:
    temperature = left.quantity(Kind.TEMPERATURE)
    humidity = left.share()
    left.take("humid(?:ity)?")
    if temperature is None:
        return None
    numbered = left.take(r"(?:cellar|cooler|store room|fridge|room|shelf)\s+\d")  # “cooler 2”
    stored = f"{numbered[0] if numbered else ''} {left.take_rest()}".strip()
    return {"temperature": temperature, "humidity": humidity, "stored": stored}


def _watering(left: WordsLeft) -> Facts:
    left.take("watered|ran water|irrigated|watering")
    return {"hours": left.hours(), "volume": left.quantity(Kind.VOLUME)}


def _lot_check(left: WordsLeft) -> Facts | None:
    share, lot = left.share(), _lot(left)
    left.take("sound|good|fit")
    rotten = left.take("rotten|bad|spoiled")
    if share is None:
        return None
    return {"lot": lot, "sound": 1.0 - share if rotten else share}


# By what has been done, what a job is called.
_DONE: Mapping[str, str] = {
    "pruned": "pruning", "thinned": "thinning", "mowed": "mowing", "mown": "mowing", "weeded": "weeding",
    "tied": "tying", "trained": "training", "scouted": "scouting", "fed": "feeding", "mulched": "mulching",
    "bent": "bending", "mended": "mending", "repaired": "mending", "sorted": "sorting", "cleaned": "cleaning",
    "dug": "digging", "painted": "painting", "guarded": "guarding", "netted": "netting", "sprayed": "spraying",
    "picking": "picking", "grafted": "grafting", "budded": "budding",
}  # fmt: skip
_JOBS = alternatives({*_DONE, *_DONE.values()})


def _work(left: WordsLeft) -> Facts:
    left.take("worked|work|did|done")
    facts: Facts = {
        "hours": left.hours(),
        "hands": left.whole(before=r"by\s+", after=r"(?:\s+(?:people|hands))?")
        or left.whole(after=r"\s+(?:people|hands)"),
        "trees": left.whole(after=r"\s+trees?"),
    }
    each = left.take("each|apiece|(?:per|a) (?:person|head|hand|picker|worker)")
    if each is not None:
        if facts["hours"] is None or facts["hands"] is None:
            remedy = "Write 2 h each, 3 hands, or the hours of all hands together, 6 h."
            raise NotUnderstood(f"“{each[0]}”: of how many hands?", remedy)
        facts["hours"] *= facts["hands"]
    done = left.take(rf"(?P<kind>(?:winter|summer|dormant|hand)\s+)?(?P<job>{_JOBS})")
    if done is None:
        facts["job"] = left.take_rest()
    else:  # “Ann pruned”: what else is said stays as a remark
        job = done["job"].lower()
        facts["job"] = f"{(done['kind'] or '').lower()}{_DONE.get(job, job)}"
        facts["remark"] = left.take_rest()
    if not facts["job"]:
        raise NotUnderstood("which job?", "Write for instance pruning South 3, 2.5 h.")
    return facts


# Tried from the top; the first whose words are there and that reads as one.
FORMS: tuple[NoteForm, ...] = tuple(
    NoteForm(*form)
    for form in (
        (EntryKind.SAMPLE, "(?:soil|leaf) (?:test|sample|analysis)", "soil test {block}: pH 6.4, potassium 120 ppm",
         _sample),
        (EntryKind.PICK, "picked|harvested", "picked 120 lb {cultivar} from {row} into crate 14", _pick),
        (EntryKind.PRESSING, "pressed", "pressed 200 lb {cultivar} to 14 gal, Brix 13.1, pH 3.7, batch 3", _press),
        (EntryKind.SALE, "sold", "sold 20 lb {cultivar} for $36", _sale),
        (EntryKind.SERVICE, "served", "served 24 apple pie with 12 lb {cultivar}", _service),
        (EntryKind.CELLAR, "moved|put(?! by)|used|lost|threw out|thrown out|gave|given|to (?:the )?kitchen",
         "used 10 lb {cultivar} from crate 14", _cellar),
        (EntryKind.TAKE, "budded|buds", "chip budded 30 {cultivar}, 25 took", take),
        (EntryKind.TAKE, "grafted|took|grafts", "grafted 25 {cultivar}, 22 took", take),
        (EntryKind.LOT_CHECK, "sound|rotten", "crate 14 90 % sound", _lot_check),
        (EntryKind.STAGE, "|".join(_STAGES), "{cultivar} full bloom", _stage),
        (EntryKind.TREE, "|".join(_EVENTS), "{tree} dead", _tree),
        (EntryKind.TREE, "grafted|budded", "{tree} budded with {cultivar}", grafted_tree),
        (EntryKind.TRUNK, "trunks?", "{tree} trunk 1.2 in", _trunk),
        (EntryKind.HEIGHT, "height|high|tall", "{tree} height 7 ft 6 in", _height),
        (EntryKind.FRUIT_TEST, "starch|firmness|brix|weigh(?:t|s)",
         "{cultivar} starch 4, firmness 16 lb, Brix 12.5, weight 6 oz", _test),
        (EntryKind.FRUIT_SIZE, rf"sizes?|diameters?|fruitlet \w+|cal+iper(?:ed)?|{NUMBER}\s*mm",
         "{cultivar} sizes 22 24 26 mm", _size),
        (EntryKind.FRUIT_COUNT, rf"{NUMBER}\s+(?:flower\s+)?(?:clusters?|fruitlets?|fruits?|apples?)",
         "{row} {cultivar} 240 fruitlets on 3 trees", _count),
        (EntryKind.BATCH, "batch", "batch 3 racked, pH 3.6", _batch),
        (EntryKind.PH, "ph", "water pH 7.2", _ph),
        (EntryKind.CELLAR_READING, "cellar|cooler|store room|fridge", "cellar 36 F 90 %", _cellar_reading),
        (EntryKind.WEATHER, rf"low|lowest|minimum|high|highest|maximum|rain|{NUMBER}\s*°?[FC]",
         "low 28 F in the hollow, rain 0.2 in", _weather),
        (EntryKind.WATERING, "watered|irrigated|ran water|watering", "watered {block} 2 h", _watering),
        (EntryKind.PEST, rf"seen|saw|found|damaged?|{PESTS}", "seen scab on 5 % of leaves, {row}", pest),
        (EntryKind.WORK, rf"worked|did|done|{_JOBS}|{NUMBER}\s*(?:h|hrs?|hours?)", "pruning {row}, 2.5 h", _work),
    )
)  # fmt: skip


def nearest_forms(text: str) -> tuple[NoteForm, ...]:
    """Forms to name where a text is none: those of grafting and budding where it tells of them, else the usual ones."""
    of_grafts = tuple(form for form in FORMS if re.search("graft|budded", form.words))
    return of_grafts if re.search(r"graft|\bbud", text, re.IGNORECASE) else FORMS[1:6:2] + FORMS[8:11:2]
