//! Rule packs side by side: the same figure in each, with its value, source, status and how it was
//! read. Where they differ comes first.

use maud::{Markup, html};

use super::{bits::encoded, fault};
use crate::problem::Told;

/// The page.
pub(crate) struct PacksPage {
    /// Every pack; those shown stand beside each other.
    pub(crate) columns: Vec<Column>,
    /// Each figure that is shown.
    pub(crate) rows: Vec<Row>,
    /// What the figures are narrowed to.
    pub(crate) narrowed: Narrowed,
    /// Packs of the folder that cannot be read: the document, and what is wrong with it.
    pub(crate) broken: Vec<(String, Vec<Told>)>,
}

/// A pack.
pub(crate) struct Column {
    /// How a turnaround names it: `au`, `packs/mine.toml`.
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) edition: String,
    pub(crate) checked: String,
    /// Its document, when it is one of the folder.
    pub(crate) document: Option<String>,
    pub(crate) shown: bool,
}

/// A figure in each pack that is shown, in the order of the columns.
pub(crate) struct Row {
    /// Its key: `fuel.final-reserve`.
    pub(crate) key: String,
    pub(crate) agreement: Agreement,
    pub(crate) cells: Vec<Vec<Cell>>,
}

/// What the packs that are shown make of a figure; in the order of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Agreement {
    /// They say different things.
    Differ,
    /// Some say something, the others nothing.
    Some,
    /// All say the same.
    Same,
}

impl Agreement {
    pub(crate) const ALL: [Self; 3] = [Self::Differ, Self::Some, Self::Same];

    /// As a word, and in an address.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Differ => "differ",
            Self::Some => "some",
            Self::Same => "same",
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Differ => "They differ",
            Self::Some => "Not all say something",
            Self::Same => "All say the same",
        }
    }
}

/// What somebody asked to see.
pub(crate) struct Narrowed {
    /// One agreement alone.
    pub(crate) only: Option<Agreement>,
    /// Keys with these letters in them.
    pub(crate) about: String,
}

/// A figure of a pack.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    pub(crate) says: String,
    pub(crate) when: String,
    pub(crate) source: String,
    pub(crate) status: String,
    pub(crate) read: String,
    pub(crate) note: Option<String>,
}

impl PacksPage {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Packs side by side" }
            p { "Where a pack says nothing, nothing is assumed: the limit is unknown." }
            @for (name, told) in &self.broken {
                section.wrong aria-label={ "What is wrong with " (name) } {
                    p { a href={ "/document/" (encoded(name)) } { (name) } " cannot be read, so it is not shown." }
                    (fault::problems(told))
                }
            }
            (self.form())
            @if self.rows.is_empty() { p role="status" { "No figure is like that." } }
            @for agreement in Agreement::ALL {
                @let own: Vec<&Row> = self.rows.iter().filter(|row| row.agreement == agreement).collect();
                @if !own.is_empty() {
                    section aria-labelledby=(agreement.word()) {
                        h2 id=(agreement.word()) { (agreement.words()) ": " (own.len()) }
                        @for row in own { (self.row(row)) }
                    }
                }
            }
        }
    }

    fn form(&self) -> Markup {
        let only = self.narrowed.only;
        html! {
            form method="get" action="/packs" {
                fieldset {
                    legend { "Packs" }
                    @for column in &self.columns {
                        label {
                            input type="checkbox" name="pack" value=(column.id) checked[column.shown];
                            " " strong { (column.id) } " " (column.title)
                            small { ", edition " (column.edition) ", checked " (column.checked) }
                            @if let Some(name) = &column.document { ", " a href={ "/document/" (encoded(name)) } { "of this folder" } }
                        }
                    }
                }
                div.fields {
                    div.field {
                        label for="only" { "Figures" }
                        select id="only" name="only" {
                            option value="" selected[only.is_none()] { "all" }
                            @for one in Agreement::ALL {
                                option value=(one.word()) selected[only == Some(one)] { (one.words()) }
                            }
                        }
                    }
                    div.field {
                        label for="about" { "With these letters in the name" }
                        input id="about" name="about" value=(self.narrowed.about) autocomplete="off" maxlength="60";
                    }
                    div.field { button { "Show these" } }
                }
            }
        }
    }

    fn row(&self, row: &Row) -> Markup {
        let shown = self.columns.iter().filter(|column| column.shown);
        html! {
            article.figure aria-label=(row.key) {
                h3 { (row.key) }
                div.sides {
                    @for (column, cells) in shown.zip(&row.cells) {
                        div.side {
                            h4 { (column.id) }
                            @if cells.is_empty() { p { "says nothing" } }
                            @for cell in cells { (says(cell)) }
                        }
                    }
                }
            }
        }
    }
}

fn says(cell: &Cell) -> Markup {
    html! {
        p {
            strong { (cell.says) }
            @if !cell.when.is_empty() { " when " (cell.when) }
        }
        p.source {
            (cell.source) "; " (cell.status) ", read: " (cell.read)
            @if let Some(note) = &cell.note { br; (note) }
        }
    }
}
