//! The pages under load: fifty people at once.
//!
//! Serves the pages of a new shelf on this machine and asks for 60 s over fifty connections that
//! stay open, each the next request as soon as the last was answered, in turn: an answer of the
//! bench to words of their own, the part of it that the script asks for, the library, help, the
//! stylesheet. Then again with a second between the requests of each, as fast as people ever are.
//! Measured: errors, requests a second, median and 99th percentile from the first byte sent to the
//! last one read, the server's memory (VmRSS, Linux) before and after. No seed: nothing is drawn.
//! Start with `cargo bench --bench serve`; `-- --seconds N` and `-- --people N` make it another.

use std::io::{self, BufRead, BufReader, Error, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::Value;
use tempfile::TempDir;

/// What people describe; each sets a diameter of its own beside it.
const WORDS: [&str; 5] = [
    "silver, 1.2 g, long cross, reads EDW R",
    "bronze, two soldiers with one standard between, reads CONSTAN",
    "lead musket ball",
    "copper alloy buckle, oval frame, 24 mm wide",
    "gold quarter noble",
];

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().collect();
    let after = |flag: &str| {
        let at = arguments.iter().position(|one| one == flag)?;
        arguments.get(at + 1)?.parse::<u64>().ok()
    };
    let seconds = Duration::from_secs(after("--seconds").unwrap_or(60));
    let people = usize::try_from(after("--people").unwrap_or(50)).map_err(Error::other)?;
    let folder = TempDir::new()?;
    let mut server = serve(&folder)?;
    let done = measure(&mut server, people, seconds);
    server.child.kill()?;
    server.child.wait()?;
    done
}

struct Server {
    child: Child,
    host: String,
}

fn serve(folder: &TempDir) -> io::Result<Server> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lynchet"))
        .args(["serve", "--port", "0", "--json", "--today", "2026-03-14"])
        .arg("--shelf")
        .arg(folder.path().join("shelf"))
        .env("LYNCHET_CACHE", folder.path().join("cache"))
        .stdout(Stdio::piped())
        .spawn()?;
    let out = child.stdout.take().ok_or(io::ErrorKind::BrokenPipe)?;
    let mut said = String::new();
    let mut lines = BufReader::new(out);
    loop {
        if lines.read_line(&mut said)? == 0 {
            return Err(Error::other(said));
        }
        if let Ok(told) = serde_json::from_str::<Value>(&said) {
            let address = told["address"].as_str().unwrap_or_default();
            let host = address.trim_start_matches("http://").trim_end_matches('/');
            let host = host.to_string();
            return Ok(Server { child, host });
        }
    }
}

fn measure(server: &mut Server, people: usize, seconds: Duration) -> io::Result<()> {
    let mut out = io::stdout();
    // Opened once before the memory is looked at.
    for turn in 0..8 {
        Person::at(&server.host, 0)?.ask(turn)?;
    }
    let before = memory(&server.child)?;
    writeln!(out, "memory before: {before:.1} MB")?;
    for (told, pause) in [
        ("without a pause", Duration::ZERO),
        ("a request a second each", Duration::from_secs(1)),
    ] {
        let begun = Instant::now();
        let all: Vec<_> = (0..people)
            .map(|person| {
                let host = server.host.clone();
                thread::spawn(move || Person::at(&host, person)?.sit(begun, seconds, pause))
            })
            .collect();
        let (mut took, mut errors) = (Vec::new(), Vec::new());
        for person in all {
            match person.join() {
                Ok(Ok(times)) => took.extend(times),
                Ok(Err(error)) => errors.push(error.to_string()),
                Err(_) => errors.push("a person gave up".to_string()),
            }
        }
        took.sort();
        let at = |share: usize| {
            took.get(took.len() * share / 100)
                .copied()
                .unwrap_or_default()
        };
        writeln!(
            out,
            "{people} people, {told}: {} requests in {:.0} s, {} errors, median {:.1} ms, p99 {:.1} ms, memory {:.1} MB",
            took.len(),
            begun.elapsed().as_secs_f64(),
            errors.len(),
            at(50).as_secs_f64() * 1e3,
            at(99).as_secs_f64() * 1e3,
            memory(&server.child)?
        )?;
        if let Some(error) = errors.first() {
            return Err(Error::other(error.clone()));
        }
    }
    Ok(())
}

/// Somebody with a page open.
struct Person {
    stream: BufReader<TcpStream>,
    host: String,
    number: usize,
}

impl Person {
    fn at(host: &str, number: usize) -> io::Result<Person> {
        let stream = TcpStream::connect(host)?;
        stream.set_nodelay(true)?;
        stream.set_read_timeout(Some(Duration::from_secs(60)))?;
        Ok(Person {
            stream: BufReader::new(stream),
            host: host.to_string(),
            number,
        })
    }

    fn sit(
        &mut self,
        begun: Instant,
        long: Duration,
        pause: Duration,
    ) -> io::Result<Vec<Duration>> {
        let mut took = Vec::new();
        for turn in self.number.. {
            if begun.elapsed() >= long {
                break;
            }
            let asked = Instant::now();
            self.ask(turn)?;
            let time = asked.elapsed();
            took.push(time);
            thread::park_timeout(pause.saturating_sub(time));
        }
        Ok(took)
    }

    /// Asks for the page whose turn it is.
    fn ask(&mut self, turn: usize) -> io::Result<()> {
        let words = WORDS[turn % WORDS.len()];
        let size = 100 + (turn * 7 + self.number * 13) % 250;
        let size = format!("{}.{} mm, ", size / 10, size % 10);
        let query = form_urlencoded::Serializer::new(String::new())
            .append_pair("words", &format!("{size}{words}"))
            .finish();
        let (path, part) = match turn % 8 {
            0..=2 => (format!("/?{query}"), ""),
            3..=5 => (format!("/?{query}"), "X-Part: answer\r\n"),
            6 => ("/help".to_string(), ""),
            _ => ("/looks/style.css".to_string(), ""),
        };
        let host = &self.host;
        let head = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n{part}\r\n");
        self.stream.get_mut().write_all(head.as_bytes())?;
        self.read(&path)
    }

    fn read(&mut self, path: &str) -> io::Result<()> {
        let (mut length, mut line) = (0, String::new());
        let mut first = true;
        loop {
            line.clear();
            if self.stream.read_line(&mut line)? == 0 {
                return Err(Error::other(format!("{path}: closed")));
            }
            if first && !line.starts_with("HTTP/1.1 200") {
                return Err(Error::other(format!("{path}: {line}")));
            }
            first = false;
            let text = line.trim_end().to_ascii_lowercase();
            if let Some(told) = text.strip_prefix("content-length: ") {
                length = told.parse().map_err(Error::other)?;
            }
            if text.is_empty() {
                break;
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body)
    }
}

/// Memory that a process holds, MB, as Linux tells it.
fn memory(child: &Child) -> io::Result<f64> {
    let text = std::fs::read_to_string(format!("/proc/{}/status", child.id()))?;
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let figure = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
    Ok(figure.ok_or(io::ErrorKind::InvalidData)? / 1024.0)
}
