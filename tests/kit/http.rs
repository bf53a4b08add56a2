//! The pages as a browser meets them: the real program serving, and a small client that can also
//! say what no browser would.
//!
//! Only the machine itself is asked. The shelf is a folder of the test's own; the library is
//! prepared once for all.
//!
//! Invariant: a server ends with its [`Served`], and a server that panicked fails its test.

use std::fs::{self, File};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::sync::LazyLock;
use std::time::Duration;

use serde_json::Value;
use tempfile::TempDir;

/// The day on which the pages of the tests are served.
pub const TODAY: &str = "2026-03-14";
/// How long the client waits for a byte before it gives up; never reached by a server that works.
const PATIENCE: Duration = Duration::from_secs(120);

/// One cache for all servers, so that the library is prepared once.
pub fn cache() -> &'static Path {
    static CACHE: LazyLock<PathBuf> = LazyLock::new(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("web-cache");
        let _ = fs::remove_dir_all(&folder);
        let mut first = super::command();
        first.args(["identify", "silver penny"]);
        first.env("LYNCHET_CACHE", &folder);
        assert!(first.output().expect("the program runs").status.success());
        folder
    });
    &CACHE
}

/// A server.
pub struct Served {
    child: Child,
    folder: TempDir,
    shelf: PathBuf,
    address: SocketAddr,
    /// What it told as JSON: `address`, `pass`, `guest_pass`.
    pub told: Value,
    _door: super::Door,
}

impl Served {
    /// Serves a shelf that is not there yet, for this machine alone.
    pub fn new() -> Served {
        Served::with(None, &[])
    }

    /// Serves this shelf, or one of its own, with further arguments.
    pub fn with(shelf: Option<&Path>, more: &[&str]) -> Served {
        let folder = TempDir::new().expect("a temporary folder");
        let shelf = shelf.map_or_else(|| folder.path().join("shelf"), Path::to_path_buf);
        let log = File::create(folder.path().join("log")).expect("a log");
        let mut door = super::command();
        door.args(["serve", "--port", "0", "--json", "--today", TODAY])
            .arg("--shelf")
            .arg(&shelf)
            .args(more)
            .env("LYNCHET_CACHE", cache())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(log);
        let mut child = door.spawn().expect("the program runs");
        let mut said = String::new();
        let out = child.stdout.take().expect("it is piped");
        let mut lines = BufReader::new(out);
        let told = loop {
            let read = lines.read_line(&mut said).expect("it speaks");
            let log = || fs::read_to_string(folder.path().join("log")).unwrap_or_default();
            assert!(read > 0, "serve ended: {said}{}", log());
            if let Ok(told) = serde_json::from_str::<Value>(&said) {
                break told;
            }
        };
        let url = told["address"].as_str().expect("an address");
        let address = url.trim_start_matches("http://").trim_end_matches('/');
        Served {
            address: address.parse().expect("an address with a port"),
            child,
            folder,
            shelf,
            told,
            _door: door,
        }
    }

    /// Its host and port, as a browser sends them.
    pub fn host(&self) -> String {
        self.address.to_string()
    }

    /// The whole address of a path.
    pub fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    /// The folder of its shelf.
    pub fn shelf(&self) -> &Path {
        &self.shelf
    }

    /// A folder for files of the test, gone with the server.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// A connection to say anything over.
    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address).expect("it listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
        stream.set_write_timeout(Some(PATIENCE)).expect("a limit");
        stream
    }

    /// Sends bytes as they are and reads until the server closes; nothing where it closed at once.
    pub fn raw(&self, bytes: &[u8]) -> Vec<u8> {
        let mut stream = self.connect();
        // A server may refuse and close before everything was sent.
        let _ = stream.write_all(bytes);
        let mut read = Vec::new();
        let _ = stream.read_to_end(&mut read);
        read
    }

    /// Asks.
    pub fn ask(&self, ask: &Ask) -> Answer {
        let read = self.raw(&ask.bytes(&self.host()));
        Answer::read(&read).unwrap_or_else(|| panic!("{} {}: no answer", ask.method, ask.path))
    }

    /// Looks at a page.
    pub fn get(&self, path: &str) -> Answer {
        self.ask(&Ask::get(path))
    }

    /// Looks at a page that must be there.
    pub fn page(&self, path: &str) -> String {
        let answer = self.get(path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.text());
        answer.text()
    }

    /// Sends a form with the token that stands in a page, as a browser that looks at it would.
    pub fn post(&self, from: &str, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.get(from).token();
        let fields = [&[("token", token.as_str())], fields].concat();
        self.ask(&Ask::post(path).form(&fields))
    }

    /// Sends a form with files (field, name, bytes) and the token that stands in a page.
    pub fn send(
        &self,
        from: &str,
        path: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &str, &[u8])],
    ) -> Answer {
        let token = self.get(from).token();
        let fields = [&[("token", token.as_str())], fields].concat();
        self.ask(&Ask::post(path).files(&fields, files))
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        let log = fs::read_to_string(self.folder.path().join("log")).unwrap_or_default();
        assert!(
            std::thread::panicking() || !log.contains("panicked"),
            "{log}"
        );
    }
}

/// A request.
#[derive(Clone)]
pub struct Ask {
    /// `GET` and the like.
    pub method: String,
    /// The path with its query, sent as it stands.
    pub path: String,
    headers: Vec<(String, String)>,
    unsaid: Vec<String>,
    body: Vec<u8>,
}

/// What parts the fields of a form with files.
const BOUNDARY: &str = "----a-form-of-the-tests";

