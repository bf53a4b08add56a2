//! Templates: a text with names of fields in braces, which a person may edit.
//!
//! `{weight}` stands for a field's value, `{weight.label}` for its label and `{weight.standing}`
//! for what it rests on. A line all of whose names are blank is left out, and so is a whole
//! paragraph in which nothing is left but lines without names. A line that begins with `{*}` is
//! repeated for every field that is filled, with `{label}`, `{value}` and `{standing}`; a line with
//! `{missing}`, `{cautions}` or `{remarks}` once for each of these. `{{` and `}}` are plain braces.
//! There is no code.
//!
//! Invariant: a template that was read names nothing that a draft has not.

use super::draft::{Draft, Field, Kind, Standing};
use super::names;

/// Most bytes of a template.
pub const LONGEST: usize = 64 * 1024;
/// Most lines that begin with `{*}`, or repeat otherwise.
const REPEATED_MOST: usize = 20;
/// Likeness from which a name is offered for an unknown one.
const LIKE: f64 = 0.7;

/// A part of a line.
#[derive(Clone, Debug, PartialEq)]
enum Part {
    Plain(String),
    Value(Name),
    Label(Name),
    Standing(Name),
}

/// What a name in braces stands for.
#[derive(Clone, Debug, PartialEq)]
enum Name {
    Field(&'static str),
    Title,
    Kind,
    Sentence,
    /// In a line that is repeated: the field it is repeated for.
    This,
    List(List),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum List {
    Missing,
    Cautions,
    Remarks,
}

#[derive(Clone, Debug, PartialEq)]
struct Line {
    each: bool,
    parts: Vec<Part>,
}

/// A template that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    lines: Vec<Line>,
}

/// What is wrong with a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

/// The template that the plain text is made by.
pub const PLAIN: &str = "\
{title}

{sentence}

{*}{label}: {value}  [{standing}]

Remarks
- {remarks}

Still missing, the most useful first
- {missing}

Take care
- {cautions}
";

impl Template {
    /// Reads a template; all its faults at once.
    pub fn read(text: &str) -> Result<Template, Vec<Fault>> {
        if text.len() > LONGEST {
            return Err(vec![Fault {
                line: 1,
                what: format!("the template is longer than {LONGEST} bytes"),
                mend: "shorten it: begin from the one that --print-template prints".into(),
            }]);
        }
        let (mut lines, mut faults) = (Vec::new(), Vec::new());
        for (at, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
            match read_line(line) {
                Ok(line) => lines.push(line),
                Err((what, mend)) => faults.push(Fault {
                    line: at + 1,
                    what,
                    mend,
                }),
            }
        }
        let repeated = lines
            .iter()
            .filter(|line| line.each || line.list().is_some());
        if repeated.count() > REPEATED_MOST {
            faults.push(Fault {
                line: 1,
                what: format!("more than {REPEATED_MOST} lines are repeated"),
                mend: "name the fields one by one instead".into(),
            });
        }
        match faults.is_empty() {
            true => Ok(Template { lines }),
            false => Err(faults),
        }
    }

