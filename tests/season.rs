//! Seasons from text to nights, calendar and run sheet.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::emit::{calendar, run_sheet};
use yardwright::season::{Left, Night};
use yardwright::source::MemoryDisk;

fn compile(place: &str, season: &str) -> Compiled {
    let text = format!(
        "yard orchard {{ title \"Nuts; bolts, \\ & <lights>\"  size 10 m by 8 m  place {place} }}
song tune {{ meter 4/4  tempo 120 bpm  section whole bar 1 for 30 bars }}
show evening with tune {{
  bar 30 all rest
}}
season autumn {{
{season}
}}"
    );
    let mut disk = MemoryDisk::new();
    disk.put("/p/main.yard", text);
    Compiler::new(disk).compile(Path::new("/p/main.yard")).unwrap()
}

const LONDON: &str = "51.5 deg -0.13 deg zone \"Europe/London\"";

fn codes(c: &Compiled) -> Vec<&str> {
    c.findings.iter().map(|f| f.code.word).collect()
}

fn clocks(night: &Night) -> Vec<String> {
    night.runs.iter().map(|r| r.start.strftime("%H:%M %:z").to_string()).collect()
}

#[test]
fn quiet_nights_end_early_and_the_week_wraps() {
    let c = compile(
        LONDON,
        "nights 2027-10-22 to 2027-10-31 except 2027-10-25
  first 18:30  runs 5 of evening every 25 min
  end by 21:30  on sun to thu end by 20:00",
    );
    assert_eq!(codes(&c), ["runs-left-out"]);
    let nights = &c.programmes[0].nights;
    // Ten dates, one left out.
    assert_eq!(nights.len(), 9);
    // 22 October 2027 is a Friday.
    assert_eq!(clocks(&nights[0]).len(), 5);
    assert_eq!(clocks(&nights[1]).len(), 5, "Saturday");
    // 18:30, 18:55, 19:20 and 19:45 are over by 20:00; 20:10 is not.
    assert_eq!(
        clocks(&nights[2]),
        ["18:30 +01:00", "18:55 +01:00", "19:20 +01:00", "19:45 +01:00"]
    );
    assert_eq!(nights[2].left, Some(Left::TooLate(1)));
    assert_eq!(nights[3].date.to_string(), "2027-10-26", "the 25th is left out");
    // Clocks go back in the night to 31 October 2027; the runs stay at their clock.
    assert_eq!(clocks(&nights[8])[0], "18:30 +00:00");
    let end = nights[0].runs[0].end.duration_since(&nights[0].runs[0].start);
    assert_eq!(end.as_secs(), 60, "30 bars of 4 beats at 120 bpm");
}

/// People add it up: the printed dusk and the printed start are the written minutes apart.
#[test]
fn printed_dusk_and_start_are_as_far_apart_as_written() {
    let c = compile(
        LONDON,
        "nights 2027-10-22 to 2027-10-31\n  first dusk + 20 min  runs 1 of evening",
    );
    let page = String::from_utf8(run_sheet::outputs(&c).remove(0).bytes).unwrap();
    let minutes = |cell: &str| {
        let (h, m) = cell.split('<').next().unwrap().split_once(':').unwrap();
        h.parse::<i32>().unwrap() * 60 + m.parse::<i32>().unwrap()
    };
    let mut rows = 0;
    for row in page.split("<tr><td").skip(1) {
        let cells: Vec<&str> = row.split('>').filter(|c| c.contains(':')).collect();
        // Sunset, dusk, start.
        assert_eq!(minutes(cells[2]) - minutes(cells[1]), 20, "{row}");
        rows += 1;
    }
    assert_eq!(rows, 10);
}

