//! The pages of a watch as a browser meets them, and as nobody should.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::commands::BAKER;
use crate::support::Yard;

/// A watch as a process of its own, on a free port.
struct Watching {
    child: Child,
    port: u16,
}

impl Watching {
    fn start(yard: &Yard) -> Self {
        let mut command = yard.command(&["watch", "a.yard", "--port", "0"]);
        let mut child = command.stdout(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut told = lines.by_ref().map(Result::unwrap);
        let line = told.find(|l| l.starts_with("Open http://127.0.0.1:")).unwrap();
        let port = line.split([':', '/']).nth(4).unwrap().parse().unwrap();
        // The pipe is read on, or the watch would wait for us.
        std::thread::spawn(move || lines.for_each(drop));
        Self { child, port }
    }

    fn ask(&self, head: &str) -> TcpStream {
        let mut client = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        client.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        client.write_all(head.as_bytes()).unwrap();
        client
    }

    /// Head and body of the answer.
    fn get(&self, target: &str, more: &str) -> (String, Vec<u8>) {
        let host = format!("Host: localhost:{}\r\n", self.port);
        self.answer(&format!("GET {target} HTTP/1.1\r\n{host}{more}\r\n"))
    }

    fn answer(&self, head: &str) -> (String, Vec<u8>) {
        let mut all = Vec::new();
        self.ask(head).read_to_end(&mut all).unwrap();
        let end = all.windows(4).position(|w| w == b"\r\n\r\n").unwrap();
        (String::from_utf8(all[..end].to_vec()).unwrap(), all[end + 4..].to_vec())
    }

    #[track_caller]
    fn status(&self, head: &str, want: &str) {
        let (got, _) = self.answer(head);
        assert!(got.starts_with(&format!("HTTP/1.1 {want} ")), "{head}\n{got}");
    }

    /// Ctrl-C, and the exit code.
    fn interrupted(mut self) -> Option<i32> {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        self.child.wait().unwrap().code()
    }
}

/// A stream of events, read one by one.
struct Events(BufReader<TcpStream>);

impl Events {
    fn of(watch: &Watching) -> Self {
        let client =
            watch.ask(&format!("GET /-/events HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", watch.port));
        Self(BufReader::new(client))
    }

