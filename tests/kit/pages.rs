//! What a page holds, as far as the tests go by it: its forms, its links, what it asks a browser to
//! fetch.
//!
//! Reads what our own pages write, which is even; it is no reader of any page.
//!
//! Invariant: a form or link that a page has is found, or the reading fails.

/// A tag that opens: its name and attributes, with the five named signs read.
#[derive(Clone, Debug)]
pub struct Tag {
    /// Its name.
    pub name: String,
    attributes: Vec<(String, String)>,
}

impl Tag {
    /// An attribute's text; empty where it stands without one.
    pub fn get(&self, name: &str) -> Option<&str> {
        let found = self.attributes.iter().find(|one| one.0 == name);
        found.map(|one| one.1.as_str())
    }

    /// The names of its attributes.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.attributes.iter().map(|one| one.0.as_str())
    }
}

/// The opening and closing tags of a page in order; a closing one has `/` before its name.
pub fn tags(page: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut rest = page;
    while let Some((_, after)) = rest.split_once('<') {
        let name_end = after
            .find(|c: char| c.is_whitespace() || c == '>')
            .expect("a tag ends");
        let (name, mut inside) = after.split_at(name_end);
        let mut attributes = Vec::new();
        loop {
            inside = inside.trim_start();
            if let Some(more) = inside.strip_prefix('>') {
                rest = more;
                break;
            }
            let end = inside
                .find(|c: char| c.is_whitespace() || c == '=' || c == '>')
                .expect("an attribute ends");
            let (attribute, more) = inside.split_at(end);
            let (text, more) = match more.strip_prefix("=\"") {
                Some(quoted) => quoted.split_once('"').expect("a quote ends"),
                None => ("", more),
            };
            attributes.push((attribute.to_string(), unescaped(text)));
            inside = more;
        }
        tags.push(Tag {
            name: name.to_ascii_lowercase(),
            attributes,
        });
    }
    tags
}

/// Text with the signs that the pages escape read.
fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}

/// A form.
#[derive(Clone, Debug)]
pub struct Form {
    /// True when it changes something.
    pub changes: bool,
    /// Where it is sent.
    pub action: String,
    /// True when it brings files.
    pub files: bool,
    /// Its fields: name, kind (`text`, `hidden`, `textarea`, `select`, ...), what stands in them.
    pub fields: Vec<(String, String, String)>,
}

/// The forms of a page.
pub fn forms(page: &str) -> Vec<Form> {
    let mut forms: Vec<Form> = Vec::new();
    let mut within = false;
    for tag in tags(page) {
        match tag.name.as_str() {
            "form" => {
                within = true;
                forms.push(Form {
                    changes: tag
                        .get("method")
                        .is_some_and(|method| method.eq_ignore_ascii_case("post")),
                    action: tag.get("action").unwrap_or_default().to_string(),
                    files: tag.get("enctype") == Some("multipart/form-data"),
                    fields: Vec::new(),
                });
            }
            "/form" => within = false,
            "input" | "textarea" | "select" | "button" if within => {
                let kind = match tag.name.as_str() {
                    "input" => tag.get("type").unwrap_or("text"),
                    other => other,
                };
                let form = forms.last_mut().expect("it is within one");
                if let Some(name) = tag.get("name") {
                    let stands = tag.get("value").unwrap_or_default();
                    form.fields.push((name.into(), kind.into(), stands.into()));
                }
            }
            _ => {}
        }
    }
    forms
}

/// Where a page leads within the house: paths with their query, without fragments.
pub fn links(page: &str) -> Vec<String> {
    let tags = tags(page);
    let targets = tags.iter().filter(|tag| tag.name == "a");
    let own = targets.filter_map(|tag| tag.get("href"));
    own.filter(|target| target.starts_with('/'))
        .map(|target| target.split('#').next().unwrap_or_default().to_string())
        .collect()
}

#[test]
fn forms_and_links_are_read() {
    let page = "<!DOCTYPE html><p><a href=\"/a?b=1&amp;c=2#d\">x</a><a href=\"#e\">y</a></p>\
        <form method=\"post\" action=\"/go\" enctype=\"multipart/form-data\">\
        <input type=\"hidden\" name=\"token\" value=\"t\"><input name=\"words\" required>\
        <textarea name=\"more\">a &lt; b</textarea></form>\
        <form action=\"/look\"><input type=\"search\" name=\"q\"></form>";
    assert_eq!(links(page), ["/a?b=1&c=2"]);
    let forms = forms(page);
    assert!(forms[0].changes && forms[0].files && !forms[1].changes);
    let names = |form: &Form| -> Vec<String> {
        let fields = form.fields.iter();
        fields
            .map(|field| format!("{}:{}", field.0, field.1))
            .collect()
    };
    assert_eq!(
        names(&forms[0]),
        ["token:hidden", "words:text", "more:textarea"]
    );
    assert_eq!(names(&forms[1]), ["q:search"]);
}
