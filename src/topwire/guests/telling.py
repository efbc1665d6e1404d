"""What whoever prints cards and board has to be told."""

from topwire.guests.findings import GuestsFindings
from topwire.values.notice import Notice, caution, remark


def guest_notices(found: GuestsFindings) -> tuple[Notice, ...]:
    told = []
    if found.web_address is None:
        told.append(remark("guests.no_address", setting="guests.web_address"))
    if not found.recorded:
        told.append(remark("guests.by_the_plan"))
    unknown = tuple(card.name for card in found.cards if not any(fact.read for fact in card.facts))
    if unknown:
        told.append(remark("guests.no_story", setting="catalogue/cultivar_stories.csv", concerns=unknown))
    if found.board.juice:
        told.append(caution("guests.raw_juice"))
    return tuple(told)
