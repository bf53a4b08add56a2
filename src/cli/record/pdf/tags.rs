//! What a page says to those who hear it: headings, paragraphs, the table, lists, figures.
//!
//! Puts what was drawn into a tree, in the order in which it was drawn.
//!
//! Invariant: every leaf has one parent.

use std::num::NonZeroU16;

use krilla::tagging::{Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup};

use super::draw::leaf;
use super::flow::Part;

/// The tree of what was drawn.
pub(super) fn tree(heard: Vec<(Part, Identifier)>) -> Vec<Node> {
    let mut nodes = Vec::new();
    let mut rest = heard.into_iter().peekable();
    while let Some((part, id)) = rest.next() {
        let mut here = vec![(part.clone(), id)];
        while let Some(next) = rest.next_if(|(next, _)| together(&part, next)) {
            here.push(next);
        }
        nodes.push(group(&part, here));
    }
    nodes
}

/// True for parts of one paragraph, table or list.
fn together(part: &Part, next: &Part) -> bool {
    match (part, next) {
        (Part::Cell(of, ..), Part::Cell(next, ..)) => of == next,
        (Part::Entry(of, _), Part::Entry(next, _)) => of == next,
        (Part::Title, Part::Title) | (Part::Heading, Part::Heading) => true,
        (Part::Paragraph(of), Part::Paragraph(next)) => of == next,
        _ => false,
    }
}

fn group(part: &Part, here: Vec<(Part, Identifier)>) -> Node {
    let level = |level: u16| Tag::Hn(NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN), None);
    let leaves = |here: Vec<(Part, Identifier)>| here.into_iter().map(|(_, id)| leaf(id)).collect();
    let group = match part {
        Part::Title => TagGroup::with_children(level(1), leaves(here)),
        Part::Heading => TagGroup::with_children(level(2), leaves(here)),
        Part::Figure(shows) => {
            TagGroup::with_children(Tag::Figure(Some(shows.clone())), leaves(here))
        }
        Part::Cell(..) => table(here),
        Part::Entry(..) => list(here),
        Part::Paragraph(_) | Part::Trim => TagGroup::with_children(Tag::P, leaves(here)),
    };
    group.into()
}

fn table(here: Vec<(Part, Identifier)>) -> TagGroup {
    let mut table = TagGroup::new(Tag::Table);
    let mut rest = here.into_iter().peekable();
    while let Some((part, id)) = rest.next() {
        let Part::Cell(_, row, column) = part else {
            continue;
        };
        let mut cells: [Vec<Node>; 3] = Default::default();
        cells[column.min(2)].push(leaf(id));
        let same = |next: &(Part, Identifier)| matches!(next.0, Part::Cell(_, of, _) if of == row);
        while let Some((Part::Cell(_, _, column), id)) = rest.next_if(same) {
            cells[column.min(2)].push(leaf(id));
        }
        let [label, value, standing] = cells;
        let mut line = TagGroup::new(Tag::TR);
        line.push(TagGroup::with_children(
            Tag::TH(TableHeaderScope::Row),
            label,
        ));
        line.push(TagGroup::with_children(Tag::TD, value));
        line.push(TagGroup::with_children(Tag::TD, standing));
        table.push(line);
    }
    table
}

fn list(here: Vec<(Part, Identifier)>) -> TagGroup {
    let mut list = TagGroup::new(Tag::L(ListNumbering::None));
    let mut rest = here.into_iter().peekable();
    while let Some((part, id)) = rest.next() {
        let mut body = TagGroup::with_children(Tag::LBody, vec![leaf(id)]);
        while let Some((_, id)) = rest.next_if(|next| next.0 == part) {
            body.push(leaf(id));
        }
        list.push(TagGroup::with_children(Tag::LI, vec![body.into()]));
    }
    list
}
