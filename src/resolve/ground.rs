//! The yard's own words: ground, supplies, controllers.

use crate::syntax::words::{
    Row, Sign, Table, Take, flag, key, many, many_key, may, must, must_key,
};
use crate::units::Dimension as D;

use super::figure_words::TITLE;

/// The words of `yard`.
pub static YARD: Table = Table {
    name: "yard",
    title: "The ground: size, people, place on Earth, wind, pegs, air.",
    rows: &[
        TITLE,
        Row::new(
            "size",
            "East-west size by north-south size.",
            &[
                must("width", Take::Quantity(D::Length, Sign::Positive)),
                must_key("by", "depth", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        Row::new(
            "viewers",
            "The side people stand on; nothing may reach or fall nearer to it than `keep`.",
            &[
                must("side", Take::Choice(crate::model::Compass::WORDS)),
                key("keep", "keep", Take::Quantity(D::Length, Sign::NotNegative)),
            ],
        ),
        Row::new(
            "place",
            "Latitude and longitude, and the time zone by its IANA name.",
            &[must("where", Take::Coordinates), key("zone", "zone", Take::Text)],
        ),
        Row::new(
            "wind",
            "Gusts as forecast: moving up to `run`, parked and whole up to `stand`.",
            &[
                key("run", "run", Take::Quantity(D::Speed, Sign::Positive)),
                key("stand", "stand", Take::Quantity(D::Speed, Sign::Positive)),
            ],
        ),
        Row::new(
            "soil",
            "What the stakes stand in.",
            &[must("soil", Take::Choice(&["lawn", "clay", "sand", "gravel", "paving", "deck"]))],
        ),
        Row::new(
            "mains",
            "Voltage and frequency of the mains.",
            &[
                must("voltage", Take::Quantity(D::Voltage, Sign::Positive)),
                may("frequency", Take::Quantity(D::Frequency, Sign::Positive)),
            ],
        ),
        Row::new(
            "peg",
            "A peg to set the figures out from with a tape.",
            &[must("name", Take::Name("peg")), must_key("at", "at", Take::Point)],
        )
        .many(),
        Row::new(
            "tank",
            "A tank of air by the name that cylinders have for it (`air NAME at 400 kPa`): what it \
             holds, the gauge pressure it is filled to, and the free air its pump gives at that \
             pressure.",
            &[
                must("name", Take::Name("tank")),
                must("volume", Take::Quantity(D::Volume, Sign::Positive)),
                must_key("full", "full", Take::Quantity(D::Pressure, Sign::Positive)),
                key("pump", "pump", Take::Quantity(D::Flow, Sign::Positive)),
            ],
        )
        .many(),
    ],
    bare: None,
};

/// The words of `supply`.
pub static SUPPLY: Table = Table {
    name: "supply",
    title: "A source of low voltage.",
    rows: &[
        Row::new(
            "voltage",
            "Its voltage.",
            &[must("voltage", Take::Quantity(D::Voltage, Sign::Positive))],
        ),
        Row::new(
            "limit",
            "The highest current it gives.",
            &[must("limit", Take::Quantity(D::Current, Sign::Positive))],
        ),
        Row::new(
            "cable",
            "The conductor of the cables that leave it.",
            &[must("cable", Take::Quantity(D::Conductor, Sign::Positive))],
        ),
        Row::new(
            "fuse",
            "The fuse before each cable that leaves it.",
            &[must("fuse", Take::Quantity(D::Current, Sign::Positive))],
        ),
        Row::new(
            "run",
            "The length of the cable from the supply that feeds it.",
            &[must("run", Take::Quantity(D::Length, Sign::Positive))],
        ),
        Row::new("ac", "It gives alternating current, at the mains' frequency.", &[]),
        Row::new(
            "battery",
            "It is a battery with this charge.",
            &[must("charge", Take::Quantity(D::Charge, Sign::Positive))],
        ),
    ],
    bare: None,
};

/// The signals an output gives.
pub(super) const SIGNALS: &[&str] = &["pwm", "pulse", "switch"];

/// The words of `controller`.
pub static CONTROLLER: Table = Table {
    name: "controller",
    title: "A box that plays schedules.",
    rows: &[
        Row::new("power", "The supply that feeds it.", &[must("supply", Take::Name("supply"))]),
        Row::new(
            "clock",
            "How far its clock may be off.",
            &[must("clock", Take::Quantity(D::Share, Sign::Positive))],
        ),
        Row::new(
            "starts",
            "What starts its show.",
            &[must("by", Take::Choice(crate::model::Start::WORDS))],
        ),
        Row::new(
            "out",
            "An output and what it drives; `one-way` where it never turns the motor round, `on plus` or `on minus` on which side of the motor its switch lies. A motor that none names is given the next free output of the controller nearest to its figure.",
            &[
                must("number", Take::Count),
                must("target", Take::Name("limb")),
                may("signal", Take::Choice(SIGNALS)),
                flag("one-way"),
                flag("on plus"),
                flag("on minus"),
                many("pulse", Take::Quantity(D::Time, Sign::Positive)),
                many_key("at", "angle", Take::Quantity(D::Angle, Sign::Any)),
            ],
        )
        .many(),
        Row::new(
            "in",
            "An input and the contact it reads.",
            &[
                must("number", Take::Count),
                must("target", Take::Name("limb")),
                may("signal", Take::Choice(&["park", "index"])),
            ],
        )
        .many(),
    ],
    bare: None,
};
