//! Bench cards and the wiring card.

use super::{Shop, clamp, crank_set};
use crate::check::Compiled;
use crate::emit::paper::flow::{Block, GAP, MOST};
use crate::emit::paper::{Cell, Drawing, Table, fitted, lines, width};
use crate::emit::svg::{Hang, Line, Rect};
use crate::emit::words::decimal;
use crate::fit::Pose;
use crate::make::BenchCard;
use crate::model::{DriveKind, PulseAt, Turn};
use crate::power::CableLoad;
use crate::units::{System, print};

/// Width of a card: two stand side by side.
const WIDE: f64 = (MOST.0 - GAP) / 2.0;
/// Height of a line.
const LEAD: f64 = 4.4;
/// Size of its words.
const SIZE: f64 = 2.8;

/// A card for each limb that moves, then the wiring card.
pub fn blocks(shop: &Shop<'_>) -> Vec<Block> {
    let limbs = shop.made.limbs.iter().enumerate();
    let moved = limbs.filter(|(n, _)| shop.limb(*n).drive.is_some() && !shop.limb(*n).poisoned);
    let mut blocks: Vec<Block> = moved.map(|(n, made)| bench(shop, n, &made.bench)).collect();
    blocks.extend(wiring(shop));
    blocks
}

/// Name and value in lines under a head, in a box.
fn card(head: &str, about: &str, rows: &[(String, String)], foot: &str) -> Block {
    let mut to = Drawing::default();
    to.bold((3.0, 5.4), 3.8, Hang::Start, &fitted(head, 3.8, true, WIDE - 6.0));
    to.text((3.0, 9.4), 2.4, Hang::Start, &fitted(about, 2.4, false, WIDE - 6.0));
    to.line(Line::Narrow, (0.0, 11.2), (WIDE, 11.2));
    let mut y = 15.4;
    for (name, value) in rows {
        to.text((3.0, y), SIZE, Hang::Start, &fitted(name, SIZE, false, WIDE - 8.0));
        let taken = width(name, SIZE, false) + 9.0;
        if width(value, SIZE, true) > WIDE - taken {
            y += LEAD;
        }
        to.bold((WIDE - 3.0, y), SIZE, Hang::End, &fitted(value, SIZE, true, WIDE - 6.0));
        to.line(Line::Fine, (3.0, y + 1.2), (WIDE - 3.0, y + 1.2));
        y += LEAD;
    }
    y += 0.6;
    for line in lines(foot, 2.3, false, WIDE - 6.0) {
        to.text((3.0, y), 2.3, Hang::Start, &line);
        y += 3.2;
    }
    to.rect(Line::Wide, Rect::new(0.0, 0.0, WIDE, y));
    Block { drawing: to, size: (WIDE, y) }
}

