//! Files nobody wants: a clear error, the right exit code, no folder half written.

use super::BAKER;
use crate::support::{Ran, Yard};

/// A mono WAV of 16 bits at 8 kHz, its header claiming so many bytes of sound.
fn wav(samples: usize, claimed: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    bytes.extend(b"RIFF");
    bytes.extend(claimed.saturating_add(36).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(16u32.to_le_bytes());
    for half in [1u16, 1] {
        bytes.extend(half.to_le_bytes());
    }
    for word in [8000u32, 16_000] {
        bytes.extend(word.to_le_bytes());
    }
    for half in [2u16, 16] {
        bytes.extend(half.to_le_bytes());
    }
    bytes.extend(b"data");
    bytes.extend(claimed.to_le_bytes());
    bytes.resize(bytes.len() + 2 * samples, 0);
    bytes
}

/// A yard with a song in this file.
fn with_song(song: &[u8]) -> Yard {
    let text = format!(
        "{BAKER}song jig \"jig.wav\" {{\n  meter 6/8\n  tempo 116 bpm from 0.480 s\n  \
         section verse bar 1 for 8 bars\n}}\n"
    );
    Yard::new().file("a.yard", text).file("jig.wav", song)
}

/// Nothing was written, nothing panicked, and it is said so to both kinds of reader.
#[track_caller]
fn refused<'a>(yard: &'a Yard, exit: i32, code: &str) -> Ran<'a> {
    let files = yard.files();
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let ran = yard.run("build a.yard");
    ran.exits(exit).leaves(&files);
    assert!(!(ran.stdout() + &ran.stderr()).contains("fault of yardwright"));
    for words in ["check a.yard --format json", "build a.yard --format json"] {
        let json = yard.run(words).exits(exit).leaves(&files).json();
        assert_eq!(json["ok"], false);
        let list = json["diagnostics"].as_array().unwrap();
        assert!(list.iter().any(|d| d["code"] == code && d["severity"] == "error"), "{list:?}");
    }
    ran
}

#[test]
fn a_file_with_nothing_in_it() {
    for text in ["", "\n\n", "# only\n  # thoughts\r\n", "\u{feff}", " \t"] {
        let yard = Yard::new().file("a.yard", text);
        refused(&yard, 1, "yard-empty").says("a.yard has nothing in it").says("yardwright new");
    }
    // A used file may be empty: the yard is not.
    let yard = Yard::new().file("a.yard", format!("use \"b.yard\"\n{BAKER}")).file("b.yard", "");
    yard.run("check a.yard").exits(0);
}

#[test]
fn a_file_that_is_no_text() {
    for bytes in [&b"\x7fELF\x02\x01\x01\0\0"[..], b"use parts\n\xff\xfe", b"figure a {\0}"] {
        let yard = Yard::new().file("a.yard", bytes);
        refused(&yard, 2, "file-unreadable").says_nothing().talks("it is no text (byte ");
    }
    let yard = Yard::new().file("a.yard/b", "");
    refused(&yard, 2, "file-unreadable").talks("it is a folder");
    let yard = Yard::new();
    refused(&yard, 2, "file-unreadable").talks("there is no such file");
}

#[test]
fn a_used_file_that_cannot_be_read_has_its_place() {
    let yard = Yard::new().file("a.yard", format!("{BAKER}use \"gone.yard\"\n"));
    let line = BAKER.lines().count() + 1;
    refused(&yard, 1, "use-unreadable")
        .says("\"gone.yard\" cannot be read: there is no such file.")
        .says(&format!("a.yard:{line}:5]"));
    yard.write("gone.yard", b"figure \xff");
    refused(&yard, 1, "use-unreadable").says("gone.yard");
}

#[test]
fn songs_that_are_no_songs() {
    let whole = wav(80_000, 160_000);
    let cases: [(&str, Vec<u8>, &str); 6] = [
        ("truncated", whole[..5000].to_vec(), "cut off"),
        ("without a byte", Vec::new(), "the file is empty"),
        ("without a sample", wav(0, 0), "holds no sound"),
        ("no WAV", b"ID3\x03 not a song at all".to_vec(), "not a WAV"),
        ("4 GB by its header", wav(100, u32::MAX), "header claims 4294967295 bytes"),
        ("only a header's beginning", whole[..20].to_vec(), "jig.wav"),
    ];
    let line = BAKER.lines().count() + 1;
    for (what, bytes, words) in cases {
        let yard = with_song(&bytes);
        let ran = refused(&yard, 1, "song-broken");
        assert!(ran.stdout().contains(words), "{what}: no `{words}` in\n{}", ran.stdout());
        ran.says(&format!("a.yard:{line}:10]"));
    }
    let yard = with_song(&whole);
    std::fs::remove_file(yard.path("jig.wav")).unwrap();
    refused(&yard, 1, "song-missing").says("there is no such file");
    with_song(&whole).run("check a.yard").exits(0);
}

#[test]
fn a_megabyte_on_a_line_is_answered_in_a_few_words() {
    let long = |piece: &str| piece.repeat(1_000_000 / piece.len());
    for (text, code) in [
        (long("x"), "word-unknown"),
        (format!("figure a {{ {} }}", long("?")), "value-extra"),
        (format!("{BAKER}figure z {{ {} }}", long("oops ")), "word-unknown"),
    ] {
        let yard = Yard::new().file("a.yard", text);
        let ran = refused(&yard, 1, code);
        assert!(ran.stdout().len() < 200_000, "{code}: {} bytes are shown", ran.stdout().len());
        assert!(ran.stdout().contains(code));
    }
}

#[test]
fn blocks_without_end_and_numbers_that_are_none() {
    let deep = format!("figure a {}", "{ limb b ".repeat(10_000));
    let yard = Yard::new().file("a.yard", deep);
    refused(&yard, 1, "braces-too-deep");
    for size in ["0 in", "-3 in", "1e999 in", "nan in", "inf in"] {
        let text = BAKER.replace("crank 1 1/2 in", &format!("crank {size}"));
        assert_ne!(text, BAKER);
        let yard = Yard::new().file("a.yard", text);
        yard.run("build a.yard").exits(1).leaves(&["a.yard"]);
    }
    let yard = Yard::new().file("a.yard", BAKER.replace("limb arm", "limb ../x"));
    yard.run("build a.yard").exits(1).leaves(&["a.yard"]);
}