#[test]
fn dusk_moves_and_starts_fall_on_whole_minutes() {
    let c = compile(
        LONDON,
        "nights 2027-10-22 to 2027-10-31\n  first dusk + 20 min  runs 1 of evening",
    );
    assert_eq!(codes(&c), [""; 0]);
    let nights = &c.programmes[0].nights;
    for night in nights {
        let (dusk, start) = (night.dusk.as_ref().unwrap(), &night.runs[0].start);
        let after = start.duration_since(dusk).as_secs();
        assert!((1200..1260).contains(&after) && start.second() == 0, "{dusk} {start}");
    }
    assert!(nights[8].dusk.as_ref().unwrap().time() < nights[0].dusk.as_ref().unwrap().time());
}

#[test]
fn what_keeps_a_calendar_from_being_made_is_noted() {
    let noted = |place: &str, season: &str| {
        let c = compile(place, season);
        assert!(c.programmes.is_empty());
        assert_eq!(codes(&c), [""; 0]);
        c.yard.not_checked.iter().map(|n| n.what.clone()).collect::<Vec<_>>()
    };
    let whole = "nights 2027-10-22 to 2027-10-31  first 18:30  runs 1 of evening";
    let told = |why: &str| [format!("calendar of autumn ({why})")];
    assert_eq!(noted("51.5 deg -0.13 deg", whole), told("no place with a time zone"));
    assert_eq!(noted(LONDON, "first 18:30  runs 1 of evening"), told("no nights"));
    assert_eq!(noted(LONDON, "nights 2027-10-22 to 2027-10-31  first 18:30"), told("no runs"));
}

#[test]
fn a_slip_in_the_zone_is_told_with_what_was_meant() {
    let c = compile(
        "51.5 deg -0.13 deg zone \"Europe/Londn\"",
        "nights 2027-10-22 to 2027-10-31  first 18:30  runs 1 of evening",
    );
    assert_eq!(codes(&c), ["zone-unknown"]);
    assert_eq!(c.findings[0].fixes[0].edits[0].text, "\"Europe/London\"");
}

fn ics(c: &Compiled) -> String {
    String::from_utf8(calendar::outputs(c).remove(0).bytes).unwrap()
}

/// What RFC 5545 asks of every calendar: 3.1 (lines), 3.4 and 3.6 (what must stand
/// in it), 3.6.5 (every zone that is used is described).
#[test]
fn the_calendar_is_one() {
    let season =
        "nights 2027-10-29 to 2027-11-01\n  first dusk + 20 min  runs 2 of evening every 25 min";
    let text = ics(&compile(LONDON, season));
    assert!(text.split("\r\n").all(|l| l.len() <= 75 && !l.contains('\n')));
    let unfolded = text.replace("\r\n ", "");
    let lines: Vec<&str> = unfolded.split("\r\n").collect();
    let count = |start: &str| lines.iter().filter(|l| l.starts_with(start)).count();
    assert_eq!(lines[..2], ["BEGIN:VCALENDAR", "VERSION:2.0"]);
    assert_eq!((count("PRODID:"), count("END:VCALENDAR"), count("BEGIN:VTIMEZONE")), (1, 1, 1));
    // Four nights, two runs each.
    let events = 4 + 8;
    assert_eq!(count("BEGIN:VEVENT"), events);
    for must in ["UID:", "DTSTAMP:", "DTSTART;TZID=Europe/London:", "DTEND;TZID=Europe/London:"] {
        assert_eq!(count(must), events, "{must}");
    }
    let mut uids: Vec<&&str> = lines.iter().filter(|l| l.starts_with("UID:")).collect();
    uids.sort();
    uids.dedup();
    assert_eq!(uids.len(), events);
    assert!(unfolded.contains("SUMMARY:Nuts\\; bolts\\, \\\\ & <lights>: 2 runs"));
    // The clocks of 2027: summer time from 28 March 01:00 UTC to 31 October 01:00 UTC
    // (tz database). The change before the first night and the one between are there.
    let zone = &unfolded[..unfolded.find("END:VTIMEZONE").unwrap()];
    assert!(zone.contains(
        "BEGIN:DAYLIGHT\r\nDTSTART:20270328T010000\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0100"
    ));
    assert!(zone.contains(
        "BEGIN:STANDARD\r\nDTSTART:20271031T020000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0000"
    ));
    assert_eq!(text, ics(&compile(LONDON, season)), "same yard, same bytes");
}

