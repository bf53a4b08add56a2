//! A real browser, driven over WebDriver (W3C Recommendation, 2018): Chromium without a window,
//! through chromedriver.
//!
//! JSON over HTTP to this machine alone. Where neither is installed the tests that want them say
//! that they were left out; with `LYNCHET_TEST_BROWSER=1` they fail instead.
//!
//! Invariant: browser and driver end with their [`Browser`].

use std::fs;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

use super::http::{Answer, Ask};

/// How long something that is waited for may take.
const PATIENCE: Duration = Duration::from_secs(30);
/// What names an element in WebDriver's answers.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// Keys as WebDriver sends them (W3C WebDriver, 17.4.2).
pub const TAB: &str = "\u{e004}";
/// The enter key.
pub const ENTER: &str = "\u{e007}";

/// A browser.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    _profile: TempDir,
}

/// An element of the page that is shown.
#[derive(Clone, Debug)]
pub struct Element(String);

/// True when a program is there.
fn there(program: &str) -> bool {
    let mut asked = Command::new(program);
    asked
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    asked.status().is_ok_and(|status| status.success())
}

/// Says that a test is left out for what is missing; fails where nothing may be.
fn missing(what: &str) {
    let must = std::env::var_os("LYNCHET_TEST_BROWSER").is_some_and(|set| set == "1");
    assert!(!must, "{what}");
    let _ = writeln!(io::stderr(), "left out: {what}");
}

/// The text of axe-core, which judges a page by the rules of WCAG; none where it is not installed.
pub fn axe() -> Option<String> {
    let file = "target/axe/node_modules/axe-core/axe.min.js";
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).ok();
    if text.is_none() {
        missing(
            "axe-core is not installed; npm install --no-save --prefix target/axe axe-core@4.14.1",
        );
    }
    text
}

