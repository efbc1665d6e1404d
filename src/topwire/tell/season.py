"""Words of the season: the week's page and the cellar's."""

from collections.abc import Mapping

from topwire.cellar.cider import BLEND_FROM
from topwire.season.findings import JobState, SeasonStage
from topwire.tell.words import Speech, Words

WORDS: Mapping[str, Speech] = {
    "week.plan_changed": Words(
        "plan.yaml has changed since it was planned; this week is of the last plan.", "Run topwire plan."
    ),
    "week.no_trees": Words("no tree stands in its first leaf before {year}: there are jobs only."),
    "week.no_weather": Words(
        "the record holds no weather of this season, so every date here is that of the years of today.",
        "Run topwire weather update, or add a weather file that reaches to {year}.",
    ),
    "week.weather_behind": Words(
        "the weather record ends on {last}, {days:day|days} before today.", "Run topwire weather update."
    ),
    "week.days_filled": Words(
        "{days:day|days} of this season's weather {days:~was|were} missing and {days:~lies|lie} on the line between "
        "their neighbours."
    ),
    "week.date_left_out": Words(
        "{event} of {concerns} is noted for {on}, {days:day|days} {side} what is reckoned: left out, it moves nothing.",
        "If it was so, note two more cultivars as {sooner}; else take it back: topwire records.",
    ),
    "week.short_of_hands": Words(
        "the jobs of this week ask for {hours}, and your hands give {hands}.",
        "Hire, or leave what has the latest end.",
    ),
    "week.usual_days": Words(
        "there is no forecast of this week: water is reckoned for its usual warmth, without rain.",
        "Run topwire weather forecast; after rain, look again.",
    ),
}
CELLAR_WORDS: Mapping[str, Speech] = {
    "cellar.gone": Words(
        "past its life: {mass} of {concerns}.", "Look it through today; what is not sound goes out."
    ),
    "cellar.overdrawn": Words(
        "{concerns}: {taken} is noted as taken out, and {picked} as picked into {lots:~it|them}.",
        "Note the pick that is missing, or correct what was taken: topwire note FOLDER --instead-of ENTRY.",
    ),
    "cellar.never_picked": Words(
        "{concerns}: no such fruit is noted as picked into {lots:~it|them}.",
        "Note the pick, or correct the name or the cultivar: topwire note FOLDER --instead-of ENTRY.",
    ),
    "cellar.would_be_lost": Words(
        "the kitchen has no use for {mass} before it is past its life: {concerns}.",
        "Press it, cook and can it, dry it, sell it or give it away before its day.",
    ),
    "cellar.ripening_gas": lambda facts: Words(
        f"ripening fruit lies with late keepers{' in {place}' if facts['place'] else ''}: {{concerns}} beside "
        "{late}. Its gas ripens them.",
        "Keep them in rooms apart, or use the ripening ones first.",
    ),
    "cellar.unaccounted": Words(
        "{lots:lot|lots} long past {lots:~its|their} life {lots:~is|are} written down as still there and left out "
        "here: {concerns}.",
        "Note what became of {lots:~it|them}: “Benoni, lot Beno 34-2, lost”.",
    ),
    "cellar.empty": Words(
        "no fruit in the cellar is written down: what the kitchen gets from it cannot be told.",
        "Note each pick, on the page Records or so: topwire note “picked 120 lb Wealthy into crate 14”.",
    ),
    "cellar.temperature": Words(
        "nobody has read the cellar within a month: it is taken at {value}, as the plan says.",
        "Hang a thermometer at the fruit, and note what it reads.",
    ),
    "cellar.press": Words(
        "juice is food: wash, cull every rotten spot before the mill (patulin is not cooked away), clean press and "
        "cloths the same day; raw juice can make people ill, so heat it, treat it or warn as the law asks.",
        "Measure the pH; local food law decides.",
    ),
    "cellar.windfalls": Words(
        "windfalls lie in the cellar: they have touched the ground and never go into raw juice.",
        "Cook them through, soon.",
    ),
    "cellar.cider_gas": Words(
        "fermenting cider gives off carbon dioxide, which kills unseen in low and closed rooms.",
        "Air the press room, never go in alone or where a flame goes out; a meter is cheap.",
    ),
    "cellar.sulphite": Words(
        "sulphite burns lungs and harms people with asthma; how much is wanted hangs on the pH, and from pH "
        f"{BLEND_FROM:g} on it hardly serves. Its use has to be on the label.",
        "Measure the pH first; goggles, gloves, open air.",
    ),
    "cellar.bottles": Words(
        "a bottle closed before the sugar is gone can burst: only bottles made for pressure, a hydrometer that stands "
        "still for weeks, guards over face and hands.",
    ),
    "cellar.licence": Words(
        "making or selling alcohol, and selling juice or preserves, asks for licences.",
        "Ask before the first press.",
    ),
    "cellar.preserves": Words(
        "sauce and butter: a tested recipe, its time for your height above the sea, pH measured; above 4.2 acid is "
        "added, above 4.6 a boiling-water canner is not safe. Sound fruit only, hot glass away from draughts.",
        "The extension service's tested recipes decide.",
    ),
    "cellar.dried": Words(
        "dried fruit keeps when it is leathery and no drop shows; condition it for a week in a jar."
    ),
}
STATES: Mapping[JobState, str] = {
    JobState.DONE: "done",
    JobState.LATE: "late",
    JobState.NOW: "now",
    JobState.COMING: "from",
}
COMING: Mapping[SeasonStage | None, str] = {
    SeasonStage.FULL_BLOOM: "full bloom",
    SeasonStage.RIPE: "first pick",
    SeasonStage.OVER: "last pick",
    None: "",
}
