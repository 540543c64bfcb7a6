//! The pages of a watched yard on 127.0.0.1, and a word to them when something new was
//! built or the text is broken.
//!
//! A server of its own thread with one more for each connection, at most
//! [`MOST`]; whatever a client does, the rounds go on. It gives what is on the list of
//! the written folder and the sounds of the yard, to requests meant for this computer
//! by its own name, and nothing else.

mod hub;
mod request;
mod site;

pub use hub::Hub;

use std::io::{self, Read as _, SeekFrom, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use super::{Round, Workshop};
use request::{Refusal, Request, Stretch};
use site::{Found, Site};

/// The port that is tried first, so that a bookmark lasts.
pub const PORT: u16 = 7450;
/// Connections at a time.
const MOST: usize = 32;
/// Of these, pages that listen.
const LISTENERS: usize = 16;
/// How long a client may take to accept what is sent, in all.
const SENDING: Duration = Duration::from_secs(120);
/// How long it may take for one piece.
const PIECE: Duration = Duration::from_secs(10);
/// A page that listens hears something at least so often: else it is gone.
const BEAT: Duration = Duration::from_secs(10);
/// Where pages listen.
const EVENTS: [&str; 2] = ["-", "events"];

/// Where browsers look for the small picture of a page.
const SIGN_AT: [&str; 1] = ["favicon.ico"];
/// A crank, a rod and a lever.
const SIGN: &str = include_str!("sign.svg");

/// What a page runs to listen.
const SCRIPT: &str = include_str!("live.js");

/// What all connections share.
#[derive(Debug)]
struct Shared {
    hub: Hub,
    site: Site,
    port: u16,
    open: Arc<AtomicUsize>,
    listening: Arc<AtomicUsize>,
    over: AtomicBool,
}

/// A server that runs until it is dropped.
#[derive(Debug)]
pub struct Server {
    shared: Arc<Shared>,
    yard: PathBuf,
}

impl Server {
    /// Serves a folder; the port asked for, or the usual one, or any that is free.
    ///
    /// # Errors
    /// A sentence where the port asked for is not free, or the system gives none.
    pub fn open(yard: &Path, folder: &Path, port: Option<u16>) -> Result<Self, String> {
        let bind = |port: u16| TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)));
        let listener = match port {
            Some(port) => bind(port).map_err(|e| {
                format!("Port {port} cannot be served: {e}. Leave out `--port` to take one that is free.")
            }),
            None => bind(PORT)
                .or_else(|_| bind(0))
                .map_err(|e| format!("No page can be served: {e}. `--no-serve` watches without.")),
        }?;
        let port =
            listener.local_addr().map_err(|e| format!("No page can be served: {e}."))?.port();
        let shared = Arc::new(Shared {
            hub: Hub::new(),
            site: Site::new(std::path::absolute(folder).unwrap_or_else(|_| folder.to_path_buf())),
            port,
            open: Arc::default(),
            listening: Arc::default(),
            over: AtomicBool::new(false),
        });
        let serving = Arc::clone(&shared);
        std::thread::Builder::new()
            .name("serve".to_owned())
            .spawn(move || accept(&listener, &serving))
            .map_err(|e| format!("No page can be served: {e}."))?;
        Ok(Self { shared, yard: yard.to_path_buf() })
    }

    /// The address to open.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.shared.port)
    }

    /// A workshop whose rounds are told to the pages.
    pub fn told<'a>(&'a self, work: &'a mut dyn Workshop) -> Told<'a> {
        Told { server: self, work }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.shared.over.store(true, Ordering::SeqCst);
        // The thread waits for the next client: this is the last one.
        let _ = TcpStream::connect((Ipv4Addr::LOCALHOST, self.shared.port));
    }
}

/// A workshop with listeners.
pub struct Told<'a> {
    server: &'a Server,
    work: &'a mut dyn Workshop,
}

impl Workshop for Told<'_> {
    fn round(&mut self) -> Result<Round, String> {
        let shared = &self.server.shared;
        let done = self.work.round();
        match &done {
            Err(trouble) => shared.hub.broken(trouble),
            Ok(round) => {
                shared.site.sounds_of(&self.server.yard, &round.read);
                match &round.broken {
                    Some(errors) => shared.hub.broken(errors),
                    None => shared.hub.built(round.renewed),
                }
            }
        }
        done
    }
}