impl Ask {
    /// A request without a body.
    pub fn new(method: &str, path: &str) -> Ask {
        Ask {
            method: method.into(),
            path: path.into(),
            headers: Vec::new(),
            unsaid: Vec::new(),
            body: Vec::new(),
        }
    }

    /// To look at a page.
    pub fn get(path: &str) -> Ask {
        Ask::new("GET", path)
    }

    /// A change, from a page of the server itself.
    pub fn post(path: &str) -> Ask {
        Ask::new("POST", path)
    }

    /// Says a header, also twice; `Host` and `Origin` in place of the right ones.
    pub fn header(mut self, name: &str, text: &str) -> Ask {
        self.headers.push((name.into(), text.into()));
        self
    }

    /// Leaves out a header that would be sent.
    pub fn without(mut self, name: &str) -> Ask {
        self.unsaid.push(name.into());
        self
    }

    /// Brings a body of some type.
    pub fn body(mut self, kind: &str, bytes: impl Into<Vec<u8>>) -> Ask {
        self.body = bytes.into();
        self.header("Content-Type", kind)
    }

    /// Brings a form.
    pub fn form(self, fields: &[(&str, &str)]) -> Ask {
        let mut form = form_urlencoded::Serializer::new(String::new());
        form.extend_pairs(fields);
        self.body("application/x-www-form-urlencoded", form.finish())
    }

    /// Brings a form with files: field, name, bytes.
    pub fn files(self, fields: &[(&str, &str)], files: &[(&str, &str, &[u8])]) -> Ask {
        let mut body = Vec::new();
        let mut part = |head: String, bytes: &[u8]| {
            let head =
                format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{head}\r\n\r\n");
            body.extend([head.as_bytes(), bytes, b"\r\n"].concat());
        };
        for (name, text) in fields {
            part(format!("{name}\""), text.as_bytes());
        }
        for (field, name, bytes) in files {
            let kind = "Content-Type: application/octet-stream";
            part(format!("{field}\"; filename=\"{name}\"\r\n{kind}"), bytes);
        }
        body.extend(format!("--{BOUNDARY}--\r\n").as_bytes());
        self.body(&format!("multipart/form-data; boundary={BOUNDARY}"), body)
    }

    /// The request as it goes over the line.
    pub fn bytes(&self, host: &str) -> Vec<u8> {
        let said = |name: &str| {
            let said = self.headers.iter().map(|header| &header.0);
            let mut all = said.chain(&self.unsaid);
            all.any(|other| other.eq_ignore_ascii_case(name))
        };
        let mut head = format!("{} {} HTTP/1.1\r\n", self.method, self.path);
        let mut usual = vec![
            ("Host", host.to_string()),
            ("Connection", "close".to_string()),
        ];
        if self.method != "GET" && self.method != "HEAD" {
            usual.push(("Origin", format!("http://{host}")));
            usual.push(("Content-Length", self.body.len().to_string()));
        }
        for (name, text) in usual.iter().filter(|header| !said(header.0)) {
            head.push_str(&format!("{name}: {text}\r\n"));
        }
        for (name, text) in &self.headers {
            head.push_str(&format!("{name}: {text}\r\n"));
        }
        [head.as_bytes(), b"\r\n", &self.body].concat()
    }
}

/// An answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Its status.
    pub status: u16,
    headers: Vec<(String, String)>,
    /// What it brought.
    pub body: Vec<u8>,
}

impl Answer {
    /// Reads an answer; none where there is none, or it is none of this protocol.
    pub fn read(bytes: &[u8]) -> Option<Answer> {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")?;
        let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let mut lines = head.split("\r\n");
        let status = lines.next()?.strip_prefix("HTTP/1.1 ")?;
        let headers = lines.filter_map(|line| line.split_once(':'));
        let mut answer = Answer {
            status: status.get(..3)?.parse().ok()?,
            headers: headers
                .map(|(name, text)| (name.to_ascii_lowercase(), text.trim().to_string()))
                .collect(),
            body: bytes[end + 4..].to_vec(),
        };
        if answer.header("transfer-encoding") == Some("chunked") {
            answer.body = unchunked(&answer.body)?;
        }
        Some(answer)
    }

    /// A header, where it came once.
    pub fn header(&self, name: &str) -> Option<&str> {
        let mut all = self.headers.iter().filter(|header| header.0 == name);
        let first = all.next()?;
        all.next().is_none().then_some(first.1.as_str())
    }

    /// What it brought, as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// Where it leads, after a change that was made.
    pub fn onward(&self) -> &str {
        assert_eq!(self.status, 303, "{}", self.text());
        self.header("location").expect("it leads somewhere")
    }

    /// The cookie that it sets, to be sent back in `Cookie`.
    pub fn cookie(&self) -> Option<&str> {
        self.header("set-cookie")?.split(';').next()
    }

    /// The token that stands in its first form of a change.
    pub fn token(&self) -> String {
        let text = self.text();
        let (_, after) = text
            .split_once("name=\"token\" value=\"")
            .unwrap_or_else(|| panic!("no form of a change: {text}"));
        after.split('"').next().unwrap_or_default().to_string()
    }
}

/// A body that came in chunks (RFC 9112, 7.1), put together.
fn unchunked(mut rest: &[u8]) -> Option<Vec<u8>> {
    let mut whole = Vec::new();
    loop {
        let end = rest.windows(2).position(|two| two == b"\r\n")?;
        let size = std::str::from_utf8(&rest[..end]).ok()?;
        let size = usize::from_str_radix(size, 16).ok()?;
        rest = &rest[end + 2..];
        whole.extend(rest.get(..size)?);
        rest = rest.get(size + 2..)?;
        if size == 0 {
            return Some(whole);
        }
    }
}
