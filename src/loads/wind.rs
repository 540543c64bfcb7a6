//! Wind: every limb and the whole figure, what goes first, and at which gust.
//!
//! `q = 0.613 V^2`, force coefficients 1.8 for a figure and 1.3 for a limb. Each check
//! is a [`Limit`] whose demand is a constant and a share of V^2, so that the gust at
//! which it is met has a closed form; the largest gust to run is the least of those of
//! the limb and its figure, to stand the least of those asked of the parked figure.

use super::motor::Work;
use super::wind_codes::{
    ICE_LOADS, LIMB_HUMS, LIMB_ROCKS, RAIN_TRAP, SUN_BRITTLE, THREAD_IN_BUSHING,
};
use super::wind_guide::of_guide;
use super::wind_limb::{held_over, left_out, of_limb, on_sheet_alone, typical_sheet, washer};
use super::wind_limit::{Input, Limit, When, first_to_go};
use super::wind_motor::told_of_motor;
use super::wind_servo::of_servo;
use super::{Bench, stand};
use crate::finding::{Code, Finding, Place, Severity, Step};
use crate::model::{Figure, Flutes, Joint, Limb, Material, Mount, Note, SheetType};
use crate::units::print::decimal;
use crate::units::{MetrePerSec, Mm, System, print};

/// How much ice of 1 mm weighs, kg/m2.
const ICE: f64 = 0.9;
/// What to do about a sheet that the sun spoils.
const SUN_HELP: &str = "reckon with one season, and bend an offcut that hung beside it; where it is painted, or its \
                        plastic stabilised, write `seen-to sun-brittle`.";