    /// The next event with this name, and its data.
    #[track_caller]
    fn next(&mut self, name: &str) -> serde_json::Value {
        let mut event = String::new();
        loop {
            let mut line = String::new();
            let read = self.0.read_line(&mut line).unwrap();
            assert!(read > 0, "the stream ended before `{name}`");
            if let Some(e) = line.strip_prefix("event: ") {
                event = e.trim().to_owned();
            }
            if let Some(data) = line.strip_prefix("data: ").filter(|_| event == name) {
                return serde_json::from_str(data).unwrap();
            }
        }
    }
}

/// A second of silence (RIFF/WAVE, 8 kHz, 16 bits, one channel).
fn silence() -> Vec<u8> {
    let mut wav = b"RIFF\xa4\x3e\0\0WAVEfmt \x10\0\0\0\x01\0\x01\0\x40\x1f\0\0\x80\x3e\0\0\x02\0\x10\0data\x80\x3e\0\0".to_vec();
    wav.resize(44 + 16_000, 0);
    wav
}

fn yard() -> Yard {
    let song = "song tune \"tune.wav\" { meter 4/4  tempo 120 bpm from 0 s }\n";
    Yard::new()
        .file("a.yard", format!("{BAKER}{song}"))
        .file("tune.wav", silence())
        .file("b.wav", "x")
}

#[test]
fn pages_sounds_and_stretches_are_served_and_nothing_else() {
    let yard = yard();
    let watch = Watching::start(&yard);
    let (head, page) = watch.get("/report.html", "");
    assert!(head.starts_with("HTTP/1.1 200 OK") && head.contains("text/html"), "{head}");
    let page = String::from_utf8(page).unwrap();
    assert!(page.contains("<script data-round=") && page.ends_with("</body>\n</html>\n"));
    assert!(!yard.read("a-out/report.html").contains("<script"), "only what is served listens");
    assert!(watch.get("/", "").0.starts_with("HTTP/1.1 200 OK"));
    let (head, plan) = watch.get("/plan.svg?x=1", "");
    assert!(head.contains("image/svg+xml") && head.contains("no-store"), "{head}");
    assert_eq!(plan, yard.read("a-out/plan.svg").into_bytes());

    let (head, sound) = watch.get("/tune.wav", "Range: bytes=0-3\r\n");
    assert!(head.starts_with("HTTP/1.1 206 ") && head.contains("audio/wav"), "{head}");
    assert!(head.contains("Content-Range: bytes 0-3/16044\r\n"), "{head}");
    assert_eq!(sound, b"RIFF");
    assert_eq!(watch.get("/tune.wav", "Range: bytes=-2\r\n").1, [0, 0]);
    assert!(watch.get("/tune.wav", "Range: bytes=16044-\r\n").0.contains("bytes */16044"));
    let host = format!("Host: 127.0.0.1:{}", watch.port);
    let (head, body) = watch.answer(&format!("HEAD /tune.wav HTTP/1.1\r\n{host}\r\n\r\n"));
    assert!(head.contains("Content-Length: 16044") && body.is_empty(), "{head}");

    for path in ["/a.yard", "/../a.yard", "/%2e%2e/a.yard", "/..%2fa.yard", "/b.wav", "/x", "//"] {
        watch.status(&format!("GET {path} HTTP/1.1\r\n{host}\r\n\r\n"), "404");
    }
    // A link out of the folder in the place of a file of ours.
    std::fs::remove_file(yard.path("a-out/plan.svg")).unwrap();
    std::os::unix::fs::symlink(yard.path("a.yard"), yard.path("a-out/plan.svg")).unwrap();
    watch.status(&format!("GET /plan.svg HTTP/1.1\r\n{host}\r\n\r\n"), "404");
    watch.status(&format!("POST / HTTP/1.1\r\n{host}\r\nContent-Length: 2\r\n\r\nab"), "405");
    watch.status("GET / HTTP/1.1\r\nHost: yard.example\r\n\r\n", "421");
    watch.status("GET / HTTP/1.1\r\n\r\n", "400");
    watch.status(&format!("GET / HTTP/1.1\r\n{host}\r\nX: {}\r\n\r\n", "a".repeat(9000)), "431");
    assert_eq!(watch.interrupted(), Some(0));
}

#[test]
fn a_page_hears_of_what_is_built_and_of_what_is_broken() {
    let yard = yard();
    let good = yard.read("a.yard");
    let watch = Watching::start(&yard);
    let mut events = Events::of(&watch);
    let round = events.next("built")["round"].clone();
    // One that says nothing at all, and one that listens and never reads, hold nothing up.
    let _silent = TcpStream::connect(("127.0.0.1", watch.port)).unwrap();
    let _deaf = Events::of(&watch);

    yard.write("a.yard", good.replace("to 55 deg", "to 50 deg"));
    let next = events.next("built")["round"].clone();
    assert_ne!(next, round, "something new was written");
    let (_, page) = watch.get("/report.html", "");
    let mark = format!("data-round={next}");
    assert!(String::from_utf8_lossy(&page).contains(&mark), "the page is of this round");

    let before = yard.read("a-out/report.json");
    yard.write("a.yard", good.replace("pivot", "pviot"));
    let broken = events.next("broken");
    let text = broken["text"].as_str().unwrap();
    assert!(text.contains("a.yard:") && text.contains("pviot"), "{text}");
    assert!(!text.contains('\u{1b}'), "no colours");
    assert_eq!(broken["round"], next, "nothing was written");
    assert_eq!(yard.read("a-out/report.json"), before);
    // Whoever comes now hears it too, and sees the last good page.
    assert_eq!(Events::of(&watch).next("broken")["text"], broken["text"]);
    assert_eq!(watch.get("/report.html", "").1, page);

    // Mended as it was: nothing new, and the panel goes.
    yard.write("a.yard", good.replace("to 55 deg", "to 50 deg"));
    assert_eq!(events.next("built")["round"], next);
    assert_eq!(watch.interrupted(), Some(0));
}

#[test]
fn a_port_that_is_taken_is_said_and_none_is_opened_without_one() {
    let yard = yard();
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port();
    let run = yard.run(&format!("watch a.yard --port {port}"));
    run.exits(2).says_nothing().talks(&format!("Port {port} cannot be served"));
    yard.run("watch a.yard --port 1 --no-serve").exits(2).talks("--no-serve");
}