    /// The draft by this template.
    pub fn fill(&self, draft: &Draft) -> String {
        let mut text = String::new();
        let paragraphs = self.lines.split(|line| line.parts.is_empty());
        for (at, paragraph) in paragraphs.enumerate() {
            let mut written = String::new();
            let (mut named, mut filled) = (false, false);
            for line in paragraph {
                named |= line.has_names();
                for one in line.filled(draft) {
                    filled |= line.has_names();
                    written.push_str(one.trim_end());
                    written.push('\n');
                }
            }
            if named && !filled {
                continue;
            }
            if at > 0 && !text.ends_with("\n\n") && !text.is_empty() {
                text.push('\n');
            }
            text.push_str(&written);
        }
        let end = text.trim_end().len();
        text.truncate(end);
        text.push('\n');
        text
    }
}

/// The template that is handed out to be edited: every field of a kind by its name.
pub fn printed(kind: Kind) -> String {
    let mut text = String::from("{title}\n\n{sentence}\n\n");
    for (name, label) in names::of(kind) {
        text.push_str(&format!("{label}: {{{name}}}  [{{{name}.standing}}]\n"));
    }
    text.push_str(
        "\nRemarks\n- {remarks}\n\nStill missing, the most useful first\n- {missing}\n\nTake care\n- \
         {cautions}\n",
    );
    text
}

fn read_line(line: &str) -> Result<Line, (String, String)> {
    let each = line.starts_with("{*}");
    let mut rest = line.strip_prefix("{*}").unwrap_or(line);
    let mut parts: Vec<Part> = Vec::new();
    let mut plain = String::new();
    while let Some(c) = rest.chars().next() {
        if let Some(after) = rest.strip_prefix("{{").or(rest.strip_prefix("}}")) {
            plain.push(c);
            rest = after;
        } else if let Some(after) = rest.strip_prefix('{') {
            let Some((name, after)) = after.split_once('}') else {
                return Err((
                    "a brace is not closed".into(),
                    "close it with }, or write {{ for a plain brace".into(),
                ));
            };
            if !plain.is_empty() {
                parts.push(Part::Plain(std::mem::take(&mut plain)));
            }
            parts.push(placeholder(name.trim(), each)?);
            rest = after;
        } else if c == '}' {
            return Err((
                "a brace closes that was not opened".into(),
                "write }} for a plain brace".into(),
            ));
        } else {
            plain.push(c);
            rest = &rest[c.len_utf8()..];
        }
    }
    if !plain.is_empty() {
        parts.push(Part::Plain(plain));
    }
    let line = Line { each, parts };
    let lists = line.parts.iter().filter(|part| part.list().is_some());
    if lists.count() > 1 || (each && line.list().is_some()) {
        return Err((
            "one line repeats for two things".into(),
            "give each of {*}, {missing}, {cautions} and {remarks} a line of its own".into(),
        ));
    }
    Ok(line)
}

fn placeholder(name: &str, each: bool) -> Result<Part, (String, String)> {
    let (of, what) = name.split_once('.').unwrap_or((name, "value"));
    if each && !name.contains('.') {
        match name {
            "label" => return Ok(Part::Label(Name::This)),
            "value" => return Ok(Part::Value(Name::This)),
            "standing" => return Ok(Part::Standing(Name::This)),
            _ => {}
        }
    }
    let all = names::all();
    let of_field = all.iter().find(|known| **known == of).copied();
    let whole = match of {
        "title" => Some(Name::Title),
        "kind" => Some(Name::Kind),
        "sentence" => Some(Name::Sentence),
        "missing" => Some(Name::List(List::Missing)),
        "cautions" => Some(Name::List(List::Cautions)),
        "remarks" => Some(Name::List(List::Remarks)),
        _ => None,
    };
    match (whole, of_field, what) {
        (Some(name), _, "value") => Ok(Part::Value(name)),
        (None, Some(field), "value") => Ok(Part::Value(Name::Field(field))),
        (_, Some(field), "label") => Ok(Part::Label(Name::Field(field))),
        (_, Some(field), "standing") => Ok(Part::Standing(Name::Field(field))),
        _ => Err(unknown(name, of, what, &all)),
    }
}

fn unknown(name: &str, of: &str, what: &str, all: &[&str]) -> (String, String) {
    let shown: String = name.chars().filter(|c| !c.is_control()).take(60).collect();
    let whats = ["value", "label", "standing"];
    let others = [
        "title", "kind", "sentence", "missing", "cautions", "remarks",
    ];
    let near = if all.contains(&of) && !whats.contains(&what) {
        Some(format!("{of}.standing or {of}.label"))
    } else {
        let of: String = of.chars().take(60).collect();
        let known = all.iter().chain(&others);
        let likeness = known.map(|known| (strsim::jaro_winkler(known, &of), *known));
        let likeness = likeness.filter(|(like, _)| *like > LIKE);
        let best = likeness.max_by(|a, b| a.0.total_cmp(&b.0));
        best.map(|(_, known)| known.to_string())
    };
    let mend = match near {
        Some(near) => format!("the nearest name is {near}; all are in: --print-template"),
        None => "all names are in: lynchet record --print-template".into(),
    };
    (format!("\"{{{shown}}}\" names nothing of a record"), mend)
}

impl Part {
    fn list(&self) -> Option<List> {
        match self {
            Part::Value(Name::List(list)) => Some(*list),
            _ => None,
        }
    }
}

impl Line {
    fn has_names(&self) -> bool {
        self.each
            || self
                .parts
                .iter()
                .any(|part| !matches!(part, Part::Plain(_)))
    }

