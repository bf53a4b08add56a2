//! Puts one file of the library into canonical form.
//!
//! Tables go into their order (a series: `[shared]`, then first year and id; any
//! other file: id), fields into the README's; one blank line stands between tables,
//! none within; short lists and inline tables get even spacing. Comments travel with
//! the table or field they stand above. What stands at the head of the file, down to
//! the last blank line before the first table, stays there. A list broken over
//! several lines keeps its lines.
//!
//! Invariant: values never change (the text is read before and after, and a
//! difference is a fault), and tidying twice gives the text of tidying once.

use toml_edit::{DocumentMut, InlineTable, Item, Key, RawString, Table, Value};

use super::fault::Fault;
use super::packed::{is_drawing, is_weights};

/// Fields of each kind of table, in the order they are written; `raw.rs` has the
/// same order.
const SOURCE: &[&str] = &["kind", "author", "year", "title", "trust"];
const PERIOD: &[&str] = &["name", "span", "words", "sources", "grade"];
const METAL: &[&str] = &["name", "looks", "words", "nomisma", "sources", "grade"];
const DENOMINATION: &[&str] = &[
    "name",
    "words",
    "nomisma",
    "standards",
    "note",
    "sources",
    "grade",
];
const STANDARD: &[&str] = &[
    "span",
    "metal",
    "weight",
    "cv",
    "diameter",
    "thickness",
    "note",
    "sources",
    "grade",
];
const RULER: &[&str] = &[
    "name", "kind", "realm", "reigns", "members", "words", "nomisma", "note", "sources", "grade",
];
const MINT: &[&str] = &[
    "name", "struck", "lives", "words", "nomisma", "note", "sources", "grade",
];
const MOTIF: &[&str] = &[
    "name", "under", "parts", "words", "note", "sources", "grade",
];
const LEGEND: &[&str] = &[
    "text", "variants", "script", "reads", "note", "sources", "grade",
];
const TYPE: &[&str] = &[
    "series",
    "name",
    "span",
    "period",
    "ruler",
    "denomination",
    "metal",
    "mints",
    "weights",
    "diameter",
    "thickness",
    "axis",
    "made",
    "obverse",
    "reverse",
    "edge",
    "marks",
    "habits",
    "copy",
    "common",
    "regions",
    "ref",
    "outside",
    "apart",
    "note",
    "sources",
    "grade",
];
const CLASS: &[&str] = &[
    "name", "under", "words", "parts", "sizes", "along", "caution", "sources", "grade",
];
const FORM: &[&str] = &["name", "facet", "of", "under", "words", "sources", "grade"];
const ARTEFACT: &[&str] = &[
    "series",
    "name",
    "class",
    "group",
    "period",
    "span",
    "materials",
    "typology",
    "made",
    "sizes",
    "weight",
    "outline",
    "section",
    "has",
    "may",
    "lacks",
    "decoration",
    "letters",
    "survives",
    "common",
    "regions",
    "ref",
    "apart",
    "note",
    "sources",
    "grade",
];
const RECKONED: &[&str] = &[
    "name", "span", "unit", "ball", "codes", "often", "steps", "note", "sources", "grade",
];
const MOVE: &[&str] = &["to", "why"];
/// Fields of the tables within types; their names are distinct, so one list does.
const WITHIN_TYPE: &[&str] = &["motifs", "legends", "g", "cv", "share", "from", "by"];

/// Fields of the tables within artefact types.
const WITHIN_ARTEFACT: &[&str] = &[
    "length",
    "width",
    "thickness",
    "height",
    "diameter",
    "from",
    "by",
];