fn bench(shop: &Shop<'_>, index: usize, bench: &BenchCard) -> Block {
    let limb = shop.limb(index);
    let name = &limb.name.value;
    let pose = |p: Pose| match p {
        Pose::Turned(a) => format!("{} deg", decimal(a.0, 1)),
        Pose::Slid(l) => shop.length(l.0),
    };
    let mut rows: Vec<(String, String)> = Vec::new();
    let mut row = |name: &str, value: Option<String>| {
        rows.extend(value.map(|v| (name.to_owned(), v)));
    };
    let slides = matches!(bench.ends, Some((Pose::Slid(_), _)));
    row("low end", bench.ends.map(|e| pose(e.0)));
    row("high end", bench.ends.map(|e| pose(e.1)));
    let word = if slides { "from end to end" } else { "tip to tip, straight" };
    row(word, bench.tip_to_tip.map(|l| shop.length(l.0)));
    if let Some(set) = &shop.made.limbs[index].clamp {
        let behind = clamp::turned(set.angle, clamp::From::Behind);
        row(&format!("{} clamped, seen from behind", set.bar.name()), Some(behind));
        let pin = if set.bar.slotted { "far end of the slot" } else { "lever pin" };
        row(&format!("{pin} to tip"), set.to_tip.map(|l| shop.place(l.0)));
    }
    if let Some((set, beside)) = crank_set::turned(shop, index) {
        row("crank pin, seen from behind", Some(set));
        let first = &shop.limb(beside.first).name.value;
        let apart = beside.apart.filter(|a| a.0 >= crank_set::ALIKE);
        row(&format!("crank pin to that of {first}"), apart.map(|a| shop.place(a.0)));
    }
    for tape in &bench.tapes {
        // The end first: a long name is cut at its own end.
        row(&format!("low end: {}", tape.name), Some(shop.length(tape.low.0)));
        row(&format!("high end: {}", tape.name), Some(shop.length(tape.high.0)));
    }
    let seconds = |s: crate::units::Sec| format!("{} s", decimal(s.0, 1));
    row("ten turns, full duty, limb on", bench.ten_turns.map(seconds));
    row("ten turns, free", bench.ten_free.map(seconds));
    let (up, back) = match bench.ways_loaded {
        true => ("low end to high end", "high end to low end"),
        false => ("low end to high end, free", "high end to low end, free"),
    };
    row(up, bench.ways.map(|w| seconds(w.0)));
    row(back, bench.ways.map(|w| seconds(w.1)));
    if let (Some((low, high)), Some(motor)) = (bench.shaft_ends, shop.figure().motor_of(index)) {
        let pulses = pulses(shop.compiled, shop.at, motor, index);
        let pulse = |angle| {
            let pulse = crate::make::pulse_at(&pulses, angle)?;
            Some(format!("{} us", decimal(pulse.0 * 1e6, 0)))
        };
        row("pulse at the low end", pulse(low));
        row("pulse at the high end", pulse(high));
    }
    let amps = |a: crate::units::Amp| format!("{} A", decimal(a.0, 2));
    row("current, free", bench.free.map(amps));
    row("current, limb on", bench.loaded.map(amps));
    row("current of the first moment", bench.start.map(amps));
    row(
        "shaft turns, seen from behind",
        bench.turns_behind.map(|t| match t {
            Turn::Ccw => "counter-clockwise".to_owned(),
            Turn::Cw => "clockwise".to_owned(),
        }),
    );
    let motor = shop.figure().motor_of(index).map(|m| &shop.figure().actuators[m]);
    let about = match motor {
        Some(m) if m.name == *name => format!("motor {}", m.motor.name),
        Some(m) => format!("motor {} ({})", m.name, m.motor.name),
        None => "no motor".to_owned(),
    };
    if rows.is_empty() {
        rows.push(("nothing to measure was computed".to_owned(), String::new()));
    }
    let counted = match bench.ends {
        Some((Pose::Turned(_), _))
            if shop.compiled.figures[shop.at].limbs[index].riding.is_some() =>
        {
            "Ends are the line pivot to tip, counted counter-clockwise from the axis of the limb \
             that carries it, seen from the front. "
        }
        Some((Pose::Turned(_), _)) => {
            "Ends are the line pivot to tip, counted counter-clockwise from level right, seen from \
             the front. "
        }
        Some((Pose::Slid(_), _)) => "Ends count along the guide from its first end. ",
        None => "",
    };
    let foot = "Measured otherwise? Write it down: measured A deg to B deg, tip-to-tip and \
                ten-turns explain what was built. Hands off while it turns.";
    let head = format!("Bench card: {}.{name}", shop.name());
    let currents = match bench.currents_assumed {
        true => "Its currents rest on usual figures, not on its sheet alone. ",
        false => "",
    };
    card(&head, &about, &rows, &format!("{counted}{currents}{foot}"))
}

/// The output a motor hangs on: "post, out 1 (pwm)", and of one that no `out` names that
/// it was given out.
pub fn output(compiled: &Compiled, figure: usize, motor: usize) -> Option<String> {
    let yard = &compiled.yard;
    let wired = yard.wired(figure, motor)?;
    let controller = &yard.controllers[wired.controller].name.value;
    let signal = wired.signal.map_or(String::new(), |s| format!(" ({s})"));
    let chosen = if wired.written { "" } else { ", given out" };
    Some(format!("{controller}, out {}{signal}{chosen}", wired.number))
}

/// The pulses of a servo and their angles: of its output, where they are said there, else
/// of its drive or its sheet.
pub fn pulses(compiled: &Compiled, figure: usize, motor: usize, limb: usize) -> Vec<PulseAt> {
    let yard = &compiled.yard;
    let own = &yard.figures[figure].figure;
    let output = yard.wired(figure, motor).and_then(|wired| {
        let outputs = &yard.controllers[wired.controller].outputs;
        outputs.iter().find(|o| o.number == wired.number)
    });
    let drive = own.limbs[limb].drive.as_ref().and_then(|d| match &d.mechanism {
        DriveKind::Servo(servo) => Some(&servo.pulses),
        _ => None,
    });
    let said = [output.map(|o| &o.pulses), drive, Some(&own.actuators[motor].motor.pulses)];
    said.into_iter().flatten().find(|p| p.len() >= 2).cloned().unwrap_or_default()
}