    fn list(&self) -> Option<List> {
        self.parts.iter().find_map(Part::list)
    }

    /// The line as often as it is to be written.
    fn filled(&self, draft: &Draft) -> Vec<String> {
        if self.each {
            let fields = draft.fields.iter().filter(|field| !field.is_blank());
            let lines = fields.map(|field| self.written(draft, Some(field), ""));
            return lines.flatten().collect();
        }
        let texts: Vec<&str> = match self.list() {
            None => return self.written(draft, None, "").into_iter().collect(),
            Some(List::Missing) => draft.missing.iter().map(|one| one.text.as_str()).collect(),
            Some(List::Cautions) => draft.cautions.iter().map(String::as_str).collect(),
            Some(List::Remarks) => draft.notes.iter().map(String::as_str).collect(),
        };
        let lines = texts
            .into_iter()
            .map(|text| self.written(draft, None, text));
        lines.flatten().collect()
    }

    /// The line once; none where all its names are blank.
    fn written(&self, draft: &Draft, this: Option<&Field>, entry: &str) -> Option<String> {
        let mut text = String::new();
        let mut filled = !self.has_names();
        for part in &self.parts {
            let value = match part {
                Part::Plain(plain) => {
                    text.push_str(plain);
                    continue;
                }
                Part::Value(name) => value(name, draft, this, entry),
                Part::Label(name) => field(name, draft, this)
                    .filter(|one| !one.is_blank())
                    .map_or(String::new(), |one| one.label.to_string()),
                Part::Standing(name) => field(name, draft, this)
                    .filter(|one| one.standing != Standing::Blank)
                    .map_or(String::new(), |one| one.standing.text()),
            };
            filled |= !value.is_empty();
            text.push_str(&value);
        }
        filled.then_some(text)
    }
}

fn field<'d>(name: &Name, draft: &'d Draft, this: Option<&'d Field>) -> Option<&'d Field> {
    match name {
        Name::Field(name) => draft.field(name),
        Name::This => this,
        _ => None,
    }
}

fn value(name: &Name, draft: &Draft, this: Option<&Field>, entry: &str) -> String {
    match name {
        Name::Title => draft.title(),
        Name::Kind => draft.kind.word().to_string(),
        Name::Sentence => draft.sentence.clone(),
        Name::List(_) => entry.to_string(),
        Name::Field(_) | Name::This => {
            field(name, draft, this).map_or(String::new(), |one| one.value.clone())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_templates_of_the_program_are_sound() {
        for text in [
            PLAIN.to_string(),
            printed(Kind::Coin),
            printed(Kind::Artefact),
        ] {
            assert!(Template::read(&text).is_ok(), "{:?}", Template::read(&text));
        }
    }

    #[test]
    fn a_fault_names_its_line_and_the_nearest_name() {
        let faults = Template::read("{title}\n{wieght}\n{weight\n}\n{weight.unit}").unwrap_err();
        let lines: Vec<usize> = faults.iter().map(|fault| fault.line).collect();
        assert_eq!(lines, [2, 3, 4, 5]);
        assert!(faults[0].mend.contains("weight"), "{:?}", faults[0]);
        assert!(
            faults[3].mend.contains("weight.standing"),
            "{:?}",
            faults[3]
        );
        assert!(Template::read("{{plain}} {weight}").is_ok());
        assert!(Template::read("{missing} {remarks}").is_err());
        assert!(Template::read(&"a".repeat(LONGEST + 1)).is_err());
    }
}
