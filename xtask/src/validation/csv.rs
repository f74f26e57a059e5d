//! Reference cases as a table.
//!
//! Lines `# key: value` first, then a header row whose cells say what a column is, then
//! one case per row. A blank cell leaves the argument out, or leaves the output unchecked.

use stillprop_calc::catalogue::Raw;

use super::case_file::{Case, Draft, Tolerance};

/// What a column of the table is.
#[derive(Debug, PartialEq)]
enum Column {
    /// `elevation [ft]`: an argument, with the unit its cells leave out.
    Input(String, Option<String>),
    /// `=pressure_altitude [ft]`: an expected output.
    Expected(String, Option<String>),
    /// `~note`: for people.
    Remark,
}

/// Reads a table; faults are kept in the draft.
pub(super) fn read(text: &str) -> Draft {
    let mut draft = Draft::default();
    let mut columns: Option<Vec<Column>> = None;
    for (place, line) in text.lines().enumerate() {
        let place = format!("line {}", place + 1);
        if let Some(comment) = line.strip_prefix('#') {
            head(&mut draft, &place, comment);
        } else if line.trim().is_empty() {
            // Blank lines only part the rows for the eye.
        } else if let Some(columns) = &columns {
            row(&mut draft, place, columns, line);
        } else {
            columns = Some(cells(line).iter().map(|cell| column(cell)).collect());
        }
    }
    draft
}

fn head(draft: &mut Draft, place: &str, comment: &str) {
    // A comment without a colon, or with a key we do not know, is a remark for people.
    let Some((key, value)) = comment.split_once(':') else { return };
    let value = value.trim();
    let slot = match key.trim() {
        "sum" => &mut draft.sum,
        "source" => &mut draft.source,
        "read" => &mut draft.read,
        "count" => &mut draft.count,
        "tolerance" => {
            match tolerance(value) {
                Some(tolerance) => draft.tolerances.push(tolerance),
                None => draft.faults.push(format!("{place}: write `key = limit, reason`")),
            }
            return;
        }
        _ => return,
    };
    if slot.replace(value.into()).is_some() {
        draft.faults.push(format!("{place}: `{}` is said twice", key.trim()));
    }
}

fn tolerance(text: &str) -> Option<Tolerance> {
    let (key, rest) = text.split_once('=')?;
    let (limit, why) = rest.split_once(',').unwrap_or((rest, ""));
    Some(Tolerance { key: key.trim().into(), limit: limit.trim().into(), why: why.trim().into() })
}

fn column(cell: &str) -> Column {
    let cell = cell.trim();
    if cell.starts_with('~') {
        return Column::Remark;
    }
    let (name, expected) = cell.strip_prefix('=').map_or((cell, false), |name| (name, true));
    let (key, unit) = match name.split_once('[') {
        Some((key, unit)) => (key.trim(), Some(unit.trim_end().trim_end_matches(']').to_owned())),
        None => (name.trim(), None),
    };
    if expected { Column::Expected(key.into(), unit) } else { Column::Input(key.into(), unit) }
}

fn row(draft: &mut Draft, place: String, columns: &[Column], line: &str) {
    let cells = cells(line);
    if cells.len() != columns.len() {
        let (found, wanted) = (cells.len(), columns.len());
        draft.faults.push(format!("{place}: {found} cells under {wanted} columns"));
    }
    let mut case = Case { place, ..Case::default() };
    for (column, cell) in columns.iter().zip(&cells) {
        let with = |unit: &Option<String>| match unit {
            Some(unit) => format!("{cell} {unit}"),
            None => cell.clone(),
        };
        match column {
            Column::Input(key, unit) if !cell.is_empty() => {
                case.inputs.push((key.clone(), Raw::Text(with(unit))));
            }
            Column::Expected(key, unit) if !cell.is_empty() => {
                case.expect.push((key.clone(), with(unit)));
            }
            _ => {}
        }
    }
    draft.cases.push(case);
}

/// The cells of a line; a cell in double quotes may hold commas, and `""` for a quote.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        let Some(cell) = cells.last_mut() else { break };
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cell.push(letter),
        }
    }
    cells.iter().map(|cell| cell.trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_say_what_their_cells_are() {
        let unit = |text: &str| Some(text.to_owned());
        assert_eq!(column("qnh [hPa]"), Column::Input("qnh".into(), unit("hPa")));
        assert_eq!(column(" place "), Column::Input("place".into(), None));
        assert_eq!(column("=rho [kg/m3]"), Column::Expected("rho".into(), unit("kg/m3")));
        assert_eq!(column("=case"), Column::Expected("case".into(), None));
        assert_eq!(column("~note [x]"), Column::Remark);
    }

    #[test]
    fn blank_cells_leave_out_and_quotes_keep_commas() {
        let draft = read("a [ft],b [hPa],=c [ft],=d,~note\n1,,3,,\"one, \"\"two\"\"\"\n");
        let [case] = draft.cases.as_slice() else { panic!("{draft:?}") };
        assert_eq!(case.inputs, [("a".into(), Raw::Text("1 ft".into()))]);
        assert_eq!(case.expect, [("c".into(), "3 ft".into())]);
        assert_eq!(cells("x,\"one, \"\"two\"\"\""), ["x", "one, \"two\""]);
    }

    #[test]
    fn a_ragged_row_and_a_repeated_head_are_faults() {
        let draft = read("# sum: a\n# sum: b\na,b\n1\n");
        assert_eq!(
            draft.faults,
            ["line 2: `sum` is said twice", "line 4: 1 cells under 2 columns"]
        );
    }

    #[test]
    fn tolerances_carry_their_reason() {
        let tolerance = tolerance("rho = rel 1e-6, six digits, as printed").unwrap();
        assert_eq!(tolerance.key, "rho");
        assert_eq!(tolerance.limit, "rel 1e-6");
        assert_eq!(tolerance.why, "six digits, as printed");
        assert!(super::tolerance("rho 1e-6").is_none());
    }
}