/// Counts one up as long as it lives.
struct Counted(Arc<AtomicUsize>);

impl Counted {
    fn below(count: &Arc<AtomicUsize>, most: usize) -> Option<Self> {
        let taken = count.fetch_add(1, Ordering::SeqCst);
        let counted = Self(Arc::clone(count));
        (taken < most).then_some(counted)
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for client in listener.incoming() {
        if shared.over.load(Ordering::SeqCst) {
            return;
        }
        let Ok(client) = client else {
            // No more files may be open just now: not in a circle as fast as it goes.
            std::thread::sleep(Duration::from_millis(50));
            continue;
        };
        let Some(counted) = Counted::below(&shared.open, MOST) else {
            // A few words fit into the system's own store: nothing waits here.
            let mut client = client;
            let _ = client.set_nonblocking(true);
            let _ = client.write_all(&refusal(Refusal::TooMany, true));
            continue;
        };
        let shared = Arc::clone(shared);
        // Where no thread can be had the client is left; it tries again.
        let _ = std::thread::Builder::new().name("page".to_owned()).spawn(move || {
            // One that nobody waits for any more is no trouble of ours.
            let _ = serve(client, &shared);
            drop(counted);
        });
    }
}

fn serve(mut client: TcpStream, shared: &Shared) -> io::Result<()> {
    client.set_write_timeout(Some(PIECE))?;
    client.set_nodelay(true)?;
    let clock = client.try_clone()?;
    let read = request::head(&mut client, &mut |left| clock.set_read_timeout(Some(left)));
    let asked = match read {
        Err(None) => return Ok(()),
        Err(Some(why)) => return refuse(&mut client, why, true),
        Ok(head) => request::parse(&head),
    };
    let asked = asked.and_then(|asked| match request::is_for_us(&asked.host, shared.port) {
        true => Ok(asked),
        false => Err(Refusal::OtherHost),
    });
    match asked {
        Ok(asked) if asked.path == EVENTS => listen(&mut client, shared, &asked)?,
        Ok(asked) if asked.path == SIGN_AT => {
            let length = SIGN.len() as u64;
            answer(&mut client, &asked, "image/svg+xml", length, &mut io::Cursor::new(SIGN))?;
        }
        // The round first: what is written from now on makes the page an old one.
        Ok(asked) => match (shared.hub.round(), shared.site.find(&asked.path)) {
            (round, Some(Found::Page(page))) => {
                let page = with_script(page, &round);
                let length = page.len() as u64;
                answer(
                    &mut client,
                    &asked,
                    "text/html; charset=utf-8",
                    length,
                    &mut io::Cursor::new(page),
                )?;
            }
            (_, Some(Found::File(mut file, kind, length))) => {
                answer(&mut client, &asked, kind, length, &mut file)?;
            }
            (_, None) => refuse(&mut client, Refusal::NotFound, asked.body)?,
        },
        Err(why) => refuse(&mut client, why, true)?,
    }
    close(&client)
}

/// Headers that stand before everything: nothing is kept, nothing is guessed, and no
/// other site may take it in.
const ALWAYS: &str = "Cache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\n\
Cross-Origin-Resource-Policy: same-origin\r\nContent-Security-Policy: frame-ancestors 'self'\r\n\
Referrer-Policy: no-referrer\r\nConnection: close\r\n";

/// A refusal as it is sent; to `HEAD` without its words.
fn refusal(refusal: Refusal, body: bool) -> Vec<u8> {
    let status = refusal.status();
    let allow = if refusal == Refusal::Method { "Allow: GET, HEAD\r\n" } else { "" };
    let text = format!("{}\n", status.split_once(' ').map_or(status, |(_, words)| words));
    let length = text.len();
    let text = if body { text } else { String::new() };
    format!(
        "HTTP/1.1 {status}\r\nContent-Type: text/plain; charset=utf-8\r\nContent-Length: {length}\r\n\
         {allow}{ALWAYS}\r\n{text}"
    )
    .into_bytes()
}

fn refuse(client: &mut TcpStream, why: Refusal, body: bool) -> io::Result<()> {
    client.write_all(&refusal(why, body))?;
    close(client)
}

/// Says that nothing more comes, and lets the client finish reading: closing on what it
/// still sends would take the answer from it.
fn close(client: &TcpStream) -> io::Result<()> {
    client.shutdown(Shutdown::Write)?;
    client.set_read_timeout(Some(Duration::from_millis(300)))?;
    let mut rest = [0_u8; 1024];
    let mut from = client;
    for _ in 0..64 {
        if from.read(&mut rest).unwrap_or(0) == 0 {
            break;
        }
    }
    Ok(())
}

/// Sends a body, or the stretch of it that was asked for.
fn answer(
    client: &mut TcpStream,
    asked: &Request,
    kind: &str,
    length: u64,
    body: &mut (impl io::Read + io::Seek),
) -> io::Result<()> {
    let (status, from, send, range) = match request::stretch(asked.range.as_deref(), length) {
        Stretch::Whole => ("200 OK", 0, length, String::new()),
        Stretch::Part(from, n) => {
            let range = format!("Content-Range: bytes {from}-{}/{length}\r\n", from + n - 1);
            ("206 Partial Content", from, n, range)
        }
        Stretch::Beyond => {
            let range = format!("Content-Range: bytes */{length}\r\n");
            ("416 Range Not Satisfiable", 0, 0, range)
        }
    };
    write!(
        client,
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {send}\r\n\
         Accept-Ranges: bytes\r\n{range}{ALWAYS}\r\n"
    )?;
    if !asked.body {
        return Ok(());
    }
    body.seek(SeekFrom::Start(from))?;
    let (begin, mut left) = (Instant::now(), send);
    let mut chunk = vec![0_u8; 64 * 1024];
    while left > 0 && begin.elapsed() < SENDING {
        let most = usize::try_from(left).unwrap_or(usize::MAX).min(chunk.len());
        let read = body.read(&mut chunk[..most])?;
        if read == 0 {
            break;
        }
        client.write_all(&chunk[..read])?;
        left -= read as u64;
    }
    Ok(())
}

/// A stream of server-sent events (WHATWG HTML, 9.2), until the client is gone.
fn listen(client: &mut TcpStream, shared: &Shared, asked: &Request) -> io::Result<()> {
    let Some(_counted) = Counted::below(&shared.listening, LISTENERS) else {
        return refuse(client, Refusal::TooMany, asked.body);
    };
    write!(client, "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n{ALWAYS}\r\n")?;
    if !asked.body {
        return Ok(());
    }
    client.write_all(b"retry: 1000\n\n")?;
    let mut known = None;
    while !shared.over.load(Ordering::SeqCst) {
        let Some(news) = shared.hub.after(known, BEAT) else {
            client.write_all(b":\n\n")?;
            continue;
        };
        client.write_all(news.event.as_bytes())?;
        known = Some(news.told);
    }
    Ok(())
}

/// A page with what makes it listen, before its end.
fn with_script(page: Vec<u8>, round: &str) -> Vec<u8> {
    let script =
        format!("<script data-round=\"{}\">\n{SCRIPT}</script>\n", crate::emit::escape(round));
    let end = page.windows(7).rposition(|w| w.eq_ignore_ascii_case(b"</body>"));
    let (before, after) = page.split_at(end.unwrap_or(page.len()));
    [before, script.as_bytes(), after].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_script_stands_before_the_end_of_the_page() {
        let page = with_script(b"<body>a</BODY></html>".to_vec(), "1-2");
        let text = String::from_utf8(page).unwrap();
        assert!(text.starts_with("<body>a<script data-round=\"1-2\">\n"), "{text}");
        assert!(text.ends_with("</script>\n</BODY></html>"), "{text}");
        assert!(!SCRIPT.contains("</"), "it would end itself");
        assert!(with_script(b"no end".to_vec(), "1").starts_with(b"no end<script"));
    }

    #[test]
    fn no_more_than_so_many_at_a_time() {
        let count = Arc::default();
        let one = Counted::below(&count, 1);
        assert!(one.is_some() && Counted::below(&count, 1).is_none());
        drop(one);
        assert!(Counted::below(&count, 1).is_some());
    }
}