impl Bench<'_> {
    /// Wind on every limb and on the figure.
    pub fn wind(&mut self) {
        for index in 0..self.limbs.len() {
            let mass = self.limbs[index].mass.map(|m| m.mass.0);
            let over = self.spaced.limbs[index].over_board;
            self.limbs[index].wind = of_limb(self.fitted, index, mass, (self.site.winds.run, over));
        }
        self.wind_on_servos();
        self.wind_on_motors();
        self.wind_on_neighbours();
        self.wind_on_guides();
        self.pull_on_bolts();
        self.wind_on_blades();
        let stood = stand::of_figure_at(self.fitted, self.site, &self.limbs);
        for limb in &mut self.limbs {
            limb.assumed.extend(stood.assumed.iter().cloned());
            limb.not_checked.extend(stood.not_checked.iter().cloned());
        }
        self.figure_wind = stood.wind;
        self.largest_gusts();
        self.wind_findings();
        self.weather_advice();
    }

    /// Adds what a gust asks of each servo that holds its limb.
    fn wind_on_servos(&mut self) {
        let figure = &*self.fitted.figure;
        for (motor, point) in self.motors.iter().enumerate() {
            let Some(Work::Servo(load)) = &point.work else { continue };
            let Some(index) = figure.driven_by(motor).next() else { continue };
            let limb = &mut self.limbs[index];
            let (Some(wind), Some(mass)) = (&mut limb.wind, &limb.mass) else { continue };
            let (limits, notes) = of_servo(self.fitted, index, mass, load, wind.moment);
            wind.limits.extend(limits);
            limb.not_checked.extend(notes);
        }
    }

    /// What a gust presses on the guide of each limb that slides.
    fn wind_on_guides(&mut self) {
        let winds = [self.site.winds.run, self.site.winds.stand];
        let figure = &*self.fitted.figure;
        for (index, (limb, loaded)) in figure.limbs.iter().zip(&mut self.limbs).enumerate() {
            let slides = matches!(limb.joint, Joint::Slide { .. });
            let Some(wind) = loaded.wind.as_mut().filter(|_| slides && !limb.poisoned) else {
                continue;
            };
            let (limits, notes) = of_guide(figure, index, winds, wind.force);
            wind.limits.extend(limits);
            loaded.not_checked.extend(notes);
        }
    }

    /// The largest gusts of limbs and figure, from those of their checks.
    fn largest_gusts(&mut self) {
        let least = |limits: &mut dyn Iterator<Item = &Limit>| {
            first_to_go(limits).map_or(super::wind_limit::STRONGEST, |(_, gust)| gust)
        };
        let parked = |l: &&Limit| l.when == When::Stand;
        let own = self
            .figure_wind
            .as_ref()
            .map(|w| (least(&mut w.limits.iter()), least(&mut w.limits.iter().filter(parked))));
        let strongest = super::wind_limit::STRONGEST;
        let (mut run, mut stand) = own.unwrap_or((strongest, strongest));
        let figure = (run, stand);
        for wind in self.limbs.iter_mut().filter_map(|l| l.wind.as_mut()) {
            wind.max_run = figure.0.min(least(&mut wind.limits.iter()));
            wind.max_stand = figure.1.min(least(&mut wind.limits.iter().filter(parked)));
            run = run.min(wind.max_run);
            stand = stand.min(wind.max_stand);
        }
        if let Some(wind) = &mut self.figure_wind {
            (wind.max_run, wind.max_stand) = (run, stand);
        }
    }

    /// A finding for each limit that does not pass at the gust it is asked for.
    fn wind_findings(&mut self) {
        let winds = self.site.winds;
        let figure = &*self.fitted.figure;
        let system = figure.system;
        let mut found = Vec::new();
        let mut judge = |limit: &Limit, place: Place, limb: Option<&str>| {
            let gust = if limit.when == When::Run { winds.run } else { winds.stand };
            if limit.passes(gust) || told_of_motor(limit) {
                return;
            }
            let Some(severity) = limit.severity(self.site.winds_said) else { return };
            let above = limit.gust();
            let help = format!("{} As it is, {}", limit.help, verdict(limit, above, system));
            found.push(
                Finding::new(limit.code, place, limit.message(gust, system))
                    .with_severity(severity)
                    .help(help)
                    .about(&figure.name.value, limb),
            );
        };
        for (limb, loaded) in figure.limbs.iter().zip(&self.limbs) {
            for limit in loaded.wind.iter().flat_map(|w| &w.limits) {
                judge(limit, limb.name.place, Some(&limb.name.value));
            }
        }
        for limit in self.figure_wind.iter().flat_map(|w| &w.limits) {
            judge(limit, figure.board.place.unwrap_or(figure.name.place), None);
        }
        self.findings.append(&mut found);
        for index in 0..figure.limbs.len() {
            self.without_a_limit(index);
        }
    }

    /// Checks of a limb that know no gust: washers behind the board, threads, humming.
    fn without_a_limit(&mut self, index: usize) {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let Some(wind) = &self.limbs[index].wind else { return };
        let mut found = Vec::new();
        let mut unsaid = Vec::new();
        let outlined = !left_out(limb, "outline") && !left_out(limb, "sheet");
        if let Some(v) = wind.flutters.filter(|v| outlined && v.0 < self.site.winds.run.0) {
            let help = "stiffen it with a batten, or make it shorter.";
            let mut steps: Vec<Step> = wind.flutter_inputs.iter().map(Input::step).collect();
            steps.push(Step::new("it flutters near, f b/0.15", "", {
                format!("{} m/s", decimal(v.0, 2))
            }));
            found.push((&LIMB_HUMS, hums(limb, v, figure.system), help.to_owned(), steps));
        }
        found.extend(small_washers(limb, outlined, figure.system));
        found.extend(thread(figure, limb));
        if limb.bolt.is_some()
            && !left_out(limb, "bolt")
            && limb.mount == Mount::Front
            && limb.carrier.is_none()
            && limb.build.bolt_length.is_none()
        {
            let what = "whether the thread of its bolt turns in the bushing (how long the bolt is)";
            unsaid.push(Note::new(what, "bolt M8 length 100 mm"));
        }
        for (code, message, help, steps) in found {
            let finding = Finding::new(code, limb.name.place, message).help(help).steps(steps);
            self.findings.push(finding.about(&figure.name.value, Some(&limb.name.value)));
        }
        self.limbs[index].not_checked.append(&mut unsaid);
    }

    /// Rain, ice, heat and sun.
    fn weather_advice(&mut self) {
        let figure = &*self.fitted.figure;
        let mut say =
            |code: &'static Code, place: Place, limb: Option<&str>, message, help: &str, steps| {
                let finding = Finding::new(code, place, message).with_severity(Severity::Advice);
                let finding = finding.help(help).about(&figure.name.value, limb);
                self.findings.push(finding.steps(steps));
            };
        let fluted = |s: &SheetType| s.material == Some(Material::Corrugated);
        if let (Some(sheet), Some(_), Some(place)) =
            (&figure.board.sheet, &figure.board.outline, figure.board.place)
            && fluted(sheet)
        {
            let message = format!(
                "the board of {} is of a sheet that sunlight makes brittle.",
                figure.name.value
            );
            say(&SUN_BRITTLE, place, None, message, SUN_HELP, Vec::new());
        }
        for limb in &figure.limbs {
            let Some(sheet) = limb.sheet.as_deref().filter(|s| fluted(s)) else { continue };
            if left_out(limb, "sheet") || limb.poisoned {
                continue;
            }
            let (own, name, place) = (&limb.name.value, limb.said(), limb.name.place);
            if limb.build.flutes == Some(Flutes::Along) && upright(limb) {
                let message = format!("the flutes of {name} run up and down, open to the rain.");
                let help = "tape the upper ends, leave the lower ones open, and write `seen-to rain-trap`.";
                say(&RAIN_TRAP, place, Some(own), message, help, Vec::new());
            }
            let message = format!("{name} is of a sheet that sunlight makes brittle.");
            say(&SUN_BRITTLE, place, Some(own), message, SUN_HELP, Vec::new());
            if let Some(areal) = sheet.mass.filter(|m| m.0 < ICE) {
                let message = format!(
                    "{} of ice weighs {}, {name} itself {}.",
                    print::size(Mm(1.0), 0, figure.system),
                    print::areal(ICE, figure.system),
                    print::areal_in(areal.0, figure.system)
                );
                let help = "do not start it iced: free it by hand first, with the power off; where somebody does, \
                            write `seen-to ice-loads`.";
                let kg = |v: f64| format!("{} kg/m2", decimal(v, 3));
                let steps = vec![
                    Step::new("ice", "", "1 mm"),
                    Step::new("weight of ice, by thickness", "0.9 x 1", kg(ICE)),
                    Step::new("its sheet", "", kg(areal.0)),
                ];
                say(&ICE_LOADS, place, Some(own), message, help, steps);
            }
        }
    }
}

