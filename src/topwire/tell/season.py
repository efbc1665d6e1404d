"""Words of the season: the week's page."""

from collections.abc import Mapping

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
    "week.short_of_hands": Words(
        "the jobs of this week ask for {hours}, and your hands give {hands}.",
        "Hire, or leave what has the latest end.",
    ),
    "week.usual_days": Words(
        "there is no forecast of this week: water is reckoned for its usual warmth, without rain.",
        "Run topwire weather forecast; after rain, look again.",
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
