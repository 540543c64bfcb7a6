//! Schedules, as JSON and as a table.

use std::sync::Arc;

use serde::Deserialize;

use super::fixtures::{compiled, performance, rows_of_bears};
use super::schema::faults;
use yardwright::emit::schedule::outputs;

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadSchedule {
    schema: u32,
    show: String,
    figure: String,
    title: Option<String>,
    duration_s: f64,
    time: String,
    sound_heard_at_s: Option<f64>,
    channels: Vec<ReadChannel>,
    notice: String,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadChannel {
    name: String,
    limbs: Vec<String>,
    kind: String,
    unit: String,
    between_keys: String,
    largest_error: f64,
    keys: Vec<ReadKey>,
}

#[derive(Deserialize, Debug, PartialEq)]
#[serde(deny_unknown_fields)]
struct ReadKey {
    at_s: f64,
    value: f64,
}

fn written() -> Vec<(String, String)> {
    let mut all = compiled(rows_of_bears(2));
    all.performances = vec![Arc::new(performance())];
    let files = outputs(&all).unwrap().into_iter();
    files.map(|o| (o.path, String::from_utf8(o.bytes).unwrap())).collect()
}

#[test]
fn every_figure_gets_its_two_files_and_all_the_notice() {
    let names: Vec<String> = written().into_iter().map(|(path, _)| path).collect();
    assert_eq!(
        names,
        ["schedule/evening/bear.json", "schedule/evening/bear.csv", "schedule/READ-FIRST.txt"]
    );
}

#[test]
fn the_schedule_reads_back_and_keeps_its_schema() {
    let (_, text) = &written()[0];
    let value: serde_json::Value = serde_json::from_str(text).unwrap();
    assert_eq!(faults("schedule.schema.json", &value), Vec::<String>::new());
    let schedule: ReadSchedule = serde_json::from_str(text).unwrap();
    assert_eq!((schedule.schema, schedule.duration_s), (1, 123.46));
    // The fixture's player is 180 ms late.
    assert_eq!(schedule.sound_heard_at_s, Some(0.18));
    assert_eq!((schedule.show.as_str(), schedule.figure.as_str()), ("evening", "bear"));
    assert!(schedule.title.is_none() && schedule.time.contains("seconds"));
    assert!(schedule.notice.contains("no check") && schedule.notice.contains("local codes"));
    let meanings: Vec<(&str, &str, &str)> = schedule
        .channels
        .iter()
        .map(|c| (c.kind.as_str(), c.unit.as_str(), c.between_keys.as_str()))
        .collect();
    assert_eq!(
        meanings,
        [("speed", "rpm", "hold"), ("angle", "deg", "line"), ("switch", "1", "hold")]
    );
    let head = &schedule.channels[1];
    assert_eq!((head.name.as_str(), head.largest_error, head.limbs.len()), ("head", 0.2505, 2));
    assert_eq!(head.keys[1], ReadKey { at_s: 1.25, value: 35.0 });
}

// RFC 4180: CRLF after every record, as many fields in each.
#[test]
fn the_table_says_the_same_as_the_json() {
    let files = written();
    let schedule: ReadSchedule = serde_json::from_str(&files[0].1).unwrap();
    let table = &files[1].1;
    assert!(table.ends_with("\r\n") && !table.replace("\r\n", "").contains(['\r', '\n']));
    let mut rows = table.split_terminator("\r\n").map(|r| r.split(',').collect::<Vec<_>>());
    let heads = rows.next().unwrap();
    assert_eq!(heads.join(" "), "channel limbs kind unit between_keys largest_error at_s value");
    let keys: Vec<(String, ReadKey)> = rows
        .map(|r| {
            assert_eq!(r.len(), heads.len());
            let key = ReadKey { at_s: r[6].parse().unwrap(), value: r[7].parse().unwrap() };
            (r[0].to_owned(), key)
        })
        .collect();
    let wanted: Vec<(String, ReadKey)> = schedule
        .channels
        .into_iter()
        .flat_map(|c| c.keys.into_iter().map(move |k| (c.name.clone(), k)))
        .collect();
    assert_eq!(keys, wanted);
    assert!(!table.contains(",-0\r\n"));
}

#[test]
fn without_shows_there_is_no_schedule() {
    assert!(outputs(&compiled(rows_of_bears(2))).unwrap().is_empty());
}