/// What is told: the code, the sentence, what to do, and the sum behind it.
type Found = (&'static Code, String, String, Vec<Step>);

/// "stop it above 9.1 m/s.", "take it in above 9.1 m/s."
fn verdict(limit: &Limit, above: MetrePerSec, system: System) -> String {
    if above.0 <= 0.0 {
        return "it does not pass in still air either.".to_owned();
    }
    let gust = print::gust(above, system);
    match limit.when {
        When::Run => format!("stop it above {gust}."),
        When::Stand => format!("bring it in above {gust}."),
    }
}

fn hums(limb: &Limb, v: MetrePerSec, system: System) -> String {
    let (name, wind) = (limb.said(), print::wind(v, system));
    match typical_sheet(limb) {
        Some(_) => format!("{name} will flutter near {wind}; computed for a typical sheet."),
        None => format!("{name} will flutter near {wind}."),
    }
}

/// Whether a limb points within 45 deg of straight up or down as drawn.
fn upright(limb: &Limb) -> bool {
    limb.drawn().is_some_and(|(_, axis)| axis.y().abs() > axis.x().abs())
}

/// Washers of a limb behind the board, which its thin sheet alone would not hold
/// upright.
fn small_washers(limb: &Limb, outlined: bool, system: System) -> Option<Found> {
    let (washer, left_out) = washer(limb)?;
    let reach = limb.silhouette()?.bounds().high.x;
    if !on_sheet_alone(limb) || left_out || !outlined || washer.0 >= reach / 8.0 {
        return None;
    }
    let (name, wanted) = (limb.said(), print::size_up(Mm(reach / 8.0), system));
    let message = format!(
        "the washers of {name} measure {}; {}, {} long, it wants {wanted}.",
        print::size(washer, 1, system),
        if limb.carrier.is_some() { "on a limb's sheet alone" } else { "behind the board" },
        print::size(Mm(reach), 0, system)
    );
    let help = format!("use washers of {wanted} on both sides, or a second board behind it.");
    let steps = vec![
        Step::new("it reaches from its bolt", "", print::fine(Mm(reach), system)),
        Step::new("washer wanted", format!("{}/8", print::fine_in(Mm(reach), system)), {
            print::fine(Mm(reach / 8.0), system)
        }),
        Step::new("its washer", "", print::fine(washer, system)),
    ];
    Some((&LIMB_ROCKS, message, help, steps))
}

/// A bolt whose shank is shorter than the bushing.
fn thread(figure: &Figure, limb: &Limb) -> Option<Found> {
    let (bolt, length) = (limb.bolt.as_ref()?, limb.build.bolt_length?.0);
    let held = held_over(figure, limb).filter(|h| !h.left_out)?.length;
    let d = bolt.diameter.0;
    let thread = |l: f64| 2.0 * d + if l > 125.0 { 12.0 } else { 6.0 };
    let shank = length - thread(length);
    if limb.mount == Mount::Behind || shank >= held {
        return None;
    }
    let system = figure.system;
    let say = |mm: f64| print::size(Mm(mm), 0, system);
    let message = format!(
        "the smooth shank of a {} of {} is {} long, the bushing of {} {}.",
        bolt.name,
        say(length),
        say(shank.max(0.0)),
        limb.said(),
        say(held)
    );
    let needs = held + thread(held + thread(held));
    // Bolts are sold in whole centimetres, or quarters of an inch.
    let step = if system == System::Inch { 6.35 } else { 10.0 };
    let help = format!("take a bolt of {} or more.", say((needs / step).ceil() * step));
    let more = if length > 125.0 { 12.0 } else { 6.0 };
    let mm = |v: f64| format!("{} mm", decimal(v, 2));
    let steps = vec![
        Step::new("bolt", "", mm(d)),
        Step::new("its length", "", mm(length)),
        Step::new("its thread, 2 d and some", format!("2 x {} + {more}", decimal(d, 2)), {
            mm(thread(length))
        }),
        Step::new(
            "its shank",
            format!("{} - {}", decimal(length, 2), decimal(thread(length), 2)),
            mm(shank),
        ),
        Step::new("length of the bushing", "", mm(held)),
    ];
    Some((&THREAD_IN_BUSHING, message, help, steps))
}