/// Order of the fields of a file's tables, and of the tables within those.
fn fields(file: &str) -> (&'static [&'static str], &'static [&'static str]) {
    let folder = file.split('/').next().unwrap_or("");
    match folder.trim_end_matches(".toml") {
        "sources" => (SOURCE, &[]),
        "periods" | "periods-before-coins" => (PERIOD, &[]),
        "metals" => (METAL, &[]),
        "denominations" => (DENOMINATION, STANDARD),
        "rulers" => (RULER, &[]),
        "mints" => (MINT, &[]),
        "motifs" => (MOTIF, &[]),
        "legends" => (LEGEND, &[]),
        "coins" | "attic" => (TYPE, WITHIN_TYPE),
        "classes" => (CLASS, &[]),
        "forms" => (FORM, &[]),
        "artefacts" => (ARTEFACT, WITHIN_ARTEFACT),
        "reckoned" => (RECKONED, &["name", "of"]),
        "said" | "told" => (&["said"], &[]),
        "moved" => (MOVE, &[]),
        _ => (&[], &[]),
    }
}

/// The canonical text of a file. Fails when the text is not TOML, or is written so
/// that it cannot be put in order without changing a value.
#[expect(clippy::result_large_err, reason = "a fault a file, and few of them")]
pub fn tidy(file: &str, text: &str) -> Result<String, Fault> {
    if is_drawing(file) || is_weights(file) {
        return Ok(text.to_string());
    }
    let clean = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let (head, body) = split_head(&clean);
    let document: DocumentMut = body.parse().map_err(|error: toml_edit::TomlError| {
        let mut fault = Fault::at("reads", file, "", "", error.message(), "write it as TOML");
        let start = clean.len() - body.len() + error.span().map_or(0, |span| span.start);
        fault.line = clean
            .bytes()
            .take(start)
            .filter(|byte| *byte == b'\n')
            .count()
            + 1;
        fault
    })?;
    let mut writer = Writer::new(file);
    writer.comment(head, Blanks::Keep);
    writer.document(&document);
    let tidied = writer.finish();
    if read(&tidied) == read(&clean) {
        return Ok(tidied);
    }
    let what = "the file cannot be put in order without changing a value";
    let mend = "write every row under one heading, and its tables right below it";
    Err(Fault::at("order", file, "", "", what, mend))
}

fn read(text: &str) -> Option<toml::Table> {
    text.parse().ok()
}

/// The comments at the head of a file, down to the last blank line, and the rest.
fn split_head(text: &str) -> (&str, &str) {
    let (mut at, mut end) = (0, 0);
    for line in text.split_inclusive('\n') {
        match line.trim() {
            "" => end = at + line.len(),
            comment if comment.starts_with('#') => {}
            _ => return text.split_at(end),
        }
        at += line.len();
    }
    // Nothing but comments.
    text.split_at(text.len())
}

/// What becomes of blank lines among comments.
#[derive(Clone, Copy, PartialEq)]
enum Blanks {
    /// Runs of them become one, but none opens the text.
    Keep,
    /// All go.
    Drop,
}

/// Writes a document's tables in order.
struct Writer {
    out: String,
    series: bool,
    fields: &'static [&'static str],
    within: &'static [&'static str],
}

impl Writer {
    fn new(file: &str) -> Writer {
        let (fields, within) = fields(file);
        let folder = file.split('/').next();
        let series = matches!(folder, Some("coins" | "attic" | "artefacts"));
        Writer {
            out: String::new(),
            series,
            fields,
            within,
        }
    }

    fn document(&mut self, document: &DocumentMut) {
        self.values(document.as_table(), &[]);
        for (key, item) in ordered(document.as_table(), self.series) {
            self.item(&[key], item, self.fields);
        }
        let trailing = document.trailing().as_str().unwrap_or("");
        if trailing.contains('#') {
            self.gap();
            self.comment(trailing, Blanks::Keep);
        }
    }

    /// Ends the text with one line end and no blank line.
    fn finish(mut self) -> String {
        self.out.truncate(self.out.trim_end_matches('\n').len());
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        self.out
    }

    /// A blank line, unless one is there or nothing is.
    fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    fn comment(&mut self, text: &str, blanks: Blanks) {
        for line in text.lines().map(str::trim) {
            if line.starts_with('#') {
                self.out.push_str(&line.replace('\t', " "));
                self.out.push('\n');
            } else if blanks == Blanks::Keep {
                self.gap();
            }
        }
    }

