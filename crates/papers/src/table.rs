//! How wide the columns of a table are, and what stands on each line of a row.

use crate::{
    letters::{Letters, Line, Style},
    paper::{Cell, Column, Row, Table},
};

/// Room to each side of the words of a cell, in points.
pub(crate) const PAD: f32 = 4.0;

/// A row, broken into lines: one list for each column.
pub(crate) struct Set {
    pub(crate) cells: Vec<Vec<Line>>,
    pub(crate) sum: bool,
}

impl Set {
    /// Lines of the highest cell.
    pub(crate) fn lines(&self) -> usize {
        self.cells.iter().map(Vec::len).max().unwrap_or(0).max(1)
    }
}

/// A table measured for a width.
pub(crate) struct Measured {
    pub(crate) widths: Vec<f32>,
    pub(crate) head: Set,
    pub(crate) rows: Vec<Set>,
}

pub(crate) fn measure(letters: &mut Letters, table: &Table, size: f32, room: f32) -> Measured {
    let widths = columns(letters, table, size, room);
    let head = Row {
        cells: table
            .columns
            .iter()
            .map(|column| Cell { words: column.head.clone(), strong: true })
            .collect(),
        sum: false,
    };
    let head = set(letters, &head, &widths, size * 0.92);
    let rows = table.rows.iter().map(|row| set(letters, row, &widths, size)).collect();
    Measured { widths, head, rows }
}

fn set(letters: &mut Letters, row: &Row, widths: &[f32], size: f32) -> Set {
    let cells = row
        .cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| {
            if cell.words.is_empty() {
                return Vec::new();
            }
            letters.wrap(&cell.words, style(cell, row.sum, size), width - 2.0 * PAD)
        })
        .collect();
    Set { cells, sum: row.sum }
}

const fn style(cell: &Cell, sum: bool, size: f32) -> Style {
    if cell.strong || sum { Style::bold(size) } else { Style::plain(size) }
}

/// Every column gets what its widest piece needs; what is left goes to those whose words want
/// more, by how much they want. Where even the pieces do not fit, all shrink alike and words
/// are broken.
fn columns(letters: &mut Letters, table: &Table, size: f32, room: f32) -> Vec<f32> {
    let mut least = Vec::new();
    let mut wanted = Vec::new();
    for (place, column) in table.columns.iter().enumerate() {
        let (narrow, wide) = column_width(letters, table, place, column, size);
        least.push(narrow);
        wanted.push(wide);
    }
    let (needs, wants): (f32, f32) = (least.iter().sum(), wanted.iter().sum());
    if needs >= room {
        return least.iter().map(|width| width * room / needs.max(1.0)).collect();
    }
    if wants <= room {
        let more = room / wants.max(1.0);
        return wanted.iter().map(|width| width * more).collect();
    }
    let share = (room - needs) / (wants - needs).max(1.0);
    least.iter().zip(&wanted).map(|(least, wanted)| least + (wanted - least) * share).collect()
}

fn column_width(
    letters: &mut Letters,
    table: &Table,
    place: usize,
    column: &Column,
    size: f32,
) -> (f32, f32) {
    let (mut narrow, mut wide) = letters.widths(&column.head, Style::bold(size * 0.92));
    for row in &table.rows {
        let Some(cell) = row.cells.get(place) else { continue };
        let (piece, whole) = letters.widths(&cell.words, style(cell, row.sum, size));
        // A number is never parted from its unit.
        narrow = narrow.max(if column.number { whole } else { piece });
        wide = wide.max(whole);
    }
    // Half a point to spare, so that what was measured is not broken for its rounding.
    let pad = 2.0 * PAD + 0.5;
    ((narrow + pad).max(column.room), (wide + pad).max(column.room))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_fill_the_room_and_no_word_is_broken_while_there_is_room() {
        let table = Table {
            columns: vec![Column::words("what"), Column::number("mass"), Column::blank("by", 90.0)],
            rows: vec![
                [
                    "a very long description of something that has to be broken over lines",
                    "1043 kg",
                    "",
                ]
                .into_iter()
                .collect(),
            ],
        };
        let mut letters = Letters::new(false);
        for room in [260.0, 500.0] {
            let measured = measure(&mut letters, &table, 9.5, room);
            assert!((measured.widths.iter().sum::<f32>() - room).abs() < 0.1);
            assert!(measured.widths[2] >= 90.0);
            assert_eq!(measured.rows[0].cells[1].len(), 1, "the number stays whole");
        }
    }
}
