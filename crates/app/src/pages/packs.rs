//! Rule packs side by side: the same figure in each, with its source and status.

use maud::{Markup, html};

/// The page.
pub(crate) struct PacksPage {
    /// Every pack; those shown are columns.
    pub(crate) columns: Vec<Column>,
    /// Each figure, with what each pack that is shown says.
    pub(crate) rows: Vec<(String, Vec<Vec<Cell>>)>,
}

/// A pack.
pub(crate) struct Column {
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) edition: String,
    pub(crate) checked: String,
    pub(crate) shown: bool,
}

/// A figure of a pack.
pub(crate) struct Cell {
    pub(crate) says: String,
    pub(crate) when: String,
    pub(crate) source: String,
    pub(crate) status: String,
    pub(crate) note: Option<String>,
}

impl PacksPage {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Packs side by side" }
            p { "Where a pack says nothing, nothing is assumed: the limit is unknown." }
            form method="get" action="/packs" {
                fieldset {
                    legend { "Show" }
                    @for column in &self.columns {
                        label {
                            input type="checkbox" name="pack" value=(column.id) checked[column.shown];
                            " " (column.id) ": " (column.title)
                        }
                    }
                }
                button { "Show these" }
            }
            div.wide tabindex="0" role="region" aria-label="Figures" {
                table {
                    thead {
                        tr {
                            th scope="col" { "figure" }
                            @for column in self.columns.iter().filter(|column| column.shown) {
                                th scope="col" { (column.id) br; small { (column.edition) ", checked " (column.checked) } }
                            }
                        }
                    }
                    tbody {
                        @for (key, cells) in &self.rows {
                            tr { th scope="row" { (key) } @for cell in cells { td { (says(cell)) } } }
                        }
                    }
                }
            }
        }
    }
}

fn says(cells: &[Cell]) -> Markup {
    html! {
        @if cells.is_empty() { "says nothing" }
        @for cell in cells {
            details {
                summary { (cell.says) @if !cell.when.is_empty() { " when " (cell.when) } }
                small { (cell.source) br; (cell.status) @if let Some(note) = &cell.note { br; (note) } }
            }
        }
    }
}
