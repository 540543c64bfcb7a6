//! `new` to `build`, and `watch` as a process: saves, errors, Ctrl-C.

use crate::support::Yard;

#[test]
fn a_first_yard_checks_and_builds() {
    let yard = Yard::new();
    yard.run("new lane").exits(0);
    let check = yard.run("check lane/first.yard");
    check.exits(0).is_quiet().says("0 errors, 0 warnings").says("yardwright build lane/first.yard");
    yard.run("build lane/first.yard").exits(0).talks("written to lane/first-out.");
    let mut files = vec!["lane/first-out/manifest.json", "lane/first-out/plan.svg"];
    files.extend(["lane/first-out/preview.html", "lane/first-out/report.html"]);
    files.push("lane/first-out/report.json");
    files.extend(["lane/first-out/weather.html", "lane/first.yard"]);
    assert_eq!(yard.files(), files);
    yard.write("here", "a file");
    yard.run("new here").exits(2).says_nothing().talks("here is a file, not a folder");
}

#[cfg(unix)]
mod watching {
    use std::io::{BufRead as _, BufReader};
    use std::process::{Child, ChildStdout, Command, Stdio};
    use std::sync::mpsc::{Receiver, channel};
    use std::time::{Duration, Instant};

    use super::super::BAKER;
    use crate::support::Yard;

    /// `watch` running as a process of its own.
    struct Watching {
        child: Child,
        lines: Receiver<String>,
    }

    fn lines_of(out: ChildStdout) -> Receiver<String> {
        let (tell, lines) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if tell.send(line).is_err() {
                    break;
                }
            }
        });
        lines
    }

    impl Watching {
        fn start(yard: &Yard, words: &[&str]) -> Self {
            let mut command = yard.command(words);
            let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
            let lines = lines_of(child.stdout.take().unwrap());
            Self { child, lines }
        }

        /// Reads on to a line with these words, and gives all lines up to it.
        #[track_caller]
        fn hears(&self, words: &str) -> String {
            let until = Instant::now() + Duration::from_secs(30);
            let mut all = String::new();
            while let Ok(line) =
                self.lines.recv_timeout(until.saturating_duration_since(Instant::now()))
            {
                all.push_str(&line);
                all.push('\n');
                if line.contains(words) {
                    return all;
                }
            }
            panic!("`{words}` was never said, only:\n{all}");
        }

        /// Ctrl-C, and the exit code.
        fn interrupted(mut self) -> Option<i32> {
            let id = self.child.id().to_string();
            assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
            self.child.wait().unwrap().code()
        }
    }

    #[test]
    fn a_watch_writes_keeps_and_ends_with_nought() {
        let yard = Yard::new().file("a.yard", BAKER);
        let watch = Watching::start(&yard, &["watch", "a.yard"]);
        watch.hears("5 files renewed in a-out");
        let report = yard.read("a-out/report.json");
        // A slip: everything stays as it was.
        yard.write("a.yard", BAKER.replace("pivot", "pviot"));
        let told = watch.hears("The output stays as it was.");
        assert!(
            told.contains("a.yard changed") && told.contains("did you mean `pivot`?"),
            "{told}"
        );
        assert_eq!(yard.read("a-out/report.json"), report);
        // Emptied, as some editors do while they save: no reason to lose the output.
        yard.write("a.yard", "");
        watch.hears("The output stays as it was.");
        assert_eq!(yard.read("a-out/report.json"), report);
        // Mended with another swing: what changed is told, and nothing else is left.
        yard.write("a.yard", BAKER.replace("to 55 deg", "to 50 deg"));
        let told = watch.hears("renewed in a-out");
        assert!(told.contains("baker.arm  swing 44.") && told.contains(" -> "), "{told}");
        assert!(told.contains(" ms)"), "{told}");
        assert_ne!(yard.read("a-out/report.json"), report);
        let files = [
            "a-out/manifest.json",
            "a-out/plan.svg",
            "a-out/preview.html",
            "a-out/report.html",
            "a-out/report.json",
            "a-out/weather.html",
            "a.yard",
        ];
        assert_eq!(yard.files(), files);
        assert_eq!(watch.interrupted(), Some(0));
        // The folder is one that `build` takes for its own.
        yard.run("build a.yard").exits(0);
    }

    #[test]
    fn a_watch_that_cannot_begin_ends_with_two() {
        let yard = Yard::new();
        yard.run("watch none.yard").exits(2).says_nothing().talks("there is no such file");
    }
}
