//! The head of a request, read within bounds (RFC 9112), and the name it asks for.

use std::io::{self, Read};
use std::time::{Duration, Instant};

/// The longest head, in bytes.
pub const LONGEST: usize = 8 * 1024;
/// How long a client may take for its head.
pub const PATIENCE: Duration = Duration::from_secs(5);

/// What was asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// `GET`, and not `HEAD`.
    pub body: bool,
    /// The names of the path, decoded: `["schedule", "evening", "bear.json"]`.
    pub path: Vec<String>,
    /// The `Host` it was meant for.
    pub host: String,
    /// The `Range` header.
    pub range: Option<String>,
}

/// Why a request is not answered as asked: the status and what it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// 400
    Malformed,
    /// 404: also for a path that leads out.
    NotFound,
    /// 405
    Method,
    /// 408
    TooSlow,
    /// 421: meant for another host.
    OtherHost,
    /// 431
    TooLong,
    /// 503
    TooMany,
}

impl Refusal {
    /// The status line's number and words.
    pub const fn status(self) -> &'static str {
        match self {
            Self::Malformed => "400 Bad Request",
            Self::NotFound => "404 Not Found",
            Self::Method => "405 Method Not Allowed",
            Self::TooSlow => "408 Request Timeout",
            Self::OtherHost => "421 Misdirected Request",
            Self::TooLong => "431 Request Header Fields Too Large",
            Self::TooMany => "503 Service Unavailable",
        }
    }
}

/// Reads up to the empty line after the head. `refresh` is told how long the next read
/// may take.
///
/// # Errors
/// Where it is too long or takes too long; `None` where the client is gone.
pub fn head(
    from: &mut impl Read,
    refresh: &mut dyn FnMut(Duration) -> io::Result<()>,
) -> Result<String, Option<Refusal>> {
    let begin = Instant::now();
    let mut bytes = Vec::new();
    let mut chunk = [0_u8; 1024];
    loop {
        let left = PATIENCE.saturating_sub(begin.elapsed());
        if left.is_zero() {
            return Err(Some(Refusal::TooSlow));
        }
        refresh(left).map_err(|_| None)?;
        let read = match from.read(&mut chunk) {
            Ok(0) => return Err(None),
            Ok(read) => read,
            Err(e) if e.kind() == io::ErrorKind::Interrupted => continue,
            Err(e) if matches!(e.kind(), io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut) => {
                return Err(Some(Refusal::TooSlow));
            }
            Err(_) => return Err(None),
        };
        // The end may straddle two reads.
        let known = bytes.len().saturating_sub(3);
        bytes.extend_from_slice(&chunk[..read]);
        let end = bytes[known..].windows(4).position(|w| w == b"\r\n\r\n").map(|at| known + at);
        if end.unwrap_or(bytes.len()) > LONGEST {
            return Err(Some(Refusal::TooLong));
        }
        if let Some(end) = end {
            bytes.truncate(end);
            return String::from_utf8(bytes).map_err(|_| Some(Refusal::Malformed));
        }
    }
}

/// What a head asks.
///
/// # Errors
/// Where it is not understood, or asks for what is never given.
pub fn parse(head: &str) -> Result<Request, Refusal> {
    let mut lines = head.split("\r\n");
    let mut words = lines.next().unwrap_or_default().split(' ');
    let (method, target, version, more) = (words.next(), words.next(), words.next(), words.next());
    let (Some(method), Some(target), Some(version), None) = (method, target, version, more) else {
        return Err(Refusal::Malformed);
    };
    if !matches!(version, "HTTP/1.1" | "HTTP/1.0") || method.is_empty() {
        return Err(Refusal::Malformed);
    }
    let (mut hosts, mut range) = (Vec::new(), None);
    for line in lines {
        let (name, value) = line.split_once(':').ok_or(Refusal::Malformed)?;
        // A folded line, or a blank before the colon (RFC 9112, 5.1).
        if name.is_empty()
            || name.contains(char::is_whitespace)
            || line.contains(['\r', '\n', '\0'])
        {
            return Err(Refusal::Malformed);
        }
        let value = value.trim_matches([' ', '\t']);
        match name.to_ascii_lowercase().as_str() {
            "host" => hosts.push(value.to_owned()),
            "range" => range = Some(value.to_owned()),
            _ => {}
        }
    }
    // A target that names its host beats the header (RFC 9112, 3.2.2).
    let (named, target) = match target.strip_prefix("http://") {
        Some(rest) => {
            let end = rest.find('/').unwrap_or(rest.len());
            (Some(rest[..end].to_owned()), if end < rest.len() { &rest[end..] } else { "/" })
        }
        None => (None, target),
    };
    let [host] = hosts.as_slice() else { return Err(Refusal::Malformed) };
    if !matches!(method, "GET" | "HEAD") {
        return Err(Refusal::Method);
    }
    Ok(Request {
        body: method == "GET",
        path: path(target).ok_or(Refusal::NotFound)?,
        host: named.unwrap_or_else(|| host.clone()),
        range,
    })
}