#[test]
fn a_zone_that_never_changes_is_described_too() {
    let text = ics(&compile(
        "-33 deg 151 deg zone \"Etc/GMT-10\"",
        "nights 2027-10-29 to 2027-10-29  first 19:00  runs 1 of evening",
    ));
    assert!(text.contains("TZOFFSETFROM:+1000\r\nTZOFFSETTO:+1000\r\nEND:STANDARD"));
}

#[test]
fn the_run_sheet_holds_names_as_text() {
    let c = compile(
        LONDON,
        "nights 2027-10-29 to 2027-10-30\n  first 19:00  runs 2 of evening every 25 min",
    );
    let page = String::from_utf8(run_sheet::outputs(&c).remove(0).bytes).unwrap();
    assert!(page.contains("Nuts; bolts, \\ &amp; &lt;lights&gt;"));
    assert!(
        page.contains("19:00 \u{b7} 19:25") && page.contains("19:26") && page.contains("24 min")
    );
}

/// Who stands at the switch holds these pages, not the report: a figure that must stop
/// before the yard's own gust stands on them, with the gust the report says.
#[test]
fn a_weak_figure_is_named_where_people_read_on_the_night() {
    let text = format!(
        "use parts
yard orchard {{ size 10 m by 8 m  place {LONDON}  wind run 7 m/s }}
song tune {{ meter 4/4  tempo 120 bpm  section whole bar 1 for 30 bars }}
show evening with tune {{ bar 30 all rest }}
season autumn {{ nights 2027-10-29 to 2027-10-30  first 19:00  runs 1 of evening }}
set baker at (5 m, 4 m) facing south
figure baker {{
  board plywood-9  27 in by 61 in
  limb arm {{
    pivot (20, 44) in  tip (34, 52) in
    drive four-bar {{ motor wiper at (14, 30) in  crank 1 1/2 in }}
    gesture stir {{ sweep 10 deg to 55 deg  cycle 2 s }}
  }}
}}"
    );
    let mut disk = MemoryDisk::new();
    disk.put("/p/main.yard", text);
    let c = Compiler::new(disk).compile(Path::new("/p/main.yard")).unwrap();
    let bears = c.loads[0].limbs[0].wind.as_ref().unwrap().max_run.0;
    assert!(bears < 7.0, "{bears}");
    let said = format!("baker stops above {:.1} m/s", (bears * 10.0).floor() / 10.0)
        .replace(".0 m/s", " m/s");
    let calendar = ics(&c).replace("\r\n ", "").replace("\\,", ",");
    let sheet = String::from_utf8(run_sheet::outputs(&c).remove(0).bytes).unwrap();
    for page in [calendar, sheet] {
        assert!(page.contains(&format!("gusts of 7 m/s, but {said}")), "{said}\n{page}");
    }
}

