//! The words that may stand at the top of a file.

use crate::syntax::words::{
    BlockRule, Part, Row, Sign, Table, Take, flag, key, many, may, must, must_key,
};
use crate::units::Dimension as D;

use super::{figure_words, ground, part_words, phrase, season, show, song};

/// Compass words, where a front looks.
pub(super) const FACINGS: &[&str] =
    &["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

/// The top of a file.
pub static ROOT: Table = Table {
    name: "file",
    title: "What may stand at the top of a file.",
    rows: &[
        Row::new(
            "use",
            "Brings in the built-in library (`use parts`) or another file (`use \"figures/bear.yard\"`).",
            &[may("library", Take::Choice(&["parts"])), may("file", Take::Text)],
        )
        .many(),
        Row::new(
            "yard",
            "The ground the figures stand on; x runs east, y north, from the south-west corner.",
            &[may("name", Take::Name("yard"))],
        )
        .block(BlockRule::Must(&ground::YARD)),
        Row::new(
            "supply",
            "A source of low voltage: at a place in the yard, or fed from another supply.",
            &[
                must("name", Take::Name("supply")),
                key("at", "place", Take::Point),
                key("at", "from", Take::Name("supply")),
            ],
        )
        .many()
        .block(BlockRule::May(&ground::SUPPLY)),
        Row::new(
            "controller",
            "A box that plays schedules.",
            &[must("name", Take::Name("controller")), key("at", "place", Take::Point)],
        )
        .many()
        .block(BlockRule::May(&ground::CONTROLLER)),
        Row::new(
            "song",
            "A sound file with its bars and beats.",
            &[must("name", Take::Name("song")), may("file", Take::Text)],
        )
        .many()
        .block(BlockRule::May(&song::SONG)),
        Row::new(
            "figure",
            "A board, its frame, its motors and its limbs; `at` and `facing` set it up in the yard.",
            &[
                must("name", Take::Name("figure")),
                key("at", "place", Take::Point),
                key("facing", "facing", Take::Choice(FACINGS)),
            ],
        )
        .many()
        .block(BlockRule::Must(&figure_words::FIGURE)),
        Row::new(
            "set",
            "Sets a figure up in the yard, or a copy of one under a new name.",
            &[
                must("name", Take::Name("figure")),
                key("like", "like", Take::Name("figure")),
                key("at", "place", Take::Point),
                key("facing", "facing", Take::Choice(FACINGS)),
                key("scale", "scale", Take::Quantity(D::Share, Sign::Positive)),
            ],
        )
        .many()
        .block(BlockRule::May(&SET)),
        Row::new(
            "laid-up",
            "A figure out of action: it stays in plan and parts, and out of schedules, power and cues; nights of a season before FROM it plays.",
            &[
                must("figure", Take::Name("figure")),
                key("from", "from", Take::Date),
                may("why", Take::Text),
            ],
        )
        .many(),
        Row::new(
            "group",
            "A named set of limbs that are told things together.",
            &[must("name", Take::Name("group"))],
        )
        .many()
        .block(BlockRule::Must(&show::GROUP)),
        Row::new(
            "phrase",
            "Cues under one name, with parameters.",
            &[],
        )
        .many()
        .raw()
        .block(BlockRule::Must(&phrase::PHRASE)),
        Row::new(
            "show",
            "A song and its cues.",
            &[must("name", Take::Name("show")), key("with", "song", Take::Name("song"))],
        )
        .many()
        .block(BlockRule::Must(&show::SHOW)),
        Row::new(
            "season",
            "Nights and runs.",
            &[must("name", Take::Name("season"))],
        )
        .many()
        .block(BlockRule::Must(&season::SEASON)),
        Row::new(
            "motor",
            "What a motor is: the figures of its sheet, or two easy measurements; `like` takes from a built-in one \
             what is not said here, and may have its name: `motor wiper like wiper { spread 5 % }`.",
            &[must("name", Take::Name("motor")), key("like", "like", Take::Name("motor"))],
        )
        .many()
        .block(BlockRule::Must(&part_words::MOTOR)),
        Row::new(
            "sheet",
            "A sheet that boards and limbs are cut from.",
            &[must("name", Take::Name("sheet"))],
        )
        .many()
        .block(BlockRule::Must(&part_words::SHEET)),
        Row::new(
            "bushing",
            "What a bolt turns in.",
            &[must("name", Take::Name("bushing"))],
        )
        .many()
        .block(BlockRule::Must(&part_words::BUSHING)),
        Row::new("bolt", "A thread.", &[must("name", Take::Stock)])
            .many()
            .block(BlockRule::Must(&part_words::BOLT)),
        Row::new("stock-bar", "A stock bar, with its true size.", &[must("name", Take::Stock)])
            .many()
            .block(BlockRule::Must(&part_words::BAR)),
    ],
    bare: None,
};

/// What a `set` may change of the figure it sets up.
static SET: Table = Table {
    name: "set",
    title: "What differs from the figure it is like.",
    rows: &[
        figure_words::TITLE,
        Row::new("without", "Limbs left out.", &[many("limb", Take::Name("limb"))]).many(),
        figure_words::POWER,
        figure_words::ANCHOR,
    ],
    bare: None,
};

/// `from behind`, where a direction is seen from there.
pub(super) const FROM_BEHIND: &str = "from behind";

/// Where a motor's shaft stands.
pub(super) const AT: Part = key("at", "at", Take::OpenPoint);
/// Which way it turns.
pub(super) const TURNS: Part = key("turns", "turns", Take::Choice(&["ccw", "cw"]));
/// Seen from where.
pub(super) const BEHIND: Part = flag(FROM_BEHIND);
/// Fixed to the limb that carries the one it moves, not to the board.
pub(super) const RIDES: Part = flag("rides");
/// The current limit of its driver.
pub(super) const LIMIT: Part = key("limit", "limit", Take::Quantity(D::Current, Sign::Positive));

/// The plate it is screwed to from behind.
pub(super) const PLATE: Part = key("plate", "plate", Take::Quantity(D::Length, Sign::Positive));

/// The supply that feeds it, where that is not the figure's.
pub(super) const FED: Part = key("power", "power", Take::Name("supply"));

/// `slide from A to B`.
pub(super) const SLIDE: Row = Row::new(
    "slide",
    "Instead of `pivot`: the limb slides along a straight guide between these ends.",
    &[must_key("from", "from", Take::Point), must_key("to", "to", Take::Point)],
);