/// Whether a request was meant for this server and not sent here through a name that
/// somebody else's page made lead to this computer.
pub fn is_for_us(host: &str, port: u16) -> bool {
    let names = ["127.0.0.1", "localhost"];
    let host = host.to_ascii_lowercase();
    names.iter().any(|n| host == format!("{n}:{port}") || (port == 80 && host == *n))
}

/// The names of a path, decoded; `None` where any of them could lead out of a folder or
/// is hidden.
fn path(target: &str) -> Option<Vec<String>> {
    let path = target.strip_prefix('/')?;
    let path = path.split(['?', '#']).next().unwrap_or_default();
    if path.is_empty() {
        return Some(Vec::new());
    }
    path.split('/').map(|part| Some(decoded(part)?).filter(|n| is_plain(n))).collect()
}

fn is_plain(name: &str) -> bool {
    let bad = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
    !name.is_empty() && !name.starts_with('.') && !name.ends_with(['.', ' ']) && !name.contains(bad)
}

/// `%20` read (RFC 3986, 2.1), once.
fn decoded(part: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = part.bytes();
    while let Some(b) = rest.next() {
        bytes.push(match b {
            b'%' => {
                let digit = |b: Option<u8>| char::from(b?).to_digit(16);
                let (high, low) = (digit(rest.next())?, digit(rest.next())?);
                u8::try_from(high * 16 + low).ok()?
            }
            b => b,
        });
    }
    String::from_utf8(bytes).ok()
}

/// A stretch of a body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stretch {
    /// All of it: none was asked for, or in a way that is not understood.
    Whole,
    /// From this byte, so many.
    Part(u64, u64),
    /// There is no such stretch.
    Beyond,
}

