//! The commands from outside: words in, two streams, an exit code and files out.

mod broken;
mod building;
mod limbs;
mod running;
mod solving;

use crate::support::Yard;

/// The nine-line first yard.
pub const BAKER: &str = include_str!("../src/cli/first.yard");

#[test]
fn words_that_are_not_understood_end_with_two() {
    let yard = Yard::new();
    yard.run("chek a.yard").exits(2).says_nothing().talks("chek").talks("check");
    // Help that is asked for by a word nobody knows says which words there are.
    for words in ["help chek", "chek a.yard"] {
        yard.run(words).exits(2).says_nothing().talks("The commands: check, build, watch");
    }
    yard.run("help explain").exits(0).says("--for");
    yard.run("check").exits(2).says_nothing().talks("FILE");
    yard.run("check a.yard --units stone").exits(2).talks("metric");
    yard.run("holes a.yard bear").exits(2).talks("FIGURE.LIMB, for example bear.left-arm");
}

#[test]
fn commands_of_later_versions_are_not_offered() {
    let yard = Yard::new();
    let help = yard.run("--help");
    help.exits(0).is_quiet();
    for word in ["listen", "perform", "fmt", "lsp"] {
        assert!(!help.stdout().contains(&format!("\n  {word}")), "{word} is offered");
        yard.run(&format!("{word} a.yard")).exits(2);
    }
}

#[test]
fn json_stays_json_whatever_is_wrong() {
    let yard = Yard::new().file("sub/x.yard", "");
    for words in [
        "check none.yard --format json",
        "build none.yard --format json",
        "solve none.yard --format=json",
        "holes none.yard a.b --format json",
        "watch none.yard --format json",
        "explain --for a.b none.yard --format json",
        "check sub --format json",
        "check --format json",
        "--format json",
        "chek --format json a.yard",
        "check a.yard b.yard --format json",
        "check a.yard --format json --units stone",
        "explain no-such-code --format json",
        "check a.yard --format json --try a.b.motor=c",
    ] {
        let ran = yard.run(words);
        let json = ran.exits(2).json();
        assert_eq!(json["schema"], 1, "{words}");
        assert_eq!(json["ok"], false, "{words}");
        let first = &json["diagnostics"][0];
        assert_eq!(first["severity"], "error", "{words}");
        assert!(first["message"].as_str().unwrap().len() > 10, "{words}");
    }
    assert_eq!(yard.run("check --help --format json").exits(0).json()["ok"], true);
}

#[test]
fn a_file_that_cannot_be_read_is_said_with_its_name() {
    let yard = Yard::new();
    yard.run("check bakr.yard")
        .exits(2)
        .says_nothing()
        .talks("bakr.yard cannot be read: there is no such file.");
}

#[test]
fn another_motor_is_tried_without_a_change_to_the_file() {
    let yard = Yard::new().file("a.yard", BAKER);
    let as_written = yard.run("check a.yard").exits(0).stdout();
    let tried = yard.run("check a.yard --try baker.arm.motor=wiper-fast").exits(0).stdout();
    assert!(as_written.contains("45 free") && tried.contains("68 free"), "{tried}");
    let drill = |text: &str| text.lines().find(|l| l.contains("drill")).map(str::to_owned);
    assert_eq!(drill(&as_written), drill(&tried), "the same holes");
    yard.run("check a.yard --try baker.arm.motor=wipr").exits(2).talks("Did you mean wiper?");
    yard.run("check a.yard --try baker.leg.motor=wiper").exits(2).talks("It has arm.");
    yard.run("check a.yard --try baker.arm.motor=servo-micro").exits(2).talks("is a servo motor");
    yard.run("solve a.yard --try baker.arm.motor=wiper").exits(2).talks("goes with `check` only");
    yard.run("check a.yard --try baker=gear").exits(2).talks("FIGURE.LIMB.motor=NAME");
}

#[test]
fn codes_are_explained_and_slips_are_met() {
    let yard = Yard::new();
    yard.run("explain").exits(0).says("file-unreadable").talks("yardwright explain CODE");
    yard.run("explain file-unreadable").exits(0).says("the yard itself cannot be read").is_quiet();
    yard.run("explain file-unreadible").exits(2).says_nothing().talks("Did you mean `file-unread");
    let json = yard.run("explain usage --format json").exits(0).json();
    assert_eq!(json["code"], "usage");
    assert!(json.get("formula").is_none(), "what a code does not have is absent");
    let json = yard.run("explain --format json").exits(0).json();
    assert!(json["stages"].as_array().unwrap().iter().all(|s| s["codes"].is_array()));
}

#[test]
fn a_first_yard_is_made_once() {
    let yard = Yard::new();
    yard.run("new lane/orchard")
        .exits(0)
        .is_quiet()
        .says("yardwright check lane/orchard/first.yard")
        .says("yardwright watch lane/orchard/first.yard")
        .leaves(&["lane/orchard/first.yard"]);
    yard.write("lane/orchard/first.yard", "mine");
    yard.run("new lane/orchard").exits(2).says_nothing().talks("nothing is overwritten");
    assert_eq!(yard.read("lane/orchard/first.yard"), "mine");
    let json = yard.run("new other --format json").exits(0).json();
    assert_eq!(json["next"].as_array().unwrap().len(), 2);
}

#[test]
fn shells_get_their_completions() {
    let yard = Yard::new();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        yard.run(&format!("completions {shell}"))
            .exits(0)
            .is_quiet()
            .says("yardwright")
            .says("holes");
    }
    yard.run("completions abacus").exits(2);
}

#[cfg(unix)]
#[test]
fn nobody_reading_on_is_success() {
    use std::process::Stdio;
    let yard = Yard::new();
    let mut child = yard
        .command(&["completions", "zsh"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Closed before anything can be read from it.
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
}
