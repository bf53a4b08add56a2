//! Labels as a page to print from a browser, in mm.
//!
//! Lays out; chooses nothing. No script, nothing from elsewhere.
//!
//! Invariant: any text comes out as text, and what does not fit its label is cut off at its edge.

use super::Label;
use super::sheet::{A4, Sheet};
use crate::svg::escaped;

/// Labels on sheets.
pub(super) fn page(labels: &[Label], sheet: &Sheet) -> String {
    let (wide, high) = sheet.size;
    let border = match sheet.lines {
        true => "outline:.15mm dashed #777",
        false => "outline:0",
    };
    // As large as five lines allow, between what can be read and what is enough.
    let size = (high / 6.2).clamp(1.8, 3.6);
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n\
         <title>Labels of finds</title>\n<style>\n@page{{size:A4;margin:0}}\n\
         body{{margin:0;font:{size:.2}mm/1.2 sans-serif;color:#000;background:#fff}}\n\
         section{{position:relative;width:{}mm;height:{}mm;overflow:hidden;break-after:page}}\n\
         article{{position:absolute;box-sizing:border-box;width:{wide:.2}mm;height:{high:.2}mm;\
         padding:1.2mm 1.6mm;overflow:hidden;{border}}}\n\
         h2{{font:bold 1.25em/1.15 monospace;margin:0}}\np{{margin:0;overflow:hidden;\
         text-overflow:ellipsis}}\np.what{{display:-webkit-box;-webkit-line-clamp:2;\
         -webkit-box-orient:vertical}}\n@media screen{{section{{border:1px solid #999;\
         margin:1em}}}}\n</style></head><body>\n",
        A4.0, A4.1
    );
    let mut open = None;
    for (at, label) in labels.iter().enumerate() {
        let (number, (left, top)) = sheet.place(at);
        if open != Some(number) {
            page.push_str(if open.is_some() {
                "</section>\n<section>\n"
            } else {
                "<section>\n"
            });
            open = Some(number);
        }
        let lines = label.lines.iter().enumerate().map(|(place, line)| {
            let class = if place == 0 { " class=\"what\"" } else { "" };
            format!("<p{class}>{}</p>", escaped(line))
        });
        page.push_str(&format!(
            "<article style=\"left:{left:.2}mm;top:{top:.2}mm\"><h2>{}</h2>{}</article>\n",
            escaped(&label.code),
            lines.collect::<String>()
        ));
    }
    page.push_str("</section>\n</body></html>\n");
    page
}
