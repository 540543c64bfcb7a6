//! What is not known of a limb because its sheet is silent: checks that cannot be made are
//! named, with the words that would let them be.

use crate::model::{Limb, Note};

/// The words of a sheet that checks ask for, with what a sheet of 6 mm plywood would say
/// (typical, measure yours), and what is not checked without them.
const ASKED: [(&str, &str, &str); 6] = [
    ("thickness", "thickness 6 mm", "bending, folding and tearing"),
    (
        "material",
        "material plywood",
        "how near holes may lie to its edge and whether its clamp slips",
    ),
    ("crush", "crush 3 MPa", "whether washers dent it and its clamp slips"),
    ("tear", "tear 3 MPa", "whether holes and screws tear out of it"),
    ("stiffness", "stiffness 6000 MPa", "how far it bends in the wind and whether it flutters"),
    ("bending", "bending 30 MPa", "whether it folds in the wind"),
];

/// A note for each word that the sheet of a limb leaves out.
pub(super) fn silent(limb: &Limb) -> Vec<Note> {
    let Some(sheet) = limb.sheet.as_deref() else { return Vec::new() };
    let said = [
        sheet.thickness.is_some(),
        sheet.material.is_some(),
        sheet.crush.is_some(),
        sheet.tear.is_some(),
        sheet.stiffness.is_some(),
        sheet.bending.is_some(),
    ];
    ASKED
        .into_iter()
        .zip(said)
        .filter(|(_, said)| !said)
        .map(|((word, typical, what), _)| {
            let name = &sheet.name;
            Note::new(
                format!("{what} (`{name}` does not say its {word})"),
                format!("sheet {name} {{ {typical} }}"),
            )
        })
        .collect()
}
