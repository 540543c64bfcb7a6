//! `drive cam`: base circle, follower, and what the cam does in a turn.

use crate::mechanism::cam::Law;
use crate::model::{CamDisc, CamDrive, CamFoot, CamMove, DriveKind};
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, key, may, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static CAM: Table = Table {
    name: "cam",
    title: "A plate cam and its follower; the profile is made from the gesture.",
    rows: &[
        super::MOTOR,
        super::LEVER,
        super::PREFER,
        super::RETURN,
        super::STANDOFF,
        Row::new(
            "disc",
            "The disc it is cut as: how thick, its bore on the shaft or hub, and the bolts that hold it to its hub \
             with the circle they lie on.",
            &[
                may("thick", Take::Quantity(D::Length, Sign::Positive)),
                key("bore", "bore", Take::Quantity(D::Length, Sign::Positive)),
                key("bolts", "bolts", Take::Quantity(D::Length, Sign::Positive)),
                key("circle", "circle", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        Row::new(
            "base",
            "Radius of the base circle.",
            &[must("radius", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "lift",
            "How far the follower rises.",
            &[must("lift", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "roller",
            "Radius of the follower's roller.",
            &[must("radius", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "follower",
            "What runs on the cam: a roller, an edge (knife) or a flat face.",
            &[must("follower", Take::Choice(CamFoot::WORDS))],
        ),
        Row::new(
            "offset",
            "How far the roller passes left of the shaft, looking the way the cam lifts it; negative: right. Left out, as far as the guide is drawn beside the shaft.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "stand-off",
            "How much nearer to the shaft a swinging flat face is than the line through its pivot.",
            &[must("distance", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "law",
            "How it gets from low to high and back.",
            &[must("law", Take::Choice(&Law::WORDS))],
        ),
        Row::new(
            "rise",
            "How much of the cam's turn the rise takes, and the dwell at the top.",
            MOVE,
        ),
        Row::new(
            "fall",
            "How much of the cam's turn the fall takes, and the dwell at the bottom.",
            MOVE,
        ),
        Row::new(
            "times",
            "How often it rises and falls in one turn of the cam.",
            &[must("times", Take::Count)],
        ),
        Row::new(
            "starts",
            "The motor's angle at which the rise begins.",
            &[must("angle", Take::Quantity(D::Angle, Sign::Any))],
        ),
    ],
    bare: None,
};

const MOVE: &[crate::syntax::words::Part] = &[
    must("turn", Take::Quantity(D::Angle, Sign::Positive)),
    key("dwell", "dwell", Take::Quantity(D::Angle, Sign::Any)),
];

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    let size = |word, part| super::said(block, (word, part), context);
    let choice = |word| super::clause(block, word).and_then(|c| c.choice(word));
    let foot = match choice("follower") {
        Some("knife") => CamFoot::Knife,
        Some("flat") => CamFoot::Flat,
        _ => CamFoot::Roller,
    };
    DriveKind::Cam(Box::new(CamDrive {
        base: size("base", "radius"),
        lift: size("lift", "lift"),
        roller: size("roller", "radius"),
        lever: size("lever", "length"),
        clamp: super::clamp(block, context),
        foot,
        offset: super::given(block, "offset", "offset"),
        stand_off: super::given(block, "stand-off", "distance"),
        law: choice("law").and_then(Law::of_word).unwrap_or_default(),
        rise: moves(block, "rise"),
        fall: moves(block, "fall"),
        times: super::part(block, "times", "times").and_then(|t| t.count()).unwrap_or(1),
        starts: super::given(block, "starts", "angle"),
        disc: CamDisc {
            thick: super::given(block, "disc", "thick"),
            bore: super::given(block, "disc", "bore"),
            bolts: super::given(block, "disc", "bolts").zip(super::given(block, "disc", "circle")),
        },
        back: super::back(block),
        prefer: super::prefer(block),
    }))
}

fn moves(block: Option<Block<'_>>, word: &str) -> Option<CamMove> {
    let clause = super::clause(block, word)?;
    let turn = clause.size("turn")?;
    Some(CamMove { turn, dwell: clause.size("dwell").unwrap_or_default(), place: clause.place() })
}
