"""What the cellar has to tell: what goes first, what would be lost, and the cautions of what is made."""

from collections.abc import Sequence
from dataclasses import replace

from topwire.records.lots import LotDrawn
from topwire.season.cellar_findings import CellarFindings, LotState, UseFirst
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.terms import Use
from topwire.values.units import Kind

_RIPENING = (
    0.7  # of its life from which fruit gives off the gas that ripens others, as keeping reckons losses
)
_LONG = 10.0  # weeks a late keeper still has
_MOST = 6  # names told
_A_BAG = 1.0  # [kg] of ripening fruit whose gas is worth a word
_WORTH = 5.0  # [kg] unused that is worth a word


def cellar_notices(
    found: CellarFindings, forgotten: list[LotState], drawn: Sequence[LotDrawn]
) -> CellarFindings:
    """The findings with every notice; `forgotten` are lots long past their life, `drawn` those overdrawn."""
    told: list[Notice] = _drawn(drawn)
    if forgotten:
        told.append(remark("cellar.unaccounted", concerns=_names(forgotten), lots=len(forgotten)))
    gone = [lot for lot in found.lots if lot.first is UseFirst.GONE]
    if gone:
        told.append(warning("cellar.gone", concerns=_names(gone), mass=_mass(gone)))
    lost = [lot for lot in found.lots if lot.unused >= _WORTH and lot.first is not UseFirst.GONE]
    if lost:
        told.append(
            warning(
                "cellar.would_be_lost",
                concerns=_names(lost),
                mass=Measured(sum(lot.unused for lot in lost), Kind.MASS, 0),
            )
        )
    told += _together(found)
    if not found.lots:
        told.append(remark("cellar.empty"))
    elif not found.read:
        told.append(assumption("cellar.temperature", value=Measured(found.temperature, Kind.TEMPERATURE, 0)))
    made = {batch.use for batch in found.batches}
    if made & {Use.JUICE, Use.CIDER}:
        told.append(caution("cellar.press"))
        if any(lot.grade == "windfall" for lot in found.lots):
            told.append(caution("cellar.windfalls"))
    if Use.CIDER in made:
        told += [caution("cellar.cider_gas"), caution("cellar.sulphite"), caution("cellar.bottles")]
        told.append(caution("cellar.licence"))
    if made & {Use.SAUCE, Use.BUTTER}:
        told.append(caution("cellar.preserves"))
    if Use.DRIED in made:
        told.append(caution("cellar.dried"))
    return replace(found, notices=tuple(told))


def _drawn(drawn: Sequence[LotDrawn]) -> list[Notice]:
    """Lots out of which more was taken than was picked into them, and those into which nobody picked."""
    told = []
    for code, lots in (
        ("cellar.overdrawn", [one for one in drawn if one.picked > 0]),
        ("cellar.never_picked", [one for one in drawn if one.picked == 0]),
    ):
        if lots:
            names = [f"{one.lot} ({one.cultivar})" if one.cultivar else one.lot for one in lots]
            told.append(
                warning(
                    code,
                    setting="records",
                    concerns=names if len(names) <= _MOST else [*names[:_MOST], "…"],
                    lots=len(lots),
                    picked=Measured(sum(one.picked for one in lots), Kind.MASS, 0),
                    taken=Measured(sum(one.taken for one in lots), Kind.MASS, 0),
                )
            )
    return told


def _together(found: CellarFindings) -> list[Notice]:
    """Ripening fruit beside late keepers in one place."""
    told = []
    for place in dict.fromkeys(lot.stored for lot in found.lots):
        here = [lot for lot in found.lots if lot.stored == place]
        ripening = [lot for lot in here if _ripens(lot)]
        names = {lot.cultivar for lot in ripening}
        late = [lot for lot in here if lot.kitchen_left >= _LONG and lot.cultivar not in names]
        if ripening and late:
            told.append(
                warning(
                    "cellar.ripening_gas",
                    concerns=_names(ripening),
                    place=place,
                    late=tuple(_names(late)),
                )
            )
    return told


def _ripens(lot: LotState) -> bool:
    return lot.kg >= _A_BAG and lot.age >= _RIPENING * (lot.age + lot.kitchen_left)


def _names(lots: list[LotState]) -> list[str]:
    names = list(dict.fromkeys(lot.cultivar for lot in lots))
    return names if len(names) <= _MOST else [*names[:_MOST], "…"]


def _mass(lots: list[LotState]) -> Measured:
    return Measured(sum(lot.kg for lot in lots), Kind.MASS, 0)
