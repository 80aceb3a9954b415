//! Who may come in, and what they get: the page, and word of a newer one.
//!
//! Bound to the loopback address, and answers only to its own names: a page from elsewhere whose name someone has pointed
//! at this machine sends its own name as Host, and is sent away (DNS rebinding).

use std::io::Cursor;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use tiny_http::{Header, Method, Request, Response, Server};

/// How long word of a newer page is waited for before the asker is told that there is none, and asks again.
const PATIENCE: Duration = Duration::from_secs(20);

/// Askers at a time; more are sent away.
const MOST: usize = 32;

/// The page as it is.
#[derive(Debug)]
struct Shown {
    version: u64,
    page: Arc<String>,
}

/// The door of the server.
#[derive(Debug)]
pub(super) struct Door {
    port: u16,
    shown: Mutex<Shown>,
    newer: Condvar,
    inside: AtomicUsize,
}

type Answer = Response<Cursor<Vec<u8>>>;

impl Door {
    /// A door that shows the first page.
    pub(super) fn new(port: u16, page: String) -> Self {
        let shown = Mutex::new(Shown { version: 1, page: Arc::new(page) });
        Self { port, shown, newer: Condvar::new(), inside: AtomicUsize::new(0) }
    }

    /// A panic of another thread leaves a whole page behind: it is only ever replaced.
    fn shown(&self) -> MutexGuard<'_, Shown> {
        self.shown.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Number of the page that is shown.
    pub(super) fn version(&self) -> u64 {
        self.shown().version
    }

    /// Shows another page, and tells everybody who waits.
    pub(super) fn show(&self, page: String) {
        let mut shown = self.shown();
        *shown = Shown { version: shown.version + 1, page: Arc::new(page) };
        self.newer.notify_all();
    }

    /// Lets people in, each in a thread of their own, for as long as the server stands.
    pub(super) fn serve(self: &Arc<Self>, server: &Server) {
        for request in server.incoming_requests() {
            if self.inside.fetch_add(1, Ordering::SeqCst) >= MOST {
                self.inside.fetch_sub(1, Ordering::SeqCst);
                let _ = request.respond(plain(503, "too many at a time"));
                continue;
            }
            let door = Arc::clone(self);
            std::thread::spawn(move || {
                let answer = door.answer(&request);
                // Whoever has gone away needs no answer.
                let _ = request.respond(answer);
                door.inside.fetch_sub(1, Ordering::SeqCst);
            });
        }
    }

    fn answer(&self, request: &Request) -> Answer {
        let host = request.headers().iter().find(|header| header.field.equiv("Host"));
        if !host.is_some_and(|host| self.is_own(host.value.as_str())) {
            return plain(403, "this server answers only to its own address");
        }
        if *request.method() != Method::Get {
            return plain(405, "there is nothing to do here but look");
        }
        match request.url().split_once("?since=") {
            None if request.url() == "/" => page(&self.shown().page),
            Some(("/newer", since)) => self.newer_than(since.parse().unwrap_or(0)),
            _ => plain(404, "there is only one page here"),
        }
    }

    fn is_own(&self, host: &str) -> bool {
        ["127.0.0.1", "localhost"]
            .iter()
            .any(|name| host.eq_ignore_ascii_case(&format!("{name}:{}", self.port)))
            || (self.port == 80 && ["127.0.0.1", "localhost"].contains(&host))
    }

    /// Waits for a page other than this one, and tells its number.
    fn newer_than(&self, since: u64) -> Answer {
        let until = Instant::now() + PATIENCE;
        let mut shown = self.shown();
        while shown.version == since {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            shown =
                self.newer.wait_timeout(shown, left).map_or_else(|e| e.into_inner().0, |(shown, _)| shown);
        }
        plain(200, &shown.version.to_string())
    }
}

fn page(text: &str) -> Answer {
    headed(Response::from_string(text), "text/html; charset=utf-8")
}

fn plain(status: u16, text: &str) -> Answer {
    headed(Response::from_string(text).with_status_code(status), "text/plain; charset=utf-8")
}

/// Nothing is kept, guessed at, framed, or lent to other pages.
fn headed(mut answer: Answer, kind: &str) -> Answer {
    let headers = [
        ("Content-Type", kind),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
        ("X-Frame-Options", "DENY"),
        ("Referrer-Policy", "no-referrer"),
        ("Cross-Origin-Resource-Policy", "same-origin"),
    ];
    for (name, value) in headers {
        if let Ok(header) = Header::from_bytes(name, value) {
            answer.add_header(header);
        }
    }
    answer
}
