//! Cords and rods from other limbs in the order of what is preferred: the chosen one and each
//! that is listed beside it are built on their own, with every size written, and what they
//! come to there is held against the order.

use yardwright::fit::{FittedDrive, SizeName, builds};

use super::compile;

const CORD: &str = "figure owl { board plywood-9 400 mm by 900 mm
  motor lids wiper at (200, 600) mm
  limb lid { pivot (200, 780) mm tip (300, 780) mm weighed 0.1 kg balances 25 mm friction 0.002 N.m
    drive cord { motor lids OPEN guides (190, 700) mm return spring 0.010 N.m }
    gesture blink { sweep 10 deg to 60 deg within 4 deg cycle 2 s } } }";

const FOREARM: &str = "figure fox { board plywood-9 700 mm by 1000 mm
  motor elbow wiper at (420, 500) mm
  limb upper-arm { pivot (300, 700) mm tip (120, 700) mm
    drive four-bar { motor elbow crank 30 mm rod 217 mm lever 90 mm at 17.5 deg }
    gesture bow { sweep 195 deg to 235 deg cycle 2.1 s } }
  limb forearm on upper-arm { pivot (120, 700) mm tip (120, 500) mm
    drive four-bar from upper-arm { anchor (250, 650) mm OPEN }
    gesture fiddle { sweep 240 deg to 319 deg within 4 deg } } }";

/// What one does: its sizes, push, share of builds, torque and slower way.
struct Does {
    sizes: Vec<(SizeName, f64)>,
    push: f64,
    share: f64,
    speed: f64,
    ratio: f64,
}

/// What an order goes by, the least first.
type Measure = fn(&Does) -> f64;

fn drive(yard: &str, open: &str, see: impl FnOnce(&FittedDrive, &yardwright::model::Limb)) {
    let compiled = compile(&yard.replace("OPEN", open));
    let figure = &compiled.figures[0];
    let limb = figure.limbs.len() - 1;
    let fitted = figure.limbs[limb].mechanism.as_ref().expect(open).as_drive().expect(open);
    see(fitted, &figure.figure.limbs[limb]);
}

/// The chosen one and those beside it, each from a yard in which its sizes are written.
fn answers(yard: &str, open: &str) -> Vec<Does> {
    let mut listed = Vec::new();
    drive(yard, open, |d, limb| {
        let names: Vec<SizeName> = d.sizes.iter().map(|s| s.name).collect();
        listed.push((names.clone(), d.sizes.iter().map(|s| s.drilled).collect::<Vec<_>>(), None));
        listed.extend(d.others.iter().map(|o| {
            let told = (o.push.0, o.share(limb).unwrap(), o.speed.unwrap());
            (names.clone(), o.sizes.clone(), Some(told))
        }));
    });
    let mut all = Vec::new();
    for (names, values, told) in listed {
        let sizes: Vec<(SizeName, f64)> = names.into_iter().zip(values).collect();
        let clause = |(name, v): &(SizeName, f64)| match name {
            SizeName::Clamp => format!(" at {v} deg"),
            SizeName::Cord => format!(" length {v} mm"),
            name => format!(" {} {v} mm", name.word()),
        };
        // The clamp belongs behind its lever.
        let order = |s: &&(SizeName, f64)| match s.0 {
            SizeName::Lever => 1,
            SizeName::Clamp => 2,
            _ => 0,
        };
        let mut written: Vec<&(SizeName, f64)> = sizes.iter().collect();
        written.sort_by_key(order);
        let written: String = written.into_iter().map(clause).collect();
        drive(yard, &written, |d, limb| {
            let course = &d.drilled.course;
            let share = builds::share(limb, d.recipe.as_ref().unwrap()).unwrap();
            let does = Does {
                sizes: sizes.clone(),
                push: course.worst_push.0,
                share,
                speed: course.speed(),
                ratio: course.time_ratio.unwrap(),
            };
            if let Some((push, share, speed)) = told {
                assert!((push - does.push).abs() < 1e-6, "{written}: {push}, {}", does.push);
                assert!((share - does.share).abs() < 1e-9, "{written}: {share}, {}", does.share);
                assert!((speed - does.speed).abs() < 1e-9, "{written}: {speed}, {}", does.speed);
            }
            all.push(does);
        });
    }
    all
}

#[test]
fn what_is_preferred_stands_first_and_the_rest_in_its_order() {
    let measures: [(&str, Measure); 3] = [
        ("prefer build", |d| -d.share),
        ("prefer light", |d| d.speed),
        ("prefer even", |d| d.ratio),
    ];
    for (yard, open) in [
        (CORD, "crank ? 10 to 40 mm by 5 mm lever ? 20 to 60 mm by 5 mm at ?"),
        (FOREARM, "rod ? lever ? 30 to 70 mm by 5 mm at ?"),
    ] {
        let usual = answers(yard, open);
        assert!(usual.len() == 5, "{open}: {}", usual.len());
        for (prefer, measure) in measures {
            let all = answers(yard, &format!("{open} {prefer}"));
            assert_eq!(all.len(), 5, "{open} {prefer}");
            // Those that push at 45 degrees and better, by the measure; then the others.
            let key = |d: &Does| [(45.0 - d.push).max(0.0), measure(d)];
            for pair in all.windows(2) {
                let (a, b) = (key(&pair[0]), key(&pair[1]));
                assert!(a[0] < b[0] + 1e-9, "{open} {prefer}: {a:?} before {b:?}");
                assert!(a[0] + 1e-9 < b[0] || a[1] < b[1] + 1e-9, "{prefer}: {a:?} before {b:?}");
            }
            // None of the usual ones would have stood before it.
            let (first, best) = (key(&all[0]), usual.iter().map(key));
            assert!(best.into_iter().all(|k| first <= [k[0] + 1e-9, k[1] + 1e-9]), "{prefer}");
        }
        // It is a choice: most builds fit with other sizes than those that push best.
        let build = answers(yard, &format!("{open} prefer build"));
        assert_ne!(build[0].sizes, usual[0].sizes, "{open}");
    }
}
