//! What can be wrong with a calendar.

use crate::finding::{Code, Severity};

/// Wraps the clauses of one season and its yard into a small file.
macro_rules! nights {
    ($place:literal, $season:literal) => {
        concat!(
            "yard sample { size 10 m by 8 m  ",
            $place,
            " }\nsong tune { meter 4/4  tempo 120 bpm  section whole bar 1 for 8 bars }\n\
             show evening with tune { bar 8 all rest }\nseason autumn {\n",
            $season,
            "\n}\n"
        )
    };
}

/// A zone that is none.
pub static ZONE_UNKNOWN: Code = Code {
    word: "zone-unknown",
    severity: Severity::Error,
    title: "there is no time zone of that name",
    explanation: "A zone is named by a region and a city, as the time zone database has it: \
                  \"Europe/London\", \"America/New_York\". Without it nobody knows what the clock \
                  shows at dusk, or when clocks are changed.",
    formula: "",
    source: "names of the IANA time zone database",
    bad: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/Londn\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 2 of evening every 25 min"
    ),
    good: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/London\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 2 of evening every 25 min"
    ),
};

/// Runs closer than the show is long.
pub static RUNS_OVERLAP: Code = Code {
    word: "runs-overlap",
    severity: Severity::Error,
    title: "a run starts before the one before is over",
    explanation: "The runs of a night follow each other at a fixed distance from start to start. It \
                  must be at least as long as the show; motors with a duty want a rest beside.",
    formula: "every >= length of the show",
    source: "definition of this language",
    bad: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/London\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 2 of evening every 10 s"
    ),
    good: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/London\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 2 of evening every 25 min"
    ),
};

/// Runs that would end too late.
pub static RUNS_LEFT_OUT: Code = Code {
    word: "runs-left-out",
    severity: Severity::Advice,
    title: "some runs would not be over in time and are left out",
    explanation: "Dusk comes at another time every night, and some nights end early. A run that \
                  would still play when all must be quiet is left out of the calendar; the message \
                  says on how many nights.",
    formula: "start + length <= end of that night",
    source: "definition of this language",
    bad: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/London\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 4 of evening every 25 min  end by 19:30"
    ),
    good: nights!(
        "place 51.8 deg -2.3 deg zone \"Europe/London\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 3 of evening every 25 min  end by 19:30"
    ),
};

/// A night without dusk.
pub static NO_DUSK: Code = Code {
    word: "no-dusk",
    severity: Severity::Error,
    title: "there is no dusk on that date at that place",
    explanation: "Far north or south the sun stays up, or near the horizon, all night in summer, and \
                  below it all day in winter. Then a start by dusk has no meaning: give the time by \
                  the clock.",
    formula: "cos H = (cos 96 deg - sin lat sin dec) / (cos lat cos dec) lies outside -1 .. 1",
    source: "civil twilight: the sun's centre 6 deg below the horizon; J. Meeus, Astronomical Algorithms, \
             ch. 15",
    bad: nights!(
        "place 69.6 deg 19 deg zone \"Europe/Oslo\"",
        "nights 2027-06-20 to 2027-06-22  first dusk + 20 min  runs 1 of evening"
    ),
    good: nights!(
        "place 69.6 deg 19 deg zone \"Europe/Oslo\"",
        "nights 2027-06-20 to 2027-06-22  first 22:30  runs 1 of evening"
    ),
};

/// Every code of this stage.
pub static CODES: &[&Code] = &[&ZONE_UNKNOWN, &RUNS_OVERLAP, &RUNS_LEFT_OUT, &NO_DUSK];
