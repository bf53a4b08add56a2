//! The page to print: one file, no script, A4, light and dark, fit for a screen reader.
//!
//! Everything that was typed is escaped, so that it stays text. Fetches nothing.
//!
//! Invariant: the only tags of the page are those written here.

use crate::record::draft::{Draft, Field, LEGENDS, Standing};
use crate::record::epidoc::escaped;

/// How the page looks: on a screen in the reader's own light or dark, on paper black on white.
const STYLE: &str = "\
:root{color-scheme:light dark;--ink:#1c1c1a;--paper:#fff;--faint:#5b5a55;--line:#c9c6bd;--tint:#f3f1ea}\
@media (prefers-color-scheme:dark){:root{--ink:#ecebe6;--paper:#171716;--faint:#b3b1a9;--line:#4a4943;--tint:#23221f}}\
*{box-sizing:border-box}\
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.45 Georgia,'Times New Roman',serif}\
main{max-width:46rem;margin:0 auto;padding:1.25rem 1rem 3rem}\
h1{font-size:1.45rem;margin:0 0 .5rem}h2{font-size:1.05rem;margin:1.4rem 0 .4rem}\
article+article{border-top:2px solid var(--line);margin-top:2rem;padding-top:1.5rem}\
.lead{font-size:1.05rem;overflow-wrap:anywhere}\
.note{color:var(--faint);font-size:.9rem}\
table{border-collapse:collapse;width:100%}\
caption{text-align:left;font-weight:bold;padding:.2rem 0 .4rem}\
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid var(--line);overflow-wrap:anywhere}\
th[scope=row]{width:30%;font-weight:normal;color:var(--faint)}\
td.why{width:26%;color:var(--faint);font-size:.88rem}\
.legend{font-family:'DejaVu Sans Mono',Menlo,Consolas,monospace;font-size:.95rem}\
.care{background:var(--tint);border-left:4px solid var(--line);padding:.6rem .9rem;margin-top:1.2rem}\
.care h2{margin-top:0}\
li{margin:.2rem 0;overflow-wrap:anywhere}\
@media (max-width:34rem){th[scope=row],td,td.why{display:block;width:auto;border-bottom:0;padding:.05rem 0}\
tr{display:block;border-bottom:1px solid var(--line);padding:.35rem 0}thead{display:none}}\
@page{size:A4;margin:16mm}\
@media print{:root{color-scheme:light;--ink:#000;--paper:#fff;--faint:#333;--line:#999;--tint:#fff}\
body{font-size:10.5pt}main{max-width:none;padding:0}article{break-after:page}article:last-child{break-after:auto}\
tr,li,.care{break-inside:avoid}h2{break-after:avoid}}";

/// Drafts as one page.
pub fn html(drafts: &[Draft]) -> String {
    let title = match drafts {
        [one] => one.title(),
        many => format!("{} draft records", many.len()),
    };
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n",
        escaped(&title)
    );
    for (at, draft) in drafts.iter().enumerate() {
        article(draft, at + 1, &mut page);
    }
    page.push_str("</main>\n</body>\n</html>\n");
    page
}

fn article(draft: &Draft, place: usize, page: &mut String) {
    let (title, sentence) = (escaped(&draft.title()), escaped(&draft.sentence));
    page.push_str(&format!(
        "<article aria-labelledby=\"t{place}\">\n<h1 id=\"t{place}\">{title}</h1>\n\
         <p class=\"lead\">{sentence}</p>\n"
    ));
    page.push_str(
        "<table role=\"table\">\n<caption>Fields</caption>\n<thead><tr role=\"row\">\
         <th role=\"columnheader\" scope=\"col\">Field</th>\
         <th role=\"columnheader\" scope=\"col\">Value</th>\
         <th role=\"columnheader\" scope=\"col\">Rests on</th></tr></thead>\n<tbody>\n",
    );
    for field in draft.fields.iter().filter(|field| !field.is_blank()) {
        row(field, page);
    }
    page.push_str("</tbody>\n</table>\n");
    list("Remarks", draft.notes.iter().map(String::as_str), page);
    let missing = draft.missing.iter().map(|one| one.text.as_str());
    list("Still missing, the most useful first", missing, page);
    if !draft.cautions.is_empty() {
        page.push_str("<section class=\"care\">\n");
        list("Take care", draft.cautions.iter().map(String::as_str), page);
        page.push_str("</section>\n");
    }
    page.push_str(
        "<p class=\"note\">A draft for the recording officer. What is inferred is a chance and \
         not a fact.</p>\n</article>\n",
    );
}

/// Roles are said, since on a telephone rows are shown as blocks and would lose them.
fn row(field: &Field, page: &mut String) {
    let class = match LEGENDS.contains(&field.name) {
        true => " class=\"legend\"",
        false => "",
    };
    let (label, value) = (escaped(field.label), escaped(&field.value));
    let why = match field.standing {
        Standing::Blank => String::new(),
        _ => escaped(&field.standing.text()),
    };
    page.push_str(&format!(
        "<tr role=\"row\"><th role=\"rowheader\" scope=\"row\">{label}</th>\
         <td role=\"cell\"{class}>{value}</td><td role=\"cell\" class=\"why\">{why}</td></tr>\n"
    ));
}

fn list<'t>(heading: &str, texts: impl Iterator<Item = &'t str>, page: &mut String) {
    let texts: Vec<&str> = texts.collect();
    if texts.is_empty() {
        return;
    }
    page.push_str(&format!("<h2>{heading}</h2>\n<ul>\n"));
    for text in texts {
        page.push_str(&format!("<li>{}</li>\n", escaped(text)));
    }
    page.push_str("</ul>\n");
}