impl Browser {
    /// A browser with a new profile; none where there is none on this machine.
    pub fn open() -> Option<Browser> {
        if !there("chromedriver") || !there("chromium") {
            missing("chromium or chromedriver is not installed; see DEVELOPERS.md");
            return None;
        }
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the driver starts");
        let out = BufReader::new(driver.stdout.take().expect("it is piped"));
        let port = out.lines().map_while(Result::ok).find_map(|line| {
            let (_, after) = line.split_once("successfully on port ")?;
            after.trim_end_matches('.').parse().ok()
        });
        let mut browser = Browser {
            driver,
            port: port.expect("the driver tells its port"),
            session: String::new(),
            _profile: TempDir::new().expect("a temporary folder"),
        };
        let mut arguments: Vec<String> = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--disable-quic",
            "--no-first-run",
            "--no-proxy-server",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--lang=en-GB",
        ]
        .map(String::from)
        .to_vec();
        arguments.push(format!(
            "--user-data-dir={}",
            browser._profile.path().display()
        ));
        let wanted = json!({"capabilities": {"alwaysMatch": {
            "browserName": "chrome",
            "goog:chromeOptions": {"args": arguments},
        }}});
        let made = browser.driver("POST", "/session", Some(&wanted));
        let session = made["sessionId"].as_str().expect("a session");
        browser.session = format!("/session/{session}");
        Some(browser)
    }

    fn driver(&self, method: &str, path: &str, body: Option<&Value>) -> Value {
        match self.try_driver(method, path, body) {
            Ok(value) => value,
            Err(fault) => panic!("{method} {path}: {fault}"),
        }
    }

    fn try_driver(&self, method: &str, path: &str, body: Option<&Value>) -> Result<Value, String> {
        let told = |error: io::Error| error.to_string();
        let host = format!("127.0.0.1:{}", self.port);
        let ask = Ask::new(method, path).without("Origin");
        let ask = match body {
            Some(body) => ask.body("application/json", body.to_string()),
            None => ask,
        };
        let mut stream = TcpStream::connect(&host).map_err(told)?;
        stream.set_read_timeout(Some(4 * PATIENCE)).map_err(told)?;
        stream.write_all(&ask.bytes(&host)).map_err(told)?;
        // The driver tells a length and keeps the connection.
        let mut read = Vec::new();
        let answer = loop {
            let mut piece = [0; 16 * 1024];
            let count = stream.read(&mut piece).map_err(told)?;
            read.extend(&piece[..count]);
            let so_far = Answer::read(&read);
            let length = |answer: &Answer| answer.header("content-length")?.parse::<usize>().ok();
            match so_far {
                Some(answer) if length(&answer).is_some_and(|all| answer.body.len() >= all) => {
                    break answer;
                }
                so_far if count == 0 => break so_far.ok_or("no answer")?,
                _ => {}
            }
        };
        let mut told: Value = serde_json::from_slice(&answer.body).map_err(|e| e.to_string())?;
        let value = told["value"].take();
        match answer.status {
            200 => Ok(value),
            _ => Err(format!("{}: {}", value["error"], value["message"])),
        }
    }

    fn post(&self, what: &str, body: &Value) -> Value {
        self.driver("POST", &format!("{}{what}", self.session), Some(body))
    }

    fn look(&self, what: &str) -> Value {
        self.driver("GET", &format!("{}{what}", self.session), None)
    }

    /// Goes to an address and waits until it is loaded.
    pub fn go(&self, url: &str) {
        self.post("/url", &json!({ "url": url }));
    }

    /// The address that is shown.
    pub fn address(&self) -> String {
        self.look("/url").as_str().unwrap_or_default().to_string()
    }

    /// What a function's body returns in the page; `arguments` holds what is handed on.
    pub fn run(&self, script: &str, arguments: &[Value]) -> Value {
        let body = json!({ "script": script, "args": arguments });
        self.post("/execute/sync", &body)
    }

    /// The same for one that calls its last argument when it is done.
    pub fn run_later(&self, script: &str, arguments: &[Value]) -> Value {
        let body = json!({ "script": script, "args": arguments });
        self.post("/execute/async", &body)
    }

    /// A call of the browser's own protocol.
    pub fn own(&self, command: &str, parameters: &Value) -> Value {
        let body = json!({ "cmd": command, "params": parameters });
        self.post("/goog/cdp/execute", &body)
    }

    /// Makes the page so large, in CSS pixels.
    pub fn size(&self, width: u32, height: u32) {
        let size = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false,
        });
        self.own("Emulation.setDeviceMetricsOverride", &size);
    }

    /// Asks for dark or for light pages.
    pub fn dark(&self, dark: bool) {
        let scheme = if dark { "dark" } else { "light" };
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.own(
            "Emulation.setEmulatedMedia",
            &json!({ "features": features }),
        );
    }

    /// Runs scripts of pages, or none.
    pub fn scripts(&self, run: bool) {
        let off = json!({ "value": !run });
        self.own("Emulation.setScriptExecutionDisabled", &off);
    }

    /// The element that a selector finds first; waited for.
    pub fn find(&self, selector: &str) -> Element {
        let found = self.wait(selector, || self.found(selector));
        Element(found)
    }

    /// True when a selector finds something now.
    pub fn has(&self, selector: &str) -> bool {
        self.found(selector).is_some()
    }

    fn found(&self, selector: &str) -> Option<String> {
        let body = json!({ "using": "css selector", "value": selector });
        let path = format!("{}/element", self.session);
        let found = self.try_driver("POST", &path, Some(&body)).ok()?;
        found[ELEMENT].as_str().map(str::to_string)
    }

    /// Asks again until something is there.
    pub fn wait<T>(&self, what: &str, mut there: impl FnMut() -> Option<T>) -> T {
        let begun = Instant::now();
        loop {
            if let Some(found) = there() {
                return found;
            }
            let left = begun.elapsed() < PATIENCE;
            assert!(left, "waited in vain for {what} at {}", self.address());
        }
    }

    /// Waits until a function's body returns true in the page.
    pub fn until(&self, script: &str) {
        let path = format!("{}/execute/sync", self.session);
        let body = json!({ "script": script, "args": [] });
        // While another page is on its way there is none to ask.
        self.wait(script, || {
            let said = self.try_driver("POST", &path, Some(&body));
            (said.is_ok_and(|said| said == true)).then_some(())
        });
    }

    /// Types into an element.
    pub fn write(&self, element: &Element, text: &str) {
        let body = json!({ "text": text });
        self.post(&format!("/element/{}/value", element.0), &body);
    }

    /// Presses keys wherever the focus is.
    pub fn press(&self, keys: &str) {
        let strokes = keys.chars().flat_map(|key| {
            let stroke = |kind: &str| json!({ "type": kind, "value": key.to_string() });
            [stroke("keyDown"), stroke("keyUp")]
        });
        let strokes: Vec<Value> = strokes.collect();
        let hand = json!({ "type": "key", "id": "hand", "actions": strokes });
        self.post("/actions", &json!({ "actions": [hand] }));
    }

    /// Goes on by the tab key alone until what a selector finds has the focus.
    pub fn tab_to(&self, selector: &str) {
        let here = "return document.activeElement.matches(arguments[0])";
        for _ in 0..400 {
            if self.run(here, &[selector.into()]) == true {
                let seen = "const s = getComputedStyle(document.activeElement); \
                    return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2 \
                    || s.boxShadow !== 'none'";
                assert_eq!(
                    self.run(seen, &[]),
                    true,
                    "the focus on {selector} is not seen"
                );
                return;
            }
            self.press(TAB);
        }
        panic!(
            "{selector} is not reached by the tab key at {}",
            self.address()
        );
    }

    /// The text of an element as it is seen.
    pub fn text(&self, selector: &str) -> String {
        let element = self.find(selector);
        let text = self.look(&format!("/element/{}/text", element.0));
        text.as_str().unwrap_or_default().to_string()
    }

    /// A picture of what is shown, PNG.
    pub fn picture(&self) -> Vec<u8> {
        let text = self.look("/screenshot");
        unpacked(text.as_str().expect("a picture"))
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.try_driver("DELETE", &self.session, None);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// Bytes of their text in base 64 (RFC 4648, 4).
fn unpacked(text: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(text.len() * 3 / 4);
    let (mut held, mut bits) = (0_u32, 0);
    for sign in text.bytes() {
        let six = match sign {
            b'A'..=b'Z' => sign - b'A',
            b'a'..=b'z' => sign - b'a' + 26,
            b'0'..=b'9' => sign - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => continue,
        };
        held = held << 6 | u32::from(six);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from(held >> bits & 255).expect("a byte"));
        }
    }
    bytes
}

#[test]
fn base_64_is_unpacked() {
    // RFC 4648, section 10.
    for (text, bytes) in [
        ("", ""),
        ("Zg==", "f"),
        ("Zm8=", "fo"),
        ("Zm9v", "foo"),
        ("Zm9vYg==", "foob"),
        ("Zm9vYmE=", "fooba"),
        ("Zm9vYmFy", "foobar"),
    ] {
        assert_eq!(unpacked(text), bytes.as_bytes());
    }
}