/// The figure's cable, and those of motors with a supply of their own.
pub fn cables<'a>(compiled: &'a Compiled, figure: &str) -> Vec<&'a CableLoad> {
    compiled.power.cables.iter().filter(|c| c.figure == figure).collect()
}

/// The fuse before the figure's cable, and how it is known.
pub fn fuse(cable: &CableLoad) -> Option<String> {
    let amps = |a: crate::units::Amp| format!("{} A", decimal(a.0, 1));
    match (cable.fuse, cable.fuse_advised) {
        (Some(fuse), _) => Some(amps(fuse)),
        (None, Some(advised)) => Some(format!("{} advised", amps(advised))),
        (None, None) => None,
    }
}

fn wiring(shop: &Shop<'_>) -> Option<Block> {
    let figure = shop.figure();
    if figure.actuators.is_empty() {
        return None;
    }
    let columns = vec![
        Cell::words("motor", 34.0),
        Cell::words("kind", 30.0),
        Cell::words("moves", 44.0),
        Cell::words("controller output", 44.0),
        Cell::words("supply", 30.0),
    ];
    let rows = figure.actuators.iter().enumerate().map(|(m, a)| {
        let moves: Vec<&str> =
            figure.driven_by(m).map(|l| figure.limbs[l].name.value.as_str()).collect();
        let feed = shop.compiled.loads[shop.at].site.feed_of(m);
        let supply = feed.map(|f| {
            let volts = f.voltage.map_or(String::new(), |v| format!(", {} V", decimal(v.0, 1)));
            format!("{}{volts}", f.supply)
        });
        vec![
            a.name.clone(),
            format!("{} ({})", a.motor.name, a.motor.kind.word()),
            moves.join(", "),
            output(shop.compiled, shop.at, m).unwrap_or("no controller named".to_owned()),
            supply.unwrap_or("none named".to_owned()),
        ]
    });
    let table = Table { columns, rows: rows.take(40).collect() };
    let mut to = Drawing::default();
    let head = format!("Wiring card: {}", shop.name());
    to.bold((3.0, 5.4), 3.8, Hang::Start, &fitted(&head, 3.8, true, MOST.0 - 6.0));
    let (drawn, high) = table.draw(0..table.rows.len());
    to.lay(&drawn, (0.0, 8.0));
    let mut y = 8.0 + high + 4.5;
    for line in cable_words(shop).iter().flat_map(|w| lines(w, SIZE, false, MOST.0 - 6.0)) {
        to.text((3.0, y), SIZE, Hang::Start, &line);
        y += LEAD;
    }
    to.rect(Line::Wide, Rect::new(0.0, 0.0, MOST.0, y));
    Some(Block { drawing: to, size: (MOST.0, y) })
}

/// The cables in words.
fn cable_words(shop: &Shop<'_>) -> Vec<String> {
    let cables = cables(shop.compiled, shop.name());
    let mut words: Vec<String> = cables.iter().flat_map(|c| words_of(c, shop.system)).collect();
    if cables.is_empty() {
        words.push("No supply is named for this figure: `power NAME run 12 m`.".to_owned());
    }
    words.push(
        "Switch off before you open a box. Local codes and licensed people decide on mains."
            .to_owned(),
    );
    words
}

/// One cable in words.
fn words_of(c: &CableLoad, system: System) -> [String; 2] {
    let run = c.run.map(|r| {
        let how = if c.measured { "" } else { " (straight line and a fifth)" };
        format!("{}{how}", crate::emit::words::distance(r, system))
    });
    let conductor = c.conductor.map(|a| print::conductor(a, system));
    let thicker = c.conductor_advised.filter(|a| c.conductor.is_none_or(|own| *a > own));
    let to = if c.motors.is_empty() { String::new() } else { format!(" to {}", c.feeds()) };
    let mut cable = format!(
        "Cable from {}{to}: {}, {} each conductor.",
        c.supply,
        run.unwrap_or("length not known".to_owned()),
        conductor.unwrap_or("conductor not known, ".to_owned())
    );
    if let Some(thicker) = thicker {
        cable.push_str(&format!(" {} advised.", print::conductor(thicker, system)));
    }
    let fuse = fuse(c).unwrap_or("not known".to_owned());
    let fuse = format!(
        "Fuse before it: {fuse}. Largest current of any show {} A running, {} A with starts.",
        decimal(c.running.0, 1),
        decimal(c.peak.0, 1)
    );
    [cable, fuse]
}
