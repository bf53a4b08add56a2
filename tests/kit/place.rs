//! A place of one's own for a test: a shelf, the files beside it, and the real program over both.
//!
//! The farm, its fields and its people are invented.
//!
//! Invariant: a shelf is gone with its place; only the prepared library is shared.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use serde_json::Value;
use tempfile::TempDir;

use super::{Door, Outcome, command};

/// Types of the 330s and 340s, as a small Roman site gives them.
const NUMMI: [&str; 4] = [
    "nummus-gloria-two-constantine-ii",
    "nummus-gloria-one-constantine-ii",
    "nummus-constantinopolis",
    "nummus-gloria-one-constans",
];

/// A shelf and the folder that files for it lie in.
pub struct Place {
    folder: TempDir,
}

impl Place {
    /// With nothing in it yet.
    pub fn new() -> Place {
        let folder = TempDir::new().expect("a temporary folder");
        Place { folder }
    }

    /// The folder of the shelf, which need not be there.
    pub fn shelf(&self) -> PathBuf {
        self.beside("shelf")
    }

    /// The path of a file or folder beside the shelf.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file beside the shelf; gives its path.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        let path = self.beside(name);
        fs::write(&path, bytes).expect("the file is written");
        path.display().to_string()
    }

    /// Writes a file of types of the finder's own.
    pub fn own(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.shelf().join("types").join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
        fs::write(path, text).expect("the file is written");
    }

    /// The program over this shelf, about to be run.
    pub fn door(&self, arguments: &[&str]) -> Door {
        let mut door = command();
        door.args(arguments)
            .env("LYNCHET_SHELF", self.shelf())
            .env("LYNCHET_CACHE", cache())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        door
    }

    /// How the program ends; it never panics.
    pub fn run(&self, arguments: &[&str]) -> Outcome {
        let ended = Outcome::from(self.door(arguments).output().expect("the program runs"));
        assert_ne!(ended.code, 101, "{}", ended.err);
        assert!(!ended.err.contains("panicked"), "{}", ended.err);
        ended
    }

    /// What the program prints when it answers.
    pub fn done(&self, arguments: &[&str]) -> String {
        let ended = self.run(arguments);
        assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
        ended.out
    }

    /// The same, as JSON.
    pub fn json(&self, arguments: &[&str]) -> Value {
        let out = self.done(&[arguments, &["--json"]].concat());
        serde_json::from_str(&out).unwrap_or_else(|fault| panic!("{fault}: {out}"))
    }

    /// What a call that is refused says.
    pub fn refused(&self, arguments: &[&str]) -> String {
        let ended = self.run(arguments);
        assert_eq!(ended.code, 2, "{arguments:?}: {}", ended.out);
        ended.err
    }

    /// A holding with leave that lapses on 30 June 2026, and a field of it.
    pub fn farm(&self) {
        self.done(&[
            "land",
            "add",
            "NETHERFOLD",
            "Netherfold Farm",
            "--owner",
            "A. Farmer",
            "--country",
            "England",
        ]);
        self.done(&["land", "add", "LONGACRE", "Long Acre", "--of", "netherfold"]);
        let leave = [
            "--from",
            "2026-01-01",
            "--to",
            "2026-06-30",
            "--split",
            "half each",
        ];
        self.done(&[&["land", "leave", "NETHERFOLD"][..], &leave].concat());
    }

    /// Keeps a penny under an id.
    pub fn penny(&self, id: &str, more: &[&str]) -> Value {
        let words = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
        self.json(&[&["collection", "add", words, "--id", id], more].concat())
    }

    /// A farm with a field, on which finds of Roman types were confirmed.
    pub fn site(&self, finds: usize) {
        self.done(&[
            "land",
            "add",
            "NETHERFOLD",
            "Netherfold Farm",
            "--country",
            "England",
        ]);
        self.done(&["land", "add", "LONGACRE", "Long Acre", "--of", "NETHERFOLD"]);
        let mut table = String::from("id,metal,diameter,weight,land,type\n");
        for find in 0..finds {
            let id = NUMMI[find % NUMMI.len()];
            table.push_str(&format!("N-{find},copper alloy,16,2.1,LONGACRE,{id}\n"));
        }
        let path = self.file("finds.csv", table);
        self.done(&["collection", "import", &path]);
        for find in 0..finds {
            let id = format!("N-{find}");
            self.done(&["collection", "confirm", &id, "--by", "officer"]);
        }
    }
}

/// One cache for these tests, so that the library is prepared once.
fn cache() -> &'static Path {
    use std::sync::LazyLock;
    static CACHE: LazyLock<PathBuf> = LazyLock::new(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("place-cache");
        let _ = fs::remove_dir_all(&folder);
        folder
    });
    &CACHE
}