    /// A table or list of tables with all within it.
    fn item(&mut self, path: &[&Key], item: &Item, fields: &[&str]) {
        match item {
            Item::Table(table) => self.table(path, table, ["[", "]"], fields),
            Item::ArrayOfTables(list) => {
                for table in list.iter() {
                    self.table(path, table, ["[[", "]]"], fields);
                }
            }
            _ => {}
        }
    }

    fn table(&mut self, path: &[&Key], table: &Table, brackets: [&str; 2], fields: &[&str]) {
        if !table.is_implicit() {
            self.gap();
            self.comment(plain(table.decor().prefix()), Blanks::Keep);
            let name = dotted(path);
            self.out
                .push_str(&format!("{}{name}{}", brackets[0], brackets[1]));
            self.end_line(plain(table.decor().suffix()));
        }
        self.values(table, fields);
        let mut inner: Vec<(&Key, &Item)> = tables(table).collect();
        inner.sort_by_key(|(key, _)| rank(key.get(), fields));
        for (key, item) in inner {
            let path: Vec<&Key> = path.iter().copied().chain([key]).collect();
            self.item(&path, item, self.within);
        }
    }

    /// The fields of one table, each with the comments above it.
    fn values(&mut self, table: &Table, fields: &[&str]) {
        let mut values = table.get_values();
        values.sort_by_key(|(path, _)| rank(path[0].get(), fields));
        for (path, value) in values {
            let above = path.last().and_then(|key| key.leaf_decor().prefix());
            self.comment(plain(above), Blanks::Drop);
            let written = written(value, self.within);
            self.out.push_str(&format!("{} = {written}", dotted(&path)));
            self.end_line(plain(value.decor().suffix()));
        }
    }

    /// The remark behind a value or a heading, and the line end.
    fn end_line(&mut self, remark: &str) {
        let remark = remark.trim_end().replace('\t', " ");
        if !remark.is_empty() && !remark.starts_with(' ') {
            self.out.push(' ');
        }
        self.out.push_str(&remark);
        self.out.push('\n');
    }
}

fn plain(text: Option<&RawString>) -> &str {
    text.and_then(RawString::as_str).unwrap_or("")
}

fn dotted(path: &[&Key]) -> String {
    let parts: Vec<_> = path.iter().map(|key| key.display_repr()).collect();
    parts.join(".")
}

/// Place of a field in its table's order; unknown ones go last.
fn rank(field: &str, fields: &[&str]) -> usize {
    fields
        .iter()
        .position(|known| *known == field)
        .unwrap_or(fields.len())
}

/// Tables under headings of their own within a table.
fn tables(table: &Table) -> impl Iterator<Item = (&Key, &Item)> {
    table.iter().filter_map(|(name, item)| {
        let own = match item {
            Item::Table(inner) => !inner.is_dotted(),
            Item::ArrayOfTables(_) => true,
            _ => false,
        };
        own.then(|| table.key(name).map(|key| (key, item)))
            .flatten()
    })
}

/// The tables of a file in canonical order.
fn ordered(document: &Table, series: bool) -> Vec<(&Key, &Item)> {
    let mut found: Vec<(&Key, &Item)> = tables(document).collect();
    let shared = document.get("shared").and_then(first_year);
    found.sort_by_cached_key(|(key, item)| {
        let id = key.get().to_string();
        if series {
            (id != "shared", first_year(item).or(shared), id)
        } else {
            (true, None, id)
        }
    });
    found
}

fn first_year(row: &Item) -> Option<i64> {
    row.get("span")?.get(0)?.as_integer()
}

/// A value as it is written: on one line evenly spaced, on several as it stands.
fn written(value: &Value, fields: &[&str]) -> String {
    let mut bare = value.clone();
    bare.decor_mut().clear();
    let text = bare.to_string();
    if !text.contains('\n') {
        return spaced(value, fields);
    }
    if text.contains("\"\"\"") || text.contains("'''") {
        return text;
    }
    let lines: Vec<String> = text.trim().lines().map(clean_line).collect();
    lines.join("\n")
}