/// Nine nights from 22 to 31 October without the 25th, five runs each; laid up from the 26th,
/// so that three nights are left to it.
#[test]
fn a_figure_laid_up_amid_a_season_plays_the_nights_before() {
    let yard = |laid_up: &str| {
        let text = format!(
            "use parts
yard y {{ size 18 m by 10 m  place 51.8 deg -2.3 deg zone \"Europe/London\" }}
supply shed at (17 m, 9 m) {{ voltage 12 V  limit 30 A  cable 2.5 mm2  fuse 5 A }}
set bear at (5 m, 4 m) facing south
set cub like bear at (9 m, 4 m) facing south
{laid_up}
figure bear {{
  board plywood-9 620 mm by 1350 mm  power shed run 13 m
  limb arm {{
    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6
    drive four-bar {{ motor wiper at (310, 806) mm  limit 4 A  crank 30 mm  rod ?  lever 80 mm at ? }}
    gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 2.5 s }}
  }}
}}
show evening {{ 0:10 bear.arm hit for 20 s
  0:20 cub.arm hit for 10 s }}
season autumn {{ nights 2027-10-22 to 2027-10-31 except 2027-10-25  first 18:00
  runs 5 of evening every 25 min }}
"
        );
        let disk = MemoryDisk::new().with("/yard/a.yard", text);
        let mut compiler = Compiler::new(disk);
        let compiled = compiler.compile(Path::new("/yard/a.yard")).unwrap();
        let files = yardwright::emit::outputs(&compiled, compiler.sources()).unwrap();
        (compiled, files)
    };
    let plays = |laid_up: &str| {
        let (compiled, files) = yard(laid_up);
        let schedules = files.iter().filter(|f| f.path.starts_with("schedule/evening"));
        let mut schedules: Vec<String> = schedules
            .filter(|f| f.path.ends_with(".json"))
            .map(|f| f.path.trim_start_matches("schedule/evening/").to_owned())
            .collect();
        schedules.sort();
        let hours = compiled.power.wear.iter().map(|w| w[0].hours * 3600.0).collect::<Vec<_>>();
        let night = compiled.power.supplies[0].night.unwrap();
        let told = compiled.findings.iter().filter(|f| f.code.word == "cues-lost").count();
        (schedules, hours, night, told)
    };
    let (files, hours, night, told) = plays("");
    assert_eq!(files, ["bear.json", "cub.json"]);
    assert!((hours[0] - 45.0 * 20.0).abs() < 1e-6 && (hours[1] - 45.0 * 10.0).abs() < 1e-6);
    assert_eq!(told, 0);
    // On the nights of the 22nd to the 24th the cub plays; a supply is to last those.
    let (files, hours, early, told) = plays("laid-up cub from 2027-10-26 \"stripped gear\"");
    assert_eq!(files, ["bear.json", "before-2027-10-26/cub.json"]);
    assert!((hours[0] - 45.0 * 20.0).abs() < 1e-6 && (hours[1] - 15.0 * 10.0).abs() < 1e-6);
    assert!((early - night).abs() < 1e-9);
    assert_eq!(told, 1);
    // From the first night on there is none before it, and after the last none is missed.
    let (files, hours, none, told) = plays("laid-up cub from 2027-10-22");
    assert_eq!((files, told), (vec!["bear.json".to_owned()], 1));
    assert!(hours[1] == 0.0 && none < night - 1e-3);
    let (files, hours, _, told) = plays("laid-up cub from 2027-11-01");
    assert_eq!((files.len(), told), (2, 0));
    assert!((hours[1] - 45.0 * 10.0).abs() < 1e-6);

    let (_, files) = yard("laid-up cub from 2027-10-26 \"stripped gear\"");
    let text = |path: &str| {
        let file = files.iter().find(|f| f.path == path).unwrap();
        String::from_utf8(file.bytes.to_vec()).unwrap()
    };
    let cub: serde_json::Value =
        serde_json::from_str(&text("schedule/evening/before-2027-10-26/cub.json")).unwrap();
    assert_eq!(cub["only_before"], "2027-10-26");
    let report: serde_json::Value = serde_json::from_str(&text("report.json")).unwrap();
    let nights = report["seasons"][0]["nights"].as_array().unwrap();
    let without =
        |date: &str| nights.iter().find(|n| n["date"] == date).unwrap().get("without").cloned();
    assert_eq!(without("2027-10-24"), None);
    assert_eq!(without("2027-10-26"), Some(serde_json::json!(["cub"])));
    let calendar = text("season.ics").replace("\r\n ", "");
    assert_eq!(calendar.matches("Without cub\\, laid up.").count(), 6);
    for page in ["run-sheet.html", "schedule/READ-FIRST.txt"] {
        let flat = text(page).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("cub is laid up from 2027-10-26 on (stripped gear)"), "{flat}");
    }
    // The plan's label and note, and the list of figures.
    let (plan, page) = (text("plan.svg"), text("report.html"));
    assert!(plan.contains("cub, laid up from 2027-10-26"), "{plan}");
    assert!(plan.contains("Laid up from 2027-10-26: cub."), "{plan}");
    assert!(page.contains("laid up from 2027-10-26</td>"), "{page}");
}