/// The stretch a `Range` asks for of so many bytes (RFC 9110, 14.2). More than one, or
/// another unit, is answered with all.
pub fn stretch(range: Option<&str>, length: u64) -> Stretch {
    let Some((from, to)) = range.and_then(|r| r.strip_prefix("bytes=")?.split_once('-')) else {
        return Stretch::Whole;
    };
    let number = |t: &str| t.bytes().all(|b| b.is_ascii_digit()).then(|| t.parse::<u64>().ok());
    match (from, to) {
        ("", last) => match number(last).flatten() {
            Some(0) => Stretch::Beyond,
            Some(_) if length == 0 => Stretch::Beyond,
            Some(n) => Stretch::Part(length - n.min(length), n.min(length)),
            None => Stretch::Whole,
        },
        (from, to) => {
            let last = if to.is_empty() { Some(u64::MAX) } else { number(to).flatten() };
            match (number(from).flatten(), last) {
                (Some(a), Some(b)) if a <= b && a < length => {
                    Stretch::Part(a, b.min(length - 1) - a + 1)
                }
                (Some(a), Some(b)) if a <= b => Stretch::Beyond,
                _ => Stretch::Whole,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn get(target: &str) -> Result<Request, Refusal> {
        parse(&format!("GET {target} HTTP/1.1\r\nHost: 127.0.0.1:7450\r\nAccept: */*"))
    }

    #[test]
    fn a_path_is_read_and_its_escapes_once() {
        let asked = get("/schedule/evening/b%65ar%20two.json?x=1#y").unwrap();
        assert_eq!(asked.path, ["schedule", "evening", "bear two.json"]);
        assert_eq!(get("/").unwrap().path, Vec::<String>::new());
        assert_eq!(get("/%2562ear").unwrap().path, ["%62ear"]);
        let whole = get("http://localhost:7450/plan.svg").unwrap();
        assert_eq!((whole.host.as_str(), whole.path.len()), ("localhost:7450", 1));
    }

    #[test]
    fn nothing_leads_out_of_the_folder() {
        let bad = [
            "/../a.yard",
            "/..%2fa.yard",
            "/%2e%2e/a.yard",
            "/x/..",
            "/./x",
            "/.git/config",
            "//etc/passwd",
            "/a//b",
            "/a\\b",
            "/a%5cb",
            "/%00",
            "/c:/x",
            "/a%",
            "/a%zz",
            "/%ff",
            "/a%2fb",
            "etc",
            "*",
        ];
        for target in bad {
            assert_eq!(get(target), Err(Refusal::NotFound), "{target}");
        }
    }

    #[test]
    fn only_whole_heads_that_read_are_understood() {
        let host = "Host: 127.0.0.1:7450";
        for (head, why) in [
            (format!("POST / HTTP/1.1\r\n{host}"), Refusal::Method),
            (format!("get / HTTP/1.1\r\n{host}"), Refusal::Method),
            (format!("GET / HTTP/2.0\r\n{host}"), Refusal::Malformed),
            (format!("GET  / HTTP/1.1\r\n{host}"), Refusal::Malformed),
            ("GET / HTTP/1.1".to_owned(), Refusal::Malformed),
            (format!("GET / HTTP/1.1\r\n{host}\r\n{host}"), Refusal::Malformed),
            (format!("GET / HTTP/1.1\r\n{host}\r\n folded"), Refusal::Malformed),
            (format!("GET / HTTP/1.1\r\n{host}\r\nX : y"), Refusal::Malformed),
            (String::new(), Refusal::Malformed),
        ] {
            assert_eq!(parse(&head), Err(why), "{head}");
        }
        let head = parse("HEAD /x HTTP/1.0\r\nhOsT:localhost:7450\r\nRange: bytes=0-").unwrap();
        assert!(!head.body && head.range.as_deref() == Some("bytes=0-"));
    }

    #[test]
    fn only_this_computers_own_names_are_answered() {
        for (host, ours) in [
            ("127.0.0.1:7450", true),
            ("localhost:7450", true),
            ("LOCALHOST:7450", true),
            ("localhost", false),
            ("127.0.0.1:80", false),
            ("yard.example:7450", false),
            ("127.0.0.1.yard.example:7450", false),
            ("192.168.1.4:7450", false),
            ("", false),
        ] {
            assert_eq!(is_for_us(host, 7450), ours, "{host}");
        }
    }

    // The examples of RFC 9110, 14.1.2, on a body of 10 000 bytes, and their neighbours.
    #[test]
    fn ranges_are_those_of_the_standard() {
        for (range, want) in [
            ("bytes=0-499", Stretch::Part(0, 500)),
            ("bytes=500-999", Stretch::Part(500, 500)),
            ("bytes=-500", Stretch::Part(9500, 500)),
            ("bytes=9500-", Stretch::Part(9500, 500)),
            ("bytes=0-99999", Stretch::Part(0, 10_000)),
            ("bytes=-99999", Stretch::Part(0, 10_000)),
            ("bytes=10000-", Stretch::Beyond),
            ("bytes=-0", Stretch::Beyond),
            ("bytes=5-4", Stretch::Whole),
            ("bytes=0-0,-1", Stretch::Whole),
            ("bytes=+1-2", Stretch::Whole),
            ("bytes=-", Stretch::Whole),
            ("lines=0-1", Stretch::Whole),
        ] {
            assert_eq!(stretch(Some(range), 10_000), want, "{range}");
        }
        assert_eq!(stretch(None, 5), Stretch::Whole);
        assert_eq!(stretch(Some("bytes=0-"), 0), Stretch::Beyond);
    }

    #[test]
    fn a_head_is_read_within_its_bounds() {
        let mut quick = |_: Duration| Ok(());
        let read = |bytes: &[u8], quick: &mut dyn FnMut(Duration) -> io::Result<()>| {
            head(&mut &bytes[..], quick)
        };
        assert_eq!(read(b"GET / HTTP/1.1\r\n\r\nrest", &mut quick).unwrap(), "GET / HTTP/1.1");
        assert_eq!(read(b"GET /", &mut quick), Err(None));
        assert_eq!(read(b"\xff\r\n\r\n", &mut quick), Err(Some(Refusal::Malformed)));
        let long = vec![b'a'; LONGEST + 2000];
        assert_eq!(read(&long, &mut quick), Err(Some(Refusal::TooLong)));
        // Byte by byte, so that the end straddles every read.
        struct Drip<'a>(&'a [u8]);
        impl Read for Drip<'_> {
            fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
                self.0.read(&mut to[..1])
            }
        }
        let mut drip = Drip(b"GET / HTTP/1.1\r\nA: b\r\n\r\n");
        assert_eq!(head(&mut drip, &mut quick).unwrap(), "GET / HTTP/1.1\r\nA: b");
    }
}