/// A line of a broken list without trailing blanks, indented by blanks.
fn clean_line(line: &str) -> String {
    let rest = line.trim_start();
    let indent = &line[..line.len() - rest.len()];
    format!("{}{rest}", indent.replace('\t', "  "))
        .trim_end()
        .to_string()
}

fn spaced(value: &Value, fields: &[&str]) -> String {
    match value {
        Value::Array(list) => {
            let entries: Vec<String> = list.iter().map(|entry| spaced(entry, fields)).collect();
            format!("[{}]", entries.join(", "))
        }
        Value::InlineTable(table) => inline(table, fields),
        _ => {
            let mut bare = value.clone();
            bare.decor_mut().clear();
            bare.to_string()
        }
    }
}

fn inline(table: &InlineTable, fields: &[&str]) -> String {
    let mut values = table.get_values();
    values.sort_by_key(|(path, _)| rank(path[0].get(), fields));
    let entries: Vec<String> = values
        .into_iter()
        .map(|(path, value)| format!("{} = {}", dotted(&path), spaced(value, fields)))
        .collect();
    if entries.is_empty() {
        return "{}".to_string();
    }
    format!("{{ {} }}", entries.join(", "))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::files::embedded;
    use super::*;

    fn tidied(file: &str, text: &str) -> String {
        tidy(file, text).unwrap_or_else(|fault| panic!("{fault}\n{text}"))
    }

    #[test]
    fn tables_fields_and_comments_find_their_places() {
        let text = "\u{feff}# head\r\n\r\n# of b\r\n[b] # heading\r\ngrade = \"cited\"  # why\r\n\
                    # of name\r\nname=\"B\"\r\n\r\n\r\n# of a\r\n[a]\r\n\r\nwords = [ 'x',\"y\", ]   \r\n\
                    name = \"A\"\r\n# end";
        let expected = "# head\n\n# of a\n[a]\nname = \"A\"\nwords = ['x', \"y\"]\n\n\
                        # of b\n[b] # heading\n# of name\nname = \"B\"\ngrade = \"cited\"  # why\n\n# end\n";
        assert_eq!(tidied("motifs/x.toml", text), expected);
    }

    #[test]
    fn types_stand_by_first_year_with_the_shared_head_on_top() {
        let text = "[c]\nspan = [10, 20]\n[b]\nname = \"b\"\n[a]\nspan = [-5, 3]\n\
                    [shared]\ngrade = \"cited\"\nspan = [10, 12]\nreverse = {legends=[],motifs=[\"x\"]}\n";
        let found = tidied("coins/x/y.toml", text);
        let ids: Vec<&str> = found.lines().filter(|line| line.starts_with('[')).collect();
        assert_eq!(ids, ["[shared]", "[a]", "[b]", "[c]"]);
        assert!(found.contains("reverse = { motifs = [\"x\"], legends = [] }\ngrade"));
    }

    #[test]
    fn standards_stay_below_their_denomination() {
        let text = "[[b.standards]]\ncv = 0.1\nspan = [1, 2]\n[b]\nname = \"b\"\n[a]\n[[a.standards]]\n\
                    metal = \"x\"\n\n[[a.standards]]\nmetal = \"y\"\n";
        let expected = "[a]\n\n[[a.standards]]\nmetal = \"x\"\n\n[[a.standards]]\nmetal = \"y\"\n\n\
                        [b]\nname = \"b\"\n\n[[b.standards]]\nspan = [1, 2]\ncv = 0.1\n";
        assert_eq!(tidied("denominations/x.toml", text), expected);
    }

    #[test]
    fn a_list_over_several_lines_keeps_them() {
        let text = "[a]\nwords = [ \n\t\"x\", # one\n  \"y\",\n]\nname = \"A\"\n";
        let expected = "[a]\nname = \"A\"\nwords = [\n  \"x\", # one\n  \"y\",\n]\n";
        assert_eq!(tidied("motifs/x.toml", text), expected);
    }

    #[test]
    fn what_is_not_toml_is_a_fault_on_its_line() {
        let fault = tidy("motifs/x.toml", "# head\n\n[a]\nname = = 1\n").expect_err("no TOML");
        assert_eq!((fault.rule, fault.line), ("reads", 4));
    }

    #[test]
    fn the_embedded_library_keeps_its_values_and_settles_at_once() {
        let drawn = |file: &String| file.ends_with(".svg");
        for (file, text) in embedded().into_iter().filter(|(file, _)| !drawn(file)) {
            let once = tidied(&file, &text);
            assert_eq!(read(&once), read(&text), "{file}");
            assert_eq!(tidied(&file, &once), once, "{file}");
        }
    }

    /// A comment or blank line, or none.
    fn filler() -> impl Strategy<Value = String> {
        prop::collection::vec(
            prop_oneof![Just(""), Just("# x"), Just("  # y\t "), Just("   ")],
            0..4,
        )
        .prop_map(|lines| lines.iter().map(|line| format!("{line}\n")).collect())
    }

    fn field() -> impl Strategy<Value = String> {
        let value = prop_oneof![
            Just("[ 1,2 ]"),
            Just("\"a # b\""),
            Just("{by='x',  from = \"y\"}"),
            Just("[\n  'a', # c \n\n\t'b'\n]"),
            Just("\"\"\"one \n  two\"\"\""),
            Just("[{ from = \"a\", by = \"b\" } , {}]"),
            Just("1.50"),
        ];
        let remark = prop_oneof![Just(""), Just("   # remark "), Just(" \t")];
        (filler(), value, remark).prop_map(|(filler, value, remark)| {
            // The name is put in front when the table is made, so that no two meet.
            format!("{filler}NAME= {value}{remark}\n")
        })
    }

    fn document() -> impl Strategy<Value = String> {
        let fields = prop::sample::subsequence(
            vec!["name", "note", "grade", "apart", "span", "other", "obverse"],
            0..6,
        );
        let ids = prop::sample::subsequence(vec!["a", "b-1", "shared", "z", "\"q r\""], 0..5);
        let table = (
            filler(),
            fields.prop_shuffle(),
            prop::collection::vec(field(), 6),
            0..3usize,
        )
            .prop_map(|(above, names, fields, standards)| {
                let named = names.iter().zip(fields);
                let body: String = named
                    .map(|(name, field)| field.replace("NAME", name))
                    .collect();
                (above, body, standards)
            });
        (
            filler(),
            ids.prop_shuffle(),
            prop::collection::vec(table, 5),
            filler(),
        )
            .prop_map(|(head, ids, tables, tail)| {
                let mut text = head;
                for (id, (above, body, standards)) in ids.iter().zip(tables) {
                    text.push_str(&format!("{above}[{id}] # h\n{body}"));
                    for _ in 0..standards {
                        text.push_str(&format!("# s\n[[{id}.standards]]\ncv = 1\n"));
                    }
                }
                text + &tail
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(256))]
        #[test]
        fn tidying_keeps_values_comments_and_settles(text in document(), crlf in any::<bool>(), series in any::<bool>()) {
            let file = if series { "coins/x/y.toml" } else { "denominations/x.toml" };
            let given = if crlf { text.replace('\n', "\r\n") } else { text.clone() };
            let once = tidied(file, &given);
            prop_assert_eq!(read(&once), read(&text));
            prop_assert_eq!(once.matches('#').count(), text.matches('#').count());
            prop_assert_eq!(tidied(file, &once), once.clone());
            prop_assert!(!once.contains("\n\n\n") && !once.contains('\r'));
            prop_assert!(once.is_empty() || once.ends_with('\n') && !once.ends_with("\n\n"));
        }
    }
}
